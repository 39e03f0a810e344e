//! Which variant a product belongs to: by the interface it states, and by what it shows beside.
//!
//! A line may err, so a product that states another circle or hole count is unlikely in a variant, not impossible; the more
//! lines agree, the less likely. What a product leaves unsaid counts for no variant. A small share is kept for a variant
//! that nobody has described.

use super::leanings::Leanings;
use super::ratios::ERROR;
use super::stated::Stated;
use super::variants::{ANYWHERE_MM, Variant};
use crate::trade::bolt_pattern::RULER_MM;

/// Share of products assumed to be of a variant nobody has described.
const UNSEEN: f64 = 0.01;
/// Turns of judging and learning what the variants show beside their interface.
const TURNS: usize = 4;

/// Probability of each variant by product, from the interface it states and from what it shows beside.
pub(super) fn judge(stated: &[Stated], variants: &mut [Variant], mut beside: Leanings) -> Vec<Vec<f64>> {
    let mut posteriors: Vec<Vec<f64>> = stated.iter().map(|s| posterior(s, variants)).collect();
    if variants.len() < 2 {
        return posteriors;
    }
    for _ in 0..TURNS {
        beside.learn(&posteriors, variants.len());
        for (at, s) in stated.iter().enumerate() {
            let leaning = beside.of_product(at, &posteriors[at]);
            posteriors[at] = weighed(s, variants, &leaning);
        }
        for (v, variant) in variants.iter_mut().enumerate() {
            variant.products = posteriors.iter().map(|p| p[v]).sum();
        }
    }
    posteriors
}

/// Probability of each variant for a product; what is missing to 1 is a variant nobody described.
pub fn posterior(s: &Stated, variants: &[Variant]) -> Vec<f64> {
    weighed(s, variants, &[])
}

/// The same, each variant multiplied by what the product shows beside its interface; `leaning` are log ratios.
fn weighed(s: &Stated, variants: &[Variant], leaning: &[f64]) -> Vec<f64> {
    let total: f64 = variants.iter().map(|v| v.products).sum();
    let n = variants.len() as f64;
    let mut weight: Vec<f64> = variants
        .iter()
        .enumerate()
        .map(|(i, v)| {
            let first = if i == 0 { 1.0 } else { 0.05 };
            let prior = (v.products + first) / (total + 1.0 + 0.05 * (n - 1.0));
            prior * circle_chance(s, v) * holes_chance(s, v) * leaning.get(i).map_or(1.0, |l| l.exp())
        })
        .collect();
    let unseen = UNSEEN * s.circle_mm.map_or(1.0, |_| density_of_anything()) * s.holes.map_or(1.0, |_| 0.8);
    let sum: f64 = weight.iter().sum::<f64>() + unseen;
    weight.iter_mut().for_each(|w| *w /= sum);
    weight
}

fn density_of_anything() -> f64 {
    1.0 / ANYWHERE_MM
}

fn circle_chance(s: &Stated, v: &Variant) -> f64 {
    let (Some(x), Some(y)) = (s.circle_mm, v.circle_mm) else {
        return s.circle_mm.map_or(1.0, |_| density_of_anything());
    };
    let lines = (s.circle_lines.max(1) as f64).sqrt();
    let wrong = ERROR.powf(lines);
    let near = (-0.5 * ((x - y) / RULER_MM).powi(2)).exp() / (RULER_MM * (2.0 * std::f64::consts::PI).sqrt());
    (1.0 - wrong) * near + wrong * density_of_anything()
}

fn holes_chance(s: &Stated, v: &Variant) -> f64 {
    let (Some(x), Some(y)) = (s.holes, v.holes) else {
        return s.holes.map_or(1.0, |_| 0.2);
    };
    let wrong = ERROR.powf((s.hole_lines.max(1) as f64).sqrt());
    if x == y { 1.0 - wrong } else { wrong * 0.2 }
}
