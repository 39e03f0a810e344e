//! Tables as CSV for machines: RFC 4180, UTF-8 without BOM, comma, CRLF, quotes only where needed.
//!
//! Text is byte-faithful: what a supplier wrote is what a CSV reader gets back, formulas and control
//! characters included. A spreadsheet is not a CSV reader; for people there is the workbook.

use std::io::Write;
use std::path::Path;

use super::column::{Cell, TableRow, print};
use super::error::PublishError;
use super::fresh::{finish, fresh_file};

/// Writes rows under a header line.
pub fn write_csv<R: TableRow>(path: &Path, rows: &[&R]) -> Result<(), PublishError> {
    let mut file = fresh_file(path)?;
    write_rows(&mut file, rows).map_err(PublishError::format(path))?;
    finish(file, path)
}

fn write_rows<R: TableRow>(out: &mut impl Write, rows: &[&R]) -> Result<(), csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .quote_style(csv::QuoteStyle::Necessary)
        .from_writer(out);
    writer.write_record(R::COLUMNS.iter().map(|column| column.name))?;
    let mut text = String::new();
    for row in rows {
        for (at, column) in R::COLUMNS.iter().enumerate() {
            match row.cell(at) {
                Cell::Text(words) => writer.write_field(words)?,
                cell => {
                    text.clear();
                    print(&mut text, cell, column.of_type);
                    writer.write_field(&text)?;
                }
            }
        }
        writer.write_record(None::<&[u8]>)?;
    }
    writer.flush()?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::order::ordered;
    use crate::publish::sample::{HOSTILE, small_run};
    use crate::publish::tables::CrossrefRow;

    fn written(rows: &[&CrossrefRow]) -> Vec<u8> {
        let mut bytes = Vec::new();
        write_rows(&mut bytes, rows).unwrap();
        bytes
    }

    #[test]
    fn hostile_wording_comes_back_byte_for_byte() {
        let tables = small_run();
        let bytes = written(&ordered(&tables).crossref);
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let at = reader
            .headers()
            .unwrap()
            .iter()
            .position(|name| name == "description")
            .unwrap();
        let descriptions: Vec<String> = reader.records().map(|row| row.unwrap()[at].to_owned()).collect();
        assert!(descriptions.contains(&HOSTILE.to_owned()));
    }

    #[test]
    fn lines_end_as_rfc_4180_says_and_there_is_no_byte_order_mark() {
        let text = String::from_utf8(written(&[&CrossrefRow::default()])).unwrap();
        assert!(text.starts_with("group_id,product_id,"));
        assert!(text.ends_with(",0,,,,,,,,\r\n"));
        assert_eq!(text.matches("\r\n").count(), 2);
    }

    #[test]
    fn numbers_know_no_locale() {
        let tables = small_run();
        let text = String::from_utf8(written(&ordered(&tables).crossref)).unwrap();
        assert!(
            text.contains(",163-212,3,118.00,M6,8.00,1,12.50,EUR,14.90,no duty rate,"),
            "{text}"
        );
    }
}
