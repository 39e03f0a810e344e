//! What a level is worth: Fellegi-Sunter weights, learned without labels.
//!
//! For a field and a level, `m` is the share of true pairs that show it and `u` the share of
//! candidate pairs that are not the same part; the *weight* is ln(m / u). Fields that say the same
//! thing twice would be counted twice, so each field has a *trust* between 0 and 1, learned
//! together by a bounded logistic on the same soft labels.
//!
//! Limits: trust in [0, 1]; a weight in [-7, 7]; a level seen in fewer than about
//! [`PRIOR_COUNT`] pairs stays near weight 0; rounds are few and counted, because without labels
//! more rounds first help, then drift.

use super::compare::{ALL_FIELDS, Comparison, FIELDS, Field, LEVELS};
use super::rivals::Rivals;

const PRIOR_COUNT: f64 = 2.0;
const WEIGHT_CAP: f64 = 7.0;
const ROUNDS: usize = 5;
const MATCHED_CAP: f64 = 0.97;

/// The learned weights.
#[derive(Clone, Debug)]
pub struct Weights {
    /// share of true pairs by field and level
    pub m: [[f64; LEVELS]; FIELDS],
    /// share of other candidate pairs by field and level
    pub u: [[f64; LEVELS]; FIELDS],
    /// ln(m / u), 0 for "nothing to compare"
    pub weight: [[f64; LEVELS]; FIELDS],
    /// how far a field counts beside the others, 0 to 1
    pub trust: [f64; FIELDS],
    /// ln odds that a candidate pair is true before looking at it
    pub prior: f64,
}

/// Weights and the probability of each pair.
#[derive(Debug)]
pub struct Learned {
    /// the weights
    pub weights: Weights,
    /// by pair
    pub probability: Vec<f64>,
}

/// Levels that a field uses for "nothing to compare".
fn level_is_missing(level: u8) -> bool {
    level == 0
}

impl Weights {
    /// Log odds of a pair, alone.
    pub fn log_odds(&self, comparison: &Comparison) -> f64 {
        self.prior + self.parts(comparison).iter().sum::<f64>()
    }

    /// The contribution of every field to the log odds.
    pub fn parts(&self, comparison: &Comparison) -> [f64; FIELDS] {
        let mut parts = [0.0; FIELDS];
        for f in 0..FIELDS {
            parts[f] = self.trust[f] * self.weight[f][comparison.levels[f] as usize];
        }
        parts[Field::Number as usize] += number_rarity(comparison);
        parts
    }
}

/// Term frequency: an equal number that many records carry (a machine, a house number) is worth
/// less than one carried by a handful. Zero up to four records, then minus ln of the excess.
fn number_rarity(comparison: &Comparison) -> f64 {
    -(f64::from(comparison.number_records) / 4.0).max(1.0).ln()
}

/// Learns weights from all candidate pairs.
pub fn learn(comparisons: &[Comparison], rivals: &Rivals) -> Learned {
    let mut probability = seeds(comparisons, rivals);
    let mut weights = estimate(comparisons, &probability);
    for _ in 0..ROUNDS {
        weights = estimate(comparisons, &probability);
        weights.trust = trust(comparisons, &probability, &weights);
        probability = settle_prior(comparisons, rivals, &mut weights);
    }
    Learned { weights, probability }
}

/// First soft labels: mutual best candidates with a clear margin over the best rival, or an equal
/// identifier; everything beside such a pair is a likely non-match.
fn seeds(comparisons: &[Comparison], rivals: &Rivals) -> Vec<f64> {
    let cosine: Vec<f32> = comparisons.iter().map(|c| c.cosine).collect();
    let mixture = Mixture::of(&cosine);
    rivals
        .best_rival(&cosine)
        .iter()
        .zip(comparisons)
        .enumerate()
        .map(|(e, (&(left, right), c))| {
            if identifier_says_same(c) {
                return 0.95;
            }
            if identifier_says_other(c) {
                return 0.02;
            }
            let alone = mixture.upper(f64::from(c.cosine));
            let margin = f64::from(c.cosine - left.max(right));
            let against_rivals = logistic(margin * 14.0 + f64::from(c.cosine - 0.45) * 6.0);
            let exclusive = f64::from(rivals.exclusivity(e));
            exclusive * against_rivals + (1.0 - exclusive) * alone
        })
        .collect()
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// Two normal components of the cosine: where nothing excludes, the upper one starts the learning.
struct Mixture {
    share: f64,
    low: (f64, f64),
    high: (f64, f64),
}

impl Mixture {
    fn of(cosines: &[f32]) -> Mixture {
        let mut mixture = Mixture {
            share: 0.3,
            low: (0.35, 0.15),
            high: (0.75, 0.15),
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

fn identifier_says_same(c: &Comparison) -> bool {
    c.levels[Field::Barcode as usize] == 1 || matches!(c.levels[Field::Number as usize], 1 | 2)
}

fn identifier_says_other(c: &Comparison) -> bool {
    c.levels[Field::Barcode as usize] == 2 || c.levels[Field::Claims as usize] == 2
}

/// m, u and weights from soft labels.
pub fn estimate(comparisons: &[Comparison], probability: &[f64]) -> Weights {
    let mut m = [[0.0; LEVELS]; FIELDS];
    let mut u = [[0.0; LEVELS]; FIELDS];
    for (c, &p) in comparisons.iter().zip(probability) {
        for f in 0..FIELDS {
            m[f][c.levels[f] as usize] += p;
            u[f][c.levels[f] as usize] += 1.0 - p;
        }
    }
    let mut weight = [[0.0; LEVELS]; FIELDS];
    for f in 0..FIELDS {
        let (known_m, known_u) = (m[f][1..].iter().sum::<f64>(), u[f][1..].iter().sum::<f64>());
        for level in 1..LEVELS {
            let both = (m[f][level] + u[f][level]) / (known_m + known_u).max(1e-9);
            m[f][level] = (m[f][level] + PRIOR_COUNT * both) / (known_m + PRIOR_COUNT);
            u[f][level] = (u[f][level] + PRIOR_COUNT * both) / (known_u + PRIOR_COUNT);
            if both > 0.0 {
                weight[f][level] = (m[f][level] / u[f][level]).ln().clamp(-WEIGHT_CAP, WEIGHT_CAP);
            }
        }
    }
    let expected: f64 = probability.iter().sum();
    let prior = (expected.max(0.5) / (comparisons.len() as f64 - expected).max(1.0)).ln();
    Weights {
        m,
        u,
        weight,
        trust: [1.0; FIELDS],
        prior,
    }
}

/// ln prior odds of a candidate pair against "neither side is matched", for `expected` true pairs.
///
/// For a matching with M true pairs among N candidate pairs, where a share `a` of the record's
/// places is matched, a pair weighs M / N / ((1 - a)(1 - b)) against both sides staying alone.
fn prior_odds(expected: f64, pairs: usize, rivals: &Rivals) -> f64 {
    let matched = (2.0 * expected / rivals.groups() as f64).min(MATCHED_CAP);
    (expected.max(0.5) / pairs as f64).ln() - 2.0 * rivals.mean_strength() * (1.0 - matched).ln()
}

/// Repeats scoring until the prior agrees with the number of true pairs it leads to.
fn settle_prior(comparisons: &[Comparison], rivals: &Rivals, weights: &mut Weights) -> Vec<f64> {
    let mut probability = Vec::new();
    for _ in 0..4 {
        let scores: Vec<f64> = comparisons.iter().map(|c| weights.log_odds(c)).collect();
        probability = rivals.posteriors(&scores);
        let expected: f64 = probability.iter().sum();
        weights.prior = prior_odds(expected, comparisons.len(), rivals);
    }
    probability
}

/// Bounded logistic regression of the soft labels on the weights: projected coordinate Newton
/// steps, an intercept beside them, a pull towards trust 0.7.
fn trust(comparisons: &[Comparison], labels: &[f64], weights: &Weights) -> [f64; FIELDS] {
    let step = (comparisons.len() / 200_000).max(1);
    let rows: Vec<([f64; FIELDS], f64)> = comparisons
        .iter()
        .zip(labels)
        .step_by(step)
        .map(|(c, &y)| (features(c, weights), y))
        .collect();
    let mut trust = [0.7; FIELDS];
    let mut score: Vec<f64> = rows.iter().map(|(x, _)| weights.prior + dot(x, &trust)).collect();
    for _ in 0..12 {
        let (g, h) = slope(&rows, &score, |_| 1.0);
        let moved = g / h.max(1e-6);
        score.iter_mut().for_each(|s| *s += moved);
        for f in 0..FIELDS {
            let (g, h) = slope(&rows, &score, |x| x[f]);
            let pull = 4.0;
            let next = (trust[f] + (g - pull * (trust[f] - 0.7)) / (h + pull)).clamp(0.0, 1.0);
            let moved = next - trust[f];
            if moved != 0.0 {
                trust[f] = next;
                for (s, (x, _)) in score.iter_mut().zip(&rows) {
                    *s += moved * x[f];
                }
            }
        }
    }
    trust
}

fn features(c: &Comparison, weights: &Weights) -> [f64; FIELDS] {
    ALL_FIELDS.map(|f| {
        let level = c.levels[f as usize];
        if level_is_missing(level) {
            0.0
        } else {
            weights.weight[f as usize][level as usize]
        }
    })
}

fn dot(x: &[f64; FIELDS], y: &[f64; FIELDS]) -> f64 {
    x.iter().zip(y).map(|(p, q)| p * q).sum()
}

/// Gradient and curvature of the log likelihood along one feature.
fn slope(rows: &[([f64; FIELDS], f64)], score: &[f64], feature: impl Fn(&[f64; FIELDS]) -> f64) -> (f64, f64) {
    let mut gradient = 0.0;
    let mut curvature = 0.0;
    for ((x, y), s) in rows.iter().zip(score) {
        let p = 1.0 / (1.0 + (-s).exp());
        let v = feature(x);
        gradient += (y - p) * v;
        curvature += p * (1.0 - p) * v * v;
    }
    (gradient, curvature)
}
