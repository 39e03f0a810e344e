//! Decisions -> words on the offers of this run: whom each names, which contradict each other, what they leave out.
//!
//! The order of the steps: find the offers by their durable names; drop what was said twice; set contradictions aside,
//! all of their words; then hand on what stands: pairs to `link`, placements to `fit`, wrong claims out of the offers.
//! A decision whose offer is gone is kept for the night it comes back, and reported.

mod contradicting;
mod placing;

use super::decision::{Answer, Decision, Warning};
use super::load::Decisions;
use super::names::OfferNames;
use super::wrong_claim::Target;
use crate::fit::decided::{FitWord, Fits};
use crate::fit::{FitGroups, fit_products};
use crate::link::cluster::Word;
use crate::link::products::PERSONS_WORD;
use crate::link::{LinkSettings, Products, link_offers};
use crate::normalise::offer::Offer;
use std::collections::{BTreeMap, BTreeSet};

/// A decision that stands, on offers of this run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// index of the decision
    pub decision: usize,
    /// offer asked about
    pub a: u32,
    /// the other one, none for a wrong claim
    pub b: Option<u32>,
}

/// The decisions on the offers of one run.
#[derive(Clone, Debug, Default)]
pub struct Resolved {
    /// the decisions as read
    pub decisions: Vec<Decision>,
    /// those that stand, in the order in which they were read
    pub standing: Vec<Standing>,
    /// what a person should look at
    pub warnings: Vec<Warning>,
    /// lists that were called otherwise when the decision was made: name then, name now
    pub renamed: BTreeSet<(String, String)>,
    /// names of offers of which a claim is left out, as they were with it
    named_before: BTreeMap<u32, String>,
}

impl Decisions {
    /// Finds the offers that are named and sets contradictions aside. The offers must stand in their canonical order.
    pub fn resolve(&self, offers: &[Offer]) -> Resolved {
        let mut resolved = Resolved {
            decisions: self.list.clone(),
            ..Resolved::default()
        };
        if self.list.is_empty() {
            return resolved;
        }
        let names = OfferNames::of(offers);
        for (at, decision) in self.list.iter().enumerate() {
            resolved.place(at, decision, &names, offers);
        }
        resolved.drop_repeats();
        let fallen = resolved.contradictory();
        resolved.report_contradictions(&fallen);
        let claims = resolved.standing.iter().filter(|word| word.b.is_none());
        resolved.named_before = claims.map(|word| (word.a, names.name(word.a))).collect();
        resolved
    }
}

impl Resolved {
    /// Pairs for the link stage.
    fn link_words(&self) -> Vec<(u32, u32, Word)> {
        let word = |answer: Answer| match answer {
            Answer::Same => Some(Word::Same),
            Answer::Different => Some(Word::Different),
            _ => None,
        };
        let words = self.standing.iter();
        words
            .filter_map(|told| Some((told.a, told.b?, word(self.decisions[told.decision].answer)?)))
            .collect()
    }

    /// Placements for the fit stage, each with the index of its standing word.
    pub fn fit_words(&self) -> Vec<FitWord> {
        let fits = |answer: Answer| match answer {
            Answer::Fits => Some(Fits::Like),
            Answer::DoesNotFit => Some(Fits::Not),
            _ => None,
        };
        let words = self.standing.iter().enumerate();
        words
            .filter_map(|(word, told)| {
                Some(FitWord {
                    offer: told.a,
                    like: told.b?,
                    fits: fits(self.decisions[told.decision].answer)?,
                    word,
                })
            })
            .collect()
    }

    /// Links the offers under what was decided, and says where a person's word stands against the identifiers.
    pub fn link(&mut self, offers: &[Offer]) -> Products {
        let settings = LinkSettings {
            decisions: self.link_words(),
        };
        let products = link_offers(offers, &settings);
        self.report_overruled(&products.overruled);
        products
    }

    /// Fits the products under what was decided. Words that contradict each other only on the groups found are
    /// reported and the groups are found again without them.
    pub fn fit(&mut self, offers: &[Offer], products: &Products) -> FitGroups {
        loop {
            let fit = fit_products(offers, products, &self.fit_words());
            if fit.contradicted.is_empty() {
                return fit;
            }
            self.report_contradictions(&fit.contradicted);
        }
    }

    /// Takes wrong claims out of the offers, and the kind of part from an offer that it fits like.
    pub fn apply(&self, offers: &mut [Offer]) {
        for told in &self.standing {
            let decision = &self.decisions[told.decision];
            match (decision.answer, told.b) {
                (Answer::WrongClaim, _) => {
                    if let Some(target) = Target::of(&decision.claim) {
                        target.leave_out(&mut offers[told.a as usize]);
                    }
                }
                (Answer::Fits, Some(like)) => take_kind(offers, told.a as usize, like as usize),
                _ => {}
            }
        }
    }

    /// What stands, as evidence of each offer: "decided by a person on ...".
    pub fn evidence(&self, offers: &[Offer]) -> BTreeMap<u32, Vec<String>> {
        let mut evidence: BTreeMap<u32, Vec<String>> = BTreeMap::new();
        if self.standing.is_empty() {
            return evidence;
        }
        let names = OfferNames::of(offers);
        for told in &self.standing {
            let decision = &self.decisions[told.decision];
            let other = told.b.map(|b| self.name(&names, b)).unwrap_or_default();
            evidence.entry(told.a).or_default().push(decision.in_evidence(&other));
            if let (Answer::Same | Answer::Different, Some(b)) = (decision.answer, told.b) {
                let words = decision.in_evidence(&self.name(&names, told.a));
                evidence.entry(b).or_default().push(words);
            }
        }
        evidence
    }

    /// Durable name of an offer, a wrong claim left out or not.
    pub fn name(&self, names: &OfferNames<'_>, offer: u32) -> String {
        let before = self.named_before.get(&offer).cloned();
        before.unwrap_or_else(|| names.name(offer))
    }

    /// Pairs of offers that a person has decided on, the smaller first; an open question is none of these.
    pub fn decided_pairs(&self) -> BTreeSet<(u32, u32)> {
        let pairs = self.standing.iter().filter_map(|told| Some((told.a, told.b?)));
        pairs.map(|(a, b)| (a.min(b), a.max(b))).collect()
    }

    /// Counts for `run.json`.
    pub fn counts(&self) -> BTreeMap<&'static str, u64> {
        let mut counts = BTreeMap::from([("decisions", self.decisions.len() as u64)]);
        let applied: BTreeSet<usize> = self.standing.iter().map(|told| told.decision).collect();
        counts.insert("decisions_applied", applied.len() as u64);
        for warning in &self.warnings {
            *counts.entry(warning.sort.count_name()).or_default() += 1;
        }
        counts
    }
}

/// A person who says that a part fits also says what it is.
fn take_kind(offers: &mut [Offer], offer: usize, like: usize) {
    let model = offers[like].kind.clone();
    let kind = &mut offers[offer].kind;
    let sure = PERSONS_WORD as f32 * model.probability;
    if kind.kind != model.kind {
        let before = (kind.kind, 1.0 - sure);
        kind.alternatives = vec![before];
        kind.kind = model.kind;
        kind.why = "taken from the offer it fits like".into();
        kind.probability = sure;
    } else if sure > kind.probability {
        kind.probability = sure;
        kind.alternatives
            .iter_mut()
            .for_each(|other| other.1 = other.1.min(1.0 - sure));
    }
}

#[cfg(test)]
mod tests;
