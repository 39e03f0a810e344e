//! What a cluster says of itself by barcodes, numbers and brands, and which of that two clusters may not contradict.

use super::number_levels::swapped_pair;
use super::records::{NO_WORD, NumberPlace, Record, Records, WordId};

/// What a cluster may not contradict.
#[derive(Clone, Default)]
pub(super) struct Identity {
    pub(super) barcodes: Vec<(u32, u64)>,
    /// maker's brand (or none) and number
    pub(super) own: Vec<(WordId, u32)>,
    pub(super) replaces: Vec<u32>,
    /// brands named in a column
    pub(super) brands: Vec<WordId>,
    pub(super) different: Vec<u32>,
}

pub(super) fn merge<T: PartialEq>(into: &mut Vec<T>, from: Vec<T>) {
    for item in from {
        if !into.contains(&item) {
            into.push(item);
        }
    }
}

pub(super) fn identity_of(record: &Record) -> Identity {
    let of_place = |place: NumberPlace| record.numbers.iter().filter(move |n| n.0 == place).map(|n| n.1);
    Identity {
        barcodes: if record.gtin == 0 {
            Vec::new()
        } else {
            vec![(record.pack, record.gtin)]
        },
        own: of_place(NumberPlace::Own).map(|n| (record.brand, n)).collect(),
        replaces: of_place(NumberPlace::Replaces).collect(),
        brands: Some(record.brand).filter(|b| *b != NO_WORD).into_iter().collect(),
        different: Vec::new(),
    }
}

/// Two numbers of one maker that differ by more than spelling, and neither replaces the other.
pub(super) fn numbers_forbid(records: &Records, p: &Identity, q: &Identity) -> bool {
    if p.own.is_empty() || q.own.is_empty() {
        return false;
    }
    let in_common = p.own.iter().any(|a| q.own.iter().any(|b| a.1 == b.1));
    let superseded = p.own.iter().any(|a| q.replaces.contains(&a.1)) || q.own.iter().any(|b| p.replaces.contains(&b.1));
    if in_common || superseded {
        return false;
    }
    p.own.iter().any(|a| {
        q.own.iter().any(|b| {
            a.0 == b.0
                && a.0 != NO_WORD
                && !same_but_for_spelling(&records.numbers[a.1 as usize].text, &records.numbers[b.1 as usize].text)
        })
    })
}

/// Brands that have nothing in common, where nothing but bare digits is: makers' bare numbers collide.
pub(super) fn brands_forbid(records: &Records, p: &Identity, q: &Identity) -> bool {
    let apart = !p.brands.is_empty() && !q.brands.is_empty() && !p.brands.iter().any(|b| q.brands.contains(b));
    if !apart || p.barcodes.iter().any(|b| q.barcodes.contains(b)) {
        return false;
    }
    let mut common = p.own.iter().filter(|a| q.own.iter().any(|b| a.1 == b.1)).peekable();
    common.peek().is_some() && common.all(|a| !records.numbers[a.1 as usize].lettered)
}

/// Two neighbouring signs swapped; the canonical form already has O as 0 and no dashes.
fn same_but_for_spelling(x: &str, y: &str) -> bool {
    x == y || swapped_pair(x, y)
}

#[cfg(test)]
mod tests {
    use super::super::records::RecordText;
    use super::*;

    /// A line's own number, the number it replaces and its brand.
    fn line(own: &'static str, replaces: &'static str, brand: &'static str) -> RecordText<'static> {
        let numbers = [(NumberPlace::Own, own), (NumberPlace::Replaces, replaces)];
        RecordText {
            brand,
            numbers: numbers.into_iter().filter(|n| !n.1.is_empty()).collect(),
            ..RecordText::titled(0, "recoil starter")
        }
    }

    fn forbidden(x: RecordText<'static>, y: RecordText<'static>) -> bool {
        let records = Records::of(&[x, y]);
        let (p, q) = (identity_of(&records.list[0]), identity_of(&records.list[1]));
        assert_eq!(numbers_forbid(&records, &p, &q), numbers_forbid(&records, &q, &p));
        numbers_forbid(&records, &p, &q)
    }

    #[test]
    fn two_numbers_of_one_maker_forbid_unless_a_slip_or_a_successor_explains_them() {
        let of_brunlo = |own| line(own, "", "brunlo");
        assert!(forbidden(of_brunlo("TV4471A"), of_brunlo("TV4982C")));
        assert!(
            !forbidden(of_brunlo("TV4471A"), of_brunlo("TV4471A")),
            "the same number"
        );
        assert!(
            !forbidden(of_brunlo("TV4471A"), of_brunlo("TV4417A")),
            "two signs swapped"
        );
        assert!(
            !forbidden(of_brunlo("TV4471A"), line("TV4982C", "TV4471A", "brunlo")),
            "a successor"
        );
        assert!(
            !forbidden(of_brunlo("TV4471A"), line("TV4982C", "", "drolik")),
            "another maker's"
        );
        assert!(
            !forbidden(line("TV4471A", "", ""), line("TV4982C", "", "")),
            "makers not known"
        );
        assert!(!forbidden(of_brunlo("TV4471A"), of_brunlo("")), "one says no number");
    }

    #[test]
    fn what_clusters_say_is_put_together_each_thing_once() {
        let mut into = vec![1, 2];
        merge(&mut into, vec![2, 3, 3]);
        assert_eq!(into, [1, 2, 3]);
    }
}
