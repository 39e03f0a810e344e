//! Latent engine classes: what each class is like.
//!
//! A class is what its products show, field by field, each product counting by its share in the class. Several readings
//! in one field count by the square root of their number, because lists copy each other. What the classes make of a
//! product is the business of `ratios` and `posteriors`; how they come by what they know, of `learning`.

use super::chances::Chances;
use super::evidence::Meant;
use super::kernels::Kernels;
use super::scales::{DENSE, FIELDS, Field, KINDS};
use super::tape::Shown;

/// Pseudo-count towards the background in each field, in products.
pub(super) const SMOOTHING: f32 = 2.0;

/// Probabilities of a product over classes, most probable first; the rest is "none of them".
pub type Posterior = Vec<(u32, f64)>;

/// What has been seen of one class, in products.
#[derive(Clone, Debug)]
pub struct Class {
    /// products
    pub weight: f64,
    /// smoothed mass per bin of each dense field
    pub dense: Vec<Vec<f32>>,
    /// mass per field
    pub total: [f32; FIELDS],
    /// by part kind: products, their offers, and offers that state a bolt circle
    pub kinds: [KindMass; KINDS],
}

/// How much of one part kind a class holds, and how readily its sellers state the bolt circle.
#[derive(Clone, Copy, Debug, Default)]
pub struct KindMass {
    pub(super) products: f64,
    pub(super) offers: f64,
    pub(super) state_circle: f64,
}

/// All classes with the background they stand out from.
#[derive(Debug)]
pub struct Classes {
    /// the classes
    pub list: Vec<Class>,
    /// everything together
    pub background: Class,
    /// by code id: (class, mass), ascending by class
    pub codes: Vec<Vec<(u32, f32)>>,
    /// by replaced number id: the same
    pub numbers: Vec<Vec<(u32, f32)>>,
    pub(super) code_total: Vec<f32>,
    pub(super) number_total: Vec<f32>,
    pub(super) kernel_peak: [f32; FIELDS],
    /// by displacement bin: bits of the classes it speaks for
    pub(super) by_displacement: Vec<Vec<u64>>,
    /// chances that hold for products outside a class
    pub(super) chances: Chances,
}

impl Class {
    /// A class nothing is known of.
    pub fn empty() -> Class {
        Class {
            weight: 0.0,
            dense: DENSE.iter().map(|f| vec![0.0; f.bins()]).collect(),
            total: [0.0; FIELDS],
            kinds: [KindMass::default(); KINDS],
        }
    }

    /// Mass per bin of a dense field.
    pub fn bins(&self, field: Field) -> &[f32] {
        &self.dense[dense_index(field)]
    }

    /// Adds what a product shows, unsmoothed; what it shows of an open vocabulary goes to `open`. `like` tells how likely
    /// each of several possible values is; without it they share alike.
    pub(super) fn add(
        &mut self,
        product: Shown<'_>,
        weight: f64,
        like: Option<(&Chances, u32)>,
        mut open: impl FnMut(Field, u32, f32),
    ) {
        self.weight += weight;
        let kind = &mut self.kinds[product.place];
        kind.products += weight;
        kind.offers += weight * f64::from(product.offers);
        for shown in product.fields() {
            let (field, count) = (shown.field, shown.count as f32);
            if field == Field::Circle {
                self.kinds[product.place].state_circle += weight * f64::from(shown.count);
            }
            let each = weight as f32 / count.sqrt();
            self.total[field as usize] += each * count;
            for (meant, values) in shown.readings() {
                if field.bins() == 0 {
                    let each = 1.0 / count.sqrt() / values.len() as f32 * weight as f32;
                    values.iter().for_each(|v| open(field, *v, each));
                } else {
                    self.add_reading(field, meant, values, each, like);
                }
            }
        }
    }

    fn add_reading(&mut self, field: Field, meant: Meant, values: &[u32], mass: f32, like: Option<(&Chances, u32)>) {
        let bins = &mut self.dense[dense_index(field)];
        match (meant, like) {
            (Meant::One, Some((chances, class))) if values.len() > 1 => {
                let chance = |v: u32| chances.here(field, v, class);
                let sum: f32 = values.iter().map(|v| chance(*v)).sum::<f32>().max(1e-12);
                for &v in values {
                    bins[v as usize] += mass * chance(v) / sum;
                }
            }
            _ => {
                let each = mass / values.len() as f32;
                values.iter().for_each(|v| bins[*v as usize] += each);
            }
        }
    }

    /// Share of every bin of a dense field.
    pub(super) fn shares(&self, field: Field) -> Vec<f32> {
        (0..field.bins() as u32).map(|bin| self.share(field, bin)).collect()
    }

    pub(super) fn share(&self, field: Field, bin: u32) -> f32 {
        let uniform = 1.0 / field.bins() as f32;
        (self.bins(field)[bin as usize] + uniform) / (self.total[field as usize] + 1.0)
    }

    pub(super) fn smooth(&mut self, kernels: &Kernels) {
        for field in DENSE {
            let kernel = kernels.of(field);
            if kernel.len() > 1 {
                let bins = &mut self.dense[dense_index(field)];
                *bins = smoothed(bins, kernel, field.bins_per_kind());
            }
        }
    }
}

fn smoothed(bins: &[f32], kernel: &[f32], per_kind: usize) -> Vec<f32> {
    let mut out = vec![0.0; bins.len()];
    for (at, &mass) in bins.iter().enumerate().filter(|(_, m)| **m != 0.0) {
        let start = at / per_kind * per_kind;
        let low = at.saturating_sub(kernel.len() - 1).max(start);
        let high = (at + kernel.len()).min(start + per_kind);
        for (to, slot) in out.iter_mut().enumerate().take(high).skip(low) {
            *slot += mass * kernel[to.abs_diff(at)];
        }
    }
    out
}

pub(super) fn dense_index(field: Field) -> usize {
    field as usize - Field::Displacement as usize
}
