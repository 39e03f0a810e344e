//! The chunks of a running text that may be part numbers, each with the role that the words before it give it.
//!
//! A chunk hangs together without a space, "28400-KR2-003", or is a number written in groups, "26 474 60-S", "LS 5268 G".
//! A label gives its role to the numbers of its list, up to a dash or another word. A maker's name before a number of the
//! list does not end it, unless the name stood in the text before: then the number is the part's own.

use std::ops::Range;

use super::offer::NumberRole;
use super::scan::Scan;
use super::tokens::Class;
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::Found;
use super::vocabulary::meaning::Meaning;
use crate::trade::wording::goes_on_with_unit;

/// Shortest word that may be a maker's name.
const SHORTEST_MAKER: usize = 3;
/// Fewest groups of digits, and fewest digits in all, of a number written in groups.
const FEWEST_GROUPS: usize = 3;
const FEWEST_GROUPED_DIGITS: usize = 7;
/// Most groups; more are a list of amounts.
const MOST_GROUPS: usize = 5;
/// Digits of one group.
const GROUP: std::ops::RangeInclusive<u32> = 2..=4;
/// Digits of a number between letters, "LS 5268 G".
const BETWEEN_LETTERS: std::ops::RangeInclusive<u32> = 4..=6;
/// Tokens at the beginning of a text among which its maker is looked for.
const HEAD_OF_TEXT: usize = 16;
/// Letters before a weight: gross, net.
const WEIGHTS: [&str; 3] = ["gw", "nw", "wt"];
/// Letters behind digits that are watts, volts or litres rather than the end of a number.
const UNITS: [&str; 3] = ["w", "v", "l"];

/// A run of signs with a digit in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Chunk {
    /// Its bytes in the folded text.
    pub span: Range<usize>,
    /// What the words before it make it.
    pub role: NumberRole,
    /// Whether it is a number written in groups.
    pub spaced: bool,
}

/// The chunks of a text that have a digit, in order.
pub fn chunks(vocabulary: &Vocabulary, scan: &Scan) -> Vec<Chunk> {
    let mut labels = scan.attributes.iter().peekable();
    let mut role = NumberRole::InTitle;
    let mut listed = false;
    let mut chunks = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        while let Some(found) = labels.next_if(|found| (found.first as usize) <= at) {
            for meaning in vocabulary.lexicon.meanings(found) {
                role = match meaning {
                    Meaning::Replaces => NumberRole::Replaces,
                    // "OE ref": the second label does not undo the first.
                    Meaning::MakerNumber if role != NumberRole::Replaces => NumberRole::Maker,
                    _ => continue,
                };
                listed = false;
            }
        }
        let grouped = grouped_end(vocabulary, scan, at);
        let (span, end) = match grouped {
            Some(end) => (scan.tokens[at].start as usize..scan.tokens[end - 1].end as usize, end),
            None => chunk_at(scan, at),
        };
        if scan.folded.as_bytes()[span.clone()].iter().any(u8::is_ascii_digit) {
            let spaced = grouped.is_some();
            chunks.push(Chunk { span, role, spaced });
            listed = true;
        } else if role != NumberRole::InTitle && ends_list(vocabulary, scan, at, listed) {
            role = NumberRole::InTitle;
        }
        at = end;
    }
    chunks
}

/// The bytes of the chunks behind a label: numbers of parts, whatever they look like.
pub fn labelled(vocabulary: &Vocabulary, scan: &Scan) -> Vec<Range<usize>> {
    if !scan.attributes.iter().any(|found| is_label(vocabulary, found)) {
        return Vec::new();
    }
    let chunks = chunks(vocabulary, scan).into_iter();
    chunks
        .filter(|chunk| chunk.role != NumberRole::InTitle)
        .map(|chunk| chunk.span)
        .collect()
}

fn is_label(vocabulary: &Vocabulary, found: &Found) -> bool {
    let mut meanings = vocabulary.lexicon.meanings(found).iter();
    meanings.any(|meaning| matches!(meaning, Meaning::Replaces | Meaning::MakerNumber))
}

/// Whether a token ends the list of a label, of which a number was read or not: a dash behind a number, and a word that is
/// neither a label nor a maker's name before a number of the list.
fn ends_list(vocabulary: &Vocabulary, scan: &Scan, at: usize, listed: bool) -> bool {
    match scan.tokens[at].class {
        Class::Symbol => listed && scan.text(at) == "-",
        Class::Word => !is_within_label(vocabulary, scan, at) && !is_maker_in_list(vocabulary, scan, at, listed),
        _ => false,
    }
}

fn is_within_label(vocabulary: &Vocabulary, scan: &Scan, at: usize) -> bool {
    let within = |found: &&Found| (found.first as usize) <= at && at < found.end as usize;
    let mut labels = scan.attributes.iter().filter(within);
    labels.any(|found| is_label(vocabulary, found))
}

/// "OE Varnello 4711-20 / Varnello 4712-20": an unknown word before a number, directly behind the label or behind a sign
/// that goes on with the list. Behind a comma, a name that the text has begun with makes the number the part's own.
fn is_maker_in_list(vocabulary: &Vocabulary, scan: &Scan, at: usize, listed: bool) -> bool {
    let word = scan.text(at);
    let before = at.checked_sub(1).map_or("", |before| scan.text(before));
    let goes_on = !listed
        || match before {
            "," => (0..at.min(HEAD_OF_TEXT)).all(|earlier| scan.text(earlier) != word),
            sign => matches!(sign, "/" | ";" | "&" | "+" | "|" | "、"),
        };
    let maker = scan.words[at].is_unknown() && word.len() >= SHORTEST_MAKER && !vocabulary.not_brands.contains(word);
    let before_number = || {
        let digits = |at: usize| {
            let (span, _) = chunk_at(scan, at);
            scan.folded.as_bytes()[span].iter().any(u8::is_ascii_digit)
        };
        at + 1 < scan.tokens.len() && (digits(at + 1) || grouped_end(vocabulary, scan, at + 1).is_some())
    };
    goes_on && maker && before_number()
}

/// The token behind a number written in groups that begins at `at`.
fn grouped_end(vocabulary: &Vocabulary, scan: &Scan, at: usize) -> Option<usize> {
    let end = groups_of_digits(scan, at).or_else(|| between_letters(vocabulary, scan, at))?;
    let behind = scan.tokens[end - 1].end as usize;
    (!goes_on_with_unit(&scan.folded[behind..])).then_some(end)
}

/// Whether a token follows the one before it behind one space.
fn follows(scan: &Scan, at: usize) -> bool {
    let start = scan.tokens.get(at).map(|token| token.start as usize);
    start.is_some_and(|start| &scan.folded[scan.tokens[at - 1].end as usize..start] == " ")
}

fn digits_of(scan: &Scan, at: usize) -> Option<u32> {
    let token = scan.tokens.get(at).filter(|token| token.class == Class::Number)?;
    let plain = token.text(&scan.folded).bytes().all(|byte| byte.is_ascii_digit());
    plain.then_some(token.end - token.start)
}

/// "26 474 60-S"; numbers that rise are a list of sizes, "163 196 212".
fn groups_of_digits(scan: &Scan, at: usize) -> Option<usize> {
    let begins = at == 0 || follows(scan, at) || scan.tokens[at - 1].class == Class::Symbol;
    if !begins {
        return None;
    }
    let mut digits = 0;
    let mut last = 0;
    let mut rising = true;
    let mut end = at;
    while let Some(group) = digits_of(scan, end).filter(|group| GROUP.contains(group)) {
        if end > at && !follows(scan, end) {
            break;
        }
        let value: u32 = scan.text(end).parse().ok()?;
        rising &= value > last;
        last = value;
        digits += group;
        end += 1;
        if end - at > MOST_GROUPS {
            return None;
        }
    }
    if end - at < FEWEST_GROUPS || (digits as usize) < FEWEST_GROUPED_DIGITS {
        return None;
    }
    // a build behind the last group: the S of "60-S"
    let (_, behind) = chunk_at(scan, end - 1);
    (!rising || behind > end).then_some(behind)
}

/// "LS 5268 G"
fn between_letters(vocabulary: &Vocabulary, scan: &Scan, at: usize) -> Option<usize> {
    let letters = |at: usize, lengths: std::ops::RangeInclusive<u32>| {
        let token = scan.tokens.get(at)?;
        let ascii = token.class == Class::Word && token.text(&scan.folded).is_ascii();
        (ascii && lengths.contains(&(token.end - token.start))).then_some(token)
    };
    let first = letters(at, 2..=3)?.text(&scan.folded);
    let named = scan.words[at].is_unknown() && !WEIGHTS.contains(&first) && !vocabulary.not_brands.contains(first);
    let number = digits_of(scan, at + 1).is_some_and(|digits| BETWEEN_LETTERS.contains(&digits));
    let tail = letters(at + 2, 1..=1).is_some_and(|tail| !UNITS.contains(&tail.text(&scan.folded)));
    let closed = tail && follows(scan, at + 1) && follows(scan, at + 2);
    (named && number && closed).then_some(at + 3)
}

/// The run of tokens from `at` on that hang together without a space, and the token behind it.
fn chunk_at(scan: &Scan, at: usize) -> (Range<usize>, usize) {
    let bytes = scan.folded.as_bytes();
    let joined = |left: usize, right: usize| {
        right > left && bytes[left..right].iter().all(|byte| matches!(byte, b'-' | b'.' | b'_'))
    };
    let start = scan.tokens[at].start as usize;
    let mut end = at + 1;
    if matches!(scan.tokens[at].class, Class::Symbol | Class::Ideograph) {
        return (start..scan.tokens[at].end as usize, end);
    }
    while let Some(token) = scan.tokens.get(end) {
        let plain = !matches!(token.class, Class::Symbol | Class::Ideograph);
        if !plain || !joined(scan.tokens[end - 1].end as usize, token.start as usize) {
            break;
        }
        end += 1;
    }
    (start..scan.tokens[end - 1].end as usize, end)
}
