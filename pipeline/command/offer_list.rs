//! A list of offers on a page: a table to compare by, then each offer with its wording, why, what it costs part by part,
//! and what to measure.

use super::cost_words::{cents, cost_words};
use super::page::{Page, Side, Style, cut};
use crate::publish::CrossrefRow;
use crate::shop::answer::OfferList;
use crate::shop::shelf::{Counter, Offered};
use crate::shop::why;

/// Evidence items shown per offer and side.
const REASONS: usize = 3;
/// Columns of the table that are not texts of the supplier, with the blanks between.
const FIGURES: usize = 46;
/// Fewest and most columns of a text in the table.
const TEXTS: std::ops::RangeInclusive<usize> = 10..=24;

/// How a list is to be written.
#[derive(Clone, Copy)]
pub struct Listing<'a> {
    /// most offers
    pub limit: usize,
    /// the terms of the run
    pub counter: &'a Counter,
    /// pieces asked for
    pub quantity: u32,
    /// how the details are shown
    pub style: Style,
}

/// Writes a list under its heading, nothing when it is empty.
pub fn write_offers(page: &mut Page, heading: &str, list: &OfferList, listing: Listing<'_>) {
    if list.in_all == 0 {
        return;
    }
    page.gap();
    let shown: Vec<&Offered> = list.shown.iter().take(listing.limit).collect();
    page.style(Style::Heading)
        .sentence(0, &format!("{heading} ({} of {}):", shown.len(), list.in_all));
    page.style(Style::Plain);
    let delivered = match listing.quantity {
        1 => "delivered".to_string(),
        pieces => format!("{pieces} delivered"),
    };
    let headings = [
        ("#", Side::Right),
        (delivered.as_str(), Side::Right),
        ("sure", Side::Right),
        ("stock", Side::Right),
        ("days", Side::Right),
        ("supplier", Side::Left),
        ("its number", Side::Left),
        ("maker's number", Side::Left),
    ];
    let width = (page.width().saturating_sub(FIGURES) / 3).clamp(*TEXTS.start(), *TEXTS.end());
    let home = listing.counter.rates.home.as_str();
    let cells: Vec<Vec<String>> = shown
        .iter()
        .enumerate()
        .map(|(at, offered)| cells(at, offered, home, width))
        .collect();
    page.table(1, &headings, &cells);
    page.gap();
    for (at, offered) in shown.iter().enumerate() {
        detail(page, at + 1, &offered.row, listing);
    }
}

fn cells(at: usize, offered: &Offered, home: &str, width: usize) -> Vec<String> {
    let row = &offered.row;
    let number = if row.supplier_sku.is_empty() {
        format!("(line {})", row.source_line)
    } else {
        cut(&row.supplier_sku, width)
    };
    vec![
        (at + 1).to_string(),
        price(offered, home),
        format!("{:.2}", row.confidence),
        row.stock.to_string(),
        row.lead_time_days.map_or(String::new(), |days| days.to_string()),
        cut(&row.supplier, width),
        number,
        cut(&row.mpn, width),
    ]
}

fn detail(page: &mut Page, number: usize, row: &CrossrefRow, listing: Listing<'_>) {
    page.style(Style::Plain)
        .item(1, &format!("{number}."), &row.description);
    let reasons = why::in_short(&row.evidence, REASONS);
    if !reasons.is_empty() {
        page.style(Style::Quiet).sentence(4, &format!("why: {reasons}"));
    }
    if !row.measure_first.is_empty() {
        page.style(listing.style)
            .sentence(4, &format!("measure first: {}", row.measure_first));
    }
    let cost = listing.counter.cost(row, listing.quantity);
    if let Some(cost) = &cost {
        let words = cost_words(cost, &row.currency, &listing.counter.rates);
        page.style(Style::Quiet).sentence(4, &format!("price: {words}"));
    }
    let missing: Vec<&str> = match &cost {
        Some(cost) => cost.missing.iter().map(|what| what.as_str()).collect(),
        None if row.landed_note.is_empty() => Vec::new(),
        None => vec![row.landed_note.as_str()],
    };
    if !missing.is_empty() {
        page.style(Style::Quiet)
            .sentence(4, &format!("not in the price: {}", missing.join("; ")));
    }
    page.style(Style::Plain);
}

/// `9.12 EUR` delivered, or the unit price where no delivered price is known.
pub fn price(offered: &Offered, home: &str) -> String {
    let row = &offered.row;
    match (offered.delivered, row.unit_price.filter(|price| !price.is_zero())) {
        (Some(landed), _) => format!("{} {home}", cents(landed)),
        (None, Some(unit)) => {
            let currency = if row.currency.is_empty() { "?" } else { &row.currency };
            format!("unit {} {currency}", cents(unit))
        }
        (None, None) => "no price".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn offered(landed: Option<&str>, unit: Option<&str>) -> Offered {
        Offered {
            delivered: landed.and_then(|price| price.parse().ok()),
            row: CrossrefRow {
                unit_price: unit.and_then(|price| price.parse().ok()),
                currency: "USD".into(),
                source_line: 44,
                ..CrossrefRow::default()
            },
        }
    }

    #[test]
    fn a_price_that_is_not_delivered_says_so() {
        assert_eq!(price(&offered(Some("9.125"), Some("8")), "EUR"), "9.12 EUR");
        assert_eq!(price(&offered(None, Some("8")), "EUR"), "unit 8.00 USD");
        assert_eq!(price(&offered(None, Some("0")), "EUR"), "no price");
    }

    #[test]
    fn an_offer_without_a_number_is_named_by_its_line() {
        assert_eq!(cells(0, &offered(None, None), "EUR", 16)[6], "(line 44)");
    }
}
