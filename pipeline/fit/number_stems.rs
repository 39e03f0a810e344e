//! Words read as engine codes that are part numbers, or their beginnings.
//!
//! "KD68 0222" in a title is a maker's number in two words, and its first word looks like an engine code; so does a number
//! of digits behind a list of codes. Only the run can tell: where a code's products have numbers of their own, and most
//! of these begin with it, it is no engine code. A true code stands beside numbers of many makers.

use crate::normalise::claim::{Attribute, Value};
use crate::normalise::offer::{NumberRole, Offer};
use crate::trade::identifier::canonical_number;
use compact_str::CompactString;
use rustc_hash::{FxHashMap, FxHashSet};

/// Share of the sightings beside a number that must be its beginning.
const MOSTLY: f64 = 0.5;

/// Sightings of one code in products that have numbers of their own.
#[derive(Default)]
struct Sighted {
    canonical: CompactString,
    beside_numbers: u32,
    as_beginning: u32,
}

/// Codes, as claimed, that begin the part numbers of their products; products are given by their offers.
pub(super) fn number_stems(offers: &[Offer], products: &[Vec<u32>]) -> FxHashSet<CompactString> {
    let mut sighted: FxHashMap<&CompactString, Sighted> = FxHashMap::default();
    let mut numbers: Vec<&CompactString> = Vec::new();
    for members in products {
        numbers.clear();
        let of_members = members.iter().flat_map(|o| &offers[*o as usize].numbers);
        let own = of_members.filter(|n| n.usable && matches!(n.role, NumberRole::Maker | NumberRole::InTitle));
        numbers.extend(own.map(|n| &n.canonical));
        if numbers.is_empty() {
            continue;
        }
        for claim in members.iter().flat_map(|o| &offers[*o as usize].claims) {
            let (Attribute::EngineCode, Value::Code(code)) = (claim.attribute, &claim.value) else {
                continue;
            };
            let sighted = sighted.entry(code).or_insert_with(|| Sighted {
                canonical: canonical_number(code.rsplit(':').next().unwrap_or(code)),
                ..Sighted::default()
            });
            let begins = numbers.iter().any(|n| n.starts_with(&*sighted.canonical));
            sighted.beside_numbers += 1;
            sighted.as_beginning += u32::from(begins);
        }
    }
    let is_stem = |s: &Sighted| f64::from(s.as_beginning) >= MOSTLY * f64::from(s.beside_numbers);
    let mut stems = FxHashSet::default();
    stems.extend(
        sighted
            .into_iter()
            .filter(|(_, s)| is_stem(s))
            .map(|(code, _)| code.clone()),
    );
    stems
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::field::Field;
    use crate::normalise::test_rows::offer;

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
    fn a_code_beside_no_number_is_a_code() {
        assert!(number_stems(&[line("", "KD68")], &[vec![0]]).is_empty());
    }
}
