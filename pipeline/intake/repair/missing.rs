//! A line with one cell too few: the delimiter, or the empty cell, is put in at every place in turn, and the places are
//! compared by how well the two parts fit their columns.

use super::super::model::{Look, Models};
use super::super::split::{Cut, Form, next_record};
use super::quoting::{STRAY_QUOTE, plain, quote_cost, quoted_inside};
use super::{Reading, What};

/// Cost of putting a delimiter in.
const SPLIT: f32 = 2.5;
/// Cells up to this length may have lost a delimiter anywhere, longer ones where the kind of letter changes.
const SHORT: usize = 40;

/// The line with one delimiter put in: every place in every cell is tried.
pub(super) fn split_one(line: &str, cut: &Cut, models: &Models) -> Option<Reading> {
    let raws = raw_cells(line, cut);
    let width = models.width();
    if raws.len() + 1 != width {
        return None;
    }
    let whole = |raw: &str| {
        let quoted = quoted_inside(raw, cut);
        let text = quoted.map_or_else(|| raw.to_string(), |inner| plain(inner, cut));
        let cost = match quoted {
            Some(inner) => quote_cost(inner, cut),
            None => {
                STRAY_QUOTE
                    * cut
                        .quote
                        .map_or(0, |quote| memchr::memchr_iter(quote, raw.as_bytes()).count())
                        as f32
            }
        };
        (text, cost, quoted.is_some())
    };
    let cost_in = |raw: &str, column: usize| {
        let (text, cost, quoted) = whole(raw);
        cost + models.fit(column, Look::of(&text, quoted))
    };
    let mut before = vec![0.0; width];
    let mut after = vec![0.0; width];
    for index in 0..raws.len() {
        before[index + 1] = before[index] + cost_in(raws[index], index);
        let back = raws.len() - 1 - index;
        after[back] = after[back + 1] + cost_in(raws[back], back + 1);
    }
    let mut found: Vec<(f32, usize, usize)> = Vec::new();
    for (index, raw) in raws.iter().enumerate() {
        for place in split_places(raw) {
            let (left, right) = raw.split_at(place);
            let edit = if place == 0 || place == raw.len() {
                SPLIT + 0.5
            } else {
                SPLIT
            };
            let inner = cost_in(left, index) + cost_in(right, index + 1);
            found.push((before[index] + inner + after[index + 1] + edit, index, place));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let cells_at = |index: usize, place: usize| -> Vec<String> {
        let mut cells: Vec<String> = raws[..index].iter().map(|raw| whole(raw).0).collect();
        let (left, right) = raws[index].split_at(place);
        cells.push(whole(left).0);
        cells.push(whole(right).0);
        cells.extend(raws[index + 1..].iter().map(|raw| whole(raw).0));
        cells
    };
    let (cost, index, place) = *found.first()?;
    let cells = cells_at(index, place);
    let second = found
        .iter()
        .skip(1)
        .take(12)
        .find(|(_, index, place)| cells_at(*index, *place) != cells);
    let margin = second.map_or(f32::INFINITY, |second| second.0 - cost);
    let empty = place == 0 || place == raws[index].len();
    let what = if empty {
        What::MissingEmptyCell
    } else {
        What::MissingDelimiter
    };
    Some(Reading {
        cells,
        cost,
        fit: cost - SPLIT,
        margin,
        what,
    })
}

/// Places where a missing delimiter may have stood: all in short cells; in long ones only where the kind of letter changes.
fn split_places(raw: &str) -> Vec<usize> {
    let short = raw.len() <= SHORT;
    let kind = |letter: char| match letter {
        letter if letter.is_ascii_digit() => 0,
        letter if letter.is_uppercase() => 1,
        letter if letter.is_alphabetic() => 2,
        letter if letter.is_whitespace() => 3,
        _ => 4,
    };
    let mut places = vec![0];
    let mut last: Option<char> = None;
    for (place, letter) in raw.char_indices() {
        if let Some(last) = last
            && (short || kind(last) != kind(letter) || kind(letter) == 4)
        {
            places.push(place);
        }
        last = Some(letter);
    }
    places.push(raw.len());
    places.dedup();
    places
}

/// The cells of a line with their quotes still on.
fn raw_cells<'l>(line: &'l str, cut: &Cut) -> Vec<&'l str> {
    let mut cells = Vec::new();
    next_record(cut, line.as_bytes(), 0, true, &mut cells);
    let mut raws = Vec::with_capacity(cells.len());
    for cell in &cells {
        let quoted = cell.form != Form::Plain;
        let (start, end) = if quoted {
            (cell.start - 1, (cell.end + 1).min(line.len()))
        } else {
            (cell.start, cell.end)
        };
        raws.push(line.get(start..end).unwrap_or_default());
    }
    raws
}
