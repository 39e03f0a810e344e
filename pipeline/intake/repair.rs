//! Puts the cells of a ragged line in their places. A delimiter too many, one missing, a quote too many or too few, or a
//! line that uses another delimiter than its list: each is an *edit* with a cost, each cell has a fit in its column, and
//! the cheapest reading is taken only if it looks like the other rows and the next best one is clearly dearer. Otherwise
//! there is no repair, and the caller rejects the line; nothing is guessed.

use super::list::Escape;
use super::model::{Look, Models};
use super::split::{Cut, Spaced};

/// Nats between the best and the second best reading that make the best certain.
const CERTAIN: f32 = 2.0;
/// More delimiters than this in one line are not worth aligning.
const MOST_BOUNDARIES: usize = 320;
/// Longest line that is aligned, bytes.
const LONGEST_LINE: usize = 16 << 10;
/// Delimiters that may lie inside one unquoted cell.
const MOST_MERGED: usize = 40;

const EXTRA_EMPTY: f32 = 2.5;
const MERGED: f32 = 3.0;
const MERGED_AT_SPACE: f32 = 0.25;
const STRAY_QUOTE: f32 = 1.5;
const CLOSED_INSIDE: f32 = 4.0;
const SPLIT_AT_QUOTE: f32 = 1.5;
const SPLIT: f32 = 2.5;
const OTHER_DELIMITER: f32 = 4.0;

/// A reading of a line.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Reading {
    pub(crate) cells: Vec<String>,
    /// Edits and fits together.
    pub(crate) cost: f32,
    /// Fits alone.
    pub(crate) fit: f32,
    /// How much dearer the next best reading is.
    pub(crate) margin: f32,
    /// What was done, for the note.
    pub(crate) what: What,
}

/// What a repair did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum What {
    Quotes,
    ExtraDelimiter,
    MissingDelimiter,
    OtherDelimiter(u8),
    MissingEmptyCell,
}

impl What {
    /// The repair in words.
    pub(crate) fn words(self) -> String {
        match self {
            What::Quotes => "a stray or unclosed quote was taken as a letter".to_string(),
            What::ExtraDelimiter => "a delimiter too many was taken out".to_string(),
            What::MissingDelimiter => "a missing delimiter was put in".to_string(),
            What::OtherDelimiter(b' ') => "the line is delimited by spaces, unlike its list".to_string(),
            What::OtherDelimiter(byte) => format!("the line is delimited by {:?}, unlike its list", char::from(byte)),
            What::MissingEmptyCell => "a missing empty cell was put in".to_string(),
        }
    }
}

impl Reading {
    /// Whether the reading is beyond doubt.
    pub(crate) fn is_certain(&self, models: &Models) -> bool {
        self.margin >= CERTAIN && models.is_usual(self.fit)
    }
}

/// The best reading of a line that did not come out at the list's width, or whose quotes are amiss.
pub(crate) fn read_ragged(line: &str, cut: &Cut, models: &Models, cells_found: usize) -> Option<Reading> {
    if line.len() > LONGEST_LINE || models.width() < 2 {
        return None;
    }
    let mut best = align(line, cut, models);
    if cells_found < models.width() {
        prefer(&mut best, split_one(line, cut, models));
        if best.as_ref().is_none_or(|reading| !reading.is_certain(models)) {
            for delimiter in [b' ', b';', b',', b'\t', b'|'] {
                let enough = memchr::memchr_iter(delimiter, line.as_bytes()).count() + 1 >= models.width();
                if Some(delimiter) != cut.delimiter && enough {
                    let other = cut.with_delimiter(delimiter);
                    prefer(
                        &mut best,
                        align(line, &other, models).map(|reading| Reading {
                            cost: reading.cost + OTHER_DELIMITER,
                            what: What::OtherDelimiter(delimiter),
                            ..reading
                        }),
                    );
                }
            }
        }
    }
    best
}

/// Keeps the cheaper of two readings; its margin is the lesser of its own and the distance to the other, if they differ.
fn prefer(best: &mut Option<Reading>, other: Option<Reading>) {
    let Some(other) = other else { return };
    let Some(known) = best.take() else {
        *best = Some(other);
        return;
    };
    let (mut first, second) = if other.cost < known.cost {
        (other, known)
    } else {
        (known, other)
    };
    if first.cells != second.cells {
        first.margin = first.margin.min(second.cost - first.cost);
    }
    *best = Some(first);
}

/// A place where a cell may end: before `at` ends the text, after `next` the following cell starts.
#[derive(Clone, Copy)]
struct Boundary {
    at: usize,
    next: usize,
    cost: f32,
}

/// A text between two boundaries, as a cell.
struct Segment {
    cost: f32,
    look: Look,
    quoted: bool,
}

/// Cheapest way to lay the line's pieces over the columns.
fn align(line: &str, cut: &Cut, models: &Models) -> Option<Reading> {
    let bounds = boundaries(line, cut);
    let (count, width) = (bounds.len(), models.width());
    if count < width + 1 || count > MOST_BOUNDARIES {
        return None;
    }
    let mut segments: Vec<(usize, usize, Segment)> = Vec::new();
    for from in 0..count - 1 {
        for to in from + 1..count {
            if let Some(segment) = segment(line, cut, &bounds, from, to) {
                segments.push((from, to, segment));
            }
        }
    }
    let place = |bound: usize, column: usize| bound * (width + 1) + column;
    let mut forward = vec![f32::INFINITY; count * (width + 1)];
    let mut came = vec![usize::MAX; count * (width + 1)];
    forward[place(0, 0)] = 0.0;
    let mut fits: Vec<f32> = Vec::with_capacity(segments.len() * width);
    for (index, (from, to, segment)) in segments.iter().enumerate() {
        for column in 0..width {
            let fit = models.fit(column, segment.look);
            fits.push(fit);
            let cost = forward[place(*from, column)] + fit + segment.cost + bounds[*to].cost;
            if cost < forward[place(*to, column + 1)] {
                forward[place(*to, column + 1)] = cost;
                came[place(*to, column + 1)] = index;
            }
        }
    }
    let cost = forward[place(count - 1, width)];
    if !cost.is_finite() {
        return None;
    }
    let mut backward = vec![f32::INFINITY; count * (width + 1)];
    backward[place(count - 1, width)] = 0.0;
    for (index, (from, to, segment)) in segments.iter().enumerate().rev() {
        for column in 0..width {
            let cost =
                backward[place(*to, column + 1)] + fits[index * width + column] + segment.cost + bounds[*to].cost;
            let known = &mut backward[place(*from, column)];
            *known = known.min(cost);
        }
    }
    let mut path = Vec::new();
    let (mut bound, mut column) = (count - 1, width);
    while column > 0 {
        let index = came[place(bound, column)];
        path.push(index);
        bound = segments[index].0;
        column -= 1;
    }
    path.reverse();
    let mut on_path = vec![false; count * (width + 1)];
    on_path[place(0, 0)] = true;
    for (column, index) in path.iter().enumerate() {
        on_path[place(segments[*index].1, column + 1)] = true;
    }
    let second = (0..on_path.len())
        .filter(|state| !on_path[*state])
        .map(|state| forward[state] + backward[state])
        .fold(f32::INFINITY, f32::min);
    let fit = path
        .iter()
        .enumerate()
        .map(|(column, index)| fits[index * width + column])
        .sum();
    let cells = path.iter().map(|index| {
        let (from, to, segment) = &segments[*index];
        cell_text(line, cut, &bounds, *from, *to, segment.quoted)
    });
    let extra = path
        .iter()
        .any(|index| segments[*index].1 - segments[*index].0 > 1 && !segments[*index].2.quoted);
    let soft = path.iter().any(|index| bounds[segments[*index].1].cost > 0.0);
    let what = match (soft, extra) {
        (true, _) => What::MissingDelimiter,
        (false, true) => What::ExtraDelimiter,
        (false, false) => What::Quotes,
    };
    Some(Reading {
        cells: cells.collect(),
        cost,
        fit,
        margin: second - cost,
        what,
    })
}

/// Line start, every delimiter, places where a quote touches another cell's end, line end.
fn boundaries(line: &str, cut: &Cut) -> Vec<Boundary> {
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
fn between<'l>(line: &'l str, bounds: &[Boundary], from: usize, to: usize) -> &'l str {
    let (start, end) = (bounds[from].next, bounds[to].at);
    if start <= end {
        line.get(start..end).unwrap_or_default()
    } else {
        ""
    }
}

/// What it costs to take the text between two boundaries as one cell, if it can be one.
fn segment(line: &str, cut: &Cut, bounds: &[Boundary], from: usize, to: usize) -> Option<Segment> {
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
        });
    }
    if raw.as_bytes().first().copied() == cut.delimiter || raw.as_bytes().last().copied() == cut.delimiter {
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
    })
}

/// The text of the cell between two boundaries.
fn cell_text(line: &str, cut: &Cut, bounds: &[Boundary], from: usize, to: usize, quoted: bool) -> String {
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

fn opens_quote(raw: &str, cut: &Cut) -> bool {
    cut.quote
        .is_some_and(|quote| raw.trim_start().as_bytes().first() == Some(&quote))
}

/// What stands between the quotes of a text that opens and closes with one.
fn quoted_inside<'r>(raw: &'r str, cut: &Cut) -> Option<&'r str> {
    let quote = char::from(cut.quote?);
    let raw = raw.trim();
    (raw.len() >= 2)
        .then_some(raw)?
        .strip_prefix(quote)?
        .strip_suffix(quote)
}

/// Cost of the quotes that stand inside a quoted text: those that would have closed it, and those not escaped.
fn quote_cost(inner: &str, cut: &Cut) -> f32 {
    let Some(quote) = cut.quote else { return 0.0 };
    let bytes = inner.as_bytes();
    let mut cost = 0.0;
    let mut at = 0;
    while let Some(found) = memchr::memchr(quote, &bytes[at..]) {
        let place = at + found;
        let escaped_before = matches!(cut.escape, Escape::Byte(escape) if place > 0 && bytes[place - 1] == escape);
        if cut.escape == Escape::Doubled && bytes.get(place + 1) == Some(&quote) {
            // `"",` may be a quote and the end of a cell as well as an escaped quote
            at = place + 2;
            continue;
        }
        let touches = bytes.get(place + 1).copied() == cut.delimiter
            || place > 0 && bytes.get(place - 1).copied() == cut.delimiter;
        cost += match (escaped_before, touches, cut.escape) {
            (true, ..) => 0.0,
            (false, true, _) => CLOSED_INSIDE,
            (false, false, Escape::None) => 0.2,
            (false, false, _) => STRAY_QUOTE,
        };
        at = place + 1;
    }
    cost
}

fn plain(inner: &str, cut: &Cut) -> String {
    let mut text = String::with_capacity(inner.len());
    super::split::unescape(cut, inner, &mut text);
    text
}

fn without_quotes(raw: &str, cut: &Cut) -> String {
    match cut.quote {
        Some(quote) => raw.replace(char::from(quote), ""),
        None => raw.to_string(),
    }
}

/// The line with one delimiter put in: every place in every cell is tried.
fn split_one(line: &str, cut: &Cut, models: &Models) -> Option<Reading> {
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
    let short = raw.len() <= 40;
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
    super::split::next_record(cut, line.as_bytes(), 0, true, &mut cells);
    let mut raws = Vec::with_capacity(cells.len());
    for cell in &cells {
        let quoted = cell.form != super::split::Form::Plain;
        let (start, end) = if quoted {
            (cell.start - 1, (cell.end + 1).min(line.len()))
        } else {
            (cell.start, cell.end)
        };
        raws.push(line.get(start..end).unwrap_or_default());
    }
    raws
}

/// The cells of a header line that did not come out at the list's width: labels are short words without delimiters, and
/// any delimiter may have been used. `None` if no reading gives the width.
pub(crate) fn read_labels(line: &str, cut: &Cut, width: usize) -> Option<Vec<String>> {
    let mut delimiters: Vec<u8> = cut.delimiter.into_iter().collect();
    delimiters.extend([b' ', b';', b',', b'\t', b'|']);
    for delimiter in delimiters {
        let cut = if Some(delimiter) == cut.delimiter {
            *cut
        } else {
            cut.with_delimiter(delimiter)
        };
        let bounds = boundaries(line, &cut);
        let hard = bounds.iter().filter(|bound| bound.cost == 0.0).count() - 1;
        let pieces: Vec<&Boundary> = if hard >= width {
            bounds.iter().filter(|bound| bound.cost == 0.0).collect()
        } else {
            at_quote_junctions(line, &cut, &bounds)
        };
        let cells: Vec<String> = pieces
            .windows(2)
            .map(|pair| {
                let raw = line.get(pair[0].next..pair[1].at).unwrap_or_default();
                quoted_inside(raw, &cut).map_or_else(|| raw.to_string(), |inner| plain(inner, &cut))
            })
            .collect();
        if cells.len() == width && cells.iter().all(|cell| cell.len() <= 60) {
            return Some(cells);
        }
    }
    None
}

/// Delimiters, and the places where a quoted label touches its neighbour.
fn at_quote_junctions<'b>(line: &str, cut: &Cut, bounds: &'b [Boundary]) -> Vec<&'b Boundary> {
    let bytes = line.as_bytes();
    let quote = cut.quote.unwrap_or(0);
    let mut open = false;
    let mut at = 0;
    bounds
        .iter()
        .filter(|bound| {
            for byte in &bytes[at..bound.at.max(at)] {
                open ^= *byte == quote;
            }
            at = bound.at.max(at);
            bound.cost == 0.0 || !open && (bytes[bound.at] == quote || bound.at > 0 && bytes[bound.at - 1] == quote)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Twenty rows of a list, a column to each kind of cell.
    fn models() -> Models {
        let parts = [
            "Recoil starter, red",
            "Fan shroud",
            "Starter \"heavy\" assembly",
            "Starter grip",
            "Rope pulley cover",
        ];
        let texts = [
            "Metal housing, four pawls",
            "Sheet metal, painted",
            "Complete, with rope",
            "Black rubber",
        ];
        let rows: Vec<Vec<String>> = (0..20)
            .map(|row: usize| {
                vec![
                    format!("{:02}/01/2026", row + 1),
                    format!("{:02}:{}5", row % 12, row % 6),
                    format!("{}", row * 7 % 11 + 1),
                    format!("{}-{}", ["MG", "RI", "BH"][row % 3], 1000 + row * 37),
                    format!("${}.{:02}", row * row % 140 + 3, row * 13 % 100),
                    parts[row % 5].to_string(),
                    texts[row % 4].to_string(),
                    String::new(),
                ]
            })
            .collect();
        let marked = |row: &'static [String]| {
            row.iter()
                .enumerate()
                .map(|(column, cell)| (cell.as_str(), column == 6))
                .collect()
        };
        let rows: &'static [Vec<String>] = Box::leak(rows.into_boxed_slice());
        Models::learn(8, rows.iter().map(|row| marked(row)))
    }

    fn read(line: &str, found: usize) -> Reading {
        let models = models();
        let reading = read_ragged(line, &Cut::by(b',', Some(b'"')), &models, found).unwrap();
        assert!(
            reading.is_certain(&models),
            "{line}: {reading:?} usual {}",
            models.usual_cost
        );
        reading
    }

    const SOUND: &str = "30/01/2026,10:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\",";
    const CELLS: [&str; 8] = [
        "30/01/2026",
        "10:45",
        "7",
        "RI-8071",
        "$8.09",
        "Starter grip",
        "Black, rubber",
        "",
    ];

    #[test]
    fn a_delimiter_too_many_is_taken_out_wherever_it_stands() {
        let places: Vec<usize> = SOUND.match_indices(',').map(|(place, _)| place).collect();
        for place in places.iter().filter(|place| !SOUND[..**place].ends_with("Black")) {
            let line = format!("{},{}", &SOUND[..*place], &SOUND[*place..]);
            assert_eq!(read(&line, 9).cells, CELLS, "{line}");
        }
    }

    #[test]
    fn a_missing_delimiter_is_put_in_where_types_tell_its_place() {
        for (line, what) in [
            (
                "30/01/202610:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:457,RI-8071,$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7RI-8071,$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071$8.09,Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071,$8.09Starter grip,\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071,$8.09,Starter grip\"Black, rubber\",",
                What::MissingDelimiter,
            ),
            (
                "30/01/2026,10:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\"",
                What::MissingEmptyCell,
            ),
        ] {
            let reading = read(line, 7);
            assert_eq!(
                (reading.cells.as_slice(), reading.what),
                (CELLS.map(String::from).as_slice(), what),
                "{line}"
            );
        }
    }

    #[test]
    fn a_stray_quote_is_a_letter() {
        let reading = read("30/01/2026,\"10:45,7,RI-8071,$8.09,Starter grip,\"Black, rubber\",", 2);
        assert_eq!(reading.cells[1], "\"10:45");
        assert_eq!(reading.cells[2..], CELLS[2..]);
    }

    #[test]
    fn a_line_with_another_delimiter_is_read() {
        let reading = read(
            "30/01/2026 10:45 7 RI-8071 $8.09 \"Starter grip\" \"Black, rubber\" ",
            2,
        );
        assert_eq!(reading.cells, CELLS);
        assert_eq!(reading.what, What::OtherDelimiter(b' '));
    }

    #[test]
    fn a_gap_that_could_be_anywhere_is_left_alone() {
        let rows = [
            ["red", "grip", "steel"],
            ["blue", "cover", "tin"],
            ["green", "rope", "nylon"],
        ];
        let models = Models::learn(
            3,
            rows.iter().map(|row| row.iter().map(|cell| (*cell, false)).collect()),
        );
        let reading = read_ragged("redgrip,steel", &Cut::by(b',', Some(b'"')), &models, 2);
        assert!(reading.is_none_or(|reading| !reading.is_certain(&models)));
    }
}
