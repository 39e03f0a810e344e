//! A list of needs: CSV with a heading, one need a line.
//!
//! Columns, in any order: `need` (words, a part number or the id of a fit group, as `find` takes them), `quantity`
//! (pieces, 1 when empty), `deliver_within` (days) and `min_confidence` (0 to 1), the last three optional; `note` is kept
//! and shown. A column of another name is refused, so that a slip of the pen cannot drop a limit in silence. Comma,
//! semicolon and tab are told by the heading.

use std::fmt;
use std::path::{Path, PathBuf};

/// Largest quantity that is believed.
const LARGEST: u32 = 100_000;
/// Largest file, bytes: a list of needs is written by people.
const LARGEST_FILE: u64 = 4 << 20;
/// Columns, and what they are called besides.
const COLUMNS: [(&str, &[&str]); 5] = [
    ("need", &["need", "part", "what", "item"]),
    ("quantity", &["quantity", "qty", "pieces"]),
    ("deliver_within", &["deliver_within", "deliver within", "days"]),
    ("min_confidence", &["min_confidence", "min confidence", "confidence"]),
    ("note", &["note", "notes", "for"]),
];

/// One line of needs.
#[derive(Clone, Debug, PartialEq)]
pub struct NeedLine {
    /// line in the file, from 1
    pub line: u64,
    /// what is needed, in words
    pub words: String,
    /// pieces
    pub quantity: u32,
    /// days until delivery at the latest, where the line says
    pub deliver_within: Option<u16>,
    /// confidence from which an offer is sure enough, where the line says
    pub min_confidence: Option<f64>,
    /// the asker's own note
    pub note: String,
}

/// Why a list of needs cannot be used: wrong usage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeedsError {
    /// the file
    pub path: PathBuf,
    /// line, from 1; 0 for the file as a whole
    pub line: u64,
    /// what is wrong
    pub message: String,
    /// what to do
    pub hint: String,
}

impl fmt::Display for NeedsError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.path.display())?;
        if self.line > 0 {
            write!(out, ", line {}", self.line)?;
        }
        write!(out, ": {}", self.message)
    }
}

impl std::error::Error for NeedsError {}

/// Reads a list of needs.
///
/// # Errors
/// The file cannot be read, is no such list, or a cell of it is wrong; the message says where.
pub fn read_needs(path: &Path) -> Result<Vec<NeedLine>, NeedsError> {
    let fault = |message: String| wrong(0, message, "give a CSV file with a heading: need,quantity");
    let text = std::fs::metadata(path)
        .map_err(|error| fault(format!("cannot be read: {error}")))
        .and_then(|facts| match facts.len() {
            ..=LARGEST_FILE => std::fs::read(path).map_err(|error| fault(format!("cannot be read: {error}"))),
            _ => Err(fault("is too large for a list of needs".into())),
        })
        .and_then(|bytes| {
            String::from_utf8(bytes).map_err(|_| wrong(0, "is not UTF-8 text".into(), "save it as CSV, UTF-8"))
        });
    text.and_then(|text| needs_in(&text)).map_err(|mut error| {
        error.path = path.to_path_buf();
        error
    })
}

fn wrong(line: u64, message: String, hint: &str) -> NeedsError {
    NeedsError {
        path: PathBuf::new(),
        line,
        message,
        hint: hint.into(),
    }
}

fn needs_in(text: &str) -> Result<Vec<NeedLine>, NeedsError> {
    // the reader counts lines by their \n alone
    let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    let first = text.lines().next().unwrap_or_default();
    let delimiter = [b';', b'\t', b',']
        .into_iter()
        .max_by_key(|delimiter| first.bytes().filter(|sign| sign == delimiter).count())
        .unwrap_or(b',');
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let unread = |error: csv::Error| wrong(0, error.to_string(), "save it as CSV, UTF-8");
    let places = places(&reader.headers().map_err(unread)?.clone())?;
    let mut needs = Vec::new();
    for record in reader.records() {
        let record = record.map_err(unread)?;
        let line = record.position().map_or(0, csv::Position::line);
        if let Some(need) = need_of(&record, line, places)? {
            needs.push(need);
        }
    }
    if needs.is_empty() {
        return Err(wrong(0, "holds no need".into(), "one need a line under the heading"));
    }
    Ok(needs)
}

fn places(heading: &csv::StringRecord) -> Result<[Option<usize>; 5], NeedsError> {
    let mut places = [None; 5];
    for (at, name) in heading.iter().enumerate().filter(|(_, name)| !name.is_empty()) {
        let called = name.to_lowercase();
        let known = COLUMNS.iter().position(|(_, names)| names.contains(&called.as_str()));
        let Some(known) = known else {
            let names: Vec<&str> = COLUMNS.iter().map(|(name, _)| *name).collect();
            return Err(wrong(
                1,
                format!("unknown column `{name}`"),
                &format!("known are {}", names.join(", ")),
            ));
        };
        if places[known].replace(at).is_some() {
            return Err(wrong(
                1,
                format!("two columns `{}`", COLUMNS[known].0),
                "keep one of them",
            ));
        }
    }
    if places[0].is_none() {
        return Err(wrong(1, "no column `need`".into(), "the heading is: need,quantity"));
    }
    Ok(places)
}

fn need_of(record: &csv::StringRecord, line: u64, places: [Option<usize>; 5]) -> Result<Option<NeedLine>, NeedsError> {
    let cell = |at: usize| places[at].and_then(|place| record.get(place)).unwrap_or_default();
    if record.iter().all(str::is_empty) {
        return Ok(None);
    }
    if cell(0).is_empty() {
        return Err(wrong(
            line,
            "no need is said".into(),
            "say what is needed in the column `need`",
        ));
    }
    let quantity = match cell(1) {
        "" => 1,
        text => text
            .parse()
            .ok()
            .filter(|pieces| (1..=LARGEST).contains(pieces))
            .ok_or_else(|| {
                wrong(
                    line,
                    format!("the quantity is `{text}`"),
                    "a whole number of pieces from 1 on",
                )
            })?,
    };
    let deliver_within = match cell(2) {
        "" => None,
        text => Some(
            text.parse()
                .map_err(|_| wrong(line, format!("deliver_within is `{text}`"), "a whole number of days"))?,
        ),
    };
    let min_confidence = match cell(3) {
        "" => None,
        text => Some(
            text.replace(',', ".")
                .parse()
                .ok()
                .filter(|share| (0.0..=1.0).contains(share))
                .ok_or_else(|| wrong(line, format!("min_confidence is `{text}`"), "a number from 0 to 1"))?,
        ),
    };
    Ok(Some(NeedLine {
        line,
        words: cell(0).into(),
        quantity,
        deliver_within,
        min_confidence,
        note: cell(4).into(),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn needs_are_read_with_their_limits() {
        let text = "\u{feff}Need;Qty;days;confidence\r\n\"pull starter; 212cc\";3;7;0,9\r\n;;;\r\nRS-ZYVCQ;;;\r\n";
        let needs = needs_in(text).unwrap();
        assert_eq!(needs.len(), 2);
        assert_eq!((needs[0].words.as_str(), needs[0].quantity), ("pull starter; 212cc", 3));
        assert_eq!((needs[0].deliver_within, needs[0].min_confidence), (Some(7), Some(0.9)));
        assert_eq!(
            (needs[1].line, needs[1].quantity, needs[1].deliver_within),
            (4, 1, None)
        );
    }

    #[test]
    fn a_slip_is_refused_where_it_stands() {
        let message = |text: &str| {
            let error = needs_in(text).unwrap_err();
            (error.line, error.message)
        };
        assert_eq!(message("need,quantiy\nx,1\n"), (1, "unknown column `quantiy`".into()));
        assert_eq!(message("need,quantity\nx,none\n"), (2, "the quantity is `none`".into()));
        assert_eq!(message("need,quantity\n,3\n"), (2, "no need is said".into()));
        assert_eq!(message("quantity\n3\n"), (1, "no column `need`".into()));
        assert_eq!(message("need\n"), (0, "holds no need".into()));
    }
}
