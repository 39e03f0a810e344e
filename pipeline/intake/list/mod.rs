//! What is known of one list before its rows are read (`ListHead`) and what became of its lines afterwards
//! (`ListAccount`). A *list* is one table: a text file, one member of an archive, or one sheet of a workbook.
//!
//! The account always balances: read = rows handed on + rejected + layout lines, counted in records, where a quoted
//! record over three physical lines counts once and a blank line counts once.
//!
//! Order inside the folder, lowest first: `gutters`, `writing` and `note`, `head`, `account`.

mod account;
mod gutters;
mod head;
mod note;
mod writing;

pub use account::{LayoutCounts, ListAccount};
pub use gutters::Gutters;
pub(crate) use gutters::is_ruler;
pub use head::{ColumnMap, ListHead, MappedBy};
pub use note::Note;
pub use writing::{Delimiter, DialectGuess, EncodingGuess, EncodingSource, Escape, LineEnd};
