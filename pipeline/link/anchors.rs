//! Pairs whose identifiers say whether they are one part, and what they teach about pairs that show none.
//!
//! Two lines of lists of parts that both show a barcode, or both a maker's number, need no guess: equal is one part,
//! different is two. What words, prices and claims are worth is learned on such pairs, looked at as if no identifier
//! stood on them, and so is how often what words bring together is one part. Which lines show an identifier has little
//! to do with what their words say, so that what holds for these pairs holds for the others too. Left to its own labels,
//! the learning takes lines that are worded alike for one part where a shop lists hundreds of them.
//!
//! A pair of two parts whose places are taken, because an identifier gives one of its lines to a third, teaches nothing:
//! its rival settles it already. Refuses to teach on few: fewer than [`ENOUGH`] pairs of one part, or of two, leave the
//! learning to its own labels.

use super::comparison::{Comparison, Field, Lies, Path};
use super::logistic::{logistic, shift_to};
use super::weights::PathWeights;

/// Pairs of either answer from which anchors teach (value from memory; of 30, 60 and 150 tried, the calibration of small
/// runs was best with 30).
const ENOUGH: usize = 30;
/// How free the places of a pair of two parts must be for it to teach.
const FREE: f64 = 0.5;
/// The most a prior is looked for, as ln odds, and halvings of the search.
const MOST: f64 = 20.0;
const HALVINGS: usize = 30;
/// How sure an identifier is, as a label: one sound barcode in a hundred stands on two parts, or two on one (value from
/// memory).
const SURE: f64 = 0.99;

/// What identifiers say of a pair: one part or two; nothing where not both lines show one, or where they say this and
/// that.
pub(super) fn told(c: &Comparison) -> Option<bool> {
    let by_barcode = match c.levels[Field::Barcode as usize] {
        1 => Some(true),
        2 => Some(false),
        _ => None,
    };
    let by_number = match c.levels[Field::Number as usize] {
        1 | 2 => Some(true),
        9 => Some(false),
        _ => None,
    };
    match (by_barcode, by_number) {
        (Some(x), Some(y)) => (x == y).then_some(x),
        (x, y) => x.or(y),
    }
}

/// Pairs between lists that words found and identifiers answer, seen as if no identifier stood on them, with their
/// labels; `free` tells by pair how free its places are. `None` where there are too few of either answer.
pub(super) fn by_words(comparisons: &[Comparison], free: impl FnOnce() -> Vec<f64>) -> Option<Vec<(Comparison, f64)>> {
    if comparisons.iter().filter(|c| is_anchor(c)).count() < 2 * ENOUGH {
        return None;
    }
    let free = free();
    let mut counts = [0usize; 2];
    let anchors: Vec<(Comparison, f64)> = comparisons
        .iter()
        .zip(&free)
        .filter(|(c, _)| is_anchor(c))
        .filter_map(|(c, free)| {
            let told = told(c).filter(|one| *one || *free > FREE)?;
            counts[usize::from(told)] += 1;
            Some((c.without_identifiers(), if told { SURE } else { 1.0 - SURE }))
        })
        .collect();
    counts.iter().all(|count| *count >= ENOUGH).then_some(anchors)
}

/// One anchor: its pair, what all but its identifiers says as ln odds, and what they answer.
pub(super) struct Anchor {
    pair: usize,
    evidence: f64,
    one_part: bool,
}

/// The anchors under weights; `None` where there are too few of either answer.
pub(super) fn evidence(comparisons: &[Comparison], weights: &PathWeights) -> Option<Vec<Anchor>> {
    let all = comparisons.iter().enumerate().filter(|(_, c)| is_anchor(c));
    let anchors: Vec<Anchor> = all
        .filter_map(|(pair, c)| {
            Some(Anchor {
                pair,
                evidence: weights.fields(&c.without_identifiers()).all,
                one_part: told(c)?,
            })
        })
        .collect();
    let of_one = anchors.iter().filter(|a| a.one_part).count();
    (of_one.min(anchors.len() - of_one) >= ENOUGH).then_some(anchors)
}

/// The ln odds of a pair that words found between two lists, before looking at it and where both its places are free for
/// it, under which as many anchors are expected to be one part as are; `free` by pair.
pub(super) fn prior(anchors: &[Anchor], free: &[f64]) -> f64 {
    let truly = anchors.iter().filter(|a| a.one_part).count() as f64;
    // nothing else has the places of a pair that is one part
    let free_for = |a: &Anchor| if a.one_part { 1.0 } else { free[a.pair] };
    shift_to(truly, MOST, HALVINGS, |prior| {
        anchors.iter().map(|a| free_for(a) * logistic(prior + a.evidence)).sum()
    })
}

/// What must be added to that prior for the pairs that no identifier brought together, as ln odds: of pairs of one part
/// that no column answers, some share a number in their titles, and those are no longer among them.
pub(super) fn told_otherwise(comparisons: &[Comparison], probability: &[f64]) -> f64 {
    let mut of_one = [0.5, 0.5];
    for (c, p) in comparisons.iter().zip(probability) {
        if c.by_words && c.lies == Lies::Between && told(c).is_none() {
            of_one[c.path as usize] += p;
        }
    }
    (of_one[Path::Words as usize] / (of_one[0] + of_one[1])).ln()
}

/// How probable pairs are as far as identifiers brought them together; nothing is known of the others.
pub(super) fn by_identifiers(comparisons: &[Comparison], probability: &[f64]) -> Vec<f64> {
    let known = |(c, p): (&Comparison, &f64)| if c.path == Path::Identifier { *p } else { 0.0 };
    comparisons.iter().zip(probability).map(known).collect()
}

/// Whether a pair is among those that teach what words are worth.
pub(super) fn is_anchor(c: &Comparison) -> bool {
    c.by_words && c.lies == Lies::Between && told(c).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(barcode: u8, number: u8, words: u8) -> Comparison {
        let by_identifier = barcode == 1 || number == 1;
        Comparison {
            path: if by_identifier { Path::Identifier } else { Path::Words },
            ..Comparison::showing(&[
                (Field::Barcode, barcode),
                (Field::Number, number),
                (Field::Words, words),
            ])
        }
    }

    #[test]
    fn identifiers_answer_where_both_lines_show_one_and_do_not_contradict_each_other() {
        let answers =
            [(1, 0), (2, 0), (0, 1), (0, 9), (1, 9), (2, 1), (0, 12), (0, 0)].map(|(b, n)| told(&pair(b, n, 5)));
        let (one, two) = (Some(true), Some(false));
        assert_eq!(answers, [one, two, one, two, None, None, None, None]);
    }

    #[test]
    fn an_anchor_is_seen_without_its_identifiers_and_one_whose_places_are_taken_teaches_nothing() {
        let of_one = vec![pair(1, 0, 8); ENOUGH];
        let of_two = vec![pair(2, 0, 3); ENOUGH + 1];
        let pairs = [of_one, of_two].concat();
        let mut free = vec![1.0; pairs.len()];
        free[ENOUGH] = 0.1;
        let anchors = by_words(&pairs, || free.clone()).unwrap();
        assert_eq!(anchors.len(), pairs.len() - 1);
        assert!(
            anchors
                .iter()
                .all(|(c, _)| c.path == Path::Words && c.levels[Field::Barcode as usize] == 0)
        );
        free[ENOUGH + 1] = 0.1;
        assert!(by_words(&pairs, || free.clone()).is_none(), "one too few of two parts");
    }

    #[test]
    fn under_the_prior_as_many_anchors_are_expected_to_be_one_part_as_are() {
        let anchors: Vec<Anchor> = (0..100)
            .map(|pair| Anchor {
                pair,
                evidence: if pair % 4 == 0 { 2.0 } else { -1.0 },
                one_part: pair < 10,
            })
            .collect();
        let prior = prior(&anchors, &[1.0; 100]);
        let expected: f64 = anchors.iter().map(|a| logistic(prior + a.evidence)).sum();
        assert!((expected - 10.0).abs() < 1e-3, "{expected}");
    }

    #[test]
    fn pairs_that_a_title_number_brought_together_are_no_longer_among_those_of_words() {
        let in_titles = Comparison {
            path: Path::Identifier,
            ..pair(0, 5, 5)
        };
        let left = told_otherwise(&[in_titles, pair(0, 0, 5)], &[0.9, 0.9]);
        assert!((left - 0.5f64.ln()).abs() < 1e-9);
    }
}
