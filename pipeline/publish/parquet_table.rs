//! Tables as Parquet: typed columns, zstd, sorted, with the run's manifest inside the file.
//!
//! Choices, with their numbers:
//! - row groups of [`ROWS_PER_GROUP`] rows, small ones, so that a fit group or a number is read without most of the
//!   file; written in batches of [`ROWS_PER_BATCH`] so that memory stays small whatever the table's length
//! - bloom filters on the identifier columns, so that one number is found without reading the file
//! - text UTF8, whole numbers INT64, numbers DOUBLE rounded to what the CSV prints
//! - money DOUBLE: the double nearest to an amount of at most four decimals, which gives the amount
//!   back exactly up to 10^11 (15 significant digits); the exact text is in the CSV
//! - no statistics on long wordings, no time of writing, no path: the same rows give the same bytes

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical, ZstdLevel};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::metadata::{KeyValue, SortingColumn};
use parquet::file::properties::{EnabledStatistics, WriterProperties};
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{ColumnPath, Type};
use rust_decimal::prelude::ToPrimitive;

use super::column::{Cell, Column, ColumnType, Presence, TableRow, decimals, rounded, settled};
use super::error::PublishError;
use super::fresh::{finish, fresh_file};

/// Rows of a row group: about a fit group of a million offers.
pub const ROWS_PER_GROUP: usize = 1 << 14;
/// Rows handed to a column writer at once.
const ROWS_PER_BATCH: usize = 4096;
/// Key of the manifest in the file's metadata.
pub const MANIFEST_KEY: &str = "samefit.manifest";
const ZSTD_LEVEL: i32 = 3;

/// What a table wants beside its columns.
#[derive(Debug, Clone, Copy)]
pub struct Layout {
    /// Columns the rows are sorted by, first to last, ascending, missing values last.
    pub sorted_by: &'static [&'static str],
    /// Columns looked up by exact value.
    pub looked_up: &'static [&'static str],
    /// Long wordings, not worth statistics.
    pub wordings: &'static [&'static str],
}

/// The cross-reference: by group, found by its identifiers.
pub const CROSSREF: Layout = Layout {
    sorted_by: &["group_id"],
    looked_up: &["supplier_sku", "mpn", "gtin"],
    wordings: &["description", "evidence", "measure_first", "landed_note"],
};

/// The links: by supplier, found by the supplier's number.
pub const LINKS: Layout = Layout {
    sorted_by: &["supplier_a", "supplier_sku_a"],
    looked_up: &["supplier_sku_a", "supplier_sku_b"],
    wordings: &["outcome"],
};

/// The prices: by supplier, found by the supplier's number.
pub const PRICES: Layout = Layout {
    sorted_by: &["supplier", "supplier_sku"],
    looked_up: &["supplier_sku"],
    wordings: &[],
};

/// The lines set aside: by what they are.
pub const SET_ASIDE: Layout = Layout {
    sorted_by: &["what"],
    looked_up: &[],
    wordings: &["description", "reason", "landed_note"],
};

/// The index of numbers: by where they stand and their canonical form.
pub const NUMBERS: Layout = Layout {
    sorted_by: &["place", "canonical"],
    looked_up: &[],
    wordings: &[],
};

/// Writes rows with the manifest in the file's metadata.
pub fn write_parquet<R: TableRow>(
    path: &Path,
    rows: &[&R],
    layout: Layout,
    manifest: &str,
) -> Result<(), PublishError> {
    let mut file = fresh_file(path)?;
    write_rows(&mut file, rows, layout, manifest).map_err(PublishError::format(path))?;
    finish(file, path)
}

fn write_rows<R: TableRow>(
    out: &mut (impl Write + Send),
    rows: &[&R],
    layout: Layout,
    manifest: &str,
) -> Result<(), ParquetError> {
    let schema = Arc::new(schema_of(R::TABLE, R::COLUMNS)?);
    let properties = Arc::new(properties(R::COLUMNS, layout, manifest)?);
    let mut writer = SerializedFileWriter::new(out, schema, properties)?;
    for group_rows in rows.chunks(ROWS_PER_GROUP) {
        let mut group = writer.next_row_group()?;
        for at in 0..R::COLUMNS.len() {
            write_column(&mut group, group_rows, at)?;
        }
        group.close()?;
    }
    writer.close()?;
    Ok(())
}

/// Table names may hold a dash; a Parquet root may not everywhere.
fn schema_of(table: &str, columns: &[Column]) -> Result<Type, ParquetError> {
    let fields = columns.iter().map(|column| field(column).map(Arc::new));
    let fields = fields.collect::<Result<Vec<_>, _>>()?;
    Type::group_type_builder(&table.replace('-', "_"))
        .with_fields(fields)
        .build()
}

fn field(column: &Column) -> Result<Type, ParquetError> {
    let (physical, logical) = match column.of_type {
        ColumnType::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
        ColumnType::Whole => (Physical::INT64, None),
        ColumnType::Number { .. } | ColumnType::Probability | ColumnType::Money => (Physical::DOUBLE, None),
    };
    let repetition = match column.presence {
        Presence::Always => Repetition::REQUIRED,
        Presence::WhenKnown => Repetition::OPTIONAL,
    };
    Type::primitive_type_builder(column.name, physical)
        .with_logical_type(logical)
        .with_repetition(repetition)
        .build()
}

fn properties(columns: &[Column], layout: Layout, manifest: &str) -> Result<WriterProperties, ParquetError> {
    let manifest = KeyValue::new(MANIFEST_KEY.to_owned(), manifest.to_owned());
    let mut properties = WriterProperties::builder()
        .set_created_by(format!("samefit {}", env!("CARGO_PKG_VERSION")))
        .set_compression(Compression::ZSTD(ZstdLevel::try_new(ZSTD_LEVEL)?))
        .set_key_value_metadata(Some(vec![manifest]))
        .set_sorting_columns(Some(sorting(columns, layout)));
    for name in layout.looked_up {
        properties = properties.set_column_bloom_filter_enabled(ColumnPath::from(*name), true);
    }
    for name in layout.wordings {
        properties = properties
            .set_column_statistics_enabled(ColumnPath::from(*name), EnabledStatistics::None)
            .set_column_dictionary_enabled(ColumnPath::from(*name), *name != "description");
    }
    Ok(properties.build())
}

fn sorting(columns: &[Column], layout: Layout) -> Vec<SortingColumn> {
    let index = |name: &&str| columns.iter().position(|column| column.name == *name);
    let indexes = layout
        .sorted_by
        .iter()
        .filter_map(index)
        .filter_map(|at| i32::try_from(at).ok());
    indexes
        .map(|column_idx| SortingColumn {
            column_idx,
            descending: false,
            nulls_first: false,
        })
        .collect()
}

fn write_column<R: TableRow, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    rows: &[&R],
    at: usize,
) -> Result<(), ParquetError> {
    let column = R::COLUMNS[at];
    let Some(mut writer) = group.next_column()? else {
        return Err(ParquetError::General(format!("no room for column {}", column.name)));
    };
    for batch in rows.chunks(ROWS_PER_BATCH) {
        let cells = batch.iter().map(|row| row.cell(at));
        match writer.untyped() {
            ColumnWriter::ByteArrayColumnWriter(texts) => {
                let stretch = ByteArray::from(joined(cells.clone()));
                let mut end = 0;
                let (values, levels) = present(cells, column, |cell| text_value(cell, &stretch, &mut end));
                texts.write_batch(&values, levels.as_deref(), None)?;
            }
            ColumnWriter::Int64ColumnWriter(wholes) => {
                let (values, levels) = present(cells, column, whole_value);
                wholes.write_batch(&values, levels.as_deref(), None)?;
            }
            ColumnWriter::DoubleColumnWriter(numbers) => {
                let (values, levels) = present(cells, column, |cell| number_value(cell, column.of_type));
                numbers.write_batch(&values, levels.as_deref(), None)?;
            }
            _ => {
                return Err(ParquetError::General(format!(
                    "column {} has an unforeseen type",
                    column.name
                )));
            }
        }
    }
    writer.close()
}

/// The values that are there, and for a column that may have gaps the level of each row: 1 there,
/// 0 missing. A column that is always there gets its type's nothing for a missing value.
fn present<'a, T: Default>(
    cells: impl Iterator<Item = Cell<'a>>,
    column: Column,
    mut value: impl FnMut(Cell<'a>) -> Option<T>,
) -> (Vec<T>, Option<Vec<i16>>) {
    match column.presence {
        Presence::Always => (cells.map(|cell| value(cell).unwrap_or_default()).collect(), None),
        Presence::WhenKnown => {
            let values: Vec<Option<T>> = cells.map(value).collect();
            let levels = values.iter().map(|value| i16::from(value.is_some())).collect();
            (values.into_iter().flatten().collect(), Some(levels))
        }
    }
}

/// The texts of a batch one behind the other, so that they share one stretch of memory.
fn joined<'a>(cells: impl Iterator<Item = Cell<'a>>) -> Vec<u8> {
    let mut stretch = Vec::new();
    for cell in cells {
        if let Cell::Text(text) = cell {
            stretch.extend_from_slice(text.as_bytes());
        }
    }
    stretch
}

/// The next text of the stretch, which ends where the one behind it starts.
fn text_value(cell: Cell<'_>, stretch: &ByteArray, end: &mut usize) -> Option<ByteArray> {
    match cell {
        Cell::Text(text) => {
            let start = *end;
            *end += text.len();
            Some(stretch.slice(start, text.len()))
        }
        _ => None,
    }
}

fn whole_value(cell: Cell<'_>) -> Option<i64> {
    match cell {
        Cell::Whole(whole) => i64::try_from(whole).ok(),
        _ => None,
    }
}

fn number_value(cell: Cell<'_>, of_type: ColumnType) -> Option<f64> {
    match cell {
        Cell::Number(number) => Some(rounded(number, decimals(of_type))),
        Cell::Money(amount) => settled(amount).to_f64(),
        _ => None,
    }
}

#[cfg(test)]
#[path = "parquet_table_tests.rs"]
mod tests;
