//! Sheets of an .xlsx workbook as lists. A sheet becomes text of its own kind, one record per sheet row with separator
//! characters that no cell holds, and then takes the same way as any other text, so that headers, headings and totals
//! are judged alike. A workbook is held in memory, so its unpacked size is measured, against the cap, before it is opened.
//!
//! - numbers: as short as they can be written; a whole number has no decimals, whatever its size below 10^15.
//! - dates: ISO 8601; a cell that Excel turned into a date reads as one, and later stages know it for damage.
//! - formulas: their last computed value; errors: `#N/A` and the like as text.
//! - merged cells: the value stands in each row of a region that is one column wide, else in its first cell only.

use std::fs::File;
use std::io::BufReader;
use std::path::Path;
use std::sync::Arc;

use calamine::{CellErrorType, DataRef, Reader, Xlsx, XlsxError};

use super::container::unpacked_within;
use super::list::{Delimiter, DialectGuess, EncodingGuess, EncodingSource, Escape, LineEnd};
use super::opening::{Name, Opening, supplier_of};
use super::problem::{FileFailure, Problem};
use super::reader::ListReader;
use super::recognise::{Found, SepLine, Whole};
use super::split::{CELL_SEPARATOR, ROW_SEPARATOR};
use super::text::Text;

/// Rows a sheet may have before its first filled one, and between filled ones; Excel's own end is 1,048,576.
const MOST_ROWS: u32 = 1_048_576;

type Book = Xlsx<BufReader<File>>;

/// Opens every sheet that holds something, or the one a profile names.
pub(super) fn open_sheets(opening: &Opening, shown: &Arc<str>, path: &Path) -> Result<Vec<ListReader>, FileFailure> {
    let failed = |message: String| FileFailure::new(shown, Problem::DamagedWorkbook, message);
    let most = opening.limits.workbook_bytes;
    if !unpacked_within(path, most).map_err(|error| failed(format!("the workbook is damaged: {error}")))? {
        let message = format!("the workbook unpacks to more than {most} bytes, the limit `workbook_bytes`");
        return Err(FileFailure::new(shown, Problem::WorkbookTooLarge, message));
    }
    let unreadable = |error: std::io::Error| FileFailure::new(shown, Problem::UnreadableFile, error.to_string());
    let file = BufReader::new(File::open(path).map_err(unreadable)?);
    let mut book: Book =
        Xlsx::new(file).map_err(|error: XlsxError| failed(format!("the workbook is damaged: {error}")))?;
    let names = chosen_sheets(opening, shown, &book)?;
    let mut lists = Vec::new();
    let mut first_failure = None;
    for sheet in &names {
        let text = sheet_text(&mut book, sheet, opening, shown)?;
        if !text
            .bytes()
            .any(|byte| byte != CELL_SEPARATOR && byte != ROW_SEPARATOR && !byte.is_ascii_whitespace())
        {
            continue;
        }
        match sheet_list(opening, shown, sheet, text) {
            Ok(list) => lists.push(list),
            // a cover sheet or a sheet of terms is no list; the workbook fails only if no sheet is one
            Err(failure) if names.len() > 1 && is_no_list(failure.problem) => {
                first_failure.get_or_insert(failure);
            }
            Err(failure) => return Err(failure),
        }
    }
    match (lists.is_empty(), first_failure) {
        (false, _) => Ok(lists),
        (true, Some(failure)) => Err(failure),
        (true, None) => Err(FileFailure::new(
            shown,
            Problem::BlankFile,
            "no sheet of the workbook holds anything",
        )),
    }
}

fn is_no_list(problem: Problem) -> bool {
    matches!(
        problem,
        Problem::NoRecognisableColumn | Problem::HeaderOnly | Problem::BlankFile
    )
}

fn chosen_sheets(opening: &Opening, shown: &Arc<str>, book: &Book) -> Result<Vec<String>, FileFailure> {
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

fn sheet_list(opening: &Opening, shown: &Arc<str>, sheet: &str, text: String) -> Result<ListReader, FileFailure> {
    let name = Name {
        shown: shown.clone(),
        supplier: supplier_of(shown, opening.profile.as_deref()),
    };
    let found = Found {
        name: &name,
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
        sample: &text,
        whole: Whole::Yes,
        tail: "",
        notes: opening.notes.clone(),
    };
    opening.reader(found, Text::whole(text.clone()), SepLine::None)
}

/// The rows of a sheet as text.
fn sheet_text(book: &mut Book, sheet: &str, opening: &Opening, shown: &Arc<str>) -> Result<String, FileFailure> {
    let failed = |error: XlsxError| {
        FileFailure::new(
            shown,
            Problem::DamagedWorkbook,
            format!("sheet \"{sheet}\" could not be read: {error}"),
        )
    };
    let most = opening.limits.sheet_cells;
    let mut rows: Vec<(u32, Vec<(u32, String)>)> = Vec::new();
    let mut count = 0u64;
    let mut cells = match book.worksheet_cells_reader(sheet) {
        Ok(cells) => cells,
        Err(XlsxError::NotAWorksheet(_)) => return Ok(String::new()),
        Err(error) => return Err(failed(error)),
    };
    while let Some(cell) = cells.next_cell().map_err(failed)? {
        let (row, column) = cell.get_position();
        let text = cell_text(cell.get_value());
        if text.is_empty() {
            continue;
        }
        count += 1;
        if count > most || row >= MOST_ROWS {
            let message = format!("sheet \"{sheet}\" has more than {most} filled cells, the limit `sheet_cells`");
            return Err(FileFailure::new(shown, Problem::WorkbookTooLarge, message));
        }
        match rows.last_mut() {
            Some((last, cells)) if *last == row => cells.push((column, text)),
            _ => rows.push((row, vec![(column, text)])),
        }
    }
    drop(cells);
    rows.sort_by_key(|(row, _)| *row);
    fill_merged(book, sheet, &mut rows);
    Ok(joined(rows, opening.limits.columns))
}

/// Carries the value of a region merged down one column into each of its rows.
fn fill_merged(book: &mut Book, sheet: &str, rows: &mut [(u32, Vec<(u32, String)>)]) {
    let Ok(regions) = book.merge_cells_by_sheet_name(sheet) else {
        return;
    };
    for region in regions {
        let ((top, left), (bottom, right)) = (region.start, region.end);
        if left != right || bottom <= top {
            continue;
        }
        let value = rows
            .binary_search_by_key(&top, |(row, _)| *row)
            .ok()
            .and_then(|place| rows[place].1.iter().find(|(column, _)| *column == left))
            .map(|(_, text)| text.clone());
        let Some(value) = value else { continue };
        for (_, cells) in rows.iter_mut().filter(|(row, _)| *row > top && *row <= bottom) {
            if !cells.iter().any(|(column, _)| *column == left) {
                cells.push((left, value.clone()));
            }
        }
    }
}

fn joined(rows: Vec<(u32, Vec<(u32, String)>)>, most_columns: usize) -> String {
    let first = rows
        .iter()
        .flat_map(|(_, cells)| cells.iter().map(|(column, _)| *column))
        .min()
        .unwrap_or(0);
    let last = rows
        .iter()
        .flat_map(|(_, cells)| cells.iter().map(|(column, _)| *column))
        .max()
        .unwrap_or(0);
    // one more than the limit is enough to be refused by it
    let width = ((last - first) as usize + 1).min(most_columns + 1) as u32;
    let mut text = String::new();
    let mut next_row = 0;
    for (row, mut cells) in rows {
        while next_row < row {
            text.push(char::from(ROW_SEPARATOR));
            next_row += 1;
        }
        cells.sort_by_key(|(column, _)| *column);
        let mut cells = cells.into_iter().peekable();
        for column in first..first + width {
            if column > first {
                text.push(char::from(CELL_SEPARATOR));
            }
            if let Some((_, cell)) = cells.next_if(|(place, _)| *place == column) {
                text.push_str(&cell);
            }
        }
        text.push(char::from(ROW_SEPARATOR));
        next_row += 1;
    }
    text
}

fn cell_text(value: &DataRef) -> String {
    let text = match value {
        DataRef::Empty => String::new(),
        DataRef::Int(number) => number.to_string(),
        DataRef::Float(number) => number_text(*number),
        DataRef::String(text) => text.clone(),
        DataRef::SharedString(text) => (*text).to_string(),
        DataRef::Bool(true) => "true".to_string(),
        DataRef::Bool(false) => "false".to_string(),
        DataRef::DateTime(moment) => moment_text(*moment),
        DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => text.clone(),
        DataRef::Error(error) => error_text(error).to_string(),
    };
    if text.bytes().any(|byte| byte == CELL_SEPARATOR || byte == ROW_SEPARATOR) {
        text.replace([char::from(CELL_SEPARATOR), char::from(ROW_SEPARATOR)], " ")
    } else {
        text
    }
}

fn number_text(number: f64) -> String {
    if number.fract() == 0.0 && number.abs() < 1e15 {
        return format!("{number:.0}");
    }
    // fifteen significant digits are what a spreadsheet shows of a number; beyond lies the noise of binary fractions
    let rounded: f64 = format!("{number:.14e}").parse().unwrap_or(number);
    rounded.to_string()
}

fn moment_text(moment: calamine::ExcelDateTime) -> String {
    let (year, month, day, hour, minute, second, _) = moment.to_ymd_hms_milli();
    if moment.is_duration() || moment.as_f64() < 1.0 {
        return format!("{hour:02}:{minute:02}:{second:02}");
    }
    if (hour, minute, second) == (0, 0, 0) {
        format!("{year:04}-{month:02}-{day:02}")
    } else {
        format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}")
    }
}

fn error_text(error: &CellErrorType) -> &'static str {
    match error {
        CellErrorType::Div0 => "#DIV/0!",
        CellErrorType::NA => "#N/A",
        CellErrorType::Name => "#NAME?",
        CellErrorType::Null => "#NULL!",
        CellErrorType::Num => "#NUM!",
        CellErrorType::Ref => "#REF!",
        CellErrorType::Value => "#VALUE!",
        CellErrorType::GettingData => "#GETTING_DATA",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_short() {
        assert_eq!(number_text(4006381333931.0), "4006381333931");
        assert_eq!(number_text(12.5), "12.5");
        assert_eq!(number_text(0.1 + 0.2), "0.3");
        assert_eq!(number_text(-3.0), "-3");
    }
}
