//! Words read as engine codes that are part numbers, or their beginnings.
//!
//! "KD68 0222" in a title is a maker's number in two words, and its first word looks like an engine code; so does a number
//! of digits behind a list of codes, and "KD-6812" in "replaces KD-6812-15". Only the run can tell. A word is no engine
//! code where the products that name it have numbers of their own, and most of these begin with it; nor where nearly
//! every line that names it writes a number there that is known from other lines, or the word itself stands in number
//! columns about as often as it is named. A true code stands beside numbers of many makers, and alone.

use crate::intake::field::Field;
use crate::normalise::claim::{Attribute, Claim, Value};
use crate::normalise::offer::{NumberRole, Offer};
use crate::trade::identifier::canonical_number;
use compact_str::CompactString;
use rustc_hash::{FxHashMap, FxHashSet};

/// Share of the sightings beside a number that must be its beginning.
const MOSTLY: f64 = 0.5;
/// Share of all lines with a code that must write a longer number there.
const NEARLY_ALL: f64 = 0.8;
/// Sightings of a word in number columns, by its sightings as a code, from which it is a number. A value from memory.
const IN_COLUMNS: f64 = 0.3;

/// Numbers among the words of one shape, and their share of them, from which rare words of that shape are numbers.
/// Measured on nine generated worlds: shapes of engine codes hold none, shapes of part numbers more than this.
const OF_SHAPE: (usize, f64) = (3, 0.3);
/// Lines on which a word is rare.
const RARE: u32 = 6;

/// Sightings of one code.
#[derive(Default)]
struct Sighted {
    canonical: CompactString,
    /// lines of products that have numbers of their own
    beside_numbers: u32,
    as_beginning: u32,
    lines: u32,
    /// lines on which a known number begins with the code just there
    in_number: u32,
}

impl Sighted {
    fn is_stem(&self, written: &Written) -> bool {
        let share = |some: u32, all: u32, least: f64| some > 0 && f64::from(some) >= least * f64::from(all);
        let in_columns = written.of.get(&self.canonical).map_or(0, |w| w.in_columns);
        share(self.as_beginning, self.beside_numbers, MOSTLY)
            || share(self.in_number, self.lines, NEARLY_ALL)
            || share(in_columns, self.lines, IN_COLUMNS)
    }
}

/// How often a word stands among the numbers of the run.
#[derive(Clone, Copy, Default)]
struct Times {
    in_columns: u32,
    anywhere: u32,
}

/// The words that are read as codes, and the longer ones they begin in titles, as they stand among the numbers.
struct Written {
    of: FxHashMap<CompactString, Times>,
}

impl Written {
    fn of(offers: &[Offer]) -> Written {
        let mut of: FxHashMap<CompactString, Times> = FxHashMap::default();
        for offer in offers {
            for (claim, code) in codes(offer) {
                of.entry(canonical(code)).or_default();
                if let Some(word) = longer_word(offer, claim) {
                    of.entry(word).or_default();
                }
            }
        }
        for number in offers
            .iter()
            .flat_map(|o| &o.numbers)
            .filter(|n| n.role != NumberRole::Sku)
        {
            if let Some(times) = of.get_mut(&number.canonical) {
                times.anywhere += 1;
                times.in_columns += u32::from(number.role != NumberRole::InTitle);
            }
        }
        Written { of }
    }

    /// Whether a claimed code only begins a number that other lines know.
    fn begins_number(&self, offer: &Offer, claim: &Claim) -> bool {
        let word = longer_word(offer, claim);
        word.is_some_and(|word| self.of.get(&word).is_some_and(|times| times.anywhere > 0))
    }
}

/// Codes, as claimed, that are part numbers or begin those of their products; products are given by their offers.
pub(super) fn number_stems(offers: &[Offer], products: &[Vec<u32>]) -> FxHashSet<CompactString> {
    let written = Written::of(offers);
    let mut sighted: FxHashMap<&CompactString, Sighted> = FxHashMap::default();
    let mut own: Vec<&CompactString> = Vec::new();
    for members in products {
        own.clear();
        let of_members = members.iter().flat_map(|o| &offers[*o as usize].numbers);
        let makers = of_members.filter(|n| n.usable && matches!(n.role, NumberRole::Maker | NumberRole::InTitle));
        own.extend(makers.map(|n| &n.canonical));
        for offer in members.iter().map(|o| &offers[*o as usize]) {
            for (claim, code) in codes(offer) {
                let sighted = sighted.entry(code).or_insert_with(|| Sighted {
                    canonical: canonical(code),
                    ..Sighted::default()
                });
                let begins = own.iter().any(|n| n.starts_with(&*sighted.canonical));
                sighted.lines += 1;
                sighted.in_number += u32::from(written.begins_number(offer, claim));
                sighted.beside_numbers += u32::from(!own.is_empty());
                sighted.as_beginning += u32::from(begins);
            }
        }
    }
    stems_among(&sighted, &written)
}

/// The codes that are numbers by themselves, and the rare ones of their shapes.
fn stems_among(sighted: &FxHashMap<&CompactString, Sighted>, written: &Written) -> FxHashSet<CompactString> {
    let mut shapes: FxHashMap<Shape<'_>, (usize, usize)> = FxHashMap::default();
    let mut stems = FxHashSet::default();
    let mut in_order: Vec<(&&CompactString, &Sighted)> = sighted.iter().collect();
    in_order.sort_unstable_by_key(|(code, _)| **code);
    for (code, sighted) in in_order {
        let is_stem = sighted.is_stem(written);
        let counts = shapes.entry(shape(&sighted.canonical)).or_default();
        *counts = (counts.0 + usize::from(is_stem), counts.1 + 1);
        if is_stem {
            stems.insert((*code).clone());
        }
    }
    let of_numbers = |sighted: &Sighted| {
        let (numbers, all) = shapes[&shape(&sighted.canonical)];
        numbers >= OF_SHAPE.0 && numbers as f64 >= OF_SHAPE.1 * all as f64
    };
    let rare = sighted.iter().filter(|(_, s)| s.lines <= RARE && of_numbers(s));
    stems.extend(rare.map(|(code, _)| (*code).clone()));
    stems
}

/// The letters a word begins with, and how many digits follow.
type Shape<'a> = (&'a str, usize);

fn shape(canonical: &str) -> Shape<'_> {
    let digits = canonical.find(|c: char| c.is_ascii_digit()).unwrap_or(canonical.len());
    let (letters, rest) = canonical.split_at(digits);
    (letters, rest.bytes().take_while(u8::is_ascii_digit).count())
}

/// Engine codes that an offer claims.
pub(super) fn codes(offer: &Offer) -> impl Iterator<Item = (&Claim, &CompactString)> {
    offer
        .claims
        .iter()
        .filter_map(|claim| match (claim.attribute, &claim.value) {
            (Attribute::EngineCode, Value::Code(code)) => Some((claim, code)),
            _ => None,
        })
}

/// A code without its maker, in the form of numbers.
fn canonical(code: &str) -> CompactString {
    canonical_number(code.rsplit(':').next().unwrap_or(code))
}

/// The number that a word read as an engine code stands for, in the form of numbers.
pub(super) fn word_of(offer: &Offer, claim: &Claim) -> Option<CompactString> {
    match &claim.value {
        Value::Code(code) => Some(longer_word(offer, claim).unwrap_or_else(|| canonical(code))),
        _ => None,
    }
}

/// The word of a title that begins with a claimed code and goes on behind it, in the form of numbers: "KD-6812-15".
fn longer_word(offer: &Offer, claim: &Claim) -> Option<CompactString> {
    if claim.field != Field::Title {
        return None;
    }
    let (title, text) = (offer.title.as_str(), claim.text.as_bytes());
    let here = |word: &[u8]| word.eq_ignore_ascii_case(text);
    let from = title.as_bytes().windows(text.len().max(1)).position(here)?;
    let end = |c: char| !(c.is_alphanumeric() || matches!(c, '-' | '.' | '/'));
    let tail = &title[from + claim.text.len()..];
    let tail = tail
        .split(end)
        .next()
        .unwrap_or_default()
        .trim_end_matches(['-', '.', '/']);
    (!tail.is_empty()).then(|| canonical_number(&title[from..from + claim.text.len() + tail.len()]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normalise::normaliser::Scope;
    use crate::normalise::offer::Line;
    use crate::normalise::test_rows::{line_in, offer};
    use crate::trade::numerals::Decimals;

    fn line(number: &str, codes: &str) -> Offer {
        offer(&[
            ("Part number", Field::Mpn, number),
            ("Engine", Field::EngineCode, codes),
        ])
    }

    #[test]
    fn a_word_that_begins_the_part_number_of_its_products_is_no_engine_code() {
        let offers = [line("KD68-0222", "KD68"), line("KD68-0417", "KD68 168F")];
        let stems = number_stems(&offers, &[vec![0], vec![1]]);
        assert!(stems.contains("KD68"), "{stems:?}");
        assert!(!stems.contains("168F"), "{stems:?}");
    }

    #[test]
    fn a_code_that_one_maker_builds_its_numbers_from_stays_a_code() {
        let offers = [line("168F-221", "168F"), line("71-882", "168F"), line("ORV-90", "168F")];
        assert!(number_stems(&offers, &[vec![0], vec![1], vec![2]]).is_empty());
    }

    #[test]
    fn the_beginning_of_a_number_that_other_lines_replace_is_no_engine_code() {
        let titled = |title: &str, cell: (&str, Field, &str)| match line_in(
            Scope::Fit,
            Decimals::Point,
            &[("Title", Field::Title, title), cell],
        ) {
            Line::Offer(offer) => offer,
            other => panic!("no offer: {other:?}"),
        };
        let offers = [
            titled(
                "Recoil starter 168F KD-6812-15",
                ("Engine", Field::EngineCode, "KD-6812"),
            ),
            titled("Recoil starter 168F-2", ("Replaces", Field::Replaces, "KD-6812-15")),
        ];
        let named: Vec<&str> = offers.iter().flat_map(codes).map(|(_, code)| code.as_str()).collect();
        assert!(named.contains(&"KD6812"), "read as a code at first: {named:?}");
        let stems = number_stems(&offers, &[vec![0], vec![1]]);
        assert_eq!(stems.into_iter().collect::<Vec<_>>(), ["KD6812"]);
    }

    #[test]
    fn a_word_that_number_columns_hold_as_often_as_it_is_named_is_no_engine_code() {
        let offers = [
            line("", "TDR6162"),
            line("", "TDR6162 168F"),
            line("TDR6162", ""),
            line("168F", "168F"),
            line("", "168F"),
            line("", "168F"),
        ];
        let alone: Vec<Vec<u32>> = (0..6).map(|o| vec![o]).collect();
        let stems = number_stems(&offers, &alone);
        assert!(stems.contains("TDR6162"), "{stems:?}");
    }

    #[test]
    fn a_rare_word_shaped_like_many_part_numbers_is_one_and_a_common_one_is_a_code() {
        let mut offers: Vec<Offer> = (0..4)
            .map(|i| line(&format!("ZP31{i}-68"), &format!("ZP31{i}")))
            .collect();
        offers.push(line("", "ZP958 ZP34"));
        offers.extend((0..8).map(|_| line("", "ZP200")));
        let alone: Vec<Vec<u32>> = (0..offers.len() as u32).map(|o| vec![o]).collect();
        let stems = number_stems(&offers, &alone);
        let is_stem = |code: &str| stems.contains(code);
        assert!(is_stem("ZP312") && is_stem("ZP958"), "{stems:?}");
        assert!(!is_stem("ZP200") && !is_stem("ZP34"), "{stems:?}");
    }

    #[test]
    fn a_code_beside_no_number_is_a_code() {
        assert!(number_stems(&[line("", "KD68")], &[vec![0]]).is_empty());
    }
}
