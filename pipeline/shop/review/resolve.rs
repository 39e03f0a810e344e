//! Decisions -> words on the offers of this run: whom each names, which contradict each other, what they leave out.
//!
//! The order of the steps: find the offers by their durable names; drop what was said twice; set contradictions aside,
//! all of their words; then hand on what stands: pairs to `link`, placements to `fit`, wrong claims out of the offers.
//! A decision whose offer is gone is kept for the night it comes back, and reported.

use super::contradictions::{Bond, contradictions};
use super::decision::{Answer, Decision, Warning, WarningSort};
use super::load::Decisions;
use super::names::{Named, OfferNames};
use super::wrong_claim::Target;
use crate::fit::decided::{FitWord, Fits};
use crate::fit::{FitGroups, fit_products};
use crate::link::cluster::Word;
use crate::link::products::PERSONS_WORD;
use crate::link::{LinkSettings, Products, link_offers};
use crate::normalise::claim::Attribute;
use crate::normalise::offer::Offer;
use crate::trade::folding::fold;
use compact_str::format_compact;
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
    fn place(&mut self, at: usize, decision: &Decision, names: &OfferNames<'_>, offers: &[Offer]) {
        let Some(first) = self.find(decision, &decision.offer, names) else {
            return;
        };
        if decision.answer == Answer::WrongClaim {
            self.place_claim(at, decision, &first, offers);
            return;
        }
        // of several names the first that is found counts; the last one's fault is told when none is
        let found = decision.others.iter().filter(|name| names.find(name) != Named::Gone);
        let name = found.chain(decision.others.last()).next().cloned().unwrap_or_default();
        let Some(second) = self.find(decision, &name, names) else {
            return;
        };
        for &a in &first {
            for b in second.iter().copied().filter(|b| *b != a) {
                self.standing.push(Standing {
                    decision: at,
                    a,
                    b: Some(b),
                });
            }
        }
        if first == second && first.len() == 1 {
            self.warn(
                WarningSort::Unreadable,
                decision,
                format!("`{}` names one offer twice", decision.answer.word()),
                "name two offers",
            );
        }
    }

    fn place_claim(&mut self, at: usize, decision: &Decision, first: &[u32], offers: &[Offer]) {
        let Some(target) = Target::of(&decision.claim) else {
            let known: Vec<&str> = Attribute::ALL.iter().map(|attribute| attribute.name()).collect();
            let hint = format_compact!("it begins with one of {}, barcode, number", known.join(", "));
            let message = format!("the claim `{}` names no attribute", decision.claim);
            self.warn(WarningSort::Unreadable, decision, message, &hint);
            return;
        };
        let stating = first
            .iter()
            .copied()
            .filter(|offer| target.is_stated_by(&offers[*offer as usize]));
        let stating: Vec<u32> = stating.collect();
        if stating.is_empty() {
            let message = format!("{} no longer states `{}`", decision.offer, decision.claim);
            self.warn(
                WarningSort::Gone,
                decision,
                message,
                "the decision is kept; remove it when it is of no more use",
            );
        }
        self.standing.extend(stating.into_iter().map(|a| Standing {
            decision: at,
            a,
            b: None,
        }));
    }

    fn find(&mut self, decision: &Decision, name: &str, names: &OfferNames<'_>) -> Option<Vec<u32>> {
        match names.find(name) {
            Named::Offers(found) => Some(found),
            Named::Renamed(found, now) => {
                let before = name.split_once(':').map_or(name, |(supplier, _)| supplier);
                self.renamed.insert((before.to_string(), now));
                Some(found)
            }
            Named::Several(longer) => {
                let message = format!("`{name}` fits {} offers that differ", longer.len());
                let hint = format_compact!("name one of {}", longer.join(", "));
                self.warn(WarningSort::Ambiguous, decision, message, &hint);
                None
            }
            Named::Gone => {
                let message = format!("no list shows the offer `{name}` now");
                self.warn(
                    WarningSort::Gone,
                    decision,
                    message,
                    "the decision is kept for when it comes back",
                );
                None
            }
        }
    }

    fn warn(&mut self, sort: WarningSort, decision: &Decision, message: String, hint: &str) {
        self.warnings.push(Warning {
            sort,
            place: decision.place.clone(),
            message,
            hint: hint.into(),
        });
    }

    /// What was said twice counts once; the first is kept.
    fn drop_repeats(&mut self) {
        let mut said: BTreeSet<(Answer, u32, Option<u32>, String)> = BTreeSet::new();
        let decisions = &self.decisions;
        self.standing.retain(|word| {
            let decision = &decisions[word.decision];
            let symmetric = matches!(decision.answer, Answer::Same | Answer::Different);
            let (a, b) = match word.b {
                Some(b) if symmetric => (word.a.min(b), Some(word.a.max(b))),
                b => (word.a, b),
            };
            let claim = if b.is_none() {
                fold(&decision.claim).into_owned()
            } else {
                String::new()
            };
            said.insert((decision.answer, a, b, claim))
        });
    }

    fn bonds(&self, bond: impl Fn(Answer) -> Bond) -> Vec<(u32, u32, Bond)> {
        let of = |word: &Standing| match word.b {
            Some(b) => (word.a, b, bond(self.decisions[word.decision].answer)),
            None => (word.a, word.a, Bond::Silent),
        };
        self.standing.iter().map(of).collect()
    }

    /// Contradictions as indices of standing words: about being the same part, and about fitting like it (the very
    /// same part fits like itself).
    fn contradictory(&self) -> Vec<Vec<usize>> {
        let identity = self.bonds(|answer| match answer {
            Answer::Same => Bond::Together,
            Answer::Different => Bond::Apart,
            _ => Bond::Silent,
        });
        let fit = self.bonds(|answer| match answer {
            Answer::Same | Answer::Fits => Bond::Together,
            Answer::DoesNotFit => Bond::Apart,
            _ => Bond::Silent,
        });
        let mut found = contradictions(&identity);
        found.extend(contradictions(&fit));
        found
    }

    /// Reports contradictions, one warning a decision, and takes their words out.
    pub fn report_contradictions(&mut self, fallen: &[Vec<usize>]) {
        let mut reported: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for contradiction in fallen {
            let decisions: BTreeSet<usize> = contradiction.iter().map(|word| self.standing[*word].decision).collect();
            for decision in &decisions {
                reported.entry(*decision).or_default().extend(&decisions);
            }
        }
        for (decision, others) in reported {
            let words: Vec<String> = others
                .iter()
                .filter(|other| **other != decision)
                .map(|other| self.told(*other))
                .collect();
            let message = format!(
                "`{}` contradicts {}; none of them is applied",
                self.said(decision),
                words.join(" and ")
            );
            let told = self.decisions[decision].clone();
            self.warn(
                WarningSort::Contradictory,
                &told,
                message,
                "remove the one that does not hold",
            );
        }
        let out: BTreeSet<usize> = fallen.iter().flatten().copied().collect();
        let mut at = 0..;
        self.standing.retain(|_| !at.next().is_some_and(|at| out.contains(&at)));
    }

    fn said(&self, decision: usize) -> String {
        let told = &self.decisions[decision];
        format!("{}: {}, {}", told.answer.word(), told.offer, told.other())
    }

    fn told(&self, decision: usize) -> String {
        format!("`{}` ({})", self.said(decision), self.decisions[decision].place)
    }

    /// Pairs for the link stage.
    pub fn link_words(&self) -> Vec<(u32, u32, Word)> {
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

    /// Says that a person's `same` stands against identifiers that differ.
    pub fn report_overruled(&mut self, overruled: &[(u32, u32)]) {
        let against: BTreeSet<(u32, u32)> = overruled.iter().map(|(a, b)| (*a.min(b), *a.max(b))).collect();
        let standing = self.standing.clone();
        for told in standing {
            let decision = self.decisions[told.decision].clone();
            let pair = told.b.map(|b| (told.a.min(b), told.a.max(b)));
            if decision.answer == Answer::Same && pair.is_some_and(|pair| against.contains(&pair)) {
                let message = format!(
                    "`{}` stands against barcodes or maker's numbers that differ; the person's word was taken",
                    self.said(told.decision)
                );
                self.warn(
                    WarningSort::Overruled,
                    &decision,
                    message,
                    "if one of the numbers is wrong, say so as a wrong claim",
                );
            }
        }
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
#[path = "resolve_tests.rs"]
mod tests;
