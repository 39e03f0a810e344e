//! How often a list repeats the same part, learned without labels.
//!
//! Rivals exclude each other only where a list offers one made part once. Whether it does shows in the
//! list itself: a record's nearest neighbour in its *own* list is compared with the same weights that
//! were learned between lists. If such neighbours look as alike as true pairs between lists do, the
//! list repeats itself, and exclusivity is relaxed for it in proportion.

use super::blocks::neighbours_in_lists;
use super::compare::{Comparison, compare};
use super::records::Records;
use super::weights::Learned;

/// Records looked at.
const SAMPLE: usize = 4_000;
/// A neighbour this far down among the true pairs (as a share of them) counts as a repeat.
const QUANTILE: f64 = 0.25;
/// Repeats up to this share are taken for slips of the measure.
pub const TOLERATED: f64 = 0.10;
/// Share of repeats at which rivals no longer exclude each other at all.
const ALL: f64 = 0.50;

/// Share of records, by list, whose nearest neighbour in the same list looks like the same part.
pub fn rates(records: &Records, pairs: &[(u32, u32)], comparisons: &[Comparison], learned: &Learned) -> Vec<f64> {
    let lists = records.lists as usize;
    if lists < 2 {
        return vec![0.0; lists];
    }
    let mut likely: Vec<f64> = pairs
        .iter()
        .zip(comparisons)
        .zip(&learned.probability)
        .filter(|(((a, b), _), p)| **p >= 0.5 && records.list[*a as usize].list != records.list[*b as usize].list)
        .map(|((_, c), _)| learned.weights.log_odds(c))
        .collect();
    if likely.len() < 20 {
        return vec![0.0; lists];
    }
    likely.sort_unstable_by(f64::total_cmp);
    let as_alike = likely[(likely.len() as f64 * QUANTILE) as usize];
    let mut looked = vec![0u32; lists];
    let step = (records.len() / SAMPLE).max(1);
    for record in records.list.iter().step_by(step) {
        looked[record.list as usize] += 1;
    }
    let mut repeated: Vec<(u32, u32)> = Vec::new();
    for (a, b) in neighbours_in_lists(records, step, |_| true) {
        let (x, y) = (&records.list[a as usize], &records.list[b as usize]);
        if learned.weights.log_odds(&compare(records, x, y)) >= as_alike {
            repeated.extend(
                [a, b]
                    .iter()
                    .filter(|i| (**i as usize).is_multiple_of(step))
                    .map(|i| (x.list, *i)),
            );
        }
    }
    repeated.sort_unstable();
    repeated.dedup();
    let mut found = vec![0u32; lists];
    repeated.iter().for_each(|r| found[r.0 as usize] += 1);
    found
        .iter()
        .zip(&looked)
        .map(|(f, n)| f64::from(*f) / f64::from((*n).max(1)))
        .collect()
}

/// How far rivals exclude each other in a list that repeats itself at this rate; 1 = only one can be true.
pub fn exclusivity(rate: f64) -> f32 {
    (1.0 - (rate - TOLERATED) / (ALL - TOLERATED)).clamp(0.0, 1.0) as f32
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
    fn a_list_full_of_repeats_has_no_rivals() {
        assert_eq!(exclusivity(0.6), 0.0);
        assert!(exclusivity(0.3) < exclusivity(0.2));
    }
}
