//! Tokens that look like an engine's model code: a few letters and a few digits, `KR200`,
//! `TB-340E`, `KR 200`. Candidates only: nothing here knows any maker's series, and what such a
//! code means is learned from what it is listed beside.
//!
//! Not candidates: bore-based designations (see `engine_code`), units and their like (`M6`,
//! `SW10`, `HP13`), standards (`DIN6921`), and pieces of longer part numbers.

use compact_str::{CompactString, ToCompactString};
use std::ops::Range;

/// How letters and digits of a model code were joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Spelled {
    /// `KR200`
    Glued,
    /// `KR-200`
    Hyphen,
    /// `KR 200`
    Spaced,
    /// Written out from shorthand: the `KR200` of `KR160/200`.
    Shorthand,
}

/// A token that looks like an engine's model code; a candidate only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CodeToken {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Upper case, separators dropped: `KR200`, `TB340E`.
    pub canonical: CompactString,
    /// How it was spelled.
    pub spelled: Spelled,
    /// What its letters are elsewhere.
    pub letters: Letters,
}

/// What the letters of a model code are elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Letters {
    /// Nothing known.
    Free,
    /// A unit or a label too, as in `CV130` or `D170`, or one letter apart, as in `B 135`: a code only beside its brand.
    Label,
}

/// Letters in front of the digits, and behind them, at most.
const MOST_LETTERS: usize = 4;
const MOST_TAIL: usize = 3;

/// Digits of a model number without letters.
const NUMBER_DIGITS: std::ops::RangeInclusive<usize> = 5..=6;

/// Finds model numbers without letters in a folded text, in order: `130202`, `130202-0121`, and each of `62330/78136`.
/// Some makers number their engines so. Five or six digits alone are no proof: only a text about engines makes one.
pub fn read_number_codes(folded: &str) -> Vec<CodeToken> {
    let bytes = folded.as_bytes();
    let mut tokens = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        if !bytes[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let end = run_end(bytes, at, u8::is_ascii_digit);
        let free_before = folded[..at]
            .chars()
            .next_back()
            .is_none_or(|c| !c.is_alphanumeric() && !matches!(c, '-' | '.' | '_' | '#' | '+' | '€' | '$' | '£'));
        let behind = &folded[end..];
        let type_number = behind
            .strip_prefix('-')
            .map_or(0, |rest| rest.bytes().take_while(u8::is_ascii_digit).count());
        let length = if type_number == 4 { end + 5 } else { end };
        let free_behind = !folded[length..].starts_with(|c: char| c.is_alphanumeric() || matches!(c, '-' | '_'));
        let decimals = behind
            .strip_prefix(['.', ','])
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
        let sized = NUMBER_DIGITS.contains(&(end - at));
        if sized && free_before && free_behind && !decimals && !behind_is_unit(folded, length) {
            tokens.push(CodeToken {
                span: at..length,
                canonical: folded[at..end].to_compact_string(),
                spelled: Spelled::Glued,
                letters: Letters::Free,
            });
        }
        at = length.max(end);
    }
    tokens
}

/// Finds tokens that look like model codes in a folded text, in order.
pub fn read_code_tokens(folded: &str) -> Vec<CodeToken> {
    let bytes = folded.as_bytes();
    let mut tokens = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        if !bytes[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let end = run_end(bytes, at, u8::is_ascii_digit);
        at = match token_at(folded, at, end) {
            Some(token) => {
                let after = token.span.end;
                tokens.push(token);
                expand_shorthand(folded, after, &mut tokens)
            }
            None => end,
        };
    }
    tokens
}

fn run_end(bytes: &[u8], from: usize, wanted: fn(&u8) -> bool) -> usize {
    let mut end = from;
    while bytes.get(end).is_some_and(wanted) {
        end += 1;
    }
    end
}

fn token_at(text: &str, digits: usize, digits_end: usize) -> Option<CodeToken> {
    let bytes = text.as_bytes();
    let count = digits_end - digits;
    let (letters_end, spelled) = match bytes.get(digits.checked_sub(1)?)? {
        b'-' => (digits - 1, Spelled::Hyphen),
        b' ' => (digits - 1, Spelled::Spaced),
        _ => (digits, Spelled::Glued),
    };
    let mut start = letters_end;
    while start > 0 && bytes[start - 1].is_ascii_lowercase() {
        start -= 1;
    }
    let letters = &text[start..letters_end];
    let letters_behind = run_end(bytes, digits_end, u8::is_ascii_lowercase);
    let tail = &text[digits_end..letters_behind];
    // "kr160ut2": a build behind the letters
    let build = run_end(bytes, letters_behind, u8::is_ascii_digit);
    let has_build = !tail.is_empty() && tail != "x" && spelled != Spelled::Spaced && build == letters_behind + 1;
    let tail_end = if has_build { build } else { letters_behind };
    // "hp13" is a power, "corvale cv130" an engine
    let is_label = LABELS.contains(&letters);
    let label_may_be_code = spelled != Spelled::Spaced && (count >= 3 || !tail.is_empty());
    if is_label && !label_may_be_code {
        return None;
    }
    let shaped = (1..=MOST_LETTERS).contains(&letters.len()) && (2..=4).contains(&count) && tail.len() <= MOST_TAIL;
    if !shaped || !stands_alone(text, start, tail_end) || names_something_else(letters, tail, spelled) {
        return None;
    }
    let lone = spelled == Spelled::Spaced && letters.len() == 1;
    if spelled == Spelled::Spaced && !spaced_code(text, letters, count, tail, tail_end) {
        return None;
    }
    // "rk-5011-27": three groups are a part's number
    let grouped = spelled == Spelled::Hyphen && count == 4 && tail.is_empty();
    if grouped && text[tail_end..].starts_with('-') && bytes.get(tail_end + 2).is_some_and(u8::is_ascii_digit) {
        return None;
    }
    let canonical = format!("{letters}{}", &text[digits..tail_end]).to_ascii_uppercase();
    Some(CodeToken {
        span: start..tail_end,
        canonical: canonical.to_compact_string(),
        spelled,
        letters: if is_label || lone {
            Letters::Label
        } else {
            Letters::Free
        },
    })
}

/// Letters with a space behind are a word more often than not: up to three of them before two or
/// three digits that are no amount.
fn spaced_code(text: &str, letters: &str, count: usize, tail: &str, end: usize) -> bool {
    let decimals = text[end..]
        .strip_prefix(['.', ','])
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    let sized = (1..=3).contains(&letters.len()) && (2..=3).contains(&count) && tail.len() <= 1;
    // "vis 4x 20": a multiplication
    let times = tail == "x" && text[end..].trim_start().starts_with(|c: char| c.is_ascii_digit());
    sized && !decimals && !times && !behind_is_unit(text, end)
}

/// Whether the token is not a piece of something longer such as `28400-kr2-003`.
fn stands_alone(text: &str, start: usize, end: usize) -> bool {
    let before = text[..start].chars().next_back();
    // "otr58 683 354": groups of a part number.
    let groups = text[end..]
        .split(' ')
        .skip(1)
        .take(2)
        .filter(|group| group.len() == 3 && group.parse::<u16>().is_ok());
    let grouped = text[end..].starts_with(' ') && groups.count() == 2;
    let free_before = !before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '-' | '.' | '_' | '#'));
    let rest = &text[end..];
    let long_tail = rest
        .strip_prefix(['-', '.', '_'])
        .is_some_and(|tail| tail.bytes().take_while(u8::is_ascii_alphanumeric).count() > 2);
    free_before && !grouped && !long_tail && !rest.starts_with(|c: char| c.is_alphanumeric())
}

/// Letters of measures, standards and labels.
const LABELS: &[&str] = &[
    "vat", "tva", "iva", "btw", "mwst", "m", "x", "d", "l", "w", "h", "t", "sw", "af", "hp", "ps", "cv", "ch", "pk",
    "kw", "kva", "cc", "ccm", "cm", "mm", "pcd", "bcd", "tk", "lk", "din", "iso", "en", "jis", "ansi", "astm", "dn",
    "gb", "no", "nr", "art", "ref", "sku", "mpn", "oem", "oe", "pn", "ean", "upc", "gtin", "vpe", "ve", "moq", "qty",
    "pcs", "eur", "usd", "gbp", "pln", "cny", "rmb", "czk", "chf", "sek", "hs", "ral", "rpm", "psi", "nm", "db", "ip",
    "pos", "fig", "epa",
];
/// Short words that stand before numbers in titles.
const WORDS: &[&str] = &[
    "for", "fur", "set", "mit", "the", "con", "per", "par", "pour", "para", "los", "las", "les", "des", "bis", "und",
    "and", "von", "van", "voor", "dla", "do", "od", "of", "or", "de", "da", "di", "du", "to", "et", "y", "e", "o", "a",
    "i", "u", "ab", "ca", "in", "on", "is", "up", "la", "le", "el", "il", "al", "na", "op", "am", "an", "as", "at",
    "by", "za", "zu", "po", "we", "ze", "ku", "su", "tu", "te", "se", "si", "no", "so", "bo", "au", "en", "un", "lo",
    "ou", "je", "nr", "met", "typ", "cal", "gas", "lot", "rot", "ref", "pro", "ohv", "ohc", "hole", "bolt", "loch",
    "trou", "vis", "cyl", "kit", "new", "max", "min", "all", "aus", "bei", "wie", "inkl", "avec", "with", "fits",
    "pas", "nur", "kpl",
];
/// Valve trains, which begin model codes as well.
const VALVE_TRAINS: [&str; 2] = ["ohv", "ohc"];
/// Units that make the number in front of them an amount.
const UNITS: [&str; 14] = [
    "mm", "cm", "cc", "ccm", "hp", "ps", "kw", "pcs", "st", "v", "x", "ml", "kg", "g",
];

/// Those of them that stay units behind letters and digits alike.
const MEASURES: [&str; 7] = ["mm", "cm", "cc", "ccm", "hp", "ps", "kw"];

/// Whether the token is a measure, a standard, a label or a word and a number.
fn names_something_else(letters: &str, tail: &str, spelled: Spelled) -> bool {
    // A designation is read elsewhere: prefix, three digits, F.
    let designation = tail.starts_with('f') && spelled == Spelled::Glued;
    // "am-90a", "ohc 102r": a word is not joined to digits that end in a letter, save that of a valve train
    let built = match spelled {
        Spelled::Spaced => VALVE_TRAINS.contains(&letters),
        _ => true,
    };
    let word = WORDS.contains(&letters) && spelled != Spelled::Glued && !(built && tail.len() == 1);
    // with letters on both sides, "kr388x" is no multiplication and "kr18v" no voltage
    let closed = spelled != Spelled::Spaced || tail == "x";
    let unit = if closed && letters.len() > 1 {
        MEASURES.contains(&tail)
    } else {
        UNITS.contains(&tail)
    };
    unit || designation || word
}

/// `KR160/200`, `A50/65`, `TB-340E/420E`: numbers behind slashes share the letters.
fn expand_shorthand(text: &str, from: usize, tokens: &mut Vec<CodeToken>) -> usize {
    let bytes = text.as_bytes();
    let mut at = from;
    let Some(first) = tokens.last().cloned() else { return at };
    let letters = first.canonical.trim_start_matches(|c: char| c.is_ascii_uppercase());
    let letters = &first.canonical[..first.canonical.len() - letters.len()];
    let digits = first.canonical.bytes().filter(u8::is_ascii_digit).count();
    while bytes.get(at) == Some(&b'/') {
        let start = at + 1;
        let digits_end = run_end(bytes, start, u8::is_ascii_digit);
        let end = run_end(bytes, digits_end, u8::is_ascii_lowercase);
        let tail = &text[digits_end..end];
        let spelled = if letters.len() > 1 {
            Spelled::Glued
        } else {
            Spelled::Shorthand
        };
        // a lone letter says too little to tell a build from a unit
        let family = if spelled == Spelled::Glued { letters } else { "" };
        let measured = names_something_else(&family.to_ascii_lowercase(), tail, spelled) || behind_is_unit(text, end);
        let same_size = (2..=4).contains(&(digits_end - start)) && (digits_end - start).abs_diff(digits) <= 1;
        if !same_size || tail.len() > MOST_TAIL || measured || !stands_alone(text, start, end) {
            break;
        }
        let canonical = format!("{letters}{}", text[start..end].to_ascii_uppercase());
        tokens.push(CodeToken {
            span: start..end,
            canonical: canonical.to_compact_string(),
            spelled: Spelled::Shorthand,
            letters: first.letters,
        });
        at = end;
    }
    at
}

/// "KR200/196 cc": the number behind the slash is an amount.
fn behind_is_unit(text: &str, end: usize) -> bool {
    super::wording::goes_on_with_unit(&text[end..])
}

#[cfg(test)]
#[path = "model_code_tests.rs"]
mod tests;
