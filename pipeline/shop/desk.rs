//! The desk: how a need is answered for one kind of part from the tables of a run.
//!
//! The group that answers best leads; its offers are listed, the sure ones apart from the doubtful ones, and beside them
//! stand the assemblies that cover it and the cheapest repair.

use super::answer::{Compared, Covering, LeftOut, Limits, OfferList, Section, StockWanted};
use super::filter::passing;
use super::judge::states;
use super::matching::{Match, Verdict, matches, tells_apart, weigh_again};
use super::need::Need;
use super::repair::{Repair, cheapest_repair};
use super::shelf::{Candidate, Counter, Shelf, cheapest_first};
use crate::normalise::kind::KindId;
use crate::publish::read::in_groups;
use crate::publish::{CrossrefRow, FinishedRun, GroupRow, ReadError};
use crate::trade::interval::Interval;
use rayon::prelude::*;
use rust_decimal::Decimal;
use rustc_hash::FxHashMap;
use std::collections::BTreeSet;

/// Share below which a group is not called possible.
const POSSIBLE: f64 = 0.02;
/// What is added to the count of lines that state a displacement, so that none at all leaves a little.
const UNSEEN: f64 = 0.1;

/// A need, and what is at hand to answer it for one kind of part after another.
pub(super) struct Desk<'a> {
    pub(super) run: &'a FinishedRun,
    pub(super) need: &'a Need,
    pub(super) limits: &'a Limits,
    pub(super) groups: &'a [GroupRow],
    /// groups that were named, or hold a part whose number was asked for
    pub(super) named: &'a [usize],
    /// products whose number was asked for
    pub(super) products: BTreeSet<&'a str>,
    pub(super) counter: &'a Counter,
}

impl Desk<'_> {
    /// Kinds to answer for: the one asked for, else those of the parts named, else every kind of the run.
    pub(super) fn kinds(&self) -> Vec<KindId> {
        if let Some(kind) = self.need.kind {
            return vec![kind];
        }
        let present = |kind: &KindId| {
            let mut places: Box<dyn Iterator<Item = usize>> = if self.named.is_empty() {
                Box::new(0..self.groups.len())
            } else {
                Box::new(self.named.iter().copied())
            };
            places.any(|at| is_of_kind(&self.groups[at], *kind))
        };
        KindId::IN_SCOPE.into_iter().filter(present).collect()
    }

    fn matches_of(&self, kind: KindId) -> Vec<Match> {
        let of_kind: Vec<(usize, &GroupRow)> = self.of_kind(kind).collect();
        // a starter's number says nothing about which assembly it is
        let named: Vec<usize> = self
            .named
            .iter()
            .copied()
            .filter(|at| is_of_kind(&self.groups[*at], kind))
            .collect();
        if named.is_empty() && !self.named.is_empty() && !self.need.states_engine_or_interface() {
            return Vec::new();
        }
        matches(self.need, &of_kind, &named)
    }

    /// The answer for one kind.
    ///
    /// # Errors
    /// The run cannot be read.
    pub(super) fn section(&self, kind: KindId) -> Result<Section, ReadError> {
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

    /// Lists the offers of the leading group.
    fn put_offers(&self, section: &mut Section) -> Result<(), ReadError> {
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

    fn shelf(&self, groups: &[&str]) -> Result<Shelf, ReadError> {
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
    fn passing(&self, shelf: &Shelf, left_out: &mut LeftOut) -> Vec<Candidate> {
        let mut offers = shelf.candidates(self.counter, passing(shelf, self.limits, left_out));
        offers.par_sort_unstable_by(cheapest_first);
        offers
    }

    /// The first of a list, and how many there are.
    fn pick<'o>(&self, offers: impl Iterator<Item = &'o Candidate>) -> (Vec<Candidate>, usize) {
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
    fn show<const LISTS: usize>(
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

    /// A band may owe its end to a few lines that are wrong or daring: of the groups still possible, the one whose
    /// offers state the displacement more often is the likelier.
    fn weigh_by_what_is_stated(&self, possible: &mut [Match]) -> Result<(), ReadError> {
        if possible.len() < 2 || self.need.displacement.is_empty() {
            return Ok(());
        }
        let ids: Vec<&str> = possible
            .iter()
            .map(|found| self.groups[found.group].group_id.as_str())
            .collect();
        let cells = self
            .run
            .offer_columns(&["group_id", "displacement_cc"], &in_groups(&ids))?;
        let (group_of, wordings) = (cells.texts("group_id"), cells.texts("displacement_cc"));
        // many lines say the same; each wording is read once a group
        let mut stated: FxHashMap<&str, FxHashMap<&str, u32>> = FxHashMap::default();
        for at in 0..cells.height() {
            let wording = wordings.get(at);
            if !wording.is_empty() {
                *stated.entry(group_of.get(at)).or_default().entry(wording).or_default() += 1;
            }
        }
        let none = FxHashMap::default();
        let likelihoods: Vec<f64> = ids
            .iter()
            .map(|id| {
                let stated = stated.get(id).unwrap_or(&none);
                let lines = f64::from(stated.values().sum::<u32>());
                let share = |asked: &Interval| {
                    let stating = stated.iter().filter(|(cell, _)| states(cell, *asked));
                    let count = f64::from(stating.map(|(_, lines)| *lines).sum::<u32>());
                    (count + UNSEEN) / (lines + 1.0)
                };
                self.need.displacement.iter().map(share).product()
            })
            .collect();
        weigh_again(possible, &likelihoods);
        Ok(())
    }

    /// Assemblies that cover the leading group; without one, assemblies that answer the facts themselves.
    fn covering(&self, section: &Section) -> Result<Option<Covering>, ReadError> {
        if section.kind == KindId::ASSEMBLY || !KindId::ASSEMBLY.covers(section.kind) {
            return Ok(None);
        }
        let groups: Vec<&GroupRow> = match &section.lead {
            Some(lead) => covering_groups(self.groups, &self.groups[lead.group].group_id),
            None => self
                .matches_of(KindId::ASSEMBLY)
                .iter()
                .find(|found| answers(found))
                .map(|found| &self.groups[found.group])
                .into_iter()
                .collect(),
        };
        let ids: Vec<&str> = groups.iter().map(|group| group.group_id.as_str()).collect();
        if ids.is_empty() {
            return Ok(None);
        }
        let shelf = self.shelf(&ids)?;
        let mut offers = self.passing(&shelf, &mut LeftOut::default());
        offers.retain(|offer| offer.confidence >= self.limits.min_confidence);
        if offers.is_empty() {
            return Ok(None);
        }
        let [offers] = self.show(&shelf, [self.pick(offers.iter())])?;
        let best = offers.shown.first().and_then(|offered| offered.delivered);
        let price = match (best, section.sure.shown.first().map(|part| part.delivered)) {
            (_, None) => Compared::NothingElse,
            (Some(assembly), Some(Some(part))) if assembly < part => Compared::Cheaper,
            (Some(_), Some(Some(_))) => Compared::NotCheaper,
            _ => Compared::NotKnown,
        };
        Ok(Some(Covering {
            groups: groups.iter().map(|group| group.group_id.clone()).collect(),
            offers,
            price,
        }))
    }

    /// The cheapest repair, where a starter is in question at all.
    fn repair(&self, section: &Section) -> Result<Option<Repair>, ReadError> {
        let Some(lead) = section.lead.as_ref().filter(|_| section.kind == KindId::RECOIL_STARTER) else {
            return Ok(None);
        };
        // a repair is held against one whole part, and where nothing is shown nothing is asked
        if lead.judged.is_empty() || self.limits.most == 0 {
            return Ok(None);
        }
        let whole = section.sure.shown.first().and_then(|offered| {
            let pieces = Decimal::from(self.limits.quantity.max(1));
            offered.delivered.and_then(|cost| cost.checked_div(pieces))
        });
        let starters: Vec<(usize, &GroupRow)> = self.of_kind(section.kind).collect();
        cheapest_repair(
            self.run,
            &starters,
            lead.group,
            whole.filter(|price| *price > Decimal::ZERO),
        )
    }

    fn of_kind(&self, kind: KindId) -> impl Iterator<Item = (usize, &GroupRow)> {
        self.groups
            .iter()
            .enumerate()
            .filter(move |(_, group)| is_of_kind(group, kind))
    }
}

/// A group answers when nothing hard excludes it and it agrees with something that was asked.
fn answers(found: &Match) -> bool {
    let says_something = |verdict: Verdict| matches!(verdict, Verdict::Agrees | Verdict::Open);
    !found.is_excluded() && (found.judged.is_empty() || found.judged.iter().any(|fact| says_something(fact.verdict)))
}

/// Assemblies whose parts answer a need for this group.
pub fn covering_groups<'g>(groups: &'g [GroupRow], id: &str) -> Vec<&'g GroupRow> {
    groups
        .iter()
        .filter(|group| group.covers_groups.split(';').any(|covered| covered == id))
        .collect()
}

/// The delivered price of one piece; one of zero is a gap in the list, not a gift.
pub fn delivered(row: &CrossrefRow) -> Option<Decimal> {
    row.landed_price.filter(|price| *price > Decimal::ZERO)
}

/// Whether a group is of a kind.
pub fn is_of_kind(group: &GroupRow, kind: KindId) -> bool {
    kind.fixed_name() == Some(group.part_kind.as_str())
}
