//! What an answer to a need consists of, and what restricts it.

use super::matching::Match;
use super::numbers::NumberFound;
use super::repair::Repair;
use super::shelf::{Counter, Offered};
use crate::normalise::kind::KindId;
use crate::publish::GroupRow;
use compact_str::CompactString;

/// Share from which the leading group is called settled.
pub const SETTLED: f64 = 0.8;

/// What restricts the offers shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// confidence from which an offer is sure enough
    pub min_confidence: f64,
    /// only this supplier, by a part of its name
    pub supplier: Option<String>,
    /// only what is promised within so many days
    pub deliver_within: Option<u16>,
    /// whether it must be in stock
    pub stock: StockWanted,
    /// pieces wanted; offers are ranked by what ordering that many costs delivered
    pub quantity: u32,
    /// most offers per list
    pub most: usize,
}

/// Whether only offers in stock are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StockWanted {
    /// whether or not
    Any,
    /// in stock, as many as are wanted
    InStock,
}

/// The answer to a need.
#[derive(Debug)]
pub struct Answer {
    /// numbers that were looked up
    pub numbers: Vec<NumberFound>,
    /// engine codes asked for that no group of the run serves
    pub unknown_codes: Vec<CompactString>,
    /// one per kind of part
    pub sections: Vec<Section>,
    /// the fit groups of the run
    pub groups: Vec<GroupRow>,
    /// the terms of the run
    pub counter: Counter,
}

/// Offers in the order of a list, as many as are shown.
#[derive(Clone, Debug, Default)]
pub struct OfferList {
    /// the first of them
    pub shown: Vec<Offered>,
    /// how many there are in all
    pub in_all: usize,
}

/// Offers of the leading group that a filter took away.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// of another supplier
    pub supplier: usize,
    /// promised later than asked
    pub late: usize,
    /// without a promised time
    pub time_unknown: usize,
    /// not in stock, or not as many
    pub not_there: usize,
    /// without a word on stock
    pub stock_unknown: usize,
}

/// The answer for one kind of part.
#[derive(Debug)]
pub struct Section {
    /// kind
    pub kind: KindId,
    /// the group that answers best
    pub lead: Option<Match>,
    /// other groups that are still possible, most probable first
    pub possible: Vec<Match>,
    /// what would tell the lead and the other possible groups apart
    pub tells_apart: Vec<String>,
    /// the group that comes nearest, when none answers
    pub nearest: Option<Match>,
    /// offers of the very part whose number was asked for, sure ones first
    pub very: OfferList,
    /// offers of the lead that are sure enough, cheapest delivered first, the very part among them
    pub sure: OfferList,
    /// those of them that are not the very part
    pub in_its_place: OfferList,
    /// the lead's other offers, surest first
    pub doubtful: OfferList,
    /// what the filters took away
    pub left_out: LeftOut,
    /// offers of assemblies that answer the need as well
    pub covering: Option<Covering>,
    /// the cheapest repair instead of a whole part
    pub repair: Option<Repair>,
}

/// Assemblies that answer a need for a starter or a shroud.
#[derive(Debug)]
pub struct Covering {
    /// groups they stand in
    pub groups: Vec<CompactString>,
    /// sure offers, cheapest delivered first
    pub offers: OfferList,
    /// how the cheapest stands to the cheapest part of the kind asked for
    pub price: Compared,
}

/// How two cheapest prices compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compared {
    /// the assembly costs less
    Cheaper,
    /// the assembly costs no less
    NotCheaper,
    /// there is no sure offer of the part itself
    NothingElse,
    /// one of them has no delivered price
    NotKnown,
}
