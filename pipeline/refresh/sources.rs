//! Where the lists of a night come from: folders, and patterns of file names.
//!
//! A *source* says which files are taken, what their supplier is called, and how often a new list was promised. A source
//! that yields nothing tonight is no error here: a share that is not mounted must look like lists that are missing, for
//! the gates to judge, and not like a configuration without lists.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use globset::{GlobBuilder, GlobMatcher};
use serde::Deserialize;

use super::config::{ConfigError, Roots};
use crate::intake::{InputError, InputFile, find_inputs};

/// A source as it stands in the configuration.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SourceTyped {
    folder: Option<PathBuf>,
    files: Option<String>,
    supplier: Option<String>,
    #[serde(default)]
    take: Take,
    fresh_every_days: Option<u32>,
}

/// Which of the files that match are taken.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Take {
    /// All of them.
    #[default]
    All,
    /// The one whose name sorts last, for names that hold a date.
    Last,
}

/// A source, ready to be looked into.
#[derive(Debug)]
pub struct Source {
    folder: PathBuf,
    pattern: Option<GlobMatcher>,
    take: Take,
    /// What its supplier is called, whatever the files are called.
    pub supplier: Option<Arc<str>>,
    /// Days after which a new list was promised.
    pub fresh_every_days: Option<u32>,
}

/// A file found, and the source it came from.
#[derive(Debug, Clone)]
pub struct FoundFile {
    /// The file.
    pub input: InputFile,
    /// Index of its source.
    pub source: usize,
}

impl Source {
    /// What a source of the configuration means. `at` is its place among them.
    ///
    /// # Errors
    /// It names no files, or both a folder and a pattern, or leads out of the roots.
    pub fn of(typed: &SourceTyped, at: usize, roots: &Roots) -> Result<Source, ConfigError> {
        let key = |name: &str| format!("source[{}].{name}", at + 1);
        let (folder, pattern) = match (&typed.folder, &typed.files) {
            (Some(folder), None) => (roots.under(&key("folder"), folder)?, None),
            (None, Some(files)) => {
                let (folder, rest) = fixed_part(files);
                let glob = GlobBuilder::new(&rest).literal_separator(true).build();
                let glob = glob.map_err(|error| ConfigError::of(&key("files"), format!("is no pattern: {error}")))?;
                (roots.under(&key("files"), &folder)?, Some(glob.compile_matcher()))
            }
            _ => {
                return Err(
                    ConfigError::of(&key("folder"), "or `files` must be named, and not both")
                        .hint("folder = \"lists\", or files = \"lists/name-*.csv\""),
                );
            }
        };
        Ok(Source {
            folder,
            pattern,
            take: typed.take,
            supplier: typed.supplier.as_deref().map(Arc::from),
            fresh_every_days: typed.fresh_every_days,
        })
    }

    /// The folder looked into.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    fn find(&self) -> Result<Vec<InputFile>, InputError> {
        if !self.folder.is_dir() {
            return Ok(Vec::new());
        }
        let mut files = find_inputs(std::slice::from_ref(&self.folder))?;
        if let Some(pattern) = &self.pattern {
            files.retain(|file| pattern.is_match(&*file.shown));
        }
        if self.take == Take::Last && files.len() > 1 {
            files.drain(..files.len() - 1);
        }
        Ok(files)
    }
}

/// The files of all sources, each once: a file that two sources name belongs to the first.
///
/// # Errors
/// A link leads out of a folder, or a folder cannot be read.
pub fn find_files(sources: &[Source]) -> Result<Vec<FoundFile>, InputError> {
    let mut found: Vec<FoundFile> = Vec::new();
    let mut places = BTreeSet::new();
    let mut shown = BTreeSet::new();
    for (source, from) in sources.iter().enumerate() {
        for mut input in from.find()? {
            if !places.insert(input.path.clone()) {
                continue;
            }
            if !shown.insert(input.shown.clone()) {
                // two lists of one name in two folders: told apart by the folder's
                let folder = from.folder.file_name().unwrap_or_default().to_string_lossy();
                input.shown = Arc::from(format!("{folder}/{}", input.shown));
                shown.insert(input.shown.clone());
            }
            found.push(FoundFile { input, source });
        }
    }
    found.sort_by(|a, b| a.input.shown.cmp(&b.input.shown));
    Ok(found)
}

/// The folder a pattern begins with, and the rest from its first sign that is no letter of a name.
fn fixed_part(pattern: &str) -> (PathBuf, String) {
    let parts: Vec<&str> = pattern.split('/').collect();
    let fixed = parts[..parts.len() - 1]
        .iter()
        .take_while(|part| !part.contains(['*', '?', '[', '{']))
        .count();
    let folder = match fixed {
        0 => ".".to_owned(),
        1 if parts[0].is_empty() => "/".to_owned(),
        _ => parts[..fixed].join("/"),
    };
    (PathBuf::from(folder), parts[fixed..].join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pattern_is_a_folder_and_a_rest() {
        assert_eq!(
            fixed_part("in/north-*.csv"),
            (PathBuf::from("in"), "north-*.csv".into())
        );
        assert_eq!(fixed_part("*.csv"), (PathBuf::from("."), "*.csv".into()));
        assert_eq!(fixed_part("/srv/*/x.csv"), (PathBuf::from("/srv"), "*/x.csv".into()));
        assert_eq!(fixed_part("in/list.csv"), (PathBuf::from("in"), "list.csv".into()));
    }

    fn source(folder: &Path, files: &str, take: Take) -> Source {
        let glob = GlobBuilder::new(files).literal_separator(true).build().unwrap();
        Source {
            folder: folder.to_path_buf(),
            pattern: Some(glob.compile_matcher()),
            take,
            supplier: None,
            fresh_every_days: None,
        }
    }

    #[test]
    fn the_last_of_dated_names_is_taken_and_a_file_belongs_to_its_first_source() {
        let home = tempfile::tempdir().unwrap();
        for name in ["north-2026-08.csv", "north-2026-09.csv", "south.csv"] {
            std::fs::write(home.path().join(name), "x").unwrap();
        }
        let sources = [
            source(home.path(), "north-*.csv", Take::Last),
            source(home.path(), "*.csv", Take::All),
        ];
        let found = find_files(&sources).unwrap();
        let names: Vec<(&str, usize)> = found.iter().map(|file| (&*file.input.shown, file.source)).collect();
        assert_eq!(
            names,
            [("north-2026-08.csv", 1), ("north-2026-09.csv", 0), ("south.csv", 1)]
        );
    }

    #[test]
    fn a_folder_that_is_not_there_yields_nothing() {
        let home = tempfile::tempdir().unwrap();
        let sources = [source(&home.path().join("absent"), "*", Take::All)];
        assert!(find_files(&sources).unwrap().is_empty());
    }
}
