//! Stage 1, files to rows. Whatever a supplier sends becomes rows of text cells with known columns, and every line of it is
//! accounted for: handed on, rejected with a reason, or counted as layout.
//!
//! The order of the steps:
//!
//!  1. `inputs`     paths given -> files, in an order that depends on names alone
//!  2. `container`  type by content; gzip, zstd and zip opened under the caps of `limits`
//!  3. `encoding`   byte order mark, else detection -> UTF-8, bad bytes marked with their offset
//!  4. `dialect`    delimiter, quote, escape by whole-table consistency over a sample
//!  5. `layout`     preamble, header rows, units row, first line of the table
//!  6. `profile`    a user's word overrides 3 to 5; `metadata` beside the file comes next, guesses last
//!  7. `columns`    `header_words` and values -> fields; `statements` hears what the text around the table says of prices, a
//!     `price_sentence` at a time, by `statement_words`; `disagreement` tells where 6 and the list differ
//!  8. `split`      text -> records with spans, one pass, no string per cell
//!  9. `judge`      each record -> row, repaired row, layout line or reject
//! 10. `rows`       batches handed on
//!
//! `workbook` does 3 to 9 for .xlsx. `reader` drives the steps; `tidy` and `onboard` are two uses of it. Intake says
//! which column is which; it does not say what a cell means.

mod cellclass;
mod columns;
mod container;
mod decode;
mod dialect;
mod disagreement;
mod encoding;
#[cfg(test)]
mod fault_tests;
pub mod field;
mod header_words;
pub mod inputs;
mod judge;
mod layout;
pub mod limits;
pub mod list;
mod metadata;
mod model;
pub mod onboard;
mod opening;
mod price_sentence;
pub mod problem;
pub mod profile;
pub mod reader;
mod recognise;
mod repair;
pub mod rows;
pub mod small_table;
mod split;
mod statement_words;
pub mod statements;
mod survey;
mod text;
pub mod tidy;
mod workbook;

pub use field::Field;
pub use inputs::{InputError, InputFile, find_inputs};
pub use limits::Limits;
pub use list::{
    ColumnMap, Delimiter, DialectGuess, EncodingGuess, EncodingSource, Escape, LayoutCounts, LineEnd, ListAccount,
    ListHead, MappedBy, Note,
};
pub use problem::{FileFailure, Problem, Reject};
pub use profile::{Profile, ProfileError, Profiles};
pub use reader::{ListReader, Use, read_file};
pub use rows::{Row, RowBatch};
pub use statements::{StatedAt, Statements};
