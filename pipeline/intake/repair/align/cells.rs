//! What stands between two possible boundaries, as the text of a cell.

use super::{
    Boundary, EXTRA_EMPTY, Edit, MERGED, MERGED_AT_SPACE, MOST_BOUNDARIES, MOST_MERGED, SPLIT_AT_QUOTE, Segment,
};
use crate::intake::model::Look;
use crate::intake::repair::quoting::{STRAY_QUOTE, opens_quote, plain, quote_cost, quoted_inside, without_quotes};
use crate::intake::split::{Cut, Spaced};

/// Line start, every delimiter, places where a quote touches another cell's end, line end.
pub(in crate::intake::repair) fn boundaries(line: &str, cut: &Cut) -> Vec<Boundary> {
    let bytes = line.as_bytes();
    let mut bounds = vec![Boundary {
        at: 0,
        next: 0,
        cost: 0.0,
    }];
    let is_delimiter = |place: usize| bytes.get(place).copied() == cut.delimiter;
    for place in 0..bytes.len() {
        if is_delimiter(place) {
            let mut next = place + 1;
            while cut.spaced == Spaced::Yes && bytes.get(next) == Some(&b' ') {
                next += 1;
            }
            bounds.push(Boundary {
                at: place,
                next,
                cost: 0.0,
            });
        } else if cut.quote == Some(bytes[place]) && place > 0 && place + 1 < bytes.len() {
            let before = !is_delimiter(place - 1);
            let after = !is_delimiter(place + 1);
            if before && after {
                bounds.push(Boundary {
                    at: place,
                    next: place,
                    cost: SPLIT_AT_QUOTE,
                });
                if cut.quote != Some(bytes[place + 1]) {
                    bounds.push(Boundary {
                        at: place + 1,
                        next: place + 1,
                        cost: SPLIT_AT_QUOTE,
                    });
                }
            }
        }
        if bounds.len() > MOST_BOUNDARIES {
            break;
        }
    }
    bounds.push(Boundary {
        at: bytes.len(),
        next: bytes.len(),
        cost: 0.0,
    });
    bounds
}

/// The raw text between two boundaries.
pub(super) fn between<'l>(line: &'l str, bounds: &[Boundary], from: usize, to: usize) -> &'l str {
    let (start, end) = (bounds[from].next, bounds[to].at);
    if start <= end {
        line.get(start..end).unwrap_or_default()
    } else {
        ""
    }
}

/// What it costs to take the text between two boundaries as one cell, if it can be one.
pub(super) fn segment(line: &str, cut: &Cut, bounds: &[Boundary], from: usize, to: usize) -> Option<Segment> {
    if bounds[from].next > bounds[to].at {
        return None;
    }
    let raw = between(line, bounds, from, to);
    if let Some(inner) = quoted_inside(raw, cut) {
        let cost = quote_cost(inner, cut);
        let text = plain(inner, cut);
        return Some(Segment {
            cost,
            look: Look::of(&text, true),
            quoted: true,
            edit: Edit::None,
        });
    }
    let inside = (from + 1..to).filter(|index| bounds[*index].cost == 0.0).count();
    let quotes = cut
        .quote
        .map_or(0, |quote| memchr::memchr_iter(quote, raw.as_bytes()).count());
    let strays = STRAY_QUOTE * quotes as f32;
    if inside == 0 {
        let text = without_quotes(raw, cut);
        return Some(Segment {
            cost: strays,
            look: Look::of(&text, false),
            quoted: false,
            edit: Edit::None,
        });
    }
    if inside > MOST_MERGED || opens_quote(raw, cut) {
        return None;
    }
    if let Some(kept) = only_one_filled(raw, cut, to + 1 == bounds.len()) {
        let look = Look::of(&without_quotes(kept, cut), quoted_inside(kept, cut).is_some());
        return Some(Segment {
            cost: EXTRA_EMPTY * inside as f32 + strays,
            look,
            quoted: false,
            edit: Edit::Dropped(delimiters_in(raw, cut) - delimiters_in(kept, cut)),
        });
    }
    if raw.as_bytes().first().copied() == cut.delimiter || raw.as_bytes().last().copied() == cut.delimiter {
        return None;
    }
    if inside >= 2 && !reads_on(raw, cut) {
        return None;
    }
    let per_delimiter = if cut.delimiter == Some(b' ') {
        MERGED_AT_SPACE
    } else {
        MERGED
    };
    let cost = per_delimiter * inside as f32 + strays;
    Some(Segment {
        cost,
        look: Look::of(&without_quotes(raw, cut), false),
        quoted: false,
        edit: Edit::Merged(inside),
    })
}

fn delimiters_in(text: &str, cut: &Cut) -> usize {
    cut.delimiter
        .map_or(0, |delimiter| memchr::memchr_iter(delimiter, text.as_bytes()).count())
}

/// Whether each delimiter in a text stands as a comma does in prose, with a space after it.
fn reads_on(raw: &str, cut: &Cut) -> bool {
    let Some(delimiter) = cut.delimiter.filter(|delimiter| *delimiter != b' ') else {
        return true;
    };
    let bytes = raw.as_bytes();
    memchr::memchr_iter(delimiter, bytes).all(|place| bytes.get(place + 1) == Some(&b' '))
}

/// The text of the cell between two boundaries.
pub(super) fn cell_text(line: &str, cut: &Cut, bounds: &[Boundary], from: usize, to: usize, quoted: bool) -> String {
    let raw = between(line, bounds, from, to);
    let raw = match only_one_filled(raw, cut, to + 1 == bounds.len()) {
        Some(kept) if !quoted => kept,
        _ => raw,
    };
    quoted_inside(raw, cut).map_or_else(|| raw.to_string(), |inner| plain(inner, cut))
}

/// The one filled piece among empty ones, which must stand last; at the end of the line it may stand first. All empty:
/// an empty cell.
fn only_one_filled<'r>(raw: &'r str, cut: &Cut, at_line_end: bool) -> Option<&'r str> {
    let delimiter = cut.delimiter.map(char::from)?;
    let trimmed = raw.trim_start_matches([delimiter, ' ']);
    if trimmed.len() == raw.len() && !(at_line_end && raw.ends_with(delimiter)) {
        return None;
    }
    if trimmed.is_empty() {
        return Some("");
    }
    if at_line_end && trimmed.len() == raw.len() {
        let kept = raw.trim_end_matches([delimiter, ' ']);
        return is_one_piece(kept, cut, delimiter).then_some(kept);
    }
    is_one_piece(trimmed, cut, delimiter).then_some(trimmed)
}

fn is_one_piece(text: &str, cut: &Cut, delimiter: char) -> bool {
    !text.contains(delimiter) || quoted_inside(text, cut).is_some()
}
