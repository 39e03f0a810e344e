//! Where the table lies in a list: how many cells its rows have, which of the first records are preamble, blank, header
//! or units, and what its columns look like. Worked out once on a sample; the lines after the header are judged one by
//! one while reading (`judge`). The width is that of the rows, not of the header, since headers are written by hand.

mod header;
mod sample;
mod width;

pub(crate) use sample::{Sampled, first_line, has_loose_quote, sample_records, untorn};

use super::header_words::HeaderWords;
use super::model::Models;
use super::repair::read_ragged;
use super::split::Cut;
use header::join;
use width::{Realign, shape_of};

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
        let mut leading = self.leading(first, &header, body);
        let mut header_rows: Vec<Vec<String>> = header
            .iter()
            .map(|place| self.header_cells(&self.records[*place]))
            .collect();
        let mut joined = join(&header_rows);
        if !header.is_empty() && self.is_units_row(body) {
            let units = self.records[body].texts();
            add_units(&mut joined, &units);
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

    /// What the records before record `body` are: the preamble up to record `first`, then the header with blank lines in it.
    fn leading(&self, first: usize, header: &[usize], body: usize) -> Vec<Leading> {
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
        leading
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
}

/// Puts the units of a row under the header behind the header texts that do not name theirs.
fn add_units(header: &mut [String], units: &[String]) {
    for (text, unit) in header.iter_mut().zip(units).filter(|(_, unit)| !unit.trim().is_empty()) {
        let bare = unit.trim().trim_matches(['[', ']', '(', ')']);
        if !text.to_lowercase().contains(&bare.to_lowercase()) {
            text.push(' ');
            text.push_str(unit.trim());
        }
    }
}

pub(super) fn fill(row: &[(String, bool)]) -> usize {
    row.iter().filter(|(text, _)| !text.trim().is_empty()).count()
}

fn is_total_row(row: &[(String, bool)]) -> bool {
    let first = row
        .iter()
        .map(|(text, _)| text.as_str())
        .find(|text| !text.trim().is_empty());
    first.is_some_and(|text| HeaderWords::built_in().is_total(text)) && fill(row) < row.len()
}
