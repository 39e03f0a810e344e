//! Weights and probabilities learned in turns, without labels.
//!
//! Each round estimates the weights from the probabilities that stand, lets the priors settle with the rivals, and so finds
//! new probabilities. Rounds are few and counted, because without labels more rounds first help, then drift.

use super::anchors;
use super::compare::{Comparison, Field, Lies, PATHS, Path};
use super::identifiers;
use super::rivals::{Numbering, Rivals};
use super::start::seeds;
use super::trust::{logistic, trust};
use super::weights::{Fields, PathWeights, Weights, estimate};
use rayon::prelude::*;

const ROUNDS: usize = 5;
/// What two lines of a list that holds one part once only are held down by, as ln odds: one line in fifty has a second one
/// there (value from memory).
const ONCE: f64 = 4.0;
/// By how much labels are taken for surer than they are where rivals do not exclude each other: there flat labels teach flat
/// weights, which give flat labels again (value from memory). A single list starts from labels that are steep already.
const STEEPER: f64 = 0.3;
/// So little steeper is not worth the work; halvings of the search for the shift that keeps the sum.
const HARDLY: f64 = 0.03;
const HALVINGS: usize = 14;
/// Pairs that this shift is found on, about.
const SHIFTED_BY: usize = 10_000;
/// How little rivals must exclude each other for the learning to begin anew without them.
const ALL_OPEN: f64 = 0.5;
/// Most rounds in which the priors settle, and the share of true pairs below which they have settled.
const SETTLING: usize = 8;
const SETTLED: f64 = 0.001;
/// Rounds of that in which identifiers change what they take; later ones leave the places as they are.
const PLACED: usize = 2;
/// The most that a prior may be, as ln odds.
const PRIOR_CAP: f64 = 7.0;
/// The most that the prior may be for two lines of one list of parts that only words bring together, as ln odds: about
/// one pair in fifty (value from memory, see [`Numbering`]). The fields that tell repeats from siblings are learned
/// between lists and are too kind to lines that one supplier words alike.
const REPEATED_PART: f64 = -4.0;
/// Pairs that must be seen before what they teach outweighs caution.
const FEW: f64 = 5.0;

/// Weights by path and the probability of each pair.
#[derive(Debug)]
pub struct Learned {
    /// the weights by path
    pub weights: PathWeights,
    /// by pair
    pub probability: Vec<f64>,
}

/// What is known beside the candidate pairs.
#[derive(Clone, Copy, Debug)]
pub struct Known<'a> {
    /// number of pairs there are, compared or not
    pub all_pairs: f64,
    /// pairs a person has decided, ascending, which stay at the probability given
    pub told: &'a [(u32, f64)],
    /// the least number of true pairs there are, as far as the start tells
    pub least: f64,
    /// pairs that are sure to begin with, ascending: what teaches the weights takes them for no less likely than so
    pub sure: &'a [(u32, f64)],
    /// pairs of two lists taken at random, hardly one of which is one part; none where numbers are no numbers of parts
    pub strangers: &'a [Comparison],
}

/// Learns weights from all candidate pairs.
pub fn learn(comparisons: &[Comparison], rivals: &Rivals, known: Known<'_>) -> Learned {
    learn_further(comparisons, rivals, known, seeds(comparisons, rivals), ROUNDS)
}

/// The same from probabilities that stand, for so many rounds.
pub fn learn_further(
    comparisons: &[Comparison],
    rivals: &Rivals,
    known: Known<'_>,
    mut probability: Vec<f64>,
    rounds: usize,
) -> Learned {
    hold(&mut probability, known.told);
    let open = rivals.open();
    let least = known.least;
    let mut weights = estimate_paths(comparisons, rivals, &probability, known, open);
    probability = settle_prior(comparisons, rivals, &mut weights, known.told, SETTLING, least);
    for _ in 1..rounds {
        weights = estimate_paths(comparisons, rivals, &probability, known, open);
        probability = settle_prior(comparisons, rivals, &mut weights, known.told, SETTLING, least);
    }
    Learned { weights, probability }
}

/// Goes on from weights that stand where rivals exclude each other less than was thought.
pub fn relax(comparisons: &[Comparison], rivals: &Rivals, known: Known<'_>, weights: PathWeights) -> Learned {
    if rivals.open() > ALL_OPEN {
        return learn(comparisons, rivals, known);
    }
    let start = apply(comparisons, rivals, weights, known.told);
    learn_further(comparisons, rivals, known, start.probability, 1)
}

/// Probabilities of all pairs under weights learned on some of them; only the priors settle anew.
pub fn apply(comparisons: &[Comparison], rivals: &Rivals, mut weights: PathWeights, told: &[(u32, f64)]) -> Learned {
    let probability = settle_prior(comparisons, rivals, &mut weights, told, SETTLING, 0.0);
    Learned { weights, probability }
}

fn hold(probability: &mut [f64], told: &[(u32, f64)]) {
    for (pair, p) in told {
        probability[*pair as usize] = *p;
    }
}

fn estimate_paths(
    comparisons: &[Comparison],
    rivals: &Rivals,
    probability: &[f64],
    known: Known<'_>,
    open: f64,
) -> PathWeights {
    // pairs inside a list are judged by what those between lists teach, where there are any: one supplier's style
    // makes its lines too alike
    let only_list = comparisons.iter().all(|c| c.lies == Lies::Inside);
    let steeper = if only_list { 1.0 } else { 1.0 + STEEPER * open };
    let mut labels = steepened(probability, steeper);
    for (pair, least) in known.sure {
        let label = &mut labels[*pair as usize];
        *label = label.max(*least);
    }
    let anchors = anchors::by_words(comparisons, || {
        rivals.free(&anchors::by_identifiers(comparisons, probability))
    });
    PathWeights(PATHS.map(|path| {
        let mine = || {
            comparisons
                .iter()
                .zip(labels.iter().copied())
                .filter(move |(c, _)| c.path == path && (only_list || c.lies == Lies::Between))
        };
        let own = estimate(mine(), known.all_pairs);
        match (path, &anchors) {
            (Path::Words, Some(anchors)) => {
                let others = mine().filter(|(c, _)| !anchors::is_anchor(c));
                let pairs: Vec<(Comparison, f64)> =
                    anchors.iter().copied().chain(others.map(|(c, p)| (*c, p))).collect();
                taught(own, &pairs, known, open)
            }
            (Path::Identifier, _) if !known.strangers.is_empty() => {
                let own_pairs = mine().map(|(c, p)| (anchors::blank(c), p));
                let strangers = known.strangers.iter().map(|c| (*c, 0.0));
                let mut weights = taught(own, &own_pairs.chain(strangers).collect::<Vec<_>>(), known, open);
                identifiers::settle(&mut weights, mine().map(|(c, _)| c));
                weights
            }
            _ => trusted(mine(), own, open),
        }
    }))
}

/// The weights with how far each field counts beside the others.
fn trusted<'a>(pairs: impl Iterator<Item = (&'a Comparison, f64)> + Clone, mut weights: Weights, open: f64) -> Weights {
    let (trusts, offset) = trust(pairs, &weights);
    (weights.trust, weights.offset) = (trusts, open * offset);
    weights
}

/// Weights of all but identifiers from other pairs than a path's own; of identifiers they are those of its own.
fn taught(own: Weights, pairs: &[(Comparison, f64)], known: Known<'_>, open: f64) -> Weights {
    let pairs = || pairs.iter().map(|(c, p)| (c, *p));
    let mut weights = trusted(pairs(), estimate(pairs(), known.all_pairs), open);
    for field in [Field::Barcode, Field::Number] {
        let f = field as usize;
        (weights.m[f], weights.u[f], weights.weight[f]) = (own.m[f], own.u[f], own.weight[f]);
    }
    weights
}

/// Probabilities whose log odds are so many times as far apart, and whose sum is the same.
fn steepened(probability: &[f64], times: f64) -> Vec<f64> {
    if times < 1.0 + HARDLY {
        return probability.to_vec();
    }
    let odds = |p: &f64| {
        let p = p.clamp(1e-12, 1.0 - 1e-12);
        times * (p / (1.0 - p)).ln()
    };
    let steep: Vec<f64> = probability.iter().map(odds).collect();
    let step = (steep.len() / SHIFTED_BY).max(1);
    let sum: f64 = probability.iter().step_by(step).sum();
    let (mut low, mut high) = (-5.0, 5.0);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        let some = steep.iter().step_by(step);
        if some.map(|s| logistic(s + middle)).sum::<f64>() < sum {
            low = middle;
        } else {
            high = middle;
        }
    }
    steep.iter().map(|s| logistic(s + (low + high) / 2.0)).collect()
}

/// Repeats scoring until the priors agree with the number of true pairs they lead to. The prior odds of a pair are those
/// of finding it true where both of its places are free for it: the true pairs expected, over the free places expected.
fn settle_prior(
    comparisons: &[Comparison],
    rivals: &Rivals,
    weights: &mut PathWeights,
    told: &[(u32, f64)],
    rounds: usize,
    least: f64,
) -> Vec<f64> {
    let mut probability = Vec::new();
    let mut before = 0.0;
    let fields: Vec<Fields> = comparisons.par_iter().map(|c| weights.fields(c)).collect();
    let anchors = anchors::evidence(comparisons, weights);
    let mut at_anchors = 0.0;
    for round in 0..rounds {
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
        let free_of = rivals.free(&probability);
        for ((c, p), f) in comparisons.iter().zip(&probability).zip(&free_of) {
            expected[c.path as usize][c.lies as usize] += p;
            free[c.path as usize][c.lies as usize] += f;
        }
        let total: f64 = expected.iter().flatten().sum();
        if total < least {
            let by = least / total.max(1e-9);
            expected.iter_mut().flatten().for_each(|e| *e *= by);
        }
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
            let between = match (PATHS[path], &anchors) {
                (Path::Words, Some(anchors)) => {
                    if round < PLACED {
                        let free = rivals.free(&anchors::by_identifiers(comparisons, &probability));
                        at_anchors = anchors::prior(anchors, &free);
                    }
                    let prior = at_anchors + anchors::told_otherwise(comparisons, &probability);
                    prior.clamp(-PRIOR_CAP, PRIOR_CAP)
                }
                // what an equal identifier is worth is settled by level
                (Path::Identifier, _) if rivals.numbering() == Numbering::OnePartOneNumber => 0.0,
                _ => odds(Lies::Between),
            };
            (weights.0[path].prior, weights.0[path].prior_inside) = (between, inside);
        }
        if settled {
            break;
        }
    }
    probability
}

/// Whether one barcode or one own number stands on both lines: a list may well give a part two lines that say so.
fn told_by_own_number(c: &Comparison) -> bool {
    c.levels[Field::Barcode as usize] == 1 || matches!(c.levels[Field::Number as usize], 1 | 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_taken_for_surer_and_tell_of_as_many_true_pairs() {
        let flat: Vec<f64> = (0..400).map(|i| if i % 4 == 0 { 0.8 } else { 0.2 }).collect();
        let steep = steepened(&flat, 1.5);
        assert!((steep.iter().sum::<f64>() - flat.iter().sum::<f64>()).abs() < 0.1);
        assert!(steep[0] > 0.85 && steep[1] < 0.2, "{} {}", steep[0], steep[1]);
        assert_eq!(steepened(&flat, 1.0), flat);
    }
}
