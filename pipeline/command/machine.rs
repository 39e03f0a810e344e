//! Answers for machines: rows of the published tables as JSON and CSV, under their published names.
//!
//! Money stands as a text of exact decimals in JSON, so that no reader turns it into a binary fraction.
//! A missing value is `null`.

use super::outcome::Failure;
use crate::publish::column::{TableRow, printed};
pub use crate::publish::json_table::row_json;
use serde_json::Value;

/// Rows as CSV (RFC 4180), with further columns in front.
///
/// # Errors
/// None that is not a fault of memory; the library's is passed on.
pub fn rows_csv<'a, R: TableRow + 'a>(
    front: &[&str],
    rows: impl Iterator<Item = (Vec<String>, &'a R)>,
) -> Result<String, Failure> {
    let wrong = |error: csv::Error| Failure::failed(format!("could not write CSV: {error}"));
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let heading = front.iter().copied().chain(R::COLUMNS.iter().map(|column| column.name));
    writer.write_record(heading).map_err(wrong)?;
    for (cells, row) in rows {
        for cell in &cells {
            writer.write_field(cell).map_err(wrong)?;
        }
        for (at, column) in R::COLUMNS.iter().enumerate() {
            writer
                .write_field(printed(row.cell(at), column.of_type).as_bytes())
                .map_err(wrong)?;
        }
        writer.write_record(None::<&[u8]>).map_err(wrong)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| Failure::failed(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| Failure::failed(error.to_string()))
}

/// JSON for stdout: indented, with a line end.
pub fn json_text(value: &Value) -> String {
    format!("{value:#}\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::CrossrefRow;

    fn row() -> CrossrefRow {
        CrossrefRow {
            supplier: "north".into(),
            description: "a \"quoted\", text".into(),
            unit_price: "12.5".parse().ok(),
            confidence: 0.98765,
            ..CrossrefRow::default()
        }
    }

    #[test]
    fn a_row_stands_under_its_published_names() {
        let value = row_json(&row());
        assert_eq!(value["supplier"], "north");
        assert_eq!(value["unit_price"], "12.50");
        assert_eq!(value["confidence"], 0.9877);
        assert_eq!(value["gtin"], Value::Null);
    }

    #[test]
    fn csv_comes_back_byte_for_byte() {
        let row = row();
        let text = rows_csv(&["answer"], [(vec!["sure".to_string()], &row)].into_iter()).unwrap();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let place = reader
            .headers()
            .unwrap()
            .iter()
            .position(|name| name == "description")
            .unwrap();
        let record = reader.records().next().unwrap().unwrap();
        assert_eq!((&record[0], &record[place]), ("sure", "a \"quoted\", text"));
    }
}
