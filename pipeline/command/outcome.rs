//! How a command ended, and the exit code that says so.
//!
//! 0 done; 1 failed, nothing published; 2 wrong usage or configuration; 3 published, but rejects or
//! failed files above the warning limit; 4 a gate refused to publish; 5 another run holds the lock.

use crate::intake::{InputError, ProfileError};
use crate::publish::{FaultKind, PublishError, ReadError};
use crate::refresh::config::ConfigError;
use std::fmt;
use std::path::Path;
use std::process::ExitCode;

/// An end that is no failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// everything done
    Done,
    /// published, with more rejects or failed files than the warning limit allows
    Warned,
    /// a failure that has been told already
    Failed(FailureKind),
}

/// Which sort of failure, for the exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FailureKind {
    /// something went wrong; nothing was published
    Failed,
    /// wrong usage or configuration
    Usage,
    /// a gate refused to publish
    Gate,
    /// another run holds the lock
    Locked,
}

impl FailureKind {
    /// The exit code.
    pub fn code(self) -> u8 {
        match self {
            FailureKind::Failed => 1,
            FailureKind::Usage => 2,
            FailureKind::Gate => 4,
            FailureKind::Locked => 5,
        }
    }
}

/// A failure: what happened, and what to do about it.
#[derive(Clone, Debug)]
pub struct Failure {
    /// sort
    pub kind: FailureKind,
    /// what happened
    pub message: String,
    /// what to do, empty when nothing can be said
    pub hint: String,
}

impl Outcome {
    /// Both together: the worse of two ends.
    pub fn and(self, other: Outcome) -> Outcome {
        match (self, other) {
            (Outcome::Done, Outcome::Done) => Outcome::Done,
            _ => Outcome::Warned,
        }
    }

    /// The exit code.
    pub fn exit_code(self) -> ExitCode {
        ExitCode::from(match self {
            Outcome::Done => 0,
            Outcome::Warned => 3,
            Outcome::Failed(kind) => kind.code(),
        })
    }
}

impl Failure {
    /// Exit 1.
    pub fn failed(message: impl Into<String>) -> Failure {
        Failure {
            kind: FailureKind::Failed,
            message: message.into(),
            hint: String::new(),
        }
    }

    /// Exit 1: a file that could not be written, with what the system or the writer says.
    pub fn unwritable(file: &Path, error: impl fmt::Display) -> Failure {
        Failure::failed(format!("could not write {}: {error}", file.display())).hint("check free space and permissions")
    }

    /// Exit 2.
    pub fn usage(message: impl Into<String>) -> Failure {
        Failure {
            kind: FailureKind::Usage,
            message: message.into(),
            hint: String::new(),
        }
    }

    /// The same with a hint.
    pub fn hint(mut self, hint: impl Into<String>) -> Failure {
        self.hint = hint.into();
        self
    }

    /// The exit code.
    pub fn exit_code(&self) -> ExitCode {
        ExitCode::from(self.kind.code())
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.message)
    }
}

impl std::error::Error for Failure {}

impl From<PublishError> for Failure {
    fn from(error: PublishError) -> Failure {
        let kind = match error.kind() {
            FaultKind::Usage => FailureKind::Usage,
            FaultKind::Locked => FailureKind::Locked,
            FaultKind::Failed => FailureKind::Failed,
        };
        Failure {
            kind,
            message: error.to_string(),
            hint: error.hint().to_string(),
        }
    }
}

impl From<ConfigError> for Failure {
    fn from(error: ConfigError) -> Failure {
        Failure::usage(error.message).hint(error.hint)
    }
}

impl From<ReadError> for Failure {
    fn from(error: ReadError) -> Failure {
        let kind = match error {
            ReadError::NotARun { .. } => FailureKind::Usage,
            ReadError::Unreadable { .. } => FailureKind::Failed,
        };
        Failure {
            kind,
            message: error.to_string(),
            hint: error.hint().to_string(),
        }
    }
}

impl From<crate::shop::need::NeedError> for Failure {
    fn from(error: crate::shop::need::NeedError) -> Failure {
        Failure::usage(error.to_string()).hint(format!("for example {}", error.example))
    }
}

impl From<InputError> for Failure {
    fn from(error: InputError) -> Failure {
        Failure::usage(error.to_string()).hint(error.hint)
    }
}

impl From<ProfileError> for Failure {
    fn from(error: ProfileError) -> Failure {
        Failure::usage(error.to_string()).hint(error.hint)
    }
}

impl From<crate::shop::review::DecisionsError> for Failure {
    fn from(error: crate::shop::review::DecisionsError) -> Failure {
        Failure::usage(error.to_string()).hint(
            "a decisions file is review.csv filled in, or lines such as: same, SUPPLIER:NUMBER, SUPPLIER:NUMBER, note",
        )
    }
}

impl From<crate::shop::rates::RatesError> for Failure {
    fn from(error: crate::shop::rates::RatesError) -> Failure {
        Failure::usage(error.to_string()).hint("the file holds: home = \"EUR\", date = 2026-09-01, [rates] USD = 1.08")
    }
}
