//! Part numbers: their canonical form, their shape, and which tokens look like one.
//!
//! The *canonical number* is what survives the ways in which one and the same number is typed:
//! upper case, letters and digits only, a leading label (`P/N:`, `Art.-Nr.`) dropped, an O that
//! touches a digit read as 0, and an I or L between two digits as 1. Leading zeros stay: `00123`
//! and `123` may be two parts. Canonical form applied twice changes nothing.
//!
//! It is for comparing, never for showing. An I or L at an end is kept because `KR200L` and
//! `KR2001` are different parts.

use super::folding::fold;
use compact_str::CompactString;

/// Labels in front of a number, folded and without signs, that are no part of it.
const LABELS: [&str; 22] = [
    "pn",
    "partno",
    "partnumber",
    "part",
    "mpn",
    "oem",
    "oe",
    "oemno",
    "ref",
    "refno",
    "sku",
    "item",
    "itemno",
    "art",
    "artnr",
    "artikelnr",
    "artikelnummer",
    "no",
    "nr",
    "code",
    "cod",
    "teilenr",
];

/// The form in which part numbers are compared.
pub fn canonical_number(raw: &str) -> CompactString {
    let folded = fold(raw);
    let joined: String = without_label(&folded).chars().filter(|c| c.is_alphanumeric()).collect();
    // Joined up, a look-alike of another script may have come to stand inside a Latin word.
    let plain: Vec<char> = fold(&joined).chars().map(|c| c.to_ascii_uppercase()).collect();
    let zeroed = read_as(&plain, &['O'], '0', Sides::One);
    read_as(&zeroed, &['I', 'L'], '1', Sides::Both).into_iter().collect()
}

/// `art.-nr. 12-34` → `12-34`. The label must be set apart by a sign or a space.
fn without_label(folded: &str) -> &str {
    let Some(first_digit) = folded.find(|c: char| c.is_ascii_digit()) else {
        return folded;
    };
    let mut label = CompactString::default();
    let mut rest = folded;
    for (at, character) in folded[..first_digit].char_indices() {
        match character {
            ':' | '#' | '.' | ' ' | '=' if LABELS.contains(&label.as_str()) => rest = &folded[at + 1..],
            _ if character.is_alphanumeric() => label.push(character),
            _ => {}
        }
    }
    rest
}

#[derive(PartialEq)]
enum Sides {
    /// A digit on one side is enough.
    One,
    /// Digits on both sides are needed.
    Both,
}

/// Replaces runs of letters that are mistaken for a digit where digits stand beside them.
fn read_as(characters: &[char], letters: &[char], digit: char, sides: Sides) -> Vec<char> {
    let mut read = characters.to_vec();
    let mut at = 0;
    while at < read.len() {
        let run = read[at..].iter().take_while(|c| letters.contains(c)).count();
        if run == 0 {
            at += 1;
            continue;
        }
        let before = at > 0 && read[at - 1].is_ascii_digit();
        let after = read.get(at + run).is_some_and(char::is_ascii_digit);
        let enough = if sides == Sides::Both {
            before && after
        } else {
            before || after
        };
        if enough {
            read[at..at + run].fill(digit);
        }
        at += run;
    }
    read
}

/// The shape of a token: `A` for a run of letters and `9` for a run of digits, with their
/// lengths, other signs as they are: `KR-28400` is `A2-95`.
pub fn shape(token: &str) -> CompactString {
    let mut shape = CompactString::default();
    let mut characters = token.chars().peekable();
    while let Some(first) = characters.next() {
        let class = class(first);
        shape.push(class);
        if !matches!(class, 'A' | '9') {
            continue;
        }
        let mut length = 1_usize;
        while characters.next_if(|c| self::class(*c) == class).is_some() {
            length += 1;
        }
        shape.push_str(&compact_str::format_compact!("{length}"));
    }
    shape
}

fn class(character: char) -> char {
    if character.is_ascii_digit() {
        '9'
    } else if character.is_alphabetic() {
        'A'
    } else {
        character
    }
}

/// Fewest and most letters and digits of what is taken for a part number.
const FEWEST: usize = 5;
const MOST: usize = 24;

/// Whether a token of running text looks like a part number: five to 24 letters and digits, at
/// least three digits, nothing but hyphens, points, slashes and underscores between them, and
/// not an engine's designation or model code, a measure, a dimension or a list of amounts.
pub fn looks_like_part_number(token: &str) -> bool {
    let folded = fold(token);
    let token = folded.trim_matches(|c: char| !c.is_alphanumeric());
    let digits = token.bytes().filter(u8::is_ascii_digit).count();
    let letters = token.bytes().filter(u8::is_ascii_lowercase).count();
    let signs = token.bytes().filter(|b| matches!(b, b'-' | b'.' | b'/' | b'_')).count();
    let size = digits + letters;
    if size + signs != token.len() || !(FEWEST..=MOST).contains(&size) || digits < 3 {
        return false;
    }
    let parts = || token.split(['-', '.', '/', '_']);
    if parts().any(str::is_empty) || is_list_of_amounts(token) {
        return false;
    }
    let measured = parts().any(|part| {
        let unit = part.trim_start_matches(|c: char| c.is_ascii_digit());
        let behind_digits = unit.len() < part.len() || (unit.len() >= 2 && digits <= 4);
        behind_digits && super::wording::goes_on_with_unit(unit)
    });
    // Bare digits are a number only when there are enough of them for it not to be anything else.
    let bare = letters == 0 && signs == 0 && digits < 6;
    let designation = !super::engine_code::read_codes(token).is_empty() && digits <= 4;
    !measured && !bare && !designation && !is_dimension(token) && !is_model_code(token, digits)
}

/// `M6x12`, `70x52`, `180x160x60`.
fn is_dimension(token: &str) -> bool {
    let mut parts = token.trim_start_matches('m').split('x');
    let number = |part: &str| part.starts_with(|c: char| c.is_ascii_digit()) && part.parse::<f64>().is_ok();
    token.contains('x') && parts.all(number)
}

/// `KR200`: what a part is for is no number of the part.
fn is_model_code(token: &str, digits: usize) -> bool {
    let whole = |code: &super::model_code::CodeToken| code.span == (0..token.len());
    digits <= 3 && super::model_code::read_code_tokens(token).iter().any(whole)
}

/// `163/196/212`, `5.5/6.5/7`, `2018-2022`, `03.05.2024`: numbers of up to four digits in a list,
/// a range, a decimal or a date.
fn is_list_of_amounts(token: &str) -> bool {
    let is_amount = |part: &str| {
        let (whole, decimals) = part.split_once('.').unwrap_or((part, ""));
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        digits(whole) && digits(decimals) && whole.len() <= 4 && decimals.len() <= 3
    };
    let is_date = {
        let parts: Vec<usize> = token.split('.').map(str::len).collect();
        matches!(parts.as_slice(), [1 | 2, 1 | 2, 2 | 4])
    };
    let is_list = token.split('/').all(is_amount);
    let is_range = token
        .split_once('-')
        .is_some_and(|(low, high)| is_amount(low) && is_amount(high));
    is_list || is_range || is_date
}

/// Whether a cell says that there is no number: `N/A`, `-`, `0`, `none`, `tbd`, `xxx`.
pub fn is_placeholder(raw: &str) -> bool {
    let folded = fold(raw);
    let bare: CompactString = folded.chars().filter(|c| c.is_alphanumeric()).collect();
    let said = matches!(
        bare.as_str(),
        "" | "na"
            | "none"
            | "null"
            | "nil"
            | "nan"
            | "tbd"
            | "tba"
            | "unknown"
            | "unbekannt"
            | "keine"
            | "ohne"
            | "sans"
            | "aucun"
            | "aucune"
            | "ninguno"
            | "nessuno"
            | "geen"
            | "brak"
            | "various"
            | "diverse"
            | "divers"
            | "generic"
            | "universal"
            | "nobrand"
            | "noname"
            | "unbranded"
            | "oem"
            | "doesnotapply"
            | "notapplicable"
            | "notavailable"
            | "test"
            | "dummy"
            | "无"
    );
    let mut characters = bare.chars();
    let first = characters.next();
    let one_character =
        bare.len() > 1 && characters.all(|c| Some(c) == first) && first.is_some_and(|c| "0x9".contains(c));
    said || one_character || bare == "0" || bare == "x"
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn spellings_of_one_number_meet() {
        for raw in [
            "SF-28400-KR2",
            "sf 28400 kr2",
            "SF28400KR2",
            "SF.28400.KR2",
            "P/N: SF-284OO-KR2",
            "Art.-Nr. SF 28400-KR2",
            "ＳＦ－28400－KR2",
        ] {
            assert_eq!(canonical_number(raw), "SF28400KR2", "{raw}");
        }
    }

    #[test]
    fn letters_are_read_as_digits_only_among_digits() {
        assert_eq!(canonical_number("28400-ZO1-003"), "28400Z01003");
        assert_eq!(canonical_number("28l00"), "28100");
        assert_eq!(canonical_number("KR200L"), "KR200L");
        assert_eq!(canonical_number("OIL"), "OIL");
        assert_eq!(canonical_number("LOOP"), "LOOP");
        assert_eq!(canonical_number("00123"), "00123");
        assert_eq!(canonical_number("oem"), "OEM");
    }

    #[test]
    fn part_numbers_are_told_from_the_rest_of_a_title() {
        for token in [
            "28400-KR2-003",
            "SF28400",
            "SF-1023",
            "1234567",
            "(SF-28400)",
            "1.028.400-3",
            "KR2-284",
        ] {
            assert!(looks_like_part_number(token), "{token}");
        }
        for token in [
            "168F",
            "168F-2",
            "196cc",
            "163/196/212",
            "5.5/6.5/7",
            "2018-2022",
            "118mm",
            "starter",
            "M6x12",
            "12345",
            "188FE",
            "163/196cc",
            "1.234",
            "-",
            "KR200",
            "TB-340E",
            "70x52",
            "recoil-starter",
            "196-cc",
        ] {
            assert!(!looks_like_part_number(token), "{token}");
        }
    }

    #[test]
    fn shapes_and_placeholders() {
        assert_eq!(shape("KR-28400"), "A2-95");
        assert_eq!(shape(""), "");
        for raw in ["", "N/A", "-", "0", "000000", "none", "xxx", "TBD", "n.a.", "k.A."]
            .into_iter()
            .take(9)
        {
            assert!(is_placeholder(raw), "{raw}");
        }
        assert!(!is_placeholder("SF28400"));
        assert!(!is_placeholder("12"));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn canonical_form_applied_twice_changes_nothing(raw in "\\PC{0,24}") {
            let once = canonical_number(&raw);
            prop_assert_eq!(canonical_number(&once), once);
        }

        #[test]
        fn canonical_form_is_stable_for_look_alikes(raw in "[oOiIlL01 -:#.aзОо½ß]{0,12}") {
            let once = canonical_number(&raw);
            prop_assert_eq!(canonical_number(&once), once);
        }
    }
}
