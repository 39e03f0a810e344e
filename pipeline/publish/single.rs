//! One file put in its place whole, for commands that write a list or a profile instead of a run.
//!
//! It is written beside its place under a name of its own, synced, and moved in at once: a reader sees the
//! old file or the new one. A writer that fails, or is dropped before [`SingleFile::put`], leaves the old
//! file as it was and nothing beside it.
//!
//! A place that is no file but a device, a pipe or a socket is written into as it comes: moving a file over it
//! would take the device away from everyone. A link stays a link; what it points to is replaced.

use super::error::PublishError;
use super::fresh::fresh_file;
use std::fs;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

/// What to do when the place is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The new file takes the old one's place.
    Replace,
    /// The old file stays, and the new one is refused.
    Keep,
}

/// A file being written beside its place.
#[derive(Debug)]
pub struct SingleFile {
    place: PathBuf,
    /// Where it is written; none for a device or a pipe, which take it directly.
    aside: Option<PathBuf>,
    file: Option<BufWriter<fs::File>>,
}

impl SingleFile {
    /// Starts a file that is to stand at `place`.
    ///
    /// # Errors
    /// The place is a folder, or its folder cannot be written into.
    pub fn beside(place: &Path) -> Result<SingleFile, PublishError> {
        let name = match place.file_name() {
            Some(name) if !place.is_dir() => name.to_string_lossy().into_owned(),
            _ => {
                return Err(PublishError::io("write a file at", place)(io::Error::from(
                    io::ErrorKind::IsADirectory,
                )));
            }
        };
        if is_no_plain_file(place) {
            let open = fs::OpenOptions::new().write(true).open(place);
            return Ok(SingleFile {
                place: place.to_path_buf(),
                aside: None,
                file: Some(BufWriter::new(open.map_err(PublishError::io("write into", place))?)),
            });
        }
        let place = behind_links(place);
        let aside = place.with_file_name(format!(".{name}.writing-{}", std::process::id()));
        let file = fresh_file(&aside)?;
        Ok(SingleFile {
            place,
            aside: Some(aside),
            file: Some(file),
        })
    }

    /// Syncs the file and moves it into its place.
    ///
    /// # Errors
    /// The disk is full, the place cannot be written, or is taken and shall be kept.
    pub fn put(mut self, standing: Standing) -> Result<(), PublishError> {
        let Some(mut file) = self.file.take() else {
            return Ok(());
        };
        file.flush().map_err(PublishError::io("write", &self.place))?;
        let Some(aside) = &self.aside else { return Ok(()) };
        file.get_ref()
            .sync_all()
            .map_err(PublishError::io("write", &self.place))?;
        match standing {
            Standing::Replace => move_over(aside, &self.place),
            // A link is refused when the name is taken; a look beforehand could be outrun.
            Standing::Keep => fs::hard_link(aside, &self.place),
        }
        .map_err(PublishError::io("write", &self.place))
    }
}

/// Whether something stands there that cannot be replaced by a file without harm.
pub fn is_no_plain_file(place: &Path) -> bool {
    fs::metadata(place).is_ok_and(|there| !there.is_file() && !there.is_dir())
}

/// The file a link points to, or the place itself.
fn behind_links(place: &Path) -> PathBuf {
    let link = fs::symlink_metadata(place).is_ok_and(|there| there.is_symlink());
    match fs::canonicalize(place) {
        Ok(target) if link => target,
        _ => place.to_path_buf(),
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "this is the move that puts one whole, synced file in its place"
)]
fn move_over(aside: &Path, place: &Path) -> io::Result<()> {
    fs::rename(aside, place)
}

impl Write for SingleFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.file {
            Some(file) => file.write(bytes),
            None => Err(io::Error::from(io::ErrorKind::BrokenPipe)),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.as_mut().map_or(Ok(()), BufWriter::flush)
    }
}

impl Drop for SingleFile {
    fn drop(&mut self) {
        self.file = None;
        // Moved in, it is no longer there; otherwise it is of no use to anyone.
        if let Some(aside) = &self.aside {
            let _ = fs::remove_file(aside);
        }
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests write files of their own")]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_appears_whole_and_nothing_stays_beside_it() {
        let home = tempfile::tempdir().unwrap();
        let place = home.path().join("list.csv");
        fs::write(&place, "old").unwrap();
        let mut file = SingleFile::beside(&place).unwrap();
        file.write_all(b"new").unwrap();
        assert_eq!(fs::read(&place).unwrap(), b"old");
        file.put(Standing::Replace).unwrap();
        assert_eq!(fs::read(&place).unwrap(), b"new");
        assert_eq!(names(home.path()), ["list.csv"]);
    }

    #[test]
    fn a_writer_that_is_dropped_leaves_the_old_file() {
        let home = tempfile::tempdir().unwrap();
        let place = home.path().join("list.csv");
        fs::write(&place, "old").unwrap();
        let mut file = SingleFile::beside(&place).unwrap();
        file.write_all(b"half").unwrap();
        drop(file);
        assert_eq!(fs::read(&place).unwrap(), b"old");
        assert_eq!(names(home.path()), ["list.csv"]);
    }

    #[test]
    fn a_standing_file_is_kept_when_it_shall_be() {
        let home = tempfile::tempdir().unwrap();
        let place = home.path().join("profile.toml");
        let write = || {
            let mut file = SingleFile::beside(&place).unwrap();
            file.write_all(b"new").unwrap();
            file.put(Standing::Keep)
        };
        write().unwrap();
        fs::write(&place, "mine").unwrap();
        assert!(write().is_err());
        assert_eq!(fs::read(&place).unwrap(), b"mine");
        assert_eq!(names(home.path()), ["profile.toml"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link_and_its_file_is_replaced() {
        let home = tempfile::tempdir().unwrap();
        let (file, link) = (home.path().join("list.csv"), home.path().join("latest.csv"));
        fs::write(&file, "old").unwrap();
        std::os::unix::fs::symlink("list.csv", &link).unwrap();
        let mut new = SingleFile::beside(&link).unwrap();
        new.write_all(b"new").unwrap();
        new.put(Standing::Replace).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&file).unwrap(), b"new");
        assert_eq!(names(home.path()), ["latest.csv", "list.csv"]);
    }

    /// A socket stands for a device here: making one of those takes a superuser, and a test that went wrong would
    /// take it away from the machine.
    #[cfg(unix)]
    #[test]
    fn what_is_no_file_is_never_replaced_by_one() {
        let home = tempfile::tempdir().unwrap();
        let place = home.path().join("socket");
        let _listener = std::os::unix::net::UnixListener::bind(&place).unwrap();
        assert!(is_no_plain_file(&place));
        assert!(
            SingleFile::beside(&place).is_err(),
            "a socket cannot be opened as a file"
        );
        assert!(is_no_plain_file(&place));
        assert_eq!(names(home.path()), ["socket"]);
    }

    #[test]
    fn a_folder_is_no_place_for_a_file() {
        let home = tempfile::tempdir().unwrap();
        assert!(SingleFile::beside(home.path()).is_err());
        assert!(SingleFile::beside(&home.path().join("no such folder/list.csv")).is_err());
    }
}
