//! Where products go: class, kind and variant.
//!
//! A product that no class claims with at least [`LEAST_PLACED`] is not placed: it stands in a group of its own until
//! something is measured, rather than being joined to the commonest class.

use super::classes::{Classes, Posterior};
use super::confidence::Standing;
use super::elsewhere::Elsewhere;
use super::evidence::Evidence;
use super::interface::weights_of;
use super::leanings::Leanings;
use super::scales::Field;
use super::stated::{Light, Stated, stated};
use super::variants::{self, Variant};
use std::collections::BTreeMap;

/// Probability of the best class below which a product is not placed.
pub const LEAST_PLACED: f64 = 0.3;

/// Where a product goes: class, kind and variant.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Place {
    /// a variant of a class
    Class { kind: u8, class: u32, variant: u32 },
    /// nowhere yet
    Alone { kind: u8, product: u32 },
}

/// How much the circle and the hole count that a product states move the natural log odds of its variant, each.
pub type InterfaceWeight = [f32; 2];

/// Where the products go.
pub(super) struct Placed {
    /// by product
    pub place: Vec<Place>,
    /// probability of the variant by product
    pub variant: Vec<f64>,
    /// by product: how much circle and hole count each move the log odds of its variant
    pub interface: Vec<InterfaceWeight>,
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

/// Puts every product into its likeliest class, and there into its likeliest variant; `lists` numbers the list of each
/// offer.
pub(super) fn place(evidence: &[Evidence], classes: &Classes, posteriors: &[Posterior], lists: &[u32]) -> Placed {
    let mut members: BTreeMap<(u8, u32), Vec<usize>> = BTreeMap::new();
    for (i, (product, posterior)) in evidence.iter().zip(posteriors).enumerate() {
        let best = posterior.first().filter(|p| p.1 >= LEAST_PLACED);
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
        interface: vec![[0.0; 2]; evidence.len()],
        variants: BTreeMap::new(),
    };
    for ((kind, class), list) in members {
        let light = Light {
            class: classes.list.get(class as usize).map(|c| (c, classes)),
            lists,
            ..Light::default()
        };
        let members: Vec<&Evidence> = list.iter().map(|i| &evidence[*i]).collect();
        let said = interfaces(&members, light);
        let elsewhere = Elsewhere::of(classes, class, kind);
        let mut found = variants::find(&said, &elsewhere);
        let beside = Leanings::of(members.into_iter());
        let judged = variants::judge(&said, &mut found, beside, &elsewhere);
        for ((&i, p), said) in list.iter().zip(&judged).zip(&said) {
            let best = (0..p.len())
                .max_by(|x, y| p[*x].total_cmp(&p[*y]).then(y.cmp(x)))
                .unwrap_or(0);
            placed.place[i] = Place::Class {
                kind,
                class,
                variant: best as u32,
            };
            placed.variant[i] = p[best];
            placed.interface[i] = weights_of(said, &found, best, &elsewhere);
        }
        placed.variants.insert((kind, class), found);
    }
    placed
}

/// What products of one class and kind state; those that state several things are read again in the light of what is usual.
fn interfaces(members: &[&Evidence], light: Light<'_>) -> Vec<Stated> {
    let mut said: Vec<Stated> = members.iter().map(|product| stated(product, light)).collect();
    let common = variants::common(&said);
    let light = Light {
        circle_mm: common.circle_mm,
        holes: common.holes,
        ..light
    };
    for (said, product) in said.iter_mut().zip(members) {
        if [Field::Circle, Field::Holes]
            .iter()
            .any(|f| product.fields[*f as usize].len() > 1)
        {
            *said = stated(product, light);
        }
    }
    said
}
