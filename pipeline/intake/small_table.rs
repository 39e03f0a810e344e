//! A small table that a person filled in: read whole, in whatever form a spreadsheet left it.
//!
//! It is no supplier's list: nothing is guessed about its columns but which separator the heading was saved with.
//! - comma, semicolon, tab or pipe, the one that makes most of the first line's cells known;
//! - UTF-8 with or without a byte order mark, UTF-16 with one, else Windows-1252;
//! - a workbook (.xlsx): the sheet `Review`, else the first with a known heading;
//! - a line that begins with `#` is a remark; a first line `sep=;` is obeyed.
//!
//! Limits: [`MOST_BYTES`] of file, the `workbook_bytes` of `limits` unpacked.

use std::fmt;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xlsx};
use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};

use super::container::unpacked_within;
use super::limits::Limits;

/// Bytes such a file may have: a hundred thousand answered questions are less.
const MOST_BYTES: u64 = 64 << 20;
/// Rows of a sheet in which its heading is looked for.
const HEADING_WITHIN: usize = 20;

/// One row of cells, trimmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SmallRow {
    /// line of the file, or row of the sheet, from 1
    pub line: u64,
    /// the cells as text
    pub cells: Vec<String>,
}

/// Why a file is no such table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SmallTableError {
    /// the file
    pub path: PathBuf,
    /// what is wrong with it
    pub message: String,
}

impl fmt::Display for SmallTableError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.path.display(), self.message)
    }
}

impl std::error::Error for SmallTableError {}

/// Reads the rows. `known` tells how many cells of a row are headings (or words) of the table that is meant; a row in
/// which it finds none is no heading.
///
/// # Errors
/// The file cannot be read, is too large, or is a damaged workbook.
pub fn read_small_table(path: &Path, known: impl Fn(&[String]) -> usize) -> Result<Vec<SmallRow>, SmallTableError> {
    let wrong = |message: String| SmallTableError {
        path: path.to_path_buf(),
        message,
    };
    let bytes = path.metadata().map_err(|error| wrong(error.to_string()))?.len();
    if bytes > MOST_BYTES {
        return Err(wrong(format!(
            "{bytes} bytes are more than the {MOST_BYTES} such a table may have"
        )));
    }
    let bytes = std::fs::read(path).map_err(|error| wrong(error.to_string()))?;
    if bytes.starts_with(b"PK\x03\x04") {
        let most = Limits::default().workbook_bytes;
        return match unpacked_within(Cursor::new(&bytes), most) {
            Ok(true) => sheet_rows(bytes, known).map_err(wrong),
            Ok(false) => Err(wrong(format!("the workbook unpacks to more than {most} bytes"))),
            Err(error) => Err(wrong(format!("the workbook is damaged: {error}"))),
        };
    }
    Ok(text_rows(&decoded(&bytes), known))
}

fn decoded(bytes: &[u8]) -> String {
    let encoding = match Encoding::for_bom(bytes) {
        Some((encoding, _)) => encoding,
        None if std::str::from_utf8(bytes).is_ok() => UTF_8,
        None => WINDOWS_1252,
    };
    encoding.decode(bytes).0.into_owned()
}

fn text_rows(text: &str, known: impl Fn(&[String]) -> usize) -> Vec<SmallRow> {
    let first = text.lines().next().unwrap_or_default();
    let said = first
        .strip_prefix("sep=")
        .and_then(|sign| sign.bytes().next())
        .filter(u8::is_ascii);
    let delimiters = match &said {
        Some(sign) => std::slice::from_ref(sign),
        None => b",;\t|".as_slice(),
    };
    let mut best = (0, Vec::new());
    for delimiter in delimiters {
        let mut rows = split(text, *delimiter);
        if said.is_some() {
            rows.retain(|row| row.line > 1);
        }
        let found = rows
            .iter()
            .find(|row| !is_blank(row))
            .map_or(0, |row| known(&row.cells));
        if found > best.0 || best.1.is_empty() {
            best = (found, rows);
        }
    }
    best.1.retain(|row| !is_blank(row));
    best.1
}

fn split(text: &str, delimiter: u8) -> Vec<SmallRow> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    // the text is UTF-8 and rows may be of any width, so no record is refused
    for record in reader.records().map_while(Result::ok) {
        rows.push(SmallRow {
            line: record.position().map_or(0, csv::Position::line),
            cells: record.iter().map(|cell| cell.trim().to_string()).collect(),
        });
    }
    rows
}

fn is_blank(row: &SmallRow) -> bool {
    row.cells.iter().all(String::is_empty)
}

fn sheet_rows(bytes: Vec<u8>, known: impl Fn(&[String]) -> usize) -> Result<Vec<SmallRow>, String> {
    let damaged = |error: calamine::XlsxError| format!("the workbook is damaged: {error}");
    let mut book = Xlsx::new(Cursor::new(bytes)).map_err(damaged)?;
    let mut names = book.sheet_names();
    names.sort_by_key(|name| !name.eq_ignore_ascii_case("review"));
    for name in names {
        let range = book.worksheet_range(&name).map_err(damaged)?;
        let top = range.start().map_or(0, |start| u64::from(start.0)) + 1;
        let mut rows: Vec<SmallRow> = (top..)
            .zip(range.rows())
            .map(|(line, cells)| SmallRow {
                line,
                cells: cells.iter().map(cell_text).collect(),
            })
            .collect();
        rows.retain(|row| !is_blank(row));
        if let Some(at) = rows.iter().take(HEADING_WITHIN).position(|row| known(&row.cells) > 0) {
            return Ok(rows.split_off(at));
        }
    }
    Ok(Vec::new())
}

fn cell_text(cell: &Data) -> String {
    match cell {
        Data::DateTime(moment) => {
            let (year, month, day, ..) = moment.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}")
        }
        other => other.to_string().trim().to_string(),
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests write files of their own")]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> Vec<SmallRow> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("answers.csv");
        std::fs::write(&path, bytes).unwrap();
        let known = |cells: &[String]| {
            cells
                .iter()
                .filter(|cell| ["decision", "note"].contains(&cell.as_str()))
                .count()
        };
        read_small_table(&path, known).unwrap()
    }

    #[test]
    fn the_separator_is_the_one_that_makes_the_heading_known() {
        for sign in [",", ";", "\t", "|"] {
            let text = format!("decision{sign}note\nsame{sign}\"a,b;c\"\n");
            let rows = read(text.as_bytes());
            assert_eq!(rows[1].cells, ["same", "a,b;c"], "{sign:?}");
            assert_eq!(rows[1].line, 2);
        }
    }

    #[test]
    fn marks_and_encodings_of_spreadsheets_are_understood() {
        assert_eq!(read(b"\xEF\xBB\xBFdecision,note\nsame,x\n")[0].cells[0], "decision");
        let wide: Vec<u8> = "\u{feff}decision\tnote\r\nsame\tgenähert\r\n"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        assert_eq!(read(&wide)[1].cells[1], "genähert");
        assert_eq!(read(b"decision;note\nsame;gen\xE4hert\n")[1].cells[1], "genähert");
    }

    #[test]
    fn remarks_blank_rows_and_the_separators_own_line_are_no_rows() {
        let rows = read(b"sep=;\n# asked in autumn\ndecision;note\n;;\nsame;x\n");
        assert_eq!(rows.len(), 2);
        assert_eq!((rows[1].line, rows[1].cells[0].as_str()), (5, "same"));
    }
}
