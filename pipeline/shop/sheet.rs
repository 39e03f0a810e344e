//! A fit sheet out of a finished run: which group is meant, and what its offers state beyond its own row.
//!
//! A group is named by its id, or by anything `find` understands. Words that leave open which group is meant
//! are not settled here: the candidates are handed back. Where the group's bolt circle is not settled, every
//! reading that its offers' words allow becomes one of the sheet, those named most often first.

use super::answer::{Limits, SETTLED, StockWanted};
use super::find::find;
use super::need::{Need, NeedError, Question};
use super::run_tables::rows_of;
use super::stated::stated_spacings;
use crate::normalise::claim::{Attribute, Claim, Value};
use crate::normalise::text::read_text;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::read::in_groups;
use crate::publish::sheet::{About, CircleReading, FitSheet, Stated};
use crate::publish::{CrossrefRow, FinishedRun, GroupRow, ReadError};
use crate::shop::matching::figure;
use crate::trade::bolt_pattern::Distance;
use crate::trade::interval::Interval;
use std::collections::{BTreeMap, BTreeSet};

/// Readings of one circle that are drawn.
const MOST_READINGS: usize = 3;
/// A reading is left out when it is named less often than this share of the one named most.
const WORTH_DRAWING: f64 = 0.25;
/// Circles nearer than the play of an M6 screw in its medium hole (ISO 273), and half a millimetre of rounding, are
/// one.
const SAME_CIRCLE_MM: f64 = 1.1;
/// Values of one thing that the sheet has room for.
const MOST_VALUES: usize = 3;

/// What a name leads to.
#[derive(Debug)]
pub enum Named {
    /// one group
    Group(Box<GroupRow>),
    /// several groups may be meant, the likeliest first
    Several(Vec<GroupRow>),
    /// none; the nearest, where there is one
    Nothing(Option<Box<GroupRow>>),
}

/// Why a group could not be looked for.
#[derive(Debug)]
pub enum SheetError {
    /// the run cannot be read
    Run(ReadError),
    /// the words cannot be read
    Words(NeedError),
}

impl From<ReadError> for SheetError {
    fn from(error: ReadError) -> SheetError {
        SheetError::Run(error)
    }
}

/// The group that a person means.
///
/// # Errors
/// See [`SheetError`].
pub fn group_named(vocabulary: &Vocabulary, run: &FinishedRun, name: &str) -> Result<Named, SheetError> {
    let groups: Vec<GroupRow> = rows_of(run)?;
    if let Some(group) = groups
        .iter()
        .find(|group| group.group_id.eq_ignore_ascii_case(name.trim()))
    {
        return Ok(Named::Group(Box::new(group.clone())));
    }
    let question = Question {
        words: name.to_string(),
        ..Question::default()
    };
    let need = Need::of(vocabulary, &question).map_err(SheetError::Words)?;
    if need.is_empty() {
        return Ok(Named::Nothing(None));
    }
    let limits = Limits {
        min_confidence: 0.0,
        supplier: None,
        deliver_within: None,
        stock: StockWanted::Any,
        quantity: 1,
        most: 1,
    };
    let answer = find(run, &need, &limits)?;
    let group = |at: usize| answer.groups[at].clone();
    let mut likely = Vec::new();
    let mut settled = 0;
    for section in &answer.sections {
        let Some(lead) = &section.lead else { continue };
        likely.push(group(lead.group));
        if lead.share >= SETTLED {
            settled += 1;
        } else {
            likely.extend(section.possible.iter().map(|found| group(found.group)));
        }
    }
    let nearest = answer.sections.iter().find_map(|section| section.nearest.as_ref());
    Ok(match (likely.len(), settled) {
        (0, _) => Named::Nothing(nearest.map(|found| Box::new(group(found.group)))),
        (1, 1) => Named::Group(Box::new(likely.remove(0))),
        _ => Named::Several(likely),
    })
}

/// The sheet of a group.
///
/// # Errors
/// The run cannot be read.
pub fn sheet(vocabulary: &Vocabulary, run: &FinishedRun, group: GroupRow) -> Result<FitSheet, ReadError> {
    let offers = run.offers(&in_groups([&group.group_id]))?;
    Ok(FitSheet {
        readings: readings(&group, &offers),
        stated: stated(vocabulary, &offers),
        group,
    })
}

/// The group's own circle, or every circle its offers may mean.
fn readings(group: &GroupRow, offers: &[CrossrefRow]) -> Vec<CircleReading> {
    if let Some(circle_mm) = group.bolt_circle_mm {
        return vec![CircleReading {
            circle_mm,
            tolerance_mm: group.bolt_circle_tolerance_mm.unwrap_or(0.0),
            provided: String::new(),
        }];
    }
    let mut meant: Vec<Meant> = Vec::new();
    for (at, offer) in offers.iter().enumerate() {
        for spacing in stated_spacings(&offer.evidence, group.bolt_holes) {
            for (distance, circle) in &spacing.meant {
                meant.push(Meant {
                    offer: at,
                    circle: *circle,
                    written_mm: spacing.written_mm.mid(),
                    distance: *distance,
                });
            }
        }
    }
    together(meant)
}

/// One way to read one offer's spacing.
struct Meant {
    offer: usize,
    circle: Interval,
    written_mm: f64,
    distance: Distance,
}

/// Ways to read that come to the same circle, as one reading each; named most often first.
fn together(mut meant: Vec<Meant>) -> Vec<CircleReading> {
    meant.sort_by(|a, b| a.circle.mid().total_cmp(&b.circle.mid()).then(a.offer.cmp(&b.offer)));
    let mut heaps: Vec<Vec<Meant>> = Vec::new();
    for one in meant {
        match heaps.last_mut() {
            Some(heap)
                if heap
                    .last()
                    .is_some_and(|last| one.circle.mid() - last.circle.mid() <= SAME_CIRCLE_MM) =>
            {
                heap.push(one);
            }
            _ => heaps.push(vec![one]),
        }
    }
    let named = |heap: &[Meant]| heap.iter().map(|one| one.offer).collect::<BTreeSet<_>>().len();
    let most = heaps.iter().map(|heap| named(heap)).max().unwrap_or(0) as f64;
    heaps.retain(|heap| named(heap) as f64 >= WORTH_DRAWING * most);
    heaps.sort_by_key(|heap| std::cmp::Reverse(named(heap)));
    heaps.truncate(MOST_READINGS);
    heaps.iter().map(|heap| reading(heap, named(heap))).collect()
}

fn reading(heap: &[Meant], offers: usize) -> CircleReading {
    let hull = heap
        .iter()
        .skip(1)
        .fold(heap[0].circle, |hull, one| hull.hull(&one.circle));
    let ways: BTreeSet<String> = heap
        .iter()
        .map(|one| {
            let written = figure((one.written_mm * 10.0).round() / 10.0);
            match one.distance {
                Distance::BoltCircle => format!("{written} mm is the bolt circle"),
                Distance::Chord => format!("{written} mm is from hole to hole"),
                Distance::Rectangle => format!("{written} mm is the diagonal of the holes"),
                Distance::EdgeToEdge => format!("{written} mm is from hole edge to hole edge"),
            }
        })
        .collect();
    let ways: Vec<String> = ways.into_iter().take(MOST_VALUES).collect();
    let stated = if offers == 1 { "1 offer states" } else { "offers state" };
    let count = if offers == 1 {
        String::new()
    } else {
        format!("{offers} ")
    };
    CircleReading {
        circle_mm: hull.mid(),
        tolerance_mm: hull.width() / 2.0,
        provided: format!("{count}{stated} a spacing that comes to this, if {}", ways.join(" or ")),
    }
}

/// Depths, pawls, sides and hole diameters in the offers' wording, each value with the count of offers.
fn stated(vocabulary: &Vocabulary, offers: &[CrossrefRow]) -> Vec<Stated> {
    let mut counts: BTreeMap<(About, String), usize> = BTreeMap::new();
    for offer in offers {
        let said: BTreeSet<(About, String)> = read_text(vocabulary, &offer.description)
            .claims
            .iter()
            .filter_map(|claim| Some((about(claim.attribute)?, value_words(claim)?)))
            .collect();
        for entry in said {
            *counts.entry(entry).or_default() += 1;
        }
    }
    let mut stated: Vec<Stated> = counts
        .into_iter()
        .map(|((about, value), offers)| Stated { about, value, offers })
        .collect();
    stated.sort_by(|a, b| {
        a.about
            .cmp(&b.about)
            .then(b.offers.cmp(&a.offers))
            .then(a.value.cmp(&b.value))
    });
    let mut kept: BTreeMap<About, usize> = BTreeMap::new();
    stated.retain(|entry| {
        let count = kept.entry(entry.about).or_default();
        *count += 1;
        *count <= MOST_VALUES
    });
    stated
}

fn about(attribute: Attribute) -> Option<About> {
    match attribute {
        Attribute::Depth => Some(About::Depth),
        Attribute::Pawls => Some(About::Pawls),
        Attribute::PullSide => Some(About::PullSide),
        Attribute::HoleDiameter => Some(About::HoleDiameter),
        _ => None,
    }
}

fn value_words(claim: &Claim) -> Option<String> {
    match &claim.value {
        Value::OneOf(list) | Value::Served(list) => {
            let figures: Vec<String> = list.iter().map(|interval| figure(interval.mid())).collect();
            Some(format!("{} mm", figures.join(" or ")))
        }
        Value::Count(count) => Some(count.to_string()),
        Value::Word(word) | Value::Code(word) => Some(word.to_string()),
        Value::Threads(_) => None,
    }
}

#[cfg(test)]
#[path = "sheet_tests.rs"]
mod tests;
