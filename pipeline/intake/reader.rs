//! Drives the steps of intake over one file and hands its rows on, batch by batch, in bounded memory.

use std::sync::Arc;

use super::inputs::InputFile;
use super::judge::{Judge, Line, Quotes, Seen, Verdict};
use super::layout::{first_line, has_loose_quote, untorn};
use super::limits::Limits;
use super::list::{ListAccount, ListHead, Note};
use super::problem::{FileFailure, Problem, Reject};
use super::profile::Profiles;
use super::rows::{RowBatch, RowMark, Span};
use super::split::{Cell, Cut, Form, Record, Step, line_ends, next_record, physical_line, unescape};
use super::text::Text;

/// Longest raw text kept with a reject, bytes.
const LONGEST_RAW: usize = 4 << 10;
/// A quoted record over more lines than this is taken for a torn one.
const MOST_LINES: u32 = 400;
/// Notes about single lines kept per list; the counts stay exact.
const MOST_LINE_NOTES: usize = 10_000;

/// What the rows are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Offers: columns must be recognised, and a doubtful line is rejected.
    Build,
    /// A plain table: no column need be recognised, and a short line may be padded.
    Tidy,
}

/// Opens a file and finds out all that must be known before its rows are read. Several sheets or archive members are
/// several lists.
pub fn read_file(
    input: &InputFile,
    profiles: &Profiles,
    limits: &Limits,
    purpose: Use,
) -> Result<Vec<ListReader>, FileFailure> {
    super::opening::open_lists(input, profiles, limits, purpose)
}

/// Reads one list, batch by batch.
pub struct ListReader {
    head: ListHead,
    text: Text,
    cut: Cut,
    judge: Judge,
    limits: Limits,
    line: u32,
    skipping: bool,
    pending_texts: u64,
    line_notes: usize,
    cells: Vec<Cell>,
    account: ListAccount,
    finished: bool,
}

impl ListReader {
    pub(super) fn new(
        head: ListHead,
        text: Text,
        cut: Cut,
        judge: Judge,
        limits: Limits,
        first_line: u32,
    ) -> ListReader {
        let account = ListAccount {
            notes: head.notes.clone(),
            ..ListAccount::default()
        };
        ListReader {
            head,
            text,
            cut,
            judge,
            limits,
            line: first_line,
            skipping: false,
            pending_texts: 0,
            line_notes: 0,
            cells: Vec::new(),
            account,
            finished: false,
        }
    }

    /// Reads in stretches of another size.
    #[cfg(test)]
    pub(super) fn in_stretches(mut self, bytes: usize) -> ListReader {
        self.text = self.text.with_stretch(bytes);
        self
    }

    /// Counts a line that was taken off before reading, such as `sep=`.
    pub(super) fn count_taken_off(&mut self) {
        self.account.read += 1;
        self.account.layout.header += 1;
    }

    /// What is known of the list.
    pub fn head(&self) -> &ListHead {
        &self.head
    }

    /// The next rows, or `None` after the last.
    pub fn next_batch(&mut self) -> Option<RowBatch> {
        while !self.finished {
            let batch = self.read_batch();
            if !batch.is_empty() {
                return Some(batch);
            }
        }
        None
    }

    /// What became of the lines; reads whatever has not been read yet.
    pub fn finish(mut self) -> ListAccount {
        while self.next_batch().is_some() {}
        self.account
    }

    fn read_batch(&mut self) -> RowBatch {
        let mut batch = RowBatch::default();
        if let Err(error) = self.text.fill() {
            self.break_off(&error);
            return batch;
        }
        let text = self.text.take();
        let at_end = self.text.is_finished();
        let mut at = 0;
        let mut cells = std::mem::take(&mut self.cells);
        loop {
            if self.skipping {
                match physical_line(&self.cut, text.as_bytes(), at, at_end) {
                    Some((_, next)) => {
                        at = next;
                        self.line += 1;
                        self.skipping = false;
                    }
                    None => {
                        // a `\r` at the end may be the first half of the line's end
                        at = text.len() - usize::from(text.ends_with('\r'));
                        self.text.bad_byte_before(at);
                        break;
                    }
                }
                self.text.bad_byte_before(at);
            }
            match next_record(&self.cut, text.as_bytes(), at, at_end, &mut cells) {
                Step::Record(record) => {
                    let record = self.settle(&text, record, at_end, &mut cells);
                    self.take_record(&text, record, &cells, &mut batch);
                    self.line += record.lines;
                    at = record.next;
                }
                Step::NeedMore if text.len() - at > self.limits.line_bytes => {
                    match self.cut_long(&text, at, at_end, &mut cells) {
                        Some(record) => {
                            self.take_record(&text, record, &cells, &mut batch);
                            self.line += record.lines;
                            at = record.next;
                        }
                        None => {
                            self.reject_long(&text[at..]);
                            self.skipping = true;
                            continue;
                        }
                    }
                }
                Step::NeedMore => break,
                Step::Done => {
                    self.finish_account();
                    break;
                }
            }
        }
        self.cells = cells;
        if batch.is_empty() {
            self.text.give_back(text, at);
        } else {
            self.text.keep_tail(&text, at);
            batch.text = text;
        }
        batch
    }

    fn finish_account(&mut self) {
        self.finished = true;
        self.account.layout.footnote += std::mem::take(&mut self.pending_texts);
        if self.judge.is_work_spent() {
            let message =
                "so many lines are ragged that the later ones were not mended; check the delimiter and the quotes";
            self.account.notes.push(Note::new(message));
        }
    }

    fn break_off(&mut self, error: &std::io::Error) {
        self.account
            .notes
            .push(Note::at(self.line, format!("reading broke off here: {error}")));
        self.finish_account();
    }

    /// A record over several lines is looked at once more: was a quote left open, and are its lines rows by themselves?
    fn settle(&self, text: &str, record: Record, at_end: bool, cells: &mut Vec<Cell>) -> Record {
        if record.lines == 1 {
            return record;
        }
        let bytes = text.as_bytes();
        if self.judge.is_leading() {
            return untorn(&self.cut, bytes, record, at_end, cells).unwrap_or(record);
        }
        let closed = !record.unclosed && record.lines <= MOST_LINES;
        let sound = closed && !record.stray;
        let wide = cells.len() == self.judge.width();
        let torn = !(sound || wide && closed)
            || record.end - record.start > self.limits.line_bytes
            // a record of the right width is doubted only if its first line would be a row as well
            || self.lines_are_rows(&text[record.start..record.end], usize::from(!(sound && wide)));
        if torn {
            first_line(&self.cut, bytes, record.start, at_end, cells).unwrap_or(record)
        } else {
            record
        }
    }

    /// Whether the physical lines of a record, the first few after `skipped`, read as rows by themselves.
    fn lines_are_rows(&self, record: &str, skipped: usize) -> bool {
        let lines = record.split(['\n', '\r']).filter(|line| !line.is_empty());
        let mut lines = lines.skip(skipped).take(4).peekable();
        lines.peek().is_some() && lines.all(|line| self.judge.is_row_by_itself(line))
    }

    /// The first line of a record that grew past the limit, if that line itself is within it.
    fn cut_long(&self, text: &str, at: usize, at_end: bool, cells: &mut Vec<Cell>) -> Option<Record> {
        let (end, _) = physical_line(&self.cut, text.as_bytes(), at, at_end)?;
        (end - at <= self.limits.line_bytes).then_some(())?;
        first_line(&self.cut, text.as_bytes(), at, at_end, cells)
    }

    fn take_record(&mut self, text: &str, record: Record, cells: &[Cell], batch: &mut RowBatch) {
        // a line that is rejected for its length takes its bad bytes with it
        let bad_byte = self.text.bad_byte_before(record.next);
        if record.end - record.start > self.limits.line_bytes {
            return self.reject_long(&text[record.start..record.end]);
        }
        self.account.read += 1;
        if let Some(bad) = bad_byte {
            let message = format!(
                "byte 0x{:02X} at offset {} is no {}",
                bad.byte, bad.offset, self.head.encoding.label
            );
            return self.reject(text, record, Problem::InvalidBytes, None, message);
        }
        let mark = batch.cells.len();
        push_cells(&self.cut, text, cells, batch);
        let irregular = record.stray
            || record.unclosed
            || self.text.has_quotes() && has_loose_quote(&self.cut, text.as_bytes(), cells);
        let quotes = if irregular { Quotes::Amiss } else { Quotes::Sound };
        let spans = &batch.cells[mark..];
        if self
            .judge
            .is_sure_row(spans.len(), quotes, |index| batch.slice_with(text, spans[index]))
        {
            return self.push_row(record, mark, batch);
        }
        let cells: Vec<&str> = spans.iter().map(|span| batch.slice_with(text, *span)).collect();
        let raw = &text[record.start..record.end];
        let verdict = self.judge.judge(&Seen {
            raw,
            cells: &cells,
            irregular,
            unclosed: record.unclosed,
        });
        match verdict {
            Verdict::Row => self.push_row(record, mark, batch),
            Verdict::Mended { cells, note } => {
                batch.cells.truncate(mark);
                for cell in &cells {
                    let start = batch.changed.len();
                    batch.changed.push_str(cell);
                    batch.cells.push(Span::changed(start, batch.changed.len()));
                }
                if let Some(note) = note {
                    self.account.repaired += 1;
                    self.note(note);
                }
                self.push_row(record, mark, batch);
            }
            Verdict::Layout(line) => {
                batch.cells.truncate(mark);
                self.count(line);
            }
            Verdict::Reject {
                problem,
                column,
                message,
            } => {
                batch.cells.truncate(mark);
                self.reject(text, record, problem, column, message);
            }
        }
    }

    fn push_row(&mut self, record: Record, mark: usize, batch: &mut RowBatch) {
        self.account.layout.section += std::mem::take(&mut self.pending_texts);
        self.account.rows += 1;
        let raw = Span::text(record.start, record.end);
        batch.rows.push(RowMark {
            line: self.line,
            first_cell: mark as u32,
            raw,
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

    fn reject(&mut self, text: &str, record: Record, problem: Problem, column: Option<u32>, message: String) {
        let raw = shortened(&text[record.start..record.end]);
        self.account.rejects.push(Reject {
            file: self.shown(),
            line: self.line,
            column,
            problem,
            message,
            hint: problem.hint().to_string(),
            raw,
        });
    }

    fn reject_long(&mut self, start: &str) {
        self.account.read += 1;
        let message = format!("longer than {} bytes, the limit `line_bytes`", self.limits.line_bytes);
        self.account.rejects.push(Reject {
            file: self.shown(),
            line: self.line,
            column: None,
            problem: Problem::LineTooLong,
            message,
            hint: Problem::LineTooLong.hint().to_string(),
            raw: beginning(start, self.limits.line_bytes.min(LONGEST_RAW)),
        });
    }

    fn shown(&self) -> Arc<str> {
        match self.head.sheet {
            None => self.head.file.clone(),
            Some(_) => Arc::from(self.head.shown()),
        }
    }
}

fn push_cells(cut: &Cut, text: &str, cells: &[Cell], batch: &mut RowBatch) {
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
