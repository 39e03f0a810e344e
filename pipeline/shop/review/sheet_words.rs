//! The words of the review sheet: an offer, a group, a claim, and what would settle a question.

use super::names::{FORMULA_STARTS, TEXT_MARK};
use crate::fit::ledger::LedgerLine;
use crate::fit::scales::Field;
use crate::normalise::claim::Attribute;
use crate::publish::column::money;
use crate::publish::{CrossrefRow, GroupRow};
use crate::shop::crossref::SURE_ENOUGH;
use crate::shop::desk::delivered;

/// The claim behind a line of the ledger, as `wrong claim` takes it.
pub(super) fn claim_words(line: &LedgerLine) -> Option<String> {
    let attribute = match line.field {
        // one reading of the ledger holds all codes of a line
        Field::Code => return Some(Attribute::EngineCode.name().to_string()),
        Field::Displacement => Attribute::Displacement,
        Field::Power => Attribute::Power,
        Field::Circle => Attribute::BoltCircle,
        Field::Holes => Attribute::BoltHoles,
        Field::Thread => Attribute::Thread,
        Field::Pawls => Attribute::Pawls,
        _ => return None,
    };
    Some(format!("{} {}", attribute.name(), line.text))
}

/// This sheet is meant to be opened in a spreadsheet, so nothing a supplier wrote may begin like a formula.
pub(super) fn inert(text: String) -> String {
    if text.starts_with(FORMULA_STARTS) {
        format!("{TEXT_MARK}{text}")
    } else {
        text
    }
}

/// An offer as a person reads it: wording, maker, who sells it, price.
pub(super) fn offer_words(row: &CrossrefRow, home: &str) -> String {
    let made_by = [row.brand.as_str(), row.mpn.as_str()].join(" ");
    let mut words = vec![row.description.as_str(), made_by.trim()];
    let sold_by = format!("{} {}", row.supplier, row.supplier_sku);
    words.push(sold_by.trim());
    let price = match (row.unit_price, delivered(row)) {
        (Some(price), Some(landed)) => format!("{} {}, delivered {} {home}", money(price), row.currency, money(landed)),
        (Some(price), None) if row.currency.is_empty() => format!("{}, currency not known", money(price)),
        (Some(price), None) => format!("{} {}", money(price), row.currency),
        _ => "no price".into(),
    };
    words.push(price.trim());
    words.retain(|word| !word.is_empty());
    words.join("; ")
}

pub(super) fn group_words(group: &GroupRow) -> String {
    let cheapest = match group.cheapest_landed {
        Some(price) => format!(
            "cheapest sure offer {} {} delivered ({})",
            money(price),
            group.currency,
            group.cheapest_supplier
        ),
        None => format!("no offer at {SURE_ENOUGH} or more with a delivered price"),
    };
    format!("{}; {} offers; {cheapest}", group.name, group.offers)
}

/// What would settle whether two offers are one part.
pub(super) fn settle_pair(one: &CrossrefRow, two: &CrossrefRow) -> String {
    let unnumbered: Vec<&str> = [one, two]
        .into_iter()
        .filter(|row| row.mpn.is_empty() && row.gtin.is_empty())
        .map(|row| row.supplier.as_ref())
        .collect();
    match unnumbered.as_slice() {
        [] => "pictures of both, side by side: housing, pawls, holes; or both parts in the hand".into(),
        [one] => format!("ask {one} for the maker's number or the barcode on the bag"),
        [one, two, ..] if one == two => format!("ask {one} for the maker's numbers of both lines"),
        [one, two, ..] => format!("ask {one} and {two} for the maker's number or the barcode on the bag"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_the_sheet_begins_like_a_formula() {
        for hostile in ["=HYPERLINK(\"x\")", "+1", "-1", "@SUM(A1)", "\tx"] {
            assert!(inert(hostile.into()).starts_with('\''), "{hostile}");
        }
        assert_eq!(inert("north:A-1".into()), "north:A-1");
    }

    #[test]
    fn a_pair_with_a_number_on_one_side_is_settled_by_asking_the_other_supplier() {
        let numbered = CrossrefRow {
            supplier: "north".into(),
            mpn: "TV4471A".into(),
            ..CrossrefRow::default()
        };
        let bare = CrossrefRow {
            supplier: "south".into(),
            ..CrossrefRow::default()
        };
        assert!(settle_pair(&numbered, &bare).starts_with("ask south"));
        assert!(settle_pair(&numbered, &numbered).starts_with("pictures of both"));
        assert_eq!(
            settle_pair(&bare, &bare),
            "ask south for the maker's numbers of both lines"
        );
    }
}
