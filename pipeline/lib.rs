//! samefit: from a folder of vendor lists to one cross-reference of what is the same part, what
//! interchanges, how sure that is and what it costs delivered.
//!
//! The stages, in the order in which data flows; each imports only from those above it:
//!
//! 0. `trade`      facts with their sources; no input, no output
//! 1. `intake`     files -> rows
//! 2. `normalise`  rows -> offers, with claims
//! 3. `link`       offers -> products, the very same made part
//! 4. `fit`        products -> fit groups, what interchanges
//! 5. `publish`    the run as files, whole or not at all
//! 6. `refresh`    the nightly run: what stands, what changed, ids that last
//! 7. `shop`       landed price, what to measure, finding it again
//! 8. `command`    what was typed -> what it means

#![cfg_attr(test, allow(clippy::disallowed_methods, clippy::disallowed_macros))]

pub mod command;
pub mod fit;
pub mod intake;
pub mod link;
pub mod normalise;
pub mod publish;
pub mod refresh;
pub mod shop;
pub mod trade;
