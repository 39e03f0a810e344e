//! Decisions files -> decisions. A file is a review sheet that was filled in, or a list written by hand.
//!
//! A sheet is known by its heading: `decision` and `offer_a`, and what else is there of `offer_b`, `claim`, `note`,
//! `decided_on` and `probability`, in any order; other columns do not matter. Rows without a decision are open
//! questions and pass unsaid. Without a heading a row is: decision, offer, other offer or claim, note, day.
//!
//! Nothing is guessed: a word that is none of the five is reported with its line and left out.

use super::decision::{Answer, Decision, FilePlace, Warning, WarningSort};
use super::names::ANY_OF;
use crate::intake::small_table::{SmallRow, SmallTableError, read_small_table};
use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Decisions of all files, in the order of the files' names and lines.
#[derive(Clone, Debug, Default)]
pub struct Decisions {
    /// the decisions
    pub list: Vec<Decision>,
}

/// Why decisions cannot be used at all: wrong configuration.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DecisionsError {
    message: String,
}

impl fmt::Display for DecisionsError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.message)
    }
}

impl std::error::Error for DecisionsError {}

impl From<SmallTableError> for DecisionsError {
    fn from(error: SmallTableError) -> DecisionsError {
        DecisionsError {
            message: format!("the decisions in {error}"),
        }
    }
}

/// File name endings taken inside a folder.
const ENDINGS: [&str; 4] = ["csv", "tsv", "txt", "xlsx"];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Decision,
    Offer,
    Other,
    Claim,
    Note,
    Date,
    Probability,
    /// the third cell of a list without a heading: the claim of a wrong one, the other offer of any other
    OtherOrClaim,
}

/// Columns of a list without a heading.
const BY_HAND: [Place; 5] = [
    Place::Decision,
    Place::Offer,
    Place::OtherOrClaim,
    Place::Note,
    Place::Date,
];

impl Place {
    fn of_heading(cell: &str) -> Option<Place> {
        let plain: String = cell
            .chars()
            .filter(|c| c.is_alphanumeric())
            .collect::<String>()
            .to_lowercase();
        Some(match plain.as_str() {
            "decision" | "answer" => Place::Decision,
            "offera" | "offer" => Place::Offer,
            "offerb" | "otheroffer" | "other" => Place::Other,
            "claim" => Place::Claim,
            "note" | "notes" | "remark" => Place::Note,
            "decidedon" | "date" | "day" => Place::Date,
            "probability" => Place::Probability,
            _ => return None,
        })
    }
}

impl Decisions {
    /// Reads files, and the files of folders. An unfilled sheet holds no decision, which is no error.
    ///
    /// # Errors
    /// A path does not exist, cannot be read, or is no table of decisions.
    pub fn load(paths: &[PathBuf]) -> Result<(Decisions, Vec<Warning>), DecisionsError> {
        let mut decisions = Decisions::default();
        let mut warnings = Vec::new();
        for path in paths {
            for file in files_of(path)? {
                decisions.take(&file, &mut warnings)?;
            }
        }
        Ok((decisions, warnings))
    }

    fn take(&mut self, path: &Path, warnings: &mut Vec<Warning>) -> Result<(), DecisionsError> {
        let rows = read_small_table(path, known_cells)?;
        let file: Arc<str> = path.display().to_string().into();
        let Some(first) = rows.first() else { return Ok(()) };
        let places: Vec<Option<Place>> = first.cells.iter().map(|cell| Place::of_heading(cell)).collect();
        let has = |place: Place| places.contains(&Some(place));
        let (places, rows) = if has(Place::Decision) && has(Place::Offer) {
            (places, &rows[1..])
        } else if first.cells.first().is_some_and(|cell| Answer::of(cell).is_some()) {
            (BY_HAND.map(Some).to_vec(), rows.as_slice())
        } else {
            return Err(DecisionsError {
                message: format!(
                    "{} is no table of decisions: its first line names no columns `decision` and `offer_a`",
                    path.display()
                ),
            });
        };
        for row in rows {
            match read_row(row, &places, &file) {
                Ok(Some(decision)) => self.list.push(decision),
                Ok(None) => {}
                Err(warning) => warnings.push(warning),
            }
        }
        Ok(())
    }
}

/// Cells of a row that are headings of a sheet, or an answer in front.
fn known_cells(cells: &[String]) -> usize {
    let headings = cells.iter().filter(|cell| Place::of_heading(cell).is_some()).count();
    // a lone known word is no table; an answer counts when something stands beside it
    let by_hand = cells.len() > 1 && Answer::of(&cells[0]).is_some();
    if by_hand {
        cells.len().min(5)
    } else {
        headings * usize::from(headings > 1)
    }
}

fn files_of(path: &Path) -> Result<Vec<PathBuf>, DecisionsError> {
    let wrong = |message: String| DecisionsError { message };
    if !path.exists() {
        return Err(wrong(format!("the decisions {} do not exist", path.display())));
    }
    if !path.is_dir() {
        return Ok(vec![path.to_path_buf()]);
    }
    let unreadable = |error: std::io::Error| wrong(format!("the folder {} cannot be read: {error}", path.display()));
    let mut files = Vec::new();
    for entry in std::fs::read_dir(path).map_err(unreadable)? {
        let entry = entry.map_err(unreadable)?.path();
        let name = entry.file_name().map(|name| name.to_string_lossy().into_owned());
        // a spreadsheet keeps a lock file beside an open one
        let hidden = name.is_none_or(|name| name.starts_with(['.', '~']));
        let ending = entry.extension().map(|ending| ending.to_string_lossy().to_lowercase());
        if !hidden && entry.is_file() && ending.is_some_and(|ending| ENDINGS.contains(&ending.as_str())) {
            files.push(entry);
        }
    }
    files.sort();
    Ok(files)
}

/// A row, whose cells are asked for by what stands in them.
struct Cells<'r> {
    row: &'r SmallRow,
    places: &'r [Option<Place>],
}

impl<'r> Cells<'r> {
    /// The cell, empty where the row has none.
    fn at(&self, place: Place) -> &'r str {
        let at = self.places.iter().position(|found| *found == Some(place));
        at.and_then(|at| self.row.cells.get(at)).map_or("", String::as_str)
    }

    /// The other offers and the claim that an answer is about: a wrong claim has no other offer, any other answer no
    /// claim.
    fn others_and_claim(&self, answer: Answer) -> (Vec<String>, &'r str) {
        let either = self.at(Place::OtherOrClaim);
        let (other, claim) = match answer == Answer::WrongClaim {
            true if !either.is_empty() => ("", either),
            true => ("", self.at(Place::Claim)),
            false if !either.is_empty() => (either, ""),
            false => (self.at(Place::Other), ""),
        };
        let others = other
            .split(ANY_OF)
            .map(|name| name.trim().to_string())
            .filter(|name| !name.is_empty())
            .collect();
        (others, claim)
    }
}

/// Reads a row; one without a decision is an open question, and nothing.
fn read_row(row: &SmallRow, places: &[Option<Place>], file: &Arc<str>) -> Result<Option<Decision>, Warning> {
    let cells = Cells { row, places };
    let place = FilePlace {
        file: file.clone(),
        line: row.line,
    };
    let unreadable = |message: String, hint: &str| Warning {
        sort: WarningSort::Unreadable,
        place: place.clone(),
        message,
        hint: hint.into(),
    };
    let word = cells.at(Place::Decision);
    if word.is_empty() {
        return Ok(None);
    }
    let Some(answer) = Answer::of(word) else {
        return Err(unreadable(
            format!("`{word}` is no decision; the row was left out"),
            "write same, different, fits, does not fit or wrong claim",
        ));
    };
    let is_claim = answer == Answer::WrongClaim;
    let (others, claim) = cells.others_and_claim(answer);
    if cells.at(Place::Offer).is_empty() || (!is_claim && others.is_empty()) {
        let hint = "an offer is named SUPPLIER:NUMBER, as in the columns offer_a and offer_b of review.csv";
        return Err(unreadable(
            format!("`{word}` without both offers; the row was left out"),
            hint,
        ));
    }
    if is_claim && claim.is_empty() {
        let hint = "write the attribute, such as bolt-circle, and the words of the claim into the column claim";
        return Err(unreadable(
            "`wrong claim` does not say which; the row was left out".into(),
            hint,
        ));
    }
    Ok(Some(Decision {
        answer,
        offer: cells.at(Place::Offer).to_string(),
        others,
        claim: claim.to_string(),
        note: cells.at(Place::Note).to_string(),
        date: cells.at(Place::Date).to_string(),
        stated: probability(cells.at(Place::Probability)),
        place,
    }))
}

/// `0.53`, `0,53` or `53 %`.
fn probability(cell: &str) -> Option<f64> {
    let plain = cell.replace(',', ".");
    let read = match plain.strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().ok()? / 100.0,
        None => plain.parse().ok()?,
    };
    (0.0..=1.0).contains(&read).then_some(read)
}

#[cfg(test)]
#[path = "load_tests.rs"]
mod tests;
