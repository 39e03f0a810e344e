//! From a file to its lists: what it is packed in, its encoding, dialect, layout and columns, and the profile that
//! overrides any of them. Everything that can fail a whole list fails it here, before the first row is handed on. In an
//! archive each member stands or fails by itself.

mod archive;
mod foreign;
mod guess;

use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::container::{Kind, Packing, Source, Stop, head_of, kind_of, stop_of};
use super::decode::{Controls, TextStream};
use super::dialect;
use super::inputs::InputFile;
use super::limits::Limits;
use super::list::Note;
use super::metadata;
use super::problem::{FileFailure, Problem};
use super::profile::{Dialect, Profile, Profiles};
use super::reader::{ListReader, Use};
use super::recognise::{Found, SepLine, Whole, last_lines};
use super::survey::Survey;
use super::text::{Origin, Text};
use foreign::refused_text;
use guess::{is_binary, sample_of, tail_of};

/// A list, or why it cannot be used.
pub(super) type Opened = Result<ListReader, FileFailure>;

/// What is common to all lists of a file.
#[derive(Clone)]
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
) -> Result<Vec<Opened>, FileFailure> {
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
    let mut opening = Opening::of(input, profiles, limits, purpose, bytes);
    let packing = match kind_of(&head) {
        Kind::Foreign(what) => {
            return Err(FileFailure::new(
                shown,
                Problem::BinaryFile,
                format!("the file is {what}, not a list"),
            ));
        }
        Kind::Zip => return opening.archive(profiles),
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
    let name = Name::of(shown, opening.profile.as_deref());
    Ok(vec![opening.text_list(&name, &source, &survey)])
}

/// What a list is called.
pub(super) struct Name {
    pub(super) shown: Arc<str>,
    pub(super) supplier: Arc<str>,
}

impl Name {
    /// The profile's name for the supplier, else the stem of the file.
    pub(super) fn of(shown: &Arc<str>, profile: Option<&Profile>) -> Name {
        let stem = || {
            let name = shown.rsplit('/').next().unwrap_or(shown);
            name.split('.').next().filter(|stem| !stem.is_empty()).unwrap_or(name)
        };
        Name {
            shown: shown.clone(),
            supplier: Arc::from(profile.map_or_else(stem, |profile| profile.supplier.as_str())),
        }
    }
}

impl<'o> Opening<'o> {
    fn of(input: &'o InputFile, profiles: &Profiles, limits: &'o Limits, purpose: Use, bytes: u64) -> Opening<'o> {
        let profile = profiles.for_file(&input.path).cloned();
        let (found, notes) = match metadata::beside(&input.path) {
            Ok(found) => (found.unwrap_or_default(), Vec::new()),
            Err(message) => (
                metadata::Metadata::default(),
                vec![Note::new(format!("left unread: {message}"))],
            ),
        };
        Opening {
            input,
            limits,
            purpose,
            titles: found.titles.clone(),
            said: found.dialect_under(profile.as_ref().map(|profile| &profile.dialect)),
            notes,
            profile,
            sha256: [0; 32],
            bytes,
        }
    }

    fn source(&self, packing: Packing) -> Source {
        Source {
            path: self.input.path.clone(),
            packing,
            wrapping: None,
            packed_bytes: self.bytes,
            spent: 0,
            limits: self.limits.clone(),
        }
    }

    /// Goes through all bytes of a list once. A list is text: a packed file inside a packed file is refused.
    fn survey(
        &self,
        source: &Source,
        shown: &Arc<str>,
        watch: impl FnMut(&[u8]) + Send,
    ) -> Result<Survey, FileFailure> {
        let survey = source
            .open()
            .and_then(|stream| Survey::of(stream, watch))
            .map_err(|error| stream_failure(source, shown, &error))?;
        if survey.bytes == 0 {
            return Err(FileFailure::new(
                shown,
                Problem::EmptyFile,
                "the file unpacks to no bytes",
            ));
        }
        let nested = match kind_of(&survey.head) {
            Kind::Foreign(what) => {
                let message = format!("what is packed in it is {what}, not a list");
                return Err(FileFailure::new(shown, Problem::BinaryFile, message));
            }
            Kind::Plain => None,
            Kind::Gzip => Some("a gzip file"),
            Kind::Zstd => Some("a zstd file"),
            Kind::Zip => Some("a zip archive or a workbook"),
        };
        if let Some(what) = nested {
            let message = format!("{what} lies packed inside it; packed files inside packed files are not read");
            return Err(FileFailure::new(shown, Problem::UnsupportedArchive, message));
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

    fn text_list(&self, name: &Name, source: &Source, survey: &Survey) -> Opened {
        let shown = &name.shown;
        let mut notes = self.notes.clone();
        let chosen = self.encoding(shown, survey, &mut notes)?;
        if is_binary(survey, &chosen) {
            let message = "the bytes are no text in any known encoding";
            return Err(FileFailure::new(shown, Problem::BinaryFile, message));
        }
        let unreadable = |error: std::io::Error| stream_failure(source, shown, &error);
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
        let (encoding, mark_bytes, own) = (chosen.encoding, chosen.mark_bytes, source.clone());
        let open = move || TextStream::new(own.open()?, encoding, mark_bytes, controls);
        let (sample, whole) = sample_of(open().map_err(unreadable)?).map_err(unreadable)?;
        if let Some(refused) = refused_text(shown, &sample) {
            return Err(refused);
        }
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
        let text = Text::new(Origin::Unopened(Box::new(open))).without(start);
        self.reader(found, text, if start > 0 { SepLine::Taken } else { SepLine::None })
    }
}

/// Why the bytes of a list could not be had.
fn stream_failure(source: &Source, shown: &Arc<str>, error: &std::io::Error) -> FileFailure {
    match stop_of(error) {
        Some(stop) => {
            let problem = match stop {
                Stop::TooManyBytes { .. } => Problem::TooManyBytes,
                Stop::RatioTooHigh { .. } => Problem::RatioTooHigh,
            };
            FileFailure::new(shown, problem, stop.to_string())
        }
        None if source.is_packed() => {
            FileFailure::new(shown, Problem::DamagedArchive, format!("unpacking failed: {error}"))
        }
        None => unreadable_file(shown, &source.path, error),
    }
}

fn hash_of(path: &Path) -> std::io::Result<[u8; 32]> {
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
