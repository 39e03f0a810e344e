//! Durable names of offers, so that a decision outlives the night, another order of lines and a renamed file.
//!
//! An offer is named `SUPPLIER:NUMBER`, by the supplier's own number. Where that is missing or stands on several lines,
//! the maker's number follows after `#`; where that does not tell the lines apart either, `#~` and a digest of what the
//! line sells (brand, maker's number, wording, pack). Prices, stock and places in files are no part of a name.
//!
//! A list without a profile is called after its file, which often carries a date. When no list of the run has the
//! supplier's name, the one list whose name differs in digits alone is taken, and that is said.

use crate::normalise::offer::Offer;
use crate::shop::ids::digest;
use crate::trade::folding::fold;
use rustc_hash::FxHashMap;
use std::collections::{BTreeMap, BTreeSet};

/// Signs of a digest in a name: 40 bits.
const DIGEST_SIGNS: usize = 8;
/// Between several names of which the first found counts.
pub const ANY_OF: &str = " | ";

/// Signs with which a spreadsheet takes a cell for a formula.
pub const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];
/// Put before a text that begins so; it is no part of a name.
pub const TEXT_MARK: char = '\'';

/// What a name leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Named {
    /// these offers, lines that say the same
    Offers(Vec<u32>),
    /// the same, but of a list that was called this before
    Renamed(Vec<u32>, String),
    /// several that differ, with longer names to choose from
    Several(Vec<String>),
    /// none
    Gone,
}

/// The names of all offers of a run.
#[derive(Debug)]
pub struct OfferNames<'a> {
    offers: &'a [Offer],
    /// offers by their folded supplier and number
    by_short: FxHashMap<String, Vec<u32>>,
    /// suppliers by their name without digits
    undated: BTreeMap<String, BTreeSet<&'a str>>,
}

impl<'a> OfferNames<'a> {
    /// Names the offers.
    pub fn of(offers: &'a [Offer]) -> OfferNames<'a> {
        let mut by_short: FxHashMap<String, Vec<u32>> = FxHashMap::default();
        let mut suppliers: BTreeSet<&str> = BTreeSet::new();
        for (at, offer) in (0u32..).zip(offers) {
            by_short.entry(folded(&short(offer))).or_default().push(at);
            suppliers.insert(&offer.supplier);
        }
        let mut undated: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
        for supplier in suppliers {
            undated.entry(without_digits(supplier)).or_default().insert(supplier);
        }
        OfferNames {
            offers,
            by_short,
            undated,
        }
    }

    /// The shortest name that leads to this offer alone, or to lines that say the same.
    pub fn name(&self, offer: u32) -> String {
        let this = &self.offers[offer as usize];
        let brief = short(this);
        let beside = self.by_short.get(&folded(&brief)).map_or(&[][..], Vec::as_slice);
        if !this.sku.is_empty() && self.are_alike(beside) {
            return brief;
        }
        let by_maker_alone = by_maker(this).filter(|name| {
            let same = |other: &u32| {
                by_maker(&self.offers[*other as usize]).is_some_and(|other| folded(&other) == folded(name))
            };
            self.are_alike(&beside.iter().copied().filter(same).collect::<Vec<_>>())
        });
        by_maker_alone.unwrap_or_else(|| by_digest(this))
    }

    /// Follows a name.
    pub fn find(&self, name: &str) -> Named {
        let name = name
            .strip_prefix(TEXT_MARK)
            .filter(|rest| rest.starts_with(FORMULA_STARTS))
            .unwrap_or(name);
        let wanted = folded(name);
        let found = match self.by_short.get(&wanted) {
            Some(found) => found.clone(),
            None => self.longer(&wanted),
        };
        if !found.is_empty() {
            return if self.are_alike(&found) {
                Named::Offers(found)
            } else {
                Named::Several(found.iter().map(|offer| self.name(*offer)).collect())
            };
        }
        match self.renamed(name) {
            Some((new, supplier)) => match self.find(&new) {
                Named::Offers(found) => Named::Renamed(found, supplier),
                other => other,
            },
            None => Named::Gone,
        }
    }

    /// Offers whose longer name this is.
    fn longer(&self, wanted: &str) -> Vec<u32> {
        let cuts = wanted.match_indices('#').map(|(at, _)| &wanted[..at]);
        let beside = cuts.filter_map(|brief| self.by_short.get(brief)).flatten();
        let is_it = |offer: &&u32| {
            let offer = &self.offers[**offer as usize];
            folded(&by_digest(offer)) == wanted || by_maker(offer).is_some_and(|name| folded(&name) == wanted)
        };
        beside.filter(is_it).copied().collect()
    }

    /// The name under the list's present name, when the list was called otherwise before.
    fn renamed(&self, name: &str) -> Option<(String, String)> {
        let (supplier, rest) = name.split_once(':')?;
        let now = self.undated.get(&without_digits(supplier))?;
        let now = now
            .first()
            .filter(|only| now.len() == 1 && folded(only) != folded(supplier))?;
        Some((format!("{now}:{rest}"), (*now).to_string()))
    }

    fn are_alike(&self, found: &[u32]) -> bool {
        let what = |offer: &u32| by_digest(&self.offers[*offer as usize]);
        found.split_first().is_some_and(|(first, rest)| {
            let first = if rest.is_empty() { String::new() } else { what(first) };
            rest.iter().all(|other| what(other) == first)
        })
    }
}

fn short(offer: &Offer) -> String {
    format!("{}:{}", offer.supplier, offer.sku)
}

fn by_maker(offer: &Offer) -> Option<String> {
    let number = offer.maker_number()?;
    Some(format!("{}#{}", short(offer), number.raw))
}

fn by_digest(offer: &Offer) -> String {
    let maker = offer.maker_number().map_or("", |number| number.canonical.as_str());
    let sold = format!(
        "{}\u{1f}{maker}\u{1f}{}\u{1f}{}",
        fold(&offer.brand),
        fold(&offer.title),
        offer.pack_qty
    );
    format!("{}#~{}", short(offer), digest(&sold, DIGEST_SIGNS))
}

fn folded(name: &str) -> String {
    fold(name).into_owned()
}

fn without_digits(supplier: &str) -> String {
    fold(supplier).chars().filter(|c| c.is_alphabetic()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::review::test_offers::{Line, offers};

    #[test]
    fn a_number_of_its_own_is_the_whole_name() {
        let offers = offers(&[Line::of("north", "A-1"), Line::of("north", "A-2")]);
        let names = OfferNames::of(&offers);
        assert_eq!(names.name(0), "north:A-1");
        assert_eq!(names.find(" North:a-1 "), Named::Offers(vec![0]));
    }

    #[test]
    fn a_missing_or_repeated_number_is_told_apart_by_the_makers_and_then_by_the_wording() {
        let offers = offers(&[
            Line::of("north", "A-1").mpn("TV4471A"),
            Line::of("north", "A-1").mpn("TV4472B"),
            Line::of("north", "").title("Recoil starter 168F"),
            Line::of("north", "").title("Recoil starter 188F"),
        ]);
        let names = OfferNames::of(&offers);
        assert_eq!(names.name(0), "north:A-1#TV4471A");
        assert!(names.name(2).starts_with("north:#~"));
        for offer in 0..4 {
            assert_eq!(names.find(&names.name(offer)), Named::Offers(vec![offer]));
        }
        let Named::Several(longer) = names.find("north:A-1") else {
            panic!("two parts share the number")
        };
        assert_eq!(longer, ["north:A-1#TV4471A", "north:A-1#TV4472B"]);
    }

    #[test]
    fn a_name_outlives_another_price_another_order_and_a_new_date_in_the_files_name() {
        let before = offers(&[Line::of("north-2026-09", "").title("Recoil starter 168F")]);
        let name = OfferNames::of(&before).name(0);
        let after = offers(&[
            Line::of("north-2026-10", "").title("Other part"),
            Line::of("north-2026-10", "")
                .title("RECOIL  starter 168F")
                .price("9.90"),
        ]);
        let found = OfferNames::of(&after).find(&name);
        assert_eq!(found, Named::Renamed(vec![1], "north-2026-10".into()));
    }

    #[test]
    fn two_lists_that_differ_in_digits_are_not_guessed_between() {
        let after = offers(&[Line::of("north-10", "A-1"), Line::of("north-11", "A-1")]);
        assert_eq!(OfferNames::of(&after).find("north-09:A-1"), Named::Gone);
        assert_eq!(OfferNames::of(&after).find("south:A-1"), Named::Gone);
    }

    #[test]
    fn a_mark_that_keeps_a_name_from_being_a_formula_is_no_part_of_it() {
        let offers = offers(&[Line::of("-north", "A-1")]);
        assert_eq!(OfferNames::of(&offers).find("'-north:A-1"), Named::Offers(vec![0]));
    }

    #[test]
    fn lines_that_say_the_same_share_a_name() {
        let offers = offers(&[Line::of("north", "A-1"), Line::of("north", "A-1")]);
        let names = OfferNames::of(&offers);
        assert_eq!(names.find("north:A-1"), Named::Offers(vec![0, 1]));
    }
}
