//! A few columns of many rows of a run, read column by column: for looks at more offers than are worth whole rows.

use super::amount::exact_amount;
use polars::prelude::{DataFrame, Float64Chunked, Int64Chunked, StringChunked};
use rust_decimal::Decimal;

/// A few columns of many rows. A column that is absent, or of another type than it is asked for, is missing values.
pub struct NarrowTable {
    frame: DataFrame,
}

/// Numbers of a column.
pub struct Numbers<'a>(Option<&'a Float64Chunked>);

/// Whole numbers of a column.
pub struct Wholes<'a>(Option<&'a Int64Chunked>);

/// Texts of a column.
pub struct Texts<'a>(Option<&'a StringChunked>);

impl<'a> Texts<'a> {
    /// The text of a row, empty when it is missing.
    pub fn get(&self, at: usize) -> &'a str {
        self.0.and_then(|texts| texts.get(at)).unwrap_or_default()
    }
}

impl Numbers<'_> {
    /// The number of a row.
    pub fn get(&self, at: usize) -> Option<f64> {
        self.0.and_then(|numbers| numbers.get(at))
    }
}

impl Numbers<'_> {
    /// The amount of money of a row, exact.
    pub fn money(&self, at: usize) -> Option<Decimal> {
        self.get(at).and_then(exact_amount)
    }
}

impl Wholes<'_> {
    /// The whole number of a row.
    pub fn get(&self, at: usize) -> Option<u32> {
        self.0
            .and_then(|numbers| numbers.get(at))
            .and_then(|number| number.try_into().ok())
    }
}

impl NarrowTable {
    /// Takes a frame whose columns are in one piece each.
    pub(super) fn of(frame: DataFrame) -> NarrowTable {
        NarrowTable { frame }
    }

    /// Rows.
    pub fn height(&self) -> usize {
        self.frame.height()
    }

    /// The numbers of a column.
    pub fn numbers(&self, name: &str) -> Numbers<'_> {
        Numbers(self.frame.column(name).ok().and_then(|column| column.f64().ok()))
    }

    /// The whole numbers of a column.
    pub fn wholes(&self, name: &str) -> Wholes<'_> {
        Wholes(self.frame.column(name).ok().and_then(|column| column.i64().ok()))
    }

    /// The texts of a column.
    pub fn texts(&self, name: &str) -> Texts<'_> {
        Texts(self.frame.column(name).ok().and_then(|column| column.str().ok()))
    }

    /// One text, empty when it is missing. For many rows take [`NarrowTable::texts`].
    pub fn text(&self, name: &str, at: usize) -> &str {
        let texts = self.frame.column(name).ok().and_then(|column| column.str().ok());
        texts.and_then(|texts| texts.get(at)).unwrap_or_default()
    }

    /// One whole number.
    pub fn whole(&self, name: &str, at: usize) -> Option<u32> {
        self.wholes(name).get(at)
    }
}
