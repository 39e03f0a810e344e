//! What a person says fits or does not, held through the learning.
//!
//! A word is about the part of one offer and the fit group in which another offer stands. *Like*: the product goes where
//! the other product goes; products bound so follow the one that is placed surest without such a word of its own. *Not*:
//! the product does not go there. Where the two state interfaces that differ, they may be variants of one engine class, and
//! the product only keeps out of the other's variant. The word stands at [`PERSONS_WORD`] in every round, so the classes
//! learn from it: the claims of a product that was placed by hand count in its class, those of one that was taken out do
//! not.
//!
//! A word that takes a product out of the very group into which other words put it contradicts them; then neither is
//! held, and they are handed back to be reported.

use super::classes::Posterior;
use super::evidence::Evidence;
use super::placing::Place;
use super::stated::differ;
use super::variants::limit_mm;
use crate::link::Products;
use crate::link::products::PERSONS_WORD;
use std::collections::{BTreeMap, BTreeSet};

/// Whether it fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fits {
    /// in place of the other offer's part
    Like,
    /// not there
    Not,
}

/// A person's word on an offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FitWord {
    /// offer asked about
    pub offer: u32,
    /// offer that stands for the fit group
    pub like: u32,
    /// the word
    pub fits: Fits,
    /// number by which the word is reported
    pub word: usize,
}

/// The words on the products of a run.
#[derive(Debug, Default)]
pub(super) struct Held {
    words: Vec<(u32, u32, FitWord)>,
    /// words by their places above that say of two interfaces what these say themselves
    of_interfaces: Vec<usize>,
    /// products bound together, the leader not known yet
    bound: Vec<Vec<u32>>,
}

impl Held {
    /// Brings the words from offers to their products. Two offers of one product are of one mind already.
    pub fn of(words: &[FitWord], products: &Products) -> Held {
        let product = |offer: u32| products.of_offer[offer as usize];
        let words: Vec<(u32, u32, FitWord)> = words
            .iter()
            .map(|word| (product(word.offer), product(word.like), *word))
            .collect();
        let mut group_of: BTreeMap<u32, u32> = BTreeMap::new();
        for &(a, b, _) in words.iter().filter(|w| w.2.fits == Fits::Like && w.0 != w.1) {
            let (x, y) = (*group_of.entry(a).or_insert(a), *group_of.entry(b).or_insert(b));
            let (from, into) = (x.max(y), x.min(y));
            group_of.values_mut().filter(|g| **g == from).for_each(|g| *g = into);
        }
        let mut bound: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for (product, group) in group_of {
            bound.entry(group).or_default().push(product);
        }
        Held {
            words,
            of_interfaces: Vec::new(),
            bound: bound.into_values().collect(),
        }
    }

    /// Notes the words that part two products whose interfaces differ by what they state: these may well be variants of one
    /// engine class, and neither has to leave it.
    pub fn note_interfaces(&mut self, evidence: &[Evidence]) {
        let differs = |w: &(u32, u32, FitWord)| {
            let (product, like) = (&evidence[w.0 as usize], &evidence[w.1 as usize]);
            w.2.fits == Fits::Not && differ(product, like, limit_mm())
        };
        self.of_interfaces = (0..self.words.len()).filter(|at| differs(&self.words[*at])).collect();
    }

    /// Products that words are about, ascending.
    pub fn products(&self) -> BTreeSet<u32> {
        self.words.iter().flat_map(|w| [w.0, w.1]).collect()
    }

    /// The words for some of the products only, all that words are about among them, numbered by their places there.
    pub fn among(&self, picked: &[u32]) -> Held {
        let place = |product: &u32| picked.binary_search(product).map_or(u32::MAX, |at| at as u32);
        Held {
            words: self.words.iter().map(|w| (place(&w.0), place(&w.1), w.2)).collect(),
            of_interfaces: self.of_interfaces.clone(),
            bound: self
                .bound
                .iter()
                .map(|members| members.iter().map(place).collect())
                .collect(),
        }
    }

    /// The member that the others follow: surest of those that are only followed, else surest of all.
    fn leader(&self, members: &[u32], memberships: &[Posterior]) -> u32 {
        let follows = |product: u32| {
            self.words
                .iter()
                .any(|w| w.2.fits == Fits::Like && w.0 == product && w.1 != product)
        };
        let sure = |product: u32| memberships[product as usize].first().map_or(0.0, |p| p.1);
        let best = members.iter().copied().max_by(|x, y| {
            follows(*y)
                .cmp(&follows(*x))
                .then(sure(*x).total_cmp(&sure(*y)))
                .then(y.cmp(x))
        });
        best.unwrap_or_default()
    }

    /// Puts the words into the memberships of a round.
    pub fn hold(&self, memberships: &mut [Posterior]) {
        for members in &self.bound {
            let leader = self.leader(members, memberships);
            let model = memberships[leader as usize].clone();
            for &member in members.iter().filter(|m| **m != leader) {
                follow(&mut memberships[member as usize], &model);
            }
        }
        for (at, &(product, like, word)) in self.words.iter().enumerate() {
            if word.fits == Fits::Not && product != like && !self.of_interfaces.contains(&at) {
                let Some(&(class, _)) = memberships[like as usize].first() else {
                    continue;
                };
                if !self.is_bound(product, like) {
                    leave(&mut memberships[product as usize], class);
                }
            }
        }
    }

    fn is_bound(&self, x: u32, y: u32) -> bool {
        self.bound
            .iter()
            .any(|members| members.contains(&x) && members.contains(&y))
    }

    /// Puts the words into the places, variants included, and returns the words that contradict each other.
    pub fn settle(
        &self,
        places: &mut [Place],
        variant: &mut [f64],
        evidence: &[Evidence],
        memberships: &[Posterior],
    ) -> Vec<Vec<usize>> {
        for members in &self.bound {
            let leader = self.leader(members, memberships) as usize;
            for &member in members.iter().filter(|m| **m as usize != leader) {
                if evidence[member as usize].kind == evidence[leader].kind {
                    places[member as usize] = places[leader];
                    variant[member as usize] = variant[leader];
                }
            }
        }
        let mut contradicted = Vec::new();
        for &(product, like, word) in self.words.iter().filter(|w| w.2.fits == Fits::Not) {
            if places[product as usize] != places[like as usize] {
                continue;
            }
            let binding = self.words_about(product);
            if binding.is_empty() && product != like {
                places[product as usize] = Place::Alone {
                    kind: evidence[product as usize].kind.0,
                    product,
                };
            } else {
                let mut words = binding;
                words.push(word.word);
                contradicted.push(words);
            }
        }
        contradicted
    }

    /// Words that put a product into its place.
    fn words_about(&self, product: u32) -> Vec<usize> {
        let group = self.bound.iter().find(|members| members.contains(&product));
        let members: BTreeSet<u32> = group.into_iter().flatten().copied().collect();
        let binds = |w: &&(u32, u32, FitWord)| w.2.fits == Fits::Like && members.contains(&w.0);
        self.words.iter().filter(binds).map(|w| w.2.word).collect()
    }

    /// Gives the offers decided on the confidence of the offer they fit like, as far as a person's word is right.
    pub fn judge(&self, places: &[Place], confidence: &mut [f64]) {
        let placed = self
            .words
            .iter()
            .filter(|w| w.2.fits == Fits::Like && w.0 != w.1 && places[w.0 as usize] == places[w.1 as usize]);
        let sure: Vec<(u32, f64)> = placed
            .map(|w| (w.2.offer, PERSONS_WORD * confidence[w.2.like as usize]))
            .collect();
        for (offer, sure) in sure {
            confidence[offer as usize] = confidence[offer as usize].max(sure);
        }
    }
}

/// A product goes where its model goes, as far as a person's word is right.
fn follow(posterior: &mut Posterior, model: &Posterior) {
    let mut mixed: BTreeMap<u32, f64> = BTreeMap::new();
    for (share, list) in [(PERSONS_WORD, model), (1.0 - PERSONS_WORD, &*posterior)] {
        for &(class, p) in list {
            *mixed.entry(class).or_default() += share * p;
        }
    }
    *posterior = sorted(mixed);
}

/// A product leaves a class; the others and "none of them" share what it held there.
fn leave(posterior: &mut Posterior, class: u32) {
    let held = posterior.iter().find(|p| p.0 == class).map_or(0.0, |p| p.1);
    let left = 1.0 - PERSONS_WORD;
    if held <= left {
        return;
    }
    // at least a sliver is always somewhere else
    let elsewhere = (1.0 - held).max(1e-9);
    let spread = PERSONS_WORD / elsewhere;
    let mixed = posterior
        .iter()
        .map(|&(k, p)| (k, if k == class { left } else { p * spread }));
    *posterior = sorted(mixed.collect());
}

fn sorted(mixed: BTreeMap<u32, f64>) -> Posterior {
    let mut posterior: Posterior = mixed.into_iter().filter(|p| p.1 >= 0.002).collect();
    posterior.sort_by(|x, y| y.1.total_cmp(&x.1).then(x.0.cmp(&y.0)));
    posterior
}

#[cfg(test)]
#[path = "decided_tests.rs"]
mod tests;
