//! Cuts a stretch into records before its turn comes, on whatever thread is free. How a record is cut depends on nothing
//! but the text from its first byte on; where records start depends on all that went before, and here it is only
//! supposed. So what is cut ahead is *remembered by its place*: the reader goes from record to record as ever and asks
//! whether the one that starts here is ready. A wrong supposition costs time and changes no row, whatever the size of a
//! stretch or the number of threads.

use super::super::judge::{PlainRow, Quotes};
use super::super::layout::has_loose_quote;
use super::super::rows::{RowBatch, push_cells};
use super::super::split::{Cut, Step, next_record, physical_line};
use super::Stretch;

/// Lines tried for the end of a stretch.
const MOST_TRIED: usize = 64;
/// Quotes without an end in one stretch after which it is left to the reader.
const MOST_OPEN: u32 = 16;

/// What must be known to cut ahead.
pub(crate) struct Ahead {
    pub(crate) cut: Cut,
    pub(crate) plain: PlainRow,
}

/// A record of one line that was cut ahead.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ReadyRecord {
    pub(crate) start: usize,
    /// End of the content, before the line end.
    pub(crate) end: usize,
    /// Start of the next record.
    pub(crate) next: usize,
    pub(crate) first_cell: usize,
    pub(crate) cells: usize,
    pub(crate) quotes: Quotes,
    /// Whether it is a row beyond doubt once the list's first lines have been told apart.
    pub(crate) plain: bool,
}

/// The records of a stretch that were cut ahead, in the order of their places, and their cells.
#[derive(Default)]
pub(crate) struct Ready {
    pub(crate) cells: RowBatch,
    records: Vec<ReadyRecord>,
    passed: usize,
}

impl Ready {
    /// The record that starts at a place, if it was cut ahead. Places must be asked for in rising order.
    pub(crate) fn at(&mut self, place: usize) -> Option<ReadyRecord> {
        while self.records.get(self.passed).is_some_and(|record| record.start < place) {
            self.passed += 1;
        }
        self.records
            .get(self.passed)
            .filter(|record| record.start == place)
            .copied()
    }
}

impl Ahead {
    /// Whether a text holds a quote at all.
    pub(super) fn has_quotes(&self, text: &str) -> bool {
        self.cut
            .quote
            .is_some_and(|quote| memchr::memchr(quote, text.as_bytes()).is_some())
    }

    /// Where to end a stretch: at the start of a line, and if there are quotes, of one that reads as a row, since a line
    /// inside a quoted cell hardly does.
    pub(super) fn boundary(&self, text: &str, has_quotes: bool) -> usize {
        let bytes = text.as_bytes();
        let mut cells = Vec::new();
        let mut starts = memchr::memrchr_iter(self.cut.line_end(), bytes).map(|place| place + 1);
        let Some(last) = starts.next() else { return text.len() };
        if !has_quotes {
            return last;
        }
        let is_row = |start: &usize| match next_record(&self.cut, bytes, *start, false, &mut cells) {
            Step::Record(record) => record.lines == 1 && !record.stray && cells.len() == self.plain.width(),
            Step::NeedMore | Step::Done => false,
        };
        starts
            .take(MOST_TRIED)
            .filter(|start| *start > 0)
            .find(is_row)
            .unwrap_or(last)
    }

    /// Cuts what can be cut of a stretch.
    pub(super) fn cut(&self, stretch: &mut Stretch) {
        let text = stretch.text.as_str();
        let bytes = text.as_bytes();
        let mut ready = Ready::default();
        ready.cells.cells.reserve(text.len() / 16);
        let (mut at, mut open) = (0, 0);
        let mut cells = Vec::new();
        loop {
            let torn = match next_record(&self.cut, bytes, at, stretch.at_end, &mut cells) {
                Step::Record(record) if record.lines == 1 && !record.unclosed => {
                    let first_cell = ready.cells.cells.len();
                    push_cells(&self.cut, text, &cells, &mut ready.cells);
                    let loose = || stretch.has_quotes && has_loose_quote(&self.cut, bytes, &cells);
                    let quotes = if record.stray || loose() {
                        Quotes::Amiss
                    } else {
                        Quotes::Sound
                    };
                    let spans = &ready.cells.cells[first_cell..];
                    let cell = |index: usize| ready.cells.bytes_with(text, spans[index]);
                    ready.records.push(ReadyRecord {
                        start: record.start,
                        end: record.end,
                        next: record.next,
                        first_cell,
                        cells: cells.len(),
                        quotes,
                        plain: self.plain.is_sure(cells.len(), quotes, cell),
                    });
                    at = record.next;
                    false
                }
                Step::Record(record) if !(record.stray || record.unclosed) => {
                    at = record.next;
                    false
                }
                Step::Record(_) | Step::NeedMore => true,
                Step::Done => break,
            };
            if torn {
                // the reader will take such a line by itself
                open += 1;
                match physical_line(&self.cut, bytes, at, false) {
                    Some((_, next)) if open <= MOST_OPEN => at = next,
                    _ => break,
                }
            }
        }
        stretch.ready = ready;
    }
}
