//! What a row must say to be an answer, and what the footer of a file tells of that before any row is read.
//!
//! A file is written in row groups, each with the least and the greatest value of its columns and, for numbers of parts,
//! a bloom filter. A row group that cannot hold an answer is never read, and one that is nothing but answers is not
//! searched: of a million offers sorted by fit group, those of one group stand side by side.

use super::narrow::NarrowTable;
use parquet::bloom_filter::Sbbf;
use parquet::errors::ParquetError;
use parquet::file::metadata::{ColumnChunkMetaData, RowGroupMetaData};
use parquet::file::statistics::Statistics;
use std::fs::File;

/// What a row must say. A missing value is never what is asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Condition {
    /// the text of a column is one of these
    Text(&'static str, Vec<String>),
    /// the whole number of a column is one of these
    Whole(&'static str, Vec<i64>),
    /// each of these holds; with none of them every row does
    All(Vec<Condition>),
    /// any of these holds; with none of them no row does
    Any(Vec<Condition>),
}

/// What a footer tells of the rows of a row group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Holds {
    /// the condition holds of none
    Never,
    /// it must be looked at row by row
    Perhaps,
    /// it holds of each
    Always,
}

impl Condition {
    /// Every row.
    pub fn none() -> Condition {
        Condition::All(Vec::new())
    }

    /// Rows whose text in a column is one of these.
    pub fn text<T: AsRef<str>>(column: &'static str, texts: impl IntoIterator<Item = T>) -> Condition {
        let mut texts: Vec<String> = texts.into_iter().map(|text| text.as_ref().to_owned()).collect();
        texts.sort_unstable();
        texts.dedup();
        texts.retain(|text| !text.is_empty());
        Condition::Text(column, texts)
    }

    /// Rows whose whole number in a column is one of these.
    pub fn whole(column: &'static str, wholes: impl IntoIterator<Item = u32>) -> Condition {
        let mut wholes: Vec<i64> = wholes.into_iter().map(i64::from).collect();
        wholes.sort_unstable();
        wholes.dedup();
        Condition::Whole(column, wholes)
    }

    /// Rows of which this holds and the other too.
    pub fn and(self, other: Condition) -> Condition {
        Condition::All(vec![self, other])
    }

    /// Rows of which this holds or the other.
    pub fn or(self, other: Condition) -> Condition {
        Condition::Any(vec![self, other])
    }

    /// Names the columns that are looked at.
    pub(super) fn name_columns(&self, names: &mut Vec<&'static str>) {
        match self {
            Condition::Text(name, _) | Condition::Whole(name, _) => {
                if !names.contains(name) {
                    names.push(name);
                }
            }
            Condition::All(parts) | Condition::Any(parts) => parts.iter().for_each(|part| part.name_columns(names)),
        }
    }

    /// The rows of a table that has the columns looked at, ascending.
    pub(super) fn rows_of(&self, table: &NarrowTable) -> Vec<usize> {
        (0..table.height()).filter(|at| self.holds(table, *at)).collect()
    }

    fn holds(&self, table: &NarrowTable, at: usize) -> bool {
        match self {
            Condition::Text(name, texts) => {
                let text = table.texts(name).get(at);
                texts.binary_search_by(|asked| asked.as_str().cmp(text)).is_ok()
            }
            Condition::Whole(name, wholes) => {
                let whole = table.wholes(name).get(at).map(i64::from);
                whole.is_some_and(|whole| wholes.binary_search(&whole).is_ok())
            }
            Condition::All(parts) => parts.iter().all(|part| part.holds(table, at)),
            Condition::Any(parts) => parts.iter().any(|part| part.holds(table, at)),
        }
    }

    /// What the footer tells of a row group.
    ///
    /// # Errors
    /// A bloom filter cannot be read from the file.
    pub(super) fn holds_in(&self, group: &RowGroupMetaData, file: &File) -> Result<Holds, ParquetError> {
        match self {
            Condition::Text(name, texts) => {
                chunk_of(group, name).map_or(Ok(Holds::Never), |chunk| text_holds_in(chunk, texts, file))
            }
            Condition::Whole(name, wholes) => Ok(chunk_of(group, name).map_or(Holds::Never, |chunk| {
                if may_hold_whole(chunk.statistics(), wholes) {
                    Holds::Perhaps
                } else {
                    Holds::Never
                }
            })),
            Condition::All(parts) => {
                let mut least = Holds::Always;
                for part in parts {
                    least = least.min(part.holds_in(group, file)?);
                    if least == Holds::Never {
                        break;
                    }
                }
                Ok(least)
            }
            Condition::Any(parts) => {
                let mut most = Holds::Never;
                for part in parts {
                    most = most.max(part.holds_in(group, file)?);
                    if most == Holds::Always {
                        break;
                    }
                }
                Ok(most)
            }
        }
    }
}

/// The chunk of a column in a row group; none when the file has no such column.
pub(super) fn chunk_of<'g>(group: &'g RowGroupMetaData, name: &str) -> Option<&'g ColumnChunkMetaData> {
    group.columns().iter().find(|chunk| chunk.column_descr().name() == name)
}

fn text_holds_in(chunk: &ColumnChunkMetaData, texts: &[String], file: &File) -> Result<Holds, ParquetError> {
    let known = chunk.statistics();
    let bounds = known.and_then(|known| known.min_bytes_opt().zip(known.max_bytes_opt()));
    let within =
        |text: &&String| bounds.is_none_or(|(least, most)| least <= text.as_bytes() && text.as_bytes() <= most);
    let mut possible = texts.iter().filter(within).peekable();
    let Some(first) = possible.peek() else {
        return Ok(Holds::Never);
    };
    let is_only = known.is_some_and(|known| {
        let is_it = |bound: Option<&[u8]>| bound == Some(first.as_bytes());
        let is_exact = known.min_is_exact() && known.max_is_exact();
        is_exact && is_it(known.min_bytes_opt()) && is_it(known.max_bytes_opt()) && known.null_count_opt() == Some(0)
    });
    if is_only {
        return Ok(Holds::Always);
    }
    let filter = Sbbf::read_from_column_chunk(chunk, file)?;
    let may_hold = filter.is_none_or(|filter| possible.any(|text| filter.check(text.as_bytes())));
    Ok(if may_hold { Holds::Perhaps } else { Holds::Never })
}

fn may_hold_whole(known: Option<&Statistics>, wholes: &[i64]) -> bool {
    match known {
        Some(Statistics::Int64(known)) => match (known.min_opt(), known.max_opt()) {
            (Some(least), Some(most)) => wholes.iter().any(|whole| least <= whole && whole <= most),
            _ => true,
        },
        _ => true,
    }
}
