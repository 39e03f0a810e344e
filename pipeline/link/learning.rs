//! Weights and probabilities learned in turns, without labels.
//!
//! Each round estimates the weights from the probabilities that stand, lets the priors settle with the rivals, and so finds
//! new probabilities. Rounds are few and counted, because without labels more rounds first help, then drift.

use super::anchors;
use super::compare::{Comparison, Field, Lies, PATHS, Path};
use super::identifiers;
use super::logistic::{logistic, shift_to};
use super::priors::{hold, settle_prior};
use super::rivals::Rivals;
use super::start::seeds;
use super::trust::trust;
use super::weights::{PathWeights, Weights, estimate};

const ROUNDS: usize = 5;
/// By how much labels are taken for surer than they are where rivals do not exclude each other: there flat labels teach flat
/// weights, which give flat labels again (value from memory). A single list starts from labels that are steep already.
const STEEPER: f64 = 0.3;
/// So little steeper is not worth the work; the most that labels are shifted to keep their sum, and halvings of the search.
const HARDLY: f64 = 0.03;
const MOST_SHIFTED: f64 = 5.0;
const HALVINGS: usize = 14;
/// Pairs that this shift is found on, about.
const SHIFTED_BY: usize = 10_000;
/// How little rivals must exclude each other for the learning to begin anew without them.
const ALL_OPEN: f64 = 0.5;

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
    let mut weights = estimate_paths(comparisons, rivals, &probability, known, open);
    probability = settle_prior(comparisons, rivals, &mut weights, known.told, known.least);
    for _ in 1..rounds {
        weights = estimate_paths(comparisons, rivals, &probability, known, open);
        probability = settle_prior(comparisons, rivals, &mut weights, known.told, known.least);
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
    let probability = settle_prior(comparisons, rivals, &mut weights, told, 0.0);
    Learned { weights, probability }
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
                let own_pairs = mine().map(|(c, p)| (c.without_identifiers(), p));
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
    let shift = shift_to(sum, MOST_SHIFTED, HALVINGS, |shift| {
        steep.iter().step_by(step).map(|s| logistic(s + shift)).sum()
    });
    steep.iter().map(|s| logistic(s + shift)).collect()
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
