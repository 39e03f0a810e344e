//! What each record of a list is, once the layout is known: a row, a row that needed repair, a layout line, or a reject.
//! The common case costs a few comparisons; everything odd takes the slow path. A line is rejected rather than guessed
//! at, and a heading or a total is told by what it lacks: the cells that every row has.

mod copies;
mod mending;
mod other_table;
mod plain;

use std::cell::Cell;

use super::cellclass::{CellClass, class_of};
use super::header_words::{HeaderWords, normalise};
use super::layout::{Layout, Leading};
use super::model::Models;
use super::problem::Problem;
use super::reader::Use;
use super::split::Cut;
use copies::Copies;
use mending::MOST_WORK;
use other_table::OtherTable;
pub(crate) use plain::PlainRow;

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

/// Judges record after record.
pub(crate) struct Judge {
    cut: Cut,
    purpose: Use,
    width: usize,
    leading: Vec<Leading>,
    taken: usize,
    models: Models,
    /// Header texts, normalised.
    header: Vec<String>,
    header_rows: Vec<Vec<String>>,
    plain: PlainRow,
    comment: Option<String>,
    after_gap: bool,
    other: Option<OtherTable>,
    copies: Copies,
    work_left: Cell<u64>,
}

impl Judge {
    pub(crate) fn new(layout: &Layout, cut: Cut, purpose: Use, comment: Option<String>) -> Judge {
        Judge {
            cut,
            purpose,
            width: layout.width,
            leading: layout.leading.clone(),
            taken: 0,
            models: layout.models.clone(),
            header: layout.header.iter().map(|name| normalise(name)).collect(),
            header_rows: layout.header_rows.clone(),
            plain: PlainRow::of(&layout.models, layout.width, &layout.header_rows, purpose),
            comment,
            after_gap: false,
            other: None,
            copies: Copies::default(),
            work_left: Cell::new(MOST_WORK),
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

    /// What a row beyond doubt has.
    pub(crate) fn plain_row(&self) -> &PlainRow {
        &self.plain
    }

    /// Whether rows beyond doubt are rows here: nothing that was read before puts the next line in doubt.
    #[inline]
    pub(crate) fn is_settled(&self) -> bool {
        self.taken >= self.leading.len()
            && !self.after_gap
            && self.other.is_none()
            && self.comment.is_none()
            && self.copies.is_settled()
    }

    /// Judges the next record.
    pub(crate) fn judge(&mut self, seen: &Seen) -> Verdict {
        if self.taken < self.leading.len() {
            return self.count_off();
        }
        let regular = seen.cells.len() == self.width && !seen.irregular && !self.after_gap && self.other.is_none();
        let regular = regular && !self.copies.is_watching();
        if regular && self.comment.is_none() && self.plain.is_plain(seen.cells) {
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
        if letters < 2 || class_of(text).is_typed() || self.may_be_torn_row(text) {
            return None;
        }
        let lacks = |column: &&usize| seen.cells.get(**column).is_none_or(|cell| is_blank(cell));
        let missing = self.plain.keys().iter().filter(lacks).count();
        let heading = match (self.purpose, seen.cells.len()) {
            // a table's title stands after a gap; right under a row it may be a row that is nearly empty
            (Use::Tidy, _) => self.after_gap,
            (Use::Build, 1) => true,
            (Use::Build, _) => missing >= 1 && self.width >= 3 || self.after_gap,
        };
        heading.then_some(Verdict::Layout(Line::Text))
    }

    /// Whether a line across the gutters of a print-out begins like a row or ends with an amount as one does: it is told as
    /// a sum or as a reject, and never passes for a heading.
    pub(super) fn may_be_torn_row(&self, text: &str) -> bool {
        let first = text.split_whitespace().next().unwrap_or(text);
        let last = text.split_whitespace().next_back().unwrap_or(text);
        let amount = matches!(class_of(last), CellClass::Decimal | CellClass::Money);
        let number = matches!(class_of(first), CellClass::Code) && first.bytes().any(|byte| byte.is_ascii_digit());
        self.cut.gutters.is_some() && (amount || number)
    }

    /// A line that sums up others: its first filled cell says so, and it lacks what rows have.
    fn is_total(&self, cells: &[&str], filled: usize) -> bool {
        let Some(first) = cells.iter().find(|cell| !is_blank(cell)) else {
            return false;
        };
        let lacks_keys = self
            .plain
            .keys()
            .iter()
            .any(|column| cells.get(*column).is_none_or(|cell| is_blank(cell)));
        self.purpose == Use::Build
            && (lacks_keys || filled * 2 <= self.width)
            && self.width >= 2
            && HeaderWords::built_in().is_total(first)
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

#[inline]
pub(super) fn is_blank(cell: &str) -> bool {
    cell.as_bytes()
        .first()
        .is_none_or(|first| *first <= b' ' || !first.is_ascii())
        && is_all_space(cell)
}

fn is_all_space(cell: &str) -> bool {
    cell.is_empty() || cell.bytes().all(|byte| byte.is_ascii_whitespace()) || cell.trim().is_empty()
}
