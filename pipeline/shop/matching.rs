//! A need held against the fit groups of one kind: which of them is needed, and how sure is that?
//!
//! The likelihoods of all facts (see `judge`) are multiplied, weighed by how often the group is listed, and
//! divided by the sum over all groups of the kind and a background for "none of these": the group's *share*.
//! A group that a hard fact contradicts is excluded: it can only be shown as the nearest thing.

pub use super::judge::{Judged, Verdict, cc_words, figure, serves};
use super::judge::{by_name, judge};
use super::need::Need;
use crate::publish::GroupRow;
use compact_str::CompactString;
use std::fmt::Write as _;

/// Likelihood of a fact under "none of these groups".
const BACKGROUND: f64 = 0.03;
/// Weight of the background beside the groups' prior weights, which sum to one.
const BACKGROUND_WEIGHT: f64 = 0.2;

/// A group held against the need.
#[derive(Clone, Debug, PartialEq)]
pub struct Match {
    /// index of the group in the list given
    pub group: usize,
    /// probability that this is the group needed, among all groups of its kind
    pub share: f64,
    /// facts, in the order in which they are asked
    pub judged: Vec<Judged>,
}

impl Match {
    /// Whether a hard fact excludes the group.
    pub fn is_excluded(&self) -> bool {
        self.judged.iter().any(|judged| judged.verdict == Verdict::Contradicts)
    }
}

/// Holds the need against groups of one kind; most probable first. `named` tells which of them were asked for, or
/// hold a part whose number was.
pub fn matches(need: &Need, groups: &[(usize, &GroupRow)], named: &[usize]) -> Vec<Match> {
    let known: Vec<&CompactString> = need
        .codes
        .iter()
        .filter(|code| groups.iter().any(|(_, group)| serves(group, code)))
        .collect();
    let offers: f64 = groups.iter().map(|(_, group)| f64::from(group.offers)).sum();
    let mut found: Vec<(f64, Match)> = groups
        .iter()
        .map(|(at, group)| {
            let mut judged = judge(need, &known, group);
            if !named.is_empty() {
                judged.push(by_name(need, named.contains(at)));
            }
            let likelihood: f64 = judged.iter().map(|fact| fact.likelihood).product();
            let weight = likelihood * f64::from(group.offers) / offers.max(1.0);
            (
                weight,
                Match {
                    group: *at,
                    share: 0.0,
                    judged,
                },
            )
        })
        .collect();
    let facts = found.first().map_or(0, |first| first.1.judged.len());
    let none = if facts == 0 {
        0.0
    } else {
        BACKGROUND_WEIGHT * BACKGROUND.powi(i32::try_from(facts).unwrap_or(i32::MAX))
    };
    let total: f64 = none + found.iter().map(|(weight, _)| weight).sum::<f64>();
    for (weight, found) in &mut found {
        found.share = if total > 0.0 { *weight / total } else { 0.0 };
    }
    found.sort_by(|x, y| y.0.total_cmp(&x.0).then(x.1.group.cmp(&y.1.group)));
    found.into_iter().map(|(_, found)| found).collect()
}

/// Weighs matches again by further likelihoods, one each, and puts the most probable first. The share of what is not
/// among them stays as it was before it is divided by the new sum.
pub(super) fn weigh_again(found: &mut [Match], likelihoods: &[f64]) {
    let others = 1.0 - found.iter().map(|found| found.share).sum::<f64>();
    for (found, likelihood) in found.iter_mut().zip(likelihoods) {
        found.share *= likelihood;
    }
    let total = others.max(0.0) * BACKGROUND + found.iter().map(|found| found.share).sum::<f64>();
    for found in found.iter_mut().filter(|_| total > 0.0) {
        found.share /= total;
    }
    found.sort_by(|x, y| y.share.total_cmp(&x.share).then(x.group.cmp(&y.group)));
}

/// What tells groups apart that are still possible, the easiest to find out first, with what each says.
pub fn tells_apart(groups: &[&GroupRow]) -> Vec<String> {
    let column = |what: &str, of: fn(&GroupRow) -> Option<String>| {
        let mut values: Vec<String> = groups.iter().filter_map(|group| of(group)).collect();
        values.sort();
        values.dedup();
        (values.len() > 1).then(|| {
            let mut words = format!("{what}: ");
            for (at, value) in values.iter().take(5).enumerate() {
                let _ = write!(words, "{}{value}", if at == 0 { "" } else { " or " });
            }
            words + if values.len() > 5 { " ..." } else { "" }
        })
    };
    [
        column("number of mounting holes", |group| {
            group.bolt_holes.map(|count| count.to_string())
        }),
        column("bolt circle", |group| {
            group.bolt_circle_mm.map(|mm| format!("{} mm", figure(mm)))
        }),
        column("engine family", |group| {
            (!group.family.is_empty()).then(|| group.family.to_string())
        }),
        column("displacement on the engine plate", |group| {
            (!group.displacement_cc.is_empty()).then(|| format!("{} cc", group.displacement_cc))
        }),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
#[path = "matching_tests.rs"]
mod tests;
