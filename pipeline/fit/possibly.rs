//! Groups that may be one: classes that products name together, yet too seldom to be joined.
//!
//! Joining what does not belong together is mended by nothing, so two classes with little in common stay
//! apart (`merge`). Small inputs often lack what would join them; such pairs are reported with the one
//! fact that would settle it. A pair whose interfaces contradict each other is no such pair.

use super::classes::{Classes, Posterior};
use super::evidence::Evidence;
use super::groups::FitGroup;
use super::merge::{self, Verdict, interfaces};
use crate::normalise::kind::KindId;
use std::collections::BTreeMap;

/// Share of the rarer class's products that must name the other too.
const NAMED_TOGETHER: f64 = 0.02;

/// What would settle whether two groups are one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SettledBy {
    /// a bolt circle, which one of them does not state
    BoltCircle,
    /// a hole count, which one of them does not state
    Holes,
    /// more lists that name engines of both
    Naming,
}

impl SettledBy {
    /// In words, to be followed by "would settle it".
    pub fn words(self) -> &'static str {
        match self {
            SettledBy::BoltCircle => "the bolt circle of both",
            SettledBy::Holes => "the hole count of both",
            SettledBy::Naming => "one more part that is listed for engines of both",
        }
    }
}

/// Two groups that may be one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct PossiblySame {
    /// the earlier group
    pub a: u32,
    /// the later group
    pub b: u32,
    /// products that name engines of both
    pub named_together: u32,
    /// what would settle it
    pub settled_by: SettledBy,
}

/// Pairs of classes that may be one, with the products that name both; ascending.
pub fn classes(evidence: &[Evidence], classes: &Classes, memberships: &[Posterior]) -> Vec<(u32, u32, u32)> {
    let sketches = merge::sketches(evidence, classes, memberships);
    let (alone, both) = merge::naming(evidence, classes);
    both.into_iter()
        .filter(|((x, y), n)| *n >= NAMED_TOGETHER * alone[*x as usize].min(alone[*y as usize]))
        .filter(|((x, y), _)| interfaces(&sketches[*x as usize], &sketches[*y as usize]) != Verdict::Contradict)
        .map(|((x, y), n)| (x, y, n as u32))
        .collect()
}

/// Pairs of groups of one kind in classes that may be one, ascending.
pub fn groups(groups: &[FitGroup], classes: &[(u32, u32, u32)]) -> Vec<PossiblySame> {
    let mut doubted: BTreeMap<u32, Vec<(u32, u32)>> = BTreeMap::new();
    for &(x, y, named_together) in classes {
        doubted.entry(x).or_default().push((y, named_together));
        doubted.entry(y).or_default().push((x, named_together));
    }
    let mut of_class: BTreeMap<(KindId, u32), Vec<u32>> = BTreeMap::new();
    for (group, g) in groups.iter().zip(0..) {
        if let Some(class) = group.class {
            of_class.entry((group.kind, class)).or_default().push(g);
        }
    }
    let mut found = Vec::new();
    for (first, a) in groups.iter().zip(0..) {
        let beside = first.class.and_then(|class| doubted.get(&class)).into_iter().flatten();
        let mut later: Vec<(u32, u32)> = beside
            .filter_map(|(class, named_together)| Some((of_class.get(&(first.kind, *class))?, *named_together)))
            .flat_map(|(list, named_together)| list.iter().map(move |b| (*b, named_together)))
            .filter(|(b, _)| *b > a)
            .collect();
        later.sort_unstable();
        for (b, named_together) in later {
            let second = &groups[b as usize];
            if !told_apart(first, second) {
                found.push(PossiblySame {
                    a,
                    b,
                    named_together,
                    settled_by: settled_by(first, second),
                });
            }
        }
    }
    found
}

fn told_apart(a: &FitGroup, b: &FitGroup) -> bool {
    let circles = matches!((a.circle_mm, b.circle_mm), (Some(x), Some(y)) if (x.mid() - y.mid()).abs() > 2.0);
    circles || matches!((a.holes, b.holes), (Some(x), Some(y)) if x != y)
}

fn settled_by(a: &FitGroup, b: &FitGroup) -> SettledBy {
    if a.circle_mm.is_none() || b.circle_mm.is_none() {
        SettledBy::BoltCircle
    } else if a.holes.is_none() || b.holes.is_none() {
        SettledBy::Holes
    } else {
        SettledBy::Naming
    }
}
