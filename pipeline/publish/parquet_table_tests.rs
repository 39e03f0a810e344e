use super::*;
use crate::publish::order::ordered;
use crate::publish::sample::{HOSTILE, small_run};
use crate::publish::tables::CrossrefRow;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::RowAccessor;
use std::fs::File;

fn read_back(rows: &[&CrossrefRow], folder: &Path) -> SerializedFileReader<File> {
    let path = folder.join("crossref.parquet");
    write_parquet(&path, rows, CROSSREF, "{\"tool\":\"samefit\"}").unwrap();
    SerializedFileReader::new(File::open(path).unwrap()).unwrap()
}

fn index(name: &str) -> usize {
    CrossrefRow::COLUMNS
        .iter()
        .position(|column| column.name == name)
        .unwrap()
}

#[test]
fn rows_come_back_typed_with_missing_values_missing() {
    let folder = tempfile::tempdir().unwrap();
    let tables = small_run();
    let reader = read_back(&ordered(&tables).crossref, folder.path());
    let rows: Vec<_> = reader.get_row_iter(None).unwrap().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0].get_string(index("supplier_sku")).unwrap(), "+1E5");
    assert_eq!(rows[0].get_long(index("bolt_holes")).unwrap(), 3);
    assert_eq!(
        rows[0].get_double(index("unit_price")).unwrap().to_bits(),
        12.5f64.to_bits()
    );
    assert!(
        rows[0].get_string(index("gtin")).is_err(),
        "a missing GTIN is null, not an empty text"
    );
    assert_eq!(rows[1].get_string(index("description")).unwrap(), HOSTILE);
}

#[test]
fn the_manifest_the_order_and_the_bloom_filters_are_inside() {
    let folder = tempfile::tempdir().unwrap();
    let tables = small_run();
    let reader = read_back(&ordered(&tables).crossref, folder.path());
    let metadata = reader.metadata();
    let manifest = metadata.file_metadata().key_value_metadata().unwrap();
    assert_eq!(manifest[0].key, MANIFEST_KEY);
    let group = metadata.row_group(0);
    assert_eq!(group.sorting_columns().unwrap()[0].column_idx, 0);
    for name in CROSSREF.looked_up {
        assert!(group.column(index(name)).bloom_filter_offset().is_some(), "{name}");
    }
    assert!(matches!(group.column(0).compression(), Compression::ZSTD(_)));
}

#[test]
fn an_empty_table_is_still_a_table() {
    let folder = tempfile::tempdir().unwrap();
    let reader = read_back(&[], folder.path());
    assert_eq!(reader.metadata().file_metadata().num_rows(), 0);
}

#[test]
fn an_amount_comes_back_exactly_from_the_nearest_double() {
    for text in ["0.0001", "12.5", "99999999999.9999", "0.1", "1234567.8901"] {
        let amount: rust_decimal::Decimal = text.parse().unwrap();
        let stored = number_value(Cell::Money(amount), ColumnType::Money).unwrap();
        assert_eq!(format!("{stored:.4}").parse::<rust_decimal::Decimal>().unwrap(), amount);
    }
}
