//! One list out of a file, for commands that look at a single list: a text file is one, a workbook or an archive may
//! hold several, of which one must be named.

use super::outcome::Failure;
use crate::intake::{FileFailure, InputFile, Limits, ListReader, Profiles, Use, read_file};
use std::path::Path;

/// A list of a file, or why it cannot be used.
type Listed = Result<ListReader, FileFailure>;

/// Opens the one list of a file, or the one that was named: a sheet of a workbook, a member of an archive.
///
/// # Errors
/// The file cannot be read as a list, or holds several and none was named.
pub fn open_list(file: &Path, profiles: &Profiles, limits: &Limits, name: Option<&str>) -> Result<ListReader, Failure> {
    let mut lists = read_file(&InputFile::named(file), profiles, limits, Use::Tidy);
    let place = match name {
        None => only_one(&lists, || {
            read_file(&InputFile::named(file), profiles, limits, Use::Build)
        }),
        Some(name) => lists.iter().position(|list| is_called(list, name)),
    };
    if let Some(place) = place {
        return lists
            .swap_remove(place)
            .map_err(|failure| Failure::failed(failure.to_string()).hint(failure.hint));
    }
    let names: Vec<String> = lists.iter().map(shown).collect();
    Err(Failure::usage(match name {
        Some(name) => format!("{}: holds no list `{name}`", file.display()),
        None => format!("{}: holds {} lists", file.display(), names.len()),
    })
    .hint(format!("choose one with --sheet: {}", names.join(", "))))
}

/// The one list of a file, or the one of several that a build takes: a sheet of terms beside it is no list of parts.
fn only_one(lists: &[Listed], as_built: impl FnOnce() -> Vec<Listed>) -> Option<usize> {
    if lists.len() < 2 {
        return (lists.len() == 1).then_some(0);
    }
    let built = as_built();
    let mut sound = built.iter().filter(|list| list.is_ok());
    let only = sound.next().filter(|_| sound.next().is_none())?;
    lists.iter().position(|list| shown(list) == shown(only))
}

fn shown(list: &Listed) -> String {
    match list {
        Ok(list) => list.head().shown(),
        Err(failure) => failure.file.to_string(),
    }
}

fn is_called(list: &Listed, name: &str) -> bool {
    let shown = shown(list);
    let file = match list {
        Ok(list) => list.head().file.as_ref(),
        Err(failure) => failure.file.as_ref(),
    };
    let sheet = list.as_ref().ok().and_then(|list| list.head().sheet.as_deref());
    let member = file.rsplit_once("!/").map(|(_, member)| member);
    sheet == Some(name) || member == Some(name) || shown == name
}
