//! Whether the table has a header, over how many rows, and what its texts are. A record is a header by what speaks for it
//! column by column: a known header word, a label where rows have numbers; and by what speaks against it: a number where
//! rows have numbers, a text that comes again as a value.

use super::super::cellclass::{CellClass, class_of};
use super::super::header_words::HeaderWords;
use super::super::model::{Look, Models};
use super::super::repair::read_labels;
use super::Finder;
use super::sample::Sampled;
use crate::trade::money::read_price;
use crate::trade::numerals::Decimals;

/// A header has at most this many rows.
const MOST_HEADER_ROWS: usize = 3;

impl Finder<'_> {
    /// A header whose number of cells is not the rows': labels only, and a row follows.
    pub(super) fn is_odd_header(&self, place: usize, needed: usize) -> bool {
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
    pub(super) fn header_at(&self, start: usize) -> Vec<usize> {
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
        while rows.len() < MOST_HEADER_ROWS && next < self.records.len() {
            if self.continues_header(next, &rows, &models, words) {
                rows.push(next);
            } else if rows.len() + 1 < MOST_HEADER_ROWS
                && self.is_sparse_row(next)
                && self.continues_header(next + 1, &rows, &models, words)
            {
                // groups within groups: few names of their own, but full ones under them
                rows.extend([next, next + 1]);
                next += 1;
            } else {
                break;
            }
            next += 1;
        }
        rows
    }

    /// A few labels and nothing else.
    fn is_sparse_row(&self, place: usize) -> bool {
        let record = &self.records[place];
        let is_label = |text: &str| text.trim().is_empty() || !class_of(text).is_typed() && text.len() <= 60;
        record.cells.len() == self.width
            && record.filled() >= 2
            && record.cells.iter().all(|(text, _)| is_label(text))
            && !self.is_units_row(place)
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
        let Some(record) = self.records.get(place) else {
            return false;
        };
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
        // "POA", "12.50 net": the first offer, whose price is no plain amount
        let priced = |text: &String| !words.is_header(text) && read_price(text, Decimals::Unsure).is_some();
        if typed.iter().any(|column| priced(&texts[*column])) {
            return false;
        }
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

    pub(super) fn is_units_row(&self, place: usize) -> bool {
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
    pub(super) fn header_cells(&self, record: &Sampled) -> Vec<String> {
        let mut cells = record.texts();
        if record.cells.len() == self.width && !record.irregular {
            return cells;
        }
        if record.irregular || record.cells.len() < self.width {
            if let Some(mended) = read_labels(&record.raw, self.cut, self.width) {
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

/// Whether a column holds numbers, dates or addresses and little else.
fn is_typed_column(models: &Models, column: usize) -> bool {
    models.columns.get(column).is_some_and(|model| {
        let (family, share) = model.family();
        (1..=3).contains(&family) && share >= 0.7 && model.filled() >= 0.2
    })
}

/// The rows of a header joined by spaces, column by column; a heading over several columns is carried to the right over
/// its gaps where the row below has a name.
pub(super) fn join(rows: &[Vec<String>]) -> Vec<String> {
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
    // a cell merged over several rows says its name once; a header that is written twice as a whole says all twice
    let written_twice = rows.windows(2).all(|pair| pair[0] == pair[1]);
    if !written_twice {
        joined.iter_mut().for_each(Vec::dedup);
    }
    joined.into_iter().map(|parts| parts.join(" ")).collect()
}
