//! Part numbers: their canonical form and their shape.
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

pub use super::part_number::looks_like_part_number;

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
