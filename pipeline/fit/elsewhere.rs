//! Where wrong bolt circles fall: on those of other classes, as a rule.
//!
//! A line that states a wrong circle has mostly taken it from another part, and real circles are few. Several such
//! slips therefore meet on one figure far more often than if they fell anywhere.

use super::classes::Classes;
use super::scales::{self, Field};

/// Width over which a wrong circle may fall, mm.
pub(super) const ANYWHERE_MM: f64 = 150.0;
/// Share of the wrong circles that are those of other classes, where these are known well. A value from memory.
const TAKEN: f64 = 0.8;
/// Products elsewhere that state a circle from which half of that share is believed.
const KNOWN_WELL: f64 = 20.0;

/// The circles of one kind in all classes but one.
pub(super) struct Elsewhere {
    /// mass by bin of the kind; empty when nothing is known
    bins: Vec<f64>,
    total: f64,
}

impl Elsewhere {
    /// Of nothing: a wrong circle falls anywhere.
    pub fn unknown() -> Elsewhere {
        Elsewhere {
            bins: Vec::new(),
            total: 0.0,
        }
    }

    /// Of what the other classes show of a kind.
    pub fn of(classes: &Classes, class: u32, kind: u8) -> Elsewhere {
        let bins = Field::Circle.bins_per_kind();
        let from = usize::from(kind) * bins;
        let Some(own) = classes.list.get(class as usize) else {
            return Elsewhere::unknown();
        };
        let masses = |class: &[f32]| class.get(from..from + bins).unwrap_or_default().to_vec();
        let (all, own) = (
            masses(classes.background.bins(Field::Circle)),
            masses(own.bins(Field::Circle)),
        );
        let bins: Vec<f64> = all
            .iter()
            .zip(&own)
            .map(|(all, own)| f64::from((all - own).max(0.0)))
            .collect();
        Elsewhere {
            total: bins.iter().sum(),
            bins,
        }
    }

    /// Share of the wrong circles within `reach` mm of a circle.
    pub fn share(&self, circle_mm: f64, reach: f64) -> f64 {
        let even = (2.0 * reach / ANYWHERE_MM).min(1.0);
        let bin = |mm: f64| scales::circle_bin(mm.max(0.0), 0).map_or(self.bins.len(), |bin| bin as usize);
        let (low, high) = (bin(circle_mm - reach), bin(circle_mm + reach));
        let near: f64 = self.bins.iter().take(high + 1).skip(low).sum();
        let taken = TAKEN * self.total / (self.total + KNOWN_WELL);
        taken * near / self.total.max(1e-9) + (1.0 - taken) * even
    }

    /// Density of the wrong circles about a circle, 1/mm.
    pub fn density(&self, circle_mm: f64) -> f64 {
        let reach = 1.0;
        self.share(circle_mm, reach) / (2.0 * reach)
    }
}

#[cfg(test)]
impl Elsewhere {
    /// Of circles that so many products of other classes state.
    pub fn stating(circles: &[(f64, f64)]) -> Elsewhere {
        let mut bins = vec![0.0; Field::Circle.bins_per_kind()];
        for &(mm, products) in circles {
            scales::circle_bin(mm, 0)
                .into_iter()
                .for_each(|bin| bins[bin as usize] += products);
        }
        let total = bins.iter().sum();
        Elsewhere { bins, total }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrong_circles_fall_where_other_classes_have_theirs() {
        let known = Elsewhere::stating(&[(102.5, 60.0), (140.0, 140.0)]);
        assert!((known.density(50.0) - (1.0 - TAKEN * 200.0 / 220.0) / ANYWHERE_MM).abs() < 1e-9);
        assert!(known.share(102.5, 2.0) > 0.2 && known.share(140.0, 2.0) > 0.5);
        assert!((Elsewhere::unknown().density(102.5) - 1.0 / ANYWHERE_MM).abs() < 1e-12);
    }
}
