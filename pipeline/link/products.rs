//! What the link stage gives: products, the links between offers, and the counts of it.

use super::blocks::BlockCounts;
use super::cluster::{Edge, Parting, Word};
use super::compare::{Comparison, FIELDS};
use super::weights::PathWeights;

/// Links below this probability are not kept.
pub const KEPT: f64 = 0.05;

/// Probability that a person's word on two offers is right. People slip too: one time in a hundred (value from memory).
pub const PERSONS_WORD: f64 = 0.99;

/// What a person may set.
#[derive(Clone, Debug, Default)]
pub struct LinkSettings {
    /// pairs of offers a person has judged
    pub decisions: Vec<(u32, u32, Word)>,
}

/// One pair of offers compared and kept.
#[derive(Clone, Copy, Debug)]
pub struct Link {
    /// smaller offer index
    pub a: u32,
    /// larger offer index
    pub b: u32,
    /// probability that both are the very same part
    pub probability: f64,
    /// log odds of the pair alone, before its rivals
    pub alone: f64,
    /// what each field added to the log odds, by [`super::compare::Field`]
    pub parts: [f64; FIELDS],
}

/// What the stage did, for the run's account.
#[derive(Clone, Copy, Debug, Default)]
pub struct LinkCounts {
    /// candidate pairs and dropped keys
    pub blocks: BlockCounts,
    /// likely links that a constraint forbade
    pub forbidden: u64,
    /// likely links cut as the weak point of a chain
    pub cut: u64,
}

/// Offers sorted into products.
#[derive(Debug)]
pub struct Products {
    /// product of each offer, an index into `members`
    pub of_offer: Vec<u32>,
    /// offers of each product, ascending; products in the order of their first offer
    pub members: Vec<Vec<u32>>,
    /// probability that an offer belongs to its product
    pub confidence: Vec<f64>,
    /// links kept, ascending by pair
    pub links: Vec<Link>,
    /// counts of the stage
    pub counts: LinkCounts,
    /// learned weights, `None` when there was nothing to compare
    pub weights: Option<PathWeights>,
    /// by list: share of records with a repeat of the same part in that list
    pub repeats: Vec<f64>,
    /// decisions of a person that contradict each other
    pub contradicted: Vec<(u32, u32)>,
    /// pairs a person called the same although their identifiers forbid it
    pub overruled: Vec<(u32, u32)>,
    /// links more likely than not that did not become one product, ascending by pair, with the reason
    pub parted: Vec<(u32, u32, Parting)>,
}

#[cfg(test)]
impl Products {
    /// Every one of these offers alone, numbered from 0.
    pub fn one_each(offers: &[u32]) -> Products {
        Products {
            of_offer: (0..offers.len() as u32).collect(),
            members: (0..offers.len() as u32).map(|o| vec![o]).collect(),
            confidence: vec![1.0; offers.len()],
            links: Vec::new(),
            counts: LinkCounts::default(),
            weights: None,
            repeats: Vec::new(),
            contradicted: Vec::new(),
            overruled: Vec::new(),
            parted: Vec::new(),
        }
    }
}

pub(super) fn number_products(cluster_of: &[u32]) -> (Vec<u32>, Vec<Vec<u32>>) {
    let mut of_offer = vec![0u32; cluster_of.len()];
    let mut members: Vec<Vec<u32>> = Vec::new();
    for (i, &first) in cluster_of.iter().enumerate() {
        // the cluster is named by its smallest member, so that member has been seen before
        let product = if first as usize == i {
            members.push(Vec::new());
            members.len() as u32 - 1
        } else {
            of_offer[first as usize]
        };
        of_offer[i] = product;
        members[product as usize].push(i as u32);
    }
    (of_offer, members)
}

/// Odds of an offer being in its product against being elsewhere or alone: the links into the
/// product, the links out of it and, as one, no link at all.
pub(super) fn membership(of_offer: &[u32], edges: &[Edge]) -> Vec<f64> {
    let mut inside = vec![0.0f64; of_offer.len()];
    let mut outside = vec![0.0f64; of_offer.len()];
    for e in edges {
        let odds = (e.probability / (1.0 - e.probability).max(1e-6)).min(1e4);
        let side = if of_offer[e.a as usize] == of_offer[e.b as usize] {
            &mut inside
        } else {
            &mut outside
        };
        side[e.a as usize] += odds;
        side[e.b as usize] += odds;
    }
    inside
        .iter()
        .zip(&outside)
        .map(|(inside, outside)| {
            if *inside > 0.0 {
                inside / (1.0 + inside + outside)
            } else {
                1.0 / (1.0 + outside)
            }
        })
        .collect()
}

pub(super) fn kept_links(
    pairs: &[(u32, u32)],
    comparisons: &[Comparison],
    probability: &[f64],
    weights: Option<&PathWeights>,
    told: &[(u32, f64)],
) -> Vec<Link> {
    let Some(weights) = weights else { return Vec::new() };
    let is_told = |at: usize| told.binary_search_by_key(&(at as u32), |t| t.0).is_ok();
    pairs
        .iter()
        .zip(comparisons)
        .zip(probability)
        .enumerate()
        .filter(|(at, (_, p))| **p >= KEPT || is_told(*at))
        .map(|(_, ((&(a, b), c), &probability))| Link {
            a,
            b,
            probability,
            parts: weights.of(c).parts(c),
            alone: weights.log_odds(c),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_doubted_by_links_out_of_the_product_and_by_the_chance_of_no_link() {
        let edge = |a, b, probability| Edge { a, b, probability };
        // offers 0 and 1 are one product at odds of 9, 1 and 2 are not, at odds of 1; 3 has no link
        let sure = membership(&[0, 0, 1, 2], &[edge(0, 1, 0.9), edge(1, 2, 0.5)]);
        for (found, expected) in sure.iter().zip([9.0 / 10.0, 9.0 / 11.0, 1.0 / 2.0, 1.0]) {
            assert!((found - expected).abs() < 1e-9, "{sure:?}");
        }
    }
}
