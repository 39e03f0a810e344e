//! Why two offers were held to be the same part or not: the parts of their link, in words with figures.
//!
//! The link's weights are published in bits, five sums of them. What they were read from stands in the two rows of the
//! cross-reference; this file says it, and how strongly it speaks: two bits are four to one.

use crate::publish::column::money;
use crate::publish::{CrossrefRow, LinkRow};
use crate::shop::matching::figure;
use crate::trade::folding::fold;
use crate::trade::identifier::canonical_number;
use std::collections::BTreeSet;

/// Bits below which a part says next to nothing: five to four.
const SAYS_LITTLE: f64 = 0.32;
/// Words of a wording shown.
const MOST_WORDS: usize = 5;
/// Shortest number that can be looked for in a wording.
const LEAST_NUMBER: usize = 5;

/// One part of a link.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkPart {
    /// what was compared
    pub compared: &'static str,
    /// what both sides say
    pub words: String,
    /// weight of evidence in bits, above zero for one part
    pub bits: f64,
}

impl LinkPart {
    /// "speaks for it, 40 to 1".
    pub fn strength(&self) -> String {
        strength(self.bits)
    }
}

/// How strongly so many bits speak.
pub fn strength(bits: f64) -> String {
    if bits.abs() < SAYS_LITTLE {
        return "says little either way".into();
    }
    let side = if bits > 0.0 { "for it" } else { "against it" };
    format!("speaks {side}, {}", odds(bits.abs() * std::f64::consts::LN_2))
}

/// A likelihood ratio given as its natural logarithm, without its sign: "40 to 1".
pub fn odds(logarithm: f64) -> String {
    let ratio = logarithm.abs().exp();
    if ratio > 1000.0 {
        return "more than 1000 to 1".into();
    }
    if ratio >= 9.5 {
        let step = if ratio >= 95.0 { 10.0 } else { 1.0 };
        format!("{:.0} to 1", (ratio / step).round() * step)
    } else {
        format!("{ratio:.1} to 1")
    }
}

/// The parts of a link, in the order of a comparison.
pub fn link_parts(a: &CrossrefRow, b: &CrossrefRow, link: &LinkRow) -> Vec<LinkPart> {
    let part = |compared, words, bits: Option<f64>| LinkPart {
        compared,
        words,
        bits: bits.unwrap_or(0.0),
    };
    vec![
        part("numbers", numbers(a, b, link.identifiers_bits), link.identifiers_bits),
        part("wording", wording(a, b, link.wording_bits), link.wording_bits),
        part("claims", claims(a, b), link.claims_bits),
        part("price", price(a, b), link.price_bits),
        part("rivals", rivals(link.rivals_bits), link.rivals_bits),
    ]
}

fn numbers(a: &CrossrefRow, b: &CrossrefRow, bits: Option<f64>) -> String {
    let mut said = Vec::new();
    if !a.gtin.is_empty() && !b.gtin.is_empty() {
        said.push(if a.gtin == b.gtin {
            format!("the same barcode {}", a.gtin)
        } else {
            format!("different barcodes, {} and {}", a.gtin, b.gtin)
        });
    }
    let (x, y) = (canonical_number(&a.mpn), canonical_number(&b.mpn));
    if !x.is_empty() && !y.is_empty() {
        said.push(if x == y {
            format!("the same maker's number {}", a.mpn)
        } else {
            format!("different maker's numbers, {} and {}", a.mpn, b.mpn)
        });
    } else {
        for (number, raw, other) in [(&x, &a.mpn, b), (&y, &b.mpn, a)] {
            if number.len() >= LEAST_NUMBER && canonical_number(&other.description).contains(number.as_str()) {
                said.push(format!("the maker's number {raw} stands in the other's wording"));
            }
        }
    }
    match (said.is_empty(), bits.unwrap_or(0.0) > SAYS_LITTLE) {
        (false, _) => said.join("; "),
        (true, true) => "a number that both lines show".into(),
        (true, false) => "no number that both could share".into(),
    }
}

fn wording(a: &CrossrefRow, b: &CrossrefRow, bits: Option<f64>) -> String {
    let words = |row: &CrossrefRow| -> BTreeSet<String> {
        let folded = fold(&row.description).into_owned();
        let words = folded.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '.');
        words
            .map(|word| word.trim_matches(['-', '.']).to_string())
            .filter(|word| word.len() > 1)
            .collect()
    };
    let (x, y) = (words(a), words(b));
    let both: Vec<&String> = x.intersection(&y).collect();
    let only_a: Vec<&String> = x.difference(&y).collect();
    let only_b: Vec<&String> = y.difference(&x).collect();
    let said = [
        ("both say", both),
        ("only the first says", only_a),
        ("only the second says", only_b),
    ];
    // where the wording speaks for one part, the words on one side only are such as differ anyway
    let shown = if bits.unwrap_or(0.0) > SAYS_LITTLE { 1 } else { 3 };
    let said: Vec<String> = said
        .into_iter()
        .take(shown)
        .filter(|(_, words)| !words.is_empty())
        .map(|(who, words)| format!("{who} {}", telling(words)))
        .collect();
    if said.is_empty() {
        "nothing unusual that only one side says".into()
    } else {
        said.join("; ")
    }
}

/// The words that tell most: those with digits, then the longest.
fn telling(mut words: Vec<&String>) -> String {
    let has_digit = |word: &str| word.chars().any(|c| c.is_ascii_digit());
    words.sort_by(|x, y| {
        let key = |word: &str| (!has_digit(word), usize::MAX - word.chars().count());
        key(x).cmp(&key(y)).then(x.cmp(y))
    });
    let more = if words.len() > MOST_WORDS { ", ..." } else { "" };
    let shown: Vec<&str> = words.iter().take(MOST_WORDS).map(|word| word.as_str()).collect();
    format!("{}{more}", shown.join(", "))
}

fn claims(a: &CrossrefRow, b: &CrossrefRow) -> String {
    let count = |n: Option<u8>| n.map(|n| format!("{n} holes")).unwrap_or_default();
    let mm = |mm: Option<f64>| {
        mm.map(|mm| format!("bolt circle {} mm", figure(mm)))
            .unwrap_or_default()
    };
    let cc = |cc: &str| {
        if cc.is_empty() {
            String::new()
        } else {
            format!("{cc} cc")
        }
    };
    let rows = [
        (a.part_kind.to_string(), b.part_kind.to_string()),
        (cc(&a.displacement_cc), cc(&b.displacement_cc)),
        (count(a.bolt_holes), count(b.bolt_holes)),
        (mm(a.bolt_circle_mm), mm(b.bolt_circle_mm)),
        (a.thread.to_string(), b.thread.to_string()),
    ];
    let stated = |pair: &&(String, String)| !pair.0.is_empty() && !pair.1.is_empty();
    let said: Vec<String> = rows
        .iter()
        .filter(stated)
        .map(|(x, y)| {
            if x == y {
                format!("both {x}")
            } else {
                format!("{x} against {y}")
            }
        })
        .collect();
    if said.is_empty() {
        "nothing that both state".into()
    } else {
        said.join("; ")
    }
}

fn price(a: &CrossrefRow, b: &CrossrefRow) -> String {
    let words = |row: &CrossrefRow| row.unit_price.map(|price| format!("{} {}", money(price), row.currency));
    match (words(a), words(b)) {
        (Some(x), Some(y)) if a.currency == b.currency => format!("{x} against {y}"),
        (Some(x), Some(y)) => format!("{x} against {y}; not compared across currencies"),
        _ => "not both have one".into(),
    }
}

fn rivals(bits: Option<f64>) -> String {
    match bits.unwrap_or(0.0) {
        bits if bits < -SAYS_LITTLE => "other lines of the same lists are as good a match or better",
        bits if bits > SAYS_LITTLE => "no other line of either list comes as near",
        _ => "no other line bears on it",
    }
    .into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(description: &str, mpn: &str) -> CrossrefRow {
        CrossrefRow {
            description: description.into(),
            mpn: mpn.into(),
            part_kind: "recoil-starter".into(),
            ..CrossrefRow::default()
        }
    }

    #[test]
    fn each_part_says_what_was_compared() {
        let one = CrossrefRow {
            bolt_circle_mm: Some(118.0),
            unit_price: "12.5".parse().ok(),
            currency: "EUR".into(),
            ..row("Recoil starter 168F brunlo", "TV-4471A")
        };
        let two = CrossrefRow {
            bolt_circle_mm: Some(131.0),
            unit_price: "11.9".parse().ok(),
            currency: "EUR".into(),
            ..row("Lanceur brunlo TV 4471 A 168F", "")
        };
        let link = LinkRow {
            identifiers_bits: Some(6.0),
            rivals_bits: Some(-2.0),
            ..LinkRow::default()
        };
        let parts = link_parts(&one, &two, &link);
        assert_eq!(
            parts[0].words,
            "the maker's number TV-4471A stands in the other's wording"
        );
        assert_eq!(parts[0].strength(), "speaks for it, 64 to 1");
        assert!(
            parts[1].words.starts_with("both say 168f, brunlo"),
            "{}",
            parts[1].words
        );
        assert_eq!(
            parts[2].words,
            "both recoil-starter; bolt circle 118 mm against bolt circle 131 mm"
        );
        assert_eq!(parts[3].words, "12.50 EUR against 11.90 EUR");
        assert_eq!(parts[4].strength(), "speaks against it, 4.0 to 1");
    }

    #[test]
    fn odds_are_rounded_to_what_they_are_worth() {
        assert_eq!(odds(2.3), "10 to 1");
        assert_eq!(odds(5.0), "150 to 1");
        assert_eq!(odds(-0.9), "2.5 to 1");
        assert_eq!(odds(40.0), "more than 1000 to 1");
        assert_eq!(strength(0.1), "says little either way");
    }
}
