//! How much a product's claims speak for a class.
//!
//! Every field answers with a likelihood ratio: how much commoner its values are in the class than
//! anywhere, smoothed towards 1 where the class has shown little. A missing field contributes
//! nothing. Several readings in one field count by the square root of their number, because lists copy
//! each other (`discounted`). One field may be wrong as a whole with probability [`ERROR`] (about 3 % of claims
//! are), so that a single false figure cannot outweigh everything else. A product's own claims are
//! taken out of a class before it judges the product, unless the class is so large that this changes nothing that shows.

use super::chances::capped_log;
use super::classes::{Classes, SMOOTHING};
use super::evidence::{Evidence, Meant, Reading};
use super::scales::Field;
use std::sync::LazyLock;

/// Probability that a field of a product is wrong as a whole.
pub const ERROR: f64 = 0.03;
/// The same for what claims nothing: a price may be a pack's, a brand the seller's own.
const TRADE_ERROR: f64 = 0.1;
/// Products in a field from which a class is judged with the product's own claims left in.
const LARGE: f32 = 200.0;
/// Readings of one field that few products exceed.
const MOST_READINGS: usize = 8;
/// A share in a class below which a product is a stranger to it.
pub(super) const OUTSIDE: f64 = 1e-4;

impl Classes {
    /// Log likelihood ratio of the fields named of a product for a class; `own` is the product's share in it.
    pub fn log_ratio(&self, product: &Evidence, class: u32, own: f64, by: &[Field]) -> f64 {
        by.iter().map(|f| self.field_ratio(product, class, *f, own)).sum()
    }

    /// Log likelihood ratio of one field as a whole, one error event included.
    pub fn field_ratio(&self, product: &Evidence, class: u32, field: Field, own: f64) -> f64 {
        self.field_ratio_of(product, class, field, own, |_| true)
    }

    /// The same by some of its readings only.
    pub fn field_ratio_of(
        &self,
        product: &Evidence,
        class: u32,
        field: Field,
        own: f64,
        counts: impl Fn(&Reading) -> bool,
    ) -> f64 {
        let readings = &product.fields[field as usize];
        let (mut few, mut many) = ([0.0; MOST_READINGS], Vec::new());
        let room = some_room(readings.len(), &mut few, &mut many);
        let mut count = 0;
        for reading in readings.iter().filter(|r| counts(r)) {
            room[count] = self.reading_ratio(product, class, field, reading, own);
            count += 1;
        }
        if count == 0 {
            return 0.0;
        }
        whole(error_of(field), discounted(&mut room[..count]))
    }

    /// Whether a class is so small in a field that a product's own claims are taken out before it judges the product.
    pub(super) fn takes_out(&self, class: u32, field: Field) -> bool {
        self.list[class as usize].total[field as usize] <= LARGE
    }

    /// Log likelihood ratio of one reading for a class.
    pub fn reading_ratio(&self, product: &Evidence, class: u32, field: Field, reading: &Reading, own: f64) -> f64 {
        if own < OUTSIDE || !self.takes_out(class, field) {
            // in a large class one product's own claims change nothing that shows
            return self.chances.log_ratio(field, reading.meant, &reading.values, class);
        }
        let readings = &product.fields[field as usize];
        let each = own as f32 / (readings.len() as f32).sqrt();
        let own_mass = each * readings.len() as f32;
        let ratio = |v: u32| {
            let own_here: f32 = readings
                .iter()
                .filter(|r| r.values.contains(&v))
                .map(|r| each / r.values.len() as f32 * self.kernel_peak[field as usize])
                .sum();
            self.value_ratio(class, field, v, own_here, own_mass)
        };
        match reading.meant {
            Meant::Every => {
                let sum: f64 = reading
                    .values
                    .iter()
                    .map(|v| {
                        let (here, anywhere) = ratio(*v);
                        capped_log(here / anywhere)
                    })
                    .sum();
                sum / (reading.values.len() as f64).sqrt()
            }
            Meant::One => {
                let (here, anywhere) = reading
                    .values
                    .iter()
                    .map(|v| ratio(*v))
                    .fold((0.0, 0.0), |sum, r| (sum.0 + r.0, sum.1 + r.1));
                capped_log(here / anywhere)
            }
        }
    }

    /// Chance of a value in the class and anywhere.
    fn value_ratio(&self, class: u32, field: Field, value: u32, own_here: f32, own_mass: f32) -> (f32, f32) {
        let c = &self.list[class as usize];
        let (mass, anywhere) = match field {
            Field::Code => (
                mass_of(&self.codes, value, class),
                self.open_share(&self.code_total, field, value),
            ),
            Field::Number => (
                mass_of(&self.numbers, value, class),
                self.open_share(&self.number_total, field, value),
            ),
            _ => (c.bins(field)[value as usize], self.background.share(field, value)),
        };
        let rest = (mass - own_here).max(0.0);
        let total = (c.total[field as usize] - own_mass).max(0.0);
        ((rest + SMOOTHING * anywhere) / (total + SMOOTHING), anywhere)
    }

    pub(super) fn open_share(&self, totals: &[f32], field: Field, value: u32) -> f32 {
        (totals[value as usize] + 0.5) / (self.background.total[field as usize] + 1.0)
    }
}

/// Room for the readings of a field: that at hand when they are few.
fn some_room<'a>(readings: usize, few: &'a mut [f64; MOST_READINGS], many: &'a mut Vec<f64>) -> &'a mut [f64] {
    match few.get_mut(..readings) {
        Some(few) => few,
        None => {
            many.resize(readings, 0.0);
            many
        }
    }
}

/// Probability that a field is wrong as a whole.
fn error_of(field: Field) -> f64 {
    match field {
        Field::Weight | Field::Price | Field::Brand => TRADE_ERROR,
        _ => ERROR,
    }
}

/// Log ratio of a field from the discounted sum of its readings: right as a whole, or one error as a whole.
fn whole(error: f64, sum: f64) -> f64 {
    ((1.0 - error) * sum.min(60.0).exp() + error).ln()
}

/// Sum of the readings of a field, counting by the square root of their number: the n-th strongest of one sign
/// adds its share of sqrt(n) - sqrt(n - 1). Taking away a reading that speaks for a class never speaks for it.
fn discounted(ratios: &mut [f64]) -> f64 {
    if let [only] = ratios {
        return *only;
    }
    ratios.sort_unstable_by(|x, y| y.abs().total_cmp(&x.abs()).then(x.total_cmp(y)));
    let mut counts = [0usize; 2];
    let mut sum = 0.0;
    for ratio in ratios {
        let count = &mut counts[usize::from(*ratio < 0.0)];
        sum += *ratio * root_step(*count);
        *count += 1;
    }
    sum
}

/// Log ratios of a field from those of its readings in several classes: `rows` holds the log ratios by reading and class,
/// `readings` names the rows. The same as [`discounted`] and [`whole`] give, class by class.
pub(super) fn of_readings(
    field: Field,
    rows: &[f64],
    readings: &[u32],
    among: usize,
    classes: &[u32],
    found: &mut [f64],
) {
    let rows = Rows { rows, among };
    match readings.len() {
        1 => rows.few::<1>(field, readings, classes, found),
        2 => rows.few::<2>(field, readings, classes, found),
        3 => rows.few::<3>(field, readings, classes, found),
        4 => rows.few::<4>(field, readings, classes, found),
        5 => rows.few::<5>(field, readings, classes, found),
        6 => rows.few::<6>(field, readings, classes, found),
        _ => rows.many(field, readings, classes, found),
    }
}

/// Log ratios by reading and class.
#[derive(Clone, Copy)]
struct Rows<'a> {
    rows: &'a [f64],
    among: usize,
}

impl<'a> Rows<'a> {
    fn row(self, reading: u32) -> &'a [f64] {
        &self.rows[reading as usize * self.among..][..self.among]
    }

    fn few<const N: usize>(self, field: Field, readings: &[u32], classes: &[u32], found: &mut [f64]) {
        let (error, steps) = (error_of(field), &*STEPS);
        let rows: [&[f64]; N] = std::array::from_fn(|at| self.row(readings[at]));
        for (found, class) in found.iter_mut().zip(classes) {
            let mut strengths = rows.map(|row| strength(row[*class as usize]));
            *found = whole(error, sum_up(&mut strengths, steps));
        }
    }

    fn many(self, field: Field, readings: &[u32], classes: &[u32], found: &mut [f64]) {
        let (error, steps) = (error_of(field), &*STEPS);
        let mut strengths = vec![0; readings.len()];
        for (found, class) in found.iter_mut().zip(classes) {
            let mine = readings.iter().map(|reading| self.row(*reading)[*class as usize]);
            strengths
                .iter_mut()
                .zip(mine)
                .for_each(|(to, from)| *to = strength(from));
            *found = whole(error, sum_up(&mut strengths, steps));
        }
    }
}

/// A whole number that orders ratios as [`discounted`] does: by size, of one size what speaks against first.
fn strength(ratio: f64) -> u64 {
    ratio.to_bits().rotate_left(1)
}

/// [`discounted`] of ratios given by their strengths.
#[inline]
fn sum_up(strengths: &mut [u64], steps: &[f64; STEPS_AT_HAND]) -> f64 {
    if strengths.len() <= MOST_READINGS {
        // compared without branches, which the few readings that most products have repay
        for end in (1..strengths.len()).rev() {
            for at in 0..end {
                let (x, y) = (strengths[at], strengths[at + 1]);
                (strengths[at], strengths[at + 1]) = (x.max(y), x.min(y));
            }
        }
    } else {
        strengths.sort_unstable_by(|x, y| y.cmp(x));
    }
    let mut counts = [0usize; 2];
    let mut sum = 0.0;
    for strength in strengths {
        let count = &mut counts[(*strength & 1) as usize];
        let step = steps.get(*count).copied().unwrap_or_else(|| root_step(*count));
        sum += f64::from_bits(strength.rotate_right(1)) * step;
        *count += 1;
    }
    sum
}

/// Steps of the square root that are at hand.
const STEPS_AT_HAND: usize = 32;
static STEPS: LazyLock<[f64; STEPS_AT_HAND]> = LazyLock::new(|| std::array::from_fn(root_step));

/// sqrt(n + 1) - sqrt(n).
fn root_step(n: usize) -> f64 {
    (n as f64 + 1.0).sqrt() - (n as f64).sqrt()
}

fn mass_of(index: &[Vec<(u32, f32)>], value: u32, class: u32) -> f32 {
    let Some(list) = index.get(value as usize) else {
        return 0.0;
    };
    list.binary_search_by_key(&class, |c| c.0).map_or(0.0, |at| list[at].1)
}
