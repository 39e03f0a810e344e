//! What can be wrong with a file or with a line of it: one closed list of codes that serves the messages, rejects.csv,
//! the counts and the documentation alike. A *reject* is a line that could not be read as a line; it keeps its raw text
//! and is never dropped. A *file failure* means no line of the file was used.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::sync::Arc;

macro_rules! problems {
    ($( $(#[$doc:meta])* $name:ident = $code:literal, $explain:literal, $hint:literal; )*) => {
        /// Every way in which a file or a line can fail.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Problem { $( #[doc = $explain] $name, )* }

        impl Problem {
            /// All of them, in the order of the declaration; the README's table is made from this.
            pub const ALL: &'static [Problem] = &[ $( Problem::$name, )* ];

            /// The code that stands in rejects.csv.
            pub fn code(self) -> &'static str {
                match self { $( Problem::$name => $code, )* }
            }

            /// What is wrong, in one clause.
            pub fn explain(self) -> &'static str {
                match self { $( Problem::$name => $explain, )* }
            }

            /// What to do about it.
            pub fn hint(self) -> &'static str {
                match self { $( Problem::$name => $hint, )* }
            }
        }
    };
}

problems! {
    // --- a whole file ---
    MissingFile = "missing-file", "the file does not exist", "check the path and its spelling";
    UnreadableFile = "unreadable-file", "the file could not be opened or read", "check that you may read it and that the disk is well";
    EmptyFile = "empty-file", "the file has no bytes", "ask the supplier for the list again";
    BlankFile = "blank-file", "the file holds only blank lines", "ask the supplier for the list again";
    HeaderOnly = "header-only", "the file has a header and not one line under it", "ask the supplier for the list again";
    BinaryFile = "binary-file", "the file is neither text nor a workbook or archive that can be read here", "save the list as CSV or .xlsx";
    OtherFormat = "other-format", "the file is text of another format than a list, such as a web page or JSON", "save the list as CSV or .xlsx";
    UnreadableEncoding = "unreadable-encoding", "the bytes are no text in the encoding named", "remove `encoding` from the profile or correct it";
    NoRecognisableColumn = "no-recognisable-column", "no column could be recognised as a number, a name or a description of a part", "write a profile that names the columns: samefit onboard FILE";
    ProfileMismatch = "profile-mismatch", "the profile names a column that the file does not have", "correct the profile, or run samefit onboard FILE to write it anew";
    DamagedArchive = "damaged-archive", "the compressed file is damaged or cut short", "fetch the file again; nothing of it was used";
    UnsupportedArchive = "unsupported-archive", "the archive is encrypted, packed in a way not read here, or holds no list", "unpack it and give the files themselves";
    TooManyBytes = "too-many-bytes", "the file unpacks to more bytes than the limit", "raise the limit `decompressed_bytes` if the file is honest";
    RatioTooHigh = "ratio-too-high", "the file unpacks to suspiciously many times its size", "raise the limit `compression_ratio` if the file is honest";
    WorkbookTooLarge = "workbook-too-large", "the workbook unpacks to more bytes or cells than the limit", "raise `workbook_bytes` or `sheet_cells`, or save the sheet as CSV";
    DamagedWorkbook = "damaged-workbook", "the workbook could not be read", "open it in a spreadsheet program and save it again";
    TooManyColumns = "too-many-columns", "the list has more columns than the limit", "raise the limit `columns` if the file is honest";
    // --- one line, found while reading ---
    InvalidBytes = "invalid-bytes", "the line holds bytes that are not text in the file's encoding", "correct the byte at the offset given";
    UnclosedQuote = "unclosed-quote", "a quote opens and is not closed where it should be", "close the quote, or double it where it is part of the text";
    TooFewCells = "too-few-cells", "the line has fewer cells than the list has columns, and the place of the gap is not certain", "add the missing delimiter";
    TooManyCells = "too-many-cells", "the line has more cells than the list has columns, and the place of the surplus is not certain", "remove the delimiter too many, or quote the cell";
    LineTooLong = "line-too-long", "the line is longer than the limit", "raise the limit `line_bytes` if the line is honest";
    OtherTable = "other-table", "the line belongs to a further table of the file, whose columns are not those of the first", "put the further table into a file of its own";
    // --- one line, found when its cells are read ---
    NoPartNamed = "no-part-named", "the line names no part: neither a number nor a text", "give the line an article number or a name";
    UnreadableCell = "unreadable-cell", "a cell that must be a number is none", "correct the cell";
    SpreadsheetDamage = "spreadsheet-damage", "a spreadsheet program has overwritten the cell (#N/A, #REF!) and nothing else tells the part", "export the list again with the column as text";
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// One line that could not be read, for rejects.csv.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reject {
    /// The list's name as in `ListHead::file`.
    #[serde(skip)]
    pub file: Arc<str>,
    /// Physical line where the record starts, from 1.
    pub line: u32,
    /// Column, from 1, where one can be named.
    pub column: Option<u32>,
    /// What is wrong.
    pub problem: Problem,
    /// What was found and what was expected.
    pub message: String,
    /// What to do about it.
    pub hint: String,
    /// The line as it stood in the file, decoded.
    pub raw: String,
}

/// A file of which nothing was used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileFailure {
    /// The file's name as shown to the user.
    pub file: Arc<str>,
    /// What is wrong.
    pub problem: Problem,
    /// What was found and what was expected.
    pub message: String,
    /// What to do about it.
    pub hint: String,
}

impl FileFailure {
    /// A failure whose hint is the problem's usual one.
    pub fn new(file: &Arc<str>, problem: Problem, message: impl Into<String>) -> FileFailure {
        FileFailure {
            file: file.clone(),
            problem,
            message: message.into(),
            hint: problem.hint().to_string(),
        }
    }

    /// The same with a hint of its own.
    pub fn with_hint(mut self, hint: impl Into<String>) -> FileFailure {
        self.hint = hint.into();
        self
    }
}

impl fmt::Display for FileFailure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.file, self.message)
    }
}

impl std::error::Error for FileFailure {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_distinct_kebab_words() {
        let mut codes: Vec<&str> = Problem::ALL.iter().map(|problem| problem.code()).collect();
        assert!(
            codes
                .iter()
                .all(|code| code.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-'))
        );
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), Problem::ALL.len());
    }

    #[test]
    fn no_explanation_ends_with_a_full_stop() {
        assert!(
            Problem::ALL
                .iter()
                .all(|problem| !problem.explain().ends_with('.') && !problem.hint().ends_with('.'))
        );
    }
}
