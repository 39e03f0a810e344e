//! What every published table has in common: columns with a name, a type and a meaning, and rows that
//! hand out one typed cell per column.
//!
//! A *cell* is one value on its way to a file. The CSV, Parquet and workbook writers and the table
//! schemas all read the same columns and cells, so that a column cannot be called one thing in one
//! file and another in the next. [`table!`](crate::publish::column::table) writes the row struct and
//! its columns from one list; the doc comment of a field is its description in the published schema.
//!
//! Rules, with their numbers:
//! - an empty text and a missing value are the same thing, and print as nothing
//! - numbers print with a fixed count of decimals, a point, and no grouping, whatever the locale
//! - money prints with two to four decimals ([`MONEY_DECIMALS`])

use std::borrow::Cow;
use std::fmt::Write as _;
use std::sync::Arc;

use compact_str::CompactString;
use rust_decimal::Decimal;

/// Decimals kept of an amount of money: a hundredth of the smallest coin of most currencies, enough
/// for the price of one piece out of a pack.
pub const MONEY_DECIMALS: u32 = 4;

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

/// A field of a row struct that can stand in a cell and be read out of one.
pub trait AsCell: Sized {
    fn as_cell(&self) -> Cell<'_>;
    /// The value in a cell; nothing if it is missing or of another type.
    fn from_cell(cell: Cell<'_>) -> Option<Self>;
}

macro_rules! text_cells {
    ($($text:ty),*) => {$(
        impl AsCell for $text {
            #[inline]
            fn as_cell(&self) -> Cell<'_> {
                if self.is_empty() { Cell::Missing } else { Cell::Text(self) }
            }

            fn from_cell(cell: Cell<'_>) -> Option<Self> {
                match cell {
                    Cell::Text(text) => Some(text.into()),
                    _ => None,
                }
            }
        }
    )*};
}
text_cells!(CompactString, String, Arc<str>);

macro_rules! whole_cells {
    ($($whole:ty),*) => {$(
        impl AsCell for $whole {
            #[inline]
            fn as_cell(&self) -> Cell<'_> {
                Cell::Whole(u64::from(*self))
            }

            fn from_cell(cell: Cell<'_>) -> Option<Self> {
                match cell {
                    Cell::Whole(whole) => whole.try_into().ok(),
                    _ => None,
                }
            }
        }
    )*};
}
whole_cells!(u8, u16, u32, u64);

impl AsCell for f64 {
    #[inline]
    fn as_cell(&self) -> Cell<'_> {
        if self.is_finite() {
            Cell::Number(*self)
        } else {
            Cell::Missing
        }
    }

    fn from_cell(cell: Cell<'_>) -> Option<Self> {
        match cell {
            Cell::Number(number) => Some(number),
            _ => None,
        }
    }
}

impl AsCell for Decimal {
    #[inline]
    fn as_cell(&self) -> Cell<'_> {
        Cell::Money(*self)
    }

    fn from_cell(cell: Cell<'_>) -> Option<Self> {
        match cell {
            Cell::Money(amount) => Some(amount),
            _ => None,
        }
    }
}

impl<T: AsCell> AsCell for Option<T> {
    #[inline]
    fn as_cell(&self) -> Cell<'_> {
        self.as_ref().map_or(Cell::Missing, AsCell::as_cell)
    }

    fn from_cell(cell: Cell<'_>) -> Option<Self> {
        Some(T::from_cell(cell))
    }
}

/// A cell as it stands in a CSV file; nothing for a missing one.
pub fn printed(cell: Cell<'_>, of_type: ColumnType) -> Cow<'_, str> {
    match cell {
        Cell::Missing => Cow::Borrowed(""),
        Cell::Text(text) => Cow::Borrowed(text),
        _ => {
            let mut text = String::new();
            print(&mut text, cell, of_type);
            Cow::Owned(text)
        }
    }
}

/// Writes a cell as [`printed`] behind a text that the caller uses again and again.
pub fn print(text: &mut String, cell: Cell<'_>, of_type: ColumnType) {
    // writing to a string cannot fail
    let _ = match cell {
        Cell::Missing => Ok(()),
        Cell::Text(words) => text.write_str(words),
        Cell::Whole(whole) => write!(text, "{whole}"),
        Cell::Number(number) => {
            let decimals = decimals(of_type);
            write!(text, "{:.decimals$}", rounded(number, decimals))
        }
        Cell::Money(amount) => write!(text, "{}", two_to_four_decimals(amount)),
    };
}

/// Decimals printed of a number in a column of that type.
pub fn decimals(of_type: ColumnType) -> usize {
    match of_type {
        ColumnType::Number { decimals } => usize::from(decimals),
        ColumnType::Probability => 4,
        ColumnType::Text | ColumnType::Whole | ColumnType::Money => 0,
    }
}

/// A number rounded to what is printed of it, so that every file says the same. Never minus zero.
pub fn rounded(number: f64, decimals: usize) -> f64 {
    let scale = 10f64.powi(i32::try_from(decimals).unwrap_or(0));
    (number * scale).round() / scale + 0.0
}

/// An amount with two decimals, or up to four where it has them: `12.50`, `0.0425`.
pub fn money(amount: Decimal) -> String {
    two_to_four_decimals(amount).to_string()
}

fn two_to_four_decimals(amount: Decimal) -> Decimal {
    let mut amount = settled(amount).normalize();
    if amount.scale() < 2 {
        amount.rescale(2);
    }
    amount
}

/// An amount rounded to [`MONEY_DECIMALS`], half to even.
pub fn settled(amount: Decimal) -> Decimal {
    amount.round_dp(MONEY_DECIMALS)
}

/// Writes a row struct together with its published columns.
///
/// ```text
/// table! {
///     /// About the table.
///     "file-stem" => struct Row {
///         /// Meaning of the column.
///         name: RustType => column type, presence;
///     }
/// }
/// ```
macro_rules! table {
    (
        $(#[doc = $about:literal])+
        $table:literal => struct $row:ident {
            $( $(#[doc = $meaning:literal])+ $name:ident : $of:ty => $column_type:expr, $presence:ident; )+
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, Default, PartialEq)]
        pub struct $row {
            $( $(#[doc = $meaning])+ pub $name: $of, )+
        }

        impl $crate::publish::column::TableRow for $row {
            const TABLE: &'static str = $table;
            const ABOUT: &'static str = concat!($($about),+);
            const COLUMNS: &'static [$crate::publish::column::Column] = &[
                $( $crate::publish::column::Column {
                    name: stringify!($name),
                    of_type: $column_type,
                    presence: $crate::publish::column::Presence::$presence,
                    meaning: concat!($($meaning),+),
                }, )+
            ];

            fn cell(&self, column: usize) -> $crate::publish::column::Cell<'_> {
                let mut at = 0usize;
                $(
                    if column == at {
                        return $crate::publish::column::AsCell::as_cell(&self.$name);
                    }
                    at += 1;
                )+
                let _ = at;
                $crate::publish::column::Cell::Missing
            }

            fn from_cells<'a>(
                cell: impl Fn(usize) -> $crate::publish::column::Cell<'a>,
            ) -> Self {
                let mut at = 0usize..;
                let mut next = || at.next().map_or($crate::publish::column::Cell::Missing, &cell);
                Self {
                    $( $name: $crate::publish::column::AsCell::from_cell(next())
                        .unwrap_or_default(), )+
                }
            }
        }
    };
}
pub(crate) use table;

#[cfg(test)]
mod tests {
    use super::*;

    fn amount(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    #[test]
    fn money_keeps_two_to_four_decimals() {
        assert_eq!(money(amount("12.5")), "12.50");
        assert_eq!(money(amount("7")), "7.00");
        assert_eq!(money(amount("0.0425")), "0.0425");
        assert_eq!(money(amount("1.23456")), "1.2346");
        assert_eq!(money(amount("1000000")), "1000000.00");
    }

    #[test]
    fn numbers_print_with_a_fixed_count_of_decimals_and_no_minus_zero() {
        let two = ColumnType::Number { decimals: 2 };
        assert_eq!(printed(Cell::Number(118.0), two), "118.00");
        assert_eq!(printed(Cell::Number(-0.001), two), "0.00");
        assert_eq!(printed(Cell::Number(0.98765), ColumnType::Probability), "0.9877");
    }

    #[test]
    fn empty_text_and_no_number_are_missing() {
        assert_eq!(CompactString::new("").as_cell(), Cell::Missing);
        assert_eq!(f64::NAN.as_cell(), Cell::Missing);
        assert_eq!(None::<u8>.as_cell(), Cell::Missing);
    }
}
