//! What each record of a list is, once the layout is known: a row, a row that needed repair, a layout line, or a reject.
//! The common case costs a few comparisons; everything odd takes the slow path. A line is rejected rather than guessed
//! at, and a heading or a total is told by what it lacks: the cells that every row has.

use std::hash::Hasher;

use rustc_hash::FxHasher;

use super::cellclass::class_of;
use super::layout::{Layout, Leading};
use super::model::{Look, Models};
use super::problem::Problem;
use super::reader::Use;
use super::repair::{Reading, read_ragged};
use super::split::Cut;
use super::words::{HeaderWords, normalise};

/// A column filled this often is a key column: a line without it is looked at twice.
const KEY_FILLED: f32 = 0.97;
/// Rows from the start of a list that are remembered to know a copy of it.
const MOST_COPIED: usize = 4_096;

/// What a record is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Verdict {
    /// A row as it stands.
    Row,
    /// A row with other cells than the record's.
    Mended {
        cells: Vec<String>,
        note: Option<String>,
    },
    Layout(Line),
    Reject {
        problem: Problem,
        column: Option<u32>,
        message: String,
    },
}

/// Kinds of layout lines met while reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Line {
    Blank,
    Preamble,
    Header,
    RepeatedHeader,
    Units,
    Total,
    /// A line of text among the rows: a heading if rows follow, a footnote if none do.
    Text,
    /// A comment, by its prefix.
    Comment,
}

/// Whether the quotes of a record stand where they should.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Quotes {
    Sound,
    Amiss,
}

/// One record as the judge sees it.
pub(crate) struct Seen<'r> {
    pub(crate) raw: &'r str,
    pub(crate) cells: &'r [&'r str],
    /// Quotes are amiss.
    pub(crate) irregular: bool,
    /// A quote was opened and not closed in the line.
    pub(crate) unclosed: bool,
}

/// A further table of the list.
#[derive(Clone, Debug)]
struct OtherTable {
    width: usize,
    /// For each column of the first table, the column of this one; `None` where the columns do not correspond.
    places: Option<Vec<Option<usize>>>,
}

/// Judges record after record.
pub(crate) struct Judge {
    cut: Cut,
    purpose: Use,
    width: usize,
    leading: Vec<Leading>,
    taken: usize,
    models: Models,
    header: Vec<String>,
    header_rows: Vec<Vec<String>>,
    first_names: Vec<String>,
    keys: Vec<usize>,
    comment: Option<String>,
    after_gap: bool,
    other: Option<OtherTable>,
    copies: Copies,
}

/// Rows that come again after a repeated header: the list, or its start, pasted in twice.
#[derive(Default)]
struct Copies {
    first_rows: Vec<u64>,
    /// Next of the first rows that would have to come for the copy to go on.
    next: Option<usize>,
    missed: usize,
}

impl Copies {
    /// Whether further rows are neither remembered nor compared.
    fn is_settled(&self) -> bool {
        self.next.is_none() && self.first_rows.len() >= MOST_COPIED
    }

    /// Whether a copy is well under way.
    fn is_under_way(&self) -> bool {
        self.next.is_some_and(|next| next >= 3)
    }

    /// A header came again: the next row may be the first one's copy.
    fn start(&mut self) {
        self.next = Some(0);
        self.missed = 0;
    }

    /// Takes a row; whether it goes on a copy of the first ones.
    fn take(&mut self, cells: &[&str]) -> bool {
        if self.next.is_none() && self.first_rows.len() >= MOST_COPIED {
            return false;
        }
        let mut hash = FxHasher::default();
        for cell in cells {
            hash.write(cell.as_bytes());
            hash.write_u8(0xFF);
        }
        let hash = hash.finish();
        match self.next {
            None => self.first_rows.push(hash),
            Some(place) if self.first_rows.get(place) == Some(&hash) => {
                self.next = Some(place + 1);
                return true;
            }
            // a line may be broken or corrected in the copy; a second one among few ends it
            Some(place) => {
                self.missed += 1;
                self.next = (place >= 3 && self.missed * 4 <= place).then_some(place + 1);
            }
        }
        false
    }
}

impl Judge {
    pub(crate) fn new(layout: &Layout, cut: Cut, purpose: Use, comment: Option<String>) -> Judge {
        let keys = (0..layout.width)
            .filter(|column| {
                layout
                    .models
                    .columns
                    .get(*column)
                    .is_some_and(|model| model.filled() >= KEY_FILLED)
            })
            .collect();
        Judge {
            cut,
            purpose,
            width: layout.width,
            leading: layout.leading.clone(),
            taken: 0,
            models: layout.models.clone(),
            header: layout.header.clone(),
            first_names: layout
                .header_rows
                .iter()
                .filter_map(|row| row.first().cloned())
                .collect(),
            header_rows: layout.header_rows.clone(),
            keys,
            comment,
            after_gap: false,
            other: None,
            copies: Copies::default(),
        }
    }

    /// Whether the first lines are still being counted off.
    pub(crate) fn is_leading(&self) -> bool {
        self.taken < self.leading.len()
    }

    /// Cells a row should have.
    pub(crate) fn width(&self) -> usize {
        self.width
    }

    /// What the columns look like.
    pub(crate) fn models(&self) -> &Models {
        &self.models
    }

    /// Whether a record is a row beyond doubt, told without gathering its cells: the common case of a long list.
    #[inline]
    pub(crate) fn is_sure_row<'c>(&self, width: usize, irregular: Quotes, cell: impl Fn(usize) -> &'c str) -> bool {
        width == self.width
            && irregular == Quotes::Sound
            && self.taken >= self.leading.len()
            && !self.after_gap
            && self.other.is_none()
            && self.comment.is_none()
            && self.copies.is_settled()
            && !self.keys.is_empty()
            && self.keys.iter().all(|column| !is_blank(cell(*column)))
            && !self.first_names.iter().any(|name| name == cell(0))
            && !(self.purpose == Use::Build && HeaderWords::built_in().may_be_total(cell(0)))
    }

    /// Judges the next record.
    pub(crate) fn judge(&mut self, seen: &Seen) -> Verdict {
        if self.taken < self.leading.len() {
            return self.count_off();
        }
        let regular = seen.cells.len() == self.width && !seen.irregular && !self.after_gap && self.other.is_none();
        let regular = regular && self.copies.next.is_none();
        if regular && self.comment.is_none() && self.is_plain_row(seen.cells) {
            self.copies.take(seen.cells);
            return Verdict::Row;
        }
        let verdict = match self.look_closer(seen) {
            Verdict::Row => {
                let under_way = self.copies.is_under_way();
                let copied = self.copies.take(seen.cells);
                if copied || under_way && !self.looks_usual(seen.cells) {
                    copy_found()
                } else {
                    Verdict::Row
                }
            }
            Verdict::Mended { cells, note } => {
                let own: Vec<&str> = cells.iter().map(String::as_str).collect();
                let under_way = self.copies.is_under_way();
                if self.copies.take(&own) || under_way {
                    copy_found()
                } else {
                    Verdict::Mended { cells, note }
                }
            }
            other => other,
        };
        self.after_gap = matches!(verdict, Verdict::Layout(Line::Blank | Line::Text | Line::Total));
        verdict
    }

    fn count_off(&mut self) -> Verdict {
        let line = match self.leading[self.taken] {
            Leading::Blank => Line::Blank,
            Leading::Preamble => Line::Preamble,
            Leading::Header => Line::Header,
            Leading::Units => Line::Units,
        };
        self.taken += 1;
        Verdict::Layout(line)
    }

    /// Every key cell is filled and the first cell is not the header's.
    #[inline]
    fn is_plain_row(&self, cells: &[&str]) -> bool {
        let first = cells.first().copied().unwrap_or_default();
        if self.first_names.iter().any(|name| name == first) || HeaderWords::built_in().may_be_total(first) {
            return false;
        }
        !self.keys.is_empty() && self.keys.iter().all(|column| !is_blank(cells[*column]))
    }

    fn look_closer(&mut self, seen: &Seen) -> Verdict {
        let filled = seen.cells.iter().filter(|cell| !is_blank(cell)).count();
        if filled == 0 {
            return Verdict::Layout(Line::Blank);
        }
        if self
            .comment
            .as_ref()
            .is_some_and(|prefix| seen.raw.starts_with(prefix.as_str()))
        {
            return Verdict::Layout(Line::Comment);
        }
        if self.is_header_again(seen.cells) {
            self.other = None;
            self.copies.start();
            return Verdict::Layout(Line::RepeatedHeader);
        }
        if let Some(verdict) = self.line_of_other_table(seen) {
            return verdict;
        }
        if self.width >= 2
            && filled == 1
            && !seen.irregular
            && let Some(verdict) = self.lone_text(seen)
        {
            return verdict;
        }
        if self.is_total(seen.cells, filled) {
            return Verdict::Layout(Line::Total);
        }
        if seen.cells.len() == self.width && self.fits_as_it_stands(seen) {
            return Verdict::Row;
        }
        self.mend(seen)
    }

    /// Whether a record of the right width is to be believed although a quote in it is amiss.
    fn fits_as_it_stands(&self, seen: &Seen) -> bool {
        if !seen.irregular {
            return true;
        }
        let cost: f32 = seen
            .cells
            .iter()
            .enumerate()
            .map(|(column, cell)| self.models.fit(column, Look::of(cell, false)))
            .sum();
        !seen.unclosed && self.models.is_usual(cost - self.models.width() as f32)
    }

    fn is_header_again(&self, cells: &[&str]) -> bool {
        self.header_rows.iter().any(|row| {
            let same = row
                .iter()
                .zip(cells)
                .filter(|(name, cell)| name.trim() == cell.trim())
                .count();
            let filled = row.iter().filter(|name| !name.trim().is_empty()).count();
            let surplus_is_blank = cells.iter().skip(row.len()).all(|cell| is_blank(cell));
            row.len() <= cells.len() && surplus_is_blank && same >= row.len() && filled >= 1
        })
    }

    /// A single text in a line of a table of several columns.
    fn lone_text(&self, seen: &Seen) -> Option<Verdict> {
        let text = seen.cells.iter().find(|cell| !is_blank(cell)).map(|cell| cell.trim())?;
        let letters = text.chars().filter(|letter| letter.is_alphabetic()).count();
        if letters < 2 || class_of(text).is_typed() {
            return None;
        }
        let lacks = |column: &&usize| seen.cells.get(**column).is_none_or(|cell| is_blank(cell));
        let missing = self.keys.iter().filter(lacks).count();
        let heading = match (self.purpose, seen.cells.len()) {
            // a table's title stands after a gap; right under a row it may be a row that is nearly empty
            (Use::Tidy, _) => self.after_gap,
            (Use::Build, 1) => true,
            (Use::Build, _) => missing >= 1 && self.width >= 3 || self.after_gap,
        };
        heading.then_some(Verdict::Layout(Line::Text))
    }

    /// A line that sums up others: its first filled cell says so, and it lacks what rows have.
    fn is_total(&self, cells: &[&str], filled: usize) -> bool {
        let Some(first) = cells.iter().find(|cell| !is_blank(cell)) else {
            return false;
        };
        let lacks_keys = self
            .keys
            .iter()
            .any(|column| cells.get(*column).is_none_or(|cell| is_blank(cell)));
        self.purpose == Use::Build
            && (lacks_keys || filled * 2 <= self.width)
            && self.width >= 2
            && HeaderWords::built_in().is_total(first)
    }

    fn mend(&self, seen: &Seen) -> Verdict {
        let reading = read_ragged(seen.raw, &self.cut, &self.models, seen.cells.len());
        if let Some(reading) = reading
            && reading.is_certain(&self.models)
        {
            let note = format!(
                "{} ({} cells found, {} expected)",
                reading.what.words(),
                seen.cells.len(),
                self.width
            );
            return Verdict::Mended {
                cells: reading.cells,
                note: Some(note),
            };
        }
        if self.purpose == Use::Build && self.is_prose(seen) {
            return Verdict::Layout(Line::Text);
        }
        match self.purpose {
            Use::Build => self.reject(seen),
            Use::Tidy => self.padded(seen),
        }
    }

    /// A sentence that happens to hold delimiters: words without a number that rows would have.
    fn is_prose(&self, seen: &Seen) -> bool {
        let typed = seen
            .cells
            .iter()
            .any(|cell| class_of(cell).is_typed() || class_of(cell).family() == 4);
        let words = seen.raw.split_whitespace().count();
        !typed && words >= 4 && seen.cells.len() * 2 <= self.width
    }

    fn reject(&self, seen: &Seen) -> Verdict {
        let found = seen.cells.len();
        let (problem, message) = if seen.unclosed {
            (
                Problem::UnclosedQuote,
                "a quote opens and the line ends before it closes".to_string(),
            )
        } else if found < self.width {
            (
                Problem::TooFewCells,
                format!("{found} cells found, {} expected", self.width),
            )
        } else if found > self.width {
            (
                Problem::TooManyCells,
                format!("{found} cells found, {} expected", self.width),
            )
        } else {
            (
                Problem::UnclosedQuote,
                "quotes stand where none should, and the cells do not fit their columns".to_string(),
            )
        };
        Verdict::Reject {
            problem,
            column: (found > self.width).then_some(self.width as u32 + 1),
            message,
        }
    }

    /// The cells found, brought to the width of the list where they are fewer.
    fn padded(&self, seen: &Seen) -> Verdict {
        let found = seen.cells.len();
        let mut cells: Vec<String> = seen.cells.iter().map(|cell| cell.to_string()).collect();
        if found < self.width {
            cells.resize(self.width, String::new());
        }
        let note =
            (found != self.width).then(|| format!("{found} cells found, {} expected; kept as found", self.width));
        Verdict::Mended { cells, note }
    }

    /// A header of a further table, or a line under it.
    fn line_of_other_table(&mut self, seen: &Seen) -> Option<Verdict> {
        if self.is_other_header(seen) {
            let places = self.places_in(seen.cells);
            self.other = Some(OtherTable {
                width: seen.cells.len(),
                places,
            });
            return Some(self.of_other_table(seen, Whether::Header));
        }
        let other = self.other.as_ref()?;
        // only a sound row of the first table's own look ends the further one; its broken lines are its own
        if seen.cells.len() == self.width
            && other.width != self.width
            && !seen.irregular
            && self.looks_usual(seen.cells)
        {
            self.other = None;
            return None;
        }
        if other.places.is_some() && self.purpose == Use::Build && seen.cells.len() != other.width {
            return None;
        }
        Some(self.of_other_table(seen, Whether::Row))
    }

    fn of_other_table(&self, seen: &Seen, whether: Whether) -> Verdict {
        let places = self.other.as_ref().and_then(|other| other.places.as_ref());
        match (self.purpose, places, whether) {
            (Use::Build, Some(_), Whether::Header) => Verdict::Layout(Line::RepeatedHeader),
            (Use::Build, Some(places), Whether::Row) => {
                let cell =
                    |place: &Option<usize>| place.and_then(|place| seen.cells.get(place)).map_or("", |cell| *cell);
                Verdict::Mended {
                    cells: places.iter().map(|place| cell(place).to_string()).collect(),
                    note: None,
                }
            }
            _ => Verdict::Reject {
                problem: Problem::OtherTable,
                column: None,
                message: format!(
                    "{} cells of a further table; the first one has {}",
                    seen.cells.len(),
                    self.width
                ),
            },
        }
    }

    /// Labels where rows have numbers, under other names or in another number than the first header's.
    fn is_other_header(&self, seen: &Seen) -> bool {
        if seen.cells.len() < 2 || seen.irregular || self.header.is_empty() {
            return false;
        }
        let labels = seen
            .cells
            .iter()
            .all(|cell| cell.len() <= 60 && !class_of(cell).is_typed());
        let filled = seen.cells.iter().filter(|cell| !is_blank(cell)).count();
        if !labels || filled * 10 < seen.cells.len() * 6 {
            return false;
        }
        let known = seen
            .cells
            .iter()
            .filter(|cell| !is_blank(cell) && self.is_known_name(cell))
            .count();
        let other_width = seen.cells.len() != self.width;
        let enough = known * 2 > filled && known >= 2;
        match self.purpose {
            Use::Tidy => other_width && enough,
            Use::Build => enough && (other_width || !self.looks_usual(seen.cells)),
        }
    }

    fn is_known_name(&self, cell: &str) -> bool {
        self.header
            .iter()
            .any(|name| !name.is_empty() && normalise(name) == normalise(cell))
            || HeaderWords::built_in().is_header(cell)
    }

    /// Where the first table's columns stand in this header, if all of its names are the first table's.
    fn places_in(&self, cells: &[&str]) -> Option<Vec<Option<usize>>> {
        let names: Vec<String> = self.header.iter().map(|name| normalise(name)).collect();
        let here: Vec<String> = cells.iter().map(|cell| normalise(cell)).collect();
        let known = here.iter().filter(|name| names.contains(name)).count();
        if known < 2 || known * 2 < here.len() {
            return None;
        }
        let mut places: Vec<Option<usize>> = names
            .iter()
            .map(|name| here.iter().position(|other| other == name && !name.is_empty()))
            .collect();
        places.resize(self.width, None);
        Some(places)
    }

    fn looks_usual(&self, cells: &[&str]) -> bool {
        let cost: f32 = cells
            .iter()
            .enumerate()
            .map(|(column, cell)| self.models.fit(column, Look::of(cell, false)))
            .sum();
        self.models.is_usual(cost - self.models.width() as f32)
    }

    /// Whether a line, cut without regard to quotes, is a row by itself. Tells a torn record from a quoted line break.
    pub(crate) fn is_row_by_itself(&self, line: &str) -> bool {
        let Some(delimiter) = self.cut.delimiter else {
            return false;
        };
        let delimiters = memchr::memchr_iter(delimiter, line.as_bytes()).count();
        self.width >= 3 && delimiters + 1 >= self.width && {
            let reading: Option<Reading> = read_ragged(line, &self.cut, &self.models, delimiters + 1);
            reading.is_some_and(|reading| reading.is_certain(&self.models))
        }
    }
}

fn copy_found() -> Verdict {
    let message = "the header came again, and after it the list's first lines one by one".to_string();
    Verdict::Reject {
        problem: Problem::OtherTable,
        column: None,
        message,
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Whether {
    Header,
    Row,
}

#[inline]
fn is_blank(cell: &str) -> bool {
    cell.as_bytes()
        .first()
        .is_none_or(|first| *first <= b' ' || !first.is_ascii())
        && is_all_space(cell)
}

fn is_all_space(cell: &str) -> bool {
    cell.is_empty() || cell.bytes().all(|byte| byte.is_ascii_whitespace()) || cell.trim().is_empty()
}
