//! What the page must know at once: every group by its figures, and the names that offers share.
//!
//! Groups are columns, in the order they are browsed; the offers of all groups follow one another in the
//! same order, so a group says where its offers begin and how many are carried.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::offers::{OFFERS_PER_BLOCK, hundredths};
use super::view::{GroupView, LIKELY, SURE, spans};
use crate::publish::tables::CrossrefRow;
use crate::publish::terminal::inert;
use crate::trade::clearances::clearance_mm;
use crate::trade::threads::Thread;

/// The overview block.
#[derive(Debug, Serialize)]
pub struct Overview<'a> {
    currency: &'a str,
    offers_per_block: usize,
    offers: usize,
    /// Ten-thousandths from which an offer is sure, and from which it is likely.
    standings: [u16; 2],
    suppliers: Names<'a>,
    lists: Names<'a>,
    notes: Names<'a>,
    measures: Names<'a>,
    /// Screws by thread: diameter and medium clearance hole (ISO 273, ASME B18.2.8), mm.
    screws: BTreeMap<&'static str, [f64; 2]>,
    groups: Groups<'a>,
}

/// Names with their places, each once, sorted.
#[derive(Debug, Default)]
struct Names<'a>(Vec<&'a str>);

impl<'a> Names<'a> {
    fn of(names: impl Iterator<Item = &'a str>) -> Self {
        Self(names.collect::<BTreeSet<_>>().into_iter().collect())
    }

    fn place(&self, name: &str) -> usize {
        self.0.binary_search(&name).unwrap_or(0)
    }
}

impl Serialize for Names<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().map(|name| inert(name)))
    }
}

#[derive(Debug, Default, Serialize)]
struct Groups<'a> {
    /// Where the page jumps to; mostly the id itself.
    anchor: Vec<&'a str>,
    id: Vec<Cow<'a, str>>,
    name: Vec<Cow<'a, str>>,
    kind: Vec<Cow<'a, str>>,
    family: Vec<Cow<'a, str>>,
    size_class: Vec<Cow<'a, str>>,
    /// Spans of displacement served, cc.
    spans: Vec<Vec<(f64, f64)>>,
    holes: Vec<Option<u8>>,
    circle_mm: Vec<Option<f64>>,
    tolerance_mm: Vec<Option<f64>>,
    thread: Vec<Cow<'a, str>>,
    codes: Vec<Cow<'a, str>>,
    products: Vec<u32>,
    /// Offers in the run.
    offers: Vec<u32>,
    /// Offers the page carries.
    carried: Vec<usize>,
    /// Place of the first of them.
    first: Vec<usize>,
    /// Ten-thousandths.
    confidence: Vec<u16>,
    /// Hundredths of the home currency.
    cheapest: Vec<Option<i64>>,
    cheapest_supplier: Vec<Cow<'a, str>>,
    /// Places of the groups whose need this one also answers.
    covers: Vec<Vec<usize>>,
}

impl<'a> Overview<'a> {
    /// The overview of the groups, and of the offers carried, in their order.
    pub fn of(views: &'a [GroupView<'a>], carried: &[&'a CrossrefRow], currency: &'a str) -> Self {
        let names = |of: fn(&'a CrossrefRow) -> &'a str| Names::of(carried.iter().map(|offer| of(offer)));
        let ten_thousandths = |share: f64| (share * 1e4).round() as u16;
        Self {
            currency,
            offers_per_block: OFFERS_PER_BLOCK,
            offers: carried.len(),
            standings: [ten_thousandths(SURE), ten_thousandths(LIKELY)],
            suppliers: names(|offer| &offer.supplier),
            lists: names(|offer| &offer.source_file),
            notes: names(|offer| &offer.landed_note),
            measures: names(|offer| &offer.measure_first),
            screws: Thread::ALL
                .into_iter()
                .map(|thread| (thread.name(), [thread.diameter_mm(), clearance_mm(thread).normal]))
                .collect(),
            groups: groups(views),
        }
    }

    /// Place of an offer's supplier.
    pub fn supplier(&self, offer: &CrossrefRow) -> usize {
        self.suppliers.place(&offer.supplier)
    }

    /// Place of an offer's list.
    pub fn list(&self, offer: &CrossrefRow) -> usize {
        self.lists.place(&offer.source_file)
    }

    /// Place of what is missing from an offer's delivered price.
    pub fn note(&self, offer: &CrossrefRow) -> usize {
        self.notes.place(&offer.landed_note)
    }

    /// Place of what to measure first.
    pub fn measure(&self, offer: &CrossrefRow) -> usize {
        self.measures.place(&offer.measure_first)
    }
}

fn groups<'a>(views: &'a [GroupView<'a>]) -> Groups<'a> {
    let places: BTreeMap<&str, usize> = views
        .iter()
        .enumerate()
        .map(|(at, view)| (&*view.group.group_id, at))
        .collect();
    let mut groups = Groups::default();
    let mut first = 0;
    for view in views {
        let group = view.group;
        groups.anchor.push(&view.anchor);
        groups.id.push(inert(&group.group_id));
        groups.name.push(inert(&group.name));
        groups.kind.push(inert(&group.part_kind));
        groups.family.push(inert(&group.family));
        groups.size_class.push(inert(&group.size_class));
        groups.spans.push(spans(&group.displacement_cc));
        groups.holes.push(group.bolt_holes);
        groups
            .circle_mm
            .push(group.bolt_circle_mm.filter(|circle| circle.is_finite()));
        groups
            .tolerance_mm
            .push(group.bolt_circle_tolerance_mm.filter(|tolerance| tolerance.is_finite()));
        groups.thread.push(inert(&group.thread));
        groups.codes.push(inert(&group.engine_codes));
        groups.products.push(group.products);
        groups.offers.push(group.offers);
        groups.carried.push(view.carried);
        groups.first.push(first);
        groups
            .confidence
            .push((group.confidence.clamp(0.0, 1.0) * 1e4).floor() as u16);
        groups.cheapest.push(group.cheapest_landed.and_then(hundredths));
        groups.cheapest_supplier.push(inert(&group.cheapest_supplier));
        groups.covers.push(
            group
                .covers_groups
                .split(';')
                .filter_map(|id| places.get(id).copied())
                .collect(),
        );
        first += view.carried;
    }
    groups
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::tables::GroupRow;

    #[test]
    fn a_group_says_where_its_offers_begin_and_whose_need_it_answers() {
        let group = |id: &str, covers: &str| GroupRow {
            group_id: id.into(),
            covers_groups: covers.into(),
            ..GroupRow::default()
        };
        let rows = [group("G1", ""), group("G2", "G1;elsewhere")];
        let offer = CrossrefRow::default();
        let views: Vec<GroupView<'_>> = rows.iter().map(|group| GroupView::of(group, vec![&offer; 3])).collect();
        let groups = groups(&views);
        assert_eq!(groups.first, [0, 3]);
        assert_eq!(groups.covers, [vec![], vec![0]]);
    }

    #[test]
    fn names_have_one_place_each() {
        let names = Names::of(["south", "north", "south"].into_iter());
        assert_eq!((names.0.len(), names.place("south")), (2, 1));
    }
}
