//! How often a list repeats the same part, learned without labels.
//!
//! Rivals exclude each other only where a list offers one made part once. Whether it does shows in the list itself, in
//! what a record and its nearest neighbour of its *own* list differ in: words that tell parts apart, codes, figures. A
//! second line of one part differs as two lines of one part in two lists do; a sibling differs as the closest losing
//! candidates there do. Likeness is no measure: one supplier words all its lines alike. From the share of repeats that
//! is likeliest, exclusivity is relaxed for the list in proportion.
//!
//! In lists of parts nothing is relaxed: many lines say no more than "pull start, 4 holes" of parts that differ, and would
//! count as repeats of each other. What one list offers twice there shares a number or a barcode.

use super::blocks::neighbours_in_lists;
use super::compare::{Comparison, Field, LEVELS, Lies, Scratch, Sides, compare_in};
use super::learning::Learned;
use super::places::Places;
use super::records::Records;
use super::rivals::Numbering;
use super::telling::Telling;
use rayon::prelude::*;
use rustc_hash::FxHashMap;

/// Records looked at.
const SAMPLE: usize = 4_000;
/// Rounds in which the share settles; records without a repeat that are thought of as seen beside the others.
const SETTLING: usize = 40;
const CAUTION: f64 = 5.0;
/// Repeats up to this share are taken for slips of the measure.
pub const TOLERATED: f64 = 0.10;
/// Share of repeats at which rivals no longer exclude each other at all.
const ALL: f64 = 0.50;
/// Exclusivity that is taken for none.
const HARDLY: f64 = 0.125;

/// Nearest lines of the same list of a sample of records.
pub fn neighbours(records: &Records) -> Vec<(u32, u32)> {
    neighbours_in_lists(records, step(records), |_| true)
}

fn step(records: &Records) -> usize {
    (records.len() / SAMPLE).max(1)
}

/// Share of records, by list, that have a repeat in the same list: the share under which what each record and its
/// nearest neighbour differ in is likeliest.
pub(super) fn rates(
    records: &Records,
    pairs: &[(u32, u32)],
    comparisons: &[Comparison],
    places: &Places,
    learned: &Learned,
    telling: &Telling,
) -> Vec<f64> {
    let lists = records.lists as usize;
    // a shop has one number for a part: lines of its list that read alike are parts that it tells too little of
    if lists < 2 || places.numbering == Numbering::OnePartOneNumber {
        return vec![0.0; lists];
    }
    let (neighbours, opposites) = (&places.neighbours, &places.opposites);
    let step = step(records);
    let apart = Apart::learn(records, pairs, comparisons, &learned.probability);
    let mut nearest: Vec<f64> = vec![f64::NEG_INFINITY; records.len()];
    let evidence: Vec<f64> = neighbours
        .par_iter()
        .map(|&(a, b)| {
            let (x, y) = (&records.list[a as usize], &records.list[b as usize]);
            let mut comparison = compare_in(&mut Scratch::default(), records, opposites, x, y);
            comparison.levels[Field::Telling as usize] = telling.level(&Sides::of(records, x, y), None);
            apart.evidence(&comparison)
        })
        .collect();
    for (&(a, b), evidence) in neighbours.iter().zip(evidence) {
        for i in [a as usize, b as usize] {
            nearest[i] = nearest[i].max(evidence);
        }
    }
    let mut by_list: Vec<Vec<f64>> = vec![Vec::new(); lists];
    for (record, nearest) in records.list.iter().zip(nearest).step_by(step) {
        by_list[record.list as usize].push(nearest.exp());
    }
    by_list.iter().map(|ratios| share(ratios)).collect()
}

/// What tells a second line of one part from a line of its sibling: differences only, as lines of one list are alike
/// anyhow. Learned between lists: likely pairs against the closest others of the same records. Where these look just
/// like likely pairs, the list holds a part more than once.
struct Apart {
    ratio: [[f64; LEVELS]; DIFFERENCES.len()],
}

const DIFFERENCES: [Field; 3] = [Field::Telling, Field::Codes, Field::Figures];

impl Apart {
    fn learn(records: &Records, pairs: &[(u32, u32)], comparisons: &[Comparison], probability: &[f64]) -> Apart {
        // by record and other list: whether it has a likely pair there, and the closest of the others
        let mut places: FxHashMap<(u32, u32), (bool, Option<u32>)> = FxHashMap::default();
        let mut same = [[0.0; LEVELS]; DIFFERENCES.len()];
        let mut other = [[0.0; LEVELS]; DIFFERENCES.len()];
        let count = |sums: &mut [[f64; LEVELS]; DIFFERENCES.len()], c: &Comparison, weight: f64| {
            for (sum, field) in sums.iter_mut().zip(DIFFERENCES) {
                sum[c.levels[field as usize] as usize] += weight;
            }
        };
        for (at, ((&(a, b), c), &p)) in pairs.iter().zip(comparisons).zip(probability).enumerate() {
            if c.lies == Lies::Inside {
                continue;
            }
            if p >= 0.5 {
                count(&mut same, c, p);
            }
            for (i, j) in [(a, b), (b, a)] {
                let place = places.entry((i, records.list[j as usize].list)).or_default();
                if p >= 0.5 {
                    place.0 = true;
                } else if place.1.is_none_or(|k| c.cosine > comparisons[k as usize].cosine) {
                    place.1 = Some(at as u32);
                }
            }
        }
        for (_, closest) in places.values().filter(|place| place.0) {
            if let Some(k) = closest {
                count(&mut other, &comparisons[*k as usize], 1.0);
            }
        }
        Apart {
            ratio: std::array::from_fn(|f| ratios(&same[f], &other[f])),
        }
    }

    /// ln odds that two neighbours are one part; identifiers that differ leave none, and equal ones are no news.
    fn evidence(&self, c: &Comparison) -> f64 {
        let level = |field: Field| c.levels[field as usize];
        if level(Field::Barcode) != 0
            || !matches!(level(Field::Number), 0 | 5)
            || level(Field::Kind) > 1
            || level(Field::Claims) == 2
        {
            return f64::NEG_INFINITY;
        }
        DIFFERENCES
            .iter()
            .zip(&self.ratio)
            .map(|(field, ratio)| ratio[level(*field) as usize])
            .sum()
    }
}

/// ln of the shares by level, each level drawn towards no difference by a few pairs; level 0 says nothing.
fn ratios(same: &[f64; LEVELS], other: &[f64; LEVELS]) -> [f64; LEVELS] {
    let (all_same, all_other): (f64, f64) = (same[1..].iter().sum(), other[1..].iter().sum());
    std::array::from_fn(|level| {
        if level == 0 {
            return 0.0;
        }
        let both = (same[level] + other[level]) / (all_same + all_other).max(1e-9);
        let share = |count: f64, all: f64| (count + CAUTION * both) / (all + CAUTION);
        if both > 0.0 {
            (share(same[level], all_same) / share(other[level], all_other)).ln()
        } else {
            0.0
        }
    })
}

/// The likeliest share of true pairs among pairs with these likelihood ratios.
fn share(ratios: &[f64]) -> f64 {
    let mut share = 0.5;
    for _ in 0..SETTLING {
        let sum: f64 = ratios.iter().map(|r| share * r / (1.0 - share + share * r)).sum();
        share = sum / (ratios.len() as f64 + CAUTION);
    }
    share
}

/// How far rivals exclude each other in a list that repeats itself at this rate; 1 = only one can be true. Odds run into
/// thousands, so that the least exclusion weighs among strong rivals as a full one does: below an eighth there is none.
pub fn exclusivity(rate: f64) -> f32 {
    let exclusivity = (1.0 - (rate - TOLERATED) / (ALL - TOLERATED)).clamp(0.0, 1.0);
    if exclusivity < HARDLY { 0.0 } else { exclusivity as f32 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_that_seldom_repeats_itself_keeps_its_rivals() {
        assert_eq!(exclusivity(0.0), 1.0);
        assert_eq!(exclusivity(0.03), 1.0);
    }

    #[test]
    fn neighbours_that_differ_as_siblings_do_are_no_repeats_and_those_that_differ_as_copies_do_are() {
        let siblings = vec![0.05; 100];
        assert!(share(&siblings) < 0.01);
        let mixed: Vec<f64> = (0..100).map(|i| if i < 40 { 30.0 } else { 0.02 }).collect();
        assert!((share(&mixed) - 0.4).abs() < 0.05, "{}", share(&mixed));
    }

    #[test]
    fn a_level_that_losers_show_more_often_speaks_against_a_repeat() {
        let (mut same, mut other) = ([0.0; LEVELS], [0.0; LEVELS]);
        (same[1], same[5]) = (90.0, 10.0);
        (other[1], other[5]) = (10.0, 90.0);
        let ratio = ratios(&same, &other);
        assert!(ratio[1] > 1.5 && ratio[5] < -1.5 && ratio[0] == 0.0, "{ratio:?}");
    }

    #[test]
    fn a_list_full_of_repeats_has_no_rivals() {
        assert_eq!(exclusivity(0.6), 0.0);
        assert_eq!(exclusivity(0.48), 0.0, "a little is as much as all among strong rivals");
        assert!(exclusivity(0.3) < exclusivity(0.2));
    }
}
