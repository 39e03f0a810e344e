//! Which class a product belongs to.
//!
//! The posterior of a class is its share of all products, times what the product claims, times what its sellers do. A
//! product may belong to none of the classes, with a prior of [`STRANGER`].

use super::classes::{Classes, Posterior};
use super::evidence::Evidence;
use super::habits::Habit;
use super::scales::{FIELDS, Field};

/// Prior probability of belonging to none of the classes.
const STRANGER: f64 = 0.01;
/// Classes remembered per product.
const REMEMBERED: usize = 5;
/// Least probability remembered.
const LEAST: f64 = 0.002;
/// Classes up to which all of them are judged.
pub(super) const FEW: usize = 48;

impl Classes {
    /// Probabilities of one product over the classes, by the fields named; `own` is how it stood when they were learned.
    pub fn posterior_of(&self, product: &Evidence, own: &Posterior, by: &[Field]) -> Posterior {
        let mass = self.mass();
        let mut odds: Posterior = Vec::new();
        for k in self.candidates(product) {
            let own = share(product, own, k);
            let ratios = self.log_ratio(product, k, own, by);
            odds.push((k, self.prior(k, own, mass) + self.habits(product, k, own, by) + ratios));
        }
        posterior(&mut odds)
    }

    /// Products in all classes.
    pub(super) fn mass(&self) -> f64 {
        self.list.iter().map(|c| c.weight).sum::<f64>().max(1.0)
    }

    /// ln prior of a class without the share `own` that the product itself has in it.
    pub(super) fn prior(&self, class: u32, own: f64, mass: f64) -> f64 {
        ((self.list[class as usize].weight - own).max(0.05) / mass).ln()
    }

    /// Habits count where all fields do.
    pub(super) fn habits(&self, product: &Evidence, class: u32, own: f64, by: &[Field]) -> f64 {
        if by.len() == FIELDS {
            self.habit_ratio(Habit::of(product), class, own)
        } else {
            0.0
        }
    }

    /// Classes worth judging, ascending: all when they are few; else those a code, a number or the displacement
    /// points at; all again when nothing points anywhere.
    pub(super) fn candidates(&self, product: &Evidence) -> Vec<u32> {
        let mut found = vec![0u64; self.words()];
        if self.list.len() > FEW {
            for (field, index) in [(Field::Code, &self.codes), (Field::Number, &self.numbers)] {
                let values = product.fields[field as usize].iter().flat_map(|r| &r.values);
                values.for_each(|v| point_at(&mut found, &index[*v as usize]));
            }
            if let Some(bin) = first_displacement(product) {
                add_bits(&mut found, &self.by_displacement[bin as usize]);
            }
        }
        let mut classes = Vec::new();
        self.of_bits(&found, &mut classes);
        classes
    }

    /// Words of 64 bits that hold a bit for each class.
    pub(super) fn words(&self) -> usize {
        self.list.len().div_ceil(64)
    }

    /// Classes whose bits are set, ascending; all when none is.
    pub(super) fn of_bits(&self, found: &[u64], classes: &mut Vec<u32>) {
        classes.clear();
        for (bits, at) in found.iter().zip(0..) {
            let mut bits = *bits;
            while bits != 0 {
                classes.push(at * 64 + bits.trailing_zeros());
                bits &= bits - 1;
            }
        }
        if classes.is_empty() {
            classes.extend(0..self.list.len() as u32);
        }
    }
}

/// Sets the bits of the classes that show a value.
pub(super) fn point_at(found: &mut [u64], shown: &[(u32, f32)]) {
    for (class, _) in shown {
        found[*class as usize / 64] |= 1 << (class % 64);
    }
}

/// Sets further bits.
pub(super) fn add_bits(found: &mut [u64], more: &[u64]) {
    found.iter_mut().zip(more).for_each(|(found, more)| *found |= more);
}

/// The first displacement a product names.
pub(super) fn first_displacement(product: &Evidence) -> Option<u32> {
    Some(product.fields[Field::Displacement as usize].first()?.values[0])
}

/// Share that a product has in a class; an all-embracing title has none.
pub(super) fn share(product: &Evidence, own: &Posterior, class: u32) -> f64 {
    match product.universal {
        true => 0.0,
        false => own.iter().find(|o| o.0 == class).map_or(0.0, |o| o.1),
    }
}

/// Probabilities from the log odds of the classes, which are used up.
pub(super) fn posterior(odds: &mut Posterior) -> Posterior {
    let best = odds.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
    // what is e^40 times less likely than the best is lost in the last digit of the sum
    odds.retain(|s| s.1 >= best - 40.0);
    odds.sort_unstable_by(|x, y| y.1.total_cmp(&x.1).then(x.0.cmp(&y.0)));
    let top = odds.first().map_or(0.0, |s| s.1).max(STRANGER.ln());
    let total: f64 = odds.iter().map(|s| (s.1 - top).exp()).sum::<f64>() + (STRANGER.ln() - top).exp();
    let likely = odds.iter().take(REMEMBERED).map(|s| (s.0, (s.1 - top).exp() / total));
    likely.filter(|s| s.1 >= LEAST).collect()
}

/// Probabilities from the log odds of the classes named, as [`posterior`] finds them to the last bit: the odds are summed up
/// from the greatest down, in the order of whole numbers, which sort faster. `keys` and `likely` are room to work in.
pub(super) fn posterior_of_odds(
    classes: &[u32],
    odds: &[f64],
    keys: &mut Vec<i64>,
    likely: &mut Posterior,
) -> Posterior {
    let best = odds.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    keys.clear();
    keys.extend(odds.iter().filter(|odds| **odds >= best - 40.0).map(|odds| key(*odds)));
    keys.sort_unstable();
    let top = keys.last().map_or(0.0, |key| odds_of(*key)).max(STRANGER.ln());
    let sum: f64 = keys.iter().rev().map(|key| (odds_of(*key) - top).exp()).sum();
    let total = sum + (STRANGER.ln() - top).exp();
    likely.clear();
    for (class, odds) in classes.iter().zip(odds) {
        // the total is 1 at the least
        if *odds - top >= LEAST.ln() - 0.01 {
            likely.push((*class, *odds));
        }
    }
    likely.sort_unstable_by(|x, y| y.1.total_cmp(&x.1).then(x.0.cmp(&y.0)));
    likely.truncate(REMEMBERED);
    likely.iter_mut().for_each(|s| s.1 = (s.1 - top).exp() / total);
    likely.retain(|s| s.1 >= LEAST);
    // kept as small as they are: there is one for every product
    likely.as_slice().into()
}

/// A whole number that grows as the odds do, in the order of [`f64::total_cmp`].
fn key(odds: f64) -> i64 {
    let bits = odds.to_bits() as i64;
    bits ^ (((bits >> 63) as u64) >> 1) as i64
}

/// The odds of a key.
fn odds_of(key: i64) -> f64 {
    f64::from_bits((key ^ (((key >> 63) as u64) >> 1) as i64) as u64)
}
