//! From mentions and claims to a kind with its probability: an additive log-odds model.
//!
//! The score of a kind is its prior plus, for every word that names it, weight x factor of the place x factor of the
//! field; two kinds named together may make a third (shroud and starter make an assembly); cues and other claims of
//! the line settle between kinds that are already named. Probabilities are the softmax over the kinds named and
//! "unclear". Every number comes from `schemas/`.
//!
//! Order inside the folder, lowest first: `scores` (what is collected), `places` (what a word weighs), `fields` (the words
//! of a field), `settling` (the probabilities).

mod fields;
mod places;
mod scores;
mod settling;

pub use scores::KindScores;
