//! Offers as the page carries them: columns of so many offers to a block, evidence in blocks of its own.
//!
//! Names that many offers share (supplier, list, what is missing from a price, what to measure) stand
//! once in the overview and are carried as numbers. Every text is inert before it is packed. Evidence is
//! half of all text and read for a handful of offers, so it is inflated only when someone asks why.

use std::borrow::Cow;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use serde::Serialize;

use super::overview::Overview;
use crate::publish::column::money;
use crate::publish::tables::CrossrefRow;
use crate::publish::terminal::inert;

/// Offers in one block: large enough to pack well, small enough to inflate between two keystrokes.
pub const OFFERS_PER_BLOCK: usize = 2048;

/// One block of offers, column by column.
#[derive(Debug, Default, Serialize)]
pub struct Columns<'a> {
    supplier: Vec<usize>,
    number: Vec<Cow<'a, str>>,
    maker_number: Vec<Cow<'a, str>>,
    brand: Vec<Cow<'a, str>>,
    gtin: Vec<&'a str>,
    wording: Vec<Cow<'a, str>>,
    product: Vec<Cow<'a, str>>,
    /// List price of one piece with its currency; empty when there is none.
    list_price: Vec<String>,
    /// Hundredths of the home currency, delivered; none when it is not known.
    delivered: Vec<Option<i64>>,
    note: Vec<usize>,
    /// Ten-thousandths.
    confidence: Vec<u16>,
    measure: Vec<usize>,
    pack: Vec<u32>,
    list: Vec<usize>,
    line: Vec<u32>,
}

/// The columns of some offers.
pub fn columns<'a>(offers: &[&'a CrossrefRow], overview: &Overview<'_>) -> Columns<'a> {
    let mut columns = Columns::default();
    for offer in offers {
        columns.supplier.push(overview.supplier(offer));
        columns.number.push(inert(&offer.supplier_sku));
        columns.maker_number.push(inert(&offer.mpn));
        columns.brand.push(inert(&offer.brand));
        columns.gtin.push(&offer.gtin);
        columns.wording.push(inert(&offer.description));
        columns.product.push(inert(&offer.product_id));
        columns.list_price.push(list_price(offer));
        columns.delivered.push(offer.landed_price.and_then(hundredths));
        columns.note.push(overview.note(offer));
        columns
            .confidence
            .push((offer.confidence.clamp(0.0, 1.0) * 1e4).floor() as u16);
        columns.measure.push(overview.measure(offer));
        columns.pack.push(offer.pack_qty.unwrap_or(1));
        columns.list.push(overview.list(offer));
        columns.line.push(offer.source_line);
    }
    columns
}

/// What speaks for and against each of some offers, as published.
pub fn evidence<'a>(offers: &[&'a CrossrefRow]) -> Vec<Cow<'a, str>> {
    offers.iter().map(|offer| inert(&offer.evidence)).collect()
}

/// The list price of one piece with its currency, or nothing.
fn list_price(offer: &CrossrefRow) -> String {
    offer
        .unit_price
        .map(|price| format!("{} {}", money(price), inert(&offer.currency)))
        .unwrap_or_default()
}

/// An amount in hundredths, as it is shown.
pub fn hundredths(amount: Decimal) -> Option<i64> {
    (amount.round_dp(2) * Decimal::ONE_HUNDRED).to_i64()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_carried_as_they_are_shown() {
        let amount = |text: &str| hundredths(text.parse().unwrap());
        assert_eq!(amount("2.9049"), Some(290));
        assert_eq!(amount("14.9"), Some(1490));
        assert_eq!(amount("0.005"), Some(0), "half to even, as everywhere");
    }

    #[test]
    fn a_confidence_short_of_certain_never_reads_as_certain() {
        let offer = CrossrefRow {
            confidence: 0.999_99,
            ..CrossrefRow::default()
        };
        let overview = Overview::of(&[], &[&offer], "EUR");
        assert_eq!(columns(&[&offer], &overview).confidence, [9999]);
    }
}
