//! How each list spells part numbers, and what its "maker's numbers" are.
//!
//! Three habits would keep a number from meeting its like:
//! - a *house prefix*: letters that a supplier puts in front of every number ("VL-28400"). A prefix that
//!   most of a list's numbers carry, in the column or in titles, is also left off;
//! - a plain spelling in titles ("SP52 0457", "029 794"): what some list calls a maker's number, or a
//!   title shows in the shape of one, is known in every title, however it is spaced;
//! - a column of other numbers: where each number stands on many lines they are *references* to one
//!   original; where hardly any other list knows one of them they are *numbers of the house*.
//!
//! Refuses to guess for a short list: fewer than [`ENOUGH`] numbers tell nothing of a habit.

use super::offers::place_of;
use super::records::NumberPlace;
use crate::normalise::offer::{NumberRole, Offer, PartNumber};
use crate::trade::identifier::canonical_number;
use compact_str::CompactString;
use rustc_hash::{FxHashMap, FxHashSet};
use std::collections::BTreeMap;

/// Numbers a list must show before its habits are looked at.
const ENOUGH: usize = 20;
/// Share of a list's numbers that must carry a prefix before it is taken for the supplier's own.
const PREFIX_SHARE: f64 = 0.8;
/// Longest prefix, in characters.
const PREFIX_LENGTH: usize = 4;
/// Shortest number that may stand without its prefix.
const BARE_LENGTH: usize = 5;
/// Lines per distinct maker's number from which a list's numbers are references.
const REPEATED: f64 = 1.8;
/// Share of a list's numbers known elsewhere below which they are the house's own, where lists
/// usually share more than [`USUALLY_SHARED`].
const HARDLY_SHARED: f64 = 0.08;
/// See [`HARDLY_SHARED`].
const USUALLY_SHARED: f64 = 0.2;
/// Digits and length that a lettered token of a title needs to be known in other titles.
const TELLING: (usize, usize) = (4, 7);
/// Words that one spaced number may take in a title.
const MOST_WORDS: usize = 4;
/// Longest number, in characters.
const LONGEST: usize = 24;

/// What the numbers in a list's column for maker's numbers are.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NumberMeaning {
    /// numbers of the parts sold
    OfTheMaker,
    /// numbers of the originals the parts stand for
    Reference,
    /// numbers nobody else knows
    OfTheHouse,
}

/// The habits of all lists.
pub struct Spelling {
    /// by list: house prefix of the column, and of titles
    prefixes: Vec<[String; 2]>,
    /// by list
    meanings: Vec<NumberMeaning>,
    known: FxHashSet<CompactString>,
}

impl Spelling {
    /// Learns the habits of the lists; `lists` gives the list of each offer.
    pub fn learn(offers: &[Offer], lists: &[u32]) -> Spelling {
        let count = lists.iter().map(|l| l + 1).max().unwrap_or(0) as usize;
        let shown = |role: NumberRole| -> Vec<Vec<&str>> {
            let mut numbers: Vec<Vec<&str>> = vec![Vec::new(); count];
            for (offer, list) in offers.iter().zip(lists) {
                numbers[*list as usize].extend(of_role(offer, role).map(|n| n.canonical.as_str()));
            }
            numbers
        };
        let (of_maker, in_titles) = (shown(NumberRole::Maker), shown(NumberRole::InTitle));
        let prefixes = of_maker
            .iter()
            .zip(&in_titles)
            .map(|(column, titles)| [house_prefix(column), house_prefix(titles)])
            .collect();
        let mut spelling = Spelling {
            meanings: vec![NumberMeaning::OfTheMaker; count],
            prefixes,
            known: FxHashSet::default(),
        };
        spelling.judge(&of_maker, &in_titles);
        spelling.collect_known(&of_maker, &in_titles);
        spelling
    }

    /// What a list's maker's numbers are.
    pub fn meaning(&self, list: u32) -> NumberMeaning {
        self.meanings[list as usize]
    }

    /// Numbers of an offer beside those written: without the house prefix, and those known in its title.
    pub fn further_numbers(&self, offer: &Offer, list: u32) -> Vec<(NumberPlace, CompactString)> {
        let prefixes = &self.prefixes[list as usize];
        let mut further: Vec<(NumberPlace, CompactString)> = Vec::new();
        for number in offer.numbers.iter().filter(|n| n.usable) {
            if let (Some(bare), Some(place)) = (bare(&number.canonical, prefixes), place_of(number.role))
                && matches!(number.role, NumberRole::Maker | NumberRole::InTitle)
            {
                further.push((place, bare.into()));
            }
        }
        // what the line itself names as replaced is no number of the part because the title repeats it
        let named = |n: &CompactString| offer.numbers.iter().any(|m| m.canonical == *n);
        let found = numbers_in_title(&offer.title, &self.known, prefixes);
        further.extend(found.into_iter().filter(|n| !named(n)).map(|n| (NumberPlace::Title, n)));
        further
    }

    fn judge(&mut self, of_maker: &[Vec<&str>], in_titles: &[Vec<&str>]) {
        let mut lists_of: FxHashMap<&str, (u32, bool)> = FxHashMap::default();
        for (list, (column, titles)) in of_maker.iter().zip(in_titles).enumerate() {
            for number in column.iter().chain(titles) {
                let number = bare(number, &self.prefixes[list]).unwrap_or(number);
                let seen = lists_of.entry(number).or_insert((list as u32, false));
                seen.1 |= seen.0 != list as u32;
            }
        }
        let counted: Vec<(usize, usize, f64)> = of_maker
            .iter()
            .enumerate()
            .map(|(list, column)| {
                let mut distinct = column.clone();
                distinct.sort_unstable();
                distinct.dedup();
                let known = |n: &&&str| lists_of[bare(n, &self.prefixes[list]).unwrap_or(n)].1;
                let shared = distinct.iter().filter(known).count();
                (
                    column.len(),
                    distinct.len(),
                    shared as f64 / distinct.len().max(1) as f64,
                )
            })
            .collect();
        let (shared, all) = counted
            .iter()
            .fold((0.0, 0.0), |sum, c| (sum.0 + c.2 * c.1 as f64, sum.1 + c.1 as f64));
        for (meaning, (lines, distinct, share)) in self.meanings.iter_mut().zip(counted) {
            if lines < ENOUGH {
                continue;
            }
            if lines as f64 >= REPEATED * distinct as f64 {
                *meaning = NumberMeaning::Reference;
            } else if share < HARDLY_SHARED && shared > USUALLY_SHARED * all {
                *meaning = NumberMeaning::OfTheHouse;
            }
        }
    }

    fn collect_known(&mut self, of_maker: &[Vec<&str>], in_titles: &[Vec<&str>]) {
        let telling = |n: &str| {
            let digits = n.bytes().filter(u8::is_ascii_digit).count();
            digits >= TELLING.0 && n.len() >= TELLING.1 && digits < n.len()
        };
        for list in 0..of_maker.len() {
            let prefixes = &self.prefixes[list];
            let titles = in_titles[list].iter().filter(|n| telling(n));
            let column = of_maker[list].iter().filter(|n| n.len() >= BARE_LENGTH);
            let column = column.filter(|_| self.meanings[list] == NumberMeaning::OfTheMaker);
            for number in column.chain(titles) {
                self.known.insert((*number).into());
                self.known.extend(bare(number, prefixes).map(CompactString::from));
            }
        }
    }
}

fn of_role(offer: &Offer, role: NumberRole) -> impl Iterator<Item = &PartNumber> {
    offer.numbers.iter().filter(move |n| n.usable && n.role == role)
}

/// A number without a house prefix, when it carries one and enough is left.
fn bare<'a>(number: &'a str, prefixes: &[String; 2]) -> Option<&'a str> {
    let some = prefixes.iter().filter(|p| !p.is_empty());
    let mut without = some.filter_map(|p| number.strip_prefix(p.as_str()));
    without.find(|bare| bare.len() >= BARE_LENGTH)
}

/// The longest run of letters that most numbers of a list begin with, empty when there is none.
fn house_prefix(numbers: &[&str]) -> String {
    let mut prefix = String::new();
    if numbers.len() < ENOUGH {
        return prefix;
    }
    for length in 1..=PREFIX_LENGTH {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for n in numbers
            .iter()
            .filter_map(|n| n.get(..length))
            .filter(|p| p.bytes().all(|b| b.is_ascii_alphabetic()))
        {
            *counts.entry(n).or_default() += 1;
        }
        match counts.into_iter().max_by_key(|c| c.1) {
            Some((p, n)) if n as f64 >= PREFIX_SHARE * numbers.len() as f64 => prefix = p.to_string(),
            _ => break,
        }
    }
    prefix
}

/// Known numbers that stand in a title, also where spaces took the place of the dashes ("SP52 0457 ZB"). Of
/// two that begin alike the longer is meant.
fn numbers_in_title(title: &str, known: &FxHashSet<CompactString>, prefixes: &[String; 2]) -> Vec<CompactString> {
    let words: Vec<&str> = title
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | ':' | '"'))
        .filter(|w| !w.is_empty())
        .collect();
    let mut found: Vec<CompactString> = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let longest = (1..=MOST_WORDS.min(words.len() - at)).rev().find_map(|count| {
            let number = joined(&words[at..at + count])?;
            let known = |n: &str| known.contains(n).then(|| CompactString::from(n));
            let whole = known(&number).or_else(|| known(bare(&number, prefixes)?))?;
            Some((count, whole))
        });
        match longest {
            Some((count, number)) => {
                if !found.contains(&number) {
                    found.push(number);
                }
                at += count;
            }
            None => at += 1,
        }
    }
    found
}

/// Words put together as one number; `None` where they cannot be one.
fn joined(words: &[&str]) -> Option<CompactString> {
    let has_digit = |word: &str| word.bytes().any(|b| b.is_ascii_digit());
    let length: usize = words.iter().map(|w| w.len()).sum();
    if !(BARE_LENGTH..=LONGEST).contains(&length) || !words.iter().any(|w| has_digit(w)) {
        return None;
    }
    // a piece of a number without digits is a short mark, not a word of the title
    if words.len() > 1 && words.iter().any(|w| !has_digit(w) && w.len() > PREFIX_LENGTH) {
        return None;
    }
    Some(canonical_number(&words.concat())).filter(|n| n.len() >= BARE_LENGTH)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known(numbers: &[&str]) -> FxHashSet<CompactString> {
        numbers.iter().map(|n| canonical_number(n)).collect()
    }

    fn none() -> [String; 2] {
        Default::default()
    }

    #[test]
    fn letters_in_front_of_nearly_all_numbers_are_the_suppliers_own() {
        let numbers: Vec<String> = (0..30).map(|i| format!("VL{}", 28400 + i * 7)).collect();
        let borrowed: Vec<&str> = numbers.iter().map(String::as_str).collect();
        assert_eq!(house_prefix(&borrowed), "VL");
    }

    #[test]
    fn a_short_list_has_no_house_prefix() {
        assert_eq!(house_prefix(&["VL28400", "VL28401"]), "");
    }

    #[test]
    fn a_plain_number_in_a_title_is_known_by_another_lists_column() {
        let known = known(&["029794", "SP520457"]);
        assert_eq!(
            numbers_in_title("Lanceur pour 168F 029-794, rouge", &known, &none()).len(),
            1
        );
        assert_eq!(numbers_in_title("Recoil starter SP52 0457", &known, &none()).len(), 1);
        assert!(numbers_in_title("Recoil starter 168F 196 cc", &known, &none()).is_empty());
    }

    #[test]
    fn a_number_in_three_pieces_is_one_number_and_the_longer_one_is_meant() {
        let known = known(&["RVN5241733", "RVN52417", "RVN5241733ZA"]);
        assert_eq!(
            numbers_in_title("Starter RVN52 417 33 ZA, red", &known, &none()),
            ["RVN5241733ZA"]
        );
        assert_eq!(
            numbers_in_title("Starter RVN52 417 33, red", &known, &none()),
            ["RVN5241733"]
        );
    }

    #[test]
    fn a_number_in_a_title_is_known_without_the_house_prefix() {
        let known = known(&["040405H"]);
        assert_eq!(
            numbers_in_title("Avviamento JB-04.04.05H", &known, &["JB".to_string(), String::new()]),
            ["040405H"]
        );
    }
}
