//! Offers as records: which of an offer's words, numbers and claims take part in the comparison.
//!
//! How a list spells part numbers is the business of `spelling`. Damaged and placeholder numbers take no
//! part. Prices compare inside one currency; across currencies and price levels a price counts
//! by how far it lies from the median of its own list and kind.

use super::linking::link_records;
use super::products::{LinkSettings, Products};
use super::records::{HardClaims, KindSure, NumberPlace, RecordText, Records};
use super::spelling::{NumberMeaning, Spelling};
use crate::normalise::claim::{Attribute, Provenance, Value};
use crate::normalise::offer::{NumberRole, Offer};
use crate::trade::folding::fold;
use crate::trade::interval::Interval;
use crate::trade::threads::ThreadSet;
use compact_str::CompactString;
use rayon::prelude::*;
use rust_decimal::prelude::ToPrimitive;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Priced or weighed offers of one kind in a list from which their median is worth comparing with.
const MEDIAN_OF: usize = 20;

/// Links offers into products. Offers must stand in their canonical order (supplier, then content of
/// the file, then line), which the result follows.
pub fn link_offers(offers: &[Offer], settings: &LinkSettings) -> Products {
    link_records(&records_of(offers), settings)
}

/// What of the offers can be compared.
fn records_of(offers: &[Offer]) -> Records {
    let lists = list_numbers(offers);
    let folded: Vec<Folded> = offers.par_iter().map(Folded::of).collect();
    let spelling = Spelling::learn(offers, &lists);
    let further: Vec<Vec<(NumberPlace, CompactString)>> = offers
        .par_iter()
        .zip(&lists)
        .map(|(offer, list)| spelling.further_numbers(offer, *list))
        .collect();
    let prices = relative_prices(offers, &lists);
    let texts: Vec<RecordText<'_>> = (0..offers.len())
        .map(|i| {
            record_text(
                &offers[i],
                lists[i],
                &folded[i],
                &further[i],
                spelling.meaning(lists[i]),
                prices[i],
            )
        })
        .collect();
    Records::of(&texts)
}

struct Folded {
    title: CompactString,
    extra: CompactString,
    brand: CompactString,
}

impl Folded {
    fn of(offer: &Offer) -> Folded {
        let fold = |text: &str| CompactString::from(fold(text).as_ref());
        Folded {
            title: fold(&offer.title),
            extra: fold(&offer.description),
            brand: fold(&offer.brand),
        }
    }
}

fn record_text<'a>(
    offer: &'a Offer,
    list: u32,
    folded: &'a Folded,
    further: &'a [(NumberPlace, CompactString)],
    meaning: NumberMeaning,
    relative_price: f64,
) -> RecordText<'a> {
    let mut numbers: Vec<(NumberPlace, &str)> = offer
        .numbers
        .iter()
        .filter(|n| n.usable && !n.canonical.is_empty())
        .filter_map(|n| place_of(n.role).map(|place| (place, n.canonical.as_str())))
        .collect();
    numbers.extend(further.iter().map(|(place, n)| (*place, n.as_str())));
    match meaning {
        NumberMeaning::OfTheMaker => {}
        NumberMeaning::Reference => numbers
            .iter_mut()
            .filter(|n| n.0 == NumberPlace::Own)
            .for_each(|n| n.0 = NumberPlace::Replaces),
        NumberMeaning::OfTheHouse => numbers.retain(|n| n.0 != NumberPlace::Own),
    }
    RecordText {
        list,
        kind: offer.kind.kind.0,
        kind_sure: kind_sure(offer),
        title: &folded.title,
        extra: &folded.extra,
        brand: &folded.brand,
        numbers,
        gtin: offer.gtin().map_or(0, |g| g.number()),
        pack: offer.pack_qty,
        price: offer
            .price
            .as_ref()
            .and_then(|p| p.unit_price.to_f64())
            .unwrap_or(f64::NAN),
        relative_price,
        currency: currency_number(offer),
        weight_g: weight_g(offer),
        hard: hard_claims(offer),
    }
}

fn kind_sure(offer: &Offer) -> KindSure {
    match offer.kind.probability {
        p if p >= 0.995 => KindSure::QuiteCertain,
        p if p >= 0.97 => KindSure::BeyondDoubt,
        _ => KindSure::InDoubt,
    }
}

/// Weight of one piece in grams, not a number when unknown or when it may be the pack's.
pub fn weight_g(offer: &Offer) -> f64 {
    let weight = offer.terms.as_ref().and_then(|t| t.weight_g).and_then(|w| w.to_f64());
    weight.filter(|w| *w > 0.0 && offer.pack_qty == 1).unwrap_or(f64::NAN)
}

/// What prices are compared within: list, kind and currency.
type PricePlace = (u32, u8, u16);

/// ln of the unit price over the median of its list, kind and currency; not a number where too few are priced.
pub fn relative_prices(offers: &[Offer], lists: &[u32]) -> Vec<f64> {
    let keys: Vec<Option<(PricePlace, f64)>> = offers
        .iter()
        .zip(lists)
        .map(|(o, list)| {
            let price = o.price.as_ref()?.unit_price.to_f64().filter(|p| *p > 0.0)?;
            Some(((*list, o.kind.kind.0, currency_number(o)), price.ln()))
        })
        .collect();
    let mut by_place: BTreeMap<PricePlace, Vec<f64>> = BTreeMap::new();
    for (key, price) in keys.iter().flatten() {
        by_place.entry(*key).or_default().push(*price);
    }
    let medians: BTreeMap<PricePlace, f64> = by_place
        .into_iter()
        .filter(|(_, prices)| prices.len() >= MEDIAN_OF)
        .map(|(key, mut prices)| {
            prices.sort_unstable_by(f64::total_cmp);
            (key, prices[prices.len() / 2])
        })
        .collect();
    keys.iter()
        .map(|k| {
            k.and_then(|(key, price)| medians.get(&key).map(|m| price - m))
                .unwrap_or(f64::NAN)
        })
        .collect()
}

pub(super) fn place_of(role: NumberRole) -> Option<NumberPlace> {
    match role {
        NumberRole::Maker => Some(NumberPlace::Own),
        NumberRole::InTitle => Some(NumberPlace::Title),
        NumberRole::Replaces => Some(NumberPlace::Replaces),
        NumberRole::Sku => None,
    }
}

fn currency_number(offer: &Offer) -> u16 {
    let code = offer.price.as_ref().and_then(|p| p.currency.as_ref()).map(|c| c.code());
    // three capital letters, five bits each; 0 = unknown
    code.map_or(0, |c| c.bytes().fold(0u16, |n, b| (n << 5) | u16::from(b & 31)))
}

fn hard_claims(offer: &Offer) -> HardClaims {
    let mut hard = HardClaims::default();
    let mut threads = ThreadSet::empty();
    for claim in offer.claims.iter().filter(|c| c.provenance == Provenance::Stated) {
        match (claim.attribute, &claim.value) {
            (Attribute::Displacement, Value::Served(list) | Value::OneOf(list)) => widen(&mut hard.displacement, list),
            (Attribute::BoltCircle, Value::Served(list) | Value::OneOf(list)) => widen(&mut hard.circle, list),
            (Attribute::BoltHoles, Value::Count(n)) => hard.holes = *n,
            (Attribute::Thread, Value::Threads(set)) => threads = threads.union(*set),
            _ => {}
        }
    }
    hard.threads = threads.iter().fold(0, |bits, t| bits | 1 << t.index());
    hard
}

fn widen(band: &mut (f32, f32), list: &[Interval]) {
    for i in list {
        let (low, high) = (i.low as f32, i.high as f32);
        *band = if band.1 == 0.0 {
            (low, high)
        } else {
            (band.0.min(low), band.1.max(high))
        };
    }
}

/// Number of each offer's list: suppliers in the order of their names.
pub fn list_numbers(offers: &[Offer]) -> Vec<u32> {
    let mut names: BTreeMap<&Arc<str>, u32> = offers.iter().map(|o| (&o.supplier, 0)).collect();
    for (number, slot) in names.values_mut().enumerate() {
        *slot = number as u32;
    }
    offers.iter().map(|o| names[&o.supplier]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::field::Field;
    use crate::normalise::test_rows::offer;

    fn of_list(supplier: &str, price: &str, currency: &str) -> Offer {
        let mut offer = offer(&[("Price", Field::Price, price), ("Currency", Field::Currency, currency)]);
        offer.supplier = supplier.into();
        offer
    }

    #[test]
    fn lists_are_numbered_by_the_names_of_their_suppliers_and_not_by_arrival() {
        let offers = ["quillbrook", "ardent", "quillbrook", "morrow"].map(|name| of_list(name, "", ""));
        assert_eq!(list_numbers(&offers), [2, 0, 2, 1]);
    }

    #[test]
    fn a_price_is_put_beside_the_median_of_its_own_list_and_currency() {
        let prices = ["10", "20", "40", "20", "80"];
        let mut offers: Vec<Offer> = prices
            .iter()
            .cycle()
            .take(MEDIAN_OF)
            .map(|price| of_list("ardent", price, "EUR"))
            .collect();
        offers.extend(["5", "5"].map(|price| of_list("ardent", price, "USD")));
        offers.push(of_list("morrow", "20", "EUR"));
        offers.push(of_list("ardent", "", "EUR"));
        let found = relative_prices(&offers, &list_numbers(&offers));
        for (at, times) in [(0, 0.5f64), (1, 1.0), (2, 2.0), (4, 4.0)] {
            assert!((found[at] - times.ln()).abs() < 1e-9, "{}: {found:?}", prices[at]);
        }
        assert!(
            found[MEDIAN_OF..].iter().all(|price| price.is_nan()),
            "too few beside them: {found:?}"
        );
    }

    #[test]
    fn every_currency_has_a_number_of_its_own_and_none_is_no_currency() {
        let numbers = ["EUR", "USD", "CAD", "AUD", "CZK", "CHF"].map(|code| currency_number(&of_list("a", "1", code)));
        let distinct: std::collections::BTreeSet<u16> = numbers.into_iter().collect();
        assert_eq!(distinct.len(), 6, "{numbers:?}");
        assert!(!distinct.contains(&0));
        assert_eq!(currency_number(&of_list("a", "", "")), 0);
    }

    #[test]
    fn a_kind_is_as_sure_as_its_probability() {
        let sure = |probability: f32| {
            let mut offer = offer(&[]);
            offer.kind.probability = probability;
            kind_sure(&offer)
        };
        assert_eq!(sure(0.996), KindSure::QuiteCertain);
        assert_eq!(sure(0.98), KindSure::BeyondDoubt);
        assert_eq!(sure(0.9), KindSure::InDoubt);
    }

    #[test]
    fn claims_that_a_part_has_once_are_kept_as_the_hull_of_what_is_stated() {
        let hard = hard_claims(&offer(&[
            ("cc", Field::Displacement, "163/196/212"),
            ("Holes", Field::BoltHoles, "3"),
            ("PCD", Field::BoltSpacing, "PCD 118 mm"),
            ("Screws", Field::Fastener, "M6"),
        ]));
        assert_eq!((hard.displacement, hard.holes), ((162.5, 212.5), 3));
        assert!(
            hard.circle.0 <= 118.0 && hard.circle.1 >= 118.0 && hard.circle.1 < 119.0,
            "{hard:?}"
        );
        assert_eq!(hard.threads.count_ones(), 1);
        let silent = hard_claims(&offer(&[]));
        assert_eq!((silent.displacement, silent.holes, silent.threads), ((0.0, 0.0), 0, 0));
    }
}
