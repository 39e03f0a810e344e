//! Folding: the one form of a text in which words, numbers and units are looked for.
//!
//! * compatibility forms become plain (NFKC): full-width digits, `㎜`, `cm³` → `cm3`;
//! * lower case; accents stripped; ß → ss, ł → l, æ → ae, œ → oe, đ → d, ø → o;
//! * a diameter sign before a digit (Ø, ⌀, ∅, φ) becomes `ø`, which no word keeps;
//! * a vulgar fraction is set apart from the digit before it: `4½` → `4 1/2`;
//! * every dash → `-`, every multiplication cross → `x`, curly quotes straight, `″` and `''` → `"`;
//! * Cyrillic and Greek look-alikes inside a word that is otherwise Latin letters or digits → Latin;
//! * white space and control characters → one space, none at the ends; zero-width characters,
//!   soft hyphens and byte order marks vanish; trade mark signs become a space.
//!
//! Folding twice changes nothing. The result is for matching only: what is shown or published is
//! the raw text.

use std::borrow::Cow;
use std::sync::LazyLock;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Folds a text for matching. Plain lower-case ASCII comes back borrowed.
pub fn fold(text: &str) -> Cow<'_, str> {
    match ascii_form(text.as_bytes()) {
        AsciiForm::Folded => Cow::Borrowed(text),
        AsciiForm::Plain => Cow::Owned(fold_ascii(text)),
        AsciiForm::Other => Cow::Owned(fold_unicode(text)),
    }
}

fn fold_ascii(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    let mut previous = ' ';
    for byte in text.bytes() {
        let character = match byte {
            b' ' | 0..0x20 | 0x7f if previous == ' ' => continue,
            b' ' | 0..0x20 | 0x7f => ' ',
            b'\'' if previous == '\'' => {
                folded.pop();
                '"'
            }
            _ => char::from(byte.to_ascii_lowercase()),
        };
        folded.push(character);
        previous = character;
    }
    if previous == ' ' {
        folded.pop();
    }
    folded
}

enum AsciiForm {
    /// Nothing to do.
    Folded,
    /// ASCII, but not yet folded.
    Plain,
    /// Holds something beyond ASCII.
    Other,
}

fn ascii_form(bytes: &[u8]) -> AsciiForm {
    let mut folded = true;
    let mut previous = b' ';
    for &byte in bytes {
        if byte >= 0x80 {
            return AsciiForm::Other;
        }
        let kept = match byte {
            b' ' => previous != b' ',
            b'\'' => previous != b'\'',
            b'A'..=b'Z' => false,
            _ => byte > b' ' && byte < 0x7f,
        };
        folded &= kept;
        previous = byte;
    }
    if folded && (previous != b' ' || bytes.is_empty()) {
        AsciiForm::Folded
    } else {
        AsciiForm::Plain
    }
}

fn fold_unicode(text: &str) -> String {
    fold_latin(text).unwrap_or_else(|| fold_any(text))
}

/// What the accented and joined letters from U+0080 to U+017F fold to, each by the long way; empty for other characters
/// and for the two whose reading hangs on what stands beside them.
static LATIN: LazyLock<Vec<String>> = LazyLock::new(|| {
    let letter = |code: u32| char::from_u32(code).filter(|c| c.is_alphabetic() && !matches!(c, 'ø' | 'Ø'));
    let folded = |code| letter(code).map(|c| fold_any(c.encode_utf8(&mut [0; 4])));
    let plain = |text: &String| text.bytes().all(|byte| byte.is_ascii_lowercase());
    (0x80..=LAST_LATIN)
        .map(|code| folded(code).filter(plain).unwrap_or_default())
        .collect()
});
/// End of the block Latin Extended-A.
const LAST_LATIN: u32 = 0x17f;

/// Folds a text of ASCII and letters of [`LATIN`] in one pass; None where it holds anything else.
fn fold_latin(text: &str) -> Option<String> {
    let latin = LATIN.as_slice();
    let mut spelled = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            // The long way makes an apostrophe of it.
            '`' => return None,
            '\0'..='\x7f' => spelled.push(character),
            '\u{a0}' => spelled.push(' '),
            _ => {
                let folded = latin.get((character as usize).checked_sub(0x80)?)?;
                if folded.is_empty() {
                    return None;
                }
                spelled.push_str(folded);
            }
        }
    }
    Some(fold_ascii(&spelled))
}

fn fold_any(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 8);
    let spaced = set_apart(text);
    let decomposed = spaced.nfkd().flat_map(char::to_lowercase).nfkd();
    for character in decomposed.filter(|c| !is_accent(*c)) {
        push_plain(&mut plain, character);
    }
    let composed: String = plain.nfc().collect();
    let signed = diameter_signs(&composed);
    single_spaces(&double_primes(&latin_words(&signed)))
}

/// Puts a space between a digit and a vulgar fraction, and marks a raised digit after a digit,
/// both of which the compatibility form would run together into another number.
fn set_apart(text: &str) -> String {
    let mut spaced = String::with_capacity(text.len() + 4);
    let mut after_digit = false;
    for character in text.chars() {
        if after_digit {
            match character {
                '¼'..='¾' | '⅐'..='⅟' | '↉' => spaced.push(' '),
                '²' | '³' | '¹' | '⁰' | '⁴'..='⁹' => spaced.push('^'),
                _ => {}
            }
        }
        match character {
            // The compatibility form of these would be letters glued to the word before them.
            '™' | '℠' => spaced.push(' '),
            _ => spaced.push(character),
        }
        after_digit = character.is_numeric();
    }
    spaced
}

/// Marks that sit on Latin, Greek and Cyrillic letters; those of other scripts carry meaning.
fn is_accent(character: char) -> bool {
    matches!(character, '\u{300}'..='\u{36f}') && is_combining_mark(character)
}

fn push_plain(plain: &mut String, character: char) {
    match character {
        'ß' => plain.push_str("ss"),
        'æ' => plain.push_str("ae"),
        'œ' => plain.push_str("oe"),
        'ł' => plain.push('l'),
        'đ' | 'ð' => plain.push('d'),
        'þ' => plain.push_str("th"),
        'ı' => plain.push('i'),
        '×' | '✕' | '✖' | '⨯' | '╳' => plain.push('x'),
        '⌀' | '∅' => plain.push('ø'),
        '‐'..='―' | '−' | '﹘' | '﹣' | '⁃' => plain.push('-'),
        '⁄' | '∕' => plain.push('/'),
        '“' | '”' | '„' | '‟' | '«' | '»' | '″' | '〃' => plain.push('"'),
        '‘' | '’' | '‚' | '‛' | '′' | '´' | '`' => plain.push('\''),
        '®' | '©' => plain.push(' '),
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{180e}' | '\u{feff}' => {}
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' => {}
        '\u{fe00}'..='\u{fe0f}' => {}
        _ if character.is_whitespace() || character.is_control() => plain.push(' '),
        _ => plain.push(character),
    }
}

/// Reads a word of Latin letters or digits that holds look-alikes of other scripts as Latin.
fn latin_words(text: &str) -> String {
    let mut latin = String::with_capacity(text.len());
    let mut word_start = 0;
    let mut shape = WordShape::default();
    for (at, character) in text.char_indices() {
        if character.is_alphanumeric() {
            shape.take(character);
            continue;
        }
        shape.push_word(&mut latin, &text[word_start..at]);
        latin.push(character);
        word_start = at + character.len_utf8();
        shape = WordShape::default();
    }
    shape.push_word(&mut latin, &text[word_start..]);
    latin
}

#[derive(Default)]
struct WordShape {
    anchored: bool,
    alike: bool,
    foreign: bool,
}

impl WordShape {
    fn take(&mut self, character: char) {
        if character.is_ascii_alphanumeric() {
            self.anchored = true;
        } else if latin_alike(character).is_some() {
            self.alike = true;
        } else {
            self.foreign = true;
        }
    }

    fn push_word(&self, latin: &mut String, word: &str) {
        if self.anchored && self.alike && !self.foreign {
            latin.extend(word.chars().map(|c| latin_alike(c).unwrap_or(c)));
        } else {
            latin.push_str(word);
        }
    }
}

/// The Latin letter that a lower-cased Cyrillic or Greek letter is mistaken for, in either case.
fn latin_alike(character: char) -> Option<char> {
    Some(match character {
        'а' | 'α' => 'a',
        'в' | 'β' => 'b',
        'с' => 'c',
        'ԁ' => 'd',
        'е' | 'ε' => 'e',
        'н' | 'η' => 'h',
        'і' | 'ι' => 'i',
        'ј' => 'j',
        'к' | 'κ' => 'k',
        'м' | 'μ' => 'm',
        'ν' => 'n',
        'о' | 'ο' => 'o',
        'р' | 'ρ' => 'p',
        'ԛ' => 'q',
        'ѕ' => 's',
        'т' | 'τ' => 't',
        'ԝ' => 'w',
        'х' | 'χ' => 'x',
        'у' | 'υ' => 'y',
        'ζ' => 'z',
        _ => return None,
    })
}

/// `ø` stays a diameter sign before a digit, as does `φ`; elsewhere `ø` is a letter.
fn diameter_signs(text: &str) -> String {
    let mut signed = String::with_capacity(text.len());
    for (at, character) in text.char_indices() {
        if !matches!(character, 'ø' | 'φ') {
            signed.push(character);
            continue;
        }
        let after = text[at + character.len_utf8()..].trim_start();
        match (after.starts_with(|c: char| c.is_ascii_digit()), character) {
            (true, _) => signed.push('ø'),
            (false, 'ø') => signed.push('o'),
            (false, _) => signed.push(character),
        }
    }
    signed
}

fn double_primes(text: &str) -> String {
    text.replace("''", "\"")
}

fn single_spaces(text: &str) -> String {
    let mut spaced = String::with_capacity(text.len());
    for character in text.chars() {
        let blank = character.is_whitespace() || character.is_control();
        if !blank {
            spaced.push(character);
        } else if !spaced.is_empty() && !spaced.ends_with(' ') {
            spaced.push(' ');
        }
    }
    if spaced.ends_with(' ') {
        spaced.pop();
    }
    spaced
}

#[cfg(test)]
#[path = "folding_tests.rs"]
mod tests;
