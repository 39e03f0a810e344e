//! First soft labels, before anything is learned: where the learning of weights starts.
//!
//! Where rivals exclude each other, mutual best candidates with a clear margin are likely; where nothing excludes, the
//! likelier the more alike, as far as the two heaps of the cosine, or the pairs whose words oppose each other, tell.
//! Some of these labels are held in later rounds too, see [`sure`] and [`least`]: without them the rounds may run dry.

use super::compare::{Comparison, Field, Lies};
use super::logistic::logistic;
use super::rivals::Rivals;

/// What figures that oppose each other take from the first likelihood of a pair, as ln odds: a twelfth is left (value from
/// memory).
const OPPOSED: f64 = -2.5;
/// What is left of the first likelihood of a pair whose words oppose each other, where rivals exclude (value from memory).
const CONTRARY_LEFT: f64 = 0.05;
/// Pairs of one part whose words oppose each other for one such pair whose words do not, to begin with (value from memory).
const CONTRARY: f64 = 0.15;

/// Likeness, and margin over the best rival on either side, from which a pair is sure to begin with, and how sure
/// (values from memory).
const SURE: (f32, f32) = (0.6, 0.15);
const SURE_LABEL: f64 = 0.9;

/// How little rivals must exclude each other for the start to be held to, and the share of its true pairs that is held
/// (values from memory).
const OPEN: f64 = 0.6;
const LEFT: f64 = 0.75;

/// First soft labels: mutual best candidates with a clear margin over the best rival, or an equal
/// identifier; everything beside such a pair is a likely non-match.
pub(super) fn seeds(comparisons: &[Comparison], rivals: &Rivals) -> Vec<f64> {
    let cosine: Vec<f32> = comparisons.iter().map(|c| c.likeness).collect();
    let start = Start::of(comparisons);
    rivals
        .best_rival(&cosine)
        .iter()
        .zip(comparisons)
        .enumerate()
        .map(|(e, (&(left, right), c))| {
            if let Some(told) = told_by_identifier(c) {
                return told;
            }
            let margin = f64::from(c.likeness - left.max(right));
            let odds = margin * 14.0 + f64::from(c.likeness - 0.45) * 6.0;
            let exclusive = f64::from(rivals.exclusivity(e));
            let against_rivals = match opposed(c) {
                Opposed::Words => CONTRARY_LEFT * logistic(odds),
                Opposed::Figures => logistic(odds + OPPOSED),
                Opposed::No => logistic(odds),
            };
            exclusive * against_rivals + (1.0 - exclusive) * start.alone(c)
        })
        .collect()
}

/// Pairs between lists that are sure to begin with though no identifier says so: mutual best candidates by a wide margin.
pub(super) fn sure(comparisons: &[Comparison], rivals: &Rivals) -> Vec<(u32, f64)> {
    let likeness: Vec<f32> = comparisons.iter().map(|c| c.likeness).collect();
    let best = rivals.best_rival(&likeness);
    let pairs = comparisons.iter().zip(best).zip(0..);
    pairs
        .filter(|((c, (left, right)), _)| {
            c.lies == Lies::Between
                && told_by_identifier(c).is_none()
                && matches!(opposed(c), Opposed::No)
                && c.likeness > SURE.0
                && c.likeness - left.max(*right) > SURE.1
        })
        .map(|(_, pair)| (pair, SURE_LABEL))
        .collect()
}

/// The least number of true pairs, as far as the start tells. Where rivals hardly exclude each other, labels that grow flat
/// would teach flat weights until no pair is left; where they do, unmatched lines are many and the start counts too many.
pub(super) fn least(comparisons: &[Comparison], rivals: &Rivals) -> f64 {
    if rivals.open() > OPEN {
        LEFT * seeds(comparisons, rivals).iter().sum::<f64>()
    } else {
        0.0
    }
}

/// What an identifier alone says, before anything is learned; `None` where it says nothing.
fn told_by_identifier(c: &Comparison) -> Option<f64> {
    let level = |f: Field| c.levels[f as usize];
    let contradicted = level(Field::Claims) == 2 || level(Field::Brand) == 2;
    if level(Field::Kind) >= 2 {
        return Some(match (level(Field::Barcode), level(Field::Number)) {
            (1, _) | (_, 1) => 0.2,
            _ => 0.01,
        });
    }
    match (level(Field::Barcode), level(Field::Number)) {
        (1, _) => Some(if contradicted { 0.8 } else { 0.98 }),
        (2, _) => Some(0.01),
        (_, 1) => Some(if contradicted { 0.7 } else { 0.97 }),
        // bare digits collide between makers
        (_, 2) => Some(if contradicted { 0.4 } else { 0.93 }),
        (_, 3..=5) => Some(if contradicted { 0.2 } else { 0.9 }),
        (_, 10) => Some(0.2),
        // a number both replace, or one replaces of the other: they interchange, which is not the same part
        (_, 6 | 7 | 9) => Some(0.02),
        _ if level(Field::Claims) == 2 => Some(0.02),
        _ => None,
    }
}

/// How likely pairs are by their cosine and by whether their words oppose each other, where nothing excludes.
struct Start {
    mixture: Mixture,
    /// by step of the cosine: an unopposed pair, an opposed one
    steps: Vec<(f64, f64)>,
}

const STEPS: usize = 20;

impl Start {
    fn of(comparisons: &[Comparison]) -> Start {
        let is_opposed = |c: &Comparison| matches!(opposed(c), Opposed::Words);
        let unopposed = comparisons.iter().filter(|c| !is_opposed(c));
        let mixture = Mixture::of(&unopposed.map(|c| c.likeness).collect::<Vec<f32>>());
        let mut counts = vec![(0.0f64, 0.0f64); STEPS];
        let mut likely = vec![0.0f64; STEPS];
        for c in comparisons {
            let step = step_of(c);
            if is_opposed(c) {
                counts[step].1 += 1.0;
            } else {
                counts[step].0 += 1.0;
                likely[step] += mixture.upper(f64::from(c.likeness));
            }
        }
        // how often other pairs oppose each other is seen in the third that is least alike
        let third = comparisons.len() as f64 / 3.0;
        let (mut seen, mut against) = (0.0, 0.0);
        for (free, opposed) in &counts {
            if seen < third {
                seen += free + opposed;
                against += opposed;
            }
        }
        let often = against / f64::max(seen, 1.0);
        let truly: Vec<(f64, f64)> = counts
            .iter()
            .zip(&likely)
            .map(|((free, opposed), likely)| {
                let truly = if mixture.two_heaps || often < 0.3 {
                    *likely
                } else {
                    (free - opposed * (1.0 - often) / often).clamp(0.0, *free)
                };
                (truly, *free)
            })
            .collect();
        let opposed: Vec<(f64, f64)> = truly.iter().zip(&counts).map(|(t, c)| (CONTRARY * t.0, c.1)).collect();
        let steps = rising(&truly).into_iter().zip(rising(&opposed)).collect();
        Start { mixture, steps }
    }

    fn alone(&self, c: &Comparison) -> f64 {
        let (free, opposed_one) = self.steps[step_of(c)];
        match opposed(c) {
            Opposed::Words => opposed_one,
            _ if self.mixture.two_heaps => self.mixture.upper(f64::from(c.likeness)),
            _ => free,
        }
    }
}

/// Shares (some, of all) that never fall from one step to the next: steps that fall are counted as one.
fn rising(steps: &[(f64, f64)]) -> Vec<f64> {
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    for &(some, all) in steps {
        let mut pool = (some, all, 1);
        while let Some(last) = pools.pop_if(|last| last.0 * pool.1 >= pool.0 * last.1) {
            pool = (pool.0 + last.0, pool.1 + last.1, pool.2 + last.2);
        }
        pools.push(pool);
    }
    let share = |p: &(f64, f64, usize)| (p.0 / (p.1 + 0.5)).clamp(0.001, 0.999);
    pools.iter().flat_map(|p| std::iter::repeat_n(share(p), p.2)).collect()
}

fn step_of(c: &Comparison) -> usize {
    ((c.likeness * STEPS as f32) as usize).min(STEPS - 1)
}

/// What stands against each other in two titles.
enum Opposed {
    No,
    /// each has a figure, or a code of one shape, that the other has not: another size, version or model
    Figures,
    /// each has a word that never stands beside the other's: another colour or capacity
    Words,
}

fn opposed(c: &Comparison) -> Opposed {
    match (c.levels[Field::Figures as usize], c.levels[Field::Codes as usize]) {
        (4, _) => Opposed::Words,
        (3, _) | (_, 4) => Opposed::Figures,
        _ => Opposed::No,
    }
}

/// Two normal components of the cosine: where nothing excludes, the upper one starts the learning.
struct Mixture {
    share: f64,
    low: (f64, f64),
    high: (f64, f64),
    two_heaps: bool,
}

impl Mixture {
    fn of(cosines: &[f32]) -> Mixture {
        let mut mixture = Mixture {
            share: 0.3,
            low: (0.35, 0.15),
            high: (0.75, 0.15),
            two_heaps: true,
        };
        let step = (cosines.len() / 50_000).max(1);
        let values: Vec<f64> = cosines.iter().step_by(step).map(|c| f64::from(*c)).collect();
        for _ in 0..30 {
            let upper: Vec<f64> = values.iter().map(|v| mixture.upper(*v)).collect();
            let mass: f64 = upper.iter().sum::<f64>().max(1e-6);
            let rest = (values.len() as f64 - mass).max(1e-6);
            mixture.share = (mass / values.len().max(1) as f64).clamp(0.01, 0.9);
            mixture.high = moments(&values, upper.iter().copied(), mass);
            mixture.low = moments(&values, upper.iter().map(|u| 1.0 - u), rest);
        }
        if mixture.high.0 - mixture.low.0 < mixture.high.1.max(mixture.low.1) {
            // no two heaps: the more alike, the likelier, is all there is to begin with
            let (mean, deviation) = moments(&values, values.iter().map(|_| 1.0), values.len().max(1) as f64);
            mixture = Mixture {
                share: 0.3,
                low: (mean - 0.5 * deviation, deviation),
                high: (mean + deviation, deviation),
                two_heaps: false,
            };
        }
        mixture
    }

    /// Probability of the upper component; monotone in the value.
    fn upper(&self, value: f64) -> f64 {
        let value = value.clamp(self.low.0, self.high.0.max(self.low.0));
        let density = |(mean, deviation): (f64, f64)| (-0.5 * ((value - mean) / deviation).powi(2)).exp() / deviation;
        let (high, low) = (self.share * density(self.high), (1.0 - self.share) * density(self.low));
        high / (high + low).max(1e-300)
    }
}

/// Mean and deviation under weights, the deviation held away from nothing.
fn moments(values: &[f64], weights: impl Iterator<Item = f64> + Clone, mass: f64) -> (f64, f64) {
    let mean = values.iter().zip(weights.clone()).map(|(v, w)| v * w).sum::<f64>() / mass;
    let variance = values
        .iter()
        .zip(weights)
        .map(|(v, w)| w * (v - mean).powi(2))
        .sum::<f64>()
        / mass;
    (mean, variance.sqrt().clamp(0.04, 0.3))
}

#[cfg(test)]
#[path = "start_tests.rs"]
mod tests;
