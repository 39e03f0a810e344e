//! Where a run lands, and how it gets there in one piece.
//!
//! A [`Place`] is an output folder claimed for writing: its lock is held, what dead runs left behind is
//! swept, and a temporary folder stands beside it. Dropping the place without [`Place::publish`] removes
//! the temporary folder; the old output stands untouched.
//!
//! For an output `OUT`, all in the same parent folder so that a rename moves nothing:
//! - `.OUT.lock` is locked by the kernel while a run writes and is never removed; its text is the
//!   process that holds it. A run that dies frees it by dying.
//! - `.OUT.writing-PROCESS` is the run being written; every file and the folder are synced before the swap
//! - `.OUT.before-PROCESS` is the old run between the two renames of the swap. If a machine dies there,
//!   the next claim puts it back.
//!
//! Refused: an output that is a file, that holds anything samefit did not write, or that lies inside an
//! input or holds one.

#![expect(
    clippy::disallowed_methods,
    reason = "the one module of this stage that renames and removes folders, all of them its own"
)]

mod neighbours;
mod refusal;
mod swap;
#[cfg(test)]
mod tests;

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use super::error::PublishError;
use neighbours::{Neighbours, take_lock};
use refusal::{refuse_inputs, refuse_what_is_not_ours, settled_path};
use swap::{swap, sweep, sync_files, sync_folder};

/// An output folder claimed for writing.
#[derive(Debug)]
pub struct Place {
    out: PathBuf,
    writing: PathBuf,
    state: State,
    // Held for as long as the place lives.
    _lock: File,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Writing,
    Published,
}

impl Place {
    /// Claims an output folder. Missing parent folders are made.
    ///
    /// # Errors
    /// [`PublishError::Locked`] while another run writes the same output; a usage fault where the
    /// folder is refused; otherwise what the operating system says.
    pub fn claim(out: &Path, inputs: &[PathBuf]) -> Result<Self, PublishError> {
        let out = settled_path(out)?;
        refuse_inputs(&out, inputs)?;
        refuse_what_is_not_ours(&out)?;
        let neighbours = Neighbours::of(&out)?;
        fs::create_dir_all(&neighbours.parent).map_err(PublishError::io("make the folder", &neighbours.parent))?;
        let lock = take_lock(&neighbours.lock())?;
        sweep(&out, &neighbours)?;
        // What stands there may have changed while the lock was another run's.
        refuse_what_is_not_ours(&out)?;
        let writing = neighbours.writing();
        fs::create_dir(&writing).map_err(PublishError::io("make the folder", &writing))?;
        Ok(Self {
            out,
            writing,
            state: State::Writing,
            _lock: lock,
        })
    }

    /// The folder to write into.
    pub fn folder(&self) -> &Path {
        &self.writing
    }

    /// The folder the run will stand in.
    pub fn out(&self) -> &Path {
        &self.out
    }

    /// Syncs what was written and swaps it in. On an error the old output stands.
    pub fn publish(mut self) -> Result<PathBuf, PublishError> {
        sync_files(&self.writing)?;
        let neighbours = Neighbours::of(&self.out)?;
        swap(&self.writing, &self.out, &neighbours.before())?;
        self.state = State::Published;
        sync_folder(&neighbours.parent)?;
        // The new run stands; an old one that cannot be removed is swept by the next.
        let _ = fs::remove_dir_all(neighbours.before());
        Ok(self.out.clone())
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        if self.state == State::Writing {
            let _ = fs::remove_dir_all(&self.writing);
        }
    }
}

/// Checks, without touching anything, that a run over these inputs could be published there.
pub fn check_place(out: &Path, inputs: &[PathBuf]) -> Result<(), PublishError> {
    let out = settled_path(out)?;
    refuse_inputs(&out, inputs)?;
    refuse_what_is_not_ours(&out)
}

/// The run that stands at an output: the folder itself, or, if a machine died between the two renames
/// of a swap, the old run beside it.
pub fn standing_run(out: &Path) -> PathBuf {
    if out.exists() {
        return out.to_path_buf();
    }
    let beside = settled_path(out).and_then(|out| Neighbours::of(&out));
    let aside = beside
        .ok()
        .and_then(|beside| beside.left_over(&beside.before_prefix()).pop());
    aside.unwrap_or_else(|| out.to_path_buf())
}
