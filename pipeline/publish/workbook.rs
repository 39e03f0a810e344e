//! The cross-reference as a workbook for people.
//!
//! Every text a supplier wrote goes into a cell typed as text: a part number keeps its zeros, a date
//! stays what it was, and what begins with `=` is words. No formula and no link is ever written.
//!
//! Limits:
//! - [`MOST_ROWS`] rows on a sheet: a longer cross-reference is left to the other files. The format takes 1,048,576,
//!   but a sheet of 36 columns beyond this opens in minutes, in gigabytes, and writing it would be the dearest step of
//!   a run (common practice, no source)
//!
//! Limits of the format (a maker's published "specifications and limits", also enforced by the crate
//! rust_xlsxwriter):
//! - 32,767 UTF-16 units in a cell: a longer text is cut and ends in `…`; crossref.csv has all of it

use std::borrow::Cow;
use std::path::Path;

use rust_decimal::prelude::ToPrimitive;
use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DocProperties, ExcelDateTime, Format, IgnoreError, Workbook, Worksheet,
    XlsxError,
};

use super::column::{Cell, Column, ColumnType, TableRow, decimals, rounded, settled};
use super::error::PublishError;
use super::fresh::{finish, fresh_file};
use super::gave_up::held_to_errors;
use super::tables::{CrossrefRow, GroupRow, ReviewRow};
use crate::trade::cautions;

/// Rows below the heading that a sheet is given.
pub const MOST_ROWS: usize = 300_000;
/// UTF-16 units a cell can hold.
const LONGEST_TEXT: usize = 32_767;

/// Sheet of the questions for a person.
const REVIEW_SHEET: &str = "Review";

/// The words that a person may answer with.
pub const ANSWERS: [&str; 5] = ["same", "different", "fits", "does not fit", "wrong claim"];

/// Whether a workbook was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkbookOutcome {
    Written,
    /// More rows than a sheet is given.
    TooLong,
}

/// Writes the cross-reference, the fit groups, the review sheet and the cautions, or nothing if a table is too long.
pub fn write_workbook(
    path: &Path,
    crossref: &[&CrossrefRow],
    groups: &[&GroupRow],
    review: &[&ReviewRow],
) -> Result<WorkbookOutcome, PublishError> {
    if [crossref.len(), groups.len(), review.len()]
        .iter()
        .any(|rows| *rows > MOST_ROWS)
    {
        return Ok(WorkbookOutcome::TooLong);
    }
    held_to_errors(path, || {
        let mut workbook = fill(path, crossref, groups, review).map_err(PublishError::format(path))?;
        let mut file = fresh_file(path)?;
        workbook.save_to_writer(&mut file).map_err(PublishError::format(path))?;
        finish(file, path)?;
        Ok(WorkbookOutcome::Written)
    })
}

fn fill(
    path: &Path,
    crossref: &[&CrossrefRow],
    groups: &[&GroupRow],
    review: &[&ReviewRow],
) -> Result<Workbook, XlsxError> {
    let mut workbook = Workbook::new();
    // Level 2 rather than the usual 6: measured on 100,000 offers, a fifth more bytes and far less time.
    workbook.set_zip_compression_level(2);
    // Rows wait in unnamed files beside the workbook rather than in memory.
    workbook.set_tempdir(path.parent().unwrap_or(Path::new(".")))?;
    // A fixed date of making, so that the same rows give the same bytes.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(
        &DocProperties::new()
            .set_title("Cross-reference")
            .set_creation_datetime(&made),
    );
    write_sheet(
        workbook.add_worksheet_with_constant_memory()?,
        "Cross-reference",
        crossref,
    )?;
    write_sheet(workbook.add_worksheet_with_constant_memory()?, "Fit groups", groups)?;
    let sheet = workbook.add_worksheet_with_constant_memory()?;
    write_sheet(sheet, REVIEW_SHEET, review)?;
    offer_answers(sheet, review.len())?;
    write_cautions(workbook.add_worksheet_with_constant_memory()?)?;
    Ok(workbook)
}

/// How the cells of a column look. It is the column's format, not each cell's, so that a number typed
/// in later is text where text belongs; it also saves looking up a format for every cell.
fn style(of_type: ColumnType) -> Format {
    Format::new().set_num_format(match of_type {
        ColumnType::Text => "@",
        ColumnType::Whole => "0",
        ColumnType::Number { .. } | ColumnType::Money => "0.00##",
        ColumnType::Probability => "0.0000",
    })
}

fn heading() -> Format {
    Format::new().set_bold().set_text_wrap()
}

fn write_sheet<R: TableRow>(sheet: &mut Worksheet, name: &str, rows: &[&R]) -> Result<(), XlsxError> {
    sheet.set_name(name)?;
    let columns = numbered(R::COLUMNS);
    let heading = heading();
    for (at, column) in &columns {
        sheet.set_column_width(*at, width(column))?;
        sheet.set_column_format(*at, &style(column.of_type))?;
        sheet.write_string_with_format(0, *at, column.name, &heading)?;
    }
    for (row, line) in rows.iter().zip(1u32..) {
        for (at, column) in &columns {
            write_cell(sheet, line, *at, row.cell(usize::from(*at)), column.of_type)?;
        }
    }
    let last_line = u32::try_from(rows.len()).unwrap_or(u32::MAX);
    let last_column = columns.last().map_or(0, |(at, _)| *at);
    sheet.set_freeze_panes(1, 0)?;
    sheet.autofilter(0, 0, last_line, last_column)?;
    // Part numbers made of digits are meant as text; no green corner need point at them.
    sheet.ignore_error_range(0, 0, last_line, last_column, IgnoreError::NumberStoredAsText)?;
    Ok(())
}

/// Lets the answers be picked from a list; other words may be typed, and are reported when they are read.
fn offer_answers(sheet: &mut Worksheet, rows: usize) -> Result<(), XlsxError> {
    let place = numbered(ReviewRow::COLUMNS)
        .into_iter()
        .find(|(_, column)| column.name == "decision");
    let (Some((at, _)), Ok(last @ 1..)) = (place, u32::try_from(rows)) else {
        return Ok(());
    };
    let answers = DataValidation::new()
        .allow_list_strings(&ANSWERS)?
        .set_error_style(DataValidationErrorStyle::Information);
    sheet.add_data_validation(1, at, last, at, &answers)?;
    Ok(())
}

fn numbered(columns: &'static [Column]) -> Vec<(u16, &'static Column)> {
    (0u16..).zip(columns).collect()
}

fn write_cell(sheet: &mut Worksheet, line: u32, at: u16, cell: Cell<'_>, of_type: ColumnType) -> Result<(), XlsxError> {
    let number = match cell {
        Cell::Missing => None,
        Cell::Text(text) => {
            sheet.write_string(line, at, fitting(text))?;
            None
        }
        #[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
        Cell::Whole(whole) => Some(whole as f64),
        Cell::Number(number) => Some(rounded(number, decimals(of_type))),
        Cell::Money(amount) => settled(amount).to_f64(),
    };
    if let Some(number) = number {
        sheet.write_number(line, at, number)?;
    }
    Ok(())
}

/// The text, cut to what a cell holds.
fn fitting(text: &str) -> Cow<'_, str> {
    // A UTF-8 text is never shorter in bytes than in UTF-16 units.
    if text.len() <= LONGEST_TEXT || text.encode_utf16().count() <= LONGEST_TEXT {
        return Cow::Borrowed(text);
    }
    let mut units = 0;
    let kept = text.chars().take_while(|letter| {
        units += letter.len_utf16();
        units < LONGEST_TEXT
    });
    let mut kept: String = kept.collect();
    kept.push('…');
    Cow::Owned(kept)
}

/// Width in characters: wordings wide, figures narrow.
fn width(column: &Column) -> f64 {
    match (column.name, column.of_type) {
        ("description" | "evidence" | "name" | "measure_first", _) => 48.0,
        ("this_offer" | "that" | "speaks_for" | "speaks_against", _) => 48.0,
        ("landed_note" | "engine_codes", _) => 28.0,
        (_, ColumnType::Text) => 16.0,
        _ => 11.0,
    }
}

fn write_cautions(sheet: &mut Worksheet) -> Result<(), XlsxError> {
    sheet.set_name("Read first")?;
    sheet.set_column_width(0, 24)?.set_column_width(1, 110)?;
    let (heading, text) = (heading(), style(ColumnType::Text));
    let limit = std::iter::once(("Limit", cautions::LIMIT));
    let before = cautions::BEFORE_ORDERING
        .iter()
        .map(|wording| ("Before ordering", *wording));
    let safety = cautions::SAFETY.iter().map(|caution| (caution.cue, caution.wording));
    for ((cue, wording), line) in limit.chain(before).chain(safety).zip(0u32..) {
        sheet.write_string_with_format(line, 0, cue, &heading)?;
        sheet.write_string_with_format(line, 1, wording, &text)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::order::ordered;
    use crate::publish::sample::{HOSTILE, small_run};
    use calamine::{Data, Reader, Xlsx, open_workbook};
    use std::fs::File;

    fn read_back(folder: &Path) -> Xlsx<std::io::BufReader<File>> {
        let path = folder.join("crossref.xlsx");
        let tables = small_run();
        let order = ordered(&tables);
        let outcome = write_workbook(&path, &order.crossref, &order.groups, &order.review).unwrap();
        assert_eq!(outcome, WorkbookOutcome::Written);
        open_workbook(path).unwrap()
    }

    #[test]
    fn part_numbers_come_back_as_text_and_prices_as_numbers() {
        let folder = tempfile::tempdir().unwrap();
        let sheet = read_back(folder.path()).worksheet_range("Cross-reference").unwrap();
        let at = |name: &str| {
            CrossrefRow::COLUMNS
                .iter()
                .position(|column| column.name == name)
                .unwrap()
        };
        assert_eq!(sheet[(1, at("supplier_sku"))], Data::String("+1E5".into()));
        assert_eq!(sheet[(2, at("supplier_sku"))], Data::String("0012".into()));
        assert_eq!(sheet[(2, at("gtin"))], Data::String("04006381333931".into()));
        assert_eq!(sheet[(1, at("unit_price"))], Data::Float(12.5));
    }

    #[test]
    fn hostile_wording_is_words_and_no_formula_exists() {
        let folder = tempfile::tempdir().unwrap();
        let mut book = read_back(folder.path());
        let sheet = book.worksheet_range("Cross-reference").unwrap();
        let found = sheet
            .used_cells()
            .find(|(_, _, cell)| cell.to_string().starts_with("=HYPERLINK"));
        let (_, _, Data::String(text)) = found.unwrap() else {
            panic!("not typed as text")
        };
        assert_eq!(text.chars().count(), HOSTILE.chars().count());
        for name in book.sheet_names() {
            assert_eq!(book.worksheet_formula(&name).unwrap().used_cells().count(), 0, "{name}");
        }
    }

    #[test]
    fn the_same_rows_give_the_same_bytes() {
        let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        read_back(one.path());
        read_back(two.path());
        let bytes = |folder: &Path| std::fs::read(folder.join("crossref.xlsx")).unwrap();
        assert_eq!(bytes(one.path()), bytes(two.path()));
    }

    #[test]
    fn a_text_longer_than_a_cell_is_cut_with_a_mark() {
        let long = "é".repeat(40_000);
        let cut = fitting(&long);
        assert_eq!(cut.encode_utf16().count(), LONGEST_TEXT);
        assert!(cut.ends_with('…'));
    }
}
