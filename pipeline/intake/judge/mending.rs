//! Lines that are not rows as they stand: mended where a reading is certain, told for prose, padded where the list is only
//! tidied, and rejected otherwise with what was found and expected.

use super::super::cellclass::class_of;
use super::super::model::Look;
use super::super::problem::Problem;
use super::super::reader::Use;
use super::super::repair::{Reading, read_ragged, work_on};
use super::{Judge, Line, Seen, Verdict};

/// Work that may be spent on aligning the ragged lines of one list, some ten seconds. Once it is spent the rest are not
/// aligned: a list that is ragged throughout needs another profile, not more work.
pub(super) const MOST_WORK: u64 = 4_000_000_000;

impl Judge {
    /// Whether a record of the right width is to be believed although a quote in it is amiss.
    pub(super) fn fits_as_it_stands(&self, seen: &Seen) -> bool {
        if !seen.irregular {
            return true;
        }
        let cost: f32 = seen
            .cells
            .iter()
            .enumerate()
            .map(|(column, cell)| self.models.fit(column, Look::of(cell, false)))
            .sum();
        !seen.unclosed && self.models.is_usual(cost - self.models.width() as f32)
    }

    pub(super) fn mend(&self, seen: &Seen) -> Verdict {
        let reading = self.read(seen.raw, seen.cells.len());
        if let Some(reading) = reading
            && reading.is_certain(&self.models)
        {
            let note = format!(
                "{} ({} cells found, {} expected)",
                reading.what.words(),
                seen.cells.len(),
                self.width
            );
            return Verdict::Mended {
                cells: reading.cells,
                note: Some(note),
            };
        }
        if self.purpose == Use::Build && self.is_prose(seen) {
            return Verdict::Layout(Line::Text);
        }
        match self.purpose {
            Use::Build => self.reject(seen),
            Use::Tidy => self.padded(seen),
        }
    }

    /// A sentence that happens to hold delimiters: words without a number that rows would have.
    fn is_prose(&self, seen: &Seen) -> bool {
        let typed = seen
            .cells
            .iter()
            .any(|cell| class_of(cell).is_typed() || class_of(cell).family() == 4);
        let words = seen.raw.split_whitespace().count();
        !typed && !self.may_be_torn_row(seen.raw) && words >= 4 && seen.cells.len() * 2 <= self.width
    }

    fn reject(&self, seen: &Seen) -> Verdict {
        let found = seen.cells.len();
        let (problem, message) = if seen.unclosed {
            (
                Problem::UnclosedQuote,
                "a quote opens and the line ends before it closes".to_string(),
            )
        } else if found < self.width {
            (
                Problem::TooFewCells,
                format!("{found} cells found, {} expected", self.width),
            )
        } else if found > self.width {
            (
                Problem::TooManyCells,
                format!("{found} cells found, {} expected", self.width),
            )
        } else {
            (
                Problem::UnclosedQuote,
                "quotes stand where none should, and the cells do not fit their columns".to_string(),
            )
        };
        Verdict::Reject {
            problem,
            column: (found > self.width).then_some(self.width as u32 + 1),
            message,
        }
    }

    /// The cells found, brought to the width of the list where they are fewer.
    fn padded(&self, seen: &Seen) -> Verdict {
        let found = seen.cells.len();
        let mut cells: Vec<String> = seen.cells.iter().map(|cell| cell.to_string()).collect();
        if found < self.width {
            cells.resize(self.width, String::new());
        }
        let note =
            (found != self.width).then(|| format!("{found} cells found, {} expected; kept as found", self.width));
        Verdict::Mended { cells, note }
    }

    pub(super) fn looks_usual(&self, cells: &[&str]) -> bool {
        let cost: f32 = cells
            .iter()
            .enumerate()
            .map(|(column, cell)| self.models.fit(column, Look::of(cell, false)))
            .sum();
        self.models.is_usual(cost - self.models.width() as f32)
    }

    /// Whether a line, cut without regard to quotes, is a row by itself. Tells a torn record from a quoted line break.
    pub(crate) fn is_row_by_itself(&self, line: &str) -> bool {
        let Some(delimiter) = self.cut.delimiter else {
            return false;
        };
        let delimiters = memchr::memchr_iter(delimiter, line.as_bytes()).count();
        self.width >= 3 && delimiters + 1 >= self.width && {
            self.read(line, delimiters + 1)
                .is_some_and(|reading| reading.is_certain(&self.models))
        }
    }
}

impl Judge {
    /// The best reading of a line, as long as the list's work is not spent.
    fn read(&self, line: &str, cells_found: usize) -> Option<Reading> {
        let left = self
            .work_left
            .get()
            .checked_sub(work_on(line, &self.cut, &self.models))?;
        self.work_left.set(left);
        read_ragged(line, &self.cut, &self.models, cells_found)
    }
}

impl Judge {
    /// Whether ragged lines were left unaligned because the list's work was spent.
    pub(crate) fn is_work_spent(&self) -> bool {
        self.work_left.get() == 0
    }
}
