//! A person decides what the lists leave open: doubtful links and offers go out as a sheet, decisions come back.
//!
//! The order of the steps, written once:
//! 1. `small_table` (of `intake`), `load`   a sheet that was filled in, or a list by hand -> decisions
//! 2. `names`            durable names -> the offers of this run
//! 3. `contradictions`   decisions that cannot all be true; none of them is applied
//! 4. `resolve`          what stands -> words for `link` and `fit`, wrong claims left out
//! 5. `worth`, `questions`  after the stages: what to ask next, the question worth most first
//! 6. `agreement`        decisions against a finished run: how true its probabilities were
//!
//! A *decision* is one of five words on one or two offers; it wins over the model and teaches it. Nothing here changes
//! a decisions file, and no decision is forgotten because its offer is gone tonight.

pub mod agreement;
mod contradictions;
pub mod decision;
mod load;
pub mod names;
pub mod questions;
mod resolve;
mod sheet_words;
#[cfg(test)]
mod test_offers;
mod worth;
mod wrong_claim;

pub use decision::{Answer, Decision, FilePlace, Warning, WarningSort};
pub use load::{Decisions, DecisionsError};
pub use resolve::{Resolved, Standing};
