//! Moving a finished run into its place, and mending what a dead run left half moved.

use std::fs::{self, File, OpenOptions};
use std::path::Path;

use super::neighbours::Neighbours;
use crate::publish::error::PublishError;

/// Under the lock: puts back an old run whose swap was cut short, and removes what dead runs left.
pub fn sweep(out: &Path, neighbours: &Neighbours) -> Result<(), PublishError> {
    let mut old_runs = neighbours.left_over(&neighbours.before_prefix());
    if !out.exists()
        && let Some(old) = old_runs.pop()
    {
        fs::rename(&old, out).map_err(PublishError::io("put back the previous output", &old))?;
        sync_folder(&neighbours.parent)?;
    }
    old_runs.extend(neighbours.left_over(&neighbours.writing_prefix()));
    for folder in old_runs {
        fs::remove_dir_all(&folder).map_err(PublishError::io("sweep", &folder))?;
    }
    Ok(())
}

/// Moves the new run to where the output is, and the old one aside. Where the system can, the two change places in one
/// step, and nobody ever finds no output; elsewhere the old one moves aside first, and is put back if the second step
/// fails.
pub fn swap(new: &Path, out: &Path, aside: &Path) -> Result<(), PublishError> {
    let had_old = out.exists();
    if had_old && new.is_dir() && change_places(new, out) {
        return fs::rename(new, aside).map_err(PublishError::io("move aside", new));
    }
    if had_old {
        fs::rename(out, aside).map_err(PublishError::io("move aside", out))?;
    }
    if let Err(error) = fs::rename(new, out) {
        if had_old {
            let _ = fs::rename(aside, out);
        }
        return Err(PublishError::io("move into place", out)(error));
    }
    Ok(())
}

/// Whether the two folders have changed places; where not, nothing has happened, be it that the system or the file
/// system cannot do it.
#[cfg(target_os = "linux")]
pub(super) fn change_places(one: &Path, other: &Path) -> bool {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE).is_ok()
}

#[cfg(not(target_os = "linux"))]
fn change_places(_one: &Path, _other: &Path) -> bool {
    false
}

/// Syncs every file of a folder, then the folder.
pub fn sync_files(folder: &Path) -> Result<(), PublishError> {
    for entry in fs::read_dir(folder).map_err(PublishError::io("look into", folder))? {
        let path = entry.map_err(PublishError::io("look into", folder))?.path();
        // Opened for writing, which some systems ask for before they sync.
        let file = OpenOptions::new().write(true).open(&path);
        file.and_then(|file| file.sync_all())
            .map_err(PublishError::io("sync", &path))?;
    }
    sync_folder(folder)
}

/// Makes the names in a folder durable where the system can open a folder as a file.
pub fn sync_folder(folder: &Path) -> Result<(), PublishError> {
    if cfg!(unix) {
        let folder_file = File::open(folder);
        folder_file
            .and_then(|file| file.sync_all())
            .map_err(PublishError::io("sync", folder))?;
    }
    Ok(())
}
