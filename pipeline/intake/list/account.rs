//! What became of the lines of a list.

use super::note::Note;
use crate::intake::problem::Reject;
use serde::{Deserialize, Serialize};

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
