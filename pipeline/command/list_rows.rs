//! The rows that say what became of each list: `suppliers.csv`, `rejects.csv` and `set-aside.csv`.

use crate::fit::FitGroups;
use crate::fit::record::{Tally, track_records};
use crate::intake::{Delimiter, ListHead};
use crate::link::Products;
use crate::normalise::list_read::{Gathered, ListRead};
use crate::normalise::offer::Offer;
use crate::publish::{RejectRow, RunTables, SupplierRow};
use crate::shop::crossref::{self, Stages};
use crate::shop::terms::SupplierTerms;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Adds the rows of every list, and of the files that failed, to the tables.
pub fn add_lists(tables: &mut RunTables, gathered: &Gathered, stages: Stages<'_>) {
    let records = stages
        .fit
        .map(|fit| list_records(gathered, stages.offers, stages.products, fit));
    let mut offers_of: BTreeMap<&Arc<str>, u64> = BTreeMap::new();
    for offer in stages.offers {
        *offers_of.entry(&offer.file).or_default() += 1;
    }
    for (number, list) in gathered.lists.iter().enumerate() {
        let shown: Arc<str> = list.head.shown().into();
        let offers = offers_of.get(&shown).copied().unwrap_or(0);
        tables
            .suppliers
            .push(supplier_row(list, offers, records.as_ref().map(|r| r[number])));
        tables.set_aside.extend(
            list.set_aside
                .iter()
                .map(|aside| crossref::set_aside_row(aside, list.head.profile.as_deref(), stages.rates)),
        );
        tables.rejects.extend(list.rejects.iter().map(|r| RejectRow {
            file: shown.clone(),
            line: Some(r.line),
            column: r.column,
            code: r.problem.code().into(),
            message: r.message.clone(),
            hint: r.hint.clone(),
            raw: r.raw.clone(),
        }));
    }
    for failure in &gathered.failures {
        tables.rejects.push(RejectRow {
            file: failure.file.clone(),
            line: None,
            column: None,
            code: failure.problem.code().into(),
            message: failure.message.clone(),
            hint: failure.hint.clone(),
            raw: String::new(),
        });
    }
}

/// Track record of each list, all attributes together.
fn list_records(gathered: &Gathered, offers: &[Offer], products: &Products, fit: &FitGroups) -> Vec<Tally> {
    let number_of: BTreeMap<String, u32> = gathered
        .lists
        .iter()
        .enumerate()
        .map(|(n, l)| (l.head.shown(), n as u32))
        .collect();
    let list_of: Vec<u32> = offers
        .iter()
        .map(|o| number_of.get(o.file.as_ref()).copied().unwrap_or(0))
        .collect();
    track_records(fit, products, &list_of, gathered.lists.len())
        .iter()
        .map(|fields| {
            fields.iter().fold(Tally::default(), |sum, t| Tally {
                checked: sum.checked + t.checked,
                contradicted: sum.contradicted + t.contradicted,
            })
        })
        .collect()
}

fn supplier_row(list: &ListRead, offers: u64, record: Option<Tally>) -> SupplierRow {
    let layout = &list.account.layout;
    let share = record.and_then(Tally::share);
    let mut notes: Vec<&str> = list
        .head
        .notes
        .iter()
        .chain(&list.account.notes)
        .map(|n| n.message.as_str())
        .collect();
    notes.dedup();
    let terms = SupplierTerms::of_profile(list.head.profile.as_deref());
    let shipping = terms.shipping;
    SupplierRow {
        supplier: list.head.supplier.clone(),
        file: list.head.file.clone(),
        sheet: list.head.sheet.clone().unwrap_or_default().into(),
        encoding: list.head.encoding.label.into(),
        dialect: dialect_words(&list.head).into(),
        profile: list
            .head
            .profile
            .as_ref()
            .map(|p| p.supplier.as_str().into())
            .unwrap_or_default(),
        read: list.account.read,
        offers,
        set_aside: list.set_aside.len() as u64,
        rejected: list.rejects.len() as u64,
        layout_preamble: layout.preamble,
        layout_header: layout.header,
        layout_repeated_header: layout.repeated_header,
        layout_units: layout.units,
        layout_section: layout.section,
        layout_total: layout.total,
        layout_footnote: layout.footnote,
        layout_blank: layout.blank,
        repaired: list.account.repaired,
        checked_claims: record.map_or(0, |t| u64::from(t.checked)),
        contradicted_claims: record.map_or(0, |t| u64::from(t.contradicted)),
        track_record_low: share.map(|s| 1.0 - s.2),
        track_record_high: share.map(|s| 1.0 - s.0),
        notes: notes.join("; "),
        country: terms.country,
        shipping_flat: shipping.as_ref().map(|shipping| shipping.flat),
        shipping_per_kg: shipping.as_ref().and_then(|shipping| shipping.per_kg),
        shipping_free_above: shipping.as_ref().and_then(|shipping| shipping.free_above),
        shipping_currency: shipping.map(|shipping| shipping.currency).unwrap_or_default(),
        tax_rate: terms.tax_rate,
    }
}

fn dialect_words(head: &ListHead) -> String {
    let delimiter = match head.dialect.delimiter {
        Delimiter::Byte(b'\t') => "tab".to_string(),
        Delimiter::Byte(b' ') => "space".to_string(),
        Delimiter::Byte(b) => char::from(b).to_string(),
        Delimiter::ByteAndSpace(b) => format!("{} and space", char::from(b)),
        Delimiter::Columns(_) => return "columns aligned by spaces".to_string(),
        Delimiter::None => "one column".to_string(),
        Delimiter::Workbook => return "workbook".to_string(),
    };
    match head.dialect.quote {
        Some(q) => format!("{delimiter} quoted by {}", char::from(q)),
        None => format!("{delimiter} unquoted"),
    }
}
