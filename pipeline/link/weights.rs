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

use super::compare::{ALL_FIELDS, Comparison, FIELDS, Field, LEVELS, PATHS, Path};
use super::rivals::Rivals;
use rayon::prelude::*;

const PRIOR_COUNT: f64 = 2.0;
const WEIGHT_CAP: f64 = 7.0;
const ROUNDS: usize = 5;
/// Fields whose weight stands as it is.
const STANDING: [Field; 4] = [Field::Barcode, Field::Number, Field::Brand, Field::Kind];
/// Pairs of a path that the trusts are learned on.
const LEARN_ON: usize = 60_000;
/// Most rounds in which the priors settle, and the share of true pairs below which they have settled.
const SETTLING: usize = 8;
const SETTLED: f64 = 0.003;
const NEWTON_STEPS: usize = 10;
/// Strength of the pull towards trust 0.7, in pairs.
const PULL: f64 = 4.0;
const MATCHED_CAP: f64 = 0.97;
/// Pairs that must be seen before what they teach outweighs caution.
const FEW: f64 = 5.0;

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

/// Weights by path and the probability of each pair.
#[derive(Debug)]
pub struct Learned {
    /// the weights by path
    pub weights: PathWeights,
    /// by pair
    pub probability: Vec<f64>,
}

/// One set of weights for each way in which pairs come together.
#[derive(Clone, Debug)]
pub struct PathWeights(pub [Weights; 2]);

impl PathWeights {
    /// The weights for a pair.
    pub fn of(&self, comparison: &Comparison) -> &Weights {
        &self.0[comparison.path as usize]
    }

    /// Log odds of a pair, alone. An identifier that agrees never makes a pair less likely than its words alone do.
    pub fn log_odds(&self, comparison: &Comparison) -> f64 {
        self.with_priors(comparison.path, &self.fields(comparison))
    }

    /// What the fields of a pair add up to, whatever the priors are.
    fn fields(&self, comparison: &Comparison) -> Fields {
        let sum = |c: &Comparison| self.of(c).fields(c);
        Fields {
            all: sum(comparison),
            words: comparison
                .without_agreeing_identifier()
                .map_or(f64::NEG_INFINITY, |words| sum(&words)),
        }
    }

    fn with_priors(&self, path: Path, fields: &Fields) -> f64 {
        let odds = self.0[path as usize].prior + fields.all;
        odds.max(self.0[Path::Words as usize].prior + fields.words)
    }
}

/// Sums of the fields of a pair.
struct Fields {
    all: f64,
    /// the same pair as if no identifier stood on it; minus infinity where none agrees
    words: f64,
}

/// Levels that a field uses for "nothing to compare".
fn level_is_missing(level: u8) -> bool {
    level == 0
}

impl Weights {
    /// Log odds of a pair, alone.
    pub fn log_odds(&self, comparison: &Comparison) -> f64 {
        self.prior + self.fields(comparison)
    }

    /// What the fields add up to.
    fn fields(&self, comparison: &Comparison) -> f64 {
        self.parts(comparison).iter().sum()
    }

    /// The contribution of every field to the log odds.
    pub fn parts(&self, comparison: &Comparison) -> [f64; FIELDS] {
        let mut parts: [f64; FIELDS] =
            std::array::from_fn(|f| self.trust[f] * self.weight[f][comparison.levels[f] as usize]);
        parts[Field::Number as usize] += number_rarity(comparison);
        parts
    }
}

/// Term frequency: an equal number that many records carry (a machine, a house number) is worth
/// less than one carried by a handful. Zero up to four records, then minus ln of the excess.
fn number_rarity(comparison: &Comparison) -> f64 {
    if comparison.number_records <= 4 {
        return 0.0;
    }
    -(f64::from(comparison.number_records) / 4.0).ln()
}

/// Learns weights from all candidate pairs; `all_pairs` is the number of pairs there are, compared or not, `told` the
/// pairs a person has decided, which stay at the probability given.
pub fn learn(comparisons: &[Comparison], rivals: &Rivals, all_pairs: f64, told: &[(u32, f64)]) -> Learned {
    let mut probability = seeds(comparisons, rivals);
    hold(&mut probability, told);
    let mut weights = estimate_paths(comparisons, &probability, all_pairs);
    probability = settle_prior(comparisons, rivals, &mut weights, told);
    for _ in 1..ROUNDS {
        weights = estimate_paths(comparisons, &probability, all_pairs);
        probability = settle_prior(comparisons, rivals, &mut weights, told);
    }
    Learned { weights, probability }
}

/// Probabilities of all pairs under weights learned on some of them; only the priors settle anew.
pub fn apply(comparisons: &[Comparison], rivals: &Rivals, mut weights: PathWeights, told: &[(u32, f64)]) -> Learned {
    let probability = settle_prior(comparisons, rivals, &mut weights, told);
    Learned { weights, probability }
}

fn hold(probability: &mut [f64], told: &[(u32, f64)]) {
    for (pair, p) in told {
        probability[*pair as usize] = *p;
    }
}

fn estimate_paths(comparisons: &[Comparison], probability: &[f64], all_pairs: f64) -> PathWeights {
    PathWeights(PATHS.map(|path| {
        let mine = || {
            comparisons
                .iter()
                .zip(probability.iter().copied())
                .filter(move |(c, _)| c.path == path)
        };
        let mut weights = estimate(mine(), all_pairs);
        weights.trust = trust(mine(), &weights);
        weights
    }))
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
            if let Some(told) = told_by_identifier(c) {
                return told;
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
        (_, 3..=5 | 10) => Some(if contradicted { 0.2 } else { 0.7 }),
        // a number both replace, or one replaces of the other: they interchange, which is not the same part
        (_, 6 | 7 | 9) => Some(0.02),
        _ if level(Field::Claims) == 2 => Some(0.02),
        _ => None,
    }
}

/// What agrees never speaks against a pair and what contradicts never for it, whatever a handful of
/// odd pairs teach. Two kinds that were each read beyond doubt (0.97) and differ come from one product
/// at most one time in twenty, and from two products about three times in five (three kinds):
/// ln(0.05 / 0.6) = -2.5 at the most; read with 0.995, at most one time in a hundred: ln(0.01 / 0.6) = -4.1.
fn signed(field: Field, level: usize, weight: f64) -> f64 {
    match (field, level) {
        (Field::Kind, 2) => weight.min(-2.5),
        (Field::Kind, 3) => weight.min(-4.1),
        (Field::Barcode | Field::Brand | Field::Claims, 2) | (Field::Number, 6 | 7 | 9) => weight.min(0.0),
        // what an equal identifier is worth at the least, however little there is to learn from: two parts
        // share a sound barcode or a lettered number less than one time in a hundred or fifty, bare
        // digits about one time in twelve (value from memory)
        (Field::Barcode, 1) => weight.max(4.6),
        (Field::Number, 1) => weight.max(3.9),
        (Field::Number, 2) => weight.max(2.5),
        (Field::Brand | Field::Claims, 1) | (Field::Number, 3..=5) => weight.max(0.0),
        _ => weight,
    }
}

/// m, u and weights from soft labels; `all_pairs` is the number of pairs there are, compared or not.
pub fn estimate<'a>(pairs: impl Iterator<Item = (&'a Comparison, f64)>, all_pairs: f64) -> Weights {
    let mut m = [[0.0; LEVELS]; FIELDS];
    let mut u = [[0.0; LEVELS]; FIELDS];
    let (mut count, mut expected) = (0usize, 0.0);
    for (c, p) in pairs {
        count += 1;
        expected += p;
        for f in 0..FIELDS {
            m[f][c.levels[f] as usize] += p;
            u[f][c.levels[f] as usize] += 1.0 - p;
        }
    }
    let mut weight = [[0.0; LEVELS]; FIELDS];
    for f in 0..FIELDS {
        let (known_m, known_u) = (m[f][1..].iter().sum::<f64>(), u[f][1..].iter().sum::<f64>());
        let identifies = |level: usize| matches!((ALL_FIELDS[f], level), (Field::Barcode, 1) | (Field::Number, 1));
        for level in 1..LEVELS {
            let both = (m[f][level] + u[f][level]) / (known_m + known_u).max(1e-9);
            m[f][level] = (m[f][level] + PRIOR_COUNT * both) / (known_m + PRIOR_COUNT);
            u[f][level] = (u[f][level] + PRIOR_COUNT * both) / (known_u + PRIOR_COUNT);
            if identifies(level) {
                // candidates are chosen by equal identifiers; the chance of one without a match is seen over all pairs
                u[f][level] *= (count as f64 / all_pairs).min(1.0);
            }
            if both > 0.0 {
                weight[f][level] = (m[f][level] / u[f][level]).ln().clamp(-WEIGHT_CAP, WEIGHT_CAP);
                weight[f][level] = signed(ALL_FIELDS[f], level, weight[f][level]);
                if ALL_FIELDS[f] == Field::Weight && level > 1 {
                    // the further apart two pieces weigh, the less they are one part
                    weight[f][level] = weight[f][level].min(weight[f][level - 1]);
                }
            }
        }
    }
    let prior = (expected.max(0.5) / (count as f64 - expected).max(1.0)).ln();
    Weights {
        m,
        u,
        weight,
        trust: [1.0; FIELDS],
        prior,
    }
}

/// ln prior odds of a candidate pair against "neither side is matched", for `expected` true pairs
/// among `pairs`.
///
/// For a matching with M true pairs among N candidate pairs, where a share `a` of the places is
/// matched, a pair weighs M / N / ((1 - a)(1 - a)) against both sides staying alone.
fn prior_odds(expected: f64, pairs: f64, matched: f64, exclusivity: f64) -> f64 {
    ((expected + 0.5) / (pairs + FEW)).ln() - 2.0 * exclusivity * (1.0 - matched).ln()
}

/// Repeats scoring until the priors agree with the number of true pairs they lead to.
fn settle_prior(
    comparisons: &[Comparison],
    rivals: &Rivals,
    weights: &mut PathWeights,
    told: &[(u32, f64)],
) -> Vec<f64> {
    let mut probability = Vec::new();
    let exclusivity = rivals.mean_strength();
    let mut before = 0.0;
    let fields: Vec<Fields> = comparisons.par_iter().map(|c| weights.fields(c)).collect();
    for _ in 0..SETTLING {
        let with_priors = comparisons.par_iter().zip(&fields);
        let mut scores: Vec<f64> = with_priors.map(|(c, f)| weights.with_priors(c.path, f)).collect();
        for (pair, p) in told {
            // a decided pair takes its place from its rivals, or leaves it to them
            scores[*pair as usize] = (p / (1.0 - p)).ln();
        }
        probability = rivals.posteriors(&scores);
        hold(&mut probability, told);
        let mut expected = [0.0; 2];
        let mut count = [0.0; 2];
        for (c, p) in comparisons.iter().zip(&probability) {
            expected[c.path as usize] += p;
            count[c.path as usize] += 1.0;
        }
        let total = expected[0] + expected[1];
        let settled = (total - before).abs() < SETTLED * total;
        before = total;
        let matched = (2.0 * total / (rivals.groups() as f64 + 4.0 * FEW)).min(MATCHED_CAP);
        for path in 0..2 {
            weights.0[path].prior = prior_odds(expected[path], count[path], matched, exclusivity);
        }
        if settled {
            break;
        }
    }
    probability
}

/// Bounded logistic regression of the soft labels on the weights, an intercept beside them, a pull
/// towards trust 0.7. Newton steps; inside each, the quadratic is minimised by coordinates, which keeps
/// every trust in [0, 1].
fn trust<'a>(pairs: impl Iterator<Item = (&'a Comparison, f64)> + Clone, weights: &Weights) -> [f64; FIELDS] {
    let step = (pairs.clone().count() / LEARN_ON).max(1);
    let rows: Vec<([f64; FIELDS], f64)> = pairs.step_by(step).map(|(c, y)| (features(c, weights), y)).collect();
    let mut trust = [0.7; FIELDS];
    // an identifier does not say again what words say
    for f in STANDING {
        trust[f as usize] = 1.0;
    }
    let mut intercept = weights.prior;
    let mut likelihood = agreement(&rows, &trust, intercept);
    for _ in 0..NEWTON_STEPS {
        let step = Slope::of(&rows, &trust, intercept).step(&trust);
        let Some(better) = shortened(&rows, &trust, intercept, &step, likelihood) else {
            break;
        };
        (trust, intercept, likelihood) = better;
    }
    trust
}

/// The longest of a few shortened steps that really improves the fit; a full Newton step may overshoot.
fn shortened(
    rows: &[([f64; FIELDS], f64)],
    trust: &[f64; FIELDS],
    intercept: f64,
    step: &[f64; FIELDS + 1],
    likelihood: f64,
) -> Option<([f64; FIELDS], f64, f64)> {
    for share in [1.0, 0.5, 0.25, 0.1] {
        let mut next = *trust;
        for f in 0..FIELDS {
            next[f] = (next[f] + share * step[f]).clamp(0.0, 1.0);
        }
        let offset = intercept + share * step[FIELDS];
        let reached = agreement(rows, &next, offset);
        if reached > likelihood + 1e-9 * likelihood.abs() {
            return Some((next, offset, reached));
        }
    }
    None
}

/// Log likelihood of the soft labels, less the pull.
fn agreement(rows: &[([f64; FIELDS], f64)], trust: &[f64; FIELDS], intercept: f64) -> f64 {
    let labels: f64 = rows
        .iter()
        .map(|(x, y)| {
            let s = intercept + dot(x, trust);
            // y ln p + (1 - y) ln(1 - p), written so that it never overflows
            y * s - s.max(0.0) - (-s.abs()).exp().ln_1p()
        })
        .sum();
    labels - PULL / 2.0 * trust.iter().map(|t| (t - 0.7).powi(2)).sum::<f64>()
}

/// Gradient and curvature of the log likelihood in the trusts and, last, the intercept.
struct Slope {
    gradient: [f64; FIELDS + 1],
    curvature: [[f64; FIELDS + 1]; FIELDS + 1],
}

impl Slope {
    fn of(rows: &[([f64; FIELDS], f64)], trust: &[f64; FIELDS], intercept: f64) -> Slope {
        let mut slope = Slope {
            gradient: [0.0; FIELDS + 1],
            curvature: [[0.0; FIELDS + 1]; FIELDS + 1],
        };
        let mut x = [1.0; FIELDS + 1];
        for (row, y) in rows {
            x[..FIELDS].copy_from_slice(row);
            let p = logistic(intercept + dot(row, trust));
            let bend = p * (1.0 - p);
            for i in 0..=FIELDS {
                slope.gradient[i] += (y - p) * x[i];
                let scaled = bend * x[i];
                for (bent, other) in slope.curvature[i][..=i].iter_mut().zip(&x) {
                    *bent += scaled * other;
                }
            }
        }
        for i in 0..=FIELDS {
            for j in i + 1..=FIELDS {
                slope.curvature[i][j] = slope.curvature[j][i];
            }
        }
        slope
    }

    /// The bounded step that maximises the quadratic; standing fields do not move.
    fn step(&self, trust: &[f64; FIELDS]) -> [f64; FIELDS + 1] {
        let mut step = [0.0; FIELDS + 1];
        for _ in 0..30 {
            for i in 0..=FIELDS {
                if i < FIELDS && STANDING.contains(&ALL_FIELDS[i]) {
                    continue;
                }
                let pull = if i < FIELDS { PULL } else { 0.0 };
                let bent: f64 = (0..=FIELDS).map(|j| self.curvature[i][j] * step[j]).sum();
                let mut slope = self.gradient[i] - bent;
                if i < FIELDS {
                    slope -= pull * (trust[i] + step[i] - 0.7);
                }
                let mut next = step[i] + slope / (self.curvature[i][i] + pull).max(1e-9);
                if i < FIELDS {
                    next = next.clamp(-trust[i], 1.0 - trust[i]);
                }
                step[i] = next;
            }
        }
        step
    }
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
