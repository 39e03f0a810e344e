//! Trade item numbers: GTIN-8, -12 (UPC-A), -13 (EAN) and -14, their check digit and what
//! spreadsheets do to them.
//!
//! The check digit is that of the GS1 General Specifications, section 7.9: from the right,
//! weights 3, 1, 3, 1 ...; it brings the sum to a multiple of ten. Numbers of all lengths are
//! kept as the 14-digit form, so a UPC and the EAN it is read as are the same number.
//!
//! Kept out of exact matching: wrong check digits, fillers, the in-store prefixes (02, 04 and
//! 20 to 29; values from memory) that every shop uses for itself, and numbers a spreadsheet has
//! rounded. A pack of two carries another GTIN than the single piece.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A sound trade item number, as its 14-digit form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Gtin(u64);

impl Gtin {
    /// The number of the 14-digit form.
    pub fn number(self) -> u64 {
        self.0
    }
}

impl fmt::Display for Gtin {
    /// Fourteen digits, zeros in front.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:014}", self.0)
    }
}

/// What a barcode cell holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum GtinReading {
    /// A number whose check digit is right.
    Sound(Gtin),
    /// Right once the leading zeros that a spreadsheet dropped are put back. One number in ten
    /// passes the check by accident, so this is weaker than `Sound`.
    Restored(Gtin),
    /// A length that a GTIN has, but the wrong check digit.
    BadCheckDigit,
    /// Rounded by a spreadsheet, or not a number of such a length.
    Damaged,
    /// A number of a shop's own, not unique beyond it.
    InStore,
    /// A filler: all one digit before the check digit, or counting up.
    Dummy,
    /// Nothing stated.
    None,
}

/// The check digit that belongs behind these digits (7, 11, 12 or 13 of them).
pub fn check_digit(digits: &str) -> Option<u8> {
    if !matches!(digits.len(), 7 | 11 | 12 | 13) || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let sum: u32 = digits
        .bytes()
        .rev()
        .zip([3, 1].into_iter().cycle())
        .map(|(digit, weight)| u32::from(digit - b'0') * weight)
        .sum();
    u8::try_from((10 - sum % 10) % 10).ok()
}

/// Reads a barcode cell; spaces, hyphens and a spreadsheet's text marks around it are allowed.
pub fn read_gtin(raw: &str) -> GtinReading {
    if is_bare(raw.as_bytes()) {
        return read_digits(raw);
    }
    read_any(raw)
}

/// Digits only and not all of them noughts or nines, as nearly every cell of barcodes is.
fn is_bare(raw: &[u8]) -> bool {
    raw.iter().all(u8::is_ascii_digit) && raw.iter().any(|digit| *digit != raw[0])
}

fn read_any(raw: &str) -> GtinReading {
    if super::identifier::is_placeholder(raw) {
        let zeros = raw.bytes().filter(|byte| *byte == b'0').count() >= 7;
        return if zeros { GtinReading::Dummy } else { GtinReading::None };
    }
    let folded = super::folding::fold(raw);
    let bare = folded.trim_matches(|c: char| matches!(c, '\'' | '"' | '=' | ' '));
    let bare = ["ean", "upc", "gtin", "barcode"]
        .iter()
        .fold(bare, |bare, label| bare.strip_prefix(label).unwrap_or(bare));
    let bare = bare.trim_start_matches([':', ' ', '#']);
    // A spreadsheet's number cell: `4006381333931.0`.
    let bare = bare.strip_suffix(".0").unwrap_or(bare);
    let mut digits = String::with_capacity(14);
    for character in bare.chars() {
        match character {
            '0'..='9' => digits.push(character),
            ' ' | '-' => {}
            _ => return GtinReading::Damaged,
        }
    }
    read_digits(&digits)
}

fn read_digits(digits: &str) -> GtinReading {
    if is_filler(digits) {
        return GtinReading::Dummy;
    }
    match digits.len() {
        8 | 12 | 13 | 14 if is_sound(digits) => sound(digits, GtinReading::Sound),
        8 | 12 | 13 | 14 => GtinReading::BadCheckDigit,
        // UPC-A without its leading zero or two; GTIN-8 without its own.
        7 | 10 | 11 => {
            let padded = if digits.len() == 7 {
                format!("{digits:0>8}")
            } else {
                format!("{digits:0>12}")
            };
            if is_sound(&padded) {
                sound(&padded, GtinReading::Restored)
            } else {
                GtinReading::Damaged
            }
        }
        _ => GtinReading::Damaged,
    }
}

fn is_sound(digits: &str) -> bool {
    let (body, check) = digits.split_at(digits.len() - 1);
    check_digit(body).is_some_and(|expected| check.bytes().eq([b'0' + expected]))
}

fn sound(digits: &str, reading: fn(Gtin) -> GtinReading) -> GtinReading {
    let full = format!("{digits:0>14}");
    match full.parse() {
        Ok(_) if is_in_store(&full, digits.len()) => GtinReading::InStore,
        Ok(number) => reading(Gtin(number)),
        Err(_) => GtinReading::Damaged,
    }
}

/// Restricted circulation numbers: EAN prefixes 02, 04 and 20 to 29; GTIN-8 from 0 or 2.
fn is_in_store(full: &str, length: usize) -> bool {
    if length == 8 {
        return matches!(full.as_bytes()[6], b'0' | b'2');
    }
    let ean = &full.as_bytes()[1..];
    matches!((ean[0], ean[1]), (b'0', b'2' | b'4') | (b'2', _))
}

fn is_filler(digits: &str) -> bool {
    let bytes = digits.as_bytes();
    let body = &bytes[..bytes.len().saturating_sub(1)];
    let same = body.len() > 6 && body.windows(2).all(|pair| pair[0] == pair[1]);
    let counting = body.len() > 6
        && body
            .windows(2)
            .all(|pair| pair[1] == if pair[0] == b'9' { b'0' } else { pair[0] + 1 });
    same || counting
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn check_digits_are_those_of_the_gs1_rule() {
        // Verified with PyPI python-stdnum 2.2, stdnum.ean.calc_check_digit.
        for (digits, check) in [
            ("629104150021", 3),
            ("400638133393", 1),
            ("7351353", 7),
            ("01234567890", 5),
            ("1001234567890", 2),
        ] {
            assert_eq!(check_digit(digits), Some(check), "{digits}");
        }
        assert_eq!(check_digit("12a4567"), None);
        assert_eq!(check_digit("123"), None);
    }

    #[test]
    fn sound_numbers_of_every_length_share_one_form() {
        for raw in [
            "6291041500213",
            "629 1041 500213",
            "'6291041500213",
            "=\"6291041500213\"",
            "06291041500213",
            "6291041500213.0",
            "EAN: 6291041500213",
        ] {
            assert_eq!(read_gtin(raw), GtinReading::Sound(Gtin(6_291_041_500_213)), "{raw}");
        }
        assert_eq!(Gtin(6_291_041_500_213).to_string(), "06291041500213");
        assert_eq!(Gtin(6_291_041_500_213).number(), 6_291_041_500_213);
        assert!(matches!(read_gtin("73513537"), GtinReading::Sound(_)));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn bare_digits_are_read_as_any_cell_is(raw in "[0-9]{0,15}|[09]{1,14}|0{1,3}[0-9]{7,11}") {
            prop_assert_eq!(read_gtin(&raw), read_any(&raw));
        }
    }

    #[test]
    fn a_lost_zero_is_put_back() {
        assert_eq!(read_gtin("036000291452"), GtinReading::Sound(Gtin(36_000_291_452)));
        assert_eq!(read_gtin("36000291452"), GtinReading::Restored(Gtin(36_000_291_452)));
        assert_eq!(read_gtin("36000291453"), GtinReading::Damaged);
    }

    #[test]
    fn what_must_not_match_says_why() {
        assert_eq!(read_gtin("4006381333930"), GtinReading::BadCheckDigit);
        assert_eq!(read_gtin("4.00638E+12"), GtinReading::Damaged);
        assert_eq!(read_gtin("0000000000000"), GtinReading::Dummy);
        assert_eq!(read_gtin("1111111111116"), GtinReading::Dummy);
        assert_eq!(read_gtin("1234567890128"), GtinReading::Dummy);
        assert_eq!(read_gtin("2001234567893"), GtinReading::InStore);
        assert_eq!(read_gtin(""), GtinReading::None);
        assert_eq!(read_gtin("n/a"), GtinReading::None);
        assert_eq!(read_gtin("12345"), GtinReading::Damaged);
    }
}
