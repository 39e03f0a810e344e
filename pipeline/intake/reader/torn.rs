//! Records over several lines, and records that grew too long: was a quote left open, and are the lines rows by
//! themselves?

use super::super::layout::{first_line, untorn};
use super::super::split::{Cell, Record, physical_line};
use super::ListReader;

/// A quoted record over more lines than this is taken for a torn one.
const MOST_LINES: u32 = 400;

impl ListReader {
    /// A record over several lines is looked at once more.
    pub(super) fn settle(&self, text: &str, record: Record, at_end: bool, cells: &mut Vec<Cell>) -> Record {
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
    pub(super) fn cut_long(&self, text: &str, at: usize, at_end: bool, cells: &mut Vec<Cell>) -> Option<Record> {
        let (end, _) = physical_line(&self.cut, text.as_bytes(), at, at_end)?;
        (end - at <= self.limits.line_bytes).then_some(())?;
        first_line(&self.cut, text.as_bytes(), at, at_end, cells)
    }
}
