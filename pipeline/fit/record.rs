//! Suppliers' track record: the share of checkable claims that the rest contradicts.
//!
//! A claim is *checkable* when its product is placed well and its class has shown enough in that
//! field from other products; it is *contradicted* when it is much rarer in the class than anywhere.
//! The record is reported with its uncertainty and not used inside the matching: knowing who errs
//! often changed no decision when it was tried.

use super::groups::FitGroups;
use super::scales::{FIELDS, Field};
use crate::link::Products;

/// Posterior from which a product's class is taken as known.
const PLACED: f64 = 0.8;
/// Mass a class must have shown in the field, in products, besides the one judged.
const SHOWN: f32 = 3.0;
/// Log ratio below which a claim is contradicted: five times rarer in the class than anywhere.
const CONTRADICTED: f64 = -1.6;

/// Fields whose readings are claims about the engine or the interface; weight, price and brand claim nothing.
const CHECKED: [Field; 9] = [
    Field::Code,
    Field::Displacement,
    Field::Power,
    Field::Circle,
    Field::Holes,
    Field::Thread,
    Field::Cue,
    Field::Pawls,
    Field::Depth,
];

/// One supplier's account in one field.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// claims that could be checked
    pub checked: u32,
    /// claims the rest contradicts
    pub contradicted: u32,
}

impl Tally {
    /// Share contradicted with its 95 % bounds (Wilson's interval), `None` when nothing was checked.
    pub fn share(self) -> Option<(f64, f64, f64)> {
        if self.checked == 0 {
            return None;
        }
        // 1.96: standard normal quantile at 97.5 %
        let (n, z) = (f64::from(self.checked), 1.96f64);
        let p = f64::from(self.contradicted) / n;
        let centre = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
        let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
        Some(((centre - half).max(0.0), p, (centre + half).min(1.0)))
    }
}

/// Tallies by supplier (as numbered by `supplier_of`) and field.
pub fn track_records(
    fit: &FitGroups,
    products: &Products,
    supplier_of: &[u32],
    suppliers: usize,
) -> Vec<[Tally; FIELDS]> {
    let mut tallies = vec![[Tally::default(); FIELDS]; suppliers];
    for (product, evidence) in fit.evidence.iter().enumerate() {
        let Some(&(class, own)) = fit.posteriors[product].first().filter(|p| p.1 >= PLACED) else {
            continue;
        };
        if products.members[product].is_empty() {
            continue;
        }
        let known = &fit.classes.list[class as usize];
        for field in CHECKED {
            if known.total[field as usize] - (own as f32) < SHOWN {
                continue;
            }
            for reading in &evidence.fields[field as usize] {
                let ratio = fit.classes.reading_ratio(evidence, class, field, reading, own);
                let tally = &mut tallies[supplier_of[reading.offer as usize] as usize][field as usize];
                tally.checked += 1;
                tally.contradicted += u32::from(ratio < CONTRADICTED);
            }
        }
    }
    tallies
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_wilsons() {
        // Wilson's interval for 10 of 100 at 95 %: 0.0552 to 0.1744 (published in many texts; value from memory)
        let share = Tally {
            checked: 100,
            contradicted: 10,
        }
        .share();
        assert!(
            share.is_some_and(|(low, p, high)| (low - 0.0552).abs() < 2e-4 && p == 0.1 && (high - 0.1744).abs() < 2e-4)
        );
    }

    #[test]
    fn nothing_checked_has_no_share() {
        assert_eq!(Tally::default().share(), None);
    }
}
