//! One file put in its place whole, for commands that write a list or a profile instead of a run.
//!
//! It is written beside its place under a name of its own, synced, and moved in at once: a reader sees the
//! old file or the new one. A writer that fails, or is dropped before [`SingleFile::put`], leaves the old
//! file as it was and nothing beside it.

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
    aside: PathBuf,
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
        let aside = place.with_file_name(format!(".{name}.writing-{}", std::process::id()));
        let file = fresh_file(&aside)?;
        Ok(SingleFile {
            place: place.to_path_buf(),
            aside,
            file: Some(file),
        })
    }

    /// Syncs the file and moves it into its place.
    ///
    /// # Errors
    /// The disk is full, the place cannot be written, or is taken and shall be kept.
    pub fn put(mut self, standing: Standing) -> Result<(), PublishError> {
        if let Some(mut file) = self.file.take() {
            file.flush()
                .and_then(|()| file.get_ref().sync_all())
                .map_err(PublishError::io("write", &self.place))?;
        }
        match standing {
            Standing::Replace => move_over(&self.aside, &self.place),
            // A link is refused when the name is taken; a look beforehand could be outrun.
            Standing::Keep => fs::hard_link(&self.aside, &self.place),
        }
        .map_err(PublishError::io("write", &self.place))
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
        let _ = fs::remove_file(&self.aside);
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

    #[test]
    fn a_folder_is_no_place_for_a_file() {
        let home = tempfile::tempdir().unwrap();
        assert!(SingleFile::beside(home.path()).is_err());
        assert!(SingleFile::beside(&home.path().join("no such folder/list.csv")).is_err());
    }
}
