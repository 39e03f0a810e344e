//! Numbers inside running text: where one begins, how far it goes and how it was written.
//!
//! A title is full of marks that are no decimal marks, so this reader is stricter than that of a
//! cell: `163,196,212` is a list, `1/4` a ruler's fraction only with a ruler's denominator.

use super::numerals::{MOST_DIGITS, Number, half_of_last_digit};

/// What a lexed number looked like, for readers that care.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Written {
    /// Digits only.
    Whole,
    /// With decimals.
    Decimal,
    /// With a fraction: `1/4`, `4 1/8`.
    Fraction,
}

/// A number found inside text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lexed {
    /// The number.
    pub number: Number,
    /// Byte offset just after it.
    pub end: usize,
    /// How it was written.
    pub written: Written,
}

/// Reads the number that starts at byte `at` of running text, ruler fractions included; see
/// [`lex_decimal`] for the rest.
pub fn lex_number(text: &str, at: usize) -> Option<Lexed> {
    if !text.as_bytes().get(at)?.is_ascii_digit() {
        return None;
    }
    match fraction_tail(text, at) {
        Some((number, end)) => Some(Lexed {
            number,
            end,
            written: Written::Fraction,
        }),
        None => lex_decimal(text, at),
    }
}

/// Reads the number that starts at byte `at` of running text, where lists of numbers occur.
///
/// A comma or point is taken for a decimal mark only before one, two or three digits and where
/// no second one follows, so `163,196,212` reads as 163; a comma before exactly three digits
/// ends the number, being a list or digit groups, unless it follows a lone zero.
pub fn lex_decimal(text: &str, at: usize) -> Option<Lexed> {
    let bytes = text.as_bytes();
    let whole_end = digits_end(bytes, at);
    if whole_end == at || whole_end - at > MOST_DIGITS {
        return None;
    }
    let end = match bytes.get(whole_end) {
        Some(mark @ (b'.' | b',')) => {
            let part_end = digits_end(bytes, whole_end + 1);
            let repeated = bytes.get(part_end) == Some(mark) && bytes.get(part_end + 1).is_some_and(u8::is_ascii_digit);
            let most = if *mark == b',' && bytes[at] != b'0' { 2 } else { 3 };
            let decimals = (1..=most).contains(&(part_end - whole_end - 1)) && !repeated;
            if decimals { part_end } else { whole_end }
        }
        _ => whole_end,
    };
    let (places, written) = match end - whole_end {
        0 => (0, Written::Whole),
        more => (more - 1, Written::Decimal),
    };
    let value = text[at..end].replace(',', ".").parse().ok()?;
    Some(Lexed {
        number: Number {
            value,
            half_ulp: half_of_last_digit(places),
        },
        end,
        written,
    })
}

fn digits_end(bytes: &[u8], from: usize) -> usize {
    let mut end = from;
    while bytes.get(end).is_some_and(u8::is_ascii_digit) {
        end += 1;
    }
    end
}

/// `1/4`, `4 1/8`, `4-1/8` at byte `at`; the denominator must be one of a ruler (2 to 64).
pub(super) fn fraction_tail(text: &str, at: usize) -> Option<(Number, usize)> {
    let bytes = text.as_bytes();
    let first_end = digits_end(bytes, at);
    let first: f64 = text.get(at..first_end)?.parse().ok()?;
    match bytes.get(first_end)? {
        b'/' => ratio(text, at).map(|(value, under, end)| (ruler_number(value, under), end)),
        b' ' | b'-' if first_end - at <= 2 && first > 0.0 => {
            let (value, under, end) = ratio(text, first_end + 1)?;
            Some((ruler_number(first + value, under), end))
        }
        _ => None,
    }
}

/// A proper ruler fraction at byte `at`: its value, its denominator, its end.
fn ratio(text: &str, at: usize) -> Option<(f64, f64, usize)> {
    let bytes = text.as_bytes();
    let over_end = digits_end(bytes, at);
    if over_end == at || over_end - at > 2 || bytes.get(over_end) != Some(&b'/') {
        return None;
    }
    let under_end = digits_end(bytes, over_end + 1);
    let over: u8 = text[at..over_end].parse().ok()?;
    let under: u8 = text.get(over_end + 1..under_end)?.parse().ok()?;
    let proper = over > 0 && over < under && over % 2 == 1 && matches!(under, 2 | 4 | 8 | 16 | 32 | 64);
    let goes_on = match bytes.get(under_end) {
        Some(b'/') => true,
        Some(b'.' | b',') => bytes.get(under_end + 1).is_some_and(u8::is_ascii_digit),
        _ => false,
    };
    (proper && !goes_on).then(|| (f64::from(over) / f64::from(under), f64::from(under), under_end))
}

fn ruler_number(value: f64, under: f64) -> Number {
    Number {
        value,
        half_ulp: 0.5 / under.max(16.0),
    }
}
