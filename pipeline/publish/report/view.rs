//! A fit group with its offers, as the page shows it.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::publish::order::Ordered;
use crate::publish::tables::{CrossrefRow, GroupRow};

/// At or above this an offer is called sure.
pub const SURE: f64 = 0.9;
/// Below this an offer is called doubtful; between the two it is likely.
pub const LIKELY: f64 = 0.5;

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

    /// The word shown, also the name of its style.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sure => "sure",
            Self::Likely => "likely",
            Self::Doubtful => "doubtful",
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

impl GroupView<'_> {
    /// The cheapest delivered price among the sure offers.
    pub fn cheapest_sure(&self) -> Option<Decimal> {
        let sure = self
            .offers
            .iter()
            .filter(|offer| Standing::of(offer.confidence) == Standing::Sure);
        sure.filter_map(|offer| offer.landed_price).min()
    }
}

/// The groups as a mechanic would look for them: by kind, family and size.
pub fn group_views<'a>(rows: &Ordered<'a>) -> Vec<GroupView<'a>> {
    let mut offers: BTreeMap<&str, Vec<&CrossrefRow>> = BTreeMap::new();
    for row in &rows.crossref {
        offers.entry(&row.group_id).or_default().push(row);
    }
    let mut groups: Vec<&GroupRow> = rows.groups.clone();
    groups.sort_by(|a, b| {
        let place = |group: &GroupRow| spans(&group.displacement_cc).first().map_or(f64::MAX, |span| span.0);
        (&a.part_kind, &a.family)
            .cmp(&(&b.part_kind, &b.family))
            .then(place(a).total_cmp(&place(b)))
            .then(a.group_id.cmp(&b.group_id))
    });
    let views = groups.into_iter().enumerate().map(|(at, group)| {
        let offers = offers.remove(group.group_id.as_str()).unwrap_or_default();
        GroupView {
            anchor: format!("group-{}", at + 1),
            group,
            carried: offers.len(),
            offers,
        }
    });
    views.collect()
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
