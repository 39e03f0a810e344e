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

use super::house_prefix::{BARE_LENGTH, ENOUGH, bare, house_prefix};
use super::offers::place_of;
use super::records::NumberPlace;
use super::title_numbers::numbers_in_title;
use crate::normalise::offer::{NumberRole, Offer, PartNumber};
use compact_str::CompactString;
use rustc_hash::{FxHashMap, FxHashSet};

/// Lines per distinct maker's number from which a list's numbers are references.
const REPEATED: f64 = 1.8;
/// Share of a list's numbers known elsewhere below which they are the house's own, where lists
/// usually share more than [`USUALLY_SHARED`].
const HARDLY_SHARED: f64 = 0.08;
/// See [`HARDLY_SHARED`].
const USUALLY_SHARED: f64 = 0.2;
/// Digits and length that a lettered token of a title needs to be known in other titles.
const TELLING: (usize, usize) = (4, 7);

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
