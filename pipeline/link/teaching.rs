//! What all pairs teach: weights, probabilities and what single words tell, in turns.

use super::compare::{Comparison, Field, Sides};
use super::learning::{self, Known, Learned};
use super::places::{Places, rivals_of};
use super::records::Records;
use super::rivals::Numbering;
use super::sample;
use super::start::{least, sure};
use super::telling::Telling;
use rayon::prelude::*;

/// Times that what words tell is learned anew, and rounds of learning the weights after each.
const TELLING_ROUNDS: usize = 3;
const FURTHER_ROUNDS: usize = 2;

/// What was learned, and what single words tell.
pub(super) struct Taught {
    pub(super) learned: Learned,
    pub(super) telling: Telling,
}

/// Learns weights; `once` tells by list how far it offers one part once only. Where there are more
/// pairs than learning needs, weights come from a sample of whole neighbourhoods and are applied to all. What single
/// words tell is learned from the first probabilities, and the weights anew with it.
pub(super) fn learn(
    records: &Records,
    places: &Places,
    pairs: &[(u32, u32)],
    comparisons: &mut [Comparison],
    once: &[f32],
    told: &[(u32, f64)],
    before: Option<Taught>,
) -> Option<Taught> {
    if comparisons.is_empty() {
        return None;
    }
    let all_pairs = records.len() as f64 * (records.len() as f64 - 1.0) / 2.0;
    let sample = sample::neighbourhoods(pairs, records.len());
    let taken: Vec<u32> = sample.clone().unwrap_or_else(|| (0..pairs.len() as u32).collect());
    let some_pairs: Vec<(u32, u32)> = taken.iter().map(|e| pairs[*e as usize]).collect();
    let mut some: Vec<Comparison> = taken.iter().map(|e| comparisons[*e as usize]).collect();
    let some_told: Vec<(u32, f64)> = told
        .iter()
        .filter_map(|(pair, p)| Some((taken.binary_search(pair).ok()? as u32, *p)))
        .collect();
    let rivals = rivals_of(places, &some_pairs, once);
    let all_pairs = all_pairs * some.len() as f64 / comparisons.len() as f64;
    let mut telling = before.as_ref().map_or_else(Telling::default, |t| t.telling.clone());
    let sides = sides_of(records, &some_pairs);
    let neighbours = sides_of(records, &places.neighbours);
    tell(&telling, &sides, &mut some, |_| None);
    let sure = sure_pairs(records, places, &some_pairs, &some);
    let known = Known {
        all_pairs,
        told: &some_told,
        least: least(&some, &rivals),
        sure: &sure,
        strangers: &places.strangers,
    };
    let mut learned = match before {
        None => learning::learn(&some, &rivals, known),
        Some(t) => learning::relax(&some, &rivals, known, t.learned.weights),
    };
    for _ in 0..TELLING_ROUNDS {
        telling = Telling::learn(records, &sides, &learned.probability, &neighbours);
        let own = &learned.probability;
        tell(&telling, &sides, &mut some, |at| Some(own[at]));
        learned = learning::learn_further(&some, &rivals, known, learned.probability, FURTHER_ROUNDS);
    }
    if sample.is_none() {
        comparisons.copy_from_slice(&some);
    } else {
        let own = |at: usize| taken.binary_search(&(at as u32)).ok().map(|k| learned.probability[k]);
        tell_all(&telling, records, pairs, comparisons, own);
        learned = learning::apply(comparisons, &rivals_of(places, pairs, once), learned.weights, told);
    }
    Some(Taught { learned, telling })
}

/// Pairs that are held as sure. Among parts, lines that read alike by a wide margin are two parts as often as one.
fn sure_pairs(records: &Records, places: &Places, pairs: &[(u32, u32)], comparisons: &[Comparison]) -> Vec<(u32, f64)> {
    match places.numbering {
        Numbering::Unknown => sure(
            comparisons,
            &rivals_of(places, pairs, &vec![1.0; records.lists as usize]),
        ),
        Numbering::OnePartOneNumber => Vec::new(),
    }
}

fn sides_of(records: &Records, pairs: &[(u32, u32)]) -> Vec<Sides> {
    let of = |&(a, b): &(u32, u32)| Sides::of(records, &records.list[a as usize], &records.list[b as usize]);
    pairs.par_iter().map(of).collect()
}

/// Sets what words tell on all pairs; `own` gives the probability with which a pair was counted, if it was.
fn tell(telling: &Telling, sides: &[Sides], comparisons: &mut [Comparison], own: impl Fn(usize) -> Option<f64> + Sync) {
    comparisons
        .par_iter_mut()
        .zip(sides)
        .enumerate()
        .for_each(|(at, (comparison, sides))| {
            comparison.levels[Field::Telling as usize] = telling.level(sides, own(at));
        });
}

/// The same on many pairs, of which nothing is kept beside.
fn tell_all(
    telling: &Telling,
    records: &Records,
    pairs: &[(u32, u32)],
    comparisons: &mut [Comparison],
    own: impl Fn(usize) -> Option<f64> + Sync,
) {
    let told = comparisons.par_iter_mut().zip(pairs).enumerate();
    told.for_each(|(at, (comparison, &(a, b)))| {
        let sides = Sides::of(records, &records.list[a as usize], &records.list[b as usize]);
        comparison.levels[Field::Telling as usize] = telling.level(&sides, own(at));
    });
}
