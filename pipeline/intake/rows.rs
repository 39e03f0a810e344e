//! Rows as they are handed on: a batch owns one stretch of decoded text, and a cell is a span of it, so that reading a
//! list makes no string per cell. Cells whose text differs from what stands in the file (a doubled quote, a repaired
//! row) lie in a second text beside it.

use std::borrow::Cow;

use super::split::{Cell, Cut, Form, unescape};

/// Marks a span that points into `changed` instead of `text`.
const CHANGED: u32 = 1 << 31;

/// A span of bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Span {
    start: u32,
    end: u32,
}

impl Span {
    /// A span of the file's own text.
    #[inline]
    pub(crate) fn text(start: usize, end: usize) -> Span {
        Span {
            start: start as u32,
            end: end as u32,
        }
    }

    /// A span of the changed text.
    #[inline]
    pub(crate) fn changed(start: usize, end: usize) -> Span {
        Span {
            start: start as u32 | CHANGED,
            end: end as u32 | CHANGED,
        }
    }
}

/// One row's place in the batch.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RowMark {
    pub(crate) line: u32,
    pub(crate) first_cell: u32,
    pub(crate) cells: u32,
    pub(crate) raw: Span,
}

/// Some rows of a list, in file order; at most about a megabyte of text.
#[derive(Clone, Debug, Default)]
pub struct RowBatch {
    pub(crate) text: String,
    pub(crate) changed: String,
    pub(crate) cells: Vec<Span>,
    pub(crate) rows: Vec<RowMark>,
}

impl RowBatch {
    /// Number of rows.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Row `index`, from 0. Panics past the end, as slices do.
    pub fn row(&self, index: usize) -> Row<'_> {
        let mark = self.rows[index];
        let first = mark.first_cell as usize;
        Row {
            batch: self,
            mark,
            cells: &self.cells[first..first + mark.cells as usize],
        }
    }

    /// The rows in order.
    pub fn iter(&self) -> impl Iterator<Item = Row<'_>> {
        (0..self.len()).map(|index| self.row(index))
    }

    /// A batch made by hand, from line numbers and cells.
    pub fn of<S: AsRef<str>>(rows: &[(u32, Vec<S>)]) -> RowBatch {
        let mut batch = RowBatch::default();
        for (line, cells) in rows {
            batch.push_own(*line, cells.iter().map(AsRef::as_ref));
        }
        batch
    }

    /// Appends a row whose text is not a stretch of the file, such as a workbook's.
    fn push_own<'c>(&mut self, line: u32, cells: impl Iterator<Item = &'c str>) {
        let first_cell = self.cells.len() as u32;
        let raw_start = self.changed.len();
        for (index, cell) in cells.enumerate() {
            if index > 0 {
                self.changed.push('\t');
            }
            let start = self.changed.len();
            self.changed.push_str(cell);
            self.cells.push(Span::changed(start, self.changed.len()));
        }
        self.rows.push(RowMark {
            line,
            first_cell,
            cells: self.cells.len() as u32 - first_cell,
            raw: Span::changed(raw_start, self.changed.len()),
        });
    }

    /// The text of a span while the stretch is not yet part of the batch.
    #[inline]
    pub(crate) fn slice_with<'t>(&'t self, text: &'t str, span: Span) -> &'t str {
        if span.start & CHANGED != 0 {
            self.slice(span)
        } else {
            &text[span.start as usize..span.end as usize]
        }
    }

    /// The same as bytes, for those who only look at them.
    #[inline]
    pub(crate) fn bytes_with<'t>(&'t self, text: &'t str, span: Span) -> &'t [u8] {
        if span.start & CHANGED != 0 {
            &self.changed.as_bytes()[(span.start & !CHANGED) as usize..(span.end & !CHANGED) as usize]
        } else {
            &text.as_bytes()[span.start as usize..span.end as usize]
        }
    }

    #[inline]
    pub(crate) fn slice(&self, span: Span) -> &str {
        if span.start & CHANGED != 0 {
            &self.changed[(span.start & !CHANGED) as usize..(span.end & !CHANGED) as usize]
        } else {
            &self.text[span.start as usize..span.end as usize]
        }
    }
}

/// Appends the cells of a record to a batch.
pub(crate) fn push_cells(cut: &Cut, text: &str, cells: &[Cell], batch: &mut RowBatch) {
    batch.cells.reserve(cells.len());
    for cell in cells {
        let span = if cell.form == Form::Escaped {
            let start = batch.changed.len();
            unescape(cut, &text[cell.start..cell.end], &mut batch.changed);
            Span::changed(start, batch.changed.len())
        } else {
            Span::text(cell.start, cell.end)
        };
        batch.cells.push(span);
    }
}

/// One row of a batch.
#[derive(Clone, Copy)]
pub struct Row<'b> {
    batch: &'b RowBatch,
    mark: RowMark,
    cells: &'b [Span],
}

impl<'b> Row<'b> {
    /// Physical line of the file where the record starts, from 1; for a workbook the sheet's row.
    pub fn line(&self) -> u32 {
        self.mark.line
    }

    /// Number of cells; the same for every row of a list.
    pub fn len(&self) -> usize {
        self.cells.len()
    }

    /// Whether the row has no cells.
    pub fn is_empty(&self) -> bool {
        self.cells.is_empty()
    }

    /// Cell `index`, from 0, unquoted; empty past the end.
    #[inline]
    pub fn cell(&self, index: usize) -> &'b str {
        self.cells.get(index).map_or("", |span| self.batch.slice(*span))
    }

    /// The cells in order.
    pub fn iter(&self) -> impl Iterator<Item = &'b str> + use<'b> {
        let batch = self.batch;
        self.cells.iter().map(move |span| batch.slice(*span))
    }

    /// The record as it stood in the file, without its line end. For a workbook: the cells, with tabs between them.
    pub fn raw(&self) -> Cow<'b, str> {
        Cow::Borrowed(self.batch.slice(self.mark.raw))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_batch_made_by_hand_gives_its_cells_back() {
        let batch = RowBatch::of(&[(3, vec!["A-1", "starter"]), (5, vec!["A-2", ""])]);
        assert_eq!(batch.len(), 2);
        assert_eq!(batch.row(0).line(), 3);
        assert_eq!(batch.row(0).cell(1), "starter");
        assert_eq!(batch.row(1).cell(1), "");
        assert_eq!(batch.row(1).cell(7), "");
        assert_eq!(batch.row(0).raw(), "A-1\tstarter");
        assert_eq!(batch.iter().count(), 2);
    }
}
