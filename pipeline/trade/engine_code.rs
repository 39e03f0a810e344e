//! Bore-based engine designations: `168F`, `188FE`, `1P70F`, `2V78F-2`, `1E40F-5`, `QM168FD`.
//!
//! The national standard GB/T 725-2008 builds a designation from the cylinder count, the
//! arrangement (none in-line or single, V, P flat), a stroke symbol (E two-stroke, value from
//! memory), the bore in whole millimetres and F for air-cooled; `/P` marks petrol (value from
//! memory) and a hyphen sets off the variant. The three digits of `168F` are one cylinder and a
//! bore of 68 mm: never 168 mm and never 168 cc.
//!
//! Refused: bores below 35 mm (`100F` is a temperature; 25 mm with a symbol, `1E34F`), three or more cylinders without an
//! arrangement symbol, and letters behind a spaced F that make another word (`168 fan`).
//! A letter in front may be a maker's series; it is kept apart and never part of the code.

use compact_str::{CompactString, format_compact};
use std::ops::Range;

pub use super::model_code::{CodeToken, Letters, Spelled, read_code_tokens, read_number_codes};

/// Arrangement of the cylinders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Layout {
    /// Single or in-line, upright: horizontal shaft.
    Inline,
    /// V-twin.
    V,
    /// Lying cylinder; a single one has a vertical shaft.
    Flat,
    /// H or X arrangement (values from memory).
    Other,
}

/// Stroke cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StrokeCycle {
    /// Four-stroke.
    Four,
    /// Two-stroke.
    Two,
}

/// Fuel named by the code itself. Without `/P` the same code may be a diesel's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fuel {
    /// `/P`
    Petrol,
}

/// A bore-based engine designation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EngineCode {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Number of cylinders.
    pub cylinders: u8,
    /// Arrangement.
    pub layout: Layout,
    /// Stroke cycle.
    pub stroke_cycle: StrokeCycle,
    /// Bore, whole mm.
    pub bore_mm: u8,
    /// Always true for the codes read here: F means air-cooled.
    pub air_cooled: bool,
    /// Letters after the F, upper case, perhaps empty: `B` of `168FB`, `E` of `188F(E)`.
    pub suffix: CompactString,
    /// What follows the hyphen: `2` of `168F-2`.
    pub variant: Option<CompactString>,
    /// Fuel, where the code names it.
    pub fuel: Option<Fuel>,
    /// Letters glued in front, upper case.
    pub maker_prefix: Option<CompactString>,
    /// `168F-2`, `168FB`, `1P70F`: without prefix and fuel.
    pub canonical: CompactString,
    /// `168F`, `1P70F`: without suffix and variant too.
    pub stem: CompactString,
}

impl EngineCode {
    /// Whether the suffix is that of a version with electric start (E or D); such engines mostly
    /// keep the recoil starter. Common practice, no source.
    pub fn names_electric_start(&self) -> bool {
        self.suffix.contains('E') || self.suffix.contains('D')
    }

    /// Whether the crankshaft stands upright, as under a mower: one lying cylinder.
    pub fn has_vertical_shaft(&self) -> bool {
        self.layout == Layout::Flat && self.cylinders == 1
    }
}

/// Smallest bore read, mm.
const SMALLEST_BORE: u8 = 35;
/// Smallest bore of a code with an arrangement or stroke symbol, which no temperature has, mm.
const SMALLEST_MARKED_BORE: u8 = 25;
/// Longest run of letters read as a maker's prefix.
const LONGEST_PREFIX: usize = 4;

/// Finds the designations of a folded text, in order. Shorthand is written out: `168F-1/-2` is
/// two codes, `168/170F` too; their spans cover the part they were read from.
pub fn read_codes(folded: &str) -> Vec<EngineCode> {
    let bytes = folded.as_bytes();
    if memchr::memchr(b'f', bytes).is_none() {
        return Vec::new();
    }
    let mut codes = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        if !bytes[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let found = start_of_word(folded, at).and_then(|start| code_at(folded, start, at));
        match found {
            Some((code, end)) => {
                codes.extend(codes_in_front(folded, &code));
                let template = code.clone();
                codes.push(code);
                at = shorthand_behind(folded, end, &template, &mut codes);
            }
            None => {
                while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                    at += 1;
                }
            }
        }
    }
    codes
}

/// Start of the letters glued before byte `at`, if they may be a prefix.
fn start_of_word(text: &str, at: usize) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut start = at;
    while start > 0 && bytes[start - 1].is_ascii_lowercase() {
        start -= 1;
    }
    let before = text[..start].chars().next_back();
    let free = !before.is_some_and(|c| c.is_alphanumeric() && c.is_ascii() || matches!(c, '.' | ',') && at == start);
    (free && at - start <= LONGEST_PREFIX).then_some(start)
}

struct Cursor<'t> {
    text: &'t str,
    at: usize,
}

impl Cursor<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn take(&mut self, wanted: impl Fn(u8) -> bool) -> Option<u8> {
        let byte = self.peek().filter(|byte| wanted(*byte))?;
        self.at += 1;
        Some(byte)
    }

    fn digit(&mut self) -> Option<u8> {
        self.take(|byte| byte.is_ascii_digit()).map(|byte| byte - b'0')
    }

    /// A space or hyphen, if one stands here.
    fn gap(&mut self) -> bool {
        self.take(|byte| matches!(byte, b' ' | b'-')).is_some()
    }

    fn letters(&mut self) -> &str {
        let start = self.at;
        while self.take(|byte| byte.is_ascii_lowercase()).is_some() {}
        &self.text[start..self.at]
    }

    /// Whether no letter or digit goes on here.
    fn at_end_of_word(&self) -> bool {
        !self.peek().is_some_and(|byte| byte.is_ascii_alphanumeric())
    }
}

/// The code whose digits begin at `digits`, behind the prefix from `start`, and its end.
fn code_at(text: &str, start: usize, digits: usize) -> Option<(EngineCode, usize)> {
    let mut cursor = Cursor { text, at: digits };
    let cylinders = cursor.digit()?;
    let symbol = cursor.take(|byte| matches!(byte, b'v' | b'p' | b'e' | b'h' | b'x'));
    if symbol.is_some() {
        cursor.gap();
    }
    let bore_mm = cursor.digit()? * 10 + cursor.digit()?;
    let spaced = cursor.gap();
    cursor.take(|byte| byte == b'f')?;
    let (most, smallest) = if symbol.is_some() {
        (4, SMALLEST_MARKED_BORE)
    } else {
        (2, SMALLEST_BORE)
    };
    if bore_mm < smallest || cylinders == 0 || cylinders > most {
        return None;
    }
    let suffix = suffix(&mut cursor, spaced)?;
    let (layout, stroke_cycle) = match symbol {
        None => (Layout::Inline, StrokeCycle::Four),
        Some(b'v') => (Layout::V, StrokeCycle::Four),
        Some(b'p') => (Layout::Flat, StrokeCycle::Four),
        Some(b'e') => (Layout::Inline, StrokeCycle::Two),
        Some(_) => (Layout::Other, StrokeCycle::Four),
    };
    let fuel = fuel(&mut cursor);
    let variant = variant(&mut cursor);
    let fuel = fuel.or_else(|| self::fuel(&mut cursor));
    if !cursor.at_end_of_word() {
        return None;
    }
    let symbol = symbol.map_or(String::new(), |byte| char::from(byte.to_ascii_uppercase()).to_string());
    let stem = format_compact!("{cylinders}{symbol}{bore_mm}F");
    let prefix = &text[start..digits];
    let code = EngineCode {
        span: start..cursor.at,
        cylinders,
        layout,
        stroke_cycle,
        bore_mm,
        air_cooled: true,
        canonical: canonical(&stem, &suffix, variant.as_deref()),
        suffix,
        variant,
        fuel,
        maker_prefix: (!prefix.is_empty()).then(|| CompactString::from(prefix.to_ascii_uppercase())),
        stem,
    };
    Some((code, cursor.at))
}

fn canonical(stem: &str, suffix: &str, variant: Option<&str>) -> CompactString {
    match variant {
        Some(variant) => format_compact!("{stem}{suffix}-{variant}"),
        None => format_compact!("{stem}{suffix}"),
    }
}

/// Letters behind the F: at most three, in brackets or not; none that make another word.
fn suffix(cursor: &mut Cursor<'_>, spaced: bool) -> Option<CompactString> {
    let bracketed = cursor.text[cursor.at..].starts_with('(');
    if bracketed {
        let rest = &cursor.text[cursor.at + 1..];
        let letters = rest.find(')').map(|end| &rest[..end]).filter(|letters| {
            (1..=2).contains(&letters.len()) && letters.bytes().all(|byte| byte.is_ascii_lowercase())
        });
        return Some(match letters {
            Some(letters) => {
                cursor.at += letters.len() + 2;
                CompactString::from(letters.to_ascii_uppercase())
            }
            None => CompactString::default(),
        });
    }
    let letters = cursor.letters();
    // Feet, "for", "fan" and their like; behind a space one letter at most belongs to the code.
    let another_word = matches!(
        letters,
        "t" | "or" | "an" | "it" | "its" | "ts" | "ps" | "l" | "ur" | "rom" | "ree"
    );
    let most = if spaced { 1 } else { 3 };
    (letters.len() <= most && !another_word).then(|| CompactString::from(letters.to_ascii_uppercase()))
}

fn fuel(cursor: &mut Cursor<'_>) -> Option<Fuel> {
    let rest = cursor.text[cursor.at..].strip_prefix("/p")?;
    if rest.starts_with(|c: char| c.is_ascii_alphanumeric()) {
        return None;
    }
    cursor.at += 2;
    Some(Fuel::Petrol)
}

/// `-2`, `2`, `-b`: one digit or letter that ends the word.
fn variant(cursor: &mut Cursor<'_>) -> Option<CompactString> {
    let from = cursor.at;
    let hyphen = cursor.take(|byte| byte == b'-').is_some();
    let mark = cursor.take(|byte| byte.is_ascii_digit() || hyphen && byte.is_ascii_lowercase());
    match mark {
        Some(mark) if cursor.at_end_of_word() => Some(format_compact!("{}", char::from(mark.to_ascii_uppercase()))),
        _ => {
            cursor.at = from;
            None
        }
    }
}

/// `168/170F`: numbers joined by slashes in front of a code share its F.
fn codes_in_front(text: &str, code: &EngineCode) -> Vec<EngineCode> {
    let mut found = Vec::new();
    if code.layout != Layout::Inline || code.stroke_cycle != StrokeCycle::Four || code.maker_prefix.is_some() {
        return found;
    }
    let mut end = code.span.start;
    while let Some(before) = text[..end].strip_suffix('/').map(str::trim_end) {
        let start = before.len().saturating_sub(3);
        let digits = before
            .get(start..)
            .filter(|digits| digits.len() == 3 && digits.bytes().all(|b| b.is_ascii_digit()));
        let Some(digits) = digits else { break };
        let joined = before[..start]
            .chars()
            .next_back()
            .is_some_and(|c| c.is_ascii_alphanumeric() || c == '.');
        let completed = format!("{digits}f");
        let Some((mut other, _)) = code_at(&completed, 0, 0).filter(|_| !joined) else {
            break;
        };
        other.span = start..before.len();
        found.push(other);
        end = start;
    }
    found.reverse();
    found
}

/// `168F-1/-2`, `168F-1/2`, `168FA/FB`: what a slash adds to the code before it. Gives the byte
/// to go on from.
fn shorthand_behind(text: &str, end: usize, template: &EngineCode, codes: &mut Vec<EngineCode>) -> usize {
    let mut at = end;
    while text[at..].starts_with('/') {
        let mut cursor = Cursor { text, at: at + 1 };
        let suffix = match cursor.take(|byte| byte == b'f') {
            Some(_) => CompactString::from(cursor.letters().to_ascii_uppercase()),
            None => template.suffix.clone(),
        };
        let variant = variant(&mut cursor);
        let bare = cursor.at == at + 1;
        let digits_only = variant.is_some() && template.variant.is_none() && text.as_bytes()[at + 1] != b'-';
        if bare || digits_only || suffix.len() > 3 || !cursor.at_end_of_word() {
            break;
        }
        codes.push(EngineCode {
            span: at + 1..cursor.at,
            canonical: canonical(&template.stem, &suffix, variant.as_deref()),
            suffix,
            variant,
            ..template.clone()
        });
        at = cursor.at;
    }
    at
}

#[cfg(test)]
#[path = "engine_code_tests.rs"]
mod tests;
