//! Reading a finished run: its published Parquet, lazily.
//!
//! A question is a filter on [`FinishedRun::offers`]; only the columns and row groups it needs are read,
//! and [`crossref_rows`] turns the answer into rows. The published files are the only thing read: what
//! find and grade say can be checked against them by anyone.

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

use polars::prelude::{
    Column, DataFrame, Expr, LazyFrame, NamedFrom, PlRefPath, PolarsError, ScanArgsParquet, SortMultipleOptions,
    UniqueKeepStrategy, col, lit,
};
use rayon::prelude::*;

use super::amount::exact_amount;
use super::column::{Cell, ColumnType, TableRow};
use super::manifest::{files_of_run, settings_of_run};
use super::narrow::NarrowTable;
use super::nightly_tables::PriceRow;
use super::place::standing_run;
use super::tables::{CrossrefRow, LinkRow, NumberRow, SetAsideRow};

/// Columns that hold a part's numbers.
pub const NUMBER_COLUMNS: [&str; 3] = ["supplier_sku", "mpn", "gtin"];

/// Forms of numbers that one thread looks through before another could help.
const FORMS_AT_ONCE: usize = 1 << 14;
/// A run that stands in a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FinishedRun {
    folder: PathBuf,
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
        Some(_) => Ok(FinishedRun { folder }),
        None => Err(ReadError::NotARun { folder }),
    }
}

impl FinishedRun {
    /// The folder read from.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The cross-reference, one row per offer, in published order.
    pub fn offers(&self) -> Result<LazyFrame, ReadError> {
        self.table("crossref.parquet")
    }

    /// The links, one row per pair of offers kept.
    pub fn links(&self) -> Result<LazyFrame, ReadError> {
        self.table("links.parquet")
    }

    /// Prices and since when they hold; a run that follows none has no such table.
    ///
    /// # Errors
    /// The run cannot be read, or has no such table.
    pub fn prices(&self) -> Result<LazyFrame, ReadError> {
        self.table("prices.parquet")
    }

    /// The lines set aside, by what they are and their delivered price.
    ///
    /// # Errors
    /// The table cannot be read.
    pub fn set_aside(&self) -> Result<LazyFrame, ReadError> {
        self.table("set-aside.parquet")
    }

    fn table(&self, name: &str) -> Result<LazyFrame, ReadError> {
        let path = PlRefPath::try_from_pathbuf(self.folder.join(name)).map_err(self.unreadable())?;
        // A folder may be called what a pattern would look like.
        let plain = ScanArgsParquet {
            glob: false,
            ..ScanArgsParquet::default()
        };
        LazyFrame::scan_parquet(path, plain).map_err(self.unreadable())
    }

    /// The rows a question about the offers comes to.
    pub fn answer(&self, question: LazyFrame) -> Result<Vec<CrossrefRow>, ReadError> {
        question
            .collect()
            .and_then(|frame| crossref_rows(&frame))
            .map_err(self.unreadable())
    }

    /// The columns that a question selects, column by column, for answers over many rows.
    ///
    /// # Errors
    /// The run cannot be read.
    pub fn narrow(&self, question: LazyFrame) -> Result<NarrowTable, ReadError> {
        let mut frame = question.collect().map_err(self.unreadable())?;
        frame.rechunk_mut();
        Ok(NarrowTable::of(frame))
    }

    /// The entries of the index of numbers under any of these canonical forms.
    ///
    /// # Errors
    /// The index cannot be read.
    pub fn numbers_called(&self, canonical: &[&str]) -> Result<Vec<NumberRow>, ReadError> {
        let is = |form: &&str| col("canonical").eq(lit((*form).to_owned()));
        let Some(any) = canonical.iter().map(is).reduce(Expr::or) else {
            return Ok(Vec::new());
        };
        let question = self.table("numbers.parquet")?.filter(any);
        question
            .collect()
            .and_then(|frame| rows(&frame))
            .map_err(self.unreadable())
    }

    /// The canonical forms in the index of numbers that a test accepts, each once, sorted.
    ///
    /// # Errors
    /// The index cannot be read.
    pub fn numbers_like(&self, accepts: impl Fn(&str) -> bool + Sync) -> Result<Vec<String>, ReadError> {
        let table = self.narrow(self.table("numbers.parquet")?.select([col("canonical")]))?;
        let forms = table.texts("canonical");
        // the same form stands next to itself, the file being sorted
        let is_new = |at: usize| at == 0 || forms.get(at - 1) != forms.get(at);
        let found = (0..table.height())
            .into_par_iter()
            .with_min_len(FORMS_AT_ONCE)
            .filter(|at| accepts(forms.get(*at)) && is_new(*at))
            .map(|at| forms.get(at).to_owned());
        Ok(found.collect())
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

    fn unreadable(&self) -> impl FnOnce(PolarsError) -> ReadError {
        let folder = self.folder.clone();
        move |error| ReadError::Unreadable {
            folder,
            message: error.to_string(),
        }
    }
}

/// Offers of one fit group.
pub fn in_group(group_id: &str) -> Expr {
    col("group_id").eq(lit(group_id.to_owned()))
}

/// Offers of any of these fit groups, none without one.
pub fn in_groups(groups: &[&str]) -> Expr {
    let any = groups.iter().map(|group| in_group(group)).reduce(Expr::or);
    any.unwrap_or_else(|| lit(false))
}

/// Offers that carry one of these numbers, spelled as published, in any of [`NUMBER_COLUMNS`].
pub fn with_number(numbers: &[String]) -> Expr {
    let wanted = lit(polars::prelude::Series::new("numbers".into(), numbers)).implode(true);
    let carries = |name: &str| col(name).is_in(wanted.clone(), false).fill_null(lit(false));
    let [first, second, third] = NUMBER_COLUMNS;
    carries(first).or(carries(second)).or(carries(third))
}

/// Offers whose whole number in a column is one of these.
pub fn with_whole(name: &str, wanted: &[i64]) -> Expr {
    let wanted = lit(polars::prelude::Series::new("wanted".into(), wanted)).implode(true);
    col(name).is_in(wanted, false).fill_null(lit(false))
}

/// Offers at least so sure.
pub fn at_least(confidence: f64) -> Expr {
    col("confidence").gt_eq(lit(confidence))
}

/// Of each fit group the offer that is cheapest delivered; groups without a delivered price drop out.
/// Equal prices go by supplier, its number, file and line, as everywhere.
pub fn cheapest_per_group(offers: LazyFrame) -> LazyFrame {
    let order = [
        "group_id",
        "landed_price",
        "supplier",
        "supplier_sku",
        "source_file",
        "source_line",
    ];
    offers
        .filter(col("landed_price").is_not_null().and(col("group_id").is_not_null()))
        .sort_by_exprs(order.map(col), SortMultipleOptions::default().with_maintain_order(true))
        .unique_stable_generic(Some(vec![col("group_id")]), UniqueKeepStrategy::First)
}

/// The rows of a frame with the cross-reference's columns; columns it lacks are missing values.
pub fn crossref_rows(frame: &DataFrame) -> Result<Vec<CrossrefRow>, PolarsError> {
    rows(frame)
}

/// The rows a question about the links comes to.
///
/// # Errors
/// The run cannot be read.
pub fn link_rows(run: &FinishedRun, question: LazyFrame) -> Result<Vec<LinkRow>, ReadError> {
    question
        .collect()
        .and_then(|frame| rows(&frame))
        .map_err(run.unreadable())
}

/// The rows a question about the prices comes to.
///
/// # Errors
/// The run cannot be read.
pub fn price_rows(run: &FinishedRun, question: LazyFrame) -> Result<Vec<PriceRow>, ReadError> {
    question
        .collect()
        .and_then(|frame| rows(&frame))
        .map_err(run.unreadable())
}

/// The rows a question about the lines set aside comes to.
///
/// # Errors
/// The run cannot be read.
pub fn set_aside_rows(run: &FinishedRun, question: LazyFrame) -> Result<Vec<SetAsideRow>, ReadError> {
    question
        .collect()
        .and_then(|frame| rows(&frame))
        .map_err(run.unreadable())
}

fn rows<R: TableRow>(frame: &DataFrame) -> Result<Vec<R>, PolarsError> {
    let columns = R::COLUMNS
        .iter()
        .map(|column| typed(frame, column.name, column.of_type));
    let columns = columns.collect::<Result<Vec<_>, _>>()?;
    Ok((0..frame.height())
        .map(|row| R::from_cells(|at| columns[at].cell(row)))
        .collect())
}

/// A column of a frame under the type it was published with.
enum Typed<'a> {
    Absent,
    Text(&'a polars::prelude::StringChunked),
    Whole(&'a polars::prelude::Int64Chunked),
    Number(&'a polars::prelude::Float64Chunked),
    Money(&'a polars::prelude::Float64Chunked),
}

fn typed<'a>(frame: &'a DataFrame, name: &str, of_type: ColumnType) -> Result<Typed<'a>, PolarsError> {
    let Ok(column): Result<&Column, _> = frame.column(name) else {
        return Ok(Typed::Absent);
    };
    Ok(match of_type {
        ColumnType::Text => Typed::Text(column.str()?),
        ColumnType::Whole => Typed::Whole(column.i64()?),
        ColumnType::Number { .. } | ColumnType::Probability => Typed::Number(column.f64()?),
        ColumnType::Money => Typed::Money(column.f64()?),
    })
}

impl Typed<'_> {
    fn cell(&self, row: usize) -> Cell<'_> {
        let cell = match self {
            Self::Absent => None,
            Self::Text(texts) => texts.get(row).map(Cell::Text),
            Self::Whole(wholes) => wholes.get(row).and_then(|whole| whole.try_into().ok()).map(Cell::Whole),
            Self::Number(numbers) => numbers.get(row).map(Cell::Number),
            Self::Money(numbers) => numbers.get(row).and_then(exact_amount).map(Cell::Money),
        };
        cell.unwrap_or(Cell::Missing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::order::ordered;
    use crate::publish::sample::{small_facts, small_run};
    use crate::publish::write_run;
    use crate::trade::identifier::canonical_number;

    fn with_run(check: impl FnOnce(&FinishedRun)) {
        let home = tempfile::tempdir().unwrap();
        let out = home.path().join("out [1]*");
        write_run(&out, &small_run(), &small_facts()).unwrap();
        check(&open_run(&out).unwrap());
    }

    fn skus(rows: &[CrossrefRow]) -> Vec<&str> {
        rows.iter().map(|row| row.supplier_sku.as_str()).collect()
    }

    #[test]
    fn every_offer_comes_back_as_it_was_published() {
        with_run(|run| {
            let tables = small_run();
            let published: Vec<CrossrefRow> = ordered(&tables).crossref.into_iter().cloned().collect();
            assert_eq!(run.answer(run.offers().unwrap()).unwrap(), published);
        });
    }

    #[test]
    fn a_number_is_found_in_whichever_column_it_stands() {
        with_run(|run| {
            let find = |number: &str| {
                let question = run.offers().unwrap().filter(with_number(&[number.to_owned()]));
                skus(&run.answer(question).unwrap())
                    .into_iter()
                    .map(str::to_owned)
                    .collect::<Vec<_>>()
            };
            assert_eq!(find("0012"), ["0012"]);
            assert_eq!(find("04006381333931"), ["0012"]);
            assert_eq!(find("007-1200"), ["+1E5", "0012"]);
            assert!(find("absent").is_empty());
        });
    }

    #[test]
    fn a_number_is_found_by_its_canonical_form() {
        with_run(|run| {
            let form = canonical_number("007 1200");
            let found = run.numbers_called(&[&form]).unwrap();
            assert_eq!(found.len(), 1);
            assert_eq!(
                (&*found[0].number, &*found[0].place, &*found[0].group_id),
                ("007-1200", "number", "G1")
            );
            assert!(run.numbers_called(&["absent"]).unwrap().is_empty());
            assert_eq!(
                run.numbers_like(|form| form == &*canonical_number("0012"))
                    .unwrap()
                    .len(),
                1
            );
        });
    }

    #[test]
    fn the_cheapest_of_a_group_is_one_offer_and_sure_enough() {
        with_run(|run| {
            let sure = run.offers().unwrap().filter(in_group("G1").and(at_least(0.9)));
            assert_eq!(skus(&run.answer(cheapest_per_group(sure)).unwrap()), ["+1E5"]);
            let any = run.offers().unwrap();
            // Both cost the same; the supplier's number decides.
            assert_eq!(skus(&run.answer(cheapest_per_group(any)).unwrap()), ["+1E5"]);
        });
    }

    #[test]
    fn a_folder_that_is_no_run_is_named() {
        let home = tempfile::tempdir().unwrap();
        let error = open_run(home.path()).unwrap_err();
        assert!(error.to_string().contains("is not a samefit run"));
    }
}
