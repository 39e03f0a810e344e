//! A run measured against known answers.
//!
//! Lines are joined by file and line. Measures of products and fit groups are taken over every line that is
//! truly an offer or was taken for one, so that nothing hides: an offer that the run missed stands alone in
//! what was found, and a look-alike that it let in stands alone in the truth. Subsets are filtered first, so
//! that only pairs inside the subset count.
//!
//! Calibration counts an offer as right when its group's main true group is its own (*plain*), and besides
//! when that group is the true group's main one (*strict*). A look-alike is never right.

use super::grade::{Calibration, Grade, Grouping, LOOK_ALIKE_LIMIT, LookAlike, SURE};
use super::link_recall::link_recall;
use super::truth::{LineScope, TrueLine, YesNo};
use crate::publish::scores::{
    Contingency, Decisions, Forecasts, NotAProbability, Strictness, rows_in_main_group, share_right,
};
use crate::publish::{CrossrefRow, LinkRow, RejectRow, SetAsideRow};
use std::collections::{BTreeMap, BTreeSet};

/// The tables of a run that tell what became of its lines.
#[derive(Debug, Clone, Copy)]
pub struct RunRows<'a> {
    /// offers
    pub crossref: &'a [CrossrefRow],
    /// set aside
    pub set_aside: &'a [SetAsideRow],
    /// rejected
    pub rejects: &'a [RejectRow],
    /// pairs compared and kept
    pub links: &'a [LinkRow],
}

/// One line with its true labels and those found.
struct Joined<'a> {
    truth: &'a TrueLine,
    row: Option<&'a CrossrefRow>,
    product: (String, String),
    group: (String, String),
}

/// Measures a run.
///
/// # Errors
/// A confidence of the run is no probability.
pub fn grade(truth: &[TrueLine], run: RunRows<'_>) -> Result<Grade, NotAProbability> {
    let found: BTreeMap<(&str, u32), &CrossrefRow> = run
        .crossref
        .iter()
        .map(|row| ((&*row.source_file, row.source_line), row))
        .collect();
    let known: BTreeSet<(&str, u32)> = truth.iter().map(|line| (line.file.as_str(), line.line)).collect();
    let joined: Vec<Joined<'_>> = truth
        .iter()
        .map(|line| join(line, found.get(&(line.file.as_str(), line.line)).copied()))
        .filter(|line| line.row.is_some() || line.truth.scope == LineScope::Offer)
        .collect();
    let product = |line: &Joined<'_>| line.product.clone();
    let group = |line: &Joined<'_>| line.group.clone();
    let sure = |line: &Joined<'_>| line.row.is_some_and(|row| row.confidence >= SURE);
    let enough = |line: &Joined<'_>| line.truth.states_enough == YesNo::Yes;
    Ok(Grade {
        lines: truth.len() as u64,
        rows_without_answer: found.keys().filter(|key| !known.contains(*key)).count() as u64,
        confusion: confusion(truth, run, &found),
        scope: Decisions::of(truth.iter().map(|line| {
            (
                line.scope == LineScope::Offer,
                found.contains_key(&(line.file.as_str(), line.line)),
            )
        }))
        .scores(),
        kind_accuracy: share_right(kinds(&joined).map(|(truly, taken)| truly == taken)),
        kind_mistakes: kind_mistakes(&joined),
        look_alikes: let_in(&joined, |scope| scope == LineScope::SetAside),
        other_intruders: let_in(&joined, |scope| matches!(scope, LineScope::Reject | LineScope::Layout)),
        products: grouping(&joined, product, |_| true),
        products_identified: grouping(&joined, product, |line| line.truth.shows_identifier == YesNo::Yes),
        link_recall: link_recall(truth, run.links),
        groups: grouping(&joined, group, |_| true),
        groups_stating_enough: grouping(&joined, group, enough),
        groups_sure: grouping(&joined, group, sure),
        share_sure: share_right(run.crossref.iter().map(|row| row.confidence >= SURE)),
        plain: calibration(&joined, Strictness::Plain)?,
        strict: calibration(&joined, Strictness::Strict)?,
    })
}

/// Labels of a line; what belongs nowhere carries a label of its own.
fn join<'a>(truth: &'a TrueLine, row: Option<&'a CrossrefRow>) -> Joined<'a> {
    let own = || format!("~{}:{}", truth.file, truth.line);
    let is_offer = truth.scope == LineScope::Offer;
    let truly = |label: &str| {
        if is_offer && !label.is_empty() {
            label.to_string()
        } else {
            own()
        }
    };
    let taken = |label: Option<&str>| label.filter(|label| !label.is_empty()).map_or_else(own, str::to_string);
    Joined {
        truth,
        row,
        product: (truly(&truth.product), taken(row.map(|row| row.product_id.as_str()))),
        group: (truly(&truth.fit_group), taken(row.map(|row| row.group_id.as_str()))),
    }
}

fn confusion(
    truth: &[TrueLine],
    run: RunRows<'_>,
    found: &BTreeMap<(&str, u32), &CrossrefRow>,
) -> BTreeMap<&'static str, BTreeMap<&'static str, u64>> {
    let aside: BTreeSet<(&str, u32)> = run.set_aside.iter().map(|row| (&*row.file, row.line)).collect();
    let rejects: BTreeSet<(&str, u32)> = run
        .rejects
        .iter()
        .filter_map(|row| Some((&*row.file, row.line?)))
        .collect();
    let mut counts: BTreeMap<&'static str, BTreeMap<&'static str, u64>> = BTreeMap::new();
    for line in truth {
        let key = (line.file.as_str(), line.line);
        let taken = if found.contains_key(&key) {
            LineScope::Offer
        } else if aside.contains(&key) {
            LineScope::SetAside
        } else if rejects.contains(&key) {
            LineScope::Reject
        } else {
            LineScope::Layout
        };
        *counts
            .entry(line.scope.word())
            .or_default()
            .entry(taken.word())
            .or_default() += 1;
    }
    counts
}

/// True kind and kind found of the offers that were found.
fn kinds<'a>(joined: &'a [Joined<'a>]) -> impl Iterator<Item = (&'a str, &'a str)> {
    joined
        .iter()
        .filter(|line| line.truth.scope == LineScope::Offer)
        .filter_map(|line| Some((line.truth.part_kind.as_str(), line.row?.part_kind.as_str())))
}

fn kind_mistakes(joined: &[Joined<'_>]) -> BTreeMap<String, u64> {
    let mut counts = BTreeMap::new();
    for (truly, taken) in kinds(joined).filter(|(truly, taken)| truly != taken) {
        *counts.entry(format!("{truly} taken for {taken}")).or_default() += 1;
    }
    counts
}

fn let_in(joined: &[Joined<'_>], of_scope: fn(LineScope) -> bool) -> Vec<LookAlike> {
    let wrong = joined.iter().filter(|line| of_scope(line.truth.scope));
    wrong
        .filter_map(|line| {
            let row = line.row.filter(|row| row.confidence > LOOK_ALIKE_LIMIT)?;
            let truth = line.truth;
            let truly = if truth.part_kind.is_empty() {
                truth.scope.word()
            } else {
                &truth.part_kind
            };
            Some(LookAlike {
                file: truth.file.clone(),
                line: truth.line,
                truly: truly.to_string(),
                taken_for: row.part_kind.to_string(),
                confidence: row.confidence,
                description: row.description.clone(),
            })
        })
        .collect()
}

fn grouping(
    joined: &[Joined<'_>],
    labels: impl Fn(&Joined<'_>) -> (String, String),
    inside: impl Fn(&Joined<'_>) -> bool,
) -> Grouping {
    let labels: Vec<(String, String)> = joined.iter().filter(|line| inside(line)).map(labels).collect();
    let count = |of: fn(&(String, String)) -> &String| {
        labels
            .iter()
            .map(of)
            .filter(|label| !label.starts_with('~'))
            .collect::<BTreeSet<_>>()
            .len() as u64
    };
    let (true_groups, found_groups) = (count(|pair| &pair.0), count(|pair| &pair.1));
    let table = Contingency::of(labels.iter().map(|(truth, found)| (truth, found)));
    Grouping {
        rows: table.rows(),
        true_groups,
        found_groups,
        pairwise: table.pairwise(),
        b_cubed: table.b_cubed(),
    }
}

fn calibration(joined: &[Joined<'_>], strictness: Strictness) -> Result<Calibration, NotAProbability> {
    let rows: Vec<(&Joined<'_>, &CrossrefRow)> = joined.iter().filter_map(|line| Some((line, line.row?))).collect();
    let labels: Vec<(&String, &String)> = rows.iter().map(|(line, _)| (&line.group.0, &line.group.1)).collect();
    let right = rows_in_main_group(&labels, strictness);
    let outcomes = rows
        .iter()
        .zip(right)
        .map(|((line, row), right)| (row.confidence, right && line.truth.scope == LineScope::Offer));
    let forecasts = Forecasts::of(outcomes)?;
    Ok(Calibration {
        reliability: forecasts.reliability().to_vec(),
        expected_calibration_error: forecasts.expected_calibration_error(),
        brier: forecasts.brier(),
        area_under_curve: forecasts.area_under_curve(),
    })
}

#[cfg(test)]
#[path = "grading_tests.rs"]
mod tests;
