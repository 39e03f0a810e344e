//! The row beyond doubt, the common case of a long list: told from its cells alone, without what was read before, so that
//! many threads can tell it at once. Whether such a row may be believed at this point of the list is for the judge to say.

use super::super::header_words::HeaderWords;
use super::super::model::Models;
use super::super::reader::Use;
use super::{Quotes, is_blank};

/// A column filled this often is a key column: a line without it is looked at twice.
const KEY_FILLED: f32 = 0.97;

/// What a row beyond doubt has.
#[derive(Clone, Debug)]
pub(crate) struct PlainRow {
    width: usize,
    keys: Vec<usize>,
    first_names: Vec<String>,
    purpose: Use,
}

impl PlainRow {
    pub(super) fn of(models: &Models, width: usize, header_rows: &[Vec<String>], purpose: Use) -> PlainRow {
        let is_key = |column: &usize| {
            let model = models.columns.get(*column);
            model.is_some_and(|model| model.filled() >= KEY_FILLED)
        };
        PlainRow {
            width,
            keys: (0..width).filter(is_key).collect(),
            first_names: header_rows.iter().filter_map(|row| row.first().cloned()).collect(),
            purpose,
        }
    }

    /// Cells of a row.
    pub(crate) fn width(&self) -> usize {
        self.width
    }

    /// Columns that every row fills.
    pub(super) fn keys(&self) -> &[usize] {
        &self.keys
    }

    /// Whether a record is a row beyond doubt. Its cells are given as bytes of UTF-8: to look at their first ones needs
    /// no more.
    #[inline]
    pub(crate) fn is_sure<'c>(&self, width: usize, quotes: Quotes, cell: impl Fn(usize) -> &'c [u8]) -> bool {
        width == self.width
            && quotes == Quotes::Sound
            && self.is_filled(&cell)
            && !(self.purpose == Use::Build && HeaderWords::built_in().may_be_total(cell(0)))
    }

    /// Every key cell is filled, the first cell is not the header's and does not sound like a sum.
    #[inline]
    pub(super) fn is_plain(&self, cells: &[&str]) -> bool {
        let cell = |index: usize| cells.get(index).map_or(&b""[..], |cell| cell.as_bytes());
        self.is_filled(&cell) && !HeaderWords::built_in().may_be_total(cell(0))
    }

    #[inline]
    fn is_filled<'c>(&self, cell: &impl Fn(usize) -> &'c [u8]) -> bool {
        !self.keys.is_empty()
            && self.keys.iter().all(|column| has_text(cell(*column)))
            && !self.first_names.iter().any(|name| name.as_bytes() == cell(0))
    }
}

/// Whether a cell holds more than white space: most show it by their first byte.
#[inline]
fn has_text(cell: &[u8]) -> bool {
    match cell.first() {
        None => false,
        Some(first) if *first > b' ' && first.is_ascii() => true,
        Some(_) => std::str::from_utf8(cell).is_ok_and(|cell| !is_blank(cell)),
    }
}
