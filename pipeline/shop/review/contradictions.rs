//! Decisions that cannot all be true: A is B, B is C, but A is not C.
//!
//! Both relations a person decides on, being the same part and fitting like it, hold through: what is the same as the
//! same is the same. So a word that keeps two offers apart contradicts every chain of words that brings them together.
//! Of each such word the shortest chain is named, all words of it fall, and what is left is looked at again, until the
//! rest can be true together. Which of the contradicting words is wrong only a person can tell; none is preferred.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What a word does with two offers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bond {
    /// it puts them together
    Together,
    /// it keeps them apart
    Apart,
    /// it says nothing of this relation
    Silent,
}

/// The contradictions among words: each a set of indices of words that cannot all be true.
pub fn contradictions(words: &[(u32, u32, Bond)]) -> Vec<Vec<usize>> {
    let mut fallen: BTreeSet<usize> = BTreeSet::new();
    let mut found = Vec::new();
    loop {
        let chains = Chains::of(words, &fallen);
        let new: Vec<Vec<usize>> = words
            .iter()
            .enumerate()
            .filter(|(at, word)| word.2 == Bond::Apart && !fallen.contains(at))
            .filter_map(|(at, word)| {
                let mut chain = chains.shortest(word.0, word.1)?;
                chain.push(at);
                chain.sort_unstable();
                Some(chain)
            })
            .collect();
        if new.is_empty() {
            return found;
        }
        fallen.extend(new.iter().flatten());
        found.extend(new);
    }
}

/// The words that put offers together, as a graph.
struct Chains {
    beside: BTreeMap<u32, Vec<(u32, usize)>>,
}

impl Chains {
    fn of(words: &[(u32, u32, Bond)], fallen: &BTreeSet<usize>) -> Chains {
        let mut beside: BTreeMap<u32, Vec<(u32, usize)>> = BTreeMap::new();
        for (at, &(a, b, bond)) in words.iter().enumerate() {
            if bond == Bond::Together && !fallen.contains(&at) {
                beside.entry(a).or_default().push((b, at));
                beside.entry(b).or_default().push((a, at));
            }
        }
        Chains { beside }
    }

    /// Words along a shortest chain; ties go to the words given first.
    fn shortest(&self, from: u32, to: u32) -> Option<Vec<usize>> {
        let mut came_by: BTreeMap<u32, (u32, usize)> = BTreeMap::new();
        let mut waiting = VecDeque::from([from]);
        while let Some(here) = waiting.pop_front() {
            if here == to {
                break;
            }
            for &(next, word) in self.beside.get(&here).into_iter().flatten() {
                if next != from && !came_by.contains_key(&next) {
                    came_by.insert(next, (here, word));
                    waiting.push_back(next);
                }
            }
        }
        let mut chain = Vec::new();
        let mut here = to;
        while here != from {
            let &(before, word) = came_by.get(&here)?;
            chain.push(word);
            here = before;
        }
        Some(chain)
    }
}

#[cfg(test)]
mod tests {
    use super::Bond::{Apart, Silent, Together};
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_chain_and_a_word_across_it_contradict_each_other_and_nothing_else_falls() {
        let words = [
            (1, 2, Together),
            (2, 3, Together),
            (1, 3, Apart),
            (7, 8, Together),
            (1, 7, Apart),
        ];
        assert_eq!(contradictions(&words), [vec![0, 1, 2]]);
    }

    #[test]
    fn one_pair_with_two_answers_contradicts_itself() {
        assert_eq!(contradictions(&[(1, 2, Together), (2, 1, Apart)]), [vec![0, 1]]);
        assert_eq!(
            contradictions(&[(1, 2, Silent), (2, 1, Apart)]),
            Vec::<Vec<usize>>::new()
        );
    }

    #[test]
    fn a_second_chain_is_found_after_the_first_fell() {
        let words = [(1, 2, Together), (1, 5, Together), (5, 2, Together), (1, 2, Apart)];
        // the short chain falls together with the word across it, so the long one may stand
        assert_eq!(contradictions(&words), [vec![0, 3]]);
    }

    fn words() -> impl Strategy<Value = Vec<(u32, u32, Bond)>> {
        let word = (0u32..9, 0u32..9, prop_oneof![Just(Together), Just(Apart)]);
        proptest::collection::vec(word.prop_filter("two offers", |word| word.0 != word.1), 0..24)
    }

    proptest! {
        #[test]
        fn what_is_left_can_be_true_together(words in words()) {
            let fallen: BTreeSet<usize> = contradictions(&words).into_iter().flatten().collect();
            let mut group: Vec<u32> = (0..9).collect();
            let left = |bond: Bond| {
                let kept = words.iter().enumerate().filter(|(at, _)| !fallen.contains(at));
                kept.filter(move |(_, word)| word.2 == bond).map(|(_, word)| (word.0, word.1)).collect::<Vec<_>>()
            };
            for (a, b) in left(Together) {
                let (from, into) = (group[a as usize], group[b as usize]);
                group.iter_mut().filter(|g| **g == from).for_each(|g| *g = into);
            }
            for (a, b) in left(Apart) {
                prop_assert_ne!(group[a as usize], group[b as usize]);
            }
        }

        #[test]
        fn every_word_that_falls_stands_in_a_contradiction_with_exactly_one_word_apart(words in words()) {
            for contradiction in contradictions(&words) {
                let apart = contradiction.iter().filter(|at| words[**at].2 == Apart).count();
                prop_assert_eq!(apart, 1);
            }
        }
    }
}
