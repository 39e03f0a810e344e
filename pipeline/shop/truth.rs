//! Known answers to a run's lists: what every line truly is.
//!
//! A CSV file in UTF-8 with the columns `file,line,scope,part_kind,product,fit_group,shows_identifier,
//! states_enough`, one row per record of every list. `file` is relative to the lists' folder, with `#` and
//! the sheet for a workbook; `line` is where the record starts, from 1; `scope` is `offer`, `set-aside`,
//! `reject` or `layout`. A word that is none of these is refused with its line.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::path::{Path, PathBuf};

/// What a line truly is, or what a run took it for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LineScope {
    /// a part kind in scope
    Offer,
    /// readable, and something else
    SetAside,
    /// not readable as a line
    Reject,
    /// preamble, header, total, blank
    Layout,
}

impl LineScope {
    /// All of them, in order.
    pub const ALL: [LineScope; 4] = [
        LineScope::Offer,
        LineScope::SetAside,
        LineScope::Reject,
        LineScope::Layout,
    ];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            LineScope::Offer => "offer",
            LineScope::SetAside => "set-aside",
            LineScope::Reject => "reject",
            LineScope::Layout => "layout",
        }
    }
}

/// A yes or a no of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum YesNo {
    /// yes
    Yes,
    /// no
    No,
}

/// What one line truly is.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrueLine {
    /// list, with `#` and the sheet
    pub file: String,
    /// line at which the record starts
    pub line: u32,
    /// what it is
    pub scope: LineScope,
    /// kind of part, or what it is instead
    pub part_kind: String,
    /// the very same made part
    pub product: String,
    /// what interchanges with it
    pub fit_group: String,
    /// whether a number of the maker or a barcode stands on the line, unspoiled
    pub shows_identifier: YesNo,
    /// whether the line itself states what settles the family
    pub states_enough: YesNo,
}

/// Why known answers cannot be used: wrong usage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TruthError {
    /// the file
    pub path: PathBuf,
    /// what is wrong, with the line
    pub message: String,
}

impl fmt::Display for TruthError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.path.display(), self.message)
    }
}

impl std::error::Error for TruthError {}

/// Reads known answers.
///
/// # Errors
/// The file cannot be read, lacks a column, or holds a word that is none of the known ones.
pub fn read_truth(path: &Path) -> Result<Vec<TrueLine>, TruthError> {
    let wrong = |message: String| TruthError {
        path: path.to_path_buf(),
        message,
    };
    let mut reader = csv::Reader::from_path(path).map_err(|error| wrong(error.to_string()))?;
    let lines: Result<Vec<TrueLine>, csv::Error> = reader.deserialize().collect();
    let lines = lines.map_err(|error| wrong(error.to_string()))?;
    if lines.is_empty() {
        return Err(wrong("holds no line".into()));
    }
    Ok(lines)
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests write files of their own")]
mod tests {
    use super::*;

    const HEAD: &str = "file,line,scope,part_kind,product,fit_group,shows_identifier,states_enough\n";

    fn read(rows: &str) -> Result<Vec<TrueLine>, TruthError> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("truth.csv");
        std::fs::write(&path, format!("{HEAD}{rows}")).unwrap();
        read_truth(&path)
    }

    #[test]
    fn lines_are_read_with_their_words() {
        let lines = read("a.csv,7,set-aside,rope,,,no,no\na.xlsx#S,8,offer,shroud,P1,shroud/x,yes,no\n").unwrap();
        assert_eq!(lines[0].scope, LineScope::SetAside);
        assert_eq!((lines[1].line, lines[1].shows_identifier), (8, YesNo::Yes));
    }

    #[test]
    fn an_unknown_word_is_refused_with_its_line() {
        let error = read("a.csv,7,offer,shroud,P1,G,yes,no\na.csv,8,perhaps,shroud,P1,G,yes,no\n").unwrap_err();
        assert!(error.message.contains("line: 3"), "{error}");
    }

    #[test]
    fn a_file_without_lines_or_without_a_column_is_refused() {
        assert!(read("").unwrap_err().to_string().contains("holds no line"));
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("truth.csv");
        std::fs::write(&path, "file,line\na.csv,7\n").unwrap();
        assert!(read_truth(&path).unwrap_err().message.contains("scope"));
    }
}
