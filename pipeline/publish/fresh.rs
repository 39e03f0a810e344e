//! Files of a run being written: always new ones, in a folder no reader knows of yet.
//!
//! A file that is already there is a fault, not something to write over, so nothing published can be
//! cut short from here.

use std::fs::{File, OpenOptions};
use std::io::{BufWriter, Write};
use std::path::Path;

use super::error::PublishError;

const BUFFER_BYTES: usize = 1 << 18;

/// A new file to write into; flush it with [`finish`].
pub fn fresh_file(path: &Path) -> Result<BufWriter<File>, PublishError> {
    let file = OpenOptions::new().write(true).create_new(true).open(path);
    let file = file.map_err(PublishError::io("create", path))?;
    Ok(BufWriter::with_capacity(BUFFER_BYTES, file))
}

/// Hands what is still buffered to the system. A full disk shows here at the latest.
pub fn finish(mut file: BufWriter<File>, path: &Path) -> Result<(), PublishError> {
    file.flush().map_err(PublishError::io("write", path))
}

/// A new file with this content.
pub fn write_fresh(path: &Path, content: &[u8]) -> Result<(), PublishError> {
    let mut file = fresh_file(path)?;
    file.write_all(content).map_err(PublishError::io("write", path))?;
    finish(file, path)
}
