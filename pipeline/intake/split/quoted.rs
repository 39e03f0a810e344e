//! Reads one quoted cell, leniently: what does not close it is text.

use memchr::{memchr, memchr2};

use super::super::list::Escape;
use super::{Cell, Cut, Form, Record, line_ends};

/// Stray quotes after a line end that prove a quote unclosed.
const MOST_STRAYS: u32 = 64;

/// Reads a quoted cell that opens at `open`; returns it and the place of the delimiter or line end after it.
pub(super) fn quoted_cell(
    cut: &Cut,
    text: &[u8],
    open: usize,
    at_end: bool,
    record: &mut Record,
) -> Option<(Cell, usize)> {
    let quote = text[open];
    let start = open + 1;
    let mut at = start;
    let mut form = Form::Quoted;
    let mut strays = 0;
    loop {
        let found = match cut.escape {
            Escape::Byte(escape) => memchr2(quote, escape, &text[at..]),
            Escape::Doubled | Escape::None => memchr(quote, &text[at..]),
        };
        let Some(found) = found else {
            return at_end.then(|| unclosed(cut, text, start, form, record));
        };
        let place = at + found;
        if place + 1 >= text.len() && !at_end {
            return None;
        }
        let next = text.get(place + 1).copied();
        if text[place] != quote {
            // the escape byte: it hides a quote or itself, before anything else it is a letter
            let hides = next == Some(quote) || next == Some(text[place]);
            form = if hides { Form::Escaped } else { form };
            at = place + if hides { 2 } else { 1 };
            continue;
        }
        if cut.escape == Escape::Doubled && next == Some(quote) {
            form = Form::Escaped;
            at = place + 2;
            continue;
        }
        let stop = match closing(cut, text, place + 1) {
            Closing::At(stop) => stop,
            Closing::Unknown if !at_end => return None,
            Closing::Unknown => text.len(),
            Closing::Not => {
                record.stray = true;
                strays += 1;
                at = place + 1;
                if strays > MOST_STRAYS && memchr2(b'\n', b'\r', &text[start..at]).is_some() {
                    return Some(unclosed(cut, text, start, form, record));
                }
                continue;
            }
        };
        count_lines(cut, &text[start..place], record);
        let cell = Cell {
            start,
            end: place,
            form,
        };
        return Some((cell, stop));
    }
}

enum Closing {
    At(usize),
    Not,
    Unknown,
}

/// Whether what follows a quote closes the cell: a delimiter or a line end, spaces before it allowed.
fn closing(cut: &Cut, text: &[u8], after: usize) -> Closing {
    let mut at = after;
    loop {
        match text.get(at) {
            None => return Closing::Unknown,
            Some(byte) if Some(*byte) == cut.delimiter || cut.is_end(*byte) => return Closing::At(at),
            Some(b' ') => at += 1,
            Some(_) => return Closing::Not,
        }
    }
}

fn unclosed(cut: &Cut, text: &[u8], start: usize, form: Form, record: &mut Record) -> (Cell, usize) {
    record.unclosed = true;
    count_lines(cut, &text[start..], record);
    (
        Cell {
            start,
            end: text.len(),
            form,
        },
        text.len(),
    )
}

fn count_lines(cut: &Cut, content: &[u8], record: &mut Record) {
    if cut.counts_lines() {
        record.lines += line_ends(content);
    }
}
