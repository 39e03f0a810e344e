//! Rows of the questions for a person.

use super::super::column::ColumnType::{Number, Probability, Text, Whole};
use super::super::column::table;
use compact_str::CompactString;
use std::sync::Arc;

table! {
    /// One row per question that a person can settle, the one worth most first; filled in, it is given back.
    "review" => struct ReviewRow {
        /// What a decision is worth: expected rows put right, counted up to four times as prices lie apart
        worth: f64 => Number { decimals: 3 }, Always;
        /// The question, in words
        asked: CompactString => Text, Always;
        /// The offer asked about, with its price
        this_offer: String => Text, Always;
        /// The other offer, or the fit group, with its price
        that: String => Text, Always;
        /// Probability, as far as the lists tell, that the answer is yes
        probability: f64 => Probability, Always;
        /// What speaks for a yes, the strongest first
        speaks_for: String => Text, WhenKnown;
        /// What speaks against it
        speaks_against: String => Text, WhenKnown;
        /// What to measure or ask, with the tool
        measure_first: String => Text, WhenKnown;
        /// To be filled in: same, different, fits, does not fit or wrong claim
        decision: CompactString => Text, WhenKnown;
        /// To be filled in: why, for whoever reads it later
        note: String => Text, WhenKnown;
        /// To be filled in: the day
        decided_on: CompactString => Text, WhenKnown;
        /// The claim meant by `wrong claim`: the one that speaks most against
        claim: String => Text, WhenKnown;
        /// Durable name of the offer asked about
        offer_a: String => Text, Always;
        /// Durable name of the other offer; of a fit group up to three that stand in it, joined by |
        offer_b: String => Text, Always;
        /// Fit group asked about
        group_id: CompactString => Text, WhenKnown;
        /// File of the offer asked about
        source_file: Arc<str> => Text, Always;
        /// Its line
        source_line: u32 => Whole, Always;
    }
}
