//! Where the table lies in a list: how many cells its rows have, which of the first records are preamble, blank, header
//! or units, and what its columns look like. Worked out once on a sample; the lines after the header are judged one by
//! one while reading (`judge`). The width is that of the rows, not of the header, since headers are written by hand.

use super::cellclass::{CellClass, class_of};
use super::model::{Look, Models};
use super::repair::read_ragged;
use super::split::{Cell, Cut, Form, Record, Step, next_record, physical_line, unescape};
use super::words::HeaderWords;

/// Records of the sample.
const SAMPLE_RECORDS: usize = 2_000;
/// A header has at most this many rows.
const MOST_HEADER_ROWS: usize = 3;

/// What a record before the first row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Leading {
    Blank,
    Preamble,
    Header,
    Units,
}

/// What the sample tells of the table.
#[derive(Clone, Debug, Default)]
pub(crate) struct Layout {
    /// Cells of a row.
    pub(crate) width: usize,
    /// The records before the first row.
    pub(crate) leading: Vec<Leading>,
    /// Header texts; fewer or more than `width` where the list has them so, empty without a header.
    pub(crate) header: Vec<String>,
    /// The single rows of the header, to know them again further down.
    pub(crate) header_rows: Vec<Vec<String>>,
    /// What the columns look like.
    pub(crate) models: Models,
    /// Cells of the sample's rows, for the mapping by values.
    pub(crate) sample: Vec<Vec<String>>,
}

/// What a person has said about the layout.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Said {
    pub(crate) skip_rows: Option<u32>,
    pub(crate) header_rows: Option<u8>,
}

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
    fn filled(&self) -> usize {
        self.cells.iter().filter(|(text, _)| !text.trim().is_empty()).count()
    }

    fn is_blank(&self) -> bool {
        self.filled() == 0
    }

    fn texts(&self) -> Vec<String> {
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

/// Whether an unquoted cell holds a quote.
pub(crate) fn has_loose_quote(cut: &Cut, text: &[u8], cells: &[Cell]) -> bool {
    cut.quote.is_some_and(|quote| {
        cells
            .iter()
            .any(|cell| cell.form == Form::Plain && memchr::memchr(quote, &text[cell.start..cell.end]).is_some())
    })
}

/// The text of a cell, escapes undone.
pub(crate) fn cell_text(cut: &Cut, text: &str, cell: &Cell) -> String {
    let raw = &text[cell.start..cell.end];
    if cell.form == Form::Escaped {
        let mut own = String::with_capacity(raw.len());
        unescape(cut, raw, &mut own);
        own
    } else {
        raw.to_string()
    }
}

/// Works out the layout.
pub(crate) fn find_layout(records: &[Sampled], cut: &Cut, said: Said) -> Layout {
    let Some(shape) = shape_of(records, cut) else {
        return Layout {
            leading: vec![Leading::Blank; records.len()],
            width: 1,
            ..Layout::default()
        };
    };
    let finder = Finder {
        records,
        cut,
        width: shape.width,
        realign: shape.realign,
    };
    finder.layout(said)
}

struct Shape {
    width: usize,
    realign: Option<Realign>,
}

/// Columns that can be counted from the left and from the right while the text between them holds delimiters.
#[derive(Clone, Copy)]
struct Realign {
    left: usize,
    right: usize,
}

/// The width of the table's rows.
fn shape_of(records: &[Sampled], cut: &Cut) -> Option<Shape> {
    let mut counts: Vec<(usize, usize, usize)> = Vec::new(); // width, records, first place
    let mut lines = 0;
    for (place, record) in records.iter().enumerate().filter(|(_, record)| !record.is_blank()) {
        lines += 1;
        let width = record.cells.len();
        match counts.iter_mut().find(|(known, ..)| *known == width) {
            Some((_, count, _)) => *count += 1,
            None => counts.push((width, 1, place)),
        }
    }
    if lines == 0 {
        return None;
    }
    if cut.delimiter.is_none() {
        return Some(Shape {
            width: 1,
            realign: None,
        });
    }
    let weight = |(width, count, _): &(usize, usize, usize)| count * width.saturating_sub(1);
    let most = counts.iter().map(weight).max().unwrap_or(0);
    // of several tables the first is meant; one that weighs little beside the others is a preamble
    let main = counts
        .iter()
        .filter(|count| weight(count) * 10 >= most * 4 && count.1 * 4 >= counts.iter().map(|c| c.1).max().unwrap_or(0))
        .min_by_key(|(width, _, place)| (first_run(records, *width).unwrap_or(*place + records.len()), *place))?;
    let share = main.1 as f32 / lines as f32;
    if share < 0.5
        && lines >= 4
        && let Some((width, realign)) = width_by_edges(records)
    {
        return Some(Shape {
            width,
            realign: Some(realign),
        });
    }
    Some(Shape {
        width: main.0.max(1),
        realign: None,
    })
}

/// Where two records of this width first stand together.
fn first_run(records: &[Sampled], width: usize) -> Option<usize> {
    let lines: Vec<(usize, usize)> = records
        .iter()
        .enumerate()
        .filter(|(_, record)| !record.is_blank())
        .map(|(place, record)| (place, record.cells.len()))
        .collect();
    lines
        .windows(2)
        .find(|pair| pair[0].1 == width && pair[1].1 == width)
        .map(|pair| pair[0].0)
}

/// Where unquoted texts hold delimiters no width is common; then the header's width stands if all columns but one can be
/// counted from the edges.
fn width_by_edges(records: &[Sampled]) -> Option<(usize, Realign)> {
    let lines: Vec<&Sampled> = records.iter().filter(|record| !record.is_blank()).collect();
    let start = lines.iter().position(|record| record.cells.len() >= 3)?;
    let width = lines[start].cells.len();
    if lines[start].cells.iter().any(|(text, _)| class_of(text).is_typed()) {
        return None;
    }
    let body: Vec<&Sampled> = lines[start + 1..]
        .iter()
        .copied()
        .filter(|record| record.cells.len() >= width)
        .collect();
    if body.len() * 10 < (lines.len() - start - 1) * 6 || body.is_empty() {
        return None;
    }
    let look = |cell: &(String, bool)| (class_of(&cell.0).family(), cell.1);
    let steady = |pick: &dyn Fn(&Sampled) -> (u8, bool)| {
        let first = pick(body[0]);
        let alike = body.iter().filter(|record| pick(record) == first).count();
        alike * 10 >= body.len() * 9
    };
    let left = (0..width)
        .take_while(|column| steady(&|record| look(&record.cells[*column])))
        .count();
    let right = (0..width)
        .take_while(|column| steady(&|record| look(&record.cells[record.cells.len() - 1 - *column])))
        .count();
    let left = left.min(width - 1);
    let right = right.min(width - 1 - left);
    (left + right + 1 == width).then_some((width, Realign { left, right }))
}

struct Finder<'s> {
    records: &'s [Sampled],
    cut: &'s Cut,
    width: usize,
    realign: Option<Realign>,
}

impl Finder<'_> {
    fn layout(&self, said: Said) -> Layout {
        let skipped = said
            .skip_rows
            .map(|rows| self.records.iter().take_while(|record| record.line <= rows).count());
        let start = skipped.unwrap_or_else(|| self.table_start());
        let header = match said.header_rows {
            Some(count) => (start..(start + usize::from(count)).min(self.records.len())).collect(),
            None => self.header_at(start),
        };
        let first = header.first().copied().unwrap_or(start);
        let mut body = header.last().map_or(start, |last| last + 1);
        let mut leading: Vec<Leading> = self.records[..first.min(self.records.len())]
            .iter()
            .map(|record| {
                if record.is_blank() {
                    Leading::Blank
                } else {
                    Leading::Preamble
                }
            })
            .collect();
        for place in first..body {
            leading.push(if header.contains(&place) {
                Leading::Header
            } else {
                Leading::Blank
            });
        }
        let mut header_rows: Vec<Vec<String>> = header
            .iter()
            .map(|place| self.header_cells(&self.records[*place]))
            .collect();
        let mut joined = join(&header_rows);
        if !header.is_empty() && self.is_units_row(body) {
            let units = self.records[body].texts();
            for (text, unit) in joined
                .iter_mut()
                .zip(&units)
                .filter(|(_, unit)| !unit.trim().is_empty())
            {
                let bare = unit.trim().trim_matches(['[', ']', '(', ')']);
                if !text.to_lowercase().contains(&bare.to_lowercase()) {
                    text.push(' ');
                    text.push_str(unit.trim());
                }
            }
            header_rows.push(units);
            leading.push(Leading::Units);
            body += 1;
        }
        let models = self.models_from(body);
        let sample = self
            .rows_from(body)
            .take(400)
            .map(|row| row.into_iter().map(|(text, _)| text).collect())
            .collect();
        Layout {
            width: self.width,
            leading,
            header: joined,
            header_rows,
            models,
            sample,
        }
    }

    /// The rows of the sample that came out regular, from a record on.
    fn rows_from(&self, start: usize) -> impl Iterator<Item = Vec<(String, bool)>> {
        let width = self.width;
        let realign = self.realign;
        let delimiter = self.cut.delimiter.map(char::from).unwrap_or(' ');
        self.records[start.min(self.records.len())..]
            .iter()
            .filter(|record| !record.is_blank())
            .filter_map(move |record| match realign {
                None => (record.cells.len() == width && !record.irregular).then(|| record.cells.clone()),
                Some(edges) if record.cells.len() >= width && !record.irregular => {
                    let right = record.cells.len() - edges.right;
                    let middle: Vec<&str> = record.cells[edges.left..right]
                        .iter()
                        .map(|(text, _)| text.as_str())
                        .collect();
                    let mut cells = record.cells[..edges.left].to_vec();
                    cells.push((middle.join(&delimiter.to_string()), false));
                    cells.extend_from_slice(&record.cells[right..]);
                    Some(cells)
                }
                Some(_) => None,
            })
    }

    fn models_from(&self, start: usize) -> Models {
        let rows: Vec<Vec<(String, bool)>> = self.rows_from(start).collect();
        let filled: Vec<&Vec<(String, bool)>> = {
            // headings and totals among the rows would teach the columns to be empty
            let mut fills: Vec<usize> = rows.iter().map(|row| fill(row)).collect();
            fills.sort_unstable();
            let usual = fills.get(fills.len() / 2).copied().unwrap_or(0);
            rows.iter()
                .filter(|row| fill(row) * 2 >= usual && !is_total_row(row))
                .collect()
        };
        Models::learn(
            self.width,
            filled
                .into_iter()
                .map(|row| row.iter().map(|(text, quoted)| (text.as_str(), *quoted)).collect()),
        )
    }

    /// How many filled cells a record needs to be a row of the table and not a title over it.
    fn fill_needed(&self) -> usize {
        let mut fills: Vec<usize> = self.rows_from(0).map(|row| fill(&row)).collect();
        fills.sort_unstable();
        let usual = fills.get(fills.len() / 2).copied().unwrap_or(1);
        match self.width {
            0..=1 => 1,
            2 => usual.min(2),
            width => (width * 34).div_ceil(100).max(2).min((usual * 6).div_ceil(10).max(2)),
        }
    }

    /// The first record that belongs to the table.
    fn table_start(&self) -> usize {
        let needed = self.fill_needed();
        let models = self.models_from(0);
        for (place, record) in self.records.iter().enumerate() {
            if record.is_blank() {
                continue;
            }
            let width = record.cells.len();
            let filled = record.filled();
            if width == self.width && filled >= needed && !record.irregular {
                return place;
            }
            if filled >= needed && self.is_odd_header(place, needed) {
                return place;
            }
            if (width != self.width || record.irregular)
                && read_ragged(&record.raw, self.cut, &models, width).is_some_and(|reading| reading.is_certain(&models))
            {
                return place;
            }
        }
        // nothing reads like a row: the first line that is not blank opens the table
        self.records.iter().position(|record| !record.is_blank()).unwrap_or(0)
    }

    /// A header whose number of cells is not the rows': labels only, and a row follows.
    fn is_odd_header(&self, place: usize, needed: usize) -> bool {
        let cells = self.header_cells(&self.records[place]);
        let filled: Vec<&String> = cells.iter().filter(|text| !text.trim().is_empty()).collect();
        let labels = filled
            .iter()
            .filter(|text| !class_of(text).is_typed() && text.len() <= 60)
            .count();
        let next = self.records[place + 1..].iter().find(|record| !record.is_blank());
        let row_follows = next
            .is_some_and(|next| next.cells.len() == self.width && next.filled() >= needed || self.realign.is_some());
        let better_follows = self.records[place + 1..]
            .iter()
            .position(|record| !record.is_blank())
            .is_some_and(|next| {
                let next = place + 1 + next;
                let regular = self.records[next].cells.len() == self.width && !self.records[next].irregular;
                regular && self.realign.is_none() && self.header_score(next, &self.models_from(next + 1)) > 0.0
            });
        !better_follows
            && filled.len() * 2 > self.width
            && labels * 10 >= filled.len() * 8
            && labels >= 2
            && row_follows
    }

    /// The records of the header that starts at `start`, none if the list has no header.
    fn header_at(&self, start: usize) -> Vec<usize> {
        if start >= self.records.len() {
            return Vec::new();
        }
        let models = self.models_from(if self.records.len() > start + 6 {
            start + MOST_HEADER_ROWS
        } else {
            start + 1
        });
        let odd = self.records[start].cells.len() != self.width || self.records[start].irregular;
        let words = HeaderWords::built_in();
        if odd && !self.is_odd_header(start, 1) || !odd && self.header_score(start, &models) <= 0.0 {
            return Vec::new();
        }
        let mut rows = vec![start];
        // group headings above: labels over some of the columns
        let mut above = start;
        while rows.len() < MOST_HEADER_ROWS && above > 0 && self.is_group_row(above - 1) {
            above -= 1;
            rows.insert(0, above);
        }
        let mut next = start + 1;
        while rows.len() < MOST_HEADER_ROWS
            && next < self.records.len()
            && self.continues_header(next, &rows, &models, words)
        {
            rows.push(next);
            next += 1;
        }
        rows
    }

    fn is_group_row(&self, place: usize) -> bool {
        let record = &self.records[place];
        record.cells.len() == self.width
            && record.filled() >= 2
            && record
                .cells
                .iter()
                .all(|(text, _)| text.trim().is_empty() || !class_of(text).is_typed() && text.len() <= 60)
    }

    /// Whether a record under a header row is a further row of the header.
    fn continues_header(&self, place: usize, rows: &[usize], models: &Models, words: &HeaderWords) -> bool {
        let record = &self.records[place];
        let above = &self.records[rows[rows.len() - 1]];
        if record.cells.len() != self.width || record.filled() == 0 || place + 1 >= self.records.len() {
            return false;
        }
        let texts = record.texts();
        if texts.iter().any(|text| class_of(text).is_typed()) || self.is_units_row(place) {
            return false;
        }
        if texts == self.header_cells(above) {
            return true;
        }
        let filled: Vec<(usize, &String)> = texts
            .iter()
            .enumerate()
            .filter(|(_, text)| !text.trim().is_empty())
            .collect();
        if filled.len() >= 2 && filled.iter().filter(|(_, text)| words.is_header(text)).count() * 2 > filled.len() {
            return true;
        }
        let typed: Vec<usize> = (0..self.width)
            .filter(|column| is_typed_column(models, *column))
            .collect();
        let labels = typed.iter().filter(|column| !texts[**column].trim().is_empty()).count();
        if !typed.is_empty() && labels * 2 >= typed.len() && filled.len() * 2 >= self.width {
            return true;
        }
        // a sparse row under a header with gaps: names of the single columns of a group
        let gaps = above.cells.iter().filter(|(text, _)| text.trim().is_empty()).count();
        let into_gaps = filled
            .iter()
            .filter(|(column, _)| above.cells.get(*column).is_none_or(|(text, _)| text.trim().is_empty()));
        gaps >= 1 && into_gaps.count() * 2 >= filled.len() && filled.len() >= 2 && !typed.is_empty() && labels > 0
    }

    fn is_units_row(&self, place: usize) -> bool {
        let Some(record) = self.records.get(place) else {
            return false;
        };
        let words = HeaderWords::built_in();
        let filled: Vec<&(String, bool)> = record
            .cells
            .iter()
            .filter(|(text, _)| !text.trim().is_empty())
            .collect();
        let units = filled.iter().filter(|(text, _)| words.is_unit(text)).count();
        record.cells.len() == self.width && units >= 1 && units * 10 >= filled.len() * 6
    }

    /// How much a record looks like a header over the columns; above zero it is one.
    fn header_score(&self, place: usize, models: &Models) -> f32 {
        let record = &self.records[place];
        let words = HeaderWords::built_in();
        let mut score = 0.0;
        for (column, (text, quoted)) in record.cells.iter().enumerate() {
            let look = Look::of(text, *quoted);
            if look.class == CellClass::Empty {
                score -= 0.1;
                continue;
            }
            if words.is_header(text) {
                score += 1.5;
                continue;
            }
            score += self.label_score(place, column, text, look, models);
        }
        score
    }

    fn label_score(&self, place: usize, column: usize, text: &str, look: Look, models: &Models) -> f32 {
        let (family, share) = models.columns.get(column).map_or((0, 0.0), |model| model.family());
        if is_typed_column(models, column) {
            if !look.class.is_typed() {
                return if text.len() <= 60 { 1.0 } else { -0.5 };
            }
            // years and small numbers name columns too, so they speak against a header less than other numbers do
            let names_column = look.class == CellClass::Whole && text.trim().len() <= 4;
            return if look.class.family() != family {
                -0.5
            } else if names_column {
                -0.6
            } else {
                -1.5
            };
        }
        if look.class.is_typed() {
            return -0.7;
        }
        if family == CellClass::Code.family() && share >= 0.6 {
            return if look.class == CellClass::Code { -0.7 } else { 0.7 };
        }
        let again = self.records[place + 1..]
            .iter()
            .take(300)
            .any(|record| record.cells.get(column).is_some_and(|(other, _)| other == text));
        let digits = text.bytes().filter(u8::is_ascii_digit).count();
        match (again, text.len()) {
            (true, _) => -0.4,
            (false, 61..) => -0.6,
            (false, _) if digits > 3 => -0.2,
            (false, _) => 0.12,
        }
    }

    /// The cells of a header record, mended where its width is not that of the rows.
    fn header_cells(&self, record: &Sampled) -> Vec<String> {
        let mut cells = record.texts();
        if record.cells.len() == self.width && !record.irregular {
            return cells;
        }
        if record.irregular || record.cells.len() < self.width {
            if let Some(mended) = super::repair::read_labels(&record.raw, self.cut, self.width) {
                return mended;
            }
            return cells;
        }
        while cells.len() > self.width && cells.last().is_some_and(|text| text.trim().is_empty()) {
            cells.pop();
        }
        let empty: Vec<usize> = (0..cells.len())
            .filter(|place| cells[*place].trim().is_empty())
            .collect();
        if cells.len() - empty.len() <= self.width && cells.len() > self.width {
            for place in empty.iter().rev().take(cells.len() - self.width) {
                cells.remove(*place);
            }
        }
        cells
    }
}

fn fill(row: &[(String, bool)]) -> usize {
    row.iter().filter(|(text, _)| !text.trim().is_empty()).count()
}

fn is_total_row(row: &[(String, bool)]) -> bool {
    let first = row
        .iter()
        .map(|(text, _)| text.as_str())
        .find(|text| !text.trim().is_empty());
    first.is_some_and(|text| HeaderWords::built_in().is_total(text)) && fill(row) < row.len()
}

/// Whether a column holds numbers, dates or addresses and little else.
fn is_typed_column(models: &Models, column: usize) -> bool {
    models.columns.get(column).is_some_and(|model| {
        let (family, share) = model.family();
        (1..=3).contains(&family) && share >= 0.7 && model.filled() >= 0.2
    })
}

/// The rows of a header joined by spaces, column by column; a heading over several columns is carried to the right over
/// its gaps where the row below has a name.
fn join(rows: &[Vec<String>]) -> Vec<String> {
    let Some((last, above)) = rows.split_last() else {
        return Vec::new();
    };
    let mut joined: Vec<Vec<&str>> = vec![Vec::new(); rows.iter().map(Vec::len).max().unwrap_or(0)];
    for (depth, row) in above.iter().enumerate() {
        let mut group = "";
        for (column, parts) in joined.iter_mut().enumerate() {
            let text = row.get(column).map_or("", |text| text.trim());
            let named_below = rows[depth + 1..]
                .iter()
                .any(|row| row.get(column).is_some_and(|text| !text.trim().is_empty()));
            if !text.is_empty() {
                group = text;
                parts.push(text);
            } else if named_below && !group.is_empty() {
                parts.push(group);
            } else {
                group = "";
            }
        }
    }
    if above.is_empty() {
        return last.clone();
    }
    for (column, text) in last.iter().enumerate() {
        if !text.trim().is_empty() {
            joined[column].push(text.trim());
        }
    }
    joined.into_iter().map(|parts| parts.join(" ")).collect()
}
