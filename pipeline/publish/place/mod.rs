//! Where a run lands, and how it gets there in one piece.
//!
//! A [`Place`] is a folder claimed for writing one run: the output's lock is held, what dead runs left behind is swept,
//! and a temporary folder stands ready. Dropping the place without [`Place::publish`] removes the temporary folder; the
//! old output stands untouched.
//!
//! There are two sorts of output. One of many runs, with a pointer to the one that stands, is described in [`chain`]. An
//! output `OUT` of a single run is replaced as a whole; all in the same parent folder so that a rename moves nothing:
//! - `.OUT.lock` is locked by the kernel while a run writes and is never removed; its text names the holder
//! - `.OUT.writing-PROCESS` is the run being written; every file and the folder are synced before the swap
//! - `.OUT.before-PROCESS` is the old run after the swap, until it is removed. Where the system cannot let two folders
//!   change places it bears this name between two renames; if a machine dies there, readers find the old run under this
//!   name, and the next claim puts it back.
//!
//! Refused: an output that is a file, that holds anything samefit did not write, or that lies inside an input or holds
//! one.

#![expect(
    clippy::disallowed_methods,
    reason = "the one module of this stage that renames and removes folders, all of them its own"
)]

pub mod chain;
pub mod durable;
pub mod lock;
mod neighbours;
mod refusal;
mod swap;
#[cfg(test)]
mod tests;

use std::fs;
use std::path::{Path, PathBuf};

use super::error::PublishError;
use super::manifest::RUN_FILE;
use chain::{Chain, pointed_at};
use lock::Lock;
use neighbours::Neighbours;
pub use refusal::settled_path;
use refusal::{refuse_inputs, refuse_what_is_not_ours};
use swap::{swap, sweep, sync_files, sync_folder};

/// A folder claimed for writing a run.
#[derive(Debug)]
pub struct Place {
    writing: PathBuf,
    landing: Landing,
    state: State,
}

/// Where the run will stand.
#[derive(Debug)]
enum Landing {
    /// In place of the whole output. The lock is held for as long as the place lives.
    Whole { out: PathBuf, _lock: Lock },
    /// Among other runs, of which a pointer names one.
    Among { chain: Chain, name: String, keep: usize },
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
        Self::claim_marked(out, inputs, RUN_FILE)
    }

    /// The same for a folder that bears another mark than a run's, such as an order plan: neither takes the place of the
    /// other.
    ///
    /// # Errors
    /// As [`Place::claim`].
    pub fn claim_marked(out: &Path, inputs: &[PathBuf], mark: &str) -> Result<Self, PublishError> {
        let out = settled_path(out)?;
        refuse_inputs(&out, inputs)?;
        refuse_what_is_not_ours(&out, mark)?;
        let neighbours = Neighbours::of(&out)?;
        fs::create_dir_all(&neighbours.parent).map_err(PublishError::io("make the folder", &neighbours.parent))?;
        let lock = Lock::take(&neighbours.lock())?;
        sweep(&out, &neighbours)?;
        // What stands there may have changed while the lock was another run's.
        refuse_what_is_not_ours(&out, mark)?;
        let writing = neighbours.writing();
        fs::create_dir(&writing).map_err(PublishError::io("make the folder", &writing))?;
        Ok(Self {
            writing,
            landing: Landing::Whole { out, _lock: lock },
            state: State::Writing,
        })
    }

    /// A place for a run of this name among the runs of an output, of which so many are kept.
    ///
    /// # Errors
    /// What the operating system says.
    pub fn among(chain: Chain, name: &str, keep: usize) -> Result<Self, PublishError> {
        let writing = chain.begin(name)?;
        let name = name.to_owned();
        Ok(Self {
            writing,
            landing: Landing::Among { chain, name, keep },
            state: State::Writing,
        })
    }

    /// The folder to write into.
    pub fn folder(&self) -> &Path {
        &self.writing
    }

    /// Syncs what was written and puts it in its place; gives the folder the run stands in. On an error the old output
    /// stands, or, where the last step reports a fault, the old or the new one.
    pub fn publish(mut self) -> Result<PathBuf, PublishError> {
        sync_files(&self.writing)?;
        match &mut self.landing {
            Landing::Whole { out, .. } => {
                let neighbours = Neighbours::of(out)?;
                swap(&self.writing, out, &neighbours.before())?;
                self.state = State::Published;
                sync_folder(&neighbours.parent)?;
                // The new run stands; an old one that cannot be removed is swept by the next.
                let _ = fs::remove_dir_all(neighbours.before());
                Ok(out.clone())
            }
            Landing::Among { chain, name, keep } => {
                let folder = chain.take_in(&self.writing, name)?;
                self.state = State::Published;
                chain.point_at(name, *keep)?;
                chain.sweep();
                Ok(folder)
            }
        }
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
    refuse_what_is_not_ours(&out, RUN_FILE)
}

/// The run that stands at an output: the one its pointer names, or the folder itself, or, if a machine died between
/// the two renames of a swap, the old run beside it.
pub fn standing_run(out: &Path) -> PathBuf {
    if let Some(run) = pointed_at(out) {
        return run;
    }
    if out.exists() {
        return out.to_path_buf();
    }
    let beside = settled_path(out).and_then(|out| Neighbours::of(&out));
    let aside = beside
        .ok()
        .and_then(|beside| beside.left_over(&beside.before_prefix()).pop());
    aside.unwrap_or_else(|| out.to_path_buf())
}
