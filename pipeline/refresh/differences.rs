//! What changed since the run before, for someone who has a minute.
//!
//! A change is *worth* something when the cheapest delivered price of a fit group moved because of it: saved a piece
//! (above zero) or lost a piece (below). Everything else is told without a worth, and stands after. The table is
//! complete; [`summary`] is what is said of it in a few lines.
//!
//! The first run tells nothing: all of it would be new.

use std::collections::BTreeMap;

use compact_str::{CompactString, ToCompactString, format_compact};
use rust_decimal::Decimal;

use super::state::{KnownOffer, Ledger, PricePoint};
use crate::publish::column::money;
use crate::publish::{ChangeRow, CrossrefRow, GroupRow, RunTables};

/// The kinds of change, as the table calls them, in the order of a summary.
pub const KINDS: [&str; 10] = [
    "held",
    "accepted",
    "repriced",
    "new",
    "gone",
    "back",
    "moved",
    "surer",
    "less-sure",
    "superseded",
];

/// What tonight is compared with.
#[derive(Clone, Copy)]
pub struct Compared<'a> {
    /// Tonight's tables, under ids that last.
    pub tables: &'a RunTables,
    /// The ledger before.
    pub before: &'a Ledger,
    /// For every row of the cross-reference the known offer it is.
    pub known: &'a [Option<usize>],
    /// Confidence whose crossing is told.
    pub sure: f64,
}

/// Every change of offers and products.
pub fn changes(compared: Compared<'_>) -> Vec<ChangeRow> {
    let groups: BTreeMap<&str, &GroupRow> = compared
        .tables
        .groups
        .iter()
        .map(|row| (row.group_id.as_str(), row))
        .collect();
    let mut told = Vec::new();
    let mut met = vec![false; compared.before.offers.len()];
    for (row, known) in compared.tables.crossref.iter().zip(compared.known) {
        let known = known.map(|known| {
            met[known] = true;
            &compared.before.offers[known]
        });
        of_row(row, known, compared, &groups, &mut told);
    }
    for (offer, met) in compared.before.offers.iter().zip(met) {
        if offer.listed && !met {
            told.push(gone(offer, compared.before, &groups));
        }
    }
    told.extend(superseded(compared));
    told
}

fn of_row(
    row: &CrossrefRow,
    known: Option<&KnownOffer>,
    compared: Compared<'_>,
    groups: &BTreeMap<&str, &GroupRow>,
    told: &mut Vec<ChangeRow>,
) {
    let group = groups.get(row.group_id.as_str()).copied();
    let cheapest = Cheapest::of(&row.group_id, compared.before, group);
    let change = |change: &str, before: CompactString, after: CompactString, words: String| ChangeRow {
        change: change.into(),
        supplier: row.supplier.clone(),
        supplier_sku: row.supplier_sku.clone(),
        group_id: row.group_id.clone(),
        product_id: row.product_id.clone(),
        description: row.description.clone(),
        before,
        after,
        worth: None,
        words,
    };
    let price = price_words(row.unit_price, &row.currency);
    let Some(known) = known.filter(|known| known.listed) else {
        let (kind, words) = match known {
            None => ("new", format!("new at {price}")),
            Some(known) => ("back", format!("back at {price}, gone since {}", since(known))),
        };
        let mut told_of = change(kind, CompactString::default(), price.as_str().into(), words);
        told_of.worth = cheapest.saved_by(row.landed_price);
        cheapest.add_words(&mut told_of);
        told.push(told_of);
        return;
    };
    if let Some(old) = known.price()
        && (old.price, &old.currency) != (row.unit_price, &row.currency)
    {
        let was = price_words(old.price, &old.currency);
        let words = format!("{was} -> {price}{}", in_percent(old, row));
        let mut told_of = change("repriced", was.as_str().into(), price.as_str().into(), words);
        told_of.worth = cheapest.moved_by(known.landed, row.landed_price);
        cheapest.add_words(&mut told_of);
        told.push(told_of);
    }
    if known.group != row.group_id {
        let words = format!("moved from group {} to {}", known.group, row.group_id);
        told.push(change("moved", known.group.clone(), row.group_id.clone(), words));
    }
    let (was, is) = (known.confidence, row.confidence);
    if (was >= compared.sure) != (is >= compared.sure) {
        let kind = if is > was { "surer" } else { "less-sure" };
        let words = format!("confidence {was:.2} -> {is:.2}, past {}", compared.sure);
        told.push(change(
            kind,
            format_compact!("{was:.4}"),
            format_compact!("{is:.4}"),
            words,
        ));
    }
}

fn gone(offer: &KnownOffer, before: &Ledger, groups: &BTreeMap<&str, &GroupRow>) -> ChangeRow {
    let cheapest = Cheapest::of(&offer.group, before, groups.get(offer.group.as_str()).copied());
    let last = offer
        .price()
        .map_or_else(String::new, |point| price_words(point.price, &point.currency));
    let mut told = ChangeRow {
        change: "gone".into(),
        supplier: offer.supplier.as_str().into(),
        supplier_sku: offer.sku.clone(),
        group_id: offer.group.clone(),
        product_id: offer.product.clone(),
        description: offer.title.clone(),
        before: last.as_str().into(),
        after: CompactString::default(),
        worth: cheapest.lost_with(offer.landed),
        words: format!("no longer listed, was {last}"),
    };
    cheapest.add_words(&mut told);
    told
}

fn superseded(compared: Compared<'_>) -> Vec<ChangeRow> {
    let products = compared.tables.products.iter().filter(|row| !row.replaces.is_empty());
    let first_run = compared.before.offers.is_empty();
    products
        .filter(|_| !first_run)
        .filter_map(|row| {
            let was = compared.before.replaces.get(&row.product_id).map_or("", String::as_str);
            let added: Vec<&str> = row
                .replaces
                .split(';')
                .filter(|number| !was.split(';').any(|old| old == *number))
                .collect();
            (!added.is_empty()).then(|| ChangeRow {
                change: "superseded".into(),
                group_id: row.group_id.clone(),
                product_id: row.product_id.clone(),
                description: row.name.clone(),
                before: was.into(),
                after: row.replaces.to_compact_string(),
                words: format!("{} is said to replace {}", row.product_id, added.join(", ")),
                ..ChangeRow::default()
            })
        })
        .collect()
}

/// The cheapest delivered price of a group, before and now.
struct Cheapest<'a> {
    group: &'a str,
    before: Option<Decimal>,
    now: Option<Decimal>,
}

impl<'a> Cheapest<'a> {
    fn of(id: &'a str, before: &Ledger, now: Option<&GroupRow>) -> Cheapest<'a> {
        Cheapest {
            group: id,
            before: before.groups.get(id).and_then(|group| group.cheapest),
            now: now.and_then(|row| row.cheapest_landed),
        }
    }

    /// What is saved when this price is the one that now leads.
    fn saved_by(&self, landed: Option<Decimal>) -> Option<Decimal> {
        let (before, now) = (self.before?, self.now?);
        (landed == Some(now) && now != before).then(|| before - now)
    }

    /// What is lost when this price led and is no more.
    fn lost_with(&self, landed: Option<Decimal>) -> Option<Decimal> {
        let (before, now) = (self.before?, self.now?);
        (landed == Some(before) && now != before).then(|| before - now)
    }

    /// What is saved or lost when a price that led, or now leads, moved.
    fn moved_by(&self, was: Option<Decimal>, is: Option<Decimal>) -> Option<Decimal> {
        self.saved_by(is).or_else(|| self.lost_with(was))
    }

    fn add_words(&self, told: &mut ChangeRow) {
        if let (Some(before), Some(now), Some(_)) = (self.before, self.now, told.worth) {
            let words = format!("; cheapest of {}: {} -> {}", self.group, money(before), money(now));
            told.words.push_str(&words);
        }
    }
}

fn price_words(price: Option<Decimal>, currency: &str) -> String {
    match price {
        Some(price) => format!("{} {currency}", money(price)).trim_end().to_owned(),
        None => "no price".to_owned(),
    }
}

fn in_percent(old: &PricePoint, row: &CrossrefRow) -> String {
    let ratio = match (old.price, row.unit_price) {
        (Some(old_price), Some(new)) if old.currency == row.currency => new.checked_div(old_price),
        _ => None,
    };
    ratio.map_or_else(String::new, |ratio| {
        format!(" ({:+.1} %)", (ratio - Decimal::ONE) * Decimal::ONE_HUNDRED)
    })
}

fn since(offer: &KnownOffer) -> &str {
    offer.price().map_or("", |point| &point.since)
}

/// How many changes of each kind, in words.
pub fn counted(changes: &[ChangeRow]) -> String {
    let counts = KINDS
        .iter()
        .map(|kind| (kind, changes.iter().filter(|row| row.change == *kind).count()))
        .filter(|(_, count)| *count > 0)
        .map(|(kind, count)| format!("{count} {kind}"));
    let counts: Vec<String> = counts.collect();
    if counts.is_empty() {
        "no change".to_owned()
    } else {
        counts.join(", ")
    }
}
