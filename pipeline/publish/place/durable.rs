//! Small files that must be old or new, never half: written beside their place, synced, and renamed over it.

use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::Path;

use super::swap::sync_folder;
use crate::publish::error::PublishError;
use crate::publish::single::is_no_plain_file;

/// What the name of a file being written holds.
const WRITING: &str = ".writing-";

/// Replaces a file, or makes it, in one step that survives a power cut.
///
/// A device or a pipe is written into instead: a file moved over it would take it away from everyone.
///
/// # Errors
/// What the operating system says. Before the rename the old file stands; a fault of the rename or after it leaves the
/// outcome open.
pub fn replace(path: &Path, content: &[u8]) -> Result<(), PublishError> {
    if is_no_plain_file(path) {
        let written = OpenOptions::new().write(true).open(path);
        return written
            .and_then(|mut place| place.write_all(content))
            .map_err(PublishError::io("write into", path));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let aside = path.with_file_name(format!(".{name}{WRITING}{}", std::process::id()));
    let written = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .open(&aside)
        .and_then(|mut file| {
            file.write_all(content)?;
            file.sync_all()
        });
    if let Err(error) = written {
        let _ = fs::remove_file(&aside);
        return Err(PublishError::io("write", path)(error));
    }
    fs::rename(&aside, path).map_err(PublishError::io("replace", path))?;
    path.parent().map_or(Ok(()), sync_folder)
}

/// Removes what dead processes left half written in a folder. For the holder of the folder's lock only.
pub fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with('.') && name.contains(WRITING) && entry.path().is_file() {
            let _ = fs::remove_file(entry.path());
        }
    }
}
