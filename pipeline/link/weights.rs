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

use super::compare::{ALL_FIELDS, Comparison, FIELDS, Field, LEVELS, Lies, PATHS, Path};
use super::rivals::{Numbering, Rivals};
use rayon::prelude::*;

const PRIOR_COUNT: f64 = 2.0;
const WEIGHT_CAP: f64 = 7.0;
const ROUNDS: usize = 5;
/// Fields whose weight stands as it is.
const STANDING: [Field; 4] = [Field::Barcode, Field::Number, Field::Brand, Field::Kind];
/// What figures that oppose each other take from the first likelihood of a pair, as ln odds: a fifth is left (value from
/// memory).
const OPPOSED: f64 = -1.6;
/// What is left of the first likelihood of a pair whose words oppose each other, where rivals exclude (value from memory).
const CONTRARY_LEFT: f64 = 0.05;
/// Pairs of one part whose words oppose each other for one such pair whose words do not, to begin with (value from memory).
const CONTRARY: f64 = 0.15;
/// The most that words which oppose each other may be worth, as ln odds: one pair of one part to twenty others
/// (value from memory).
const CONTRARY_WORDS: f64 = -3.0;
/// What two lines of a list that holds one part once only are held down by, as ln odds: one line in fifty has a second one
/// there (value from memory).
const ONCE: f64 = 4.0;
/// How little rivals must exclude each other for the learning to begin anew without them.
const ALL_OPEN: f64 = 0.9;
/// Pairs of a path that the trusts are learned on.
const LEARN_ON: usize = 60_000;
/// Most rounds in which the priors settle, and the share of true pairs below which they have settled.
const SETTLING: usize = 15;
/// The same between two estimates of the weights.
const SETTLING_BETWEEN: usize = 8;
const SETTLED: f64 = 0.001;
const NEWTON_STEPS: usize = 10;
/// Strength of the pull towards trust 0.7, in pairs.
const PULL: f64 = 4.0;
/// The most that a prior may be, as ln odds.
const PRIOR_CAP: f64 = 7.0;
/// The most that the prior may be for two lines of one list of parts that only words bring together, as ln odds: about
/// one pair in fifty (value from memory, see [`Numbering`]). The fields that tell repeats from siblings are learned
/// between lists and are too kind to lines that one supplier words alike.
const REPEATED_PART: f64 = -4.0;
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
    /// what is added where rivals do not exclude each other, so that all fields together stay a likelihood ratio though
    /// each counts in part only; see [`trust`]
    pub offset: f64,
    /// ln odds that a candidate pair between two lists is true before looking at it
    pub prior: f64,
    /// the same for a pair inside one list
    pub prior_inside: f64,
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
        self.with_priors(comparison, &self.fields(comparison))
    }

    /// What the fields of a pair add up to as ln odds, before any prior.
    pub fn evidence(&self, comparison: &Comparison) -> f64 {
        let fields = self.fields(comparison);
        fields.all.max(fields.words)
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

    fn with_priors(&self, comparison: &Comparison, fields: &Fields) -> f64 {
        let prior = |path: Path| match comparison.lies {
            Lies::Between => self.0[path as usize].prior,
            Lies::Inside => self.0[path as usize].prior_inside,
        };
        (prior(comparison.path) + fields.all).max(prior(Path::Words) + fields.words)
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
        self.offset + self.parts(comparison).iter().sum::<f64>()
    }

    /// The contribution of every field to the log odds.
    pub fn parts(&self, comparison: &Comparison) -> [f64; FIELDS] {
        let mut parts: [f64; FIELDS] = std::array::from_fn(|f| match comparison.levels[f] {
            0 => 0.0,
            level => self.trust[f] * self.weight[f][level as usize],
        });
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
    learn_further(comparisons, rivals, all_pairs, told, seeds(comparisons, rivals), ROUNDS)
}

/// The same from probabilities that stand, for so many rounds.
pub fn learn_further(
    comparisons: &[Comparison],
    rivals: &Rivals,
    all_pairs: f64,
    told: &[(u32, f64)],
    mut probability: Vec<f64>,
    rounds: usize,
) -> Learned {
    hold(&mut probability, told);
    let open = rivals.open();
    let mut weights = estimate_paths(comparisons, &probability, all_pairs, open);
    probability = settle_prior(comparisons, rivals, &mut weights, told, SETTLING_BETWEEN);
    for _ in 1..rounds {
        weights = estimate_paths(comparisons, &probability, all_pairs, open);
        probability = settle_prior(comparisons, rivals, &mut weights, told, SETTLING_BETWEEN);
    }
    Learned { weights, probability }
}

/// Goes on from weights that stand where rivals exclude each other less than was thought.
pub fn relax(
    comparisons: &[Comparison],
    rivals: &Rivals,
    all_pairs: f64,
    told: &[(u32, f64)],
    weights: PathWeights,
) -> Learned {
    if rivals.open() > ALL_OPEN {
        return learn(comparisons, rivals, all_pairs, told);
    }
    let start = apply(comparisons, rivals, weights, told);
    learn_further(comparisons, rivals, all_pairs, told, start.probability, 1)
}

/// Probabilities of all pairs under weights learned on some of them; only the priors settle anew.
pub fn apply(comparisons: &[Comparison], rivals: &Rivals, mut weights: PathWeights, told: &[(u32, f64)]) -> Learned {
    let probability = settle_prior(comparisons, rivals, &mut weights, told, SETTLING);
    Learned { weights, probability }
}

fn hold(probability: &mut [f64], told: &[(u32, f64)]) {
    for (pair, p) in told {
        probability[*pair as usize] = *p;
    }
}

fn estimate_paths(comparisons: &[Comparison], probability: &[f64], all_pairs: f64, open: f64) -> PathWeights {
    // pairs inside a list are judged by what those between lists teach, where there are any: one supplier's style
    // makes its lines too alike
    let only_list = comparisons.iter().all(|c| c.lies == Lies::Inside);
    PathWeights(PATHS.map(|path| {
        let mine = || {
            comparisons
                .iter()
                .zip(probability.iter().copied())
                .filter(move |(c, _)| c.path == path && (only_list || c.lies == Lies::Between))
        };
        let mut weights = estimate(mine(), all_pairs);
        let (trusts, offset) = trust(mine(), &weights);
        (weights.trust, weights.offset) = (trusts, open * offset);
        weights
    }))
}

/// First soft labels: mutual best candidates with a clear margin over the best rival, or an equal
/// identifier; everything beside such a pair is a likely non-match.
fn seeds(comparisons: &[Comparison], rivals: &Rivals) -> Vec<f64> {
    let cosine: Vec<f32> = comparisons.iter().map(|c| c.cosine).collect();
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
            let margin = f64::from(c.cosine - left.max(right));
            let odds = margin * 14.0 + f64::from(c.cosine - 0.45) * 6.0;
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
        let mixture = Mixture::of(&unopposed.map(|c| c.cosine).collect::<Vec<f32>>());
        let mut counts = vec![(0.0f64, 0.0f64); STEPS];
        let mut likely = vec![0.0f64; STEPS];
        for c in comparisons {
            let step = step_of(c);
            if is_opposed(c) {
                counts[step].1 += 1.0;
            } else {
                counts[step].0 += 1.0;
                likely[step] += mixture.upper(f64::from(c.cosine));
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
            _ if self.mixture.two_heaps => self.mixture.upper(f64::from(c.cosine)),
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
    ((c.cosine * STEPS as f32) as usize).min(STEPS - 1)
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

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
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

/// Whether one barcode or one own number stands on both lines: a list may well give a part two lines that say so.
fn told_by_own_number(c: &Comparison) -> bool {
    c.levels[Field::Barcode as usize] == 1 || matches!(c.levels[Field::Number as usize], 1 | 2)
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
        // digits about one time in twelve, and one's own number stands in the other's title one time in thirty
        // (values from memory)
        (Field::Barcode, 1) => weight.max(4.6),
        (Field::Number, 1) => weight.max(3.9),
        (Field::Number, 2) => weight.max(2.5),
        (Field::Number, 3 | 4) => weight.max(3.5),
        (Field::Figures, 3) | (Field::Codes, 4) => weight.min(0.0),
        (Field::Figures, 4) => weight.min(CONTRARY_WORDS),
        (Field::Brand | Field::Claims | Field::Figures | Field::Codes, 1) | (Field::Number, 5) => weight.max(0.0),
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
                if matches!(ALL_FIELDS[f], Field::Weight | Field::Telling) && level > 1 {
                    // the further apart two pieces weigh, or the more the words tell, the less they are one part
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
        offset: 0.0,
        prior,
        prior_inside: prior,
    }
}

/// Repeats scoring until the priors agree with the number of true pairs they lead to. The prior odds of a pair are those
/// of finding it true where both of its places are free for it: the true pairs expected, over the free places expected.
fn settle_prior(
    comparisons: &[Comparison],
    rivals: &Rivals,
    weights: &mut PathWeights,
    told: &[(u32, f64)],
    rounds: usize,
) -> Vec<f64> {
    let mut probability = Vec::new();
    let mut before = 0.0;
    let fields: Vec<Fields> = comparisons.par_iter().map(|c| weights.fields(c)).collect();
    for _ in 0..rounds {
        let with_priors = comparisons.par_iter().zip(&fields);
        let held = |pair: usize| match told_by_own_number(&comparisons[pair]) {
            true => 0.0,
            false => ONCE * f64::from(rivals.once_inside(pair)),
        };
        let mut scores: Vec<f64> = with_priors
            .enumerate()
            .map(|(pair, (c, f))| weights.with_priors(c, f) - held(pair))
            .collect();
        for (pair, p) in told {
            // a decided pair takes its place from its rivals, or leaves it to them
            scores[*pair as usize] = (p / (1.0 - p)).ln();
        }
        probability = rivals.posteriors(&scores);
        hold(&mut probability, told);
        // by path, between lists and inside one
        let mut expected = [[0.0; 2]; 2];
        let mut free = [[0.0; 2]; 2];
        for ((c, p), f) in comparisons.iter().zip(&probability).zip(rivals.free(&probability)) {
            expected[c.path as usize][c.lies as usize] += p;
            free[c.path as usize][c.lies as usize] += f;
        }
        let total: f64 = expected.iter().flatten().sum();
        let settled = (total - before).abs() < SETTLED * total;
        before = total;
        for path in 0..2 {
            let odds = |lies: Lies| {
                let odds = (expected[path][lies as usize] + 0.5) / (free[path][lies as usize] + FEW);
                odds.ln().clamp(-PRIOR_CAP, PRIOR_CAP)
            };
            let inside = match (PATHS[path], rivals.numbering()) {
                (Path::Words, Numbering::OnePartOneNumber) => odds(Lies::Inside).min(REPEATED_PART),
                _ => odds(Lies::Inside),
            };
            (weights.0[path].prior, weights.0[path].prior_inside) = (odds(Lies::Between), inside);
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
fn trust<'a>(pairs: impl Iterator<Item = (&'a Comparison, f64)> + Clone, weights: &Weights) -> ([f64; FIELDS], f64) {
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
    let mean = rows.iter().map(|r| r.1).sum::<f64>() / rows.len().max(1) as f64;
    let mean = mean.clamp(1e-6, 1.0 - 1e-6);
    (trust, intercept - (mean / (1.0 - mean)).ln())
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_equal_identifier_is_worth_something_however_little_was_learned_of_it() {
        for (level, least) in [(1, 3.9), (2, 2.5), (3, 3.5), (4, 3.5), (5, 0.0)] {
            assert_eq!(signed(Field::Number, level, -1.0), least, "level {level}");
            assert_eq!(signed(Field::Number, level, 6.0), 6.0, "level {level}");
        }
    }

    fn pair(cosine: f32, figures: u8) -> Comparison {
        let mut levels = [0u8; FIELDS];
        levels[Field::Words as usize] = 1 + (cosine * 10.0) as u8;
        levels[Field::Figures as usize] = figures;
        Comparison {
            levels,
            cosine,
            path: Path::Words,
            lies: Lies::Inside,
            number_records: 0,
        }
    }

    #[test]
    fn where_nothing_excludes_opposed_pairs_tell_how_many_of_the_others_are_not_one_part() {
        // of pairs little alike nine in ten oppose each other; of those much alike half do, so that five in nine of the
        // others are one part ... whatever the heaps of the cosine say
        let mut pairs = Vec::new();
        for i in 0..900u16 {
            let cosine = 0.05 + 0.5 * f32::from(i) / 900.0;
            pairs.push(pair(cosine, if i % 10 == 0 { 0 } else { 4 }));
        }
        for i in 0..400u16 {
            let cosine = 0.4 + 0.5 * f32::from(i) / 400.0;
            pairs.push(pair(cosine, if i % 2 == 0 { 0 } else { 4 }));
        }
        let start = Start::of(&pairs);
        assert!(start.alone(&pair(0.8, 0)) > 0.8, "{}", start.alone(&pair(0.8, 0)));
        assert!(start.alone(&pair(0.8, 4)) < 0.2);
        assert!(start.alone(&pair(0.2, 0)) < 0.2);
    }

    #[test]
    fn shares_rise_from_step_to_step() {
        let shares = rising(&[(1.0, 10.0), (0.0, 10.0), (9.0, 10.0), (8.0, 10.0), (10.0, 10.0)]);
        assert!(shares.is_sorted(), "{shares:?}");
        assert_eq!(shares[0], shares[1]);
        assert_eq!(shares[2], shares[3]);
    }
}
