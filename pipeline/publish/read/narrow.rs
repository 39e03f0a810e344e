//! A few columns of many rows of a run, read column by column: for looks at more offers than are worth whole rows.

use super::super::column::{Cell, ColumnType, TableRow};
use super::amount::exact_number;
use rayon::prelude::*;
use rust_decimal::Decimal;

/// How a missing whole number is kept; published ones are never negative.
pub(super) const NO_WHOLE: i64 = -1;

/// A few columns of many rows. A column that is absent, or of another type than it is asked for, is missing values.
#[derive(Debug, Default)]
pub struct NarrowTable {
    columns: Vec<(String, Values)>,
    /// where each row stands in the file
    places: Vec<usize>,
}

/// The values of a column, one for each row.
#[derive(Debug)]
pub(super) enum Values {
    /// texts, empty when missing
    Text(TextColumn),
    /// whole numbers, [`NO_WHOLE`] when missing
    Whole(Vec<i64>),
    /// numbers, not a number when missing
    Number(Vec<f64>),
}

/// Texts one behind the other.
#[derive(Debug, Default)]
pub(super) struct TextColumn {
    all: String,
    /// where each text ends
    ends: Vec<usize>,
}

impl TextColumn {
    /// Takes texts that lie one behind the other, and where each ends; nothing if they are not UTF-8.
    pub(super) fn of(all: Vec<u8>, ends: Vec<usize>) -> Option<TextColumn> {
        // one look at all of them is cheaper than one at each
        let all = String::from_utf8(all).ok()?;
        let is_sound = ends.iter().all(|end| all.is_char_boundary(*end));
        is_sound.then_some(TextColumn { all, ends })
    }

    fn get(&self, at: usize) -> &str {
        let start = at.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.all[start..self.ends[at]]
    }

    fn stacked(parts: &[&TextColumn]) -> TextColumn {
        let mut all = String::with_capacity(parts.iter().map(|part| part.all.len()).sum());
        let mut ends = Vec::with_capacity(parts.iter().map(|part| part.ends.len()).sum());
        for part in parts {
            let start = all.len();
            all.push_str(&part.all);
            ends.extend(part.ends.iter().map(|end| start + end));
        }
        TextColumn { all, ends }
    }
}

impl Values {
    /// The values of one column, part below part; parts of another type than the first are left out.
    fn stacked(parts: &[&Values]) -> Option<Values> {
        Some(match parts.first()? {
            Values::Text(_) => Values::Text(TextColumn::stacked(
                &parts.iter().filter_map(|part| part.as_text()).collect::<Vec<_>>(),
            )),
            Values::Whole(_) => Values::Whole(
                parts
                    .iter()
                    .filter_map(|part| part.as_wholes())
                    .collect::<Vec<_>>()
                    .concat(),
            ),
            Values::Number(_) => Values::Number(
                parts
                    .iter()
                    .filter_map(|part| part.as_numbers())
                    .collect::<Vec<_>>()
                    .concat(),
            ),
        })
    }

    fn as_text(&self) -> Option<&TextColumn> {
        match self {
            Values::Text(texts) => Some(texts),
            _ => None,
        }
    }

    fn as_wholes(&self) -> Option<&[i64]> {
        match self {
            Values::Whole(wholes) => Some(wholes),
            _ => None,
        }
    }

    fn as_numbers(&self) -> Option<&[f64]> {
        match self {
            Values::Number(numbers) => Some(numbers),
            _ => None,
        }
    }

    /// The cell of a row in a column of a type.
    fn cell(&self, at: usize, of_type: ColumnType) -> Cell<'_> {
        let cell = match (self, of_type) {
            (Values::Text(texts), ColumnType::Text) => {
                Some(texts.get(at)).filter(|text| !text.is_empty()).map(Cell::Text)
            }
            (Values::Whole(wholes), ColumnType::Whole) => wholes[at].try_into().ok().map(Cell::Whole),
            (Values::Number(numbers), ColumnType::Money) => exact_number(numbers[at]).map(Cell::Money),
            (Values::Number(numbers), ColumnType::Number { .. } | ColumnType::Probability) => {
                Some(numbers[at]).filter(|number| number.is_finite()).map(Cell::Number)
            }
            _ => None,
        };
        cell.unwrap_or(Cell::Missing)
    }
}

/// Numbers of a column.
#[derive(Clone, Copy)]
pub struct Numbers<'a>(&'a [f64]);

/// Whole numbers of a column.
#[derive(Clone, Copy)]
pub struct Wholes<'a>(&'a [i64]);

/// Texts of a column.
#[derive(Clone, Copy)]
pub struct Texts<'a>(Option<&'a TextColumn>);

impl<'a> Texts<'a> {
    /// The text of a row, empty when it is missing.
    pub fn get(&self, at: usize) -> &'a str {
        self.0.map(|texts| texts.get(at)).unwrap_or_default()
    }
}

impl Numbers<'_> {
    /// The number of a row.
    pub fn get(&self, at: usize) -> Option<f64> {
        self.0.get(at).copied().filter(|number| number.is_finite())
    }

    /// The amount of money of a row, exact.
    pub fn money(&self, at: usize) -> Option<Decimal> {
        self.get(at).and_then(exact_number)
    }
}

impl Wholes<'_> {
    /// The whole number of a row.
    pub fn get(&self, at: usize) -> Option<u32> {
        self.0.get(at).and_then(|whole| (*whole).try_into().ok())
    }
}

impl NarrowTable {
    /// Takes columns with a value for each place.
    pub(super) fn of(columns: Vec<(String, Values)>, places: Vec<usize>) -> NarrowTable {
        NarrowTable { columns, places }
    }

    /// The rows of tables with the same columns, one table below the other.
    pub(super) fn stacked(tables: &[NarrowTable]) -> NarrowTable {
        let Some(first) = tables.first() else {
            return NarrowTable::default();
        };
        let columns = first.columns.par_iter().filter_map(|(name, _)| {
            let parts: Vec<&Values> = tables.iter().filter_map(|table| table.values(name)).collect();
            Some((name.clone(), Values::stacked(&parts)?))
        });
        NarrowTable {
            columns: columns.collect(),
            places: tables.iter().flat_map(|table| &table.places).copied().collect(),
        }
    }

    /// Rows.
    pub fn height(&self) -> usize {
        self.places.len()
    }

    /// Where a row stands in the published table, counted from 0.
    pub fn place(&self, at: usize) -> usize {
        self.places[at]
    }

    fn values(&self, name: &str) -> Option<&Values> {
        self.columns
            .iter()
            .find(|(called, _)| called == name)
            .map(|(_, values)| values)
    }

    /// The numbers of a column.
    pub fn numbers(&self, name: &str) -> Numbers<'_> {
        Numbers(self.values(name).and_then(Values::as_numbers).unwrap_or_default())
    }

    /// The whole numbers of a column.
    pub fn wholes(&self, name: &str) -> Wholes<'_> {
        Wholes(self.values(name).and_then(Values::as_wholes).unwrap_or_default())
    }

    /// The texts of a column.
    pub fn texts(&self, name: &str) -> Texts<'_> {
        Texts(self.values(name).and_then(Values::as_text))
    }

    /// One text, empty when it is missing. For many rows take [`NarrowTable::texts`].
    pub fn text(&self, name: &str, at: usize) -> &str {
        self.texts(name).get(at)
    }

    /// The rows of a published table; columns that are not here are missing values.
    pub(super) fn rows<R: TableRow>(&self) -> Vec<R> {
        let columns: Vec<Option<&Values>> = R::COLUMNS.iter().map(|column| self.values(column.name)).collect();
        let cell = |row: usize, at: usize| match columns[at] {
            Some(values) => values.cell(row, R::COLUMNS[at].of_type),
            None => Cell::Missing,
        };
        (0..self.height())
            .map(|row| R::from_cells(|at| cell(row, at)))
            .collect()
    }
}
