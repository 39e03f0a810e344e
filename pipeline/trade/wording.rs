//! Words, measures and signs: a folded text cut into the pieces that the readers of fasteners
//! and spacings look at.
//!
//! A *measure* is a number with its unit of length, if it has one; a number glued behind letters
//! is one too, and says so, because `m6` is a thread and `kr200` is not. The cut is one pass.

use super::numerals::{Lexed, Number, Written, lex_number};
use super::units::{LengthUnit, MassUnit, PowerUnit, VolumeUnit};
use std::ops::Range;

/// One piece of a text.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece<'t> {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// What it is.
    pub kind: Kind<'t>,
    /// Whether it touches the piece before it.
    pub glued: bool,
}

/// What a piece is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind<'t> {
    /// A run of letters.
    Word(&'t str),
    /// A number and its unit of length.
    Measure(Measure),
    /// Anything else that is not blank.
    Sign(char),
}

/// A number and its unit of length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// The number.
    pub number: Number,
    /// Its unit, where one stands behind it.
    pub unit: Option<LengthUnit>,
    /// How the number was written.
    pub written: Written,
}

impl Measure {
    /// The value in mm where it is a plain whole number from `low` to `high`, without a unit.
    pub fn count(&self, low: u8, high: u8) -> Option<u8> {
        let value = self.number.value;
        let whole = self.unit.is_none() && self.written == Written::Whole;
        (whole && value >= f64::from(low) && value <= f64::from(high)).then_some(value as u8)
    }
}

impl<'t> Piece<'t> {
    /// The word, if it is one.
    pub fn word(&self) -> Option<&'t str> {
        if let Kind::Word(word) = self.kind {
            Some(word)
        } else {
            None
        }
    }

    /// The measure, if it is one.
    pub fn measure(&self) -> Option<Measure> {
        if let Kind::Measure(measure) = self.kind {
            Some(measure)
        } else {
            None
        }
    }

    /// Whether it is this sign.
    pub fn is_sign(&self, sign: char) -> bool {
        self.kind == Kind::Sign(sign)
    }

    /// Whether it stands for "times": `x` or `*`.
    pub fn is_times(&self) -> bool {
        self.is_sign('*') || self.word() == Some("x")
    }
}

/// Cuts a folded text into pieces.
pub fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut pieces: Vec<Piece<'_>> = Vec::with_capacity(text.len() / 4 + 1);
    let mut at = 0;
    while let Some(first) = text[at..].chars().next() {
        if first.is_whitespace() {
            at += first.len_utf8();
            continue;
        }
        let (kind, end) = match lex_number(text, at) {
            Some(lexed) => measure(text, &lexed),
            None if is_letter(first) => word(text, at, pieces.last()),
            None => (Kind::Sign(first), at + first.len_utf8()),
        };
        let glued = pieces.last().is_some_and(|before| before.span.end == at);
        pieces.push(Piece {
            span: at..end,
            kind,
            glued,
        });
        at = end;
    }
    pieces
}

fn is_letter(character: char) -> bool {
    character.is_alphabetic() && character != 'ø'
}

fn word<'t>(text: &'t str, at: usize, before: Option<&Piece<'_>>) -> (Kind<'t>, usize) {
    let rest = &text[at..];
    let length = rest.find(|c| !is_letter(c)).unwrap_or(rest.len());
    let length = end_of_script(&rest[..length]);
    let after_number = before.is_some_and(|piece| piece.measure().is_some());
    // "3xm6", "3xø6.5": the x is the multiplication, not a letter of a word.
    let length = if after_number && matches!(&rest[..length], "xm" | "xd") {
        1
    } else {
        length
    };
    (Kind::Word(&rest[..length]), at + length)
}

/// Where letters of another script begin: "拉盘M5" is a word and a thread.
fn end_of_script(letters: &str) -> usize {
    let ideographs = letters.starts_with(is_ideograph);
    letters
        .find(|character| is_ideograph(character) != ideographs)
        .unwrap_or(letters.len())
}

fn is_ideograph(character: char) -> bool {
    matches!(character, '\u{3040}'..='\u{9fff}' | '\u{f900}'..='\u{faff}')
}

fn measure<'t>(text: &'t str, lexed: &Lexed) -> (Kind<'t>, usize) {
    let behind = &text[lexed.end..];
    let (unit, end) = match unit_behind(behind, lexed) {
        Some((unit, length)) => (Some(unit), lexed.end + length),
        None => (None, lexed.end),
    };
    (
        Kind::Measure(Measure {
            number: lexed.number,
            unit,
            written: lexed.written,
        }),
        end,
    )
}

fn unit_behind(behind: &str, lexed: &Lexed) -> Option<(LengthUnit, usize)> {
    let rest = behind.trim_start_matches(' ');
    let spaces = behind.len() - rest.len();
    if rest.starts_with('"') {
        return Some((LengthUnit::Inch, spaces + 1));
    }
    let rest = if spaces == 0 {
        rest.trim_start_matches('-')
    } else {
        rest
    };
    let skipped = behind.len() - rest.len();
    let length = rest.find(|c| !is_letter(c)).unwrap_or(rest.len());
    let word = &rest[..length];
    let unit = LengthUnit::from_word(word)?;
    let goes_on = rest[length..].starts_with(|c: char| c.is_ascii_digit() || c == '^');
    // "in" and "m" apart from a number are words: "3 in 1", "3 m rope"; "cal" is the Polish inch.
    let doubtful = match word {
        "in" => {
            skipped > 0
                && (rest[length..].starts_with(" 1") || lexed.written == Written::Whole && !is_spaced(&rest[length..]))
        }
        "m" => true,
        _ => false,
    };
    (!goes_on && !doubtful && skipped <= 2).then_some((unit, skipped + length))
}

/// Whether a wording of spacings follows, so that "5 in" before it is a length: "5 in apart".
fn is_spaced(behind: &str) -> bool {
    let behind = behind.trim_start();
    ["apart", "between", "center", "centre", "bolt circle", "pcd", "ctr"]
        .iter()
        .any(|wording| behind.starts_with(wording))
}

/// Whether the text behind a number goes on with a unit of any kind.
pub fn goes_on_with_unit(rest: &str) -> bool {
    let word = rest.trim_start_matches([' ', '-']);
    let end = word.find(|c: char| !c.is_alphanumeric()).unwrap_or(word.len());
    let word = &word[..end];
    PowerUnit::from_word(word).is_some()
        || VolumeUnit::from_word(word).is_some()
        || LengthUnit::from_word(word).is_some()
        || MassUnit::from_word(word).is_some()
        || matches!(word, "v" | "rpm" | "pcs" | "holes" | "stk")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> String {
        let shown = pieces(text).into_iter().map(|piece| match piece.kind {
            Kind::Word(word) => word.to_owned(),
            Kind::Measure(measure) => match measure.unit {
                Some(unit) => format!("[{} {unit:?}]", measure.number.value),
                None => format!("[{}]", measure.number.value),
            },
            Kind::Sign(sign) => sign.to_string(),
        });
        shown.collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn numbers_take_their_unit_with_them() {
        assert_eq!(kinds("118mm pcd"), "[118 Millimetre] pcd");
        assert_eq!(kinds("4 1/8\" bolt circle"), "[4.125 Inch] bolt circle");
        assert_eq!(kinds("11,8 cm"), "[11.8 Centimetre]");
        assert_eq!(kinds("4.125in"), "[4.125 Inch]");
        assert_eq!(kinds("4in"), "[4 Inch]");
        assert_eq!(kinds("5 in apart"), "[5 Inch] apart");
        assert_eq!(kinds("3 in box"), "[3] in box");
    }

    #[test]
    fn threads_and_counts_fall_apart() {
        assert_eq!(kinds("3xm6"), "[3] x m [6]");
        assert_eq!(kinds("m6x1.0"), "m [6] x [1]");
        assert_eq!(kinds("3-hole"), "[3] - hole");
        assert_eq!(kinds("3 in 1"), "[3] in [1]");
        assert_eq!(kinds("c-c 102"), "c - c [102]");
        assert_eq!(kinds("拉盘recoil"), "拉盘 recoil");
    }
}
