//! Words that contradict each other, or that the makers' numbers overrule: reported, never applied in silence.

use super::{Resolved, Standing};
use crate::shop::review::contradictions::{Bond, contradictions};
use crate::shop::review::decision::{Answer, WarningSort};
use std::collections::{BTreeMap, BTreeSet};

impl Resolved {
    fn bonds(&self, bond: impl Fn(Answer) -> Bond) -> Vec<(u32, u32, Bond)> {
        let of = |word: &Standing| match word.b {
            Some(b) => (word.a, b, bond(self.decisions[word.decision].answer)),
            None => (word.a, word.a, Bond::Silent),
        };
        self.standing.iter().map(of).collect()
    }

    /// Contradictions as indices of standing words: about being the same part, and about fitting like it (the very
    /// same part fits like itself).
    pub(super) fn contradictory(&self) -> Vec<Vec<usize>> {
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

    pub(super) fn said(&self, decision: usize) -> String {
        let told = &self.decisions[decision];
        format!("{}: {}, {}", told.answer.word(), told.offer, told.other())
    }

    pub(super) fn told(&self, decision: usize) -> String {
        format!("`{}` ({})", self.said(decision), self.decisions[decision].place)
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
}
