//! Two classes become one on two tests at once: their interfaces agree *and* codes of both are named
//! together often enough.
//!
//! Either test alone gets the number of classes wrong: many families share a bolt circle without
//! sharing a part, and a careless list names anything together. Interfaces are compared by products,
//! not by lines, so that one rare part with many lines cannot block.

use super::classes::{Classes, Posterior};
use super::evidence::Evidence;
use super::scales::{Field, KINDS};
use rustc_hash::FxHashMap;

/// Share of the rarer class's products that must name the other class too.
const NAMED_TOGETHER: f64 = 0.06;
/// The same where nothing is known of either interface.
const NAMED_TOGETHER_BLIND: f64 = 0.25;
/// Products that must name both.
const LEAST_PRODUCTS: f64 = 3.0;

/// What two interfaces say of each other.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// something measured agrees and nothing contradicts
    Agree,
    /// too little is known
    Silent,
    /// something measured contradicts
    Contradict,
}

/// The interface of a set of products, in bins that carry any mass.
#[derive(Clone, Debug, Default)]
pub struct Sketch {
    /// (field and bin, mass), ascending
    bins: Vec<(u32, f32)>,
}

/// Fields that a sketch holds, with the first key of each.
const SKETCHED: [(Field, u32); 5] = [
    (Field::Circle, 0),
    (Field::Holes, 10_000),
    (Field::Thread, 20_000),
    (Field::Cue, 30_000),
    (Field::Displacement, 40_000),
];

impl Sketch {
    /// Adds a product; it counts once per field, however many lines say so.
    pub fn add(&mut self, product: &Evidence, weight: f32) {
        for (field, offset) in SKETCHED {
            let readings = &product.fields[field as usize];
            let each = weight / readings.len().max(1) as f32;
            for reading in readings {
                for &v in &reading.values {
                    self.put(offset + v, each / reading.values.len() as f32);
                }
            }
        }
    }

    fn put(&mut self, key: u32, mass: f32) {
        match self.bins.binary_search_by_key(&key, |b| b.0) {
            Ok(at) => self.bins[at].1 += mass,
            Err(at) => self.bins.insert(at, (key, mass)),
        }
    }

    /// Takes over everything of another sketch.
    pub fn absorb(&mut self, other: &Sketch) {
        for &(key, mass) in &other.bins {
            self.put(key, mass);
        }
    }

    fn part(&self, from: u32, bins: usize) -> Part<'_> {
        let low = self.bins.partition_point(|b| b.0 < from);
        let high = self.bins.partition_point(|b| b.0 < from + bins as u32);
        let bins = &self.bins[low..high];
        Part {
            bins,
            mass: bins.iter().map(|b| b.1).sum(),
        }
    }
}

struct Part<'a> {
    bins: &'a [(u32, f32)],
    mass: f32,
}

impl Part<'_> {
    /// Common mass of two distributions, a value reaching `reach` bins to both sides; 0 to 1.
    fn overlap(&self, other: &Part<'_>, reach: u32) -> f32 {
        let covered = |x: &Part<'_>, y: &Part<'_>| -> f32 {
            let near = |key: u32| y.bins.iter().any(|b| b.0.abs_diff(key) <= reach && b.1 / y.mass > 0.02);
            x.bins.iter().filter(|b| near(b.0)).map(|b| b.1).sum::<f32>() / x.mass
        };
        covered(self, other).min(covered(other, self))
    }

    /// Bins between which the middle eight tenths of the mass lie.
    fn span(&self) -> (u32, u32) {
        let at = |share: f32| {
            let mut sum = 0.0;
            let found = self.bins.iter().find(|b| {
                sum += b.1;
                sum >= share * self.mass
            });
            found.or(self.bins.last()).map_or(0, |b| b.0)
        };
        (at(0.1), at(0.9))
    }
}

/// Compares two interfaces.
pub fn interfaces(a: &Sketch, b: &Sketch) -> Verdict {
    let mut agree = false;
    for kind in 0..KINDS {
        for (field, offset, reach, enough) in [
            (Field::Circle, 0, 3, 1.5),
            (Field::Holes, 10_000, 0, 2.5),
            (Field::Thread, 20_000, 0, 2.5),
        ] {
            let bins = field.bins_per_kind();
            let from = offset + (kind * bins) as u32;
            let (x, y) = (a.part(from, bins), b.part(from, bins));
            if x.mass < enough || y.mass < enough {
                continue;
            }
            match x.overlap(&y, reach) {
                share if share < 0.25 => return Verdict::Contradict,
                share if share > 0.5 && field == Field::Circle => agree = true,
                _ => {}
            }
        }
    }
    let (x, y) = (a.part(30_000, 16), b.part(30_000, 16));
    if x.mass >= 3.0 && y.mass >= 3.0 && x.overlap(&y, 0) < 0.1 {
        return Verdict::Contradict;
    }
    let bins = Field::Displacement.bins();
    let (x, y) = (a.part(40_000, bins), b.part(40_000, bins));
    if x.mass >= 1.5 && y.mass >= 1.5 {
        let ((low_x, high_x), (low_y, high_y)) = (x.span(), y.span());
        // bins are 1 % steps: forty of them are a factor of 1.5 between the nearest engines
        if low_y > high_x + 40 || low_x > high_y + 40 {
            return Verdict::Contradict;
        }
    }
    if agree { Verdict::Agree } else { Verdict::Silent }
}

/// The interface of each class, from the products that are more likely in it than not.
pub fn sketches(evidence: &[Evidence], classes: &Classes, memberships: &[Posterior]) -> Vec<Sketch> {
    let mut sketches = vec![Sketch::default(); classes.list.len()];
    for (product, posterior) in evidence.iter().zip(memberships) {
        for &(k, p) in posterior.iter().filter(|m| m.1 >= 0.5) {
            sketches[k as usize].add(product, p as f32);
        }
    }
    sketches
}

/// Merges classes where both tests pass; returns how many merges were made.
pub fn merge_classes(evidence: &[Evidence], classes: &Classes, memberships: &mut [Posterior]) -> usize {
    let mut sketches = sketches(evidence, classes, memberships);
    let (alone, both) = naming(evidence, classes);
    let mut pairs: Vec<(f64, u32, u32)> = both
        .into_iter()
        .filter(|(_, n)| *n >= LEAST_PRODUCTS)
        .map(|((x, y), n)| ((n - 1.0) / (alone[x as usize].min(alone[y as usize]) + 1.0), x, y))
        .filter(|(rate, ..)| *rate >= NAMED_TOGETHER)
        .collect();
    pairs.sort_unstable_by(|p, q| q.0.total_cmp(&p.0).then((p.1, p.2).cmp(&(q.1, q.2))));
    let mut into: Vec<u32> = (0..classes.list.len() as u32).collect();
    let mut merges = 0;
    for (rate, x, y) in pairs {
        let (x, y) = (root(&into, x), root(&into, y));
        if x == y {
            continue;
        }
        let fits = match interfaces(&sketches[x as usize], &sketches[y as usize]) {
            Verdict::Agree => true,
            Verdict::Silent => rate >= NAMED_TOGETHER_BLIND,
            Verdict::Contradict => false,
        };
        if fits {
            let (low, high) = (x.min(y), x.max(y));
            into[high as usize] = low;
            let moved = std::mem::take(&mut sketches[high as usize]);
            sketches[low as usize].absorb(&moved);
            merges += 1;
        }
    }
    if merges > 0 {
        memberships.iter_mut().for_each(|posterior| fold(posterior, &into));
    }
    merges
}

pub(super) fn root(into: &[u32], mut k: u32) -> u32 {
    while into[k as usize] != k {
        k = into[k as usize];
    }
    k
}

pub(super) fn fold(posterior: &mut Posterior, into: &[u32]) {
    let mut folded: Posterior = Vec::with_capacity(posterior.len());
    for &(k, p) in posterior.iter() {
        let k = root(into, k);
        match folded.iter_mut().find(|f| f.0 == k) {
            Some(f) => f.1 += p,
            None => folded.push((k, p)),
        }
    }
    *posterior = folded;
}

/// Two classes and the products that name codes of both.
pub type NamedTogether = ((u32, u32), f64);

/// Products per class that name a code of it, and per pair of classes that name codes of both.
/// A code belongs to the class that holds most of it.
pub fn naming(evidence: &[Evidence], classes: &Classes) -> (Vec<f64>, Vec<NamedTogether>) {
    let home = |lists: &[Vec<(u32, f32)>], v: u32| -> Option<u32> {
        let list = &lists[v as usize];
        let total: f32 = list.iter().map(|c| c.1).sum();
        let best = list.iter().max_by(|x, y| x.1.total_cmp(&y.1).then(y.0.cmp(&x.0)))?;
        (best.1 > 0.5 * total).then_some(best.0)
    };
    let mut alone = vec![0.0; classes.list.len()];
    let mut both: FxHashMap<(u32, u32), f64> = FxHashMap::default();
    for product in evidence.iter().filter(|p| !p.universal) {
        let values = |f: Field| product.fields[f as usize].iter().flat_map(|r| r.values.iter().copied());
        let mut named: Vec<u32> = values(Field::Code)
            .filter_map(|v| home(&classes.codes, v))
            .chain(values(Field::Number).filter_map(|v| home(&classes.numbers, v)))
            .collect();
        named.sort_unstable();
        named.dedup();
        for (i, &x) in named.iter().enumerate() {
            alone[x as usize] += 1.0;
            for &y in &named[i + 1..] {
                *both.entry((x, y)).or_default() += 1.0;
            }
        }
    }
    let mut both: Vec<NamedTogether> = both.into_iter().collect();
    both.sort_unstable_by_key(|b| b.0);
    (alone, both)
}

#[cfg(test)]
#[path = "merge_tests.rs"]
mod tests;
