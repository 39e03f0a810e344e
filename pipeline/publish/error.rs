//! Why a run was not published.
//!
//! Whatever the reason, the previous output stands and nothing half written is left behind. The kind
//! of a fault decides the exit code: wrong usage 2, another run at work 5, anything else 1.

use std::fmt;
use std::path::{Path, PathBuf};

/// What sort of fault it is, for the exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaultKind {
    /// The output folder asked for cannot be used: exit 2.
    Usage,
    /// Another run holds the lock: exit 5.
    Locked,
    /// Writing failed, or the tables do not add up: exit 1.
    Failed,
}

/// A fault while publishing.
#[derive(Debug)]
pub enum PublishError {
    /// The output folder holds something that samefit did not write.
    NotOurs { out: PathBuf, found: String },
    /// The output folder and an input are one and the same, or one holds the other.
    TouchesInput { out: PathBuf, input: PathBuf },
    /// The output is a file, or has no name of its own.
    NotAFolder { out: PathBuf },
    /// Another run is writing the same output.
    Locked { lock: PathBuf, holder: Option<String> },
    /// The tables contradict each other; nothing they say should be relied on.
    DoesNotAddUp { what: String },
    /// The operating system refused.
    Io {
        doing: &'static str,
        path: PathBuf,
        source: std::io::Error,
    },
    /// A file of an earlier run cannot be understood.
    Unreadable { path: PathBuf, message: String },
    /// A file format's library refused.
    Format { path: PathBuf, message: String },
}

impl PublishError {
    /// The sort of fault.
    pub fn kind(&self) -> FaultKind {
        match self {
            Self::NotOurs { .. } | Self::TouchesInput { .. } | Self::NotAFolder { .. } => FaultKind::Usage,
            Self::Locked { .. } => FaultKind::Locked,
            Self::DoesNotAddUp { .. } | Self::Io { .. } | Self::Unreadable { .. } | Self::Format { .. } => {
                FaultKind::Failed
            }
        }
    }

    /// What to do about it.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NotOurs { .. } => "choose another folder, or move what is in it away first",
            Self::TouchesInput { .. } => "choose an output folder apart from the lists",
            Self::NotAFolder { .. } => "choose a folder",
            Self::Locked { .. } => "wait for the other run to end; a lock left by a dead run frees itself",
            Self::DoesNotAddUp { .. } => {
                "this is a fault in samefit; nothing was published and the previous output stands"
            }
            Self::Io { .. } => "nothing was published and the previous output stands; check free space and permissions",
            Self::Unreadable { .. } => {
                "nothing was published and the previous output stands; use the program that wrote it, or move it away"
            }
            Self::Format { .. } => "nothing was published and the previous output stands",
        }
    }

    /// For `map_err`: an operating system fault while doing something to a path.
    pub(crate) fn io(doing: &'static str, path: &Path) -> impl FnOnce(std::io::Error) -> Self {
        move |source| Self::Io {
            doing,
            path: path.to_path_buf(),
            source,
        }
    }

    /// For `map_err`: a format library's fault while writing a path.
    pub(crate) fn format<E: fmt::Display>(path: &Path) -> impl FnOnce(E) -> Self {
        move |error| Self::Format {
            path: path.to_path_buf(),
            message: error.to_string(),
        }
    }
}

impl fmt::Display for PublishError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotOurs { out: folder, found } => write!(
                out,
                "the output folder {} is not a samefit run: it holds {found}",
                folder.display()
            ),
            Self::TouchesInput { out: folder, input } => write!(
                out,
                "the output folder {} and the input {} lie inside one another",
                folder.display(),
                input.display()
            ),
            Self::NotAFolder { out: folder } => {
                write!(out, "the output {} is not a folder", folder.display())
            }
            Self::Locked {
                lock,
                holder: Some(holder),
            } => write!(
                out,
                "another run ({holder}) is writing this output and holds {}",
                lock.display()
            ),
            Self::Locked { lock, holder: None } => {
                write!(out, "another run is writing this output and holds {}", lock.display())
            }
            Self::DoesNotAddUp { what } => write!(out, "the tables do not add up: {what}"),
            Self::Io { doing, path, source } => {
                write!(out, "could not {doing} {}: {source}", path.display())
            }
            Self::Unreadable { path, message } => write!(out, "cannot read {}: {message}", path.display()),
            Self::Format { path, message } => {
                write!(out, "could not write {}: {message}", path.display())
            }
        }
    }
}

impl std::error::Error for PublishError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Io { source, .. } => Some(source),
            _ => None,
        }
    }
}
