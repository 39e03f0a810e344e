//! How the text of a list is written: its encoding, and what delimits cells and lines.

use super::gutters::Gutters;
use serde::{Deserialize, Serialize};

/// How the text encoding was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum EncodingSource {
    /// A byte order mark stands at the start.
    ByteOrderMark,
    /// The bytes are valid in this encoding and in no likelier one.
    Detected,
    /// The profile names it.
    Profile,
    /// Metadata beside the file names it.
    Metadata,
    /// A workbook carries its own.
    Workbook,
}

/// Which encoding the bytes are in, and how sure that is. Stored by its label, and known again by it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(into = "(String, EncodingSource, f32)")]
pub struct EncodingGuess {
    /// WHATWG label, such as `UTF-8`, `windows-1252`, `UTF-16LE`, `gb18030`.
    pub label: &'static str,
    /// How it was found.
    pub how: EncodingSource,
    /// Confidence, 0 to 1.
    pub confidence: f32,
}

impl From<EncodingGuess> for (String, EncodingSource, f32) {
    fn from(guess: EncodingGuess) -> Self {
        (guess.label.to_string(), guess.how, guess.confidence)
    }
}

impl<'de> Deserialize<'de> for EncodingGuess {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let (label, how, confidence) = <(String, EncodingSource, f32)>::deserialize(from)?;
        let known = encoding_rs::Encoding::for_label(label.as_bytes());
        let unknown = || serde::de::Error::custom(format!("no encoding is called {label}"));
        let label = known.ok_or_else(unknown)?.name();
        Ok(EncodingGuess { label, how, confidence })
    }
}

/// What separates the cells of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Delimiter {
    /// One byte, such as `,` or `;` or a tab.
    Byte(u8),
    /// One byte followed by a space that belongs to it.
    ByteAndSpace(u8),
    /// Nothing: the columns are aligned by spaces.
    Columns(Gutters),
    /// No delimiter: every line is one cell.
    None,
    /// The cells are a workbook's own.
    Workbook,
}

/// How a quote is written inside a quoted cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Escape {
    /// By writing it twice.
    Doubled,
    /// By this byte before it.
    Byte(u8),
    /// Not at all: quotes inside quoted cells stand bare.
    None,
}

/// What ends a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum LineEnd {
    /// `\n`
    Lf,
    /// `\r\n`
    CrLf,
    /// `\r`
    Cr,
    /// More than one of them.
    Mixed,
}

/// How the cells of a text list are delimited and quoted, with the runner-up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DialectGuess {
    /// What separates cells.
    pub delimiter: Delimiter,
    /// Quote character, if any.
    pub quote: Option<u8>,
    /// How quotes are escaped.
    pub escape: Escape,
    /// What ends a line.
    pub line_end: LineEnd,
    /// The second best delimiter, if another one was in question.
    pub runner_up: Option<Delimiter>,
    /// Score of the best less score of the runner-up, 0 to 1. Below 0.1 is a close call and gets a note.
    pub margin: f32,
}
