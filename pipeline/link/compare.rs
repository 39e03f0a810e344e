//! One pair of records -> one comparison.
//!
//! This file holds observation only. Rare words count both ways: the rarest shared word for the pair, the rarest unshared
//! word of either side against it.

use super::claim_levels::claim_level;
pub use super::comparison::{ALL_FIELDS, Comparison, FIELDS, Field, LEVELS, Lies, PATHS, Path};
use super::further::Further;
use super::number_levels::{lettered_in_common, number_level, shares_number};
use super::opposites::Opposites;
use super::records::{KindSure, NO_WORD, Record, Records, WordId, WordShape};
pub use super::titles::Sides;
use super::titles::Titles;

/// Room to compare in, to be used again for the next pair.
#[derive(Default)]
pub struct Scratch {
    /// words that only one of both titles has
    alone: [Vec<WordId>; 2],
}

/// Compares two records.
pub fn compare(records: &Records, a: &Record, b: &Record) -> Comparison {
    compare_in(&mut Scratch::default(), records, &Opposites::default(), a, b)
}

/// Compares two records, one pair of many.
pub fn compare_in(
    scratch: &mut Scratch,
    records: &Records,
    opposites: &Opposites,
    a: &Record,
    b: &Record,
) -> Comparison {
    let titles = Titles::of(&mut scratch.alone, records, a, b);
    let (number, mut number_records) = number_level(records, a, b);
    let mut levels = [0u8; FIELDS];
    levels[Field::Barcode as usize] = barcode_level(a, b);
    levels[Field::Number as usize] = number;
    levels[Field::Words as usize] = 1 + (titles.cosine * 10.0).min(9.0) as u8;
    levels[Field::RareShared as usize] = titles.rarest_shared;
    let [x, y] = titles.rarest;
    levels[Field::RareMissing as usize] = x.min(y);
    levels[Field::RareMissingMost as usize] = x.max(y);
    levels[Field::Codes as usize] = code_level(records, &titles);
    levels[Field::Figures as usize] = figure_level(records, opposites, &titles);
    levels[Field::Price as usize] = price_level(a, b);
    levels[Field::Brand as usize] = brand_level(a, b);
    levels[Field::Claims as usize] = claim_level(&a.hard, &b.hard);
    levels[Field::Extra as usize] = extra_level(records, a, b, &titles);
    levels[Field::Kind as usize] = kind_level(a, b);
    levels[Field::Weight as usize] = weight_level(a, b);
    let further = Further::of(records, a, b);
    if let Some(further) = &further {
        levels[Field::Everything as usize] = 1 + (further.cosine * 10.0).min(9.0) as u8;
        levels[Field::RareFurther as usize] = further.rarest;
    }
    let by_identifier = levels[Field::Barcode as usize] == 1 || shares_number(records, a, b);
    if levels[Field::Barcode as usize] == 1 && matches!(levels[Field::Number as usize], 6 | 7) {
        // that both also replace one number is no news about two lines with one barcode
        levels[Field::Number as usize] = 0;
        number_records = 0;
    }
    if levels[Field::Number as usize] == 5 && !by_identifier && !lettered_in_common(records, a, b) {
        // a common word of both titles is no second piece of evidence for being a number as well
        levels[Field::Number as usize] = 0;
        number_records = 0;
    }
    let path = if by_identifier { Path::Identifier } else { Path::Words };
    Comparison {
        levels,
        cosine: titles.cosine,
        likeness: further.map_or(titles.cosine, |f| (f.cosine + titles.cosine) / 2.0),
        path,
        lies: if a.list == b.list { Lies::Inside } else { Lies::Between },
        by_words: false,
        number_records,
    }
}

fn barcode_level(a: &Record, b: &Record) -> u8 {
    match (a.gtin, b.gtin) {
        (0, _) | (_, 0) => 0,
        (x, y) if x == y => 1,
        // another pack of the same part carries another barcode
        _ if a.pack != b.pack => 0,
        _ => 2,
    }
}

fn code_level(records: &Records, titles: &Titles) -> u8 {
    let codes = |s: usize| {
        let codes = titles.alone[s]
            .iter()
            .filter(|w| records.traits[**w as usize].shape == WordShape::Code);
        codes.map(|w| &records.words[*w as usize])
    };
    let (left, right) = (codes(0).count(), codes(1).count());
    match (titles.codes_shared, left, right) {
        (0, 0, _) | (0, _, 0) => 0,
        (0, ..) => {
            let pairs = || codes(0).flat_map(|x| codes(1).map(move |y| (&x.text, &y.text)));
            if pairs().any(|(x, y)| near_codes(x, y)) {
                2
            } else if pairs().any(|(x, y)| same_shape(x, y)) {
                4
            } else {
                5
            }
        }
        (_, 0, _) | (_, _, 0) => 1,
        _ => 3,
    }
}

fn figure_level(records: &Records, opposites: &Opposites, titles: &Titles<'_>) -> u8 {
    if opposites.oppose(records, titles.alone) {
        return 4;
    }
    let alone = |s: usize| {
        titles.alone[s]
            .iter()
            .any(|w| records.traits[*w as usize].shape == WordShape::Figure)
    };
    match (alone(0), alone(1)) {
        (true, true) => 3,
        (false, false) => u8::from(titles.figures_shared > 0),
        _ => 2,
    }
}

/// One code holds the other ("kr200x" and "kr200"), or one slip apart where it cannot be another model.
fn near_codes(x: &str, y: &str) -> bool {
    let (short, long) = if x.len() <= y.len() { (x, y) } else { (y, x) };
    short.len() >= 4 && (long.starts_with(short) || long.ends_with(short))
}

fn same_shape(x: &str, y: &str) -> bool {
    x.len() == y.len()
        && x.bytes()
            .zip(y.bytes())
            .all(|(p, q)| p.is_ascii_digit() == q.is_ascii_digit())
}

/// Levels 1-6 compare prices of one currency; 7-11 compare what each price is beside its own list's median,
/// which survives other currencies and price levels but is rougher.
fn price_level(a: &Record, b: &Record) -> u8 {
    let ratio = (a.log_price - b.log_price).abs();
    if a.currency == b.currency && !ratio.is_nan() {
        return 1 + steps(ratio, &[0.005, 0.06, 0.2, 0.5, 1.1]);
    }
    match (a.relative_price - b.relative_price).abs() {
        apart if apart.is_nan() => 0,
        apart => 7 + steps(apart, &[0.15, 0.3, 0.6, 1.2]),
    }
}

fn weight_level(a: &Record, b: &Record) -> u8 {
    match (a.log_weight - b.log_weight).abs() {
        ratio if ratio.is_nan() => 0,
        ratio => 1 + steps(ratio, &[0.012, 0.04, 0.1, 0.25, 0.6]),
    }
}

/// How many limits a value exceeds.
fn steps(value: f32, limits: &[f32]) -> u8 {
    limits.iter().filter(|limit| value > **limit).count() as u8
}

fn kind_level(a: &Record, b: &Record) -> u8 {
    if a.kind == b.kind {
        return 1;
    }
    match a.kind_sure.min(b.kind_sure) {
        KindSure::InDoubt => 0,
        KindSure::BeyondDoubt => 2,
        KindSure::QuiteCertain => 3,
    }
}

fn brand_level(a: &Record, b: &Record) -> u8 {
    match (a.brand, b.brand) {
        (NO_WORD, _) | (_, NO_WORD) => 0,
        (x, y) if x == y => 1,
        _ => 2,
    }
}

fn extra_level(records: &Records, a: &Record, b: &Record, titles: &Titles) -> u8 {
    if a.extra.is_empty() && b.extra.is_empty() {
        return 0;
    }
    let found = |alone: &[WordId], other: &Record| {
        alone
            .iter()
            .filter(|w| other.extra.binary_search(w).is_ok())
            .map(|w| records.traits[*w as usize].rarity)
            .fold(1, u8::max)
    };
    found(&titles.alone[0], b).max(found(&titles.alone[1], a))
}

#[cfg(test)]
mod tests {
    use super::super::records::{NumberPlace, RecordText};
    use super::*;

    #[test]
    fn figures_on_both_sides_oppose_each_other_and_a_number_that_is_a_common_word_brings_no_pair_together() {
        let text = |list: u32, title: &'static str, number: &'static str| RecordText {
            numbers: vec![(NumberPlace::Title, number)],
            ..RecordText::titled(list, title)
        };
        let texts = [
            text(0, "lamp brunlo 8in 19900412", "19900412"),
            text(1, "lamp drolik 9in 19900412", "19900412"),
        ];
        let records = Records::of(&texts);
        let pair = compare(&records, &records.list[0], &records.list[1]);
        assert_eq!(pair.levels[Field::Figures as usize], 3);
        assert_eq!((pair.path, pair.levels[Field::Number as usize]), (Path::Words, 0));
    }

    #[test]
    fn prices_compare_inside_a_currency_and_else_beside_the_median_of_their_lists() {
        let level = |x: (f64, u16, f64), y: (f64, u16, f64)| {
            let text = |list: u32, (price, currency, relative_price): (f64, u16, f64)| RecordText {
                price,
                currency,
                relative_price,
                ..RecordText::titled(list, "recoil starter")
            };
            let records = Records::of(&[text(0, x), text(1, y)]);
            price_level(&records.list[0], &records.list[1])
        };
        let none = f64::NAN;
        assert_eq!(level((10.0, 0, none), (10.0, 0, none)), 1);
        assert_eq!(level((10.0, 0, none), (10.5, 0, none)), 2);
        assert_eq!(level((10.0, 0, none), (40.0, 0, none)), 6);
        assert_eq!(level((40.0, 0, none), (10.0, 0, none)), 6);
        assert_eq!(level((10.0, 0, 0.1), (10.0, 1, 0.2)), 7, "another currency");
        assert_eq!(level((10.0, 0, -1.0), (10.0, 1, 1.0)), 11);
        assert_eq!(level((10.0, 0, none), (10.0, 1, 0.2)), 0);
        assert_eq!(level((none, 0, none), (10.0, 0, none)), 0);
    }

    #[test]
    fn codes_are_near_where_one_holds_the_other_and_alike_in_shape_where_digits_stand_under_digits() {
        assert!(near_codes("kr200x", "kr200") && near_codes("200kr", "x200kr"));
        assert!(!near_codes("kr200", "kr210") && !near_codes("kr2", "kr200"));
        assert!(same_shape("kr200", "tb910"));
        assert!(!same_shape("kr200", "kr2x0") && !same_shape("kr200", "kr2000"));
    }
}
