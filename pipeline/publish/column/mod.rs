//! What every published table has in common: columns with a name, a type and a meaning, and rows that
//! hand out one typed cell per column.
//!
//! A *cell* is one value on its way to a file. The CSV, Parquet and workbook writers and the table
//! schemas all read the same columns and cells, so that a column cannot be called one thing in one
//! file and another in the next. [`table!`](crate::publish::column::table) writes the row struct and
//! its columns from one list; the doc comment of a field is its description in the published schema.
//!
//! Rules, with their numbers:
//! - an empty text and a missing value are the same thing, and print as nothing
//! - numbers print with a fixed count of decimals, a point, and no grouping, whatever the locale
//! - money prints with two to four decimals ([`MONEY_DECIMALS`])
//!
//! Order inside the folder, lowest first: `columns`; `as_cell` and `printing`; `table_macro`.

mod as_cell;
mod columns;
mod printing;
mod table_macro;

pub use as_cell::AsCell;
pub use columns::{Cell, Column, ColumnType, Presence, TableRow};
pub use printing::{MONEY_DECIMALS, decimals, money, print, printed, rounded, settled};
pub(crate) use table_macro::table;

#[cfg(test)]
mod tests;
