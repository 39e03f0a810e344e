//! What becomes of one record: a row of the batch, a row with other cells, a count of the account, or a reject.

use std::ops::Range;
use std::sync::Arc;

use super::super::judge::{Line, Quotes, Seen, Verdict};
use super::super::layout::has_loose_quote;
use super::super::list::Note;
use super::super::problem::{Problem, Reject};
use super::super::rows::{RowBatch, RowMark, Span, push_cells};
use super::super::split::{Cell, Record, line_ends};
use super::super::text::{ReadyRecord, Stretch};
use super::ListReader;

/// Longest raw text kept with a reject, bytes.
const LONGEST_RAW: usize = 4 << 10;
/// Notes about single lines kept per list; the counts stay exact.
const MOST_LINE_NOTES: usize = 10_000;

/// A record on its way into the batch.
#[derive(Clone)]
struct Taken {
    /// Its text in the stretch.
    raw: Range<usize>,
    /// Its cells in the batch.
    cells: Range<usize>,
    quotes: Quotes,
    unclosed: bool,
    plain: bool,
}

impl ListReader {
    /// Takes a record of one line that was cut ahead.
    pub(super) fn take_ready(&mut self, stretch: &mut Stretch, ready: ReadyRecord, batch: &mut RowBatch) {
        let raw = ready.start..ready.end;
        if self.is_counted(stretch, raw.clone(), ready.next) {
            let cells = ready.first_cell..ready.first_cell + ready.cells;
            let taken = Taken {
                raw,
                cells,
                quotes: ready.quotes,
                unclosed: false,
                plain: ready.plain,
            };
            self.take(&stretch.text, taken, batch);
        }
    }

    /// Takes a record that was cut just now.
    pub(super) fn take_record(&mut self, stretch: &mut Stretch, record: Record, cells: &[Cell], batch: &mut RowBatch) {
        let raw = record.start..record.end;
        if !self.is_counted(stretch, raw.clone(), record.next) {
            return;
        }
        let text = stretch.text.as_str();
        let first = batch.cells.len();
        push_cells(&self.cut, text, cells, batch);
        let loose = || stretch.has_quotes && has_loose_quote(&self.cut, text.as_bytes(), cells);
        let quotes = if record.stray || record.unclosed || loose() {
            Quotes::Amiss
        } else {
            Quotes::Sound
        };
        let spans = &batch.cells[first..];
        let cell = |index: usize| batch.bytes_with(text, spans[index]);
        let taken = Taken {
            plain: self.judge.plain_row().is_sure(cells.len(), quotes, cell),
            raw,
            cells: first..batch.cells.len(),
            quotes,
            unclosed: record.unclosed,
        };
        self.take(text, taken, batch);
    }

    /// Counts a record as read; false if its length or its bytes have it rejected at once.
    fn is_counted(&mut self, stretch: &mut Stretch, raw: Range<usize>, next: usize) -> bool {
        // a line that is rejected for its length takes its bad bytes with it
        let bad_byte = stretch.bad_byte_before(next);
        if raw.len() > self.limits.line_bytes {
            self.reject_long(&stretch.text[raw]);
            return false;
        }
        self.account.read += 1;
        let Some(bad) = bad_byte else { return true };
        let message = format!(
            "byte 0x{:02X} at offset {} is no {}",
            bad.byte, bad.offset, self.head.encoding.label
        );
        self.reject(&stretch.text[raw], Problem::InvalidBytes, None, message);
        false
    }

    fn take(&mut self, text: &str, taken: Taken, batch: &mut RowBatch) {
        if taken.plain && self.judge.is_settled() {
            return self.push_row(taken, batch);
        }
        let spans = &batch.cells[taken.cells.clone()];
        let cells: Vec<&str> = spans.iter().map(|span| batch.slice_with(text, *span)).collect();
        let raw = &text[taken.raw.clone()];
        let verdict = self.judge.judge(&Seen {
            raw,
            cells: &cells,
            irregular: taken.quotes == Quotes::Amiss,
            unclosed: taken.unclosed,
        });
        match verdict {
            Verdict::Row => self.push_row(taken, batch),
            Verdict::Mended { cells, note } => {
                let first = batch.cells.len();
                for cell in &cells {
                    let start = batch.changed.len();
                    batch.changed.push_str(cell);
                    batch.cells.push(Span::changed(start, batch.changed.len()));
                }
                if let Some(note) = note {
                    self.account.repaired += 1;
                    self.note(note);
                }
                let cells = first..batch.cells.len();
                self.push_row(Taken { cells, ..taken }, batch);
            }
            Verdict::Layout(line) => self.count(line),
            Verdict::Reject {
                problem,
                column,
                message,
            } => self.reject(raw, problem, column, message),
        }
    }

    fn push_row(&mut self, taken: Taken, batch: &mut RowBatch) {
        self.account.layout.section += std::mem::take(&mut self.pending_texts);
        self.account.rows += 1;
        batch.rows.push(RowMark {
            line: self.line,
            first_cell: taken.cells.start as u32,
            cells: taken.cells.len() as u32,
            raw: Span::text(taken.raw.start, taken.raw.end),
        });
    }

    fn count(&mut self, line: Line) {
        let layout = &mut self.account.layout;
        match line {
            Line::Blank => layout.blank += 1,
            Line::Preamble => layout.preamble += 1,
            Line::Header => layout.header += 1,
            Line::RepeatedHeader => layout.repeated_header += 1,
            Line::Units => layout.units += 1,
            Line::Total => layout.total += 1,
            Line::Comment => layout.footnote += 1,
            Line::Text => self.pending_texts += 1,
        }
    }

    fn note(&mut self, message: String) {
        self.line_notes += 1;
        if self.line_notes <= MOST_LINE_NOTES {
            self.account.notes.push(Note::at(self.line, message));
        }
    }

    fn reject(&mut self, raw: &str, problem: Problem, column: Option<u32>, message: String) {
        let raw = shortened(raw);
        self.push_reject(problem, column, message, raw);
    }

    /// Rejects a line past the limit of which only the start is at hand.
    pub(super) fn reject_long(&mut self, start: &str) {
        self.account.read += 1;
        let message = format!("longer than {} bytes, the limit `line_bytes`", self.limits.line_bytes);
        let raw = beginning(start, self.limits.line_bytes.min(LONGEST_RAW));
        self.push_reject(Problem::LineTooLong, None, message, raw);
    }

    fn push_reject(&mut self, problem: Problem, column: Option<u32>, message: String, raw: String) {
        let file = match self.head.sheet {
            None => self.head.file.clone(),
            Some(_) => Arc::from(self.head.shown()),
        };
        self.account.rejected += 1;
        self.account.of_other_tables += u64::from(problem == Problem::OtherTable);
        self.account.rejects.push(Reject {
            file,
            line: self.line,
            column,
            problem,
            message,
            hint: problem.hint().to_string(),
            raw,
        });
    }
}

/// At most `LONGEST_RAW` bytes of a text, and how much is left out.
fn shortened(text: &str) -> String {
    if text.len() <= LONGEST_RAW {
        return text.to_string();
    }
    let lines = line_ends(text.as_bytes()) + 1;
    format!(
        "{} ({lines} lines, {} bytes in all)",
        beginning(text, LONGEST_RAW),
        text.len()
    )
}

/// The first bytes of a text, with a mark that more follow.
fn beginning(text: &str, most: usize) -> String {
    let mut end = most.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    format!("{}…", &text[..end])
}
