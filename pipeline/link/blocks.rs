//! Pairs worth comparing: several keys, each with a cap and a count.
//!
//! Keys, in order:
//! 1. the same barcode, the same part number where it may be both lines' own (`number_levels::identifies`);
//! 2. rare title words, and those of titles and further texts together where there are such: for each record the best [`super::nearest::PER_LIST`] candidates of every other list by
//!    shared idf, at most [`super::nearest::PER_RECORD`] in all, fewer where there are more than three lists; a list that
//!    is alone is searched for its own repeats.
//!
//! An identifier brings records together whatever kind they were read as; words only inside a kind.
//!
//! Limits: a number carried by more than [`NUMBER_CAP`] records is too common (a brand, a
//! placeholder, a range of machines) and blocks nothing; a word carried by more than the word cap
//! is not followed. Both are counted, never silent. Cost grows with the records, not with their square.

use super::nearest::{By, Postings, Where, best_pairs};
use super::number_levels::identifies;
use super::records::{NumberId, NumberPlace, Records};
use rayon::prelude::*;

/// Records one number may block together.
pub const NUMBER_CAP: usize = 120;

/// What blocking did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct BlockCounts {
    /// pairs from barcodes and numbers
    pub by_number: u64,
    /// pairs from words that no number gave
    pub by_words: u64,
    /// numbers dropped because too many records carry them
    pub numbers_too_common: u64,
    /// words not followed because too many records carry them
    pub words_too_common: u64,
}

/// Pairs of record indices, each with the smaller index first, ascending, without repeats.
#[derive(Debug, Default)]
pub struct Candidates {
    /// the pairs
    pub pairs: Vec<(u32, u32)>,
    /// by pair, whether words found it, whatever else did
    pub by_words: Vec<bool>,
    /// how they came about
    pub counts: BlockCounts,
}

impl Candidates {
    /// Takes in further pairs, found by words or otherwise.
    pub fn add(&mut self, more: Vec<(u32, u32)>, by_words: bool) {
        let before = self.pairs.len();
        let known = self.pairs.drain(..).zip(self.by_words.drain(..));
        let mut all: Vec<((u32, u32), bool)> = known.chain(more.into_iter().map(|pair| (pair, by_words))).collect();
        // of equal pairs the one that words found comes first
        all.par_sort_unstable_by_key(|&(pair, by_words)| (pair, !by_words));
        all.dedup_by_key(|found| found.0);
        (self.pairs, self.by_words) = all.into_iter().unzip();
        self.counts.by_words += (self.pairs.len() - before) as u64;
    }
}

/// Finds the candidate pairs of all records.
pub fn candidates(records: &Records) -> Candidates {
    let mut counts = BlockCounts::default();
    let mut pairs = by_identifier(records, &mut counts);
    pairs.sort_unstable();
    pairs.dedup();
    counts.by_number = pairs.len() as u64;
    let words = by_words(records, &mut counts);
    let mut candidates = Candidates {
        by_words: vec![false; pairs.len()],
        pairs,
        counts,
    };
    candidates.add(words, true);
    candidates
}

/// A barcode, with the topmost bit set, or a number; the record it stands on, and where.
type Key = (u64, u32, NumberPlace);

fn by_identifier(records: &Records, counts: &mut BlockCounts) -> Vec<(u32, u32)> {
    let mut keys: Vec<Key> = Vec::new();
    for (i, record) in records.list.iter().enumerate() {
        if record.gtin != 0 {
            keys.push((record.gtin | 1 << 63, i as u32, NumberPlace::Own));
        }
        keys.extend(record.numbers.iter().map(|n| (u64::from(n.1), i as u32, n.0)));
    }
    keys.par_sort_unstable();
    keys.dedup_by_key(|key| (key.0, key.1));
    let mut pairs = Vec::new();
    for block in keys.chunk_by(|a, b| a.0 == b.0) {
        if block.len() > NUMBER_CAP {
            counts.numbers_too_common += 1;
            continue;
        }
        for (k, a) in block.iter().enumerate() {
            let record = |key: &Key| (&records.list[key.1 as usize], key.2);
            let barcode = a.0 >> 63 == 1;
            let others = block[k + 1..]
                .iter()
                .filter(|b| barcode || identifies(records, record(a), record(b), a.0 as NumberId));
            pairs.extend(others.map(|b| (a.1, b.1)));
        }
    }
    pairs
}

/// Records per word beyond which the word is not followed: grows slowly with the run.
fn word_cap(records: usize) -> usize {
    if records > 20_000 {
        120
    } else {
        (records / 3).clamp(100, 800)
    }
}

fn by_words(records: &Records, counts: &mut BlockCounts) -> Vec<(u32, u32)> {
    let cap = word_cap(records.len());
    counts.words_too_common = records.words.iter().filter(|w| w.records as usize > cap).count() as u64;
    let postings = Postings::of(records, By::Titles, cap);
    let indices: Vec<u32> = (0..records.len() as u32).collect();
    let mut pairs = best_pairs(records, &postings, &indices, Where::OtherLists);
    if !records.whole_idf.is_empty() {
        let postings = Postings::of(records, By::Everything, cap);
        let told: Vec<u32> = indices
            .into_iter()
            .filter(|i| !records.list[*i as usize].everything.is_empty())
            .collect();
        pairs.append(&mut best_pairs(records, &postings, &told, Where::OtherLists));
    }
    pairs
}

/// Nearest neighbours by words inside the same list, for every `step`-th record of the lists asked for.
pub fn neighbours_in_lists(records: &Records, step: usize, asked: impl Fn(u32) -> bool + Sync) -> Vec<(u32, u32)> {
    let postings = Postings::of(records, By::Titles, word_cap(records.len()));
    let indices: Vec<u32> = (0..records.len() as u32)
        .step_by(step)
        .filter(|i| asked(records.list[*i as usize].list))
        .collect();
    let mut pairs = best_pairs(records, &postings, &indices, Where::OwnList);
    pairs.par_sort_unstable();
    pairs.dedup();
    pairs
}

#[cfg(test)]
mod tests {
    use super::super::records::{NumberPlace, RecordText};
    use super::*;

    #[test]
    fn a_word_is_followed_up_to_a_third_of_few_records_and_to_a_fixed_cap_of_many() {
        let caps = [0, 300, 900, 2_400, 20_000, 20_001, 1_000_000].map(word_cap);
        assert_eq!(caps, [100, 100, 300, 800, 800, 120, 120]);
    }

    #[test]
    fn only_equal_barcodes_and_numbers_bring_records_together_and_a_barcode_is_no_number() {
        let coded = |gtin: u64, number: &'static str| RecordText {
            gtin,
            numbers: vec![(NumberPlace::Own, number)],
            ..RecordText::titled(0, "")
        };
        let records = Records::of(&[
            coded(4_006_381_333_931, "TV4471A"),
            coded(9_520_274_002_889, "TV4982C"),
            coded(4_006_381_333_931, "KD1"),
            // the first number of all is numbered 0, the third 2
            coded(2, "TV4982C"),
        ]);
        let found = candidates(&records);
        assert_eq!(found.pairs, [(0, 2), (1, 3)]);
        assert_eq!((found.counts.by_number, found.counts.by_words), (2, 0));
    }

    #[test]
    fn further_pairs_are_taken_in_once_and_in_order() {
        let mut found = Candidates {
            pairs: vec![(0, 2), (1, 3)],
            by_words: vec![false; 2],
            counts: BlockCounts::default(),
        };
        found.add(vec![(1, 2), (0, 2), (0, 1)], true);
        assert_eq!(found.pairs, [(0, 1), (0, 2), (1, 2), (1, 3)]);
        assert_eq!(found.by_words, [true, true, true, false]);
        assert_eq!(found.counts.by_words, 2);
    }

    #[test]
    fn neighbours_inside_a_list_are_those_of_the_lists_asked_for() {
        let titles = [
            "brunlo lever red",
            "brunlo lever blue",
            "drolik knob",
            "brunlo lever red",
        ];
        let of_list = [0, 0, 1, 1];
        let texts: Vec<RecordText<'_>> = of_list
            .iter()
            .zip(titles)
            .map(|(l, t)| RecordText::titled(*l, t))
            .collect();
        let records = Records::of(&texts);
        assert_eq!(neighbours_in_lists(&records, 1, |list| list == 0), [(0, 1)]);
        assert!(neighbours_in_lists(&records, 1, |list| list == 1).is_empty());
        assert!(neighbours_in_lists(&records, 1, |_| false).is_empty());
    }
}
