//! The index of numbers: every number by which a part may be asked for, in the form in which all its spellings are the
//! same, sorted by where it stands and by that form.
//!
//! A number is looked up by reading the few parts of the file that its sorted place lies in, and not by putting every
//! number of a million offers into its canonical form again; the nearest numbers are looked for among those of suppliers
//! and makers alone. The index holds nothing that the tables do not say: it is
//! made of them while they are written.

use super::tables::{CrossrefRow, NumberRow, ProductRow};
use crate::trade::identifier::canonical_number;
use crate::trade::part_number::looks_like_part_number;
use rayon::prelude::*;

/// A number of a supplier or maker, or a barcode.
pub const NUMBER: &str = "number";
/// A number that a product replaces.
pub const REPLACED: &str = "replaced";
/// A number in a supplier's wording.
pub const WORDING: &str = "wording";

/// Fewest digits of a word that is looked at as a number.
const FEWEST_DIGITS: usize = 3;

/// The index over finished tables.
pub fn number_index(crossref: &[&CrossrefRow], products: &[&ProductRow]) -> Vec<NumberRow> {
    let mut rows: Vec<NumberRow> = crossref
        .par_iter()
        .flat_map_iter(|row| of_offer(row))
        .chain(products.par_iter().flat_map_iter(|row| of_product(row)))
        .collect();
    rows.par_sort_unstable_by(|x, y| key(x).cmp(&key(y)));
    rows.dedup();
    rows
}

fn key(row: &NumberRow) -> [&str; 5] {
    [&row.place, &row.canonical, &row.number, &row.group_id, &row.product_id]
}

fn of_offer(row: &CrossrefRow) -> impl Iterator<Item = NumberRow> {
    let numbers = [&row.supplier_sku, &row.mpn, &row.gtin].map(|number| (NUMBER, number.as_str()));
    let words = row
        .description
        .split_whitespace()
        .filter(|word| word.bytes().filter(u8::is_ascii_digit).count() >= FEWEST_DIGITS)
        .map(|word| word.trim_matches(|sign: char| !sign.is_alphanumeric()))
        .filter(|word| looks_like_part_number(word))
        .map(|word| (WORDING, word));
    numbers
        .into_iter()
        .chain(words)
        .filter_map(|(place, number)| entry(place, number, &row.group_id, &row.product_id))
}

fn of_product(row: &ProductRow) -> impl Iterator<Item = NumberRow> {
    // an offer's row shows one of its maker's numbers, the product has them all
    let makers = row.mpns.split(';').map(|number| (NUMBER, number));
    let replaced = row.replaces.split(';').map(|number| (REPLACED, number));
    makers
        .chain(replaced)
        .filter_map(|(place, number)| entry(place, number, &row.group_id, &row.product_id))
}

fn entry(place: &str, number: &str, group_id: &str, product_id: &str) -> Option<NumberRow> {
    let canonical = canonical_number(number);
    (!canonical.is_empty()).then(|| NumberRow {
        canonical,
        number: number.into(),
        place: place.into(),
        group_id: group_id.into(),
        product_id: product_id.into(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_stands_once_for_each_place_and_product_whatever_its_spelling() {
        let offer = |sku: &str, mpn: &str| CrossrefRow {
            supplier_sku: sku.into(),
            mpn: mpn.into(),
            product_id: "P-1".into(),
            description: "Starter 168F repl. (TV-48300-1), 196cc".into(),
            ..CrossrefRow::default()
        };
        let product = ProductRow {
            product_id: "P-1".into(),
            mpns: "SF-284;SF-284-B".into(),
            replaces: "OLD-77;OLD-77".into(),
            ..ProductRow::default()
        };
        let (one, two) = (offer("A-1", "SF-284"), offer("A-2", "SF-284"));
        let index = number_index(&[&one, &two], &[&product]);
        let shown: Vec<[&str; 3]> = index
            .iter()
            .map(|row| [&*row.place, &*row.canonical, &*row.number])
            .collect();
        let canonical = |number: &str| canonical_number(number).to_string();
        assert_eq!(shown.len(), 6, "{shown:?}");
        assert!(shown.is_sorted());
        for (number, place) in [
            ("A-1", NUMBER),
            ("SF-284", NUMBER),
            ("SF-284-B", NUMBER),
            ("OLD-77", REPLACED),
            ("TV-48300-1", WORDING),
        ] {
            assert!(shown.contains(&[place, &canonical(number), number]), "{number}");
        }
    }
}
