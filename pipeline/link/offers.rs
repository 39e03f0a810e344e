//! Offers as records: which of an offer's words, numbers and claims take part in the comparison.
//!
//! A supplier that puts its own letters in front of every maker number ("VL-28400") would match
//! nobody, so a prefix carried by most of one list's numbers is also left off; the number with its
//! prefix stays beside it. Damaged and placeholder numbers take no part.

use super::products::{LinkSettings, Products, link_records};
use super::records::{HardClaims, NumberPlace, RecordText, Records};
use crate::normalise::claim::{Attribute, Provenance, Value};
use crate::normalise::offer::{NumberRole, Offer};
use crate::trade::folding::fold;
use crate::trade::identifier::canonical_number;
use crate::trade::interval::Interval;
use crate::trade::threads::ThreadSet;
use compact_str::CompactString;
use rayon::prelude::*;
use rust_decimal::prelude::ToPrimitive;
use rustc_hash::FxHashSet;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Probability from which a kind is taken as read beyond doubt.
const KIND_SURE: f32 = 0.97;
/// Share of a list's numbers that must carry a prefix before it is taken for the supplier's own.
const PREFIX_SHARE: f64 = 0.8;
/// Numbers a list must have before its prefixes are looked at.
const PREFIX_NUMBERS: usize = 20;
/// Lines per distinct maker's number from which a list's numbers are references.
const REPEATED: f64 = 1.8;
/// Longest prefix, in characters.
const PREFIX_LENGTH: usize = 4;
/// Shortest number that may stand without its prefix.
const BARE_LENGTH: usize = 5;

/// Links offers into products. Offers must stand in their canonical order (supplier, then content of
/// the file, then line), which the result follows.
pub fn link_offers(offers: &[Offer], settings: &LinkSettings) -> Products {
    link_records(&records_of(offers), settings)
}

/// What of the offers can be compared.
pub fn records_of(offers: &[Offer]) -> Records {
    let lists = list_numbers(offers);
    let prefixes = house_prefixes(offers, &lists);
    let references = reference_lists(offers, &lists);
    let folded: Vec<Folded> = offers.par_iter().map(Folded::of).collect();
    let mut further: Vec<Vec<(NumberPlace, CompactString)>> = offers
        .iter()
        .zip(&lists)
        .map(|(o, l)| bare_numbers(o, &prefixes[*l as usize]))
        .collect();
    let known = known_numbers(offers, &lists, &references, &further);
    let in_titles: Vec<Vec<CompactString>> = offers.par_iter().map(|o| numbers_in_title(&o.title, &known)).collect();
    for (further, found) in further.iter_mut().zip(in_titles) {
        further.extend(found.into_iter().map(|n| (NumberPlace::Title, n)));
    }
    let texts: Vec<RecordText<'_>> = (0..offers.len())
        .map(|i| {
            record_text(
                &offers[i],
                lists[i],
                &folded[i],
                &further[i],
                references[lists[i] as usize],
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

/// Makers' numbers of the whole run, by canonical form: what a title shows of them is a part number
/// however plain it looks ("029-794").
fn known_numbers(
    offers: &[Offer],
    lists: &[u32],
    references: &[bool],
    further: &[Vec<(NumberPlace, CompactString)>],
) -> FxHashSet<CompactString> {
    let mut known = FxHashSet::default();
    for ((offer, list), further) in offers.iter().zip(lists).zip(further) {
        if references[*list as usize] {
            continue;
        }
        let own = offer
            .numbers
            .iter()
            .filter(|n| n.usable && n.role == NumberRole::Maker)
            .map(|n| &n.canonical);
        let bare = further.iter().filter(|n| n.0 == NumberPlace::Own).map(|n| &n.1);
        known.extend(own.chain(bare).filter(|n| n.len() >= BARE_LENGTH).cloned());
    }
    known
}

/// Known numbers that stand in a title, also where a space took the place of the dash ("SP52 0457").
fn numbers_in_title(title: &str, known: &FxHashSet<CompactString>) -> Vec<CompactString> {
    let has_digit = |word: &str| word.bytes().any(|b| b.is_ascii_digit());
    let words: Vec<&str> = title
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | ':' | '"'))
        .filter(|w| !w.is_empty())
        .collect();
    let mut found = Vec::new();
    for (i, word) in words.iter().enumerate() {
        for joined in [
            Some((*word).to_string()),
            words.get(i + 1).map(|next| format!("{word}{next}")),
        ]
        .into_iter()
        .flatten()
        {
            if has_digit(&joined) && joined.len() >= BARE_LENGTH && joined.len() <= 40 {
                let canonical = canonical_number(&joined);
                if known.contains(&canonical) && !found.contains(&canonical) {
                    found.push(canonical);
                }
            }
        }
    }
    found
}

/// Lists whose "maker's numbers" each stand on many lines: references to one original, not numbers of
/// the parts sold. Their numbers count as replaced ones.
fn reference_lists(offers: &[Offer], lists: &[u32]) -> Vec<bool> {
    let count = lists.iter().map(|l| l + 1).max().unwrap_or(0) as usize;
    let mut numbers: Vec<BTreeMap<&str, usize>> = vec![BTreeMap::new(); count];
    for (offer, list) in offers.iter().zip(lists) {
        for n in offer.numbers.iter().filter(|n| n.usable && n.role == NumberRole::Maker) {
            *numbers[*list as usize].entry(&n.canonical).or_default() += 1;
        }
    }
    numbers
        .iter()
        .map(|n| {
            let lines: usize = n.values().sum();
            lines >= PREFIX_NUMBERS && lines as f64 >= REPEATED * n.len() as f64
        })
        .collect()
}

fn record_text<'a>(
    offer: &'a Offer,
    list: u32,
    folded: &'a Folded,
    further: &'a [(NumberPlace, CompactString)],
    references: bool,
) -> RecordText<'a> {
    let mut numbers: Vec<(NumberPlace, &str)> = offer
        .numbers
        .iter()
        .filter(|n| n.usable && !n.canonical.is_empty())
        .filter_map(|n| place_of(n.role).map(|place| (place, n.canonical.as_str())))
        .collect();
    numbers.extend(further.iter().map(|(place, n)| (*place, n.as_str())));
    if references {
        numbers
            .iter_mut()
            .filter(|n| n.0 == NumberPlace::Own)
            .for_each(|n| n.0 = NumberPlace::Replaces);
    }
    RecordText {
        list,
        kind: offer.kind.kind.0,
        kind_sure: offer.kind.probability >= KIND_SURE,
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
        currency: currency_number(offer),
        hard: hard_claims(offer),
    }
}

fn place_of(role: NumberRole) -> Option<NumberPlace> {
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
fn list_numbers(offers: &[Offer]) -> Vec<u32> {
    let mut names: BTreeMap<&Arc<str>, u32> = offers.iter().map(|o| (&o.supplier, 0)).collect();
    for (number, slot) in names.values_mut().enumerate() {
        *slot = number as u32;
    }
    offers.iter().map(|o| names[&o.supplier]).collect()
}

fn house_prefixes(offers: &[Offer], lists: &[u32]) -> Vec<String> {
    let count = lists.iter().map(|l| l + 1).max().unwrap_or(0) as usize;
    let mut numbers: Vec<Vec<&str>> = vec![Vec::new(); count];
    for (offer, list) in offers.iter().zip(lists) {
        if let Some(n) = offer.maker_number() {
            numbers[*list as usize].push(&n.canonical);
        }
    }
    numbers.iter().map(|n| house_prefix(n)).collect()
}

/// The longest run of letters that most numbers of a list begin with, empty when there is none.
fn house_prefix(numbers: &[&str]) -> String {
    let mut prefix = String::new();
    if numbers.len() < PREFIX_NUMBERS {
        return prefix;
    }
    for length in 1..=PREFIX_LENGTH {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for n in numbers
            .iter()
            .filter_map(|n| n.get(..length))
            .filter(|p| p.bytes().all(|b| b.is_ascii_alphabetic()))
        {
            *counts.entry(n).or_default() += 1;
        }
        match counts.into_iter().max_by_key(|c| c.1) {
            Some((p, n)) if n as f64 >= PREFIX_SHARE * numbers.len() as f64 => prefix = p.to_string(),
            _ => break,
        }
    }
    prefix
}

fn bare_numbers(offer: &Offer, prefix: &str) -> Vec<(NumberPlace, CompactString)> {
    if prefix.is_empty() {
        return Vec::new();
    }
    let own = offer
        .numbers
        .iter()
        .filter(|n| n.usable && matches!(n.role, NumberRole::Maker | NumberRole::InTitle));
    own.filter_map(|n| n.canonical.strip_prefix(prefix).map(|bare| (n.role, bare)))
        .filter(|(_, bare)| bare.len() >= BARE_LENGTH)
        .filter_map(|(role, bare)| place_of(role).map(|place| (place, CompactString::from(bare))))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_in_front_of_nearly_all_numbers_are_the_suppliers_own() {
        let numbers: Vec<String> = (0..30).map(|i| format!("VL{}", 28400 + i * 7)).collect();
        let borrowed: Vec<&str> = numbers.iter().map(String::as_str).collect();
        assert_eq!(house_prefix(&borrowed), "VL");
    }

    #[test]
    fn a_plain_number_in_a_title_is_known_by_another_lists_column() {
        let known: FxHashSet<CompactString> = ["029794", "SP520457"].map(canonical_number).into_iter().collect();
        assert_eq!(numbers_in_title("Lanceur pour 168F 029-794, rouge", &known).len(), 1);
        assert_eq!(numbers_in_title("Recoil starter SP52 0457", &known).len(), 1);
        assert!(numbers_in_title("Recoil starter 168F 196 cc", &known).is_empty());
    }

    #[test]
    fn a_short_list_has_no_house_prefix() {
        assert_eq!(house_prefix(&["VL28400", "VL28401"]), "");
    }
}
