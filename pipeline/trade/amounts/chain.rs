//! A chain of numbers, as written, and the amount that it is once a unit closes it.

use super::amount::{Amount, Glue, Joined, UnitAt};
use super::codes::{FEWEST_OF_CODE, follows_code_letters};
use super::separators::{Separator, separator_at};
use crate::trade::numerals::{Lexed, Number, lex_decimal};

/// Most numbers of one chain; more are a table, not a statement.
const LONGEST_CHAIN: usize = 24;
/// No displacement or power is as large in any unit; a number so large before an amount is a part's.
const LEAST_OF_PART_NUMBER: f64 = 10_000.0;
/// Neighbours of a list written with spaces only may differ by this factor.
const SPACED_STEP: f64 = 1.6;

/// One number of a chain.
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

/// Numbers that follow each other, joined by marks or words.
pub(super) struct Chain<U> {
    items: Vec<Item<U>>,
}

/// Reads the chain whose first number begins at `start`; hands back the byte behind it too.
pub(super) fn read_chain<U: Copy + PartialEq>(text: &str, start: usize, unit_at: UnitAt<U>) -> (Chain<U>, usize) {
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

/// The unit behind a number, and where number and unit end.
pub(super) fn unit_after<U>(text: &str, lexed: &Lexed, unit_at: UnitAt<U>) -> (Option<U>, usize) {
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

impl<U: Copy + PartialEq> Chain<U> {
    /// Turns the chain into an amount, if a unit closes it.
    pub(super) fn close(mut self, text: &str, bare: Option<U>) -> Option<Amount<U>> {
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
        // "943760, 200cc": a part's number before the amount.
        let is_large = |item: &Item<U>| item.number.value >= LEAST_OF_PART_NUMBER && item.unit.is_none();
        if let Some(large) = self
            .items
            .iter()
            .rposition(is_large)
            .filter(|at| at + 1 < self.items.len())
        {
            keep_from = keep_from.max(large + 1);
        }
        // A code spelled with a space before a slash: "kr 200/196cc"; "red 380-420 cc" is a range.
        let is_range = |items: &[Item<U>]| match items {
            [low, high] => high.before == Separator::Range && low.number.value < high.number.value,
            _ => false,
        };
        if keep_from + 1 < self.items.len()
            && !is_range(&self.items[keep_from..])
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
