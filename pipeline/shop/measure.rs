//! The one measurement or fact that would move the confidence most.
//!
//! For each thing a person could find out, the expected information gain over the classes that are
//! still possible: entropy now, less the mean entropy after each outcome weighed by how likely the
//! classes make it (in bits). The words name the tool to use.

use crate::fit::FitGroups;
use crate::fit::scales::Field;
use std::collections::BTreeMap;

/// Gain below which nothing is worth measuring, bits.
const WORTHWHILE: f64 = 0.02;
/// A class that is less likely than this is left out of the sums.
const POSSIBLE: f64 = 0.005;
/// Confidence in the kind below which the first thing to find out is what the part is.
const KIND_SURE: f64 = 0.85;

/// What to find out, most easily done first.
const QUESTIONS: [(Field, &str); 5] = [
    (Field::Holes, "count the mounting holes"),
    (Field::Code, "engine code on the plate or stamped in the block"),
    (Field::Displacement, "displacement on the engine plate"),
    (
        Field::Circle,
        "bolt circle, with callipers: hole edge to hole edge plus one hole diameter",
    ),
    (Field::Thread, "thread of a mounting screw, with a thread gauge"),
];

/// A part kind with its possible classes, each at so many hundredths.
type Doubt = (u8, Vec<(u32, i32)>);

/// Words for each product, empty when nothing would change much.
pub fn measure_first(fit: &FitGroups) -> Vec<&'static str> {
    let mut known: BTreeMap<Doubt, &'static str> = BTreeMap::new();
    fit.evidence
        .iter()
        .zip(&fit.posteriors)
        .enumerate()
        .map(|(product, (evidence, posterior))| {
            if evidence.kind_probability < KIND_SURE {
                return "what the part is: a picture, or ask the supplier whether it is the complete part";
            }
            let group = &fit.groups[fit.of_product[product] as usize];
            let sure = posterior.first().map_or(0.0, |p| p.1);
            if group.class.is_some() && sure > 0.995 {
                return "";
            }
            // products in the same doubt get the same answer; a hundredth is close enough to share it
            let doubt: Vec<(u32, i32)> = posterior.iter().map(|p| (p.0, (p.1 * 100.0).round() as i32)).collect();
            let place = evidence.place();
            known
                .entry((evidence.kind.0, doubt))
                .or_insert_with(|| best_question(fit, place, posterior))
        })
        .collect()
}

fn best_question(fit: &FitGroups, place: usize, posterior: &[(u32, f64)]) -> &'static str {
    let possible: Vec<(u32, f64)> = posterior.iter().copied().filter(|p| p.1 >= POSSIBLE).collect();
    if possible.len() < 2 {
        return if possible.first().is_some_and(|p| p.1 > 0.9) {
            ""
        } else {
            QUESTIONS[1].1
        };
    }
    let mut best = (WORTHWHILE, "");
    for (field, words) in QUESTIONS {
        let gain = gain(fit, field, place, &possible);
        if gain > best.0 + 0.01 {
            best = (gain, words);
        }
    }
    best.1
}

/// Expected information gain of learning a field, bits.
fn gain(fit: &FitGroups, field: Field, place: usize, possible: &[(u32, f64)]) -> f64 {
    let total: f64 = possible.iter().map(|p| p.1).sum();
    let prior: Vec<f64> = possible.iter().map(|p| p.1 / total).collect();
    let chances: Vec<BTreeMap<u32, f64>> = possible.iter().map(|p| outcomes(fit, field, place, p.0)).collect();
    let mut bins: Vec<u32> = chances.iter().flat_map(|c| c.keys().copied()).collect();
    bins.sort_unstable();
    bins.dedup();
    if bins.is_empty() || chances.iter().any(BTreeMap::is_empty) {
        return 0.0;
    }
    let mut after = 0.0;
    for bin in bins {
        let joint: Vec<f64> = prior
            .iter()
            .zip(&chances)
            .map(|(p, c)| p * c.get(&bin).copied().unwrap_or(1e-4))
            .collect();
        let sum: f64 = joint.iter().sum();
        after += sum * entropy(&joint.iter().map(|j| j / sum).collect::<Vec<_>>());
    }
    (entropy(&prior) - after).max(0.0)
}

/// Chance of each outcome in a class, coarse enough that a person could tell them apart.
fn outcomes(fit: &FitGroups, field: Field, place: usize, class: u32) -> BTreeMap<u32, f64> {
    let mut chances: BTreeMap<u32, f64> = BTreeMap::new();
    if field == Field::Code {
        for (code, list) in fit.classes.codes.iter().enumerate() {
            if let Some(found) = list.iter().find(|c| c.0 == class).filter(|c| c.1 > 0.5) {
                chances.insert(code as u32, f64::from(found.1));
            }
        }
    } else {
        let width = field.bins_per_kind();
        let start = if field.bins() > width { place * width } else { 0 };
        let step = match field {
            Field::Circle => 4,
            Field::Displacement => 6,
            _ => 1,
        };
        let bins = &fit.classes.list[class as usize].bins(field)[start..start + width];
        for (at, mass) in bins.iter().enumerate().filter(|(_, m)| **m > 0.05) {
            *chances.entry(at as u32 / step).or_default() += f64::from(*mass);
        }
    }
    let total: f64 = chances.values().sum();
    chances.values_mut().for_each(|c| *c /= total);
    chances
}

fn entropy(probabilities: &[f64]) -> f64 {
    probabilities.iter().filter(|p| **p > 0.0).map(|p| -p * p.log2()).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entropy_of_two_equal_chances_is_one_bit() {
        assert!((entropy(&[0.5, 0.5]) - 1.0).abs() < 1e-12);
        assert_eq!(entropy(&[1.0, 0.0]), 0.0);
    }
}
