//! A part of the products, from which the classes are found where there are very many.
//!
//! What an engine class is like is known from some thousand products; more of them only cost time, and give chance more to
//! build on. Every so many-th product is picked; of a small class all are, since each is needed, and so is every product
//! that a person's word is about.

use super::classes::Posterior;
use super::decided::Held;
use super::evidence::Evidence;

/// Classes of fewer products are picked whole.
const WHOLE: usize = 200;

/// Products picked, with where they stand and what is said of them, numbered by their places here.
pub(super) struct Sample {
    /// products, ascending
    picked: Vec<u32>,
    /// their claims
    pub evidence: Vec<Evidence>,
    /// their probabilities over the classes
    pub memberships: Vec<Posterior>,
    /// a person's words on them
    pub held: Held,
}

impl Sample {
    /// Picks about `wanted` products; `None` where there are no more than that.
    pub fn of(evidence: &[Evidence], memberships: &[Posterior], held: &Held, wanted: usize) -> Option<Sample> {
        if evidence.len() <= wanted {
            return None;
        }
        let step = evidence.len().div_ceil(wanted);
        let class = |i: usize| memberships[i].first().map(|m| m.0 as usize);
        let classes = (0..evidence.len()).filter_map(class).max().map_or(0, |k| k + 1);
        let mut counts = vec![0usize; classes];
        (0..evidence.len()).filter_map(class).for_each(|k| counts[k] += 1);
        let of_small = |i: usize| class(i).is_some_and(|k| counts[k] < WHOLE);
        let words = held.products();
        let picked: Vec<u32> = (0..evidence.len())
            .filter(|i| i % step == 0 || of_small(*i) || words.contains(&(*i as u32)))
            .map(|i| i as u32)
            .collect();
        Some(Sample {
            evidence: picked.iter().map(|i| evidence[*i as usize].clone()).collect(),
            memberships: picked.iter().map(|i| memberships[*i as usize].clone()).collect(),
            held: held.among(&picked),
            picked,
        })
    }

    /// Hands back where the picked products stand; of the others nothing is known any more.
    pub fn hand_back(self, memberships: &mut [Posterior]) {
        memberships.iter_mut().for_each(Vec::clear);
        for (i, posterior) in self.picked.into_iter().zip(self.memberships) {
            memberships[i as usize] = posterior;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::decided::{FitWord, Fits};
    use super::super::test_products::silent;
    use super::*;
    use crate::link::Products;

    /// A thousand products: the first five of a small class, the rest of a large one.
    fn world() -> (Vec<Evidence>, Vec<Posterior>) {
        let memberships = (0..1000).map(|i| vec![(u32::from(i >= 5), 1.0)]).collect();
        (vec![silent(); 1000], memberships)
    }

    #[test]
    fn a_small_class_and_what_a_person_spoke_of_are_picked_whole() {
        let (evidence, memberships) = world();
        let words = [FitWord {
            offer: 777,
            like: 333,
            fits: Fits::Like,
            word: 0,
        }];
        let held = Held::of(&words, &Products::one_each(&(0..1000).collect::<Vec<_>>()));
        let sample = Sample::of(&evidence, &memberships, &held, 100);
        let picked = sample.as_ref().map(|s| s.picked.clone()).unwrap_or_default();
        assert!(
            [0, 1, 2, 3, 4, 10, 333, 777, 990].iter().all(|i| picked.contains(i)),
            "{picked:?}"
        );
        assert_eq!(picked.len(), 100 + 4 + 2);
        let mut after = memberships.clone();
        if let Some(mut sample) = sample {
            sample.memberships.iter_mut().for_each(|m| m[0].0 = 7);
            sample.held.hold(&mut sample.memberships);
            sample.hand_back(&mut after);
        }
        assert!(picked.iter().all(|i| after[*i as usize][0].0 == 7));
        assert!(after[991].is_empty());
    }

    #[test]
    fn few_products_are_all_looked_at() {
        let (evidence, memberships) = world();
        assert!(Sample::of(&evidence, &memberships, &Held::default(), 1000).is_none());
    }
}
