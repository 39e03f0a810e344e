//! What ends and joins phrases: small words, punctuation, numbers and unknown words.

use super::parser::{Parser, WORDS_AFTER_WITHOUT};
use super::phrase::{Link, Region};
use crate::normalise::scan::Scan;
use crate::normalise::tokens::Class;
use crate::normalise::vocabulary::meaning::{Grammar, Role};

/// Unknown ideographs that count as a word.
const IDEOGRAPHS_OF_A_WORD: u32 = 2;

impl Parser {
    /// A list after "with" or "without" goes on: "with cup, rope and bolts".
    fn continued(&self, otherwise: Link) -> Link {
        match self.phrases.last() {
            Some(phrase) if self.open && matches!(phrase.link, Link::With | Link::Without) => phrase.link,
            _ => otherwise,
        }
    }

    /// Whether the text speaks of the engine that the part goes on, by its very name: "for engines with shroud".
    fn speaks_of_engine(&self) -> bool {
        let behind_engine = self.terms.last().is_some_and(|term| term.role == Role::Machine);
        let named = if self.open { behind_engine } else { self.behind_for };
        self.region == Region::For && self.gap == 0 && named
    }

    /// A small word: what it joins, denies or opens.
    pub(super) fn grammar(&mut self, grammar: Grammar) {
        match grammar {
            Grammar::For => {
                self.unknown_before_for |= self.terms.is_empty() && self.unknown_words > 0;
                self.close(Link::None);
                self.region = Region::For;
                self.behind_for = true;
            }
            Grammar::Of => match self.phrases.last_mut() {
                Some(phrase) if self.open && self.gap == 0 => phrase.of = true,
                _ => {}
            },
            Grammar::With => {
                let of_engine = self.speaks_of_engine();
                self.close(Link::With);
                if !of_engine {
                    self.region = Region::Item;
                }
            }
            Grammar::And => self.close(self.continued(Link::And)),
            Grammar::Without => {
                self.close(Link::Without);
                self.region = Region::Item;
            }
            Grammar::NotIncluded => {
                if let Some(term) = self.terms.last_mut().filter(|_| self.gap <= WORDS_AFTER_WITHOUT) {
                    term.absent = true;
                }
            }
            Grammar::Only => match self.terms.last_mut().filter(|_| self.open && self.gap == 0) {
                Some(term) => term.only = true,
                None => self.only_next = true,
            },
            Grammar::Complete => self.complete |= self.region == Region::Item,
            Grammar::Parts => self.parts = true,
            Grammar::Neutral => {}
        }
    }

    /// A token that is no term.
    pub(super) fn other(&mut self, scan: &Scan, at: usize) {
        match scan.tokens[at].class {
            Class::Symbol => self.symbol(scan.text(at)),
            Class::Number | Class::Mixed => {
                self.open = false;
                self.gap += 1;
                if self.link == Link::Without {
                    self.link = Link::None;
                }
            }
            Class::Word => {
                self.gap += 1;
                self.unknown_words += u32::from(scan.words[at].is_unknown());
            }
            Class::Ideograph => {
                self.ideographs += 1;
                self.gap += u32::from(self.ideographs.is_multiple_of(IDEOGRAPHS_OF_A_WORD));
            }
        }
    }

    fn symbol(&mut self, symbol: &str) {
        match symbol {
            "/" => {
                if self.open {
                    self.close(Link::And);
                    self.slashed = true;
                }
            }
            "+" => {
                self.close(Link::And);
                self.region = Region::Item;
            }
            "*" | "!" | "=" => {}
            "," | "、" | "，" => {
                self.close(self.continued(Link::None));
            }
            "(" | "（" | "[" | "【" | ":" | "：" => self.close(Link::None),
            _ => {
                self.close(Link::None);
                self.region = Region::Item;
                self.unknown_words = 0;
            }
        }
    }
}
