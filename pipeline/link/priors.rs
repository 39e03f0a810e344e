//! The priors of pairs and the probabilities they lead to, settled in turns with the rivals.

use super::anchors;
use super::compare::{Comparison, Field, Lies, PATHS, Path};
use super::rivals::{Numbering, Rivals};
use super::weights::{Fields, PathWeights};
use rayon::prelude::*;

/// What two lines of a list that holds one part once only are held down by, as ln odds: one line in fifty has a second one
/// there (value from memory).
const ONCE: f64 = 4.0;
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

/// Repeats scoring until the priors agree with the number of true pairs they lead to. The prior odds of a pair are those
/// of finding it true where both of its places are free for it: the true pairs expected, over the free places expected.
pub(super) fn settle_prior(
    comparisons: &[Comparison],
    rivals: &Rivals,
    weights: &mut PathWeights,
    told: &[(u32, f64)],
    least: f64,
) -> Vec<f64> {
    let mut probability = Vec::new();
    let mut before = 0.0;
    let fields: Vec<Fields> = comparisons.par_iter().map(|c| weights.fields(c)).collect();
    let anchors = anchors::evidence(comparisons, weights);
    let mut at_anchors = 0.0;
    for round in 0..SETTLING {
        let scores = scores(comparisons, rivals, weights, &fields, told);
        probability = rivals.posteriors(&scores);
        hold(&mut probability, told);
        let mut expected = Expected::of(comparisons, &probability, &rivals.free(&probability));
        let total = expected.total();
        let settled = (total - before).abs() < SETTLED * total;
        before = total;
        expected.raise(least);
        let by_words = anchors.as_ref().map(|anchors| {
            if round < PLACED {
                let free = rivals.free(&anchors::by_identifiers(comparisons, &probability));
                at_anchors = anchors::prior(anchors, &free);
            }
            at_anchors + anchors::told_otherwise(comparisons, &probability)
        });
        expected.set_priors(weights, rivals.numbering(), by_words);
        if settled {
            break;
        }
    }
    probability
}

/// The log odds of each pair, before its rivals. A decided pair takes its place from its rivals, or leaves it to them.
fn scores(
    comparisons: &[Comparison],
    rivals: &Rivals,
    weights: &PathWeights,
    fields: &[Fields],
    told: &[(u32, f64)],
) -> Vec<f64> {
    let held = |pair: usize| match told_by_own_number(&comparisons[pair]) {
        true => 0.0,
        false => ONCE * f64::from(rivals.once_inside(pair)),
    };
    let pairs = comparisons.par_iter().zip(fields).enumerate();
    let mut scores: Vec<f64> = pairs
        .map(|(pair, (c, f))| weights.with_priors(c, f) - held(pair))
        .collect();
    for (pair, p) in told {
        scores[*pair as usize] = (p / (1.0 - p)).ln();
    }
    scores
}

/// True pairs and free places expected, by path, between lists and inside one.
#[derive(Default)]
struct Expected {
    pairs: [[f64; 2]; 2],
    places: [[f64; 2]; 2],
}

impl Expected {
    fn of(comparisons: &[Comparison], probability: &[f64], free: &[f64]) -> Expected {
        let mut expected = Expected::default();
        for ((c, p), f) in comparisons.iter().zip(probability).zip(free) {
            expected.pairs[c.path as usize][c.lies as usize] += p;
            expected.places[c.path as usize][c.lies as usize] += f;
        }
        expected
    }

    fn total(&self) -> f64 {
        self.pairs.iter().flatten().sum()
    }

    /// As many true pairs as there are at the least.
    fn raise(&mut self, least: f64) {
        let total = self.total();
        if total < least {
            let by = least / total.max(1e-9);
            self.pairs.iter_mut().flatten().for_each(|e| *e *= by);
        }
    }

    /// Sets the priors that these lead to; `by_words` is what anchors say of pairs between lists that words found. What an
    /// equal identifier is worth among parts is settled by level.
    fn set_priors(&self, weights: &mut PathWeights, numbering: Numbering, by_words: Option<f64>) {
        let parts = numbering == Numbering::OnePartOneNumber;
        for (path, own) in PATHS.into_iter().zip(&mut weights.0) {
            let odds = |lies: Lies| {
                let (path, lies) = (path as usize, lies as usize);
                let odds = (self.pairs[path][lies] + 0.5) / (self.places[path][lies] + FEW);
                odds.ln().clamp(-PRIOR_CAP, PRIOR_CAP)
            };
            own.prior_inside = match path {
                Path::Words if parts => odds(Lies::Inside).min(REPEATED_PART),
                _ => odds(Lies::Inside),
            };
            own.prior = match (path, by_words) {
                (Path::Words, Some(prior)) => prior.clamp(-PRIOR_CAP, PRIOR_CAP),
                (Path::Identifier, _) if parts => 0.0,
                _ => odds(Lies::Between),
            };
        }
    }
}

/// Whether one barcode or one own number stands on both lines: a list may well give a part two lines that say so.
fn told_by_own_number(c: &Comparison) -> bool {
    c.levels[Field::Barcode as usize] == 1 || matches!(c.levels[Field::Number as usize], 1 | 2)
}

/// Gives decided pairs the probability that a person's word gives them.
pub(super) fn hold(probability: &mut [f64], told: &[(u32, f64)]) {
    for (pair, p) in told {
        probability[*pair as usize] = *p;
    }
}
