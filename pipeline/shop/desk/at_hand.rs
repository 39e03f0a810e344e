//! What is at hand to answer a need, kind by kind: the groups of the run.

use crate::normalise::kind::KindId;
use crate::publish::{FinishedRun, GroupRow};
use crate::shop::answer::Limits;
use crate::shop::matching::{Match, Verdict, matches};
use crate::shop::need::Need;
use crate::shop::shelf::Counter;
use std::collections::BTreeSet;

/// A need, and what is at hand to answer it for one kind of part after another.
pub(in crate::shop) struct Desk<'a> {
    pub(in crate::shop) run: &'a FinishedRun,
    pub(in crate::shop) need: &'a Need,
    pub(in crate::shop) limits: &'a Limits,
    pub(in crate::shop) groups: &'a [GroupRow],
    /// groups that were named, or hold a part whose number was asked for
    pub(in crate::shop) named: &'a [usize],
    /// products whose number was asked for
    pub(in crate::shop) products: BTreeSet<&'a str>,
    pub(in crate::shop) counter: &'a Counter,
}

impl Desk<'_> {
    /// Kinds to answer for: the one asked for, else those of the parts named, else every kind of the run.
    pub(in crate::shop) fn kinds(&self) -> Vec<KindId> {
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

    /// The groups of a kind, by how well they answer.
    pub(super) fn matches_of(&self, kind: KindId) -> Vec<Match> {
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

    /// The groups of a kind, with their places.
    pub(super) fn of_kind(&self, kind: KindId) -> impl Iterator<Item = (usize, &GroupRow)> {
        self.groups
            .iter()
            .enumerate()
            .filter(move |(_, group)| is_of_kind(group, kind))
    }
}

/// A group answers when nothing hard excludes it and it agrees with something that was asked.
pub(super) fn answers(found: &Match) -> bool {
    let says_something = |verdict: Verdict| matches!(verdict, Verdict::Agrees | Verdict::Open);
    !found.is_excluded() && (found.judged.is_empty() || found.judged.iter().any(|fact| says_something(fact.verdict)))
}

/// Whether a group is of a kind.
pub fn is_of_kind(group: &GroupRow, kind: KindId) -> bool {
    kind.fixed_name() == Some(group.part_kind.as_str())
}
