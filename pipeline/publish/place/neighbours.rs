//! The names beside an output that belong to it.

use std::fs;
use std::path::{Path, PathBuf};

use crate::publish::error::PublishError;

/// The folders beside an output that belong to it.
#[derive(Debug)]
pub struct Neighbours {
    pub parent: PathBuf,
    name: String,
}

impl Neighbours {
    pub fn of(out: &Path) -> Result<Self, PublishError> {
        match (out.parent(), out.file_name()) {
            (Some(parent), Some(name)) => Ok(Self {
                parent: parent.to_path_buf(),
                name: name.to_string_lossy().into_owned(),
            }),
            _ => Err(PublishError::NotAFolder { out: out.to_path_buf() }),
        }
    }

    pub fn lock(&self) -> PathBuf {
        self.parent.join(format!(".{}.lock", self.name))
    }

    pub fn writing(&self) -> PathBuf {
        self.parent
            .join(format!("{}{}", self.writing_prefix(), std::process::id()))
    }

    pub fn before(&self) -> PathBuf {
        self.parent
            .join(format!("{}{}", self.before_prefix(), std::process::id()))
    }

    pub fn writing_prefix(&self) -> String {
        format!(".{}.writing-", self.name)
    }

    pub fn before_prefix(&self) -> String {
        format!(".{}.before-", self.name)
    }

    /// Folders beside the output that are named with the prefix and a process, oldest name first.
    pub fn left_over(&self, prefix: &str) -> Vec<PathBuf> {
        let Ok(entries) = fs::read_dir(&self.parent) else {
            return Vec::new();
        };
        let ours = |name: &str| {
            let process = name.strip_prefix(prefix);
            process.is_some_and(|process| !process.is_empty() && process.bytes().all(|b| b.is_ascii_digit()))
        };
        let entries = entries
            .flatten()
            .filter(|entry| entry.file_name().to_str().is_some_and(ours));
        let mut found: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
        found.sort();
        found
    }
}
