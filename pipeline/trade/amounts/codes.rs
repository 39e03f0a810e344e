//! Numbers that belong to an engine code or a part number, and are no amount.

use crate::trade::wording::goes_on_with_unit;

/// Codes spelled with a space have at least three digits; a smaller number is an amount.
pub(super) const FEWEST_OF_CODE: f64 = 100.0;

/// Start of the next number that is not glued behind a letter, digit or decimal mark.
pub(super) fn next_number(text: &str, from: usize) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut at = from;
    while at < bytes.len() {
        if bytes[at].is_ascii_digit() {
            let letter_before = text[..at].chars().next_back().is_some_and(glues_to_digits);
            if !letter_before {
                return Some(at);
            }
            while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                at += 1;
            }
        } else {
            at += 1;
        }
    }
    None
}

/// Whether the number at `start` is the tail of a code or part number: the 170 of `tkh160/170`,
/// the 2 of `168f-2`. A range or list would have taken its numbers as one chain.
pub(super) fn continues_code(text: &str, start: usize) -> bool {
    let before = &text[..start];
    if let Some(joined) = before.strip_suffix('-') {
        return joined.ends_with(|c: char| c.is_ascii_alphanumeric());
    }
    let Some(joined) = before.strip_suffix('/') else {
        return false;
    };
    let digits = joined.trim_end_matches(|c: char| c.is_ascii_alphanumeric());
    let word = &joined[digits.len()..];
    word.starts_with(|c: char| c.is_ascii_lowercase()) && word.bytes().any(|byte| byte.is_ascii_digit())
}

/// Letters of scripts written without spaces do not make a code of the number behind them.
fn glues_to_digits(character: char) -> bool {
    character.is_ascii_alphanumeric() || matches!(character, '.' | '_' | '#' | '$' | '€' | '£')
}

/// Words of up to three letters that may stand before a number without making a code of it.
const NOT_CODE_LETTERS: [&str; 63] = [
    "for", "fur", "per", "par", "to", "of", "de", "do", "da", "di", "od", "ab", "von", "bis", "ohv", "ohc", "gas",
    "and", "und", "et", "y", "e", "en", "i", "or", "ca", "dla", "con", "mit", "all", "l", "o", "a", "zu", "op", "au",
    "x", "met", "na", "voi", "les", "des", "il", "al", "und", "red", "new", "neu", "rot", "fan", "cam", "set", "kit",
    "cap", "kap", "gul", "vis", "ny", "sv", "usa", "top", "the", "alu",
];

pub(super) fn follows_code_letters(text: &str, at: usize) -> bool {
    let Some(before) = text[..at].strip_suffix(' ') else {
        return false;
    };
    let letters = before.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let word = &before[letters.len()..];
    // the "bk" of "232453-bk 389/420 cc" and the "c" of "c/c 182/190 cc" end something else
    let glued = letters.ends_with(|c: char| c.is_alphanumeric() || matches!(c, '-' | '/' | '.'));
    let known = || NOT_CODE_LETTERS.contains(&word) || goes_on_with_unit(word);
    (1..=3).contains(&word.len()) && !glued && !known()
}
