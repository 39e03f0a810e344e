//! Columns and rows: what a table is made of.

use rust_decimal::Decimal;

/// The type of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnType {
    /// Any text, as it came.
    Text,
    /// A whole number, never negative.
    Whole,
    /// A measured or computed number, printed with so many decimals.
    Number { decimals: u8 },
    /// A number between 0 and 1, printed with four decimals.
    Probability,
    /// An exact amount of money.
    Money,
}

/// Whether a row may leave a column empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    Always,
    WhenKnown,
}

/// One column of a published table.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Heading in every file.
    pub name: &'static str,
    pub of_type: ColumnType,
    pub presence: Presence,
    /// What it means, with its unit.
    pub meaning: &'static str,
}

/// One value of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell<'a> {
    Missing,
    Text(&'a str),
    Whole(u64),
    Number(f64),
    Money(Decimal),
}

/// A row of a published table.
pub trait TableRow {
    /// Name of the table, also the stem of its file.
    const TABLE: &'static str;
    /// One sentence about the table.
    const ABOUT: &'static str;
    /// The columns, in the order of the file.
    const COLUMNS: &'static [Column];
    /// The value under the column of that index; missing beyond the last.
    fn cell(&self, column: usize) -> Cell<'_>;
    /// The row made of such values again. A value of another type than its column's is missing.
    fn from_cells<'a>(cell: impl Fn(usize) -> Cell<'a>) -> Self;
}
