//! Displacements stated in text, in cubic centimetres.
//!
//! Read: cc, ccm, cm³, ml, L (`0.196 L`), cu in / CID / in³; lists, ranges and decimal commas,
//! see `amounts`; the unit or a label in front (`cc 196`, `Hubraum: 196`). Not read: designations
//! (`168F` is a bore of 68 mm, not 168 cc), years, prices, and the ml or litres of oil and fuel.
//!
//! Limits: 20 to 2000 cc; anything else is no engine that is started by hand.

use super::Context;
use super::amounts::{Amount, Glue, Joined, find_amounts};
use super::interval::Interval;
use super::pattern::finders;
use super::units::VolumeUnit;
use memchr::memmem::Finder;
use std::ops::Range;
use std::sync::LazyLock;

/// A displacement found in text.
#[derive(Debug, Clone, PartialEq)]
pub struct AmountReading {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Displacements served, cc, each as wide as its last digit; one interval for a range.
    pub served: Vec<Interval>,
    /// Whether a range was stated.
    pub is_range: bool,
}

/// Smallest and largest displacement read, cc.
const PLAUSIBLE_CC: Interval = Interval {
    low: 20.0,
    high: 2000.0,
};

/// Finds the displacements of a folded text, in order. In a column a bare number is cc, or
/// litres when it is below 3 and written with decimals.
pub fn read_displacement(folded: &str, context: Context) -> Vec<AmountReading> {
    if !folded.bytes().any(|byte| byte.is_ascii_digit()) {
        return Vec::new();
    }
    let bare = (context == Context::Column).then_some(VolumeUnit::CubicCentimetre);
    let readings: Vec<AmountReading> = find_amounts(folded, unit_at, bare)
        .into_iter()
        .filter(|amount| context == Context::Column || !is_filling(folded, amount))
        .filter_map(|amount| plausible(amount, context))
        .collect();
    if readings.is_empty() && context == Context::Title {
        behind_label(folded)
    } else {
        readings
    }
}

fn plausible(mut amount: Amount<VolumeUnit>, context: Context) -> Option<AmountReading> {
    if context == Context::Column {
        for (number, unit) in &mut amount.items {
            if *unit == VolumeUnit::CubicCentimetre && number.value < 3.0 && number.half_ulp < 0.5 {
                *unit = VolumeUnit::Litre;
            }
        }
    }
    amount
        .items
        .retain(|(number, unit)| PLAUSIBLE_CC.contains(number.value * unit.cm3()));
    let is_range = amount.joined == Joined::Range && amount.items.len() == 2;
    let served = amount.served(VolumeUnit::cm3);
    (!served.is_empty()).then(|| AmountReading {
        span: amount.span.clone(),
        served,
        is_range,
    })
}

/// The unit at the start of what follows a number.
fn unit_at(text: &str, _: Glue) -> Option<(VolumeUnit, usize)> {
    // Longest spelling first, so that "ccm" is not read as "cc" and a rest.
    const SPELLINGS: [&str; 33] = [
        "cubic inches",
        "cubic inch",
        "cu. inch",
        "cubic in",
        "cu inch",
        "cu. in.",
        "cu.in.",
        "cu. in",
        "cu in",
        "cu.in",
        "cuin",
        "cui",
        "cid",
        "in^3",
        "in3",
        "ccm",
        "cm^3",
        "cm3",
        "cmc",
        "c.c.",
        "cc",
        "ml",
        "毫升",
        "kubikcm",
        "kubikk",
        "kubik",
        "cilindradas",
        "куб. см",
        "куб.см",
        "куб см",
        "куб",
        "см^3",
        "см3",
    ];
    let first = text.as_bytes().first()?;
    if !matches!(first, b'c' | b'i' | b'k' | b'm' | b'l' | 0xd0 | 0xd1 | 0xe6) {
        return None;
    }
    for spelling in SPELLINGS {
        if let Some(rest) = text.strip_prefix(spelling)
            && ends_here(rest)
        {
            return VolumeUnit::from_word(spelling).map(|unit| (unit, spelling.len()));
        }
    }
    let litre = ["litres", "liters", "litre", "liter", "litri", "litro", "ltr", "l"]
        .into_iter()
        .find(|word| text.strip_prefix(word).is_some_and(ends_here))?;
    Some((VolumeUnit::Litre, litre.len()))
}

/// Whether a unit may end before `rest`: no letter or digit goes on.
fn ends_here(rest: &str) -> bool {
    !rest.starts_with(|c: char| c.is_ascii_alphanumeric())
}

/// Words that say a volume is of oil, fuel or a bottle.
const FILLING_WORDS: [&str; 22] = [
    "oil",
    "fuel",
    "tank",
    "bottle",
    "can ",
    "capacity",
    "ol ",
    "oel",
    "kraftstoff",
    "benzin",
    "tankinhalt",
    "flasche",
    "huile",
    "essence",
    "reservoir",
    "aceite",
    "combustible",
    "olio",
    "serbatoio",
    "olie",
    "olej",
    "paliw",
];

/// Whether an amount in ml or litres stands beside such a word, or is no usual displacement.
fn is_filling(text: &str, amount: &Amount<VolumeUnit>) -> bool {
    const NEAR: usize = 18;
    let liquid = |unit: &VolumeUnit| matches!(unit, VolumeUnit::Litre | VolumeUnit::Millilitre);
    if !amount.items.iter().any(|(_, unit)| liquid(unit)) {
        return false;
    }
    let from = floor_boundary(text, amount.span.start.saturating_sub(NEAR));
    let to = floor_boundary(text, (amount.span.end + NEAR).min(text.len()));
    let around = &text[from..to];
    FILLING_WORDS.iter().any(|word| around.contains(word))
}

fn floor_boundary(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Words that announce a displacement, folded, and units written in front.
const LABELS: [&str; 24] = [
    "displacement",
    "hubraum",
    "cylindree",
    "cilindrada",
    "cilindrata",
    "cilinderinhoud",
    "pojemnosc",
    "slagvolumen",
    "slagvolym",
    "slagvolum",
    "cylindervolym",
    "zdvihovy objem",
    "objem",
    "obsah",
    "poj",
    "рабочии объем",
    "объем",
    "engine capacity",
    "排量",
    "ccm",
    "cm3",
    "cc",
    "c.c.",
    "engine size",
];

/// `displacement: 196`, `cc 163/196`: the unit or the label stands in front.
fn behind_label(text: &str) -> Vec<AmountReading> {
    static FINDERS: LazyLock<Vec<(&str, Finder<'static>)>> = LazyLock::new(|| finders(LABELS));
    for (label, finder) in FINDERS.iter() {
        let Some(place) = finder.find(text.as_bytes()) else {
            continue;
        };
        let preceded = text[..place]
            .chars()
            .next_back()
            .is_some_and(|c| c.is_ascii_alphanumeric());
        let from = place + label.len();
        let rest = text[from..].trim_start_matches([' ', ':', '=', '.', '(', ')']);
        let start = text.len() - rest.len();
        if preceded || !rest.starts_with(|c: char| c.is_ascii_digit()) || start == from && label.is_ascii() {
            continue;
        }
        // Only the chain directly behind the label is meant.
        let found = find_amounts(rest, unit_at, Some(VolumeUnit::CubicCentimetre))
            .into_iter()
            .next()
            .filter(|amount| amount.span.start == 0)
            .filter(|amount| !super::wording::goes_on_with_unit(&rest[amount.span.end..]))
            .and_then(|amount| plausible(amount, Context::Column));
        if let Some(reading) = found {
            return vec![AmountReading {
                span: place..start + reading.span.end,
                ..reading
            }];
        }
    }
    Vec::new()
}

#[cfg(test)]
#[path = "displacement_tests.rs"]
mod tests;
