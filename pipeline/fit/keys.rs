//! What readings are numbered by, learned over all offers before any product is pooled: engine codes,
//! numbers that parts replace, brands, and what a price is beside its own list's median.
//!
//! Only a number that some offer says it replaces is a key; a maker's own number that nobody replaces
//! tells nothing of the engine. Only the [`BRANDS`] commonest brands are told apart.

use super::codes::Codes;
use super::scales::BRANDS;
use crate::link::offers::relative_prices;
use crate::normalise::claim::{Attribute, Value};
use crate::normalise::offer::{NumberRole, Offer};
use crate::trade::folding::fold;
use compact_str::CompactString;
use rustc_hash::{FxHashMap, FxHashSet};
use std::collections::BTreeMap;

/// Shortest number that may be a key.
const SHORTEST: usize = 5;

/// The keys of a run.
#[derive(Debug)]
pub struct Keys {
    /// engine codes
    pub codes: Codes,
    /// numbers that parts replace, by canonical form
    pub numbers: Vec<CompactString>,
    /// words claimed as engine codes that are none
    no_codes: FxHashSet<CompactString>,
    number_of: FxHashMap<CompactString, u32>,
    /// by brand as written
    brand_of: FxHashMap<CompactString, u32>,
    /// by offer
    relative_prices: Vec<f64>,
}

impl Keys {
    /// Learns the keys of all offers; `lists` numbers the list of each.
    pub fn learn(offers: &[Offer], lists: &[u32]) -> Keys {
        let mut keys = Keys {
            codes: Codes::learn(code_sightings(offers)),
            numbers: Vec::new(),
            no_codes: FxHashSet::default(),
            number_of: FxHashMap::default(),
            brand_of: brands(offers),
            relative_prices: relative_prices(offers, lists),
        };
        let replaced = offers.iter().flat_map(|o| &o.numbers);
        for n in replaced.filter(|n| n.usable && n.role == NumberRole::Replaces && n.canonical.len() >= SHORTEST) {
            if !keys.number_of.contains_key(&n.canonical) {
                keys.number_of.insert(n.canonical.clone(), keys.numbers.len() as u32);
                keys.numbers.push(n.canonical.clone());
            }
        }
        keys
    }

    /// Leaves words out that were read as engine codes and begin part numbers.
    pub fn leave_out(&mut self, no_codes: FxHashSet<CompactString>) {
        self.no_codes = no_codes;
    }

    /// Whether a word claimed as an engine code is one.
    pub fn is_code(&self, code: &CompactString) -> bool {
        !self.no_codes.contains(code)
    }

    /// Key of a number that some part replaces.
    pub fn replaced(&self, canonical: &str) -> Option<u32> {
        self.number_of.get(canonical).copied()
    }

    /// Key of the brand of an offer, when it is one of those told apart.
    pub fn brand(&self, offer: &Offer) -> Option<u32> {
        self.brand_of.get(&offer.brand).copied()
    }

    /// ln of an offer's price over the median of its list, kind and currency; not a number when unknown.
    pub fn relative_price(&self, offer: u32) -> f64 {
        self.relative_prices.get(offer as usize).copied().unwrap_or(f64::NAN)
    }
}

/// Sightings of engine codes in all offers.
fn code_sightings(offers: &[Offer]) -> impl Iterator<Item = &str> {
    offers
        .iter()
        .flat_map(|o| &o.claims)
        .filter_map(|c| match (&c.attribute, &c.value) {
            (Attribute::EngineCode, Value::Code(code)) => Some(code.as_str()),
            _ => None,
        })
}

/// The commonest brands, numbered by how common they are, ties by name; for each brand as written.
fn brands(offers: &[Offer]) -> FxHashMap<CompactString, u32> {
    let mut written: FxHashMap<&CompactString, u32> = FxHashMap::default();
    for brand in offers.iter().map(|o| &o.brand).filter(|b| !b.is_empty()) {
        *written.entry(brand).or_default() += 1;
    }
    let mut written: Vec<(&CompactString, u32)> = written.into_iter().collect();
    written.sort_unstable();
    let mut counts: BTreeMap<CompactString, u32> = BTreeMap::new();
    for (brand, offers) in &written {
        *counts.entry(fold(brand).as_ref().into()).or_default() += offers;
    }
    let mut ranked: Vec<(CompactString, u32)> = counts.into_iter().collect();
    ranked.sort_by(|x, y| y.1.cmp(&x.1).then_with(|| x.0.cmp(&y.0)));
    ranked.truncate(BRANDS);
    let numbers: FxHashMap<CompactString, u32> = ranked
        .into_iter()
        .zip(0..)
        .map(|((brand, _), number)| (brand, number))
        .collect();
    let number = |brand: &CompactString| numbers.get(fold(brand).as_ref()).copied();
    written
        .into_iter()
        .filter_map(|(brand, _)| Some((brand.clone(), number(brand)?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::field::Field;
    use crate::link::offers::list_numbers;
    use crate::normalise::test_rows::offer;

    #[test]
    fn brands_are_told_apart_however_they_are_written_and_no_brand_is_none() {
        let brands_of = ["Brunlo", "BRUNLO", "Drolik", ""];
        let offers = brands_of.map(|brand| offer(&[("Brand", Field::Brand, brand)]));
        let keys = Keys::learn(&offers, &list_numbers(&offers));
        let numbers: Vec<Option<u32>> = offers.iter().map(|o| keys.brand(o)).collect();
        assert_eq!(numbers, [Some(0), Some(0), Some(1), None], "the commonest first");
    }

    #[test]
    fn a_replaced_number_has_a_key_and_one_too_short_to_mean_one_part_has_none() {
        let offers = [offer(&[("Replaces", Field::Replaces, "28400-KR2-003")])];
        let keys = Keys::learn(&offers, &list_numbers(&offers));
        assert_eq!(keys.replaced("28400KR2003"), Some(0));
        assert_eq!(keys.replaced("61170TB9100"), None);
        assert!(
            Keys::learn(&[offer(&[("Replaces", Field::Replaces, "A12")])], &[0])
                .numbers
                .is_empty()
        );
    }
}
