//! Groups that may be one: classes that products name together, yet too seldom to be joined.
//!
//! Joining what does not belong together is mended by nothing, so two classes with little in common stay
//! apart (`merge`). Small inputs often lack what would join them; such pairs are reported with the one
//! fact that would settle it. A pair whose interfaces contradict each other is no such pair.

use super::classes::{Classes, Posterior};
use super::evidence::Evidence;
use super::groups::FitGroup;
use super::merge::{self, Verdict, interfaces};

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

/// Pairs of groups of one kind in classes that may be one.
pub fn groups(groups: &[FitGroup], classes: &[(u32, u32, u32)]) -> Vec<PossiblySame> {
    let placed: Vec<(usize, &FitGroup, u32)> = (0..)
        .zip(groups)
        .filter_map(|(g, group)| Some((g, group, group.class?)))
        .collect();
    let mut found = Vec::new();
    for (at, &(a, first, x)) in placed.iter().enumerate() {
        for &(b, second, y) in placed[at + 1..].iter().filter(|(_, g, _)| g.kind == first.kind) {
            let doubt = classes.iter().find(|c| (c.0, c.1) == (x.min(y), x.max(y)));
            let Some(&(_, _, named_together)) = doubt else { continue };
            if !told_apart(first, second) {
                found.push(PossiblySame {
                    a: a as u32,
                    b: b as u32,
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
