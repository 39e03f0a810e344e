//! From a file to its lists: what it is packed in, its encoding, dialect, layout and columns, and the profile that
//! overrides any of them. Everything that can fail a whole file fails it here, before the first row is handed on.

use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::container::{Contents, Kind, Packing, Source, head_of, kind_of, members, stop_of};
use super::decode::{Controls, TextStream};
use super::dialect::{self, CLOSE_CALL};
use super::encoding::{self, Chosen};
use super::inputs::InputFile;
use super::limits::Limits;
use super::list::{Delimiter, DialectGuess, EncodingSource, Escape, Note};
use super::metadata;
use super::problem::{FileFailure, Problem};
use super::profile::{Dialect, Profile, Profiles};
use super::reader::{ListReader, Use};
use super::recognise::{Found, SepLine, Whole, last_lines};
use super::survey::Survey;
use super::text::Text;

/// Text that dialect and layout are worked out on, bytes.
const SAMPLE_BYTES: usize = 512 << 10;
/// An encoding detected with less confidence than this gets a note.
const UNSURE_ENCODING: f32 = 0.7;

/// What is common to all lists of a file.
pub(super) struct Opening<'o> {
    pub(super) input: &'o InputFile,
    pub(super) limits: &'o Limits,
    pub(super) purpose: Use,
    pub(super) profile: Option<Arc<Profile>>,
    /// Dialect keys of the profile, and under them those of metadata beside the file.
    pub(super) said: Dialect,
    /// Column titles from metadata beside the file.
    pub(super) titles: Vec<String>,
    pub(super) notes: Vec<Note>,
    pub(super) sha256: [u8; 32],
    pub(super) bytes: u64,
}

/// Opens the lists of a file.
pub(super) fn open_lists(
    input: &InputFile,
    profiles: &Profiles,
    limits: &Limits,
    purpose: Use,
) -> Result<Vec<ListReader>, FileFailure> {
    let shown = &input.shown;
    let path = &input.path;
    let unreadable = |error: std::io::Error| unreadable_file(shown, path, &error);
    let bytes = path.metadata().map_err(unreadable)?.len();
    if path.is_dir() {
        return Err(FileFailure::new(
            shown,
            Problem::UnreadableFile,
            "this is a folder, not a file",
        ));
    }
    let head = head_of(path, 16).map_err(unreadable)?;
    if bytes == 0 || head.is_empty() {
        return Err(FileFailure::new(shown, Problem::EmptyFile, "the file has no bytes"));
    }
    let profile = profiles.for_file(path).cloned();
    let (found, notes) = match metadata::beside(path) {
        Ok(found) => (found.unwrap_or_default(), Vec::new()),
        Err(message) => (
            metadata::Metadata::default(),
            vec![Note::new(format!("left unread: {message}"))],
        ),
    };
    let mut opening = Opening {
        input,
        limits,
        purpose,
        titles: found.titles.clone(),
        said: found.dialect_under(profile.as_ref().map(|profile| &profile.dialect)),
        notes,
        profile,
        sha256: [0; 32],
        bytes,
    };
    let packing = match kind_of(&head) {
        Kind::Foreign(what) => {
            return Err(FileFailure::new(
                shown,
                Problem::BinaryFile,
                format!("the file is {what}, not a list"),
            ));
        }
        Kind::Zip => return opening.archive(),
        Kind::Plain => Packing::Plain,
        Kind::Gzip => Packing::Gzip,
        Kind::Zstd => Packing::Zstd,
    };
    let mut hash = Sha256::new();
    let plain = matches!(packing, Packing::Plain);
    let source = opening.source(packing);
    let survey = opening.survey(&source, shown, |block| {
        if plain {
            hash.update(block);
        }
    })?;
    opening.sha256 = if plain {
        hash.finalize().into()
    } else {
        hash_of(path).map_err(unreadable)?
    };
    let name = Name {
        shown: shown.clone(),
        supplier: supplier_of(shown, opening.profile.as_deref()),
    };
    opening.text_list(&name, &source, &survey).map(|list| vec![list])
}

/// What a list is called.
pub(super) struct Name {
    pub(super) shown: Arc<str>,
    pub(super) supplier: Arc<str>,
}

/// The profile's name for the supplier, else the stem of the file.
pub(super) fn supplier_of(shown: &str, profile: Option<&Profile>) -> Arc<str> {
    match profile {
        Some(profile) => Arc::from(profile.supplier.as_str()),
        None => {
            let name = shown.rsplit('/').next().unwrap_or(shown);
            Arc::from(name.split('.').next().filter(|stem| !stem.is_empty()).unwrap_or(name))
        }
    }
}

impl Opening<'_> {
    fn source(&self, packing: Packing) -> Source {
        Source {
            path: self.input.path.clone(),
            packing,
            packed_bytes: self.bytes,
            limits: self.limits.clone(),
        }
    }

    fn survey(&self, source: &Source, shown: &Arc<str>, watch: impl FnMut(&[u8])) -> Result<Survey, FileFailure> {
        let packed = !matches!(source.packing, Packing::Plain);
        let failed = |error: std::io::Error| match stop_of(&error) {
            Some(stop) => {
                let problem = match stop {
                    super::container::Stop::TooManyBytes { .. } => Problem::TooManyBytes,
                    super::container::Stop::RatioTooHigh { .. } => Problem::RatioTooHigh,
                };
                FileFailure::new(shown, problem, stop.to_string())
            }
            None if packed => FileFailure::new(shown, Problem::DamagedArchive, format!("unpacking failed: {error}")),
            None => unreadable_file(shown, &source.path, &error),
        };
        let survey = Survey::of(source.open().map_err(failed)?, watch).map_err(failed)?;
        if survey.bytes == 0 {
            return Err(FileFailure::new(
                shown,
                Problem::EmptyFile,
                "the file unpacks to no bytes",
            ));
        }
        if !survey.has_text {
            return Err(FileFailure::new(
                shown,
                Problem::BlankFile,
                "nothing but blank lines and delimiters",
            ));
        }
        Ok(survey)
    }

    fn archive(&mut self) -> Result<Vec<ListReader>, FileFailure> {
        let shown = &self.input.shown;
        let path = &self.input.path;
        self.sha256 = hash_of(path).map_err(|error| unreadable_file(shown, path, &error))?;
        let contents = members(path).map_err(|error| FileFailure::new(shown, Problem::UnsupportedArchive, error))?;
        let found = match contents {
            Contents::Workbook => return super::workbook::open_sheets(self, shown, path),
            Contents::Lists(found) => found,
        };
        let mut lists = Vec::new();
        for member in found {
            let name: Arc<str> = Arc::from(format!("{shown}!/{}", member.name));
            let packed = member.packed;
            let source = Source {
                packed_bytes: packed,
                ..self.source(Packing::Member(member))
            };
            let survey = self.survey(&source, &name, |_| {})?;
            if let Kind::Foreign(what) = kind_of(&survey.head) {
                return Err(FileFailure::new(
                    &name,
                    Problem::BinaryFile,
                    format!("the member is {what}, not a list"),
                ));
            }
            let name = Name {
                supplier: supplier_of(&name, self.profile.as_deref()),
                shown: name,
            };
            lists.push(self.text_list(&name, &source, &survey)?);
        }
        if lists.is_empty() {
            return Err(FileFailure::new(
                shown,
                Problem::UnsupportedArchive,
                "the archive holds no list",
            ));
        }
        Ok(lists)
    }

    fn text_list(&self, name: &Name, source: &Source, survey: &Survey) -> Result<ListReader, FileFailure> {
        let shown = &name.shown;
        let mut notes = self.notes.clone();
        let chosen = self.encoding(shown, survey, &mut notes)?;
        if is_binary(survey, &chosen) {
            let message = "the bytes are no text in any known encoding";
            return Err(FileFailure::new(shown, Problem::BinaryFile, message));
        }
        let unreadable = |error: std::io::Error| unreadable_file(shown, &source.path, &error);
        let controls = if survey.controls > 0 {
            Controls::AsWindows1252
        } else {
            Controls::Keep
        };
        if controls == Controls::AsWindows1252 {
            let count = survey.controls;
            let message = format!("{count} control characters were read as the Windows-1252 letters they had been");
            notes.push(Note::new(message));
        }
        let open = || TextStream::new(source.open()?, chosen.encoding, chosen.mark_bytes, controls);
        let (sample, whole) = sample_of(open().map_err(unreadable)?).map_err(unreadable)?;
        let tail = tail_of(survey, &chosen);
        let sep = dialect::sep_line(&sample);
        let start = sep.map_or(0, |(_, start)| start);
        let found = Found {
            name,
            sheet: None,
            encoding: chosen.guess.clone(),
            dialect: self.dialect(&sample[start..], sep.map(|(delimiter, _)| delimiter), &mut notes),
            sample: &sample[start..],
            whole: if whole { Whole::Yes } else { Whole::No },
            tail: last_lines(&tail),
            notes,
        };
        let mut text = Text::new(open().map_err(unreadable)?, found.dialect.quote);
        if start > 0 {
            text.fill().map_err(unreadable)?;
            let whole = text.take();
            text.give_back(whole, start);
        }
        self.reader(found, text, if start > 0 { SepLine::Taken } else { SepLine::None })
    }

    fn encoding(&self, shown: &Arc<str>, survey: &Survey, notes: &mut Vec<Note>) -> Result<Chosen, FileFailure> {
        let detected = encoding::detect(survey);
        let Some(label) = self.said.encoding.as_deref() else {
            if detected.guess.confidence < UNSURE_ENCODING {
                let label = detected.guess.label;
                let message = format!("the encoding was taken for {label}, which is not sure; name it in a profile");
                notes.push(Note::new(message));
            }
            return Ok(detected);
        };
        let how = match &self.profile {
            Some(profile) if profile.dialect.encoding.is_some() => EncodingSource::Profile,
            _ => EncodingSource::Metadata,
        };
        let chosen = encoding::by_label(label, how, survey).ok_or_else(|| {
            FileFailure::new(
                shown,
                Problem::UnreadableEncoding,
                format!("the encoding `{label}` is not known"),
            )
        })?;
        if chosen.encoding != detected.encoding && detected.guess.confidence >= 0.9 && survey.has_non_ascii() {
            let (said, seen) = (chosen.guess.label, detected.guess.label);
            notes.push(Note::new(format!(
                "the profile says {said}, the bytes look like {seen}; the profile was followed"
            )));
        }
        Ok(chosen)
    }

    fn dialect(&self, sample: &str, sep: Option<Delimiter>, notes: &mut Vec<Note>) -> DialectGuess {
        let keys = &self.said;
        let first = |text: &String| text.bytes().next();
        let said = keys.delimiter.as_ref().and_then(|text| match text.as_bytes() {
            [byte] => Some(Delimiter::Byte(*byte)),
            [byte, b' '] => Some(Delimiter::ByteAndSpace(*byte)),
            _ => None,
        });
        let fixed = dialect::Fixed {
            delimiter: said.or(sep),
            quote: keys.quote_char.as_ref().map(first),
            escape: match (&keys.escape_char, keys.double_quote) {
                (Some(text), _) if !text.is_empty() => first(text).map(Escape::Byte),
                (_, Some(true)) => Some(Escape::Doubled),
                (_, Some(false)) => Some(Escape::None),
                _ => None,
            },
        };
        let guess = dialect::detect(sample, fixed);
        if said.is_some() {
            let free = dialect::detect(sample, dialect::Fixed::default());
            if free.delimiter != guess.delimiter && free.margin > 0.5 {
                notes.push(Note::new(format!(
                    "the profile's delimiter was followed, though the list looks delimited by {}",
                    dialect::shown(free.delimiter)
                )));
            }
        } else if guess.margin < CLOSE_CALL
            && let Some(second) = guess.runner_up
        {
            notes.push(Note::new(format!(
                "the delimiter is a close call: {} was taken, {} is nearly as likely; name it in a profile",
                dialect::shown(guess.delimiter),
                dialect::shown(second)
            )));
        }
        guess
    }
}

/// The first text of a stream, whole lines only, and whether it is all there is.
fn sample_of(mut stream: TextStream) -> std::io::Result<(String, bool)> {
    let mut text = String::new();
    stream.append(&mut text, SAMPLE_BYTES, &mut Vec::new())?;
    if !stream.is_finished()
        && let Some(end) = memchr::memrchr2(b'\n', b'\r', text.as_bytes())
    {
        text.truncate(end + 1);
    }
    Ok((text, stream.is_finished()))
}

/// The last text of a stream; its first letter may be cut.
fn tail_of(survey: &Survey, chosen: &Chosen) -> String {
    // two-byte encodings keep their step from the start of the file
    let step = usize::from((survey.bytes - survey.tail.len() as u64) % 2 == 1);
    let tail = &survey.tail[step.min(survey.tail.len())..];
    let (text, _) = chosen.encoding.decode_without_bom_handling(tail);
    text.into_owned()
}

/// Control bytes that no text has, in more than one byte of fifty.
fn is_binary(survey: &Survey, chosen: &Chosen) -> bool {
    if chosen.encoding == encoding_rs::UTF_16LE || chosen.encoding == encoding_rs::UTF_16BE {
        return false;
    }
    let odd = |byte: &&u8| **byte < 0x20 && !matches!(**byte, b'\t' | b'\n' | b'\r' | 0x0C | 0x1B);
    let controls = survey.head.iter().filter(odd).count();
    controls * 50 > survey.head.len()
}

pub(super) fn hash_of(path: &Path) -> std::io::Result<[u8; 32]> {
    let mut file = File::open(path)?;
    let mut hash = Sha256::new();
    let mut block = vec![0; 256 << 10];
    loop {
        let count = file.read(&mut block)?;
        if count == 0 {
            return Ok(hash.finalize().into());
        }
        hash.update(&block[..count]);
    }
}

fn unreadable_file(shown: &Arc<str>, path: &Path, error: &std::io::Error) -> FileFailure {
    if error.kind() == std::io::ErrorKind::NotFound {
        FileFailure::new(
            shown,
            Problem::MissingFile,
            format!("there is no file {}", path.display()),
        )
    } else {
        FileFailure::new(
            shown,
            Problem::UnreadableFile,
            format!("the file could not be read: {error}"),
        )
    }
}
