//! Stage 3: offers -> products, the very same made part under many names.
//!
//! The order of the steps, written once; `linking` takes them:
//! 1. `offers`, `record_text`, `records`  what of an offer can be compared: words, numbers, barcode, price, weight, hard
//!    claims; `words` and `measures` read its texts
//!    `spelling` how each list spells part numbers, and what its numbers are; `house_prefix` and `title_numbers` find them in
//!    other dress
//! 2. `blocks`   pairs worth comparing, by several keys, each capped and counted; `nearest` finds them by words
//! 3. `opposites` words that take each other's place, learned from lines of one list that look alike
//!    `pairs`    all pairs, side by side
//!    `compare`  one pair -> one `comparison`, a level per field; `titles`, `number_levels` and `claim_levels` look at
//!    words, numbers and hard claims, `further` at titles and further texts together
//! 4. `teaching` what all pairs teach, in turns:
//!    `sample`   whole neighbourhoods to learn on, where there are very many pairs
//!    `telling`  what a word tells that only one of two titles has
//!    `weights`  what a level is worth: Fellegi-Sunter m and u
//!    `start`, `learning`, `trust` first labels, rounds of weights and probabilities, how far a field counts
//!    `priors`   how likely a pair is before looking at it, settled with the rivals; `logistic` beneath them
//!    `anchors`, `identifiers` in lists of parts: pairs whose identifiers answer teach words, and barcodes and numbers each
//!    other
//! 5. `places`   list and item of each record
//!    `rivals`   a pair scored against the other candidates of both sides, list by list; `contests` takes the pairs apart,
//!    `messages` settles them
//!    `repeats`  how often a list repeats itself, which decides how far rivals exclude each other
//! 6. `cluster`  pairs -> products, under constraints (`identity`), chains cut at their weakest link
//!    `thirds`   pairs of one product seen through a third record
//!    `products` what comes out: products, links and counts
//!
//! A *product* is one made part; two products that bolt on in place of each other are the
//! business of the fit stage, not of this one. Nothing here reads a file or knows a brand.

mod anchors;
pub mod blocks;
mod claim_levels;
pub mod cluster;
pub mod compare;
pub mod comparison;
mod contests;
mod further;
mod house_prefix;
mod identifiers;
mod identity;
pub mod learning;
pub mod linking;
mod logistic;
mod measures;
mod messages;
pub mod nearest;
pub mod number_levels;
pub mod offers;
pub mod opposites;
mod pairs;
mod places;
mod priors;
pub mod products;
pub mod record_text;
pub mod records;
pub mod repeats;
pub mod rivals;
pub mod sample;
pub mod spelling;
mod start;
mod teaching;
pub mod telling;
pub mod thirds;
mod title_numbers;
mod titles;
mod trust;
pub mod weights;
pub mod words;

pub use linking::link_records;
pub use offers::link_offers;
pub use products::{Link, LinkCounts, LinkSettings, Products};

#[cfg(test)]
mod property_tests;
#[cfg(test)]
mod worst_case_tests;
