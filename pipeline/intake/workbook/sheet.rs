//! One sheet as text: its filled cells in one place, each a span of one text, then written row by row.

use std::sync::Arc;

use calamine::XlsxError;

use super::super::opening::Opening;
use super::super::problem::{FileFailure, Problem};
use super::super::split::{CELL_SEPARATOR, ROW_SEPARATOR};
use super::Sheets;
use super::cells::cell_text;

/// Rows a sheet may have; Excel's own end.
const MOST_ROWS: u32 = 1_048_576;

/// A filled cell: where it stands and where its text lies.
#[derive(Clone, Copy)]
struct Filled {
    row: u32,
    column: u32,
    start: usize,
    end: usize,
}

/// The filled cells of a sheet.
#[derive(Default)]
struct Grid {
    text: String,
    cells: Vec<Filled>,
}

/// The rows of a sheet as text of no more than `room` bytes: a workbook may say one long text in a million cells.
pub(super) fn sheet_text(
    book: &mut Sheets,
    sheet: &str,
    opening: &Opening,
    shown: &Arc<str>,
    room: u64,
) -> Result<String, FileFailure> {
    let failed = |error: XlsxError| {
        let message = format!("sheet \"{sheet}\" could not be read: {error}");
        FileFailure::new(shown, Problem::DamagedWorkbook, message)
    };
    let too_large = |message: String| FileFailure::new(shown, Problem::WorkbookTooLarge, message);
    let too_much_text = || {
        let most = opening.limits.workbook_bytes;
        too_large(format!(
            "the cells up to sheet \"{sheet}\" hold more than {most} bytes of text, the limit `workbook_bytes`"
        ))
    };
    let most = opening.limits.sheet_cells;
    let mut grid = Grid::default();
    let mut cells = match book.worksheet_cells_reader(sheet) {
        Ok(cells) => cells,
        Err(XlsxError::NotAWorksheet(_)) => return Ok(String::new()),
        Err(error) => return Err(failed(error)),
    };
    while let Some(cell) = cells.next_cell().map_err(failed)? {
        let (row, column) = cell.get_position();
        if row >= MOST_ROWS {
            let message = format!(
                "sheet \"{sheet}\" has a cell in row {}, past a sheet's last",
                u64::from(row) + 1
            );
            return Err(FileFailure::new(shown, Problem::DamagedWorkbook, message));
        }
        grid.push(row, column, &cell_text(cell.get_value()));
        if grid.cells.len() as u64 > most {
            return Err(too_large(format!(
                "sheet \"{sheet}\" has more than {most} filled cells, the limit `sheet_cells`"
            )));
        }
        if grid.text.len() as u64 > room {
            return Err(too_much_text());
        }
    }
    drop(cells);
    grid.cells.sort_by_key(|cell| (cell.row, cell.column));
    if let Ok(regions) = book.merge_cells_by_sheet_name(sheet) {
        let sorted = grid.cells.len();
        for region in regions {
            grid.fill_down(sorted, region.start, region.end);
        }
        grid.cells.sort_by_key(|cell| (cell.row, cell.column));
    }
    grid.joined(opening.limits.columns, room).ok_or_else(too_much_text)
}

impl Grid {
    fn push(&mut self, row: u32, column: u32, text: &str) {
        if text.is_empty() {
            return;
        }
        let start = self.text.len();
        self.text.push_str(text);
        let end = self.text.len();
        self.cells.push(Filled {
            row,
            column,
            start,
            end,
        });
    }

    /// Carries the value of a region merged down one column into each of its rows that holds anything. The first
    /// `sorted` cells stand in order; what is carried is put behind them.
    fn fill_down(&mut self, sorted: usize, (top, left): (u32, u32), (bottom, right): (u32, u32)) {
        let cells = &self.cells[..sorted];
        if left != right || bottom <= top {
            return;
        }
        let place_of = |row: u32, column: u32| cells.partition_point(|cell| (cell.row, cell.column) < (row, column));
        let Some(value) = cells.get(place_of(top, left)).copied() else {
            return;
        };
        if (value.row, value.column) != (top, left) {
            return;
        }
        let mut rows: Vec<u32> = Vec::new();
        let mut place = place_of(top + 1, 0);
        while let Some(cell) = cells.get(place).filter(|cell| cell.row <= bottom) {
            rows.push(cell.row);
            place = place_of(cell.row + 1, 0);
        }
        let filled: Vec<Filled> = rows.into_iter().map(|row| Filled { row, ..value }).collect();
        self.cells.extend(filled);
    }

    /// The rows as text, `None` if that is more than `room` bytes.
    fn joined(&self, most_columns: usize, room: u64) -> Option<String> {
        let first = self.cells.iter().map(|cell| cell.column).min().unwrap_or(0);
        let last = self.cells.iter().map(|cell| cell.column).max().unwrap_or(0);
        // one more than the limit is enough to be refused by it
        let width = ((last - first) as usize + 1).min(most_columns.saturating_add(1)) as u32;
        let mut text = String::new();
        let mut next_row = 0;
        for cells in self.cells.chunk_by(|one, other| one.row == other.row) {
            let row = cells[0].row;
            while next_row < row {
                text.push(char::from(ROW_SEPARATOR));
                next_row += 1;
            }
            let mut next = cells.iter().peekable();
            for column in first..first + width {
                if column > first {
                    text.push(char::from(CELL_SEPARATOR));
                }
                if let Some(cell) = next.next_if(|cell| cell.column == column) {
                    text.push_str(&self.text[cell.start..cell.end]);
                }
                // a cell may be given twice by a careless writer; the first stands
                while next.next_if(|cell| cell.column <= column).is_some() {}
            }
            text.push(char::from(ROW_SEPARATOR));
            next_row += 1;
            if text.len() as u64 > room {
                return None;
            }
        }
        Some(text)
    }
}
