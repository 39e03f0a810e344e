//! What spreadsheets do to identifiers: `4.00638E+12`, `3-May`, `#N/A`, `'00123`.
//!
//! A damaged cell is kept with its text but stays out of exact matching. Only identifiers are
//! looked at; `3-May` in a delivery column is a date.

use super::pattern::fixed;
use regex::Regex;
use std::sync::LazyLock;

/// Damage a spreadsheet did to a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Damage {
    /// `4.00638E+12`: digits are gone for good.
    ScientificNotation,
    /// `3-May`, `Mar-24`, `2024-05-03 00:00:00`: a number that was turned into a date.
    DateLike,
    /// `#N/A`, `#REF!`: a formula without a result.
    ErrorValue,
    /// `'00123`, `="00123"`: the text mark became part of the text; it can be taken off.
    LeadingQuote,
    /// A barcode whose leading zero is missing.
    LostZero,
}

static EXPONENT: LazyLock<Regex> = LazyLock::new(|| fixed(r"^\d(?:[.,]\d+)?e\+?\d{1,3}$"));
static DATE: LazyLock<Regex> = LazyLock::new(|| {
    fixed(
        r"^(?:\d{1,2}[-. ])?(?:jan|feb|fev|mar|mrz|maa|apr|avr|abr|may|mai|mei|maj|jun|juin|jul|juil|aug|aou|sep|oct|okt|ott|nov|dec|dez|dic|gru|lip|sie|wrz|paz|lis|sty|lut|kwi|cze)[a-z]?\.?(?:[-. ]\d{1,4})?$|^\d{4}-\d{2}-\d{2} 00:00(?::00)?$|^\d{1,2}[/.]\d{1,2}[/.](?:19|20)\d{2}$",
    )
});

/// Spots damage in an identifier's cell. The scan is cheap for sound cells.
pub fn spot_damage(raw: &str) -> Option<Damage> {
    let text = raw.trim();
    let first = text.chars().next()?;
    match first {
        '#' if is_error_value(text) => return Some(Damage::ErrorValue),
        '\'' if text.len() > 1 => return Some(Damage::LeadingQuote),
        '=' if text.starts_with("=\"") => return Some(Damage::LeadingQuote),
        _ => {}
    }
    if !first.is_ascii_alphanumeric() || text.len() > 24 {
        return None;
    }
    if Marks::of(text).may_be_damage() {
        let folded = super::folding::fold(text);
        if EXPONENT.is_match(&folded) && is_rounded(&folded) {
            return Some(Damage::ScientificNotation);
        }
        if DATE.is_match(&folded) {
            return Some(Damage::DateLike);
        }
    }
    let lost = text.len() == 11 && matches!(super::gtin::read_gtin(text), super::gtin::GtinReading::Restored(_));
    lost.then_some(Damage::LostZero)
}

/// How many characters of each sort a cell holds: what both patterns ask for at the least, so that nearly all sound
/// cells are told without them.
#[derive(Default)]
struct Marks {
    digits: usize,
    letters: usize,
    other: usize,
    beyond_ascii: bool,
}

impl Marks {
    fn of(text: &str) -> Self {
        let mut marks = Self::default();
        for byte in text.bytes() {
            match byte {
                b'0'..=b'9' => marks.digits += 1,
                b'a'..=b'z' | b'A'..=b'Z' => marks.letters += 1,
                0x80.. => marks.beyond_ascii = true,
                _ => marks.other += 1,
            }
        }
        marks
    }

    /// A rounded number has one letter and a mark, a date the three to six letters of a month and at most six digits,
    /// or no letter, four digits and two marks. Characters beyond ASCII may fold to any of these.
    fn may_be_damage(&self) -> bool {
        self.beyond_ascii
            || (self.letters == 1 && self.other > 0)
            || ((3..=6).contains(&self.letters) && self.digits <= 6)
            || (self.letters == 0 && self.other >= 2 && self.digits >= 6)
    }
}

/// `4.00638E+12` and `1E+15`, but not the part number `5E22` or `12E3`.
fn is_rounded(folded: &str) -> bool {
    folded.contains('+') || folded.contains(['.', ','])
}

fn is_error_value(text: &str) -> bool {
    const VALUES: [&str; 12] = [
        "#N/A", "#NV", "#REF!", "#BEZUG!", "#VALUE!", "#WERT!", "#NAME?", "#DIV/0!", "#NUM!", "#NULL!", "#ZAHL!",
        "#ARG!",
    ];
    VALUES.iter().any(|value| text.eq_ignore_ascii_case(value)) || text.chars().all(|c| c == '#')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn damage_is_named() {
        for (raw, damage) in [
            ("4.00638E+12", Damage::ScientificNotation),
            ("4,00638E+12", Damage::ScientificNotation),
            ("1E+15", Damage::ScientificNotation),
            ("3-May", Damage::DateLike),
            ("10-Mar", Damage::DateLike),
            ("Mrz-24", Damage::DateLike),
            ("2024-05-03 00:00:00", Damage::DateLike),
            ("03.05.2024", Damage::DateLike),
            ("#N/A", Damage::ErrorValue),
            ("#BEZUG!", Damage::ErrorValue),
            ("#####", Damage::ErrorValue),
            ("'00123", Damage::LeadingQuote),
            ("=\"00123\"", Damage::LeadingQuote),
            ("36000291452", Damage::LostZero),
        ] {
            assert_eq!(spot_damage(raw), Some(damage), "{raw}");
        }
    }

    #[test]
    fn sound_identifiers_are_left_alone() {
        for raw in [
            "28400-KR2-003",
            "5E22",
            "12E3",
            "MAR200",
            "6291041500213",
            "",
            "-",
            "#12",
            "SEP-2840X",
            "00123",
        ] {
            assert_eq!(spot_damage(raw), None, "{raw}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_damage_is_passed_over_by_counting_its_characters(text in "[0-9a-zA-Z.,/: +\u{a0}²-]{1,20}|[0-9]{1,2}[-. ](jan|Mrz|sept)\\.?[-. ][0-9]{1,4}") {
            let folded = crate::trade::folding::fold(&text);
            let damaged = DATE.is_match(&folded) || EXPONENT.is_match(&folded) && is_rounded(&folded);
            prop_assert!(!damaged || Marks::of(text.trim()).may_be_damage(), "{text}");
        }
    }
}
