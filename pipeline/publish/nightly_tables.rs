//! The rows of the tables that only a run with an earlier run behind it has: what changed, what was paid when, and what
//! became of ids.
//!
//! These tables may hold dates; the others never do. A *change* is one thing a buyer might act on, with what it is worth
//! a piece; a *price row* stands where an offer's price began to hold and says nothing of the nights on which it stayed.

use std::sync::Arc;

use compact_str::CompactString;
use rust_decimal::Decimal;

use super::column::ColumnType::{Money, Text, Whole};
use super::column::table;

table! {
    /// One row per thing that changed since the run published before, worth most first.
    "changes" => struct ChangeRow {
        /// What changed: new, gone, back, repriced, moved, surer, less-sure, superseded, held, accepted
        change: CompactString => Text, Always;
        /// Supplier
        supplier: Arc<str> => Text, WhenKnown;
        /// The supplier's own number for the line
        supplier_sku: CompactString => Text, WhenKnown;
        /// Fit group it concerns
        group_id: CompactString => Text, WhenKnown;
        /// Product it concerns
        product_id: CompactString => Text, WhenKnown;
        /// The supplier's wording, or the group's name
        description: String => Text, WhenKnown;
        /// What held before
        before: CompactString => Text, WhenKnown;
        /// What holds now
        after: CompactString => Text, WhenKnown;
        /// What it is worth to the shop a piece in the home currency; above zero a saving, below zero a loss
        worth: Option<Decimal> => Money, WhenKnown;
        /// The change in a sentence
        words: String => Text, Always;
    }
}

table! {
    /// One row per offer and price: the night from which the price held.
    "prices" => struct PriceRow {
        /// Supplier
        supplier: Arc<str> => Text, Always;
        /// The supplier's own number for the line
        supplier_sku: CompactString => Text, WhenKnown;
        /// What names the offer when the supplier gives it no number of its own, and tells packs of one number apart
        offer: CompactString => Text, WhenKnown;
        /// First date on which the price was seen, YYYY-MM-DD
        since: CompactString => Text, Always;
        /// Price of one piece in the supplier's currency; none where the offer was gone or unpriced
        unit_price: Option<Decimal> => Money, WhenKnown;
        /// ISO 4217 code of the price
        currency: CompactString => Text, WhenKnown;
        /// Whether the offer was listed: listed or gone
        state: CompactString => Text, Always;
    }
}

table! {
    /// One row per id that was born, ended, split or merged after the first run.
    "ids" => struct IdRow {
        /// Date of the run, YYYY-MM-DD
        date: CompactString => Text, Always;
        /// What the id names: group or product
        names: CompactString => Text, Always;
        /// What happened: born, split, merged, ended
        event: CompactString => Text, Always;
        /// The id
        id: CompactString => Text, Always;
        /// The id it came from, or went into
        other_id: CompactString => Text, WhenKnown;
        /// Offers that went that way
        offers: u32 => Whole, Always;
        /// Why, in words
        reason: String => Text, Always;
    }
}
