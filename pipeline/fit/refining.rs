//! Expectation and maximisation by turns: products are held against the classes, the classes learn from where the products
//! stand, and classes that prove to be one are joined in between. Twins, one engine by two interfaces, are joined last:
//! `variants` parts them again, by the interface.
//!
//! Where there are very many products the classes are found from a part of them (`sample`), and taught by all afterwards.
//! While classes are sought, only what claims something of the engines counts; where the products stand in the end is
//! judged by everything.

use super::classes::{Classes, Posterior};
use super::decided::Held;
use super::evidence::Evidence;
use super::judging::Judge;
use super::learning::Anywhere;
use super::merge::merge_classes;
use super::sample::Sample;
use super::scales::{ALL, CLAIMS};
use super::twins::join_twins;
use super::wordings::Wordings;

/// Turns before the first classes are joined, at the most.
const ROUNDS: usize = 5;
/// Times that classes are joined, at the most.
const MERGE_ROUNDS: usize = 4;
/// Share of probability that may still change places when the classes are called settled.
const SETTLED: f64 = 0.004;
/// Turns after twins are joined.
const AFTER_TWINS: usize = 2;
/// Products from which the classes are found, about. Measured on generated worlds: half a million products give the classes
/// no better than 40,000 of them, at three times the cost.
const LEARNED_FROM: usize = 40_000;
/// Turns of all products after classes were found from a part of them.
const AFTER_SAMPLE: usize = 1;

/// Refines the classes by turns of judging and learning, and joins those that are one; returns the classes and how many
/// were joined.
pub(super) fn refine(
    evidence: &[Evidence],
    anywhere: &Anywhere,
    memberships: &mut Vec<Posterior>,
    held: &Held,
) -> (Classes, usize) {
    let wordings = Wordings::of(evidence);
    let (mut classes, merges) = match Sample::of(evidence, memberships, held, LEARNED_FROM) {
        Some(mut part) => {
            let (anywhere, wordings) = (anywhere.of_these(&part.evidence), Wordings::of(&part.evidence));
            let found = find(&part.evidence, &anywhere, &wordings, &mut part.memberships, &part.held);
            part.hand_back(memberships);
            found
        }
        None => find(evidence, anywhere, &wordings, memberships, held),
    };
    if evidence.len() > LEARNED_FROM {
        for _ in 0..AFTER_SAMPLE {
            *memberships = Judge::new(&classes, evidence, &wordings, &CLAIMS).posteriors(memberships);
            held.hold(memberships);
            classes = Classes::learn(evidence, anywhere, memberships, Some(&classes));
        }
    }
    *memberships = Judge::new(&classes, evidence, &wordings, &ALL).posteriors(memberships);
    held.hold(memberships);
    (classes, merges)
}

/// Finds the classes by turns; returns them and how many were joined.
fn find(
    evidence: &[Evidence],
    anywhere: &Anywhere,
    wordings: &Wordings,
    memberships: &mut Vec<Posterior>,
    held: &Held,
) -> (Classes, usize) {
    let mut merges = 0;
    held.hold(memberships);
    let mut classes = Classes::learn(evidence, anywhere, memberships, None);
    for merge_round in 0..MERGE_ROUNDS {
        let rounds = if merge_round == 0 { ROUNDS } else { 2 };
        for _ in 0..rounds {
            let mut next = Judge::new(&classes, evidence, wordings, &CLAIMS).posteriors(memberships);
            held.hold(&mut next);
            let moved = moved(memberships, &next);
            *memberships = next;
            classes = Classes::learn(evidence, anywhere, memberships, Some(&classes));
            if moved < SETTLED * evidence.len() as f64 {
                break;
            }
        }
        let merged = merge_classes(evidence, &classes, memberships);
        merges += merged;
        if merged == 0 {
            break;
        }
        classes = Classes::learn(evidence, anywhere, memberships, None);
    }
    let twins = join_twins(evidence, &classes, memberships);
    if twins > 0 {
        merges += twins;
        classes = Classes::learn(evidence, anywhere, memberships, None);
        for _ in 0..AFTER_TWINS {
            *memberships = Judge::new(&classes, evidence, wordings, &CLAIMS).posteriors(memberships);
            held.hold(memberships);
            classes = Classes::learn(evidence, anywhere, memberships, Some(&classes));
        }
    }
    (classes, merges)
}

/// How much probability changed places, in products.
fn moved(before: &[Posterior], after: &[Posterior]) -> f64 {
    before
        .iter()
        .zip(after)
        .map(|(b, a)| match (b.first(), a.first()) {
            (Some(b), Some(a)) if b.0 == a.0 => (b.1 - a.1).abs(),
            (None, None) => 0.0,
            _ => 1.0,
        })
        .sum()
}
