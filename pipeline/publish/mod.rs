//! 5. fit groups -> files: what a run leaves behind.
//!
//! A *run* is a folder with the tables of one build, written in full beside its final place, checked,
//! synced and swapped in at once. Readers see the old run or the new one, never a mix; a run that fails
//! leaves the old one standing.
//!
//! The files: `crossref.csv` and `.parquet` (one row per offer), `crossref.xlsx` (the same for people),
//! `links.parquet`, `groups.csv`, `products.csv`, `set-aside.csv`, `rejects.csv`, `suppliers.csv`,
//! `track-records.csv`, `review.csv` (questions for a person), `report.html`, `datapackage.json` and `run.json`. A run
//! that follows earlier ones also has `changes.csv` and `.json`, `ids.csv` and `prices.parquet`. The same rows give the
//! same bytes in all of them
//! but `run.json`, which holds timings.

pub mod column;
mod csv_table;
pub mod error;
pub mod facts;
mod fresh;
mod gave_up;
pub mod json_table;
mod manifest;
pub mod nightly_tables;
pub mod number_index;
mod order;
mod package;
mod parquet_table;
pub mod place;
pub mod plan_folder;
mod policy;
pub mod read;
mod reconcile;
mod report;
#[cfg(test)]
mod sample;
pub mod schema;
pub mod scores;
pub mod sheet;
pub mod single;
pub mod tables;
pub mod terminal;
mod workbook;
mod write;

pub use error::{FaultKind, PublishError};
pub use facts::{Chain, InputFact, RunFacts, StageTime};
pub use manifest::RUN_FILE;
pub use nightly_tables::{ChangeRow, IdRow, PriceRow};
pub use parquet_table::MANIFEST_KEY;
pub use place::{Place, check_place, standing_run};
pub use read::{FinishedRun, ReadError, open_run};
pub use tables::{
    CrossrefRow, GroupRow, LinkRow, NumberRow, ProductRow, RejectRow, ReviewRow, RunTables, SetAsideRow, SupplierRow,
    TrackRecordRow,
};
pub use write::{Published, write_claimed, write_run};
