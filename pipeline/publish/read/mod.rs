//! Reading a finished run: its published Parquet, as far as a question needs it.
//!
//! A question is a [`Condition`] and the columns wanted; row groups that cannot hold an answer are passed over. The
//! published files are the only thing read: what find and grade say can be checked against them by anyone.

mod amount;
mod condition;
pub mod narrow;
mod table_file;

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use parquet::errors::ParquetError;

use super::column::TableRow;
use super::manifest::{files_of_run, settings_of_run};
use super::nightly_tables::PriceRow;
use super::number_index::NUMBER;
use super::place::standing_run;
use super::tables::{CrossrefRow, LinkRow, NumberRow, SetAsideRow};
use narrow::NarrowTable;
use table_file::TableFile;

pub use amount::exact_number;
pub use condition::Condition;

/// Columns that hold a part's numbers.
const NUMBER_COLUMNS: [&str; 3] = ["supplier_sku", "mpn", "gtin"];

/// A run that stands in a folder.
#[derive(Debug, Clone)]
pub struct FinishedRun {
    folder: PathBuf,
    tables: Arc<Tables>,
}

/// The Parquet files of a run, each opened when first asked.
#[derive(Debug, Default)]
struct Tables {
    crossref: OnceLock<TableFile>,
    links: OnceLock<TableFile>,
    prices: OnceLock<TableFile>,
    set_aside: OnceLock<TableFile>,
    numbers: OnceLock<TableFile>,
}

/// Why a run could not be read.
#[derive(Debug)]
pub enum ReadError {
    /// The folder holds no run of samefit.
    NotARun { folder: PathBuf },
    /// A file of the run could not be read.
    Unreadable { folder: PathBuf, message: String },
}

impl ReadError {
    /// What to do about it.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NotARun { .. } => "give the folder that a build was told to write with --out",
            Self::Unreadable { .. } => "build the run again",
        }
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotARun { folder } => write!(out, "{} is not a samefit run", folder.display()),
            Self::Unreadable { folder, message } => {
                write!(out, "could not read the run in {}: {message}", folder.display())
            }
        }
    }
}

impl std::error::Error for ReadError {}

/// Opens the run in a folder without reading its tables yet.
pub fn open_run(folder: &Path) -> Result<FinishedRun, ReadError> {
    let folder = standing_run(folder);
    match files_of_run(&folder) {
        Some(_) => Ok(FinishedRun {
            folder,
            tables: Arc::default(),
        }),
        None => Err(ReadError::NotARun { folder }),
    }
}

impl FinishedRun {
    /// The folder read from.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Opens ahead of any question the tables that [`find`](crate::shop::find) asks. One that cannot be opened is no
    /// fault yet: who asks it is told.
    pub fn open_what_find_asks(&self) {
        let _ = self.table::<CrossrefRow>(&self.tables.crossref);
        let _ = self.table::<NumberRow>(&self.tables.numbers);
    }

    /// Offers of the cross-reference, in published order.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn offers(&self, condition: &Condition) -> Result<Vec<CrossrefRow>, ReadError> {
        self.rows(&self.tables.crossref, condition)
    }

    /// Columns of offers, in published order: for looks at more offers than are worth whole rows.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn offer_columns(&self, names: &[&str], condition: &Condition) -> Result<NarrowTable, ReadError> {
        self.columns::<CrossrefRow>(&self.tables.crossref, names, condition)
    }

    /// The offers that stand at these places of the cross-reference, ascending, each once.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn offers_at(&self, places: &[usize]) -> Result<Vec<CrossrefRow>, ReadError> {
        self.rows_at(&self.tables.crossref, places)
    }

    /// Offers with some of their columns; the others are missing values.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn offers_in_part(&self, names: &[&str], condition: &Condition) -> Result<Vec<CrossrefRow>, ReadError> {
        Ok(self.offer_columns(names, condition)?.rows())
    }

    /// Links, one row per pair of offers kept.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn links(&self, condition: &Condition) -> Result<Vec<LinkRow>, ReadError> {
        self.rows(&self.tables.links, condition)
    }

    /// Prices and since when they hold; a run that follows none has no such table.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn prices(&self, condition: &Condition) -> Result<Vec<PriceRow>, ReadError> {
        self.rows(&self.tables.prices, condition)
    }

    /// The lines set aside that stand at these places of the table, ascending, each once.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn set_aside_at(&self, places: &[usize]) -> Result<Vec<SetAsideRow>, ReadError> {
        self.rows_at(&self.tables.set_aside, places)
    }

    /// Columns of lines set aside, by what these are and their delivered price.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn set_aside_columns(&self, names: &[&str], condition: &Condition) -> Result<NarrowTable, ReadError> {
        self.columns::<SetAsideRow>(&self.tables.set_aside, names, condition)
    }

    /// The entries of the index of numbers under any of these canonical forms.
    ///
    /// # Errors
    /// The index cannot be read.
    pub fn numbers_called(&self, canonical: &[&str]) -> Result<Vec<NumberRow>, ReadError> {
        self.rows(&self.tables.numbers, &Condition::text("canonical", canonical))
    }

    /// The canonical forms of numbers of suppliers and makers that a test accepts, each once, sorted. A few that stand in
    /// other places only may be among them.
    ///
    /// # Errors
    /// The index cannot be read.
    pub fn numbers_like(&self, accepts: impl Fn(&[u8]) -> bool + Sync) -> Result<Vec<String>, ReadError> {
        let table = self.table::<NumberRow>(&self.tables.numbers)?;
        let mut forms = table
            .texts_like("canonical", &Condition::text("place", [NUMBER]), accepts)
            .map_err(self.unreadable())?;
        // the same form stands next to itself, the file being sorted
        forms.dedup();
        Ok(forms)
    }

    /// The settings that the run was made with, as `run.json` names them, and its home currency.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn settings(&self) -> Result<(String, BTreeMap<String, String>), ReadError> {
        settings_of_run(&self.folder).ok_or_else(|| ReadError::NotARun {
            folder: self.folder.clone(),
        })
    }

    fn rows<R: TableRow>(&self, file: &OnceLock<TableFile>, condition: &Condition) -> Result<Vec<R>, ReadError> {
        Ok(self.columns::<R>(file, &names_of::<R>(), condition)?.rows())
    }

    fn rows_at<R: TableRow>(&self, file: &OnceLock<TableFile>, places: &[usize]) -> Result<Vec<R>, ReadError> {
        let table = self.table::<R>(file)?;
        let found = table.columns_at(&names_of::<R>(), places);
        Ok(found.map_err(self.unreadable())?.rows())
    }

    fn columns<R: TableRow>(
        &self,
        file: &OnceLock<TableFile>,
        names: &[&str],
        condition: &Condition,
    ) -> Result<NarrowTable, ReadError> {
        let table = self.table::<R>(file)?;
        table.columns(names, condition).map_err(self.unreadable())
    }

    fn table<'t, R: TableRow>(&self, file: &'t OnceLock<TableFile>) -> Result<&'t TableFile, ReadError> {
        if let Some(open) = file.get() {
            return Ok(open);
        }
        let path = self.folder.join(format!("{}.parquet", R::TABLE));
        let opened = TableFile::open(path).map_err(self.unreadable())?;
        Ok(file.get_or_init(|| opened))
    }

    fn unreadable(&self) -> impl FnOnce(ParquetError) -> ReadError {
        let folder = self.folder.clone();
        move |error| ReadError::Unreadable {
            folder,
            message: error.to_string(),
        }
    }
}

fn names_of<R: TableRow>() -> Vec<&'static str> {
    R::COLUMNS.iter().map(|column| column.name).collect()
}

/// Offers of any of these fit groups.
pub fn in_groups<T: AsRef<str>>(groups: impl IntoIterator<Item = T>) -> Condition {
    Condition::text("group_id", groups)
}

/// Offers that carry one of these numbers, spelled as published, in a column of numbers.
pub fn with_number<T: AsRef<str>>(numbers: impl IntoIterator<Item = T> + Clone) -> Condition {
    Condition::Any(NUMBER_COLUMNS.map(|name| Condition::text(name, numbers.clone())).into())
}

#[cfg(test)]
mod tests;
