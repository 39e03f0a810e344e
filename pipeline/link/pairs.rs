//! All candidate pairs compared, side by side.

use super::blocks::Candidates;
use super::compare::{Comparison, Scratch, compare_in};
use super::opposites::Opposites;
use super::records::Records;
use rayon::prelude::*;

/// Pairs compared as one piece of parallel work.
const COMPARED_AT_ONCE: usize = 4096;

pub(super) fn compare_all(records: &Records, opposites: &Opposites, candidates: &Candidates) -> Vec<Comparison> {
    candidates
        .pairs
        .par_iter()
        .zip(&candidates.by_words)
        .map_init(Scratch::default, |scratch, (&pair, &by_words)| Comparison {
            by_words,
            ..compare_pair(scratch, records, opposites, pair)
        })
        .collect()
}

fn compare_pair(scratch: &mut Scratch, records: &Records, opposites: &Opposites, (a, b): (u32, u32)) -> Comparison {
    compare_in(
        scratch,
        records,
        opposites,
        &records.list[a as usize],
        &records.list[b as usize],
    )
}

/// The same where some pairs were compared before; both lists of pairs ascend.
pub(super) fn compare_further(
    records: &Records,
    opposites: &Opposites,
    candidates: &Candidates,
    before: &[(u32, u32)],
    compared: &[Comparison],
) -> Vec<Comparison> {
    candidates
        .pairs
        .par_chunks(COMPARED_AT_ONCE)
        .zip(candidates.by_words.par_chunks(COMPARED_AT_ONCE))
        .flat_map_iter(|(pairs, by_words)| {
            let first = before.partition_point(|pair| *pair < pairs[0]);
            let mut known = before[first..].iter().zip(&compared[first..]).peekable();
            let mut scratch = Scratch::default();
            pairs.iter().zip(by_words).map(move |(pair, &by_words)| {
                let comparison = match known.next_if(|k| k.0 == pair) {
                    Some((_, comparison)) => *comparison,
                    None => compare_pair(&mut scratch, records, opposites, *pair),
                };
                Comparison { by_words, ..comparison }
            })
        })
        .collect()
}
