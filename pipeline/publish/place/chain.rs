//! An output of many runs: each in a folder of its own, and one small file that says which of them stands.
//!
//! For an output `OUT`:
//! - `OUT/runs/NAME` are runs, never changed once they stand; the last few are kept
//! - `OUT/current.json` is the *pointer*: the run that stands, and those kept, oldest first. It is replaced by one rename
//!   of a synced file, which readers see whole or not at all, on every system, without links.
//! - `OUT/refresh.lock` is locked by the kernel while a run writes, and never removed
//! - `OUT/runs/.NAME.writing-PROCESS` is a run being written
//!
//! A run that fails or dies before the rename leaves the old pointer and the old run. When the rename itself reports a
//! fault its outcome is not known, so nothing is removed; the next run looks which run stands and sweeps the rest.
//! A reader has at least one whole night to finish with a run that no longer stands: two runs at least are kept.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use serde::{Deserialize, Serialize};

use super::lock::Lock;
use super::refusal::{refuse_inputs, settled_path};
use super::swap::sync_folder;
use crate::publish::error::PublishError;
use crate::publish::manifest::{TOOL, files_of_run};

/// The pointer's file.
pub const POINTER_FILE: &str = "current.json";
/// The lock's file.
const LOCK_FILE: &str = "refresh.lock";
/// The folder of runs.
const RUNS: &str = "runs";
/// Fewest runs kept: the one that stands, and the one that readers may still be in.
pub const FEWEST_KEPT: usize = 2;

/// Which run stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pointer {
    tool: String,
    /// Name of the run that stands.
    pub run: String,
    /// Runs kept, oldest first, the one that stands the last.
    pub kept: Vec<String>,
}

/// An output of many runs, claimed for writing: its lock is held and leftovers of dead runs are swept.
#[derive(Debug)]
pub struct Chain {
    out: PathBuf,
    pointer: Option<Pointer>,
    _lock: Lock,
}

impl Chain {
    /// Claims the output. Missing folders are made.
    ///
    /// # Errors
    /// [`PublishError::Locked`] while another run has it after waiting as long as asked; a usage fault where the folder
    /// is refused; otherwise what the operating system says.
    pub fn claim(out: &Path, inputs: &[PathBuf], patience: Duration) -> Result<Chain, PublishError> {
        let out = settled_path(out)?;
        refuse_inputs(&out, inputs)?;
        refuse_what_is_no_chain(&out)?;
        let runs = out.join(RUNS);
        fs::create_dir_all(&runs).map_err(PublishError::io("make the folder", &runs))?;
        let lock = Lock::wait(&out.join(LOCK_FILE), patience)?;
        let pointer = pointer_of(&out)?;
        let chain = Chain {
            out,
            pointer,
            _lock: lock,
        };
        chain.sweep();
        Ok(chain)
    }

    /// The output's folder.
    pub fn out(&self) -> &Path {
        &self.out
    }

    /// The run that stands, if one does.
    pub fn pointer(&self) -> Option<&Pointer> {
        self.pointer.as_ref()
    }

    /// The folder of a run.
    pub fn run_folder(&self, name: &str) -> PathBuf {
        self.out.join(RUNS).join(name)
    }

    /// Names of runs that are there, whether they stand or not.
    pub fn names(&self) -> Vec<String> {
        let names = entries(&self.out.join(RUNS));
        let names = names.iter().filter_map(|path| path.file_name());
        names.map(|name| name.to_string_lossy().into_owned()).collect()
    }

    /// Whether the run that stands is there with all its files.
    pub fn stands_whole(&self) -> bool {
        self.pointer.as_ref().is_some_and(|pointer| {
            let folder = self.run_folder(&pointer.run);
            files_of_run(&folder).is_some_and(|files| files.iter().all(|file| folder.join(file).is_file()))
        })
    }

    /// A new folder to write a run of this name into.
    pub(super) fn begin(&self, name: &str) -> Result<PathBuf, PublishError> {
        let writing = self
            .out
            .join(RUNS)
            .join(format!(".{name}.writing-{}", std::process::id()));
        fs::create_dir(&writing).map_err(PublishError::io("make the folder", &writing))?;
        Ok(writing)
    }

    /// Moves a synced run among the others; readers do not know of it yet.
    pub(super) fn take_in(&self, writing: &Path, name: &str) -> Result<PathBuf, PublishError> {
        let folder = self.run_folder(name);
        fs::rename(writing, &folder).map_err(PublishError::io("move into place", &folder))?;
        sync_folder(&self.out.join(RUNS))?;
        Ok(folder)
    }

    /// Points at a run that lies among the others. This is the moment of publishing.
    ///
    /// # Errors
    /// What the operating system says. The outcome is then not known, and nothing may be removed.
    pub(super) fn point_at(&mut self, name: &str, keep: usize) -> Result<(), PublishError> {
        let mut kept = self.pointer.take().map(|before| before.kept).unwrap_or_default();
        kept.retain(|kept| kept != name);
        kept.push(name.to_owned());
        let surplus = kept.len().saturating_sub(keep.max(FEWEST_KEPT));
        kept.drain(..surplus);
        let pointer = Pointer {
            tool: TOOL.to_owned(),
            run: name.to_owned(),
            kept,
        };
        let path = self.out.join(POINTER_FILE);
        let mut text = serde_json::to_string_pretty(&pointer).map_err(PublishError::format(&path))?;
        text.push('\n');
        super::durable::replace(&path, text.as_bytes())?;
        self.pointer = Some(pointer);
        Ok(())
    }

    /// Removes what the pointer does not keep: runs that were written and never stood, temporary files, and runs past
    /// the number kept. What cannot be removed is tried again by the next run.
    pub fn sweep(&self) {
        let runs = self.out.join(RUNS);
        for entry in entries(&runs) {
            let name = entry.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let half = name.starts_with('.') && name.contains(".writing-");
            // Without a pointer nobody knows which run stood.
            let surplus = self
                .pointer
                .as_ref()
                .is_some_and(|pointer| !pointer.kept.contains(&name));
            if half || surplus && files_of_run(&entry).is_some() {
                let _ = fs::remove_dir_all(&entry);
            }
        }
        super::durable::sweep(&self.out);
    }
}

/// The run that stands at an output of many runs; none if the folder is no such output.
pub fn pointed_at(out: &Path) -> Option<PathBuf> {
    let pointer = pointer_of(out).ok().flatten()?;
    Some(out.join(RUNS).join(pointer.run))
}

/// The pointer of an output; none before the first run.
///
/// # Errors
/// It cannot be read, or is not of samefit.
pub fn pointer_of(out: &Path) -> Result<Option<Pointer>, PublishError> {
    let path = out.join(POINTER_FILE);
    let text = match fs::read(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(PublishError::io("read", &path)(error)),
    };
    let not_ours = || PublishError::NotOurs {
        out: out.to_path_buf(),
        found: format!("{POINTER_FILE}, which is not of samefit"),
    };
    let pointer: Pointer = serde_json::from_slice(&text).map_err(|_| not_ours())?;
    let plain = |name: &String| !name.is_empty() && !name.contains(['/', '\\']) && !name.starts_with('.');
    if pointer.tool == TOOL && plain(&pointer.run) && pointer.kept.iter().all(plain) {
        Ok(Some(pointer))
    } else {
        Err(not_ours())
    }
}

/// An output may be absent, empty, or one of ours; a pointer or the folder of runs tells it.
fn refuse_what_is_no_chain(out: &Path) -> Result<(), PublishError> {
    if out.exists() && !out.is_dir() {
        return Err(PublishError::NotAFolder { out: out.to_path_buf() });
    }
    if pointer_of(out)?.is_some() || out.join(LOCK_FILE).is_file() {
        return Ok(());
    }
    let names = entries(out).into_iter().filter_map(|entry| {
        let name = entry.file_name()?.to_string_lossy().into_owned();
        (!super::refusal::is_droppings(&name) && name != RUNS).then_some(name)
    });
    match names.min() {
        Some(found) => Err(PublishError::NotOurs {
            out: out.to_path_buf(),
            found,
        }),
        None => Ok(()),
    }
}

fn entries(folder: &Path) -> Vec<PathBuf> {
    let found = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut found: Vec<PathBuf> = found.map(|entry| entry.path()).collect();
    found.sort();
    found
}
