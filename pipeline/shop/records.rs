//! Suppliers' track records by attribute, as rows: how many claims the rest could check, how many it contradicts.

use crate::fit::FitGroups;
use crate::fit::record::{Tally, track_records};
use crate::fit::scales::ALL;
use crate::link::Products;
use crate::normalise::offer::Offer;
use crate::publish::TrackRecordRow;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The row that sums all attributes of a supplier.
const ALL_TOGETHER: &str = "all";

/// A row per supplier for all attributes together, and one for each attribute of which something could be checked.
pub fn record_rows(offers: &[Offer], products: &Products, fit: &FitGroups) -> Vec<TrackRecordRow> {
    let mut number_of: BTreeMap<&Arc<str>, u32> = offers.iter().map(|offer| (&offer.supplier, 0)).collect();
    for (number, slot) in (0u32..).zip(number_of.values_mut()) {
        *slot = number;
    }
    let supplier_of: Vec<u32> = offers.iter().map(|offer| number_of[&offer.supplier]).collect();
    let records = track_records(fit, products, &supplier_of, number_of.len());
    let mut rows = Vec::new();
    for (supplier, fields) in number_of.keys().zip(&records) {
        let all = fields.iter().fold(Tally::default(), |sum, tally| Tally {
            checked: sum.checked + tally.checked,
            contradicted: sum.contradicted + tally.contradicted,
        });
        rows.push(row(supplier, ALL_TOGETHER, all));
        let checked = ALL.iter().zip(fields).filter(|(_, tally)| tally.checked > 0);
        rows.extend(checked.map(|(field, tally)| row(supplier, field.name(), *tally)));
    }
    rows
}

fn row(supplier: &Arc<str>, attribute: &str, tally: Tally) -> TrackRecordRow {
    let share = tally.share();
    TrackRecordRow {
        supplier: supplier.clone(),
        attribute: attribute.into(),
        checked: u64::from(tally.checked),
        contradicted: u64::from(tally.contradicted),
        share_low: share.map(|share| share.0),
        share: share.map(|share| share.1),
        share_high: share.map(|share| share.2),
    }
}
