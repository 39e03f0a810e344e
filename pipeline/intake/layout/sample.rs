//! The records of a list's sample with their texts, and the reading of a record whose quotes are torn.

use super::super::split::{Cell, Cut, Form, Record, Step, next_record, physical_line, unescape};

/// Records of the sample.
const SAMPLE_RECORDS: usize = 2_000;

/// One record of the sample with its cells' texts.
#[derive(Clone, Debug)]
pub(crate) struct Sampled {
    pub(crate) line: u32,
    pub(crate) raw: String,
    pub(crate) cells: Vec<(String, bool)>,
    /// Quotes are amiss.
    pub(crate) irregular: bool,
}

impl Sampled {
    pub(crate) fn filled(&self) -> usize {
        self.cells.iter().filter(|(text, _)| !text.trim().is_empty()).count()
    }

    pub(super) fn is_blank(&self) -> bool {
        self.filled() == 0
    }

    pub(super) fn texts(&self) -> Vec<String> {
        self.cells.iter().map(|(text, _)| text.clone()).collect()
    }
}

/// Cuts a sample of text into records.
pub(crate) fn sample_records(text: &str, cut: &Cut) -> Vec<Sampled> {
    let bytes = text.as_bytes();
    let (mut found, mut cells, mut from, mut line) = (Vec::new(), Vec::new(), 0, 1);
    while found.len() < SAMPLE_RECORDS
        && let Step::Record(record) = next_record(cut, bytes, from, true, &mut cells)
    {
        let record = untorn(cut, bytes, record, true, &mut cells).unwrap_or(record);
        let own = cells
            .iter()
            .map(|cell| (cell_text(cut, text, cell), cell.form != Form::Plain))
            .collect();
        let irregular = record.stray || record.unclosed || has_loose_quote(cut, bytes, &cells);
        found.push(Sampled {
            line,
            raw: text[record.start..record.end].to_string(),
            cells: own,
            irregular,
        });
        line += record.lines;
        from = record.next;
    }
    found
}

/// A record over several lines whose quotes never close well is torn: only its first line is taken, by itself.
pub(crate) fn untorn(cut: &Cut, text: &[u8], record: Record, at_end: bool, cells: &mut Vec<Cell>) -> Option<Record> {
    if record.lines == 1 || !(record.stray || record.unclosed) {
        return None;
    }
    first_line(cut, text, record.start, at_end, cells)
}

/// The physical line at `start` as a record of its own.
pub(crate) fn first_line(cut: &Cut, text: &[u8], start: usize, at_end: bool, cells: &mut Vec<Cell>) -> Option<Record> {
    let (end, next) = physical_line(cut, text, start, at_end)?;
    match next_record(cut, &text[..end], start, true, cells) {
        Step::Record(record) => Some(Record { next, ..record }),
        Step::NeedMore | Step::Done => {
            cells.clear();
            Some(Record {
                start,
                end,
                next,
                lines: 1,
                stray: false,
                unclosed: false,
            })
        }
    }
}

/// Whether an unquoted cell holds a quote. Cells that stand side by side are looked through at once: what lies between
/// them is no quote.
pub(crate) fn has_loose_quote(cut: &Cut, text: &[u8], cells: &[Cell]) -> bool {
    let Some(quote) = cut.quote else { return false };
    let mut runs = cells.split(|cell| cell.form != Form::Plain);
    runs.any(|run| match (run.first(), run.last()) {
        (Some(first), Some(last)) => memchr::memchr(quote, &text[first.start..last.end]).is_some(),
        _ => false,
    })
}

/// The text of a cell, escapes undone.
fn cell_text(cut: &Cut, text: &str, cell: &Cell) -> String {
    let raw = &text[cell.start..cell.end];
    if cell.form == Form::Escaped {
        let mut own = String::with_capacity(raw.len());
        unescape(cut, raw, &mut own);
        own
    } else {
        raw.to_string()
    }
}
