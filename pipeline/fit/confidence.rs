//! Confidence of an offer: the probability that its part belongs to the group it is listed in.
//!
//! For a product in a class it is the probability of class and variant, calibrated, x that of the kind.
//! An offer whose place in its product is itself in doubt is judged by its own claims for the share of
//! that doubt.
//!
//! **Calibration.** Posteriors come out too flat, because several values in a field count by the square root
//! of their number and every field may be wrong as a whole. In two generated worlds of 100,000 lines and three of 20,000,
//! a seed each, products said to be right with 0.64 were right with 0.65, with 0.75 0.85, with 0.97 0.99: one curve for
//! all of them, straight in log odds. [`SLOPE`], [`SHIFT`] and [`CEILING`] are that curve; it keeps the order of the
//! posteriors.
//!
//! **Alone.** A product that was not placed stands in a group of its own. Nothing false stands beside it,
//! and yet its like stand elsewhere; as the two readings of "right" pull to 1 and to 0, it is given half.

use super::classes::{Classes, Posterior};
use super::evidence::{self, Evidence};
use super::keys::Keys;
use super::scales::ALL;
use crate::link::Products;
use crate::normalise::offer::Offer;
use rayon::prelude::*;

/// Log odds said are multiplied by this,
const SLOPE: f64 = 1.4;
/// and this is added.
const SHIFT: f64 = 0.1;
/// Share of rows that are right where the model has no doubt at all: what it cannot know of itself.
const CEILING: f64 = 0.996;
/// Confidence of a product that stands alone, apart from its kind.
const ALONE: f64 = 0.5;
/// Probability of an offer's place in its product from which the product speaks for it.
const SURE_OF_PRODUCT: f64 = 0.97;

/// Where a product stands.
#[derive(Clone, Copy, Debug)]
pub enum Standing {
    /// in a class, as a variant of its kind
    InClass {
        /// engine class
        class: u32,
        /// part kind
        kind: u8,
        /// probability of the variant
        variant: f64,
    },
    /// in no class
    Alone,
}

/// What the fit stage knows of all products.
#[derive(Clone, Copy)]
pub struct Known<'a> {
    /// engine classes
    pub classes: &'a Classes,
    /// pooled claims by product
    pub evidence: &'a [Evidence],
    /// classes by product, most probable first
    pub posteriors: &'a [Posterior],
    /// where each product stands
    pub standing: &'a [Standing],
}

/// A posterior as often right as it says; monotone, 0 at 0.
pub fn calibrated(posterior: f64) -> f64 {
    if posterior <= 0.0 {
        return 0.0;
    }
    let odds = (posterior / (1.0 - posterior).max(1e-12)).ln();
    CEILING / (1.0 + (-(SLOPE * odds + SHIFT)).exp())
}

/// Confidence by offer.
pub fn of_offers(offers: &[Offer], products: &Products, known: Known<'_>, keys: &mut Keys) -> Vec<f64> {
    let of_product: Vec<f64> = (0..known.evidence.len()).map(|i| of_product(known, i)).collect();
    let mut confidence: Vec<f64> = products.of_offer.iter().map(|p| of_product[*p as usize]).collect();
    let doubtful: Vec<u32> = (0..offers.len() as u32)
        .filter(|o| {
            products.confidence[*o as usize] < SURE_OF_PRODUCT
                && products.members[products.of_offer[*o as usize] as usize].len() > 1
        })
        .collect();
    let alone: Vec<Vec<u32>> = doubtful.iter().map(|o| vec![*o]).collect();
    let own: Vec<f64> = evidence::pool(offers, &alone, keys)
        .par_iter()
        .zip(&doubtful)
        .map(|(own, o)| by_itself(known, own, products.of_offer[*o as usize] as usize))
        .collect();
    for (o, own) in doubtful.iter().zip(own) {
        let sure = products.confidence[*o as usize];
        confidence[*o as usize] = sure * confidence[*o as usize] + (1.0 - sure) * own;
    }
    confidence
}

fn of_product(known: Known<'_>, product: usize) -> f64 {
    let kind = known.evidence[product].kind_probability;
    match known.standing[product] {
        Standing::InClass { variant, .. } => {
            let class = known.posteriors[product].first().map_or(0.0, |p| p.1);
            calibrated(class * variant) * kind
        }
        Standing::Alone => ALONE * kind,
    }
}

/// How well the claims of one offer alone agree with where its product stands.
fn by_itself(known: Known<'_>, own: &Evidence, product: usize) -> f64 {
    let Standing::InClass { class, kind, variant } = known.standing[product] else {
        return 0.0;
    };
    if own.kind.0 != kind {
        return 0.0;
    }
    let posterior = known.classes.posterior_of(own, &known.posteriors[product], &ALL);
    let p = posterior.iter().find(|p| p.0 == class).map_or(0.0, |p| p.1);
    calibrated(p * variant) * own.kind_probability
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn calibration_keeps_the_order_and_the_ends() {
        let said: Vec<f64> = (0..=100).map(|i| f64::from(i) / 100.0).collect();
        let curve: Vec<f64> = said.iter().map(|p| calibrated(*p)).collect();
        assert!(curve.windows(2).all(|w| w[0] < w[1]), "{curve:?}");
        assert!(curve[0] == 0.0 && curve[100] < 1.0);
    }

    #[test]
    fn a_posterior_of_three_in_four_is_right_about_five_times_in_six() {
        assert!((calibrated(0.75) - 0.835).abs() < 0.01, "{}", calibrated(0.75));
    }
}
