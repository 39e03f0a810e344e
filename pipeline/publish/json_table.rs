//! Rows as JSON under their published names.
//!
//! Money stands as a text of exact decimals, so that no reader turns it into a binary fraction. A missing value is `null`.

use std::io::Write;
use std::path::Path;

use serde_json::{Map, Value, json};

use super::column::{Cell, ColumnType, TableRow, decimals, printed, rounded};
use super::error::PublishError;
use super::fresh::{finish, fresh_file};

/// A row under the names of its columns.
pub fn row_json<R: TableRow>(row: &R) -> Value {
    let cells = R::COLUMNS.iter().enumerate().map(|(at, column)| {
        let value = match row.cell(at) {
            Cell::Missing => Value::Null,
            Cell::Text(text) => json!(text),
            Cell::Whole(whole) => json!(whole),
            Cell::Number(number) => json!(rounded(number, decimals(column.of_type))),
            money @ Cell::Money(_) => json!(printed(money, ColumnType::Money)),
        };
        (column.name.to_string(), value)
    });
    Value::Object(cells.collect::<Map<String, Value>>())
}

/// Writes rows as one JSON array, a row a line.
pub fn write_json_rows<R: TableRow>(path: &Path, rows: &[&R]) -> Result<(), PublishError> {
    let mut file = fresh_file(path)?;
    let mut put = |text: &str| file.write_all(text.as_bytes()).map_err(PublishError::io("write", path));
    put("[")?;
    for (at, row) in rows.iter().enumerate() {
        put(if at == 0 { "\n" } else { ",\n" })?;
        put(&row_json(*row).to_string())?;
    }
    put("\n]\n")?;
    finish(file, path)
}
