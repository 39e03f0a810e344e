//! What the shop makes of a cross-reference: what a part costs delivered, what to measure before
//! ordering, which offer to take, and finding it all again at the bench.
//!
//! - `rates`      exchange rates of a dated file
//! - `landed`     delivered cost of one piece, and what is missing from it
//! - `measure`    the one measurement or fact that would settle most
//! - `ids`        names of groups and products that depend on their members alone
//! - `crossref`   the finished stages as the rows that are published
//!
//! Nothing here decides what fits; it reads what `link` and `fit` decided.

pub mod crossref;
pub mod ids;
pub mod landed;
pub mod measure;
pub mod rates;
