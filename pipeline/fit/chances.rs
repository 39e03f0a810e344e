//! The chances of one round laid out: how likely each class makes each value, beside how likely it is anywhere.
//!
//! They hold for products that have no share in the class. Figures of one value lie side by side, class after class, so
//! that a reading is held against many classes in one go; logarithms are taken once for all products.

use super::classes::{Class, SMOOTHING, dense_index};
use super::evidence::Meant;
use super::scales::{DENSE, Field};
use rayon::prelude::*;

/// Log ratio of one value is capped here.
const CAP: f64 = 8.0;

/// Natural logarithm of a ratio of chances, held inside [`CAP`].
pub(super) fn capped_log(ratio: f32) -> f64 {
    f64::from(ratio).ln().clamp(-CAP, CAP)
}

/// What there is of an open vocabulary: by value (class, mass), and the share of each value anywhere.
pub(super) struct Open<'a> {
    /// field
    pub field: Field,
    /// by value: (class, mass), ascending by class
    pub masses: &'a [Vec<(u32, f32)>],
    /// by value
    pub anywhere: Vec<f32>,
}

/// Chances and their logarithms.
#[derive(Debug, Default)]
pub(super) struct Chances {
    classes: usize,
    /// by dense field and bin
    anywhere: Vec<Vec<f32>>,
    /// by dense field, bin and class
    here: Vec<Vec<f32>>,
    /// the same: log ratio of here to anywhere
    logs: Vec<Vec<f64>>,
    /// by open field and value: class and log ratio, ascending
    open: [Vec<Vec<(u32, f64)>>; 2],
    /// by open field and class: log ratio of a value that the class has never shown
    never: [Vec<f64>; 2],
}

impl Chances {
    /// Lays out what the classes have shown, against everything together.
    pub fn of(list: &[Class], background: &Class, open: [Open<'_>; 2]) -> Chances {
        let classes = list.len();
        let anywhere: Vec<Vec<f32>> = DENSE.par_iter().map(|field| background.shares(*field)).collect();
        let here: Vec<Vec<f32>> = DENSE
            .par_iter()
            .zip(&anywhere)
            .map(|(field, anywhere)| {
                let mut here = vec![0.0; classes * field.bins()];
                for (k, class) in list.iter().enumerate() {
                    let total = class.total[*field as usize] + SMOOTHING;
                    let mass = class.bins(*field).iter().zip(anywhere);
                    let slots = here[k..].iter_mut().step_by(classes);
                    slots
                        .zip(mass)
                        .for_each(|(slot, (m, a))| *slot = (m + SMOOTHING * a) / total);
                }
                here
            })
            .collect();
        let logs = here
            .par_iter()
            .zip(&anywhere)
            .map(|(here, anywhere)| {
                let by_bin = here.chunks(classes.max(1)).zip(anywhere);
                by_bin
                    .flat_map(|(here, anywhere)| here.iter().map(move |h| capped_log(h / anywhere)))
                    .collect()
            })
            .collect();
        let shown = |field: Field| list.iter().map(move |class| class.total[field as usize] + SMOOTHING);
        Chances {
            classes,
            anywhere,
            here,
            logs,
            never: open
                .each_ref()
                .map(|open| shown(open.field).map(|shown| capped_log(SMOOTHING / shown)).collect()),
            open: open.map(|open| {
                let shown: Vec<f32> = shown(open.field).collect();
                let of_value = |(masses, anywhere): (&Vec<(u32, f32)>, &f32)| {
                    let ratio = |&(k, mass): &(u32, f32)| (mass + SMOOTHING * anywhere) / shown[k as usize] / anywhere;
                    masses.iter().map(|m| (m.0, capped_log(ratio(m)))).collect()
                };
                open.masses.par_iter().zip(&open.anywhere).map(of_value).collect()
            }),
        }
    }

    /// Chance of a bin of a dense field in a class.
    pub fn here(&self, field: Field, bin: u32, class: u32) -> f32 {
        self.here[dense_index(field)][bin as usize * self.classes + class as usize]
    }

    /// Chances of a bin of a dense field in all classes, and anywhere.
    pub fn in_all(&self, field: Field, bin: u32) -> (&[f32], f32) {
        let field = dense_index(field);
        let here = &self.here[field][bin as usize * self.classes..][..self.classes];
        (here, self.anywhere[field][bin as usize])
    }

    /// Log likelihood ratio of one reading for a class. A value of an open vocabulary that the class has never shown is as
    /// rare in it as the class is well known: smoothing / (shown + smoothing).
    pub fn log_ratio(&self, field: Field, meant: Meant, values: &[u32], class: u32) -> f64 {
        let mut ratio = [0.0];
        self.log_ratios(field, meant, values, &[class], &mut ratio);
        ratio[0]
    }

    /// The same for several classes, ascending; `ratios` comes zeroed, one for each class.
    pub fn log_ratios(&self, field: Field, meant: Meant, values: &[u32], classes: &[u32], ratios: &mut [f64]) {
        let count = values.len();
        if field.bins() == 0 {
            self.add_open(field, values, classes, ratios);
        } else if meant == Meant::Every || count == 1 {
            let logs = &self.logs[dense_index(field)];
            for bin in values {
                let logs = &logs[*bin as usize * self.classes..][..self.classes];
                classes
                    .iter()
                    .zip(&mut *ratios)
                    .for_each(|(k, r)| *r += logs[*k as usize]);
            }
        } else {
            let sum = |of: &dyn Fn(u32) -> f32| values.iter().map(|bin| of(*bin)).sum::<f32>();
            let anywhere = sum(&|bin| self.in_all(field, bin).1);
            for (k, ratio) in classes.iter().zip(ratios) {
                *ratio = capped_log(sum(&|bin| self.here(field, bin, *k)) / anywhere);
            }
            return;
        }
        if count > 1 {
            let root = (count as f64).sqrt();
            ratios.iter_mut().for_each(|ratio| *ratio /= root);
        }
    }

    fn add_open(&self, field: Field, values: &[u32], classes: &[u32], ratios: &mut [f64]) {
        let index = usize::from(field == Field::Number);
        let never = &self.never[index];
        for value in values {
            let mut shown = self.open[index][*value as usize].as_slice();
            for (k, ratio) in classes.iter().zip(&mut *ratios) {
                while shown.first().is_some_and(|s| s.0 < *k) {
                    shown = &shown[1..];
                }
                *ratio += match shown.first() {
                    Some((class, log)) if class == k => *log,
                    _ => never[*k as usize],
                };
            }
        }
    }
}

#[cfg(test)]
#[path = "chances_tests.rs"]
mod tests;
