//! Sheets of an .xlsx workbook as lists. A sheet becomes text of its own kind, one record per sheet row with separator
//! characters that no cell holds, and then takes the same way as any other text, so that headers, headings and totals
//! are judged alike. A workbook is held in memory, so its unpacked size is measured, against the cap, before it is opened.
//!
//! - numbers: as short as they can be written; a whole number has no decimals, whatever its size below 10^15.
//! - dates: ISO 8601; a cell that Excel turned into a date reads as one, and later stages know it for damage.
//! - formulas: their last computed value; errors: `#N/A` and the like as text.
//! - merged cells: the value stands in each row of a region that is one column wide, else in its first cell only.

mod cells;
mod sheet;

use std::io::{self, Read, Seek};
use std::sync::Arc;

use calamine::{Reader, Xlsx, XlsxError};

use super::container::unpacked_within;
use super::list::{Delimiter, DialectGuess, EncodingGuess, EncodingSource, Escape, LineEnd, Note};
use super::opening::{Name, Opened, Opening};
use super::problem::{FileFailure, Problem};
use super::recognise::{Found, SepLine, Whole, last_lines};
use super::split::{CELL_SEPARATOR, ROW_SEPARATOR};
use super::text::{Origin, Text};
use sheet::sheet_text;

/// Text of a sheet that its layout is worked out on, bytes.
const SAMPLE_BYTES: usize = 512 << 10;

/// Bytes that can be read from any place.
pub(super) trait Bytes: Read + Seek {}
impl<B: Read + Seek> Bytes for B {}

/// A workbook: a file, or a member of an archive.
pub(super) struct Book<'b> {
    pub(super) name: Name,
    pub(super) open: &'b dyn Fn() -> io::Result<Box<dyn Bytes>>,
}

type Sheets = Xlsx<Box<dyn Bytes>>;

/// Opens every sheet that holds something, or the one a profile names. A sheet stands or fails by itself; one that is
/// no list, such as a cover, is left aside with a note where another one is.
pub(super) fn open_sheets(opening: &Opening, book: &Book) -> Result<Vec<Opened>, FileFailure> {
    let shown = &book.name.shown;
    let mut sheets = open_book(opening, book)?;
    let names = chosen_sheets(opening, shown, &sheets)?;
    let mut room = opening.limits.workbook_bytes;
    let mut opened = Vec::new();
    let mut no_lists: Vec<(String, FileFailure)> = Vec::new();
    for sheet in &names {
        let list = sheet_text(&mut sheets, sheet, opening, shown, room).and_then(|text| {
            room -= text.len() as u64;
            match has_text(&text) {
                true => sheet_list(opening, &book.name, sheet, text).map(Some),
                false => Ok(None),
            }
        });
        match list {
            Ok(None) => {}
            Ok(Some(list)) => opened.push(Ok(list)),
            Err(failure) if is_no_list(failure.problem) => no_lists.push((sheet.clone(), failure)),
            Err(failure) => opened.push(Err(failure)),
        }
    }
    if opened.is_empty() {
        let blank = FileFailure::new(shown, Problem::BlankFile, "no sheet of the workbook holds anything");
        return Err(no_lists.into_iter().next().map_or(blank, |(_, failure)| failure));
    }
    if let Some(list) = opened.iter_mut().find_map(|list| list.as_mut().ok()) {
        for (sheet, failure) in no_lists {
            list.add_note(Note::new(format!(
                "the sheet \"{sheet}\" was left aside: {}",
                failure.message
            )));
        }
    }
    Ok(opened)
}

fn open_book(opening: &Opening, book: &Book) -> Result<Sheets, FileFailure> {
    let shown = &book.name.shown;
    let damaged = |error: &dyn std::fmt::Display| {
        let message = format!("the workbook is damaged: {error}");
        FileFailure::new(shown, Problem::DamagedWorkbook, message)
    };
    let unreadable = |error: io::Error| FileFailure::new(shown, Problem::UnreadableFile, error.to_string());
    let most = opening.limits.workbook_bytes;
    let bytes = (book.open)().map_err(unreadable)?;
    if !unpacked_within(bytes, most).map_err(|error| damaged(&error))? {
        let message = format!("the workbook unpacks to more than {most} bytes, the limit `workbook_bytes`");
        return Err(FileFailure::new(shown, Problem::WorkbookTooLarge, message));
    }
    let bytes = (book.open)().map_err(unreadable)?;
    Xlsx::new(bytes).map_err(|error: XlsxError| damaged(&error))
}

fn has_text(text: &str) -> bool {
    let is_filler = |byte: u8| byte == CELL_SEPARATOR || byte == ROW_SEPARATOR || byte.is_ascii_whitespace();
    !text.bytes().all(is_filler)
}

fn is_no_list(problem: Problem) -> bool {
    matches!(
        problem,
        Problem::NoRecognisableColumn | Problem::HeaderOnly | Problem::BlankFile
    )
}

fn chosen_sheets(opening: &Opening, shown: &Arc<str>, book: &Sheets) -> Result<Vec<String>, FileFailure> {
    let names = book.sheet_names().to_vec();
    let Some(wanted) = opening.profile.as_ref().and_then(|profile| profile.sheet.clone()) else {
        return Ok(names);
    };
    if names.contains(&wanted) {
        return Ok(vec![wanted]);
    }
    let message =
        format!("the profile takes the sheet \"{wanted}\", which the workbook does not have; it has {names:?}");
    Err(FileFailure::new(shown, Problem::ProfileMismatch, message))
}

fn sheet_list(opening: &Opening, name: &Name, sheet: &str, text: String) -> Opened {
    let (sample, tail) = if text.len() <= SAMPLE_BYTES {
        (text.clone(), String::new())
    } else {
        let start = &text[..text.floor_char_boundary(SAMPLE_BYTES)];
        let end = start
            .rfind(char::from(ROW_SEPARATOR))
            .map_or(start.len(), |place| place + 1);
        (start[..end].to_string(), last_lines(&text).to_string())
    };
    let found = Found {
        name,
        sheet: Some(sheet.to_string()),
        encoding: EncodingGuess {
            label: "UTF-8",
            how: EncodingSource::Workbook,
            confidence: 1.0,
        },
        dialect: DialectGuess {
            delimiter: Delimiter::Workbook,
            quote: None,
            escape: Escape::None,
            line_end: LineEnd::Lf,
            runner_up: None,
            margin: 1.0,
        },
        sample: &sample,
        whole: if sample.len() == text.len() {
            Whole::Yes
        } else {
            Whole::No
        },
        tail: &tail,
        notes: opening.notes.clone(),
    };
    opening.reader(found, Text::new(Origin::Whole(text, 0)), SepLine::None)
}
