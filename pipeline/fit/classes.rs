//! Latent engine classes: what each class is like, and which class a product belongs to.
//!
//! Every field answers with a likelihood ratio: how much commoner its values are in the class than
//! anywhere, smoothed towards 1 where the class has shown little. A missing field contributes
//! nothing. Several readings in one field count by the square root of their number, because lists copy
//! each other (`discounted`). One field may be wrong as a whole with probability [`ERROR`] (about 3 % of claims
//! are), so that a single false figure cannot outweigh everything else. A product's own claims are
//! taken out of the class before the class judges it.

use super::chances::{Chances, Open, capped_log};
use super::evidence::{Evidence, Meant, Reading};
use super::scales::{self, DENSE, FIELDS, Field, KINDS};
use super::tape::{Shown, Tape};
use rayon::prelude::*;
use std::sync::LazyLock;

/// Probability that a field of a product is wrong as a whole.
pub const ERROR: f64 = 0.03;
/// The same for what claims nothing: a price may be a pack's, a brand the seller's own.
const TRADE_ERROR: f64 = 0.1;
/// Pseudo-count towards the background in each field, in products.
pub(super) const SMOOTHING: f32 = 2.0;
/// Prior probability of belonging to none of the classes.
const STRANGER: f64 = 0.01;
/// Classes lighter than this many products are dropped.
const LIGHTEST: f64 = 0.6;
/// Products in a field from which a class is judged with the product's own claims left in.
const LARGE: f32 = 200.0;
/// Readings of one field that few products exceed.
const MOST_READINGS: usize = 8;
/// Classes remembered per product.
const REMEMBERED: usize = 5;
/// Offers, and products, that a class must show before its own habits outweigh those of all.
const STATING: f64 = 10.0;
const OF_KIND: f64 = 5.0;
/// Classes up to which all of them are judged.
const FEW: usize = 48;
/// A share in a class below which a product is a stranger to it.
pub(super) const OUTSIDE: f64 = 1e-4;

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
    products: f64,
    offers: f64,
    state_circle: f64,
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
    code_total: Vec<f32>,
    number_total: Vec<f32>,
    kernel_peak: [f32; FIELDS],
    /// by displacement bin: bits of the classes it speaks for
    by_displacement: Vec<Vec<u64>>,
    /// chances that hold for products outside a class
    chances: Chances,
}

/// What products show whatever their classes are.
#[derive(Debug)]
pub struct Anywhere {
    background: Class,
    code_total: Vec<f32>,
    number_total: Vec<f32>,
    tape: Tape,
}

impl Anywhere {
    /// Sums all products up; `vocabulary` tells how many codes and replaced numbers there are.
    pub fn of(evidence: &[Evidence], vocabulary: (usize, usize)) -> Anywhere {
        let mut anywhere = Anywhere {
            background: Class::empty(),
            code_total: vec![0.0; vocabulary.0],
            number_total: vec![0.0; vocabulary.1],
            tape: Tape::of(evidence),
        };
        let totals = [&mut anywhere.code_total, &mut anywhere.number_total];
        for product in anywhere.tape.products() {
            anywhere.background.add(product, 1.0, None, |field, v, m| {
                totals[open_index(field)][v as usize] += m
            });
        }
        anywhere.background.smooth();
        anywhere
    }
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
    fn add(
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

    fn share(&self, field: Field, bin: u32) -> f32 {
        let uniform = 1.0 / field.bins() as f32;
        (self.bins(field)[bin as usize] + uniform) / (self.total[field as usize] + 1.0)
    }

    fn smooth(&mut self) {
        for field in DENSE {
            let kernel = scales::kernel_of(field);
            if kernel.len() > 1 {
                let bins = &mut self.dense[dense_index(field)];
                *bins = smoothed(bins, &kernel, field.bins_per_kind());
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

impl Classes {
    /// Learns classes from products and their memberships. Classes too light to live are dropped and
    /// the memberships renumbered. Every class sums its products up in their order, whoever works on it.
    pub fn learn(
        evidence: &[Evidence],
        anywhere: &Anywhere,
        memberships: &mut [Posterior],
        before: Option<&Classes>,
    ) -> Classes {
        let classes = renumber(memberships);
        let members = members(evidence, memberships, classes.kept.len());
        let learned: Vec<Taught> = members
            .par_iter()
            .zip(&classes.kept)
            .map_init(
                || [anywhere.code_total.len(), anywhere.number_total.len()].map(OpenSums::new),
                |open, (members, old)| {
                    let like = before
                        .filter(|b| (*old as usize) < b.list.len())
                        .map(|b| (&b.chances, *old));
                    let mut class = Class::empty();
                    for &(product, p) in members {
                        let product = anywhere.tape.product(product as usize);
                        class.add(product, p, like, |field, v, m| open[open_index(field)].add(v, m));
                    }
                    class.smooth();
                    (class, [open[0].take(), open[1].take()])
                },
            )
            .collect();
        let mut list = Vec::with_capacity(learned.len());
        let mut codes = vec![Vec::new(); anywhere.code_total.len()];
        let mut numbers = vec![Vec::new(); anywhere.number_total.len()];
        for ((class, open), k) in learned.into_iter().zip(0..) {
            list.push(class);
            for (index, masses) in [&mut codes, &mut numbers].into_iter().zip(open) {
                masses
                    .into_iter()
                    .for_each(|(v, mass)| index[v as usize].push((k, mass)));
            }
        }
        let mut kernel_peak = [1.0; FIELDS];
        for field in DENSE {
            kernel_peak[field as usize] = scales::kernel_of(field)[0];
        }
        let mut learned = Classes {
            list,
            background: anywhere.background.clone(),
            codes,
            numbers,
            code_total: anywhere.code_total.clone(),
            number_total: anywhere.number_total.clone(),
            kernel_peak,
            by_displacement: Vec::new(),
            chances: Chances::default(),
        };
        learned.chances = learned.lay_out();
        learned.index_displacement();
        learned
    }

    fn lay_out(&self) -> Chances {
        let share = |totals: &[f32], field: Field| -> Vec<f32> {
            (0..totals.len() as u32)
                .map(|value| self.open_share(totals, field, value))
                .collect()
        };
        let open = [
            Open {
                field: Field::Code,
                masses: &self.codes,
                anywhere: share(&self.code_total, Field::Code),
            },
            Open {
                field: Field::Number,
                masses: &self.numbers,
                anywhere: share(&self.number_total, Field::Number),
            },
        ];
        Chances::of(&self.list, &self.background, open)
    }

    fn index_displacement(&mut self) {
        let bins = Field::Displacement.bins();
        self.by_displacement = (0..bins as u32)
            .map(|bin| {
                let (here, common) = self.chances.in_all(Field::Displacement, bin);
                let bits = |chances: &[f32]| {
                    let speaking = chances.iter().zip(0..).filter(|(chance, _)| **chance > common);
                    speaking.fold(0u64, |bits, (_, at)| bits | 1 << at)
                };
                here.chunks(64).map(bits).collect()
            })
            .collect();
    }

    /// Probabilities of one product over the classes, by the fields named; `own` is how it stood when they were learned.
    pub fn posterior_of(&self, product: &Evidence, own: &Posterior, by: &[Field]) -> Posterior {
        let mass = self.mass();
        let mut odds: Posterior = Vec::new();
        self.candidates(product, |k| {
            let own = share(product, own, k);
            let ratios = self.log_ratio(product, k, own, by);
            odds.push((k, self.prior(k, own, mass) + self.habits(product, k, own, by) + ratios));
        });
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
            self.habit_ratio(product, class, own, product.fields[Field::Circle as usize].len())
        } else {
            0.0
        }
    }

    /// Classes worth judging: all when they are few; else those a code, a number or the displacement
    /// points at; all again when nothing points anywhere.
    pub(super) fn candidates(&self, product: &Evidence, mut take: impl FnMut(u32)) {
        let mut found = vec![0u64; self.list.len().div_ceil(64)];
        if self.list.len() > FEW {
            let mut named = |index: &[Vec<(u32, f32)>], value: u32| {
                index[value as usize]
                    .iter()
                    .for_each(|c| found[c.0 as usize / 64] |= 1 << (c.0 % 64));
            };
            for (field, index) in [(Field::Code, &self.codes), (Field::Number, &self.numbers)] {
                let readings = product.fields[field as usize].iter();
                readings.flat_map(|r| &r.values).for_each(|v| named(index, *v));
            }
            if let Some(reading) = product.fields[Field::Displacement as usize].first() {
                let speaking = &self.by_displacement[reading.values[0] as usize];
                found.iter_mut().zip(speaking).for_each(|(found, more)| *found |= more);
            }
        }
        if found.iter().all(|bits| *bits == 0) {
            (0..self.list.len() as u32).for_each(take);
            return;
        }
        for (mut bits, at) in found.into_iter().zip(0..) {
            while bits != 0 {
                take(at * 64 + bits.trailing_zeros());
                bits &= bits - 1;
            }
        }
    }

    /// Log ratio of the part kind in the class, and of how many of the product's offers, `circles`, state a bolt circle.
    /// Sellers of an odd variant say its circle more readily, so that silence speaks for the common one.
    pub fn habit_ratio(&self, product: &Evidence, class: u32, own: f64, circles: usize) -> f64 {
        let place = product.place();
        let (class, all) = (&self.list[class as usize], &self.background);
        let (here, anywhere) = (class.kinds[place], all.kinds[place]);
        let offers = f64::from(product.offers);
        let said = (circles as f64).min(offers);
        let usual = (anywhere.state_circle + 1.0) / (anywhere.offers + 2.0);
        let spoken = (here.state_circle - own * said).max(0.0) + STATING * usual;
        let rate = (spoken / ((here.offers - own * offers).max(0.0) + STATING)).clamp(0.01, 0.99);
        let usual = usual.clamp(0.01, 0.99);
        let stating = said * (rate / usual).ln() + (offers - said) * ((1.0 - rate) / (1.0 - usual)).ln();
        let share = anywhere.products / all.weight.max(1.0);
        let kinds = ((here.products - own).max(0.0) + OF_KIND * share) / ((class.weight - own).max(0.0) + OF_KIND);
        (kinds / share.max(1e-6)).ln() + (stating / offers.max(1.0).sqrt()).clamp(-2.0, 2.0)
    }

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
        let room = if readings.len() <= MOST_READINGS {
            &mut few[..]
        } else {
            many.resize(readings.len(), 0.0);
            &mut many
        };
        let mut count = 0;
        for reading in readings.iter().filter(|r| counts(r)) {
            room[count] = self.reading_ratio(product, class, field, reading, own);
            count += 1;
        }
        if count == 0 {
            return 0.0;
        }
        one_error(field, &mut room[..count])
    }

    /// Log likelihood ratio of a field for classes that the product has no share in, ascending; `ratios` is room for them.
    pub(super) fn outside_ratios(&self, readings: &[Reading], field: Field, classes: &[u32], ratios: &mut Vec<f64>) {
        let (count, each) = (classes.len(), readings.len());
        // reading after reading, then class after class
        ratios.clear();
        ratios.resize(count * each * 2 + count, 0.0);
        let (by_reading, rest) = ratios.split_at_mut(count * each);
        for (reading, ratios) in readings.iter().zip(by_reading.chunks_mut(count)) {
            self.chances.log_ratios(field, reading, classes, ratios);
        }
        let (by_class, found) = rest.split_at_mut(count * each);
        for (at, (of_class, found)) in by_class.chunks_mut(each).zip(found).enumerate() {
            let mine = by_reading[at..].iter().step_by(count);
            of_class.iter_mut().zip(mine).for_each(|(to, from)| *to = *from);
            *found = one_error(field, of_class);
        }
        ratios.drain(..count * each * 2);
    }

    /// Whether a class is so small in a field that a product's own claims are taken out before it judges the product.
    pub(super) fn takes_out(&self, class: u32, field: Field) -> bool {
        self.list[class as usize].total[field as usize] <= LARGE
    }

    /// Log likelihood ratio of one reading for a class.
    pub fn reading_ratio(&self, product: &Evidence, class: u32, field: Field, reading: &Reading, own: f64) -> f64 {
        if own < OUTSIDE || !self.takes_out(class, field) {
            // in a large class one product's own claims change nothing that shows
            return self.chances.log_ratio(field, reading, class);
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

    fn open_share(&self, totals: &[f32], field: Field, value: u32) -> f32 {
        (totals[value as usize] + 0.5) / (self.background.total[field as usize] + 1.0)
    }
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
    likely.filter(|s| s.1 >= 0.002).collect()
}

/// Log ratio of a field from those of its readings: right as a whole, or one error as a whole.
fn one_error(field: Field, ratios: &mut [f64]) -> f64 {
    let error = match field {
        Field::Weight | Field::Price | Field::Brand => TRADE_ERROR,
        _ => ERROR,
    };
    ((1.0 - error) * discounted(ratios).min(60.0).exp() + error).ln()
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

/// sqrt(n + 1) - sqrt(n).
fn root_step(n: usize) -> f64 {
    static STEPS: LazyLock<[f64; 32]> = LazyLock::new(|| std::array::from_fn(step));
    fn step(n: usize) -> f64 {
        (n as f64 + 1.0).sqrt() - (n as f64).sqrt()
    }
    STEPS.get(n).copied().unwrap_or_else(|| step(n))
}

fn mass_of(index: &[Vec<(u32, f32)>], value: u32, class: u32) -> f32 {
    let Some(list) = index.get(value as usize) else {
        return 0.0;
    };
    list.binary_search_by_key(&class, |c| c.0).map_or(0.0, |at| list[at].1)
}

/// Index of an open field among those.
fn open_index(field: Field) -> usize {
    usize::from(field == Field::Number)
}

/// A class, and by open field the mass it shows of each value.
type Taught = (Class, [Vec<(u32, f32)>; 2]);

/// Sums by value of an open vocabulary, to be used again for the next class.
struct OpenSums {
    sums: Vec<f32>,
    seen: Vec<bool>,
    values: Vec<u32>,
}

impl OpenSums {
    fn new(vocabulary: usize) -> OpenSums {
        OpenSums {
            sums: vec![0.0; vocabulary],
            seen: vec![false; vocabulary],
            values: Vec::new(),
        }
    }

    fn add(&mut self, value: u32, mass: f32) {
        if !std::mem::replace(&mut self.seen[value as usize], true) {
            self.values.push(value);
        }
        self.sums[value as usize] += mass;
    }

    fn take(&mut self) -> Vec<(u32, f32)> {
        let (sums, seen) = (&mut self.sums, &mut self.seen);
        let taken = self.values.drain(..).map(|value| {
            seen[value as usize] = false;
            (value, std::mem::take(&mut sums[value as usize]))
        });
        taken.collect()
    }
}

/// Products of each class with their share in it, ascending. An all-embracing title teaches no class.
fn members(evidence: &[Evidence], memberships: &[Posterior], classes: usize) -> Vec<Vec<(u32, f64)>> {
    let mut members = vec![Vec::new(); classes];
    for ((product, posterior), i) in evidence.iter().zip(memberships).zip(0..) {
        if !product.universal {
            posterior.iter().for_each(|&(k, p)| members[k as usize].push((i, p)));
        }
    }
    members
}

struct Renumbered {
    /// old class by new class
    kept: Vec<u32>,
}

fn renumber(memberships: &mut [Posterior]) -> Renumbered {
    let classes = memberships.iter().flatten().map(|m| m.0 + 1).max().unwrap_or(0) as usize;
    let mut weight = vec![0.0f64; classes];
    for &(k, p) in memberships.iter().flatten() {
        weight[k as usize] += p;
    }
    let mut new_of_old = vec![u32::MAX; classes];
    let mut kept = Vec::new();
    for (old, w) in weight.iter().enumerate() {
        if *w >= LIGHTEST {
            new_of_old[old] = kept.len() as u32;
            kept.push(old as u32);
        }
    }
    for posterior in memberships.iter_mut() {
        posterior.retain(|m| new_of_old[m.0 as usize] != u32::MAX);
        posterior.iter_mut().for_each(|m| m.0 = new_of_old[m.0 as usize]);
    }
    Renumbered { kept }
}
