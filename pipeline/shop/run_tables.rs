//! The CSV tables of a finished run, as rows again.
//!
//! Only the published files are read: what find, explain and grade say can be checked against them by
//! anyone. A column that a table lacks is a column of missing values, so that a run of an older build
//! still answers what it can.

use crate::publish::column::{Cell, ColumnType, TableRow};
use crate::publish::{FinishedRun, ReadError};

/// Reads `NAME.csv` of a run, in published order.
///
/// # Errors
/// The file is missing or is no CSV.
pub fn rows_of<R: TableRow>(run: &FinishedRun) -> Result<Vec<R>, ReadError> {
    let path = run.folder().join(format!("{}.csv", R::TABLE));
    let wrong = |error: csv::Error| ReadError::Unreadable {
        folder: run.folder().to_path_buf(),
        message: format!("{}.csv: {error}", R::TABLE),
    };
    let mut reader = csv::Reader::from_path(&path).map_err(wrong)?;
    let heading = reader.headers().map_err(wrong)?;
    let places: Vec<Option<usize>> = R::COLUMNS
        .iter()
        .map(|column| heading.iter().position(|name| name == column.name))
        .collect();
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    while reader.read_record(&mut record).map_err(wrong)? {
        rows.push(R::from_cells(|at| {
            match (R::COLUMNS.get(at), places.get(at).copied().flatten()) {
                (Some(column), Some(place)) => cell(record.get(place).unwrap_or_default(), column.of_type),
                _ => Cell::Missing,
            }
        }));
    }
    Ok(rows)
}

fn cell(text: &str, of_type: ColumnType) -> Cell<'_> {
    let read = match of_type {
        ColumnType::Text => (!text.is_empty()).then_some(Cell::Text(text)),
        ColumnType::Whole => text.parse().ok().map(Cell::Whole),
        ColumnType::Number { .. } | ColumnType::Probability => text.parse().ok().map(Cell::Number),
        ColumnType::Money => text.parse().ok().map(Cell::Money),
    };
    read.unwrap_or(Cell::Missing)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::{GroupRow, RunFacts, RunTables, open_run, write_run};

    fn group() -> GroupRow {
        GroupRow {
            group_id: "RS-1".into(),
            name: "Recoil starter, \"small\"\n2nd line".into(),
            part_kind: "recoil-starter".into(),
            bolt_holes: Some(3),
            bolt_circle_mm: Some(118.0),
            cheapest_landed: "9.90".parse().ok(),
            confidence: 0.9375,
            ..GroupRow::default()
        }
    }

    #[test]
    fn a_table_comes_back_as_it_was_published() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("run");
        let tables = RunTables {
            groups: vec![group()],
            ..RunTables::default()
        };
        write_run(&out, &tables, &RunFacts::default()).unwrap();
        assert_eq!(rows_of::<GroupRow>(&open_run(&out).unwrap()).unwrap(), [group()]);
    }

    #[test]
    fn a_table_that_is_gone_is_named() {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("run");
        write_run(&out, &RunTables::default(), &RunFacts::default()).unwrap();
        let run = open_run(&out).unwrap();
        std::fs::remove_file(run.folder().join("groups.csv")).unwrap();
        assert!(
            rows_of::<GroupRow>(&run)
                .unwrap_err()
                .to_string()
                .contains("groups.csv")
        );
    }
}
