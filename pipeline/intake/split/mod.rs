//! Text to records: one pass, spans instead of strings. A *record* is what ends at a line end outside quotes; a *cell*
//! is a span of it. Reads leniently and says so: a quote inside a quoted cell that neither closes it nor is escaped is
//! kept as a letter and the record is marked `stray`; a quote that finds no end is marked `unclosed`, and it is for
//! `judge` to decide what the line was meant to be. Nothing here knows how many columns there should be.
//!
//! - `\n`, `\r\n` and a lone `\r` each end a record outside quotes; all of them are text inside.
//! - A quote opens a cell only as its first byte (after the delimiter's own space in the comma-and-space form).
//! - Spaces between a closing quote and the delimiter are dropped.
//! - A quoted cell that has crossed a line end is given up after 64 stray quotes: it was never closed.

mod aligned;
mod cut;
mod quoted;

pub(crate) use cut::{CELL_SEPARATOR, Cut, ROW_SEPARATOR, Spaced};

use memchr::{memchr2, memchr3};

use super::list::Escape;
use aligned::aligned_record;
use quoted::quoted_cell;

/// How a cell was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    Plain,
    Quoted,
    /// Quoted, with escapes inside that must be undone.
    Escaped,
}

/// One cell: a span inside its quotes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cell {
    pub(crate) start: usize,
    pub(crate) end: usize,
    pub(crate) form: Form,
}

/// One record; its cells stand in the vector given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Record {
    pub(crate) start: usize,
    /// End of the content, before the line end.
    pub(crate) end: usize,
    /// Start of the next record.
    pub(crate) next: usize,
    /// Physical lines it covers.
    pub(crate) lines: u32,
    /// A quote inside a quoted cell stands bare.
    pub(crate) stray: bool,
    /// A quote opened and found no end.
    pub(crate) unclosed: bool,
}

/// What came of asking for a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    Record(Record),
    /// The text ends inside the record, and more is to come.
    NeedMore,
    /// No text is left.
    Done,
}

/// Cuts the record that starts at `from`. `at_end` says that no text follows.
pub(crate) fn next_record(cut: &Cut, text: &[u8], from: usize, at_end: bool, cells: &mut Vec<Cell>) -> Step {
    cells.clear();
    if from >= text.len() {
        return if at_end { Step::Done } else { Step::NeedMore };
    }
    if let Some(gutters) = &cut.gutters {
        return aligned_record(cut, gutters, text, from, at_end, cells);
    }
    let mut record = Record {
        start: from,
        end: from,
        next: from,
        lines: 1,
        stray: false,
        unclosed: false,
    };
    let mut at = from;
    loop {
        if cut.spaced == Spaced::Yes && at > from {
            while text.get(at) == Some(&b' ') {
                at += 1;
            }
        }
        let stop = if cut.quote.is_some() && text.get(at).copied() == cut.quote {
            match quoted_cell(cut, text, at, at_end, &mut record) {
                Some((cell, stop)) => {
                    cells.push(cell);
                    stop
                }
                None => return Step::NeedMore,
            }
        } else {
            let stop = plain_end(cut, text, at);
            cells.push(Cell {
                start: at,
                end: stop,
                form: Form::Plain,
            });
            stop
        };
        match text.get(stop) {
            None if at_end => {
                record.end = stop;
                record.next = stop;
                return Step::Record(record);
            }
            None => return Step::NeedMore,
            Some(byte) if cut.is_end(*byte) => return end_record(text, stop, at_end, record),
            Some(_) => at = stop + 1,
        }
    }
}

#[inline]
fn plain_end(cut: &Cut, text: &[u8], at: usize) -> usize {
    let mut at = at.min(text.len());
    if let Some(delimiter) = cut.delimiter {
        // most cells are short: two words of eight bytes are looked through here, before the search for long ones
        for _ in 0..2 {
            match text.get(at..at + 8) {
                Some(word) => match first_of(word, [delimiter, cut.ends[0], cut.ends[1]]) {
                    Some(found) => return at + found,
                    None => at += 8,
                },
                None => break,
            }
        }
    }
    let rest = &text[at..];
    let found = match cut.delimiter {
        Some(delimiter) => memchr3(delimiter, cut.ends[0], cut.ends[1], rest),
        None => memchr2(cut.ends[0], cut.ends[1], rest),
    };
    found.map_or(text.len(), |found| at + found)
}

/// The first of three bytes in a word of eight, by arithmetic on the whole word: a byte of `x ^ n` is zero where the word
/// holds `n`, and `(v - 0x01..) & !v & 0x80..` has its lowest set bit in the first zero byte of `v`.
#[inline]
fn first_of(word: &[u8], needles: [u8; 3]) -> Option<usize> {
    const ONES: u64 = 0x0101_0101_0101_0101;
    const TOPS: u64 = 0x8080_8080_8080_8080;
    let word = u64::from_le_bytes(word.try_into().ok()?);
    let zeros = |needle: u8| {
        let v = word ^ (ONES * u64::from(needle));
        v.wrapping_sub(ONES) & !v & TOPS
    };
    let hits = zeros(needles[0]) | zeros(needles[1]) | zeros(needles[2]);
    (hits != 0).then(|| (hits.trailing_zeros() / 8) as usize)
}

fn end_record(text: &[u8], stop: usize, at_end: bool, mut record: Record) -> Step {
    record.end = stop;
    record.next = stop + 1;
    if text[stop] == b'\r' {
        match text.get(stop + 1) {
            Some(b'\n') => record.next = stop + 2,
            None if !at_end => return Step::NeedMore,
            _ => {}
        }
    }
    Step::Record(record)
}

/// Line ends in a stretch of text: `\r\n` is one.
pub(crate) fn line_ends(content: &[u8]) -> u32 {
    if memchr2(b'\n', b'\r', content).is_none() {
        return 0;
    }
    let feeds = memchr::memchr_iter(b'\n', content).count();
    let lone = memchr::memchr_iter(b'\r', content)
        .filter(|place| content.get(place + 1) != Some(&b'\n'))
        .count();
    (feeds + lone) as u32
}

/// End of the physical line that starts at `from`, and the start of the next; `None` if the text ends first.
pub(crate) fn physical_line(cut: &Cut, text: &[u8], from: usize, at_end: bool) -> Option<(usize, usize)> {
    match memchr2(cut.ends[0], cut.ends[1], &text[from..]) {
        None => at_end.then_some((text.len(), text.len())),
        Some(found) => {
            let end = from + found;
            match (text[end], text.get(end + 1)) {
                (b'\r', Some(b'\n')) => Some((end, end + 2)),
                (b'\r', None) if !at_end => None,
                _ => Some((end, end + 1)),
            }
        }
    }
}

/// The text of a cell with its escapes undone, appended to `into`.
pub(crate) fn unescape(cut: &Cut, cell: &str, into: &mut String) {
    let Some(quote) = cut.quote.map(char::from) else {
        into.push_str(cell);
        return;
    };
    let escape = match cut.escape {
        Escape::Doubled => quote,
        Escape::Byte(byte) => char::from(byte),
        Escape::None => return into.push_str(cell),
    };
    let mut letters = cell.chars().peekable();
    while let Some(letter) = letters.next() {
        let hidden = letter == escape && letters.peek().is_some_and(|next| *next == quote || *next == escape);
        match (hidden, letters.peek()) {
            (true, Some(next)) => {
                into.push(*next);
                letters.next();
            }
            _ => into.push(letter),
        }
    }
}

#[cfg(test)]
mod tests;
