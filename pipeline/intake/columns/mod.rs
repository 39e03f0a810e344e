//! Which column is which. A profile's word comes first, then metadata beside the file, then header words, then what the
//! values look like; every column says who named it and how sure that is. A profile that names a column the file does
//! not have fails the file with the difference shown, and a header that speaks against the profile gets a note.

mod decimals;
mod evidence;
mod guess;
mod rivals;
mod said;
mod values;

pub(crate) use decimals::decimals_of;
pub(crate) use evidence::tells_of_parts;
pub(crate) use guess::{gap_in_header, map_columns};

use super::field::Field;
use super::list::{ColumnMap, MappedBy};

/// What is known of the columns before they are mapped.
pub(crate) struct Columns<'c> {
    /// Header texts, one per column.
    pub(crate) header: &'c [String],
    /// Whether the header texts come from metadata beside the file.
    pub(crate) named_by: MappedBy,
    /// Titles from metadata beside a file that has a header of its own; they speak where the header's words do not.
    pub(crate) titles: &'c [String],
    /// Cells of some rows.
    pub(crate) sample: &'c [Vec<String>],
    /// Cells of a row.
    pub(crate) width: usize,
}

impl Columns<'_> {
    fn header(&self, index: usize) -> &str {
        self.header.get(index).map_or("", String::as_str)
    }

    fn title(&self, index: usize) -> &str {
        self.titles.get(index).map_or("", String::as_str)
    }

    /// The filled cells of a column of the sample.
    pub(super) fn values(&self, index: usize) -> impl Iterator<Item = &str> {
        self.sample
            .iter()
            .filter_map(move |row| row.get(index))
            .map(|cell| cell.trim())
            .filter(|cell| !cell.is_empty())
    }

    fn named(&self, index: usize, field: Field, how: MappedBy, confidence: f32) -> ColumnMap {
        ColumnMap {
            index,
            field,
            header: self.header(index).to_string(),
            how,
            confidence,
        }
    }
}
