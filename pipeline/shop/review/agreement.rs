//! Decisions held against a run: how true the probabilities were, and whether the run is as was decided.
//!
//! The probability of a decided question is the one that the sheet stated when it asked. A decision by hand has none; for
//! it the run is asked, unless the run was built with the decision, for then the answer is in the probability. A pair
//! that the run did not keep was less probable than [`KEPT`] and counts at half of that.
//!
//! Decided cases are the doubtful ones, chosen for their worth: what they show is how true the doubtful middle of the
//! scale is. They say nothing of the rows nobody asked about.

use super::decision::{Answer, Decision};
use super::load::Decisions;
use crate::link::products::KEPT;
use crate::publish::scores::{Bin, Forecasts, NotAProbability};
use crate::publish::{CrossrefRow, LinkRow};
use crate::shop::why;
use crate::trade::folding::fold;
use rustc_hash::FxHashMap;
use serde::Serialize;
use std::collections::BTreeMap;

/// What decisions show of a run.
#[derive(Debug, Clone, Serialize)]
pub struct Agreement {
    /// decisions by their word
    pub decisions: BTreeMap<&'static str, u64>,
    /// decisions of which both offers stand in the run
    pub in_the_run: u64,
    /// of these, decisions that the run follows
    pub followed: u64,
    /// decisions with a probability from before they were made
    pub judged: u64,
    /// stated probability against answer
    pub reliability: Vec<Bin>,
    /// expected calibration error
    pub expected_calibration_error: Option<f64>,
    /// Brier score
    pub brier: Option<f64>,
}

/// Holds decisions against a run.
///
/// # Errors
/// A probability of the run is none.
pub fn agreement(
    decisions: &Decisions,
    offers: &[CrossrefRow],
    links: &[LinkRow],
) -> Result<Agreement, NotAProbability> {
    let run = Run::of(offers, links);
    let mut counts = BTreeMap::new();
    let (mut in_the_run, mut followed) = (0, 0);
    let mut forecasts = Vec::new();
    for decision in &decisions.list {
        *counts.entry(decision.answer.word()).or_default() += 1;
        let answer = match decision.answer {
            Answer::Same | Answer::Fits => true,
            Answer::Different | Answer::DoesNotFit => false,
            Answer::WrongClaim => continue,
        };
        let both = run.both(decision);
        if let Some((a, b)) = both {
            in_the_run += 1;
            followed += u64::from(run.puts_together(decision.answer, a, b) == answer);
        }
        let probability = decision.stated.or_else(|| run.probability(decision, both?));
        forecasts.extend(probability.map(|probability| (probability, answer)));
    }
    let forecasts = Forecasts::of(forecasts)?;
    Ok(Agreement {
        decisions: counts,
        in_the_run,
        followed,
        judged: forecasts.len() as u64,
        reliability: forecasts.reliability().to_vec(),
        expected_calibration_error: forecasts.expected_calibration_error(),
        brier: forecasts.brier(),
    })
}

type Line<'a> = (&'a str, u32);

struct Run<'a> {
    /// offers by folded supplier and number; `None` where several differ
    named: FxHashMap<String, Option<&'a CrossrefRow>>,
    links: FxHashMap<(Line<'a>, Line<'a>), f64>,
}

impl<'a> Run<'a> {
    fn of(offers: &'a [CrossrefRow], links: &'a [LinkRow]) -> Run<'a> {
        let mut named: FxHashMap<String, Option<&CrossrefRow>> = FxHashMap::default();
        for row in offers {
            let brief = fold(&format!("{}:{}", row.supplier, row.supplier_sku)).into_owned();
            if !row.mpn.is_empty() {
                named
                    .entry(fold(&format!("{brief}#{}", row.mpn)).into_owned())
                    .or_insert(Some(row));
            }
            named
                .entry(brief)
                .and_modify(|found| *found = None)
                .or_insert(Some(row));
        }
        let links = links.iter().map(|link| {
            let ends = [
                (&*link.source_file_a, link.source_line_a),
                (&*link.source_file_b, link.source_line_b),
            ];
            ((ends[0].min(ends[1]), ends[0].max(ends[1])), link.probability)
        });
        Run {
            named,
            links: links.collect(),
        }
    }

    fn find(&self, name: &str) -> Option<&'a CrossrefRow> {
        *self.named.get(fold(name).as_ref())?
    }

    fn both(&self, decision: &Decision) -> Option<(&'a CrossrefRow, &'a CrossrefRow)> {
        let other = decision.others.iter().find_map(|name| self.find(name))?;
        Some((self.find(&decision.offer)?, other))
    }

    fn puts_together(&self, answer: Answer, a: &CrossrefRow, b: &CrossrefRow) -> bool {
        match answer {
            Answer::Same | Answer::Different => a.product_id == b.product_id,
            _ => !a.group_id.is_empty() && a.group_id == b.group_id,
        }
    }

    fn probability(&self, decision: &Decision, (a, b): (&CrossrefRow, &CrossrefRow)) -> Option<f64> {
        if !why::decisions(&a.evidence).is_empty() {
            return None;
        }
        if matches!(decision.answer, Answer::Fits | Answer::DoesNotFit) {
            return (a.group_id == b.group_id).then_some(a.confidence);
        }
        let ends = [(&*a.source_file, a.source_line), (&*b.source_file, b.source_line)];
        let link = self.links.get(&(ends[0].min(ends[1]), ends[0].max(ends[1])));
        Some(link.copied().unwrap_or(KEPT / 2.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::review::decision::FilePlace;

    fn row(supplier: &str, sku: &str, line: u32, product: &str) -> CrossrefRow {
        CrossrefRow {
            supplier: supplier.into(),
            supplier_sku: sku.into(),
            product_id: product.into(),
            group_id: "G1".into(),
            confidence: 0.7,
            source_file: format!("{supplier}.csv").into(),
            source_line: line,
            ..CrossrefRow::default()
        }
    }

    fn decision(answer: Answer, offer: &str, other: &str, stated: Option<f64>) -> Decision {
        Decision {
            answer,
            offer: offer.into(),
            others: vec![other.into()],
            claim: String::new(),
            note: String::new(),
            date: String::new(),
            stated,
            place: FilePlace {
                file: "answers.csv".into(),
                line: 1,
            },
        }
    }

    fn judged(list: Vec<Decision>) -> Agreement {
        let offers = [
            row("north", "A-1", 2, "P1"),
            row("south", "7", 2, "P1"),
            row("east", "9", 2, "P2"),
        ];
        let link = LinkRow {
            source_file_a: "south.csv".into(),
            source_line_a: 2,
            source_file_b: "north.csv".into(),
            source_line_b: 2,
            probability: 0.8,
            ..LinkRow::default()
        };
        agreement(&Decisions { list }, &offers, &[link]).unwrap()
    }

    #[test]
    fn the_probability_stated_when_it_was_asked_counts_before_that_of_the_run() {
        let found = judged(vec![
            decision(Answer::Same, "north:A-1", "south:7", Some(0.55)),
            decision(Answer::Same, "north:A-1", "south:7", None),
            decision(Answer::Different, "north:A-1", "east:9", None),
            decision(Answer::Fits, "north:A-1", "east:9", None),
        ]);
        assert_eq!((found.judged, found.in_the_run, found.followed), (4, 4, 4));
        let bin = |low: usize| (found.reliability[low].forecasts, found.reliability[low].came_true);
        assert_eq!((bin(0), bin(5), bin(7), bin(8)), ((1, 0), (1, 1), (1, 1), (1, 1)));
    }

    #[test]
    fn a_run_that_does_not_follow_a_decision_and_offers_that_are_gone_are_counted_so() {
        let found = judged(vec![
            decision(Answer::Different, "north:A-1", "south:7", Some(0.8)),
            decision(Answer::Same, "north:A-1", "west:1", Some(0.4)),
        ]);
        assert_eq!((found.judged, found.in_the_run, found.followed), (2, 1, 0));
        assert!((found.brier.unwrap() - (0.64 + 0.36) / 2.0).abs() < 1e-12);
    }
}
