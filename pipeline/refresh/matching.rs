//! Tonight's offers beside those known: which is which.
//!
//! An offer is known again by its supplier and the supplier's number, whatever its wording and price do. Where a number
//! stands on several lines, or on none, the wording and the pack tell them apart; what is left over of one number is
//! paired in order. Offers without a number are never paired by anything but their wording.

use std::cmp::Ordering;

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

/// The order in which the known offers are kept.
pub fn by_key(a: &KnownOffer, b: &KnownOffer) -> Ordering {
    known_number(a)
        .cmp(&known_number(b))
        .then_with(|| a.title.cmp(&b.title))
        .then_with(|| a.pack.cmp(&b.pack))
}

fn row_order(a: &CrossrefRow, b: &CrossrefRow) -> Ordering {
    number(a)
        .cmp(&number(b))
        .then_with(|| a.description.cmp(&b.description))
        .then_with(|| a.pack_qty.cmp(&b.pack_qty))
        .then_with(|| a.unit_price.cmp(&b.unit_price))
        .then_with(|| a.source_file.cmp(&b.source_file))
        .then_with(|| a.source_line.cmp(&b.source_line))
}

fn number(row: &CrossrefRow) -> (&str, &str) {
    (&row.supplier, &row.supplier_sku)
}

fn known_number(offer: &KnownOffer) -> (&str, &str) {
    (&offer.supplier, &offer.sku)
}

/// Pairs the rows of one number with the known offers of it.
fn pair(
    rows: &[CrossrefRow],
    same: &[usize],
    known: &[KnownOffer],
    of_number: std::ops::Range<usize>,
    found: &mut [Option<usize>],
) {
    let mut free = vec![true; of_number.len()];
    let pack = |row: &CrossrefRow| row.pack_qty.unwrap_or(1);
    let mut take = |row: usize, fits: &dyn Fn(&KnownOffer) -> bool| {
        let place = (0..free.len()).find(|place| free[*place] && fits(&known[of_number.start + place]));
        if let Some(place) = place {
            free[place] = false;
            found[row] = Some(of_number.start + place);
        }
        place.is_some()
    };
    let left = |row: &usize, take: &mut dyn FnMut(usize, &dyn Fn(&KnownOffer) -> bool) -> bool| {
        let wording = &rows[*row].description;
        !take(*row, &|known| {
            known.title == *wording && known.pack == pack(&rows[*row])
        })
    };
    let rest: Vec<usize> = same.iter().filter(|row| left(row, &mut take)).copied().collect();
    if number(&rows[same[0]]).1.is_empty() {
        return;
    }
    let rest = rest.into_iter().filter(|row| {
        let wording = &rows[*row].description;
        !take(*row, &|known| known.title == *wording)
    });
    let rest: Vec<usize> = rest.collect();
    for row in rest {
        take(row, &|_| true);
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
    fn no_known_offer_is_taken_twice() {
        let known = [known("1", "a", 1)];
        let rows = [row("1", "b", 1), row("1", "c", 1)];
        assert_eq!(matched(&rows, &known).iter().flatten().count(), 1);
    }
}
