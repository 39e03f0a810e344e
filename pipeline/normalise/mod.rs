//! Stage 2, rows to offers: what a line sells, what it states, its numbers and its price.
//!
//! Every statement becomes a claim with an interval or a set and the words it came from; an unsure reading stays a
//! set, and an unsure kind stays a probability. A row becomes exactly one line: an offer, set aside with the name of
//! what it is, or rejected with its problem. Nothing is compared with other rows, and nothing is guessed in silence.
//!
//! Order inside the folder, lowest first: `claim`, `kind`, `offer` (what comes out); `markup`, `tokens`; `vocabulary`
//! (the files of `schemas/`, compiled); `scan` (a text read once); `phrases`, `mentions`, `mending`, `whole` and
//! `kind_model` (what is sold); `line_reading`, `engine_claims`, `text_claims`, `columns`, `sizes` (what is stated);
//! `row_columns`, `chunks`, `numbers`, `price`, `terms`; `normaliser` (a row), `list_read` (a whole list) and `text` (a
//! free text).

pub mod claim;
pub mod kind;
pub mod list_read;
pub mod normaliser;
pub mod offer;
pub mod text;
pub mod vocabulary;

mod chunks;
mod columns;
mod engine_claims;
mod kind_model;
mod line_reading;
mod markup;
mod mending;
mod mentions;
mod numbers;
mod phrases;
mod price;
mod row_columns;
mod scan;
mod sizes;
mod terms;
mod text_claims;
mod tokens;
mod whole;

pub use claim::{Attribute, Claim, Provenance, Value};
pub use kind::{KindId, KindReading};
pub use list_read::{Gathered, ListRead};
pub use normaliser::{Normaliser, Scope};
pub use offer::{Barcode, Flag, Line, NumberRole, Offer, PartNumber, Price, PriceBreak, SetAside, Terms};
pub use text::{Reading, read_text};
pub use vocabulary::Vocabulary;

#[cfg(test)]
mod column_claim_tests;
#[cfg(test)]
mod kind_tests;
#[cfg(test)]
mod label_tests;
#[cfg(test)]
mod line_tests;
#[cfg(test)]
mod number_tests;
#[cfg(test)]
mod price_tests;
#[cfg(test)]
pub(crate) mod test_rows;
#[cfg(test)]
mod title_claim_tests;
