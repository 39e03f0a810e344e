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
    if raw.is_ascii() && raw.len() <= SHORT {
        short_ascii(raw.as_bytes())
    } else {
        of_any_script(raw)
    }
}

/// Longest number, in bytes, that is put into its form on the stack.
const SHORT: usize = 48;

/// Short numbers of plain letters, as nearly all are: the steps of [`of_any_script`] without a text between them.
fn short_ascii(raw: &[u8]) -> CompactString {
    let mut plain = [0; SHORT];
    let mut length = 0;
    for byte in &raw[end_of_label(raw)..] {
        if byte.is_ascii_alphanumeric() {
            plain[length] = byte.to_ascii_uppercase();
            length += 1;
        }
    }
    let plain = &mut plain[..length];
    read_as(plain, |c| *c == b'O', b'0', Sides::One);
    read_as(plain, |c| matches!(c, b'I' | b'L'), b'1', Sides::Both);
    CompactString::from_utf8_lossy(plain)
}

/// [`without_label`] for plain letters, as the byte behind the label.
fn end_of_label(raw: &[u8]) -> usize {
    let Some(first_digit) = raw.iter().position(u8::is_ascii_digit) else {
        return 0;
    };
    let (mut label, mut letters) = ([0; SHORT], 0);
    let mut end = 0;
    for (at, byte) in raw[..first_digit].iter().enumerate() {
        let separates = matches!(byte, b':' | b'#' | b'.' | b'=' | 0x7f | 0..=b' ');
        if byte.is_ascii_alphabetic() {
            label[letters] = byte.to_ascii_lowercase();
            letters += 1;
        } else if separates && LABELS.iter().any(|known| known.as_bytes() == &label[..letters]) {
            end = at + 1;
        }
    }
    end
}

fn of_any_script(raw: &str) -> CompactString {
    let folded = fold(raw);
    let joined: String = without_label(&folded).chars().filter(|c| c.is_alphanumeric()).collect();
    // Joined up, a look-alike of another script may have come to stand inside a Latin word.
    let mut plain: Vec<char> = fold(&joined).chars().map(|c| c.to_ascii_uppercase()).collect();
    read_as(&mut plain, |c| *c == 'O', '0', Sides::One);
    read_as(&mut plain, |c| matches!(c, 'I' | 'L'), '1', Sides::Both);
    plain.into_iter().collect()
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
fn read_as<C: Sign>(read: &mut [C], letter: impl Fn(&C) -> bool, digit: C, sides: Sides) {
    let mut at = 0;
    while at < read.len() {
        let run = read[at..].iter().take_while(|c| letter(c)).count();
        if run == 0 {
            at += 1;
            continue;
        }
        let before = at > 0 && read[at - 1].is_digit();
        let after = read.get(at + run).is_some_and(C::is_digit);
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
}

/// A character of a number, as a byte of plain letters or as a letter of any script.
trait Sign: Copy {
    fn is_digit(&self) -> bool;
}

impl Sign for u8 {
    fn is_digit(&self) -> bool {
        self.is_ascii_digit()
    }
}

impl Sign for char {
    fn is_digit(&self) -> bool {
        self.is_ascii_digit()
    }
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
            | "ka"
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
#[path = "identifier_tests.rs"]
mod tests;
