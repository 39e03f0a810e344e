//! The desk: how a need is answered for one kind of part from the tables of a run.
//!
//! The group that answers best leads; its offers are listed, the sure ones apart from the doubtful ones, and beside them
//! stand the assemblies that cover it and the cheapest repair.
//!
//! Order inside the folder, lowest first: `at_hand` (the groups of a run); `stated` and `offers`; `instead` (assemblies and
//! repairs).

mod at_hand;
mod instead;
mod offers;
mod stated;

pub(super) use at_hand::Desk;
pub use at_hand::is_of_kind;
pub use instead::covering_groups;

use super::answer::{LeftOut, OfferList, Section};
use super::matching::{Match, tells_apart};
use crate::normalise::kind::KindId;
use crate::publish::{CrossrefRow, GroupRow, ReadError};
use at_hand::answers;
use rust_decimal::Decimal;

/// Share below which a group is not called possible.
const POSSIBLE: f64 = 0.02;

impl Desk<'_> {
    /// The answer for one kind.
    ///
    /// # Errors
    /// The run cannot be read.
    pub(in crate::shop) fn section(&self, kind: KindId) -> Result<Section, ReadError> {
        let mut possible: Vec<Match> = Vec::new();
        let mut nearest = None;
        for found in self.matches_of(kind) {
            if answers(&found) && (found.share >= POSSIBLE || possible.is_empty()) {
                possible.push(found);
            } else if nearest.is_none() {
                nearest = Some(found);
            }
        }
        self.weigh_by_what_is_stated(&mut possible)?;
        possible.retain(|found| found.share >= POSSIBLE);
        let rows: Vec<&GroupRow> = possible.iter().map(|found| &self.groups[found.group]).collect();
        let tells_apart = tells_apart(&rows);
        let lead = (!possible.is_empty()).then(|| possible.remove(0));
        let mut section = Section {
            kind,
            nearest: nearest.filter(|_| lead.is_none()),
            lead,
            possible,
            tells_apart,
            very: OfferList::default(),
            sure: OfferList::default(),
            in_its_place: OfferList::default(),
            doubtful: OfferList::default(),
            left_out: LeftOut::default(),
            covering: None,
            repair: None,
        };
        self.put_offers(&mut section)?;
        section.covering = self.covering(&section)?;
        section.repair = self.repair(&section)?;
        Ok(section)
    }
}

/// The delivered price of one piece; one of zero is a gap in the list, not a gift.
pub fn delivered(row: &CrossrefRow) -> Option<Decimal> {
    row.landed_price.filter(|price| *price > Decimal::ZERO)
}
