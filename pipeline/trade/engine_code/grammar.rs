//! How a designation is built, letter by letter.

use super::designation::{EngineCode, Fuel, Layout, StrokeCycle};
use compact_str::{CompactString, format_compact};

/// Smallest bore read, mm.
const SMALLEST_BORE: u8 = 35;
/// Smallest bore of a code with an arrangement or stroke symbol, which no temperature has, mm.
const SMALLEST_MARKED_BORE: u8 = 25;
/// Longest run of letters read as a maker's prefix.
const LONGEST_PREFIX: usize = 4;

/// Start of the letters glued before byte `at`, if they may be a prefix.
pub(super) fn start_of_word(text: &str, at: usize) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut start = at;
    while start > 0 && bytes[start - 1].is_ascii_lowercase() {
        start -= 1;
    }
    let before = text[..start].chars().next_back();
    let free = !before.is_some_and(|c| c.is_alphanumeric() && c.is_ascii() || matches!(c, '.' | ',') && at == start);
    (free && at - start <= LONGEST_PREFIX).then_some(start)
}

/// A place in a text from which one sign after another is taken.
pub(super) struct Cursor<'t> {
    pub(super) text: &'t str,
    pub(super) at: usize,
}

impl Cursor<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    pub(super) fn take(&mut self, wanted: impl Fn(u8) -> bool) -> Option<u8> {
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

    pub(super) fn letters(&mut self) -> &str {
        let start = self.at;
        while self.take(|byte| byte.is_ascii_lowercase()).is_some() {}
        &self.text[start..self.at]
    }

    /// Whether no letter or digit goes on here.
    pub(super) fn at_end_of_word(&self) -> bool {
        !self.peek().is_some_and(|byte| byte.is_ascii_alphanumeric())
    }
}

/// The code whose digits begin at `digits`, behind the prefix from `start`, and its end.
pub(super) fn code_at(text: &str, start: usize, digits: usize) -> Option<(EngineCode, usize)> {
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

/// The whole code, spelled in the usual way.
pub(super) fn canonical(stem: &str, suffix: &str, variant: Option<&str>) -> CompactString {
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

/// `/P`, where no letter or digit follows.
fn fuel(cursor: &mut Cursor<'_>) -> Option<Fuel> {
    let rest = cursor.text[cursor.at..].strip_prefix("/p")?;
    if rest.starts_with(|c: char| c.is_ascii_alphanumeric()) {
        return None;
    }
    cursor.at += 2;
    Some(Fuel::Petrol)
}

/// `-2`, `2`, `-b`: one digit or letter that ends the word.
pub(super) fn variant(cursor: &mut Cursor<'_>) -> Option<CompactString> {
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
