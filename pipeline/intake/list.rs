//! What is known of one list before its rows are read (`ListHead`) and what became of its lines afterwards
//! (`ListAccount`). A *list* is one table: a text file, one member of an archive, or one sheet of a workbook.
//!
//! The account always balances: read = rows handed on + rejected + layout lines, counted in records, where a quoted
//! record over three physical lines counts once and a blank line counts once.

use serde::{Deserialize, Serialize};
use std::sync::Arc;

use super::field::Field;
use super::problem::Reject;
use super::profile::{PricePer, PriceTerms, Profile};
use super::statements::Statements;
use crate::trade::numerals::Decimals;

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

/// How a column came by its field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum MappedBy {
    /// The user's profile says so.
    Profile,
    /// Its header says so.
    HeaderWord,
    /// Its values look like it.
    Values,
    /// CSVW metadata beside the file says so.
    Metadata,
}

/// One column and the field it was taken for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ColumnMap {
    /// Position, from 0.
    pub index: usize,
    /// What it is.
    pub field: Field,
    /// Header text, units and currency included; empty without a header.
    pub header: String,
    /// Who says so.
    pub how: MappedBy,
    /// Confidence, 0 to 1.
    pub confidence: f32,
}

/// Something the user should know though nothing failed: a close call, a disagreement with the profile.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// Physical line it is about, if any.
    pub line: Option<u32>,
    /// The sentence to show.
    pub message: String,
}

impl Note {
    /// A note about the list as a whole.
    pub fn new(message: impl Into<String>) -> Note {
        Note {
            line: None,
            message: message.into(),
        }
    }

    /// A note about one line.
    pub fn at(line: u32, message: impl Into<String>) -> Note {
        Note {
            line: Some(line),
            message: message.into(),
        }
    }
}

/// What is known of a list before its rows are read.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct ListHead {
    /// Name shown: relative to the input given, `/` between folders; members of archives follow after `!/`.
    pub file: Arc<str>,
    /// Sheet name, for a workbook.
    pub sheet: Option<String>,
    /// The profile's name for the supplier, else the file's stem.
    pub supplier: Arc<str>,
    /// Hash of the file as it lies on the disk.
    pub sha256: [u8; 32],
    /// Size of the file as it lies on the disk.
    pub bytes: u64,
    /// Text encoding.
    pub encoding: EncodingGuess,
    /// Cell and line delimiters.
    pub dialect: DialectGuess,
    /// Header texts, one per column; empty strings where a column has none. A header over several rows is joined by spaces.
    pub header: Vec<String>,
    /// What each column was taken for, in column order, `Ignored` ones included.
    pub columns: Vec<ColumnMap>,
    /// Which mark stands before decimals in this list.
    pub decimals: Decimals,
    /// What the text around the table says of the prices.
    pub statements: Statements,
    /// The profile that was applied; not kept with a stored list, which is given it anew.
    #[serde(skip)]
    pub profile: Option<Arc<Profile>>,
    /// Close calls and disagreements found so far.
    pub notes: Vec<Note>,
}

impl ListHead {
    /// The first column mapped to a field.
    pub fn column_of(&self, field: Field) -> Option<usize> {
        self.columns
            .iter()
            .find(|column| column.field == field)
            .map(|column| column.index)
    }

    /// Name with the sheet, as in the accounts: `list.xlsx#Sheet1`.
    pub fn shown(&self) -> String {
        match &self.sheet {
            Some(sheet) => format!("{}#{sheet}", self.file),
            None => self.file.to_string(),
        }
    }

    /// What the prices of the list mean: a person's word, and where it is silent what the list states of itself.
    pub fn price_terms(&self) -> PriceTerms {
        let said = self.profile.as_ref().map(|profile| profile.price.clone());
        let mut terms = said.unwrap_or_default();
        let stated = &self.statements;
        terms.basis = terms.basis.or(stated.basis);
        terms.per = terms.per.or(stated.per.map(PricePer::Pieces));
        terms.currency = terms.currency.or(stated.currency.map(|code| code.to_string()));
        terms
    }

    /// The profile with the terms of `price_terms`, for those who ask for both together; none where nothing is known.
    pub fn profile_with_terms(&self) -> Option<Arc<Profile>> {
        let terms = self.price_terms();
        match &self.profile {
            Some(profile) if profile.price == terms => Some(profile.clone()),
            None if terms == PriceTerms::default() => None,
            known => {
                let mut profile = known.as_deref().cloned().unwrap_or_default();
                profile.price = terms;
                Some(Arc::new(profile))
            }
        }
    }

    /// A head for rows made by hand: comma separated UTF-8 with the given header and fields.
    pub fn plain(file: &str, header: &[&str], fields: &[Field]) -> ListHead {
        let columns = fields
            .iter()
            .enumerate()
            .map(|(index, field)| ColumnMap {
                index,
                field: *field,
                header: header.get(index).copied().unwrap_or_default().to_string(),
                how: MappedBy::HeaderWord,
                confidence: 1.0,
            })
            .collect();
        let stem = file.rsplit('/').next().unwrap_or(file);
        ListHead {
            file: Arc::from(file),
            sheet: None,
            supplier: Arc::from(stem.split('.').next().unwrap_or(stem)),
            sha256: [0; 32],
            bytes: 0,
            encoding: EncodingGuess {
                label: "UTF-8",
                how: EncodingSource::Detected,
                confidence: 1.0,
            },
            dialect: DialectGuess {
                delimiter: Delimiter::Byte(b','),
                quote: Some(b'"'),
                escape: Escape::Doubled,
                line_end: LineEnd::Lf,
                runner_up: None,
                margin: 1.0,
            },
            header: header.iter().map(|text| text.to_string()).collect(),
            columns,
            decimals: Decimals::Point,
            statements: Statements::default(),
            profile: None,
            notes: Vec::new(),
        }
    }
}

/// Lines that are no offers, by kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct LayoutCounts {
    /// Lines before the header.
    pub preamble: u64,
    /// Rows of the header, and Excel's `sep=` line.
    pub header: u64,
    /// The header again, further down.
    pub repeated_header: u64,
    /// A row of units under the header.
    pub units: u64,
    /// A heading over a group of lines.
    pub section: u64,
    /// Subtotals and totals.
    pub total: u64,
    /// Text after the table, comments, and the lines of a further table that says the same with fewer words.
    pub footnote: u64,
    /// Lines with nothing but delimiters and white space.
    pub blank: u64,
}

impl LayoutCounts {
    /// All of them together.
    pub fn sum(&self) -> u64 {
        self.preamble
            + self.header
            + self.repeated_header
            + self.units
            + self.section
            + self.total
            + self.footnote
            + self.blank
    }
}

/// What became of the records of a list.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct ListAccount {
    /// Records read.
    pub read: u64,
    /// Rows handed on.
    pub rows: u64,
    /// Lines that are no offers.
    pub layout: LayoutCounts,
    /// Of the rows handed on, how many were repaired; each has a note.
    pub repaired: u64,
    /// Lines that could not be read, complete.
    pub rejected: u64,
    /// Of these, lines of a further table: whole in themselves, but no part of this list.
    pub of_other_tables: u64,
    /// Those of them that were not taken from the reader before, in file order.
    pub rejects: Vec<Reject>,
    /// Close calls, disagreements and repairs.
    pub notes: Vec<Note>,
}

impl ListAccount {
    /// Whether read = rows + rejected + layout.
    pub fn balances(&self) -> bool {
        self.read == self.rows + self.rejected + self.layout.sum()
    }
}
