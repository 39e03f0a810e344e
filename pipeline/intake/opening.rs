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
use super::judge::Judge;
use super::layout::{Layout, Said, find_layout, sample_records};
use super::limits::Limits;
use super::list::{Delimiter, DialectGuess, EncodingSource, Escape, ListHead, Note};
use super::problem::{FileFailure, Problem};
use super::profile::{Profile, Profiles};
use super::reader::{ListReader, Use};
use super::split::Cut;
use super::survey::Survey;
use super::text::Text;
use crate::trade::numerals::Decimals;

/// Text that dialect and layout are worked out on, bytes.
const SAMPLE_BYTES: usize = 512 << 10;

/// What is common to all lists of a file.
pub(super) struct Opening<'o> {
    pub(super) input: &'o InputFile,
    pub(super) limits: &'o Limits,
    pub(super) purpose: Use,
    pub(super) profile: Option<Arc<Profile>>,
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
    let mut opening = Opening {
        input,
        limits,
        purpose,
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
        let chosen = self.encoding(shown, survey)?;
        if is_binary(survey, &chosen) {
            return Err(FileFailure::new(
                shown,
                Problem::BinaryFile,
                "the bytes are no text in any known encoding",
            ));
        }
        let unreadable = |error: std::io::Error| unreadable_file(shown, &source.path, &error);
        let controls = if survey.controls > 0 {
            Controls::AsWindows1252
        } else {
            Controls::Keep
        };
        let open = || TextStream::new(source.open()?, chosen.encoding, chosen.mark_bytes, controls);
        let sample = sample_of(open().map_err(unreadable)?).map_err(unreadable)?;
        let mut fixed = self.fixed_dialect();
        let sep = dialect::sep_line(&sample);
        if let Some((delimiter, _)) = sep {
            fixed.delimiter = fixed.delimiter.or(Some(delimiter));
        }
        let body = &sample[sep.map_or(0, |(_, start)| start)..];
        let guess = dialect::detect(body, fixed);
        let cut = Cut::of(&guess);
        let layout = find_layout(&sample_records(body, &cut), &cut, self.said());
        let head = self.head(name, &chosen, guess, &layout)?;
        let mut head = head;
        if controls == Controls::AsWindows1252 {
            let message = format!(
                "{} control characters were read as the Windows-1252 letters they had been",
                survey.controls
            );
            head.notes.push(Note::new(message));
        }
        let judge = Judge::new(&layout, cut, self.purpose, self.comment());
        let mut text = Text::new(open().map_err(unreadable)?, head.dialect.quote);
        let first = if let Some((_, start)) = sep {
            text.fill().map_err(unreadable)?;
            let whole = text.take();
            text.give_back(whole, start);
            2
        } else {
            1
        };
        let mut reader = ListReader::new(head, text, cut, judge, self.limits.clone(), first);
        if sep.is_some() {
            reader.count_taken_off();
        }
        Ok(reader)
    }

    fn encoding(&self, shown: &Arc<str>, survey: &Survey) -> Result<Chosen, FileFailure> {
        let label = self
            .profile
            .as_ref()
            .and_then(|profile| profile.dialect.encoding.as_deref());
        match label {
            None => Ok(encoding::detect(survey)),
            Some(label) => encoding::by_label(label, EncodingSource::Profile, survey).ok_or_else(|| {
                FileFailure::new(
                    shown,
                    Problem::UnreadableEncoding,
                    format!("the encoding `{label}` is not known"),
                )
            }),
        }
    }

    fn fixed_dialect(&self) -> dialect::Fixed {
        let Some(profile) = &self.profile else {
            return dialect::Fixed::default();
        };
        let keys = &profile.dialect;
        let first = |text: &String| text.bytes().next();
        dialect::Fixed {
            delimiter: keys.delimiter.as_ref().and_then(|text| match text.as_bytes() {
                [byte] => Some(Delimiter::Byte(*byte)),
                [byte, b' '] => Some(Delimiter::ByteAndSpace(*byte)),
                _ => None,
            }),
            quote: keys.quote_char.as_ref().map(first),
            escape: match (&keys.escape_char, keys.double_quote) {
                (Some(text), _) if !text.is_empty() => first(text).map(Escape::Byte),
                (_, Some(true)) => Some(Escape::Doubled),
                (_, Some(false)) => Some(Escape::None),
                _ => None,
            },
        }
    }

    pub(super) fn said(&self) -> Said {
        self.profile.as_ref().map_or(Said::default(), |profile| Said {
            skip_rows: profile.dialect.skip_rows,
            header_rows: profile.dialect.header_row_count,
        })
    }

    pub(super) fn comment(&self) -> Option<String> {
        self.profile
            .as_ref()
            .and_then(|profile| profile.dialect.comment_prefix.clone())
            .filter(|text| !text.is_empty())
    }

    /// What is known of a list, its columns mapped.
    pub(super) fn head(
        &self,
        name: &Name,
        chosen: &Chosen,
        dialect: DialectGuess,
        layout: &Layout,
    ) -> Result<ListHead, FileFailure> {
        let shown = &name.shown;
        if layout.width > self.limits.columns {
            let message = format!(
                "{} columns, the limit `columns` is {}",
                layout.width, self.limits.columns
            );
            return Err(FileFailure::new(shown, Problem::TooManyColumns, message));
        }
        let mut notes = Vec::new();
        if chosen.guess.confidence < 0.7 {
            let label = chosen.guess.label;
            notes.push(Note::new(format!(
                "the encoding was taken for {label}, which is not sure; name it in a profile"
            )));
        }
        if dialect.margin < CLOSE_CALL && dialect.runner_up.is_some() {
            notes.push(Note::new(
                "the delimiter is a close call; name it in a profile".to_string(),
            ));
        }
        Ok(ListHead {
            file: shown.clone(),
            sheet: None,
            supplier: name.supplier.clone(),
            sha256: self.sha256,
            bytes: self.bytes,
            encoding: chosen.guess.clone(),
            dialect,
            header: layout.header.clone(),
            columns: Vec::new(),
            decimals: Decimals::Unsure,
            profile: self.profile.clone(),
            notes,
        })
    }
}

/// The first text of a stream, whole lines only unless it is all there is.
fn sample_of(mut stream: TextStream) -> std::io::Result<String> {
    let mut text = String::new();
    stream.append(&mut text, SAMPLE_BYTES, &mut Vec::new())?;
    if !stream.is_finished()
        && let Some(end) = memchr::memrchr2(b'\n', b'\r', text.as_bytes())
    {
        text.truncate(end + 1);
    }
    Ok(text)
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
