//! One Parquet file of a run, opened: its footer is read once, its row groups when a question needs them.

use super::condition::{Condition, Holds, chunk_of};
use super::narrow::{NO_WHOLE, NarrowTable, TextColumn, Values};
use parquet::column::reader::{ColumnReader, ColumnReaderImpl, get_column_reader};
use parquet::data_type::{ByteArray, DataType};
use parquet::errors::ParquetError;
use parquet::file::metadata::{ColumnChunkMetaData, ParquetMetaData, ParquetMetaDataReader, RowGroupMetaData};
use parquet::file::serialized_reader::SerializedPageReader;
use rayon::prelude::*;
use std::fs::File;
use std::ops::Range;
use std::path::PathBuf;
use std::sync::Arc;

/// Rows between two answers that are read rather than skipped.
const WORTH_SKIPPING: usize = 64;
/// Room made for a text before it is known, in bytes: most are numbers, names and codes.
const USUAL_TEXT: usize = 16;
/// Rows decoded at once: few enough to stay in a processor's nearest memory.
const ROWS_AT_ONCE: usize = 1024;

/// A Parquet file with its footer.
#[derive(Debug)]
pub(super) struct TableFile {
    path: PathBuf,
    footer: ParquetMetaData,
}

/// A row group of the file.
#[derive(Clone, Copy)]
struct Group<'f> {
    footer: &'f RowGroupMetaData,
    /// rows of the file before it
    start: usize,
    rows: usize,
}

/// Rows of a row group that are wanted.
struct Wanted {
    /// stretches to read, ascending
    stretches: Vec<Range<usize>>,
    /// the rows among them, ascending; every one of them without this
    only: Option<Vec<usize>>,
}

impl TableFile {
    /// Opens a file and reads its footer.
    ///
    /// # Errors
    /// The file is missing or no Parquet file.
    pub(super) fn open(path: PathBuf) -> Result<TableFile, ParquetError> {
        let file = File::open(&path)?;
        let footer = ParquetMetaDataReader::new().parse_and_finish(&file)?;
        Ok(TableFile { path, footer })
    }

    /// Columns of the rows of which a condition holds, in the order of the file. Columns the file lacks are left out.
    ///
    /// # Errors
    /// The file cannot be read.
    pub(super) fn columns(&self, names: &[&str], condition: &Condition) -> Result<NarrowTable, ParquetError> {
        let possible = self.possible(condition)?;
        let mut looked_at = Vec::new();
        condition.name_columns(&mut looked_at);
        let tables = possible.into_par_iter().map(|(group, holds)| {
            let all = Wanted::all(group.rows);
            if holds == Holds::Always {
                return self.read_columns(group, names, all).map(Some);
            }
            let rows = condition.rows_of(&self.read_columns(group, &looked_at, all)?);
            // to open columns of which nothing is wanted takes its time too
            let wanted = (!rows.is_empty()).then(|| Wanted::rows(rows));
            wanted.map(|wanted| self.read_columns(group, names, wanted)).transpose()
        });
        let tables: Vec<Option<NarrowTable>> = tables.collect::<Result<_, ParquetError>>()?;
        Ok(NarrowTable::stacked(&tables.into_iter().flatten().collect::<Vec<_>>()))
    }

    /// Columns of the rows that stand at these places, ascending, each once.
    ///
    /// # Errors
    /// The file cannot be read.
    pub(super) fn columns_at(&self, names: &[&str], places: &[usize]) -> Result<NarrowTable, ParquetError> {
        let groups: Vec<(Group<'_>, &[usize])> = self
            .groups()
            .map(|group| {
                let from = places.partition_point(|place| *place < group.start);
                let to = places.partition_point(|place| *place < group.start + group.rows);
                (group, &places[from..to])
            })
            .filter(|(_, places)| !places.is_empty())
            .collect();
        let tables = groups.into_par_iter().map(|(group, places)| {
            let rows = places.iter().map(|place| place - group.start).collect();
            self.read_columns(group, names, Wanted::rows(rows))
        });
        Ok(NarrowTable::stacked(&tables.collect::<Result<Vec<_>, _>>()?))
    }

    /// The texts of a column that a test accepts, in the order of the file, of the row groups that may hold a condition.
    ///
    /// # Errors
    /// The file cannot be read.
    pub(super) fn texts_like(
        &self,
        name: &str,
        condition: &Condition,
        accepts: impl Fn(&[u8]) -> bool + Sync,
    ) -> Result<Vec<String>, ParquetError> {
        let found = self.possible(condition)?.into_par_iter().map(|(group, _)| {
            let mut found: Vec<String> = Vec::new();
            let Some(chunk) = chunk_of(group.footer, name) else {
                return Ok(found);
            };
            if let ColumnReader::ByteArrayColumnReader(reader) = self.reader(chunk, group)? {
                read_wanted(reader, &Wanted::all(group.rows), |text: Option<&ByteArray>| {
                    if let Some(text) = text.filter(|text| accepts(text.data())) {
                        found.push(text.as_utf8()?.to_owned());
                    }
                    Ok(())
                })?;
            }
            Ok(found)
        });
        Ok(found.collect::<Result<Vec<_>, ParquetError>>()?.concat())
    }

    /// The row groups that may hold a condition, with what the footer tells of it.
    fn possible(&self, condition: &Condition) -> Result<Vec<(Group<'_>, Holds)>, ParquetError> {
        let file = File::open(&self.path)?;
        let mut possible = Vec::new();
        for group in self.groups() {
            let holds = condition.holds_in(group.footer, &file)?;
            if holds != Holds::Never {
                possible.push((group, holds));
            }
        }
        Ok(possible)
    }

    fn groups(&self) -> impl Iterator<Item = Group<'_>> {
        self.footer.row_groups().iter().scan(0, |next, footer| {
            let (start, rows) = (*next, usize::try_from(footer.num_rows()).unwrap_or_default());
            *next += rows;
            Some(Group { footer, start, rows })
        })
    }

    fn read_columns(&self, group: Group<'_>, names: &[&str], wanted: Wanted) -> Result<NarrowTable, ParquetError> {
        let chunks = names
            .par_iter()
            .filter_map(|name| Some((*name, chunk_of(group.footer, name)?)));
        let columns = chunks.map(|(name, chunk)| {
            let values = read_values(self.reader(chunk, group)?, &wanted)?;
            let values =
                values.ok_or_else(|| ParquetError::General(format!("column {name} has an unforeseen type")))?;
            Ok((name.to_owned(), values))
        });
        let columns = columns.collect::<Result<_, ParquetError>>()?;
        Ok(NarrowTable::of(columns, wanted.places(group.start)))
    }

    /// Each opens the file for itself: handles that are cloned share one place in the file, and would disturb each other.
    fn reader(&self, chunk: &ColumnChunkMetaData, group: Group<'_>) -> Result<ColumnReader, ParquetError> {
        let file = Arc::new(File::open(&self.path)?);
        let pages = SerializedPageReader::new(file, chunk, group.rows, None)?;
        Ok(get_column_reader(chunk.column_descr_ptr(), Box::new(pages)))
    }
}

impl Wanted {
    fn all(count: usize) -> Wanted {
        Wanted {
            stretches: std::iter::once(0..count).collect(),
            only: None,
        }
    }

    fn rows(rows: Vec<usize>) -> Wanted {
        let mut stretches: Vec<Range<usize>> = Vec::new();
        for row in &rows {
            match stretches.last_mut() {
                Some(last) if row - last.end < WORTH_SKIPPING => last.end = row + 1,
                _ => stretches.push(*row..row + 1),
            }
        }
        Wanted {
            stretches,
            only: Some(rows),
        }
    }

    fn count(&self) -> usize {
        match &self.only {
            Some(rows) => rows.len(),
            None => self.stretches.iter().map(Range::len).sum(),
        }
    }

    /// Where the rows stand in the file, of a row group that starts there.
    fn places(&self, start: usize) -> Vec<usize> {
        match &self.only {
            Some(rows) => rows.iter().map(|row| start + row).collect(),
            None => self
                .stretches
                .iter()
                .cloned()
                .flatten()
                .map(|row| start + row)
                .collect(),
        }
    }
}

/// The wanted values of a column; nothing when they are of a type that no table has, or no UTF-8.
fn read_values(reader: ColumnReader, wanted: &Wanted) -> Result<Option<Values>, ParquetError> {
    Ok(match reader {
        ColumnReader::ByteArrayColumnReader(reader) => {
            let mut all = Vec::with_capacity(wanted.count() * USUAL_TEXT);
            let mut ends = Vec::with_capacity(wanted.count());
            read_wanted(reader, wanted, |text: Option<&ByteArray>| {
                all.extend_from_slice(text.map_or(&[], ByteArray::data));
                ends.push(all.len());
                Ok(())
            })?;
            TextColumn::of(all, ends).map(Values::Text)
        }
        ColumnReader::Int64ColumnReader(reader) => {
            let mut wholes = Vec::with_capacity(wanted.count());
            read_wanted(reader, wanted, |whole| {
                wholes.push(whole.copied().unwrap_or(NO_WHOLE));
                Ok(())
            })?;
            Some(Values::Whole(wholes))
        }
        ColumnReader::DoubleColumnReader(reader) => {
            let mut numbers = Vec::with_capacity(wanted.count());
            read_wanted(reader, wanted, |number| {
                numbers.push(number.copied().unwrap_or(f64::NAN));
                Ok(())
            })?;
            Some(Values::Number(numbers))
        }
        _ => None,
    })
}

/// Hands out the value of each wanted row, nothing where it is missing.
fn read_wanted<T: DataType>(
    mut reader: ColumnReaderImpl<T>,
    wanted: &Wanted,
    mut take: impl FnMut(Option<&T::T>) -> Result<(), ParquetError>,
) -> Result<(), ParquetError> {
    let (mut levels, mut values) = (Vec::new(), Vec::new());
    let mut at = 0;
    let mut only = wanted.only.as_deref();
    for stretch in &wanted.stretches {
        reader.skip_records(stretch.start - at)?;
        at = stretch.start;
        while at < stretch.end {
            let count = ROWS_AT_ONCE.min(stretch.end - at);
            levels.clear();
            values.clear();
            let (read, _, _) = reader.read_records(count, Some(&mut levels), None, &mut values)?;
            if read != count {
                let message = format!("a column ends {} rows before its footer says", count - read);
                return Err(ParquetError::General(message));
            }
            let mut present = values.iter();
            for (place, row) in (at..at + count).enumerate() {
                // without levels the column has no gaps
                let is_there = levels.get(place).is_none_or(|level| *level > 0);
                let value = is_there.then(|| present.next()).flatten();
                match &mut only {
                    None => take(value)?,
                    Some([next, rest @ ..]) if *next == row => {
                        take(value)?;
                        only = Some(rest);
                    }
                    Some(_) => {}
                }
            }
            at += count;
        }
    }
    Ok(())
}

#[cfg(test)]
#[path = "table_file_tests.rs"]
mod tests;
