//! Numbers as people write them in lists: decimal comma or point, digit groups, fractions.
//!
//! A number is read together with how finely it was written: half of its last digit, because
//! that much the writer has rounded away. Fractions are rulers' readings: a ruler is marked in
//! sixteenths, so `4 1/8` is good to 1/32 of its unit whatever its denominator up to 16, and
//! 32nds and 64ths to half of themselves.
//!
//! Limits: at most 15 digits; no exponents (those are spreadsheet damage, see `damage`).

use super::lexing::fraction_tail;
use serde::{Deserialize, Serialize};

pub use super::lexing::{Lexed, Written, lex_decimal, lex_number};

/// Which character sets off the decimals in a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
pub enum Decimals {
    /// `1.234,56`
    Comma,
    /// `1,234.56`
    Point,
    /// Not known; each number is read by its own shape.
    #[default]
    Unsure,
}

/// A number and half of the last digit it was written with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// The value.
    pub value: f64,
    /// Half of the last digit written: 0.5 for `118`, 0.05 for `118.0`, 1/32 for `4 1/8`.
    pub half_ulp: f64,
}

pub(super) const MOST_DIGITS: usize = 15;

/// Reads a whole cell as one number: `1.234,56`, `1 234,56`, `1'234.50`, `6,5`, `4 1/8`,
/// `4-1/8`, `1/4`, `½`; a sign in front is allowed.
///
/// With [`Decimals::Unsure`] the later of two different marks sets off the decimals; a lone
/// point does too; a lone comma does unless exactly three digits follow a group of one to three
/// that is not `0` (`1,234`).
pub fn read_number(text: &str, decimals: Decimals) -> Option<Number> {
    let text = text.trim();
    let (negative, unsigned) = match text.as_bytes().first()? {
        b'-' => (true, &text[1..]),
        b'+' => (false, &text[1..]),
        _ => (false, text),
    };
    let number = read_fraction(unsigned).or_else(|| read_decimal(unsigned, decimals))?;
    Some(if negative {
        Number {
            value: -number.value,
            ..number
        }
    } else {
        number
    })
}

/// The digits of a written decimal in plain form, `1234.56`, for exact arithmetic.
///
/// Takes the same spellings as [`read_number`] except fractions and signs.
pub fn plain_digits(text: &str, decimals: Decimals) -> Option<String> {
    let text = text.trim();
    let bytes = text.as_bytes();
    if !bytes.first()?.is_ascii_digit() && !matches!(bytes, [b'.' | b',', b'0'..=b'9', ..]) {
        return None;
    }
    let mark = decimal_mark(bytes, decimals);
    let (whole, part) = match mark {
        Some(at) => (&text[..at], &text[at + 1..]),
        None => (text, ""),
    };
    if !part.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let whole = ungrouped(whole)?;
    if whole.len() + part.len() > MOST_DIGITS || (whole.is_empty() && part.is_empty()) {
        return None;
    }
    let whole = if whole.is_empty() { "0".to_owned() } else { whole };
    Some(if part.is_empty() {
        whole
    } else {
        format!("{whole}.{part}")
    })
}

fn read_decimal(text: &str, decimals: Decimals) -> Option<Number> {
    let plain = plain_digits(text, decimals)?;
    let places = plain.find('.').map_or(0, |at| plain.len() - at - 1);
    Some(Number {
        value: plain.parse().ok()?,
        half_ulp: half_of_last_digit(places),
    })
}

pub(super) fn half_of_last_digit(places: usize) -> f64 {
    0.5 / 10f64.powi(i32::try_from(places).unwrap_or(0))
}

/// Where the decimals begin, if anywhere.
fn decimal_mark(bytes: &[u8], decimals: Decimals) -> Option<usize> {
    let comma = bytes.iter().rposition(|b| *b == b',');
    let point = bytes.iter().rposition(|b| *b == b'.');
    match (comma, point) {
        (Some(comma), Some(point)) => Some(comma.max(point)),
        (None, None) => None,
        (Some(at), None) => lone_mark(bytes, at, decimals != Decimals::Point, decimals),
        (None, Some(at)) => lone_mark(bytes, at, decimals != Decimals::Comma, decimals),
    }
}

/// Whether the only kind of mark present sets off decimals or groups digits.
fn lone_mark(bytes: &[u8], at: usize, may_be_decimal: bool, decimals: Decimals) -> Option<usize> {
    let mark = bytes[at];
    let repeated = bytes.iter().filter(|b| **b == mark).count() > 1;
    let looks_grouped = bytes.len() - at == 4 && (1..=3).contains(&at) && bytes[0] != b'0';
    if repeated {
        return None;
    }
    match (may_be_decimal, looks_grouped) {
        (true, false) => Some(at),
        (true, true) if decimals == Decimals::Unsure && mark == b',' => None,
        (true, true) => Some(at),
        (false, true) => None,
        // The list's grouping mark, but no group: `9.90` among decimal commas.
        (false, false) => Some(at),
    }
}

/// Digits without their group marks; None where the groups are not of three.
fn ungrouped(whole: &str) -> Option<String> {
    let mut digits = String::with_capacity(whole.len());
    let mut group = 0;
    let mut grouped = false;
    for character in whole.chars() {
        match character {
            '0'..='9' => {
                digits.push(character);
                group += 1;
            }
            ',' | '.' | '\'' | '’' | ' ' | '\u{a0}' | '\u{202f}' => {
                if group == 0 || (grouped && group != 3) || group > 3 {
                    return None;
                }
                grouped = true;
                group = 0;
            }
            _ => return None,
        }
    }
    (!grouped || group == 3).then_some(digits)
}

fn read_fraction(text: &str) -> Option<Number> {
    if let Some(number) = vulgar(text) {
        return Some(number);
    }
    let slash = text.find(['/', '⁄'])?;
    let (_, end) = fraction_tail(text, 0)?;
    if end != text.len() || slash == 0 {
        return None;
    }
    lex_number(text, 0)
        .filter(|lexed| lexed.end == text.len())
        .map(|lexed| lexed.number)
}

/// A vulgar fraction glyph, alone or after a whole number: `½`, `4½`, `4 ⅛`.
fn vulgar(text: &str) -> Option<Number> {
    let last = text.chars().next_back()?;
    let (over, under) = match last {
        '¼' => (1.0, 4.0),
        '½' => (1.0, 2.0),
        '¾' => (3.0, 4.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    };
    let whole = text[..text.len() - last.len_utf8()].trim_end();
    let whole: f64 = if whole.is_empty() {
        0.0
    } else if whole.len() <= 4 && whole.bytes().all(|b| b.is_ascii_digit()) {
        whole.parse().ok()?
    } else {
        return None;
    };
    Some(Number {
        value: whole + over / under,
        half_ulp: 1.0 / 32.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str, decimals: Decimals) -> Option<f64> {
        read_number(text, decimals).map(|number| number.value)
    }

    #[test]
    fn decimal_marks_and_groups_are_told_apart() {
        for decimals in [Decimals::Comma, Decimals::Unsure] {
            assert_eq!(value("1.234,56", decimals), Some(1234.56));
            assert_eq!(value("1 234,56", decimals), Some(1234.56));
            assert_eq!(value("6,5", decimals), Some(6.5));
        }
        assert_eq!(value("1,234.56", Decimals::Point), Some(1234.56));
        assert_eq!(value("1'234.50", Decimals::Unsure), Some(1234.5));
        assert_eq!(value("1.234.567", Decimals::Unsure), Some(1_234_567.0));
        assert_eq!(value("-3.5", Decimals::Unsure), Some(-3.5));
        assert_eq!(value(",5", Decimals::Unsure), Some(0.5));
    }

    #[test]
    fn a_lone_mark_before_three_digits_follows_the_list() {
        assert_eq!(value("1.234", Decimals::Comma), Some(1234.0));
        assert_eq!(value("1.234", Decimals::Point), Some(1.234));
        assert_eq!(value("1,234", Decimals::Unsure), Some(1234.0));
        assert_eq!(value("1.234", Decimals::Unsure), Some(1.234));
        assert_eq!(value("0,196", Decimals::Unsure), Some(0.196));
        assert_eq!(value("9.90", Decimals::Comma), Some(9.9));
    }

    #[test]
    fn fractions_are_read_with_their_ruler() {
        let number = read_number("4 1/8", Decimals::Unsure).expect("a number");
        assert_eq!((number.value, number.half_ulp), (4.125, 1.0 / 32.0));
        assert_eq!(value("4-1/8", Decimals::Unsure), Some(4.125));
        assert_eq!(value("1/4", Decimals::Unsure), Some(0.25));
        assert_eq!(value("½", Decimals::Unsure), Some(0.5));
        assert_eq!(value("4½", Decimals::Unsure), Some(4.5));
        let fine = read_number("11/32", Decimals::Unsure).expect("a number");
        assert_eq!(fine.half_ulp, 1.0 / 64.0);
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in [
            "",
            "-",
            ".",
            "1.2.3",
            "12,34,5",
            "1/3",
            "3/2",
            "4.00638E+12",
            "12a",
            "1 23",
        ] {
            assert_eq!(value(text, Decimals::Unsure), None, "{text:?}");
        }
    }

    #[test]
    fn the_last_digit_written_sets_the_rounding() {
        assert_eq!(read_number("118", Decimals::Point).map(|n| n.half_ulp), Some(0.5));
        assert_eq!(read_number("118.0", Decimals::Point).map(|n| n.half_ulp), Some(0.05));
    }

    #[test]
    fn lists_of_numbers_stop_at_their_separator() {
        let first = |text: &str| lex_number(text, 0).map(|l| (l.number.value, l.end));
        assert_eq!(first("163,196,212cc"), Some((163.0, 3)));
        assert_eq!(first("163, 196"), Some((163.0, 3)));
        assert_eq!(first("5,5/6,5"), Some((5.5, 3)));
        assert_eq!(first("163/196"), Some((163.0, 3)));
        assert_eq!(first("4 1/8\""), Some((4.125, 5)));
        assert_eq!(first("0,196 l"), Some((0.196, 5)));
    }
}
