//! A line of a print-out, cut at the gutters of its list. A line that runs across one of them is no row of these columns
//! and stays one cell, whatever it is: a page's heading, a sum carried forward, a row too long for its column. A row of
//! dashes has empty cells.

use super::super::list::{Gutters, is_ruler};
use super::{Cell, Cut, Form, Record, Step, physical_line};

/// Cuts the line that starts at `from`.
pub(super) fn aligned_record(
    cut: &Cut,
    gutters: &Gutters,
    text: &[u8],
    from: usize,
    at_end: bool,
    cells: &mut Vec<Cell>,
) -> Step {
    let Some((end, next)) = physical_line(cut, text, from, at_end) else {
        return Step::NeedMore;
    };
    let line = &text[from..end];
    if is_ruler(line) {
        cells.extend((0..=gutters.count()).map(|_| cell(text, end, end)));
    } else if !cut_at(gutters, text, from, end, cells) {
        cells.clear();
        cells.push(cell(text, from, end));
    }
    Step::Record(Record {
        start: from,
        end,
        next,
        lines: 1,
        stray: false,
        unclosed: false,
    })
}

/// Cuts a line; false where it runs across a gutter.
fn cut_at(gutters: &Gutters, text: &[u8], from: usize, end: usize, cells: &mut Vec<Cell>) -> bool {
    let starts_page = text[from..end].iter().take_while(|byte| **byte == 0x0C).count();
    let (mut start, mut column) = (from, 0);
    let mut left = gutters.iter().peekable();
    for (at, byte) in text.iter().enumerate().take(end).skip(from + starts_page) {
        // the further bytes of a letter stand in its column
        if byte & 0xC0 == 0x80 {
            continue;
        }
        if let Some((first, after)) = left.peek().copied() {
            if column == after {
                cells.push(cell(text, start, at));
                start = at;
                left.next();
            } else if column >= first && *byte != b' ' {
                return false;
            }
        }
        if *byte == b'\t' {
            return false;
        }
        column += 1;
    }
    cells.push(cell(text, start, end));
    cells.extend(
        (cells.len()..=gutters.count())
            .map(|_| cell(text, end, end))
            .collect::<Vec<_>>(),
    );
    true
}

/// A cell without the blanks around it.
fn cell(text: &[u8], start: usize, end: usize) -> Cell {
    let filled = |byte: &u8| !byte.is_ascii_whitespace();
    let own = &text[start..end];
    let Some(first) = own.iter().position(filled) else {
        return Cell {
            start: end,
            end,
            form: Form::Plain,
        };
    };
    let last = own.iter().rposition(filled).unwrap_or(first);
    Cell {
        start: start + first,
        end: start + last + 1,
        form: Form::Plain,
    }
}

#[cfg(test)]
mod tests {
    use super::super::next_record;
    use super::*;
    use crate::intake::list::{Delimiter, DialectGuess, Escape, LineEnd};

    fn cut_of(gutters: &[(usize, usize)]) -> Cut {
        let mut own = Gutters::default();
        for (start, end) in gutters {
            assert!(own.push(*start, *end));
        }
        Cut::of(&DialectGuess {
            delimiter: Delimiter::Columns(own),
            quote: None,
            escape: Escape::None,
            line_end: LineEnd::Lf,
            runner_up: None,
            margin: 1.0,
        })
    }

    fn cells_of(text: &str) -> Vec<&str> {
        let mut cells = Vec::new();
        let step = next_record(&cut_of(&[(4, 6), (14, 16)]), text.as_bytes(), 0, true, &mut cells);
        assert!(matches!(step, Step::Record(_)), "{step:?}");
        cells.iter().map(|cell| &text[cell.start..cell.end]).collect()
    }

    #[test]
    fn a_line_is_cut_at_the_gutters_by_letters_and_not_by_bytes() {
        assert_eq!(cells_of("A-01  Starter     9.50"), ["A-01", "Starter", "9.50"]);
        assert_eq!(cells_of("A-01  Lüfterhb    9.50\n"), ["A-01", "Lüfterhb", "9.50"]);
        assert_eq!(cells_of("A-01  Starter"), ["A-01", "Starter", ""]);
        assert_eq!(cells_of("A-01\r\n"), ["A-01", "", ""]);
        assert_eq!(cells_of("\u{c}A-01  Starter   19.50"), ["A-01", "Starter", "19.50"]);
        assert_eq!(cells_of("----  --------  -----"), ["", "", ""]);
    }

    #[test]
    fn a_line_across_a_gutter_stays_whole() {
        assert_eq!(cells_of("HARROW parts counter"), ["HARROW parts counter"]);
        assert_eq!(cells_of("A-01  Starter, longer 9.50"), ["A-01  Starter, longer 9.50"]);
        assert_eq!(cells_of("A-01\tStarter"), ["A-01\tStarter"]);
    }

    #[test]
    fn a_line_that_goes_on_in_the_next_stretch_waits_for_it() {
        let mut cells = Vec::new();
        let step = next_record(&cut_of(&[(4, 6), (14, 16)]), b"A-01  Star", 0, false, &mut cells);
        assert_eq!(step, Step::NeedMore);
    }
}
