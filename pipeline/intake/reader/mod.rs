//! Drives the steps of intake over one file and hands its rows on, batch by batch, in bounded memory. The records of a
//! stretch are cut ahead on many threads (`text`); here they are taken one after the other, in the order of the file,
//! since what a line is may hang on the lines before it.

mod taking;
mod torn;

use super::inputs::InputFile;
use super::judge::Judge;
use super::limits::Limits;
use super::list::{ListAccount, ListHead, Note};
use super::problem::{FileFailure, Reject};
use super::profile::Profiles;
use super::rows::RowBatch;
use super::split::{Cell, Cut, Step, next_record, physical_line};
use super::text::{Ahead, Stretch, Text};

/// What the rows are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// Offers: columns must be recognised, and a doubtful line is rejected.
    Build,
    /// A plain table: no column need be recognised, and a short line may be padded.
    Tidy,
}

/// Opens a file and finds out all that must be known before its rows are read. Several sheets or archive members are
/// several lists, each of which may fail by itself; a file that fails as a whole is one failure.
pub fn read_file(
    input: &InputFile,
    profiles: &Profiles,
    limits: &Limits,
    purpose: Use,
) -> Vec<Result<ListReader, FileFailure>> {
    super::opening::open_lists(input, profiles, limits, purpose).unwrap_or_else(|failure| vec![Err(failure)])
}

/// Reads one list, batch by batch.
pub struct ListReader {
    head: ListHead,
    text: Text,
    ahead: Ahead,
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

/// Where reading stands after a step.
enum Went {
    /// The next record starts here.
    On(usize),
    /// The stretch is used up to here.
    Out(usize),
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
            ahead: Ahead {
                cut,
                plain: judge.plain_row().clone(),
            },
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

    /// Adds what was found of the file after the list was opened.
    pub(super) fn add_note(&mut self, note: Note) {
        self.head.notes.push(note.clone());
        self.account.notes.push(note);
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

    /// Takes the rejects met since they were last taken, so that a list of nothing but rejects fills no memory. The
    /// account has only those that were never taken, and the number of all.
    pub fn take_rejects(&mut self) -> Vec<Reject> {
        std::mem::take(&mut self.account.rejects)
    }

    /// What became of the lines; reads whatever has not been read yet.
    pub fn finish(mut self) -> ListAccount {
        while self.next_batch().is_some() {}
        self.account
    }

    fn read_batch(&mut self) -> RowBatch {
        let mut stretch = match self.text.next(&self.ahead) {
            Ok(stretch) => stretch,
            Err(error) => {
                self.break_off(&error);
                return RowBatch::default();
            }
        };
        let mut batch = std::mem::take(&mut stretch.ready.cells);
        let mut at = 0;
        let used = loop {
            at = match self.read_record(&mut stretch, at, &mut batch) {
                Went::On(next) => next,
                Went::Out(used) => break used,
            };
        };
        self.text.keep_rest(&mut stretch, used);
        if !batch.is_empty() {
            batch.text = stretch.text;
        }
        batch
    }

    /// Takes the record that starts at a place of the stretch.
    fn read_record(&mut self, stretch: &mut Stretch, at: usize, batch: &mut RowBatch) -> Went {
        if self.skipping {
            return self.skip_line(stretch, at);
        }
        if let Some(ready) = stretch.ready.at(at) {
            self.take_ready(stretch, ready, batch);
            self.line += 1;
            return Went::On(ready.next);
        }
        let mut cells = std::mem::take(&mut self.cells);
        let went = self.cut_record(stretch, at, &mut cells, batch);
        self.cells = cells;
        went
    }

    fn cut_record(&mut self, stretch: &mut Stretch, at: usize, cells: &mut Vec<Cell>, batch: &mut RowBatch) -> Went {
        let at_end = stretch.at_end;
        let record = match next_record(&self.cut, stretch.text.as_bytes(), at, at_end, cells) {
            Step::Record(record) => self.settle(&stretch.text, record, at_end, cells),
            Step::NeedMore if stretch.text.len() - at > self.limits.line_bytes => {
                match self.cut_long(&stretch.text, at, at_end, cells) {
                    Some(record) => record,
                    None => {
                        self.reject_long(&stretch.text[at..]);
                        self.skipping = true;
                        return Went::On(at);
                    }
                }
            }
            Step::NeedMore => return Went::Out(at),
            Step::Done => {
                self.finish_account();
                return Went::Out(at);
            }
        };
        self.take_record(stretch, record, cells, batch);
        self.line += record.lines;
        Went::On(record.next)
    }

    /// Goes to the end of a line that is too long to be kept.
    fn skip_line(&mut self, stretch: &mut Stretch, at: usize) -> Went {
        let text = &stretch.text;
        match physical_line(&self.cut, text.as_bytes(), at, stretch.at_end) {
            Some((_, next)) => {
                stretch.bad_byte_before(next);
                self.line += 1;
                self.skipping = false;
                Went::On(next)
            }
            None => {
                // a `\r` at the end may be the first half of the line's end
                let used = text.len() - usize::from(text.ends_with('\r'));
                stretch.bad_byte_before(used);
                Went::Out(used)
            }
        }
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
}
