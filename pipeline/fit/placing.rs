//! Where products go: class, kind and variant.
//!
//! A product that no class claims with at least [`LEAST_PLACED`] is not placed: it stands in a group of its own until
//! something is measured, rather than being joined to the commonest class.

use super::classes::{Classes, Posterior};
use super::confidence::Standing;
use super::evidence::Evidence;
use super::leanings::Leanings;
use super::stated::{Stated, stated};
use super::variant_odds;
use super::variants::{self, Variant};
use std::collections::BTreeMap;

/// Probability of the best class below which a product is not placed.
const LEAST_PLACED: f64 = 0.3;

/// Where a product goes: class, kind and variant.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Place {
    /// a variant of a class
    Class { kind: u8, class: u32, variant: u32 },
    /// nowhere yet
    Alone { kind: u8, product: u32 },
}

/// Where the products go.
pub(super) struct Placed {
    /// by product
    pub place: Vec<Place>,
    /// probability of the variant by product
    pub variant: Vec<f64>,
    /// by kind and class
    pub variants: BTreeMap<(u8, u32), Vec<Variant>>,
}

impl Placed {
    /// Where a product stands, as far as its confidence depends on it.
    pub fn standing(&self, product: usize) -> Standing {
        match self.place[product] {
            Place::Class { kind, class, .. } => Standing::InClass {
                class,
                kind,
                variant: self.variant[product],
            },
            Place::Alone { .. } => Standing::Alone,
        }
    }
}

/// Puts every product into its likeliest class, and there into its likeliest variant.
pub(super) fn place(evidence: &[Evidence], classes: &Classes, posteriors: &[Posterior]) -> Placed {
    let mut members: BTreeMap<(u8, u32), Vec<usize>> = BTreeMap::new();
    let mut interfaces: Vec<Stated> = Vec::with_capacity(evidence.len());
    for (i, (product, posterior)) in evidence.iter().zip(posteriors).enumerate() {
        let best = posterior.first().filter(|p| p.1 >= LEAST_PLACED);
        let class = best.and_then(|p| classes.list.get(p.0 as usize));
        interfaces.push(stated(product, class.map(|c| (c, classes))));
        if let Some(best) = best {
            members.entry((product.kind.0, best.0)).or_default().push(i);
        }
    }
    let mut placed = Placed {
        place: (0..evidence.len())
            .map(|i| Place::Alone {
                kind: evidence[i].kind.0,
                product: i as u32,
            })
            .collect(),
        variant: vec![1.0; evidence.len()],
        variants: BTreeMap::new(),
    };
    for ((kind, class), list) in members {
        let said: Vec<Stated> = list.iter().map(|i| interfaces[*i]).collect();
        let mut found = variants::find(&said);
        let beside = Leanings::of(list.iter().map(|i| &evidence[*i]));
        let judged = variant_odds::judge(&said, &mut found, beside);
        for (&i, p) in list.iter().zip(&judged) {
            let best = (0..p.len())
                .max_by(|x, y| p[*x].total_cmp(&p[*y]).then(y.cmp(x)))
                .unwrap_or(0);
            placed.place[i] = Place::Class {
                kind,
                class,
                variant: best as u32,
            };
            placed.variant[i] = p[best];
        }
        placed.variants.insert((kind, class), found);
    }
    placed
}
