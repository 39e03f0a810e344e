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
/// Splits behind the best that are looked at for one that reads otherwise.
const NEXT_BEST: usize = 12;

/// The line with one delimiter put in: every place in every cell is tried.
pub(super) fn split_one(line: &str, cut: &Cut, models: &Models) -> Option<Reading> {
    let raws = raw_cells(line, cut);
    if raws.len() + 1 != models.width() {
        return None;
    }
    let splits = by_cost(&raws, cut, models);
    let best = splits.first()?;
    let cells = best.cells(&raws, cut);
    let second = splits
        .iter()
        .skip(1)
        .take(NEXT_BEST)
        .find(|split| split.cells(&raws, cut) != cells);
    Some(Reading {
        cells,
        cost: best.cost,
        fit: best.cost - SPLIT,
        margin: second.map_or(f32::INFINITY, |second| second.cost - best.cost),
        what: if best.leaves_nothing(&raws) {
            What::MissingEmptyCell
        } else {
            What::MissingDelimiter
        },
    })
}

/// A raw cell cut in two.
struct Split {
    /// cost of the line so read
    cost: f32,
    /// the cell
    cell: usize,
    /// byte at which it is cut
    place: usize,
}

impl Split {
    fn leaves_nothing(&self, raws: &[&str]) -> bool {
        self.place == 0 || self.place == raws[self.cell].len()
    }

    fn cells(&self, raws: &[&str], cut: &Cut) -> Vec<String> {
        let (left, right) = raws[self.cell].split_at(self.place);
        let (before, after) = (&raws[..self.cell], &raws[self.cell + 1..]);
        let all = before.iter().chain([&left, &right]).chain(after);
        all.map(|raw| whole(raw, cut).0).collect()
    }
}

/// A raw cell as text, what its quotes cost, and whether they enclose it.
fn whole(raw: &str, cut: &Cut) -> (String, f32, bool) {
    match quoted_inside(raw, cut) {
        Some(inner) => (plain(inner, cut), quote_cost(inner, cut), true),
        None => {
            let strays = cut
                .quote
                .map_or(0, |quote| memchr::memchr_iter(quote, raw.as_bytes()).count());
            (raw.to_string(), STRAY_QUOTE * strays as f32, false)
        }
    }
}

/// Every way to cut one cell in two, the cheapest first.
fn by_cost(raws: &[&str], cut: &Cut, models: &Models) -> Vec<Split> {
    let cost_in = |raw: &str, column: usize| {
        let (text, cost, quoted) = whole(raw, cut);
        cost + models.fit(column, Look::of(&text, quoted))
    };
    let width = models.width();
    let (mut before, mut after) = (vec![0.0; width], vec![0.0; width]);
    for index in 0..raws.len() {
        before[index + 1] = before[index] + cost_in(raws[index], index);
        let back = raws.len() - 1 - index;
        after[back] = after[back + 1] + cost_in(raws[back], back + 1);
    }
    let mut splits = Vec::new();
    for (cell, raw) in raws.iter().enumerate() {
        for place in split_places(raw) {
            let (left, right) = raw.split_at(place);
            let inner = cost_in(left, cell) + cost_in(right, cell + 1);
            let mut split = Split { cost: 0.0, cell, place };
            let edit = if split.leaves_nothing(raws) { SPLIT + 0.5 } else { SPLIT };
            split.cost = before[cell] + inner + after[cell + 1] + edit;
            splits.push(split);
        }
    }
    splits.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    splits
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
