//! The offers of groups: filtered, cheapest first, and what is shown of them in full.

use super::at_hand::Desk;
use crate::publish::ReadError;
use crate::shop::answer::{LeftOut, OfferList, Section, StockWanted};
use crate::shop::filter::passing;
use crate::shop::shelf::{Candidate, Shelf, cheapest_first};
use rayon::prelude::*;

impl Desk<'_> {
    /// Lists the offers of the leading group.
    pub(super) fn put_offers(&self, section: &mut Section) -> Result<(), ReadError> {
        let Some(lead) = &section.lead else { return Ok(()) };
        let shelf = self.shelf(&[&self.groups[lead.group].group_id])?;
        let offers = self.passing(&shelf, &mut section.left_out);
        let is_sure = |offer: &&Candidate| offer.confidence >= self.limits.min_confidence;
        let products = shelf.texts("product_id");
        let is_named = |offer: &&Candidate| !self.products.is_empty() && self.products.contains(products.get(offer.at));
        let mut doubtful: Vec<&Candidate> = offers.iter().filter(|offer| !is_sure(offer)).collect();
        doubtful.sort_by(|x, y| y.confidence.total_cmp(&x.confidence));
        let sure = || offers.iter().filter(is_sure);
        let doubtful = || doubtful.iter().copied();
        let others = |offer: &&Candidate| !is_named(offer);
        let picks = [
            self.pick(sure().filter(is_named).chain(doubtful().filter(is_named))),
            self.pick(sure()),
            self.pick(sure().filter(others)),
            self.pick(doubtful().filter(others)),
        ];
        let [very, sure, in_its_place, doubtful] = self.show(&shelf, picks)?;
        section.very = very;
        section.sure = sure;
        section.in_its_place = in_its_place;
        section.doubtful = doubtful;
        Ok(())
    }

    /// What stands in these groups, with the columns that the filters ask.
    pub(super) fn shelf(&self, groups: &[&str]) -> Result<Shelf, ReadError> {
        let asked = [
            (!self.products.is_empty(), "product_id"),
            (self.limits.supplier.is_some(), "supplier"),
            (self.limits.deliver_within.is_some(), "lead_time_days"),
            (self.limits.stock == StockWanted::InStock, "stock"),
        ];
        let further: Vec<&str> = asked
            .iter()
            .filter(|(asked, _)| *asked)
            .map(|(_, name)| *name)
            .collect();
        Shelf::read(self.run, groups, self.limits.quantity, &further)
    }

    /// The offers that pass the filters, cheapest first.
    pub(super) fn passing(&self, shelf: &Shelf, left_out: &mut LeftOut) -> Vec<Candidate> {
        let mut offers = shelf.candidates(self.counter, passing(shelf, self.limits, left_out));
        offers.par_sort_unstable_by(cheapest_first);
        offers
    }

    /// The first of a list, and how many there are.
    pub(super) fn pick<'o>(&self, offers: impl Iterator<Item = &'o Candidate>) -> (Vec<Candidate>, usize) {
        let (mut shown, mut in_all) = (Vec::new(), 0);
        for offer in offers {
            if shown.len() < self.limits.most {
                shown.push(*offer);
            }
            in_all += 1;
        }
        (shown, in_all)
    }

    /// Reads what is shown in full, each offer once.
    pub(super) fn show<const LISTS: usize>(
        &self,
        shelf: &Shelf,
        picks: [(Vec<Candidate>, usize); LISTS],
    ) -> Result<[OfferList; LISTS], ReadError> {
        let mut all: Vec<Candidate> = picks.iter().flat_map(|(shown, _)| shown).copied().collect();
        all.sort_by_key(|offer| offer.at);
        all.dedup_by_key(|offer| offer.at);
        let whole = shelf.whole_rows(self.run, self.counter, &all)?;
        Ok(picks.map(|(shown, in_all)| OfferList {
            shown: shown.iter().filter_map(|offer| whole.get(&offer.at).cloned()).collect(),
            in_all,
        }))
    }
}
