//! The one measurement or fact that would move the confidence most.
//!
//! For each thing a person could find out, the expected information gain over the fit groups that are
//! still possible: entropy now, less the mean entropy after each outcome weighed by how likely the
//! groups make it (in bits). A class with several interfaces counts as several groups, so that a line
//! that does not say its bolt circle is asked for it. What the lines of the product already state is
//! worth half: it would be read again. The words name the tool to use.

use crate::fit::FitGroups;
use crate::fit::evidence::Evidence;
use crate::fit::scales::{Field, circle_bin, hole_bin};
use rustc_hash::FxHashMap;
use std::collections::BTreeMap;
use std::rc::Rc;

/// Gain below which nothing is worth measuring, bits.
const WORTHWHILE: f64 = 0.02;
/// A group that is less likely than this is left out of the sums.
const POSSIBLE: f64 = 0.005;
/// Confidence in the kind below which the first thing to find out is what the part is.
const KIND_SURE: f64 = 0.85;
/// Probability from which a class counts as known, and below which a confidence counts as doubt.
const SURE_CLASS: f64 = 0.9;
/// Chance of an outcome that a group was never seen with.
const UNSEEN: f64 = 1e-4;
/// What reading again is worth beside reading for the first time.
const AGAIN: f64 = 0.5;

/// What to find out, most easily done first.
const QUESTIONS: [Field; 5] = [
    Field::Holes,
    Field::Code,
    Field::Displacement,
    Field::Circle,
    Field::Thread,
];
/// The first thing to find out of a part that may be none at all.
const WHAT_IT_IS: &str = "what the part is: a picture, or ask the supplier whether it is the complete part";

/// The words of a question; a bolt circle is measured by what the number of holes allows. Of three equal holes the
/// circle is 2/sqrt(3) = 1.155 times the distance between neighbours, of an even number it is the distance across.
const fn words(field: Field, holes: Option<u8>) -> &'static str {
    match (field, holes) {
        (Field::Holes, _) => "number of mounting holes: count them",
        (Field::Code, _) => "engine code, off the engine's plate or the stamp in the block",
        (Field::Displacement, _) => "displacement in cc, off the engine's plate or the casting",
        (Field::Circle, Some(3)) => {
            "bolt circle, with callipers: hole edge to hole edge plus one hole diameter, times 1.155 (three holes)"
        }
        (Field::Circle, Some(2 | 4 | 6)) => {
            "bolt circle, with callipers: across opposite holes, hole edge to hole edge plus one hole diameter"
        }
        (Field::Circle, _) => "bolt circle, with callipers: hole edge to hole edge plus one hole diameter",
        _ => "thread of a mounting screw, with a thread gauge: M6 and 1/4-20 look alike",
    }
}

/// A fit group that is still possible.
#[derive(Clone, Copy, Debug)]
struct Candidate {
    class: u32,
    group: u32,
    probability: f64,
}

/// A part kind, what is stated of it, and its possible groups, each at so many hundredths.
type Doubt = (u8, Vec<bool>, Vec<(u32, i32)>);

/// Words for each product, empty when nothing would change much.
pub fn measure_first(fit: &FitGroups) -> Vec<&'static str> {
    let mut groups_of: BTreeMap<(u8, u32), Vec<u32>> = BTreeMap::new();
    for (g, group) in (0u32..).zip(&fit.groups) {
        if let Some(class) = group.class {
            groups_of.entry((group.kind.0, class)).or_default().push(g);
        }
    }
    let mut known: BTreeMap<Doubt, &'static str> = BTreeMap::new();
    let mut outcomes = Outcomes::of(fit);
    (0..fit.evidence.len())
        .map(|product| {
            let evidence = &fit.evidence[product];
            if evidence.kind_probability < KIND_SURE {
                return WHAT_IT_IS;
            }
            let possible = candidates(fit, &groups_of, product);
            let sure = possible.iter().map(|c| c.probability).fold(0.0, f64::max);
            if let Some(words) = interface_in_doubt(fit, product, sure) {
                return words;
            }
            if fit.groups[fit.of_product[product] as usize].class.is_some() && sure > 0.995 {
                return "";
            }
            // products in the same doubt get the same answer; a hundredth is close enough to share it
            let hundredths = possible
                .iter()
                .map(|c| (c.group, (c.probability * 100.0).round() as i32));
            let stated = QUESTIONS.map(|field| !evidence.fields[field as usize].is_empty());
            let doubt: Doubt = (evidence.kind.0, stated.to_vec(), hundredths.collect());
            *known
                .entry(doubt)
                .or_insert_with(|| best_question(&mut outcomes, evidence, &possible))
        })
        .collect()
}

/// A class that is sure beside a confidence that is not: the doubt lies in the interface that a line states, which is
/// not the group's. Measure that.
fn interface_in_doubt(fit: &FitGroups, product: usize, sure: f64) -> Option<&'static str> {
    let evidence = &fit.evidence[product];
    let readings = || evidence.fields.iter().flatten();
    let confidence = readings().map(|r| fit.confidence[r.offer as usize]).fold(0.0, f64::max);
    let own = &fit.groups[fit.of_product[product] as usize];
    if own.class.is_none() || sure < SURE_CLASS || readings().next().is_none() || confidence >= SURE_CLASS {
        return None;
    }
    let interface = [Field::Circle, Field::Holes];
    let stated = interface
        .into_iter()
        .find(|field| !evidence.fields[*field as usize].is_empty());
    stated.map(|field| words(field, own.holes))
}

/// The groups a product may belong to. Inside its class a product that states its own circle or holes belongs where it
/// was put; one that is silent may belong to any group there, as they are listed.
fn candidates(fit: &FitGroups, groups_of: &BTreeMap<(u8, u32), Vec<u32>>, product: usize) -> Vec<Candidate> {
    let evidence = &fit.evidence[product];
    let own = fit.of_product[product];
    let silent = |field: Field| evidence.fields[field as usize].is_empty();
    let mut found = Vec::new();
    for &(class, p) in &fit.posteriors[product] {
        let Some(groups) = groups_of.get(&(evidence.kind.0, class)) else {
            continue;
        };
        let placed = groups.contains(&own) && !(silent(Field::Circle) && silent(Field::Holes));
        let listed = |g: u32| fit.groups[g as usize].products.len() as f64;
        let all: f64 = groups.iter().map(|g| listed(*g)).sum();
        for &group in groups.iter().filter(|g| !placed || **g == own) {
            let share = if placed { 1.0 } else { listed(group) / all };
            found.push(Candidate {
                class,
                group,
                probability: p * share,
            });
        }
    }
    found.retain(|c| c.probability >= POSSIBLE);
    found
}

fn best_question(outcomes: &mut Outcomes<'_>, evidence: &Evidence, possible: &[Candidate]) -> &'static str {
    // the hole count the likeliest group has, to say how a circle is measured
    let likeliest = possible.iter().max_by(|x, y| x.probability.total_cmp(&y.probability));
    let holes = likeliest.and_then(|c| outcomes.fit.groups[c.group as usize].holes);
    if possible.len() < 2 {
        return if likeliest.is_some_and(|c| c.probability > 0.9) {
            ""
        } else {
            words(Field::Code, holes)
        };
    }
    let mut best = (WORTHWHILE, "");
    for field in QUESTIONS {
        let stated = !evidence.fields[field as usize].is_empty();
        let gain = gain(outcomes, field, evidence.place(), possible) * if stated { AGAIN } else { 1.0 };
        if gain > best.0 + 0.01 {
            best = (gain, words(field, holes));
        }
    }
    best.1
}

/// Expected information gain of learning a field, bits.
fn gain(outcomes: &mut Outcomes<'_>, field: Field, place: usize, possible: &[Candidate]) -> f64 {
    let total: f64 = possible.iter().map(|c| c.probability).sum();
    let prior: Vec<f64> = possible.iter().map(|c| c.probability / total).collect();
    let chances: Vec<Rc<[(u32, f64)]>> = possible.iter().map(|c| outcomes.chances(field, place, *c)).collect();
    expected_gain(&prior, &chances)
}

/// The entropy that is lost on average when the outcome is known; outcomes stand by rising bin.
fn expected_gain(prior: &[f64], chances: &[Rc<[(u32, f64)]>]) -> f64 {
    let mut bins: Vec<u32> = chances.iter().flat_map(|c| c.iter().map(|chance| chance.0)).collect();
    bins.sort_unstable();
    bins.dedup();
    if bins.is_empty() || chances.iter().any(|c| c.is_empty()) {
        return 0.0;
    }
    let mut after = 0.0;
    let mut next = vec![0; chances.len()];
    let mut joint = vec![0.0; chances.len()];
    for bin in bins {
        for (at, chance) in chances.iter().enumerate() {
            let here = chance.get(next[at]).filter(|chance| chance.0 == bin);
            next[at] += usize::from(here.is_some());
            joint[at] = prior[at] * here.map_or(UNSEEN, |chance| chance.1);
        }
        let sum: f64 = joint.iter().sum();
        joint.iter_mut().for_each(|j| *j /= sum);
        after += sum * entropy(&joint);
    }
    (entropy(prior) - after).max(0.0)
}

/// Bins of a field that a person with the tool named cannot tell apart: 2 mm of circle, 6 % of displacement.
const fn step(field: Field) -> u32 {
    match field {
        Field::Circle => 4,
        Field::Displacement => 6,
        _ => 1,
    }
}

/// A field, the place of a kind, a group and its class.
type Asked = (usize, usize, u32, u32);

/// What each group would show, worked out once a group: many products are in doubt between the same ones.
struct Outcomes<'f> {
    fit: &'f FitGroups,
    known: FxHashMap<Asked, Rc<[(u32, f64)]>>,
}

impl<'f> Outcomes<'f> {
    fn of(fit: &'f FitGroups) -> Self {
        Self {
            fit,
            known: FxHashMap::default(),
        }
    }

    fn chances(&mut self, field: Field, place: usize, of: Candidate) -> Rc<[(u32, f64)]> {
        // a code is listed beside a class, whatever the kind and the group
        let (place, group) = if field == Field::Code {
            (0, 0)
        } else {
            (place, of.group)
        };
        let fit = self.fit;
        let known = self.known.entry((field as usize, place, group, of.class));
        known.or_insert_with(|| outcomes(fit, field, place, of)).clone()
    }
}

/// Chance of each outcome in a group, coarse enough that a person could tell them apart, by rising bin.
fn outcomes(fit: &FitGroups, field: Field, place: usize, of: Candidate) -> Rc<[(u32, f64)]> {
    let mut chances: Vec<(u32, f64)> = Vec::new();
    let group = &fit.groups[of.group as usize];
    let own = match field {
        Field::Circle => group.circle_mm.and_then(|circle| circle_bin(circle.mid(), 0)),
        Field::Holes => group.holes.map(|holes| hole_bin(holes, 0)),
        _ => None,
    };
    if let Some(bin) = own {
        chances.push((bin / step(field), 1.0));
    } else if field == Field::Code {
        for (code, list) in fit.classes.codes.iter().enumerate() {
            if let Some(found) = list.iter().find(|c| c.0 == of.class).filter(|c| c.1 > 0.5) {
                chances.push((code as u32, f64::from(found.1)));
            }
        }
    } else {
        let width = field.bins_per_kind();
        let start = if field.bins() > width { place * width } else { 0 };
        let bins = &fit.classes.list[of.class as usize].bins(field)[start..start + width];
        for (at, mass) in bins.iter().enumerate().filter(|(_, m)| **m > 0.05) {
            let bin = at as u32 / step(field);
            match chances.last_mut().filter(|last| last.0 == bin) {
                Some(last) => last.1 += f64::from(*mass),
                None => chances.push((bin, f64::from(*mass))),
            }
        }
    }
    let total: f64 = chances.iter().map(|chance| chance.1).sum();
    chances.iter_mut().for_each(|chance| chance.1 /= total);
    chances.into()
}

fn entropy(probabilities: &[f64]) -> f64 {
    probabilities.iter().filter(|p| **p > 0.0).map(|p| -p * p.log2()).sum()
}

#[cfg(test)]
#[path = "measure_tests.rs"]
mod tests;
