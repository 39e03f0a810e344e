//! Lists and ranges of numbers that share a unit: `163/196/212cc`, `5.5, 6.5 & 7 HP`,
//! `from 163 to 212 cc`, `163cc-212cc`.
//!
//! An *amount* is such a chain together with the unit that closes it. The scan runs once over
//! the text and looks at every number once; a chain that no unit closes is passed over whole,
//! so a text of numbers costs no more than its length. A number glued behind a letter (`kr200`)
//! belongs to a code and starts no chain; one glued before a letter that is no unit (`168f`)
//! ends it. Fractions are not looked for: `13/16 hp` lists two engines.

use super::interval::Interval;
use super::numerals::{Lexed, Number, lex_decimal};
use std::ops::Range;

/// How the numbers of an amount belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Joined {
    /// Each number is a value of its own.
    List,
    /// The first and last are the ends of a range.
    Range,
}

/// A chain of numbers closed by a unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount<U> {
    /// Byte span from the first number to the end of the last unit.
    pub span: Range<usize>,
    /// The numbers with the unit of each, in the order written.
    pub items: Vec<(Number, U)>,
    /// List or range.
    pub joined: Joined,
}

/// The unit a text starts with, and its length in bytes. The text is what follows a number,
/// spaces and a hyphen already taken off; `glued` says whether anything was taken off.
pub type UnitAt<U> = fn(text: &str, glued: Glue) -> Option<(U, usize)>;

/// Whether a unit stands directly behind its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Glue {
    /// `196cc`
    Glued,
    /// `196 cc`, `196-cc`
    Apart,
}

/// Most numbers of one chain; more are a table, not a statement.
const LONGEST_CHAIN: usize = 24;
/// Codes spelled with a space have at least three digits; a smaller number is an amount.
const FEWEST_OF_CODE: f64 = 100.0;
/// Neighbours of a list written with spaces only may differ by this factor.
const SPACED_STEP: f64 = 1.6;

/// Finds the amounts of a folded text. `bare` is the unit of numbers without one; give it only
/// where the text is a cell whose column says what the numbers are.
pub fn find_amounts<U: Copy + PartialEq>(text: &str, unit_at: UnitAt<U>, bare: Option<U>) -> Vec<Amount<U>> {
    let mut amounts = Vec::new();
    let mut at = 0;
    while let Some(start) = next_number(text, at) {
        if continues_code(text, start) && !closes_at_once(text, start, unit_at) {
            at = lex_decimal(text, start).map_or(start + 1, |lexed| lexed.end);
            continue;
        }
        let (chain, end) = read_chain(text, start, unit_at);
        at = end.max(start + 1);
        amounts.extend(chain.close(text, bare));
    }
    amounts
}

/// Start of the next number that is not glued behind a letter, digit or decimal mark.
fn next_number(text: &str, from: usize) -> Option<usize> {
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
fn continues_code(text: &str, start: usize) -> bool {
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

/// Whether the number at `start` has a unit of its own: the 196 of `kr200/196cc`.
fn closes_at_once<U>(text: &str, start: usize, unit_at: UnitAt<U>) -> bool {
    lex_decimal(text, start).is_some_and(|lexed| unit_after(text, &lexed, unit_at).0.is_some())
}

/// Letters of scripts written without spaces do not make a code of the number behind them.
fn glues_to_digits(character: char) -> bool {
    character.is_ascii_alphanumeric() || matches!(character, '.' | '_' | '#' | '$' | '€' | '£')
}

#[derive(Clone, Copy, PartialEq)]
enum Separator {
    /// A slash without spaces, the closest of list marks.
    Slash,
    List,
    Range,
    Space,
}

struct Item<U> {
    start: usize,
    end: usize,
    number: Number,
    unit: Option<U>,
    /// What stands between this item and the one before it.
    before: Separator,
    /// A letter that is no unit stands directly behind.
    code: bool,
}

struct Chain<U> {
    items: Vec<Item<U>>,
}

fn read_chain<U: Copy + PartialEq>(text: &str, start: usize, unit_at: UnitAt<U>) -> (Chain<U>, usize) {
    let mut items: Vec<Item<U>> = Vec::new();
    let mut at = start;
    let mut before = Separator::List;
    let mut end = start;
    while items.len() < LONGEST_CHAIN {
        let Some(lexed) = lex_decimal(text, at) else { break };
        let (unit, item_end) = unit_after(text, &lexed, unit_at);
        let code = unit.is_none() && text[lexed.end..].starts_with(|c: char| c.is_alphanumeric());
        items.push(Item {
            start: at,
            end: item_end,
            number: lexed.number,
            unit,
            before,
            code,
        });
        end = item_end;
        if code {
            break;
        }
        let Some((separator, next)) = separator_at(text, item_end) else {
            break;
        };
        // A new amount follows a closed one without more than a space: "212cc 6.5hp".
        if unit.is_some() && separator == Separator::Space {
            break;
        }
        (before, at) = (separator, next);
    }
    (Chain { items }, end)
}

fn unit_after<U>(text: &str, lexed: &Lexed, unit_at: UnitAt<U>) -> (Option<U>, usize) {
    let behind = &text[lexed.end..];
    if let Some((unit, length)) = unit_at(behind, Glue::Glued) {
        return (Some(unit), lexed.end + length);
    }
    let apart = behind.trim_start_matches([' ', '-']);
    let skipped = behind.len() - apart.len();
    if (1..=3).contains(&skipped)
        && let Some((unit, length)) = unit_at(apart, Glue::Apart)
    {
        return (Some(unit), lexed.end + skipped + length);
    }
    (None, lexed.end)
}

/// Words that join numbers, after folding: "and"/"or" of the list languages, then "to".
const LIST_WORDS: [&str; 15] = [
    "and", "und", "et", "y", "e", "en", "i", "oraz", "or", "oder", "ou", "o", "of", "lub", "u",
];
const RANGE_WORDS: [&str; 12] = [
    "to", "bis", "a", "al", "tot", "do", "hasta", "thru", "through", "jusqu'a", "fino", "upto",
];

/// The separator at `at` and where the next number starts; None where no number follows.
fn separator_at(text: &str, at: usize) -> Option<(Separator, usize)> {
    let rest = &text[at..];
    let trimmed = rest.trim_start_matches(' ');
    let spaces = rest.len() - trimmed.len();
    let first = trimmed.chars().next()?;
    if first.is_ascii_digit() {
        return (spaces > 0).then_some((Separator::Space, at + spaces));
    }
    let (separator, length) = match first {
        '/' if spaces == 0 && !trimmed[1..].starts_with(' ') => (Separator::Slash, 1),
        '/' | '&' | '+' | ',' | ';' | '|' | '、' => (Separator::List, first.len_utf8()),
        '-' | '~' => (Separator::Range, 1),
        '.' if trimmed.starts_with("..") => (Separator::Range, trimmed.len() - trimmed.trim_start_matches('.').len()),
        _ if first.is_ascii_lowercase() && spaces > 0 => {
            let length = trimmed
                .find(|c: char| !c.is_ascii_lowercase() && c != '\'')
                .unwrap_or(trimmed.len());
            let word = &trimmed[..length];
            if LIST_WORDS.contains(&word) {
                (Separator::List, length)
            } else if RANGE_WORDS.contains(&word) {
                (Separator::Range, length)
            } else {
                return None;
            }
        }
        _ => return None,
    };
    let behind = &trimmed[length..];
    let mut number = behind.trim_start_matches(' ');
    if separator == Separator::List {
        // "163, 196, and 212 cc", "163 and/or 196 cc"
        for word in ["and ", "und ", "et ", "or ", "oder ", "& "] {
            number = number.strip_prefix(word).unwrap_or(number).trim_start_matches(' ');
        }
    }
    number
        .starts_with(|c: char| c.is_ascii_digit())
        .then(|| (separator, text.len() - number.len()))
}

impl<U: Copy + PartialEq> Chain<U> {
    /// Turns the chain into an amount, if a unit closes it.
    fn close(mut self, text: &str, bare: Option<U>) -> Option<Amount<U>> {
        let closing = self.items.iter().rposition(|item| item.unit.is_some());
        match (closing, bare) {
            (Some(last), None) => self.items.truncate(self.end_of_loose_tail(last) + 1),
            (_, Some(_)) => {
                if self.items.last().is_some_and(|item| item.code) {
                    self.items.pop();
                }
            }
            (None, None) => return None,
        }
        self.drop_loose_head(text);
        let unit_of_all = self.items.iter().rev().find_map(|item| item.unit).or(bare)?;
        let (first, last) = (self.items.first()?, self.items.last()?);
        let span = first.start..last.end;
        let joined = self.joined(text, first.start);
        let mut unit = unit_of_all;
        let mut items: Vec<(Number, U)> = Vec::with_capacity(self.items.len());
        for item in self.items.iter().rev() {
            unit = item.unit.unwrap_or(unit);
            items.push((item.number, unit));
        }
        items.reverse();
        Some(Amount { span, items, joined })
    }

    /// Numbers behind the last unit still belong when a slash joins them and they are of the
    /// same order: `163cc/196/212`.
    fn end_of_loose_tail(&self, last: usize) -> usize {
        let anchor = self.items[last].number.value;
        let mut end = last;
        for (at, item) in self.items.iter().enumerate().skip(last + 1) {
            let ratio = item.number.value / anchor;
            if item.code || item.before != Separator::Slash || !(0.4..=2.5).contains(&ratio) {
                break;
            }
            end = at;
        }
        end
    }

    /// Keeps, of a chain joined by spaces, the tail that is one list: `2018 8 9 11 13 hp` loses
    /// its year, `168-2 196cc` all but the last.
    fn drop_loose_head(&mut self, text: &str) {
        let mut keep_from = 0;
        let mut spaced = 0;
        for at in (1..self.items.len()).rev() {
            if self.items[at].before != Separator::Space {
                continue;
            }
            let (low, high) = (self.items[at - 1].number.value, self.items[at].number.value);
            if low < high && high <= low * SPACED_STEP {
                spaced += 1;
            } else {
                keep_from = at;
                break;
            }
        }
        if spaced == 1 {
            let lone = self.items.iter().rposition(|item| item.before == Separator::Space);
            keep_from = keep_from.max(lone.unwrap_or(0));
        }
        // A code spelled with a space before a slash: "kr 200/196cc".
        if keep_from + 1 < self.items.len()
            && self.items[keep_from].unit.is_none()
            && self.items[keep_from].number.value >= FEWEST_OF_CODE
            && follows_code_letters(text, self.items[keep_from].start)
        {
            keep_from += 1;
        }
        self.items.drain(..keep_from.min(self.items.len()));
    }

    fn joined(&self, text: &str, start: usize) -> Joined {
        let between_words = ["between", "zwischen", "entre", "tra", "tussen", "miedzy"];
        let opened = || {
            let before = text[..start].trim_end();
            between_words.iter().any(|word| before.ends_with(word))
        };
        let ranged = match self.items.as_slice() {
            [low, high] => low.number.value < high.number.value && (high.before == Separator::Range || opened()),
            _ => false,
        };
        if ranged { Joined::Range } else { Joined::List }
    }
}

/// Words of up to three letters that may stand before a number without making a code of it.
const NOT_CODE_LETTERS: [&str; 45] = [
    "for", "fur", "per", "par", "to", "of", "de", "do", "da", "di", "od", "ab", "von", "bis", "ohv", "ohc", "gas",
    "and", "und", "et", "y", "e", "en", "i", "or", "ca", "dla", "con", "mit", "all", "l", "o", "a", "zu", "op", "au",
    "x", "met", "na", "voi", "les", "des", "il", "al", "und",
];

fn follows_code_letters(text: &str, at: usize) -> bool {
    let Some(before) = text[..at].strip_suffix(' ') else {
        return false;
    };
    let letters = before.trim_end_matches(|c: char| c.is_ascii_lowercase());
    let word = &before[letters.len()..];
    let glued = letters.ends_with(|c: char| c.is_alphanumeric());
    let known = || NOT_CODE_LETTERS.contains(&word) || super::wording::goes_on_with_unit(word);
    (1..=3).contains(&word.len()) && !glued && !known()
}

impl<U: Copy> Amount<U> {
    /// The values in a common unit as intervals as wide as their rounding: one per number of a
    /// list, one from end to end of a range.
    pub fn served(&self, factor: impl Fn(U) -> f64) -> Vec<Interval> {
        let values: Vec<Interval> = self
            .items
            .iter()
            .map(|(number, unit)| Interval::around(number.value, number.half_ulp).times(factor(*unit)))
            .collect();
        match (self.joined, values.as_slice()) {
            (Joined::Range, [low, high]) => vec![low.hull(high)],
            _ => values,
        }
    }
}

#[cfg(test)]
#[path = "amounts_tests.rs"]
mod tests;
