//! Finding a part again: a need, answered from a finished run with the offers that meet it.
//!
//! Per kind of part that may be meant: the fit group that answers best leads, the others that are still
//! possible stand beside it with what tells them apart. Of the leading group the offers that are sure
//! enough come cheapest first, the doubtful ones apart. An assembly answers a need for a starter or a
//! shroud too; a starter never answers a need for a shroud.

use super::judge::states;
use super::matching::{Match, Verdict, matches, serves, tells_apart, weigh_again};
use super::need::Need;
use super::numbers::{NumberFound, Reach, look_up};
use super::run_tables::rows_of;
use crate::normalise::kind::KindId;
use crate::publish::read::in_group;
use crate::publish::{CrossrefRow, FinishedRun, GroupRow, ReadError};
use crate::trade::interval::Interval;
use compact_str::CompactString;
use polars::prelude::{Expr, col, lit};
use rust_decimal::Decimal;
use std::cmp::Ordering;

/// Share below which a group is not called possible.
const POSSIBLE: f64 = 0.02;
/// What is added to the count of lines that state a displacement, so that none at all leaves a little.
const UNSEEN: f64 = 0.1;
/// Share from which the leading group is called settled.
pub const SETTLED: f64 = 0.8;

/// What restricts the offers shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// confidence from which an offer is sure enough
    pub min_confidence: f64,
    /// only this supplier, by a part of its name
    pub supplier: Option<String>,
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
    /// offers of the lead that are sure enough, cheapest delivered first
    pub sure: Vec<CrossrefRow>,
    /// its other offers, surest first
    pub doubtful: Vec<CrossrefRow>,
    /// offers of assemblies that answer the need as well
    pub covering: Option<Covering>,
}

/// Assemblies that answer a need for a starter or a shroud.
#[derive(Debug)]
pub struct Covering {
    /// groups they stand in
    pub groups: Vec<CompactString>,
    /// sure offers, cheapest delivered first
    pub offers: Vec<CrossrefRow>,
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

/// Answers a need.
///
/// # Errors
/// The run cannot be read.
pub fn find(run: &FinishedRun, need: &Need, limits: &Limits) -> Result<Answer, ReadError> {
    let groups: Vec<GroupRow> = rows_of(run)?;
    let numbers = look_up_all(run, need)?;
    let carrying: Vec<&CrossrefRow> = numbers.iter().flat_map(|number| &number.offers).collect();
    let named: Vec<usize> = (0..groups.len())
        .filter(|at| carrying.iter().any(|row| row.group_id == groups[*at].group_id))
        .collect();
    let desk = Desk {
        run,
        need,
        limits,
        groups: &groups,
        named: &named,
    };
    let mut sections = Vec::new();
    if !carrying.is_empty() || need.states_engine_or_interface() || need.kind.is_some() {
        for kind in desk.kinds() {
            sections.push(desk.section(kind)?);
        }
    }
    if need.kind.is_none() && sections.iter().any(|section| section.lead.is_some()) {
        sections.retain(|section| section.lead.is_some());
    }
    let unknown = |code: &&CompactString| !groups.iter().any(|group| serves(group, code));
    let unknown_codes = need.codes.iter().filter(unknown).cloned().collect();
    Ok(Answer {
        numbers,
        unknown_codes,
        sections,
        groups,
    })
}

/// Numbers named as such everywhere; words that were not understood among the numbers only.
fn look_up_all(run: &FinishedRun, need: &Need) -> Result<Vec<NumberFound>, ReadError> {
    let mut found = Vec::new();
    if need.numbers.is_empty() && need.perhaps_numbers.is_empty() {
        return Ok(found);
    }
    let products = rows_of(run)?;
    for number in &need.numbers {
        found.push(look_up(run, &products, number, Reach::Everywhere)?);
    }
    for word in &need.perhaps_numbers {
        let tried = look_up(run, &products, word, Reach::NumbersOnly)?;
        if tried.place.is_some() {
            found.push(tried);
        }
    }
    Ok(found)
}

struct Desk<'a> {
    run: &'a FinishedRun,
    need: &'a Need,
    limits: &'a Limits,
    groups: &'a [GroupRow],
    /// groups that hold a part whose number was asked for
    named: &'a [usize],
}

impl Desk<'_> {
    /// Kinds to answer for: the one asked for, else those of the parts named, else every kind of the run.
    fn kinds(&self) -> Vec<KindId> {
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
        let of_kind: Vec<(usize, &GroupRow)> = self
            .groups
            .iter()
            .enumerate()
            .filter(|(_, group)| is_of_kind(group, kind))
            .collect();
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

    fn section(&self, kind: KindId) -> Result<Section, ReadError> {
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
        let lead = if possible.is_empty() {
            None
        } else {
            Some(possible.remove(0))
        };
        let (mut sure, mut doubtful) = (Vec::new(), Vec::new());
        if let Some(lead) = &lead {
            for row in self.offers_in(&self.groups[lead.group].group_id)? {
                if row.confidence >= self.limits.min_confidence {
                    sure.push(row)
                } else {
                    doubtful.push(row)
                }
            }
        }
        sure.sort_by(cheapest_first);
        doubtful.sort_by(|x, y| y.confidence.total_cmp(&x.confidence).then_with(|| cheapest_first(x, y)));
        let covering = self.covering(kind, lead.as_ref(), &sure)?;
        let nearest = nearest.filter(|_| lead.is_none());
        Ok(Section {
            kind,
            lead,
            possible,
            tells_apart,
            nearest,
            sure,
            doubtful,
            covering,
        })
    }

    /// A band may owe its end to a few lines that are wrong or daring: of the groups still possible, the one whose
    /// offers state the displacement more often is the likelier.
    fn weigh_by_what_is_stated(&self, possible: &mut [Match]) -> Result<(), ReadError> {
        if possible.len() < 2 || self.need.displacement.is_empty() {
            return Ok(());
        }
        let mut likelihoods = Vec::with_capacity(possible.len());
        for found in possible.iter() {
            let in_group = in_group(&self.groups[found.group].group_id);
            let cells = self
                .run
                .answer(self.run.offers()?.filter(in_group).select([col("displacement_cc")]))?;
            let stated: Vec<&str> = cells
                .iter()
                .map(|row| row.displacement_cc.as_str())
                .filter(|cell| !cell.is_empty())
                .collect();
            let share = |asked: &Interval| {
                let count = stated.iter().filter(|cell| states(cell, *asked)).count() as f64;
                (count + UNSEEN) / (stated.len() as f64 + 1.0)
            };
            likelihoods.push(self.need.displacement.iter().map(share).product());
        }
        weigh_again(possible, &likelihoods);
        Ok(())
    }

    /// Assemblies that cover the leading group; without one, assemblies that answer the facts themselves.
    fn covering(
        &self,
        kind: KindId,
        lead: Option<&Match>,
        sure: &[CrossrefRow],
    ) -> Result<Option<Covering>, ReadError> {
        if kind == KindId::ASSEMBLY || !KindId::ASSEMBLY.covers(kind) {
            return Ok(None);
        }
        let groups: Vec<&GroupRow> = match lead {
            Some(lead) => {
                let id = self.groups[lead.group].group_id.as_str();
                self.groups
                    .iter()
                    .filter(|group| group.covers_groups.split(';').any(|covered| covered == id))
                    .collect()
            }
            None => self
                .matches_of(KindId::ASSEMBLY)
                .iter()
                .find(|found| answers(found))
                .map(|found| &self.groups[found.group])
                .into_iter()
                .collect(),
        };
        let mut offers = Vec::new();
        for group in &groups {
            let rows = self.offers_in(&group.group_id)?;
            offers.extend(
                rows.into_iter()
                    .filter(|row| row.confidence >= self.limits.min_confidence),
            );
        }
        offers.sort_by(cheapest_first);
        let Some(best) = offers.first() else { return Ok(None) };
        let price = match (delivered(best), sure.first().map(delivered)) {
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

    fn offers_in(&self, group_id: &str) -> Result<Vec<CrossrefRow>, ReadError> {
        let rows = self.run.answer(self.run.offers()?.filter(in_group(group_id)))?;
        let Some(supplier) = self.limits.supplier.as_deref().map(str::to_lowercase) else {
            return Ok(rows);
        };
        Ok(rows
            .into_iter()
            .filter(|row| row.supplier.to_lowercase().contains(&supplier))
            .collect())
    }
}

fn is_of_kind(group: &GroupRow, kind: KindId) -> bool {
    kind.fixed_name() == Some(group.part_kind.as_str())
}

/// A group answers when nothing hard excludes it and it agrees with something that was asked.
fn answers(found: &Match) -> bool {
    let says_something = |verdict: Verdict| matches!(verdict, Verdict::Agrees | Verdict::Open);
    !found.is_excluded() && (found.judged.is_empty() || found.judged.iter().any(|fact| says_something(fact.verdict)))
}

/// The delivered price; one of zero is a gap in the list, not a gift.
pub fn delivered(row: &CrossrefRow) -> Option<Decimal> {
    row.landed_price.filter(|price| *price > Decimal::ZERO)
}

/// Delivered price first; offers without one behind, by their unit price, currency by currency.
fn cheapest_first(x: &CrossrefRow, y: &CrossrefRow) -> Ordering {
    let place = |row: &CrossrefRow| (delivered(row).is_none(), delivered(row).unwrap_or(Decimal::MAX));
    place(x)
        .cmp(&place(y))
        .then_with(|| x.currency.cmp(&y.currency))
        .then_with(|| {
            x.unit_price
                .unwrap_or(Decimal::MAX)
                .cmp(&y.unit_price.unwrap_or(Decimal::MAX))
        })
        .then_with(|| (&x.supplier, &x.supplier_sku, x.source_line).cmp(&(&y.supplier, &y.supplier_sku, y.source_line)))
}

/// Offers of one supplier's number.
pub fn of_supplier(supplier: &str, sku: &str) -> Expr {
    col("supplier")
        .eq(lit(supplier.to_owned()))
        .and(col("supplier_sku").eq(lit(sku.to_owned())))
}

#[cfg(test)]
#[path = "find_tests.rs"]
mod tests;
