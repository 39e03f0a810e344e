//! A list of offers on a page: a table to compare by, then each offer with its wording, why, and what to measure.

use super::page::{Page, Side, cut};
use crate::publish::column::money;
use crate::publish::{CrossrefRow, GroupRow};
use crate::shop::find::delivered;
use crate::shop::why;

/// Evidence items shown per offer and side.
const REASONS: usize = 3;

/// Writes a list under its heading, nothing when it is empty.
pub fn write_offers(page: &mut Page, heading: &str, rows: &[&CrossrefRow], limit: usize, home: &str) {
    if rows.is_empty() {
        return;
    }
    page.gap();
    let shown = rows.len().min(limit);
    page.sentence(0, &format!("{heading} ({shown} of {}):", rows.len()));
    let headings = [
        ("#", Side::Right),
        ("delivered", Side::Right),
        ("sure", Side::Right),
        ("supplier", Side::Left),
        ("its number", Side::Left),
        ("maker's number", Side::Left),
    ];
    let cells: Vec<Vec<String>> = rows
        .iter()
        .take(limit)
        .enumerate()
        .map(|(at, row)| cells(at, row, home))
        .collect();
    page.table(1, &headings, &cells);
    page.gap();
    for (at, row) in rows.iter().take(limit).enumerate() {
        detail(page, at + 1, row);
    }
}

fn cells(at: usize, row: &CrossrefRow, home: &str) -> Vec<String> {
    let number = if row.supplier_sku.is_empty() {
        format!("(line {})", row.source_line)
    } else {
        cut(&row.supplier_sku, 16)
    };
    vec![
        (at + 1).to_string(),
        price(row, home),
        format!("{:.2}", row.confidence),
        cut(&row.supplier, 20),
        number,
        cut(&row.mpn, 16),
    ]
}

fn detail(page: &mut Page, number: usize, row: &CrossrefRow) {
    page.item(1, &format!("{number}."), &row.description);
    let reasons = why::in_short(&row.evidence, REASONS);
    if !reasons.is_empty() {
        page.sentence(4, &format!("why: {reasons}"));
    }
    if !row.measure_first.is_empty() {
        page.sentence(4, &format!("measure first: {}", row.measure_first));
    }
    if !row.landed_note.is_empty() {
        page.sentence(4, &format!("price note: {}", row.landed_note));
    }
}

/// `9.12 EUR` delivered, or the unit price where no delivered price is known.
pub fn price(row: &CrossrefRow, home: &str) -> String {
    match (delivered(row), row.unit_price.filter(|price| !price.is_zero())) {
        (Some(landed), _) => format!("{} {home}", money(landed.round_dp(2))),
        (None, Some(unit)) => {
            let currency = if row.currency.is_empty() { "?" } else { &row.currency };
            format!("unit {} {currency}", money(unit.round_dp(2)))
        }
        (None, None) => "no price".into(),
    }
}

/// The currency of delivered prices.
pub fn home_currency(groups: &[GroupRow]) -> &str {
    groups.first().map_or("", |group| group.currency.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(landed: Option<&str>, unit: Option<&str>) -> CrossrefRow {
        CrossrefRow {
            landed_price: landed.and_then(|price| price.parse().ok()),
            unit_price: unit.and_then(|price| price.parse().ok()),
            currency: "USD".into(),
            ..CrossrefRow::default()
        }
    }

    #[test]
    fn a_price_that_is_not_delivered_says_so() {
        assert_eq!(price(&row(Some("9.125"), Some("8")), "EUR"), "9.12 EUR");
        assert_eq!(price(&row(None, Some("8")), "EUR"), "unit 8.00 USD");
        assert_eq!(price(&row(Some("0"), Some("0")), "EUR"), "no price");
    }

    #[test]
    fn an_offer_without_a_number_is_named_by_its_line() {
        let row = CrossrefRow {
            source_line: 44,
            ..CrossrefRow::default()
        };
        assert_eq!(cells(0, &row, "EUR")[4], "(line 44)");
    }
}
