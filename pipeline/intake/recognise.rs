//! From a list's text to its reader: the layout and the columns are worked out on the sample, and whatever would leave
//! nothing to read, no line or no known column, fails the list here.

use super::columns::{Columns, decimals_of, map_columns, tells_of_parts};
use super::disagreement;
use super::judge::Judge;
use super::layout::{Layout, Leading, Said, Sampled, find_layout, sample_records};
use super::list::{ColumnMap, DialectGuess, EncodingGuess, ListHead, MappedBy, Note};
use super::opening::{Name, Opening};
use super::problem::{FileFailure, Problem};
use super::reader::{ListReader, Use};
use super::split::{Cut, ROW_SEPARATOR};
use super::statements::{Statements, stated};
use super::survey::TAIL_BYTES;
use super::text::Text;
use crate::trade::numerals::Decimals;

/// Whether the sample is all of the list.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Whole {
    Yes,
    No,
}

/// Whether a `sep=` line was taken off the start.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum SepLine {
    Taken,
    None,
}

/// A list as found so far.
pub(super) struct Found<'f> {
    pub(super) name: &'f Name,
    pub(super) sheet: Option<String>,
    pub(super) encoding: EncodingGuess,
    pub(super) dialect: DialectGuess,
    pub(super) sample: &'f str,
    pub(super) whole: Whole,
    /// The last lines, where the sample is not all of the list.
    pub(super) tail: &'f str,
    pub(super) notes: Vec<Note>,
}

impl Opening<'_> {
    /// The reader of a list, or why the list cannot be used.
    pub(super) fn reader(&self, mut found: Found, text: Text, sep: SepLine) -> Result<ListReader, FileFailure> {
        let cut = Cut::of(&found.dialect);
        let records = sample_records(found.sample, &cut);
        let skipped = u32::from(sep == SepLine::Taken);
        let said = Said {
            skip_rows: self.said.skip_rows.map(|rows| rows.saturating_sub(skipped)),
            header_rows: self.said.header_row_count,
        };
        let layout = find_layout(&records, &cut, said);
        if said.skip_rows.is_some() || said.header_rows.is_some() {
            disagreement::in_layout(&layout, &find_layout(&records, &cut, Said::default()), &mut found.notes);
        }
        let no_rows = found.whole == Whole::Yes && layout.leading.len() >= records.len();
        self.refuse(&found, &layout, no_rows)?;
        let comment = self.said.comment_prefix.clone().filter(|text| !text.is_empty());
        let judge = Judge::new(&layout, cut, self.purpose, comment);
        let statements = self.statements(&mut found, &layout, &records, &cut);
        let head = self.head(found, &layout, statements)?;
        let mut reader = ListReader::new(head, text, cut, judge, self.limits.clone(), 1 + skipped);
        if sep == SepLine::Taken {
            reader.count_taken_off();
        }
        Ok(reader)
    }

    fn refuse(&self, found: &Found, layout: &Layout, no_rows: bool) -> Result<(), FileFailure> {
        let shown = &found.name.shown;
        if layout.width > self.limits.columns {
            let (width, most) = (layout.width, self.limits.columns);
            let message = format!("{width} columns, the limit `columns` is {most}");
            return Err(FileFailure::new(shown, Problem::TooManyColumns, message));
        }
        if no_rows && self.purpose == Use::Build {
            let message = format!("a header of {} columns and no line under it", layout.header.len());
            return Err(match layout.header.is_empty() {
                true => FileFailure::new(shown, Problem::BlankFile, "no line of it is a row of a table"),
                false => FileFailure::new(shown, Problem::HeaderOnly, message),
            });
        }
        Ok(())
    }

    fn head(&self, found: Found, layout: &Layout, statements: Statements) -> Result<ListHead, FileFailure> {
        let shown = &found.name.shown;
        let mut notes = found.notes;
        let titled = layout.header.is_empty() && !self.titles.is_empty();
        let (names, named_by) = if titled {
            (self.titles.clone(), MappedBy::Metadata)
        } else {
            (layout.header.clone(), MappedBy::HeaderWord)
        };
        let names = over_columns(names, layout, &mut notes);
        let columns = Columns {
            header: &names,
            named_by,
            titles: if titled || self.titles.len() != layout.width {
                &[]
            } else {
                &self.titles
            },
            sample: &layout.sample,
            width: layout.width,
        };
        // a tidied list keeps its columns whatever they are called, so a profile's columns cannot fail it
        let profile = self.profile.as_deref().filter(|_| self.purpose == Use::Build);
        let mapped = map_columns(&columns, profile, &mut notes)
            .map_err(|(message, hint)| FileFailure::new(shown, Problem::ProfileMismatch, message).with_hint(hint))?;
        if self.purpose == Use::Build && !tells_of_parts(&columns, &mapped) {
            return Err(FileFailure::new(
                shown,
                Problem::NoRecognisableColumn,
                unrecognised(&names, layout.width),
            ));
        }
        let decimals = self.decimals(&columns, &mapped, &mut notes);
        if let Some(profile) = profile {
            disagreement::in_prices(&profile.price, &statements, &columns, &mapped, &mut notes);
        }
        let header = if self.purpose == Use::Tidy && !titled {
            layout.header.clone()
        } else {
            names
        };
        Ok(ListHead {
            file: shown.clone(),
            sheet: found.sheet,
            supplier: found.name.supplier.clone(),
            sha256: self.sha256,
            bytes: self.bytes,
            encoding: found.encoding,
            dialect: found.dialect,
            header,
            columns: mapped,
            decimals,
            statements,
            profile: self.profile.clone(),
            notes,
        })
    }

    /// What the lines before the table and after it say of the prices.
    fn statements(&self, found: &mut Found, layout: &Layout, records: &[Sampled], cut: &Cut) -> Statements {
        if self.purpose == Use::Tidy {
            return Statements::default();
        }
        let leading = records.iter().zip(&layout.leading);
        let before = leading
            .filter(|(_, kind)| **kind == Leading::Preamble)
            .map(|(record, _)| record);
        let tail = match found.whole {
            Whole::Yes => last_lines(found.sample),
            Whole::No => found.tail,
        };
        let tail = sample_records(tail, cut);
        let is_text = |record: &&Sampled| record.cells.len() != layout.width || record.filled() <= layout.width / 3;
        let after: Vec<&Sampled> = match records.len() > layout.leading.len() {
            true => tail.iter().rev().take_while(is_text).collect(),
            false => Vec::new(),
        };
        stated(before, after.into_iter().rev(), &mut found.notes)
    }

    fn decimals(&self, columns: &Columns, mapped: &[ColumnMap], notes: &mut Vec<Note>) -> Decimals {
        let seen = decimals_of(columns, mapped);
        let said = match self.said.decimal_char.as_deref() {
            Some(",") => Decimals::Comma,
            Some(".") => Decimals::Point,
            _ => return seen,
        };
        if seen != said && seen != Decimals::Unsure {
            let message =
                "the profile's `decimalChar` was followed, though the numbers look written with the other mark";
            notes.push(Note::new(message));
        }
        said
    }
}

/// The whole lines in the last few kilobytes of a text.
pub(super) fn last_lines(text: &str) -> &str {
    let mut start = text.len().saturating_sub(TAIL_BYTES);
    if start == 0 {
        return text;
    }
    while !text.is_char_boundary(start) {
        start += 1;
    }
    let ends = ['\n', '\r', char::from(ROW_SEPARATOR)];
    text[start..].find(ends).map_or("", |end| &text[start + end + 1..])
}

/// The header texts laid over the columns. A header with fewer names than the rows have cells may lack one anywhere; the
/// names are moved to where the values agree with them.
fn over_columns(mut names: Vec<String>, layout: &Layout, notes: &mut Vec<Note>) -> Vec<String> {
    let width = layout.width;
    if names.is_empty() {
        return names;
    }
    let last_is_filled = layout.models.columns.last().is_some_and(|column| column.filled() > 0.0);
    if names.len() + 1 == width && last_is_filled {
        let place = super::columns::gap_in_header(&names, &layout.sample, width);
        notes.push(Note::new(format!(
            "the header has {} names for {width} columns; column {} was taken for the one without a name",
            names.len(),
            place + 1
        )));
        names.insert(place, String::new());
    }
    names.resize(width, String::new());
    names
}

fn unrecognised(names: &[String], width: usize) -> String {
    let texts: Vec<String> = names
        .iter()
        .filter(|text| !text.trim().is_empty())
        .take(12)
        .map(|text| format!("\"{}\"", text.trim()))
        .collect();
    if texts.is_empty() {
        format!(
            "there is no header, and none of the {width} columns looks like a part's number or name beside a price, a bar code or an engine code"
        )
    } else {
        format!(
            "no header word names a part's number or name, and the values alone do not look like a list of parts: {}",
            texts.join(", ")
        )
    }
}
