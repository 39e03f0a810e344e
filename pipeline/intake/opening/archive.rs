//! The members of a zip archive as lists: text, the same packed once more as .gz or .zst, and workbooks. Each member stands
//! or fails by itself. An archive inside the archive is refused, and what the members unpack to counts together.

use std::io::{self, Cursor, Read};
use std::path::Path;
use std::sync::Arc;

use super::super::container::{Contents, Kind, Listed, Member, Packing, Source, Wrapping, kind_of, members};
use super::super::inputs::is_list_name;
use super::super::list::Note;
use super::super::problem::{FileFailure, Problem};
use super::super::profile::Profiles;
use super::super::workbook::{Book, open_sheets};
use super::{Name, Opened, Opening, hash_of, stream_failure, unreadable_file};

/// Why an archive could not be opened; a workbook is one, and whoever sent it knows no archive.
fn unopened(shown: &Arc<str>, error: String) -> FileFailure {
    let name = shown.to_lowercase();
    if name.ends_with(".xlsx") || name.ends_with(".xlsm") {
        let message = format!("the workbook is damaged or cut short: {error}");
        return FileFailure::new(shown, Problem::DamagedWorkbook, message)
            .with_hint("fetch it again, or open it in a spreadsheet program and save it again");
    }
    FileFailure::new(shown, Problem::UnsupportedArchive, error)
}

impl Opening<'_> {
    /// The lists of a zip archive, or of a workbook, which is one.
    pub(super) fn archive(&mut self, profiles: &Profiles) -> Result<Vec<Opened>, FileFailure> {
        let shown = &self.input.shown;
        let path = &self.input.path;
        let unreadable = |error: io::Error| unreadable_file(shown, path, &error);
        self.sha256 = hash_of(path).map_err(unreadable)?;
        let open = || std::fs::File::open(path);
        let contents = members(open().map_err(unreadable)?).map_err(|error| unopened(shown, error))?;
        let listed = match contents {
            Contents::Workbook => {
                let book = Book {
                    name: Name::of(shown, self.profile.as_deref()),
                    open: &|| Ok(Box::new(io::BufReader::new(open()?))),
                };
                return open_sheets(self, &book);
            }
            Contents::Lists(listed) => listed,
        };
        let (lists, others): (Vec<Listed>, Vec<Listed>) =
            listed.into_iter().partition(|listed| is_list_name(&listed.name));
        if lists.is_empty() && others.iter().any(|other| other.name == "content.xml") {
            let message = "the file is an OpenDocument spreadsheet or text, which is not read";
            return Err(FileFailure::new(shown, Problem::OtherFormat, message)
                .with_hint("open it in a spreadsheet program and save it as .xlsx or CSV"));
        }
        if lists.is_empty() {
            let message = match others.first() {
                Some(other) => format!("the archive holds no list, only files such as `{}`", other.name),
                None => "the archive holds no file".to_string(),
            };
            return Err(FileFailure::new(shown, Problem::UnsupportedArchive, message));
        }
        if !others.is_empty() {
            let names: Vec<String> = others.iter().map(|other| format!("`{}`", other.name)).collect();
            let message = format!("left aside in the archive, by name no lists: {}", names.join(", "));
            self.notes.push(Note::new(message));
        }
        let mut spent = 0;
        Ok(lists
            .into_iter()
            .flat_map(|listed| self.member(profiles, listed, &mut spent))
            .collect())
    }

    fn member(&self, profiles: &Profiles, listed: Listed, spent: &mut u64) -> Vec<Opened> {
        let shown: Arc<str> = Arc::from(format!("{}!/{}", self.input.shown, listed.name));
        let lists = listed
            .what
            .map_err(|error| FileFailure::new(&shown, Problem::UnsupportedArchive, error))
            .and_then(|member| self.for_member(profiles, &listed.name).lists(&shown, member, spent));
        lists.unwrap_or_else(|failure| vec![Err(failure)])
    }

    /// The same for a member, whose own name may call for another profile.
    fn for_member(&self, profiles: &Profiles, name: &str) -> Self {
        let mut own = self.clone();
        if let Some(profile) = profiles.for_file(Path::new(name)) {
            own.said = profile.dialect.clone();
            own.profile = Some(profile.clone());
        }
        own
    }

    fn lists(&self, shown: &Arc<str>, member: Member, spent: &mut u64) -> Result<Vec<Opened>, FileFailure> {
        let mut source = Source {
            packed_bytes: member.packed,
            spent: *spent,
            ..self.source(Packing::Member(member))
        };
        let failed = |source: &Source, error: io::Error| stream_failure(source, shown, &error);
        let mut head = Vec::new();
        let opened = source.open().map_err(|error| failed(&source, error))?;
        let read = opened.take(16).read_to_end(&mut head);
        read.map_err(|error| failed(&source, error))?;
        source.wrapping = match kind_of(&head) {
            Kind::Gzip => Some(Wrapping::Gzip),
            Kind::Zstd => Some(Wrapping::Zstd),
            Kind::Zip => return self.packed_workbook(shown, &source, spent),
            Kind::Plain | Kind::Foreign(_) => None,
        };
        let survey = self.survey(&source, shown, |_| {})?;
        *spent += survey.bytes;
        let name = Name::of(shown, self.profile.as_deref());
        Ok(vec![self.text_list(&name, &source, &survey)])
    }

    /// A member that is a zip itself: a workbook is unpacked into memory, under its own cap; anything else is refused.
    fn packed_workbook(&self, shown: &Arc<str>, source: &Source, spent: &mut u64) -> Result<Vec<Opened>, FileFailure> {
        let most = self.limits.workbook_bytes;
        let mut bytes = Vec::new();
        let read = source
            .open()
            .and_then(|stream| stream.take(most + 1).read_to_end(&mut bytes));
        let nested = "an archive inside an archive is not read";
        let refused = |message: &str| FileFailure::new(shown, Problem::UnsupportedArchive, message);
        match read {
            Err(error) => return Err(stream_failure(source, shown, &error)),
            Ok(_) if bytes.len() as u64 > most => {
                let message = format!("the workbook has more than {most} bytes, the limit `workbook_bytes`");
                return Err(FileFailure::new(shown, Problem::WorkbookTooLarge, message));
            }
            Ok(_) => {}
        }
        *spent += bytes.len() as u64;
        match members(Cursor::new(&bytes)) {
            Ok(Contents::Workbook) => {}
            Ok(Contents::Lists(_)) => return Err(refused(nested)),
            Err(error) => return Err(refused(&error)),
        }
        let bytes: Arc<[u8]> = Arc::from(bytes);
        let book = Book {
            name: Name::of(shown, self.profile.as_deref()),
            open: &|| Ok(Box::new(Cursor::new(bytes.clone()))),
        };
        open_sheets(self, &book)
    }
}
