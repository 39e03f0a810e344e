//! What an equal identifier is worth in lists of parts, by where it stands.
//!
//! Makers number alike, above all in bare digits, so that an equal number is no proof. How often it is wrong is seen
//! where both lines also show a barcode, and how often a barcode is wrong where both also show a number: from such pairs
//! each level gets the share of pairs that are one part, and the weight under which its pairs come to that share with
//! all else that is known of them. What little was seen is added to what is common practice, see [`RIGHT_TO_WRONG`].

use super::comparison::{Comparison, Field};
use super::logistic::{logistic, shift_to};
use super::weights::Weights;

/// Right to wrong before anything is seen, by level of [`Field::Number`], see [`super::number_levels::number_level`]
/// (values from memory): own numbers, an own number in a title, titles; superseded by a number of one style.
const RIGHT_TO_WRONG: [(u8, f64); 6] = [(1, 49.0), (2, 12.0), (3, 33.0), (4, 12.0), (5, 12.0), (11, 1.0)];
/// The same for an equal barcode.
const BARCODE: f64 = 99.0;
/// The most a weight is looked for, as ln odds, and halvings of the search.
const MOST: f64 = 20.0;
const HALVINGS: usize = 30;
/// Pairs of a level that its weight is found on, about.
const SETTLED_BY: usize = 4_000;

/// Sets the weights of equal identifiers among pairs that an identifier brought together.
pub(super) fn settle<'a>(weights: &mut Weights, pairs: impl Iterator<Item = &'a Comparison> + Clone) {
    let barcode = |c: &Comparison| c.levels[Field::Barcode as usize];
    let number = |c: &Comparison| c.levels[Field::Number as usize];
    for (level, odds) in RIGHT_TO_WRONG {
        let mine = pairs.clone().filter(|c| number(c) == level);
        let told = mine.clone().filter_map(|c| match barcode(c) {
            0 => None,
            barcode => Some(barcode == 1),
        });
        let share = share(told, odds);
        let untold = mine.filter(|c| barcode(c) == 0);
        weights.weight[Field::Number as usize][level as usize] = weight(weights, untold, share);
    }
    let mine = pairs.filter(|c| barcode(c) == 1);
    let told = mine.clone().filter_map(|c| match number(c) {
        1 | 2 => Some(true),
        9 => Some(false),
        _ => None,
    });
    let share = share(told, BARCODE);
    let untold = mine.filter(|c| number(c) == 0);
    weights.weight[Field::Barcode as usize][1] = weight(weights, untold, share);
}

/// The share of pairs that are one part.
fn share(told: impl Iterator<Item = bool>, right_to_wrong: f64) -> f64 {
    let (right, all) = told.fold((right_to_wrong, right_to_wrong + 1.0), |(right, all), one| {
        (right + f64::from(u8::from(one)), all + 1.0)
    });
    right / all
}

/// The weight under which pairs come to a share on average, with all their other fields; that share's own odds without
/// pairs.
fn weight<'a>(weights: &Weights, pairs: impl Iterator<Item = &'a Comparison> + Clone, share: f64) -> f64 {
    let step = (pairs.clone().count() / SETTLED_BY).max(1);
    let others: Vec<f64> = pairs.step_by(step).map(|c| weights.without_identifiers(c)).collect();
    if others.is_empty() {
        return (share / (1.0 - share)).ln();
    }
    shift_to(share * others.len() as f64, MOST, HALVINGS, |weight| {
        others.iter().map(|other| logistic(weight + other)).sum()
    })
}

#[cfg(test)]
mod tests {
    use super::super::comparison::Path;
    use super::super::weights::estimate;
    use super::*;

    fn pair(number: u8, barcode: u8) -> Comparison {
        Comparison {
            path: Path::Identifier,
            ..Comparison::showing(&[(Field::Number, number), (Field::Barcode, barcode)])
        }
    }

    fn worth(pairs: &[Comparison], level: usize) -> f64 {
        let mut weights = estimate(pairs.iter().map(|c| (c, 0.5)), 1e6);
        settle(&mut weights, pairs.iter());
        weights.weight[Field::Number as usize][level]
    }

    #[test]
    fn an_equal_number_is_worth_what_barcodes_say_of_it() {
        let told = |right: usize, wrong: usize| {
            [vec![pair(2, 1); right], vec![pair(2, 2); wrong], vec![pair(2, 0); 50]].concat()
        };
        let (seldom, often) = (worth(&told(80, 2), 2), worth(&told(30, 60), 2));
        assert!((seldom - (92.0f64 / 3.0).ln()).abs() < 0.01, "{seldom}");
        assert!((often - (42.0f64 / 61.0).ln()).abs() < 0.01, "{often}");
    }

    #[test]
    fn where_no_barcode_tells_common_practice_stands() {
        assert!((worth(&[pair(1, 0)], 1) - 49f64.ln()).abs() < 0.01);
        assert!(worth(&[pair(1, 0)], 2) < worth(&[pair(1, 0)], 1), "bare digits collide");
    }
}
