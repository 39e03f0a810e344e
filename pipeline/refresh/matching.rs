//! Tonight's offers beside those known: which is which.
//!
//! An offer is known again by its supplier and the supplier's number, whatever its wording and price do. Where a number
//! stands on several lines, or on none, wording, pack and price tell them apart, in this order; what is left over of one
//! number is paired in order. Offers without a number are never paired by less than wording and pack. The work grows
//! with the lines, also where one number stands on all of them.

use std::cmp::Ordering;

use rust_decimal::Decimal;

use super::state::KnownOffer;
use crate::publish::CrossrefRow;

/// For every row the known offer it is, by index. `known` must stand in the order of [`by_key`].
pub fn matched(rows: &[CrossrefRow], known: &[KnownOffer]) -> Vec<Option<usize>> {
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by(|a, b| row_order(&rows[*a], &rows[*b]));
    let mut found = vec![None; rows.len()];
    let mut at = 0;
    for same in order.chunk_by(|a, b| number(&rows[*a]) == number(&rows[*b])) {
        let wanted = number(&rows[same[0]]);
        while at < known.len() && known_number(&known[at]) < wanted {
            at += 1;
        }
        let start = at;
        while at < known.len() && known_number(&known[at]) == wanted {
            at += 1;
        }
        pair(rows, same, known, start..at, &mut found);
    }
    found
}

/// The order in which the known offers are kept; equals stay in the order of [`row_order`].
pub fn by_key(a: &KnownOffer, b: &KnownOffer) -> Ordering {
    known_number(a)
        .cmp(&known_number(b))
        .then_with(|| known_traits(a).cmp(&known_traits(b)))
}

/// The order in which rows are paired with them.
pub fn row_order(a: &CrossrefRow, b: &CrossrefRow) -> Ordering {
    number(a)
        .cmp(&number(b))
        .then_with(|| traits(a).cmp(&traits(b)))
        .then_with(|| a.source_file.cmp(&b.source_file))
        .then_with(|| a.source_line.cmp(&b.source_line))
}

/// What tells offers of one number apart, what counts most first.
type Traits<'a> = (&'a str, u32, Option<Decimal>);

fn traits(row: &CrossrefRow) -> Traits<'_> {
    (&row.description, row.pack_qty.unwrap_or(1), row.unit_price)
}

fn known_traits(offer: &KnownOffer) -> Traits<'_> {
    (&offer.title, offer.pack, offer.price().and_then(|point| point.price))
}

fn number(row: &CrossrefRow) -> (&str, &str) {
    (&row.supplier, &row.supplier_sku)
}

fn known_number(offer: &KnownOffer) -> (&str, &str) {
    (&offer.supplier, &offer.sku)
}

/// Pairs the rows of one number with the known offers of it, the most alike first. Both stand in the order of their
/// traits, and each step asks for fewer of them, so that every step is one walk along both.
fn pair(
    rows: &[CrossrefRow],
    same: &[usize],
    known: &[KnownOffer],
    of_number: std::ops::Range<usize>,
    found: &mut [Option<usize>],
) {
    let has_number = !number(&rows[same[0]]).1.is_empty();
    let fewest = if has_number { 0 } else { 2 };
    let mut left: Vec<usize> = same.to_vec();
    let mut free: Vec<usize> = of_number.collect();
    for asked in (fewest..=3).rev() {
        let mut paired = Vec::new();
        let (mut row, mut place) = (0, 0);
        while row < left.len() && place < free.len() {
            match alike(traits(&rows[left[row]]), known_traits(&known[free[place]]), asked) {
                Ordering::Less => row += 1,
                Ordering::Greater => place += 1,
                Ordering::Equal => {
                    found[left[row]] = Some(free[place]);
                    paired.push(place);
                    row += 1;
                    place += 1;
                }
            }
        }
        left.retain(|row| found[*row].is_none());
        for place in paired.into_iter().rev() {
            free[place] = usize::MAX;
        }
        free.retain(|place| *place != usize::MAX);
    }
}

/// Compares so many of the traits.
fn alike(a: Traits<'_>, b: Traits<'_>, asked: usize) -> Ordering {
    match asked {
        0 => Ordering::Equal,
        1 => a.0.cmp(b.0),
        2 => (a.0, a.1).cmp(&(b.0, b.1)),
        _ => a.cmp(&b),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(sku: &str, title: &str, pack: u32) -> CrossrefRow {
        CrossrefRow {
            supplier: "north".into(),
            supplier_sku: sku.into(),
            description: title.into(),
            pack_qty: Some(pack),
            ..CrossrefRow::default()
        }
    }

    fn known(sku: &str, title: &str, pack: u32) -> KnownOffer {
        KnownOffer {
            supplier: "north".into(),
            sku: sku.into(),
            title: title.into(),
            pack,
            ..KnownOffer::default()
        }
    }

    #[test]
    fn a_number_is_known_again_though_its_wording_changed() {
        let known = [known("1", "starter", 1), known("2", "shroud", 1)];
        assert_eq!(
            matched(&[row("2", "fan shroud", 1), row("3", "x", 1)], &known),
            [Some(1), None]
        );
    }

    #[test]
    fn lines_of_one_number_are_told_apart_by_pack_and_wording() {
        let known = [known("1", "starter", 1), known("1", "starter", 10)];
        let rows = [row("1", "starter", 10), row("1", "starter", 1), row("1", "starter", 5)];
        assert_eq!(matched(&rows, &known), [Some(1), Some(0), None]);
    }

    #[test]
    fn lines_without_a_number_are_known_by_their_wording_alone() {
        let known = [known("", "a", 1), known("", "b", 1)];
        assert_eq!(matched(&[row("", "b", 1), row("", "c", 1)], &known), [Some(1), None]);
    }

    #[test]
    fn lines_alike_but_for_the_price_are_told_apart_by_it() {
        let priced = |price: &str| CrossrefRow {
            unit_price: price.parse().ok(),
            ..row("1", "a", 1)
        };
        let known_at = |price: &str| KnownOffer {
            prices: vec![crate::refresh::state::PricePoint {
                since: "2026-09-01".into(),
                price: price.parse().ok(),
                currency: "EUR".into(),
                listed: true,
            }],
            ..known("1", "a", 1)
        };
        let known = [known_at("1.5"), known_at("2.5"), known_at("9")];
        assert_eq!(
            matched(&[priced("9"), priced("3"), priced("1.5")], &known),
            [Some(2), Some(1), Some(0)]
        );
    }

    #[test]
    fn one_number_on_a_hundred_thousand_lines_takes_no_time() {
        let rows: Vec<CrossrefRow> = (0..100_000)
            .map(|line| row("N/A", &format!("title {line:06}"), 1))
            .collect();
        let before: Vec<KnownOffer> = (0..100_000)
            .map(|line| known("N/A", &format!("titles {line:06}"), 1))
            .collect();
        let start = std::time::Instant::now();
        assert_eq!(matched(&rows, &before).iter().flatten().count(), 100_000);
        assert!(start.elapsed() < std::time::Duration::from_secs(20));
    }

    #[test]
    fn no_known_offer_is_taken_twice() {
        let known = [known("1", "a", 1)];
        let rows = [row("1", "b", 1), row("1", "c", 1)];
        assert_eq!(matched(&rows, &known).iter().flatten().count(), 1);
    }
}
