//! A fit group with its offers, as the page shows it.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::publish::order::Ordered;
use crate::publish::tables::{CrossrefRow, GroupRow};

/// At or above this an offer is called sure.
pub const SURE: f64 = 0.9;
/// Below this an offer is called doubtful; between the two it is likely.
pub const LIKELY: f64 = 0.5;

/// Kinds in the order in which they are browsed; any other comes after them, by name.
const KIND_ORDER: [&str; 3] = ["recoil-starter", "shroud", "assembly"];

/// How sure an offer is, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    Sure,
    Likely,
    Doubtful,
}

impl Standing {
    /// The standing that goes with a confidence.
    pub fn of(confidence: f64) -> Self {
        if confidence >= SURE {
            Self::Sure
        } else if confidence >= LIKELY {
            Self::Likely
        } else {
            Self::Doubtful
        }
    }
}

/// A fit group with its offers.
#[derive(Debug)]
pub struct GroupView<'a> {
    /// Where to jump to in the page.
    pub anchor: String,
    pub group: &'a GroupRow,
    /// Its offers by rank.
    pub offers: Vec<&'a CrossrefRow>,
    /// How many of them the page carries.
    pub carried: usize,
}

impl<'a> GroupView<'a> {
    /// A group with its offers by rank, all of them carried.
    pub fn of(group: &'a GroupRow, offers: Vec<&'a CrossrefRow>) -> Self {
        Self {
            anchor: anchor(&group.group_id),
            group,
            carried: offers.len(),
            offers,
        }
    }

    /// The offers the page carries, by rank.
    pub fn carried_offers(&self) -> impl Iterator<Item = &'a CrossrefRow> {
        self.offers.iter().take(self.carried).copied()
    }

    /// The cheapest delivered price among the sure offers.
    pub fn cheapest_sure(&self) -> Option<Decimal> {
        let sure = self
            .offers
            .iter()
            .filter(|offer| Standing::of(offer.confidence) == Standing::Sure);
        sure.filter_map(|offer| offer.landed_price).min()
    }
}

/// The id, with everything that a link within the page cannot carry as it is written as a dash. An id of
/// this program comes back unchanged, so that a link to a group works from one run to the next.
fn anchor(group_id: &str) -> String {
    let plain = |letter: char| if letter.is_ascii_alphanumeric() { letter } else { '-' };
    group_id.chars().map(plain).collect()
}

/// The groups as a mechanic would look for them: placed ones first; by kind, family and size.
pub fn group_views<'a>(rows: &Ordered<'a>) -> Vec<GroupView<'a>> {
    let mut offers: BTreeMap<&str, Vec<&CrossrefRow>> = BTreeMap::new();
    for row in &rows.crossref {
        offers.entry(&row.group_id).or_default().push(row);
    }
    let mut groups: Vec<&GroupRow> = rows.groups.clone();
    groups.sort_by(|a, b| browsing(a).cmp(&browsing(b)));
    let of_group =
        |group: &'a GroupRow| GroupView::of(group, offers.remove(group.group_id.as_str()).unwrap_or_default());
    groups.into_iter().map(of_group).collect()
}

/// What groups are browsed by: those without a family and a band last; kind, family, lowest displacement
/// in hundredths of a cubic centimetre, circle in hundredths of a millimetre, id.
fn browsing(group: &GroupRow) -> impl Ord + '_ {
    let hundredths = |value: f64| (value * 100.0).round() as u64;
    let lowest = spans(&group.displacement_cc).first().map(|span| hundredths(span.0));
    let kind = KIND_ORDER
        .iter()
        .position(|kind| *kind == group.part_kind)
        .unwrap_or(KIND_ORDER.len());
    let circle = group.bolt_circle_mm.map(hundredths);
    (
        lowest.is_none() && circle.is_none(),
        (kind, &group.part_kind),
        &group.family,
        lowest.unwrap_or(u64::MAX),
        circle,
        &group.group_id,
    )
}

/// The spans in a displacement as published: `163-212` is one span, `163;196` are two points. What
/// cannot be read is left out.
pub fn spans(displacement_cc: &str) -> Vec<(f64, f64)> {
    let span = |part: &str| {
        let (low, high) = part.split_once('-').unwrap_or((part, part));
        let (low, high) = (low.trim().parse().ok()?, high.trim().parse().ok()?);
        (low > 0.0 && high >= low).then_some((low, high))
    };
    displacement_cc.split(';').filter_map(span).collect()
}
