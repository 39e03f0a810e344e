//! From the ledger before and tonight's tables to ids that last, and to the ledger after.

use std::collections::{BTreeMap, BTreeSet};

use compact_str::{CompactString, ToCompactString};

use super::ids::{Before, Carried, Cluster, carry_on};
use super::matching::{by_key, row_order};
use super::state::{IdEvent, KnownGroup, KnownOffer, Ledger, PricePoint};
use crate::publish::{CrossrefRow, IdRow, PriceRow, RunTables};

/// Gives the tables the ids that were known, and returns what became of ids. `known` says for every row of the
/// cross-reference which known offer it is.
pub fn carry_ids(tables: &mut RunTables, before: &Ledger, known: &[Option<usize>]) -> Vec<IdEvent> {
    let products = carried(tables, before, known, Level::Product);
    let groups = carried(tables, before, known, Level::Group);
    rename(tables, &products.0, &groups.0);
    let mut events = groups.1;
    events.extend(products.1);
    events
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Level {
    Product,
    Group,
}

impl Level {
    fn of_row(self, row: &CrossrefRow) -> &CompactString {
        match self {
            Level::Product => &row.product_id,
            Level::Group => &row.group_id,
        }
    }

    fn of_known(self, offer: &KnownOffer) -> &CompactString {
        match self {
            Level::Product => &offer.product,
            Level::Group => &offer.group,
        }
    }

    fn word(self) -> &'static str {
        match self {
            Level::Product => "product",
            Level::Group => "group",
        }
    }
}

/// Ids by content -> ids to go by, and the events.
type Renamed = (BTreeMap<CompactString, CompactString>, Vec<IdEvent>);

fn carried(tables: &RunTables, before: &Ledger, known: &[Option<usize>], level: Level) -> Renamed {
    let mut clusters: BTreeMap<&CompactString, Cluster> = BTreeMap::new();
    for (row, known) in tables.crossref.iter().zip(known) {
        let id = level.of_row(row);
        if id.is_empty() {
            continue;
        }
        let cluster = clusters.entry(id).or_default();
        cluster.offers += 1;
        if let Some(known) = known {
            let had = level.of_known(&before.offers[*known]);
            if !had.is_empty() {
                *cluster.votes.entry(had.clone()).or_default() += 1;
            }
        }
    }
    let mut past = Before::default();
    for offer in &before.offers {
        let id = level.of_known(offer);
        if id.is_empty() {
            continue;
        }
        if offer.listed {
            *past.living.entry(id.clone()).or_default() += 1;
        }
        past.remembered.insert(id.clone());
    }
    let of_level = before.ids.iter().filter(|event| event.names == level.word());
    past.remembered.extend(of_level.map(|event| event.id.clone()));
    let contents: Vec<CompactString> = clusters.keys().map(|id| (*id).clone()).collect();
    let clusters: Vec<Cluster> = clusters
        .into_iter()
        .map(|(id, mut cluster)| {
            cluster.by_content = id.clone();
            cluster
        })
        .collect();
    let Carried { ids, events } = carry_on(&clusters, &past, level.word());
    (contents.into_iter().zip(ids).collect(), events)
}

fn rename(
    tables: &mut RunTables,
    products: &BTreeMap<CompactString, CompactString>,
    groups: &BTreeMap<CompactString, CompactString>,
) {
    let put = |id: &mut CompactString, names: &BTreeMap<CompactString, CompactString>| {
        if let Some(name) = names.get(id) {
            *id = name.clone();
        }
    };
    for row in &mut tables.crossref {
        put(&mut row.product_id, products);
        put(&mut row.group_id, groups);
    }
    for row in &mut tables.review {
        put(&mut row.group_id, groups);
    }
    for row in &mut tables.products {
        put(&mut row.product_id, products);
        put(&mut row.group_id, groups);
    }
    for row in &mut tables.groups {
        put(&mut row.group_id, groups);
        let covered: Vec<&str> = row
            .covers_groups
            .split(';')
            .filter(|id| !id.is_empty())
            .map(|id| groups.get(id).map_or(id, CompactString::as_str))
            .collect();
        row.covers_groups = covered.join(";");
    }
}

/// The ledger after a night: offers of the tables as they are now, others as no longer listed. What was last listed
/// before `forget` is forgotten.
pub fn after(
    tables: &RunTables,
    before: Ledger,
    known: &[Option<usize>],
    mut events: Vec<IdEvent>,
    date: &str,
    forget: &str,
) -> Ledger {
    let mut earlier: Vec<Option<KnownOffer>> = before.offers.into_iter().map(Some).collect();
    let mut offers = Vec::with_capacity(tables.crossref.len());
    // in the order in which rows are paired, so that equals are known again as each other's next night too
    let mut order: Vec<usize> = (0..tables.crossref.len()).collect();
    order.sort_by(|a, b| row_order(&tables.crossref[*a], &tables.crossref[*b]));
    for at in order {
        let was = known[at].and_then(|known| earlier[known].take()).unwrap_or_default();
        offers.push(seen(&tables.crossref[at], was, date));
    }
    let gone = earlier
        .into_iter()
        .flatten()
        .filter(|offer| offer.last_seen.as_str() >= forget);
    offers.extend(gone.map(|offer| unseen(offer, date)));
    offers.sort_by(by_key);
    for event in &mut events {
        event.date = date.into();
    }
    let mut ids = before.ids;
    ids.retain(|event| event.date.as_str() >= forget);
    ids.extend(events);
    let replaces = tables.products.iter().filter(|row| !row.replaces.is_empty());
    Ledger {
        offers,
        groups: tables
            .groups
            .iter()
            .map(|row| {
                let known = KnownGroup {
                    name: row.name.clone(),
                    cheapest: row.cheapest_landed,
                    supplier: row.cheapest_supplier.clone(),
                };
                (row.group_id.clone(), known)
            })
            .collect(),
        replaces: replaces
            .map(|row| (row.product_id.clone(), row.replaces.clone()))
            .collect(),
        ids,
    }
}

fn seen(row: &CrossrefRow, was: KnownOffer, date: &str) -> KnownOffer {
    let mut prices = was.prices;
    let same = prices
        .last()
        .is_some_and(|point| point.listed && point.price == row.unit_price && point.currency == row.currency);
    if !same {
        add(
            &mut prices,
            PricePoint {
                since: date.into(),
                price: row.unit_price,
                currency: row.currency.clone(),
                listed: true,
            },
        );
    }
    KnownOffer {
        supplier: row.supplier.to_compact_string(),
        sku: row.supplier_sku.clone(),
        title: row.description.clone(),
        pack: row.pack_qty.unwrap_or(1),
        product: row.product_id.clone(),
        group: row.group_id.clone(),
        confidence: row.confidence,
        landed: row.landed_price,
        listed: true,
        last_seen: date.into(),
        prices,
    }
}

fn unseen(mut offer: KnownOffer, date: &str) -> KnownOffer {
    if offer.listed {
        offer.listed = false;
        add(
            &mut offer.prices,
            PricePoint {
                since: date.into(),
                price: None,
                currency: CompactString::default(),
                listed: false,
            },
        );
    }
    offer
}

/// One price a date: what a second run of the same date finds takes the place of what the first found.
fn add(prices: &mut Vec<PricePoint>, point: PricePoint) {
    if prices.last().is_some_and(|last| last.since == point.since) {
        prices.pop();
    }
    let says = |point: &PricePoint| (point.price, point.currency.clone(), point.listed);
    if prices.last().is_none_or(|last| says(last) != says(&point)) {
        prices.push(point);
    }
}

/// The rows of `prices` and `ids`.
pub fn rows(ledger: &Ledger) -> (Vec<PriceRow>, Vec<IdRow>) {
    let many = numbers_of_many(&ledger.offers);
    let mut prices = Vec::new();
    for offer in &ledger.offers {
        let supplier: std::sync::Arc<str> = offer.supplier.as_str().into();
        let told_apart = offer.sku.is_empty() || many.contains(&(offer.supplier.as_str(), offer.sku.as_str()));
        let wording = if told_apart {
            format!("{} x {}", offer.pack, offer.title).into()
        } else {
            CompactString::default()
        };
        prices.extend(offer.prices.iter().map(|point| PriceRow {
            supplier: supplier.clone(),
            supplier_sku: offer.sku.clone(),
            offer: wording.clone(),
            since: point.since.clone(),
            unit_price: point.price,
            currency: point.currency.clone(),
            state: if point.listed { "listed" } else { "gone" }.into(),
        }));
    }
    let ids = ledger.ids.iter().map(|event| IdRow {
        date: event.date.clone(),
        names: event.names.clone(),
        event: event.event.clone(),
        id: event.id.clone(),
        other_id: event.other_id.clone(),
        offers: event.offers,
        reason: event.reason.clone(),
    });
    (prices, ids.collect())
}

/// Numbers that stand on more than one offer.
fn numbers_of_many(offers: &[KnownOffer]) -> BTreeSet<(&str, &str)> {
    let pairs = offers
        .windows(2)
        .filter(|pair| pair[0].supplier == pair[1].supplier && pair[0].sku == pair[1].sku);
    pairs
        .map(|pair| (pair[0].supplier.as_str(), pair[0].sku.as_str()))
        .collect()
}
