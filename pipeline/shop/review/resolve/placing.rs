//! A decision on its offers: whom it names, whatever their list is called now.

use super::{Resolved, Standing};
use crate::normalise::claim::Attribute;
use crate::normalise::offer::Offer;
use crate::shop::review::decision::{Answer, Decision, Warning, WarningSort};
use crate::shop::review::names::{Named, OfferNames};
use crate::shop::review::wrong_claim::Target;
use crate::trade::folding::fold;
use compact_str::format_compact;
use std::collections::BTreeSet;

impl Resolved {
    pub(super) fn place(&mut self, at: usize, decision: &Decision, names: &OfferNames<'_>, offers: &[Offer]) {
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

    pub(super) fn find(&mut self, decision: &Decision, name: &str, names: &OfferNames<'_>) -> Option<Vec<u32>> {
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

    pub(super) fn warn(&mut self, sort: WarningSort, decision: &Decision, message: String, hint: &str) {
        self.warnings.push(Warning {
            sort,
            place: decision.place.clone(),
            message,
            hint: hint.into(),
        });
    }

    /// What was said twice counts once; the first is kept.
    pub(super) fn drop_repeats(&mut self) {
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
}
