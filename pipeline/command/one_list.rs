//! One list out of a file, for commands that look at a single list: a text file is one, a workbook or an archive may
//! hold several, of which one must be named.

use super::outcome::Failure;
use crate::intake::{InputFile, Limits, ListReader, Profiles, Use, read_file};
use std::path::Path;

/// Opens the one list of a file, or the one that was named: a sheet of a workbook, a member of an archive.
///
/// # Errors
/// The file cannot be read as a list, or holds several and none was named.
pub fn open_list(file: &Path, profiles: &Profiles, name: Option<&str>) -> Result<ListReader, Failure> {
    let input = InputFile::named(file);
    let mut lists = read_file(&input, profiles, &Limits::default(), Use::Tidy)
        .map_err(|failure| Failure::failed(failure.to_string()).hint(failure.hint))?;
    let place = match name {
        None if lists.len() == 1 => Some(0),
        None => None,
        Some(name) => lists.iter().position(|list| is_called(list, name)),
    };
    if let Some(place) = place {
        return Ok(lists.swap_remove(place));
    }
    if lists.is_empty() {
        return Err(Failure::failed(format!("{}: holds no list", file.display())));
    }
    let names: Vec<String> = lists.iter().map(|list| list.head().shown()).collect();
    Err(Failure::usage(match name {
        Some(name) => format!("{}: holds no list `{name}`", file.display()),
        None => format!("{}: holds {} lists", file.display(), names.len()),
    })
    .hint(format!("choose one with --sheet: {}", names.join(", "))))
}

fn is_called(list: &ListReader, name: &str) -> bool {
    let head = list.head();
    let member = head.file.rsplit_once("!/").map(|(_, member)| member);
    head.sheet.as_deref() == Some(name) || member == Some(name) || head.shown() == name
}
