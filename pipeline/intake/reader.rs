//! Drives the steps of intake over one file.

use super::inputs::InputFile;
use super::limits::Limits;
use super::list::{ListAccount, ListHead};
use super::problem::FileFailure;
use super::profile::Profiles;
use super::rows::RowBatch;

/// What the rows are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Offers: columns must be recognised, and a doubtful line is rejected.
    Build,
    /// A plain table: no column need be recognised, and a short line may be padded.
    Tidy,
}

/// Reads one list, batch by batch.
pub struct ListReader {
    head: ListHead,
}

/// Opens a file and finds out all that must be known before its rows are read. Several sheets or archive members are
/// several lists.
pub fn read_file(
    _input: &InputFile,
    _profiles: &Profiles,
    _limits: &Limits,
    _purpose: Use,
) -> Result<Vec<ListReader>, FileFailure> {
    Ok(Vec::new())
}

impl ListReader {
    /// What is known of the list.
    pub fn head(&self) -> &ListHead {
        &self.head
    }

    /// The next rows, or `None` after the last.
    pub fn next_batch(&mut self) -> Option<RowBatch> {
        None
    }

    /// What became of the lines; reads whatever has not been read yet.
    pub fn finish(self) -> ListAccount {
        ListAccount::default()
    }
}
