//! Nouns one after another, and the phrases that they form.

use super::phrase::{Link, Phrase, Region, Term};
use crate::normalise::scan::Scan;
use crate::normalise::tokens::Class;
use crate::normalise::vocabulary::Vocabulary;
use crate::normalise::vocabulary::lexicon::Found;
use crate::normalise::vocabulary::meaning::{HeadOrder, Meaning, Role};

/// Unknown words that may stand between two nouns of one phrase.
const WORDS_WITHIN_PHRASE: u32 = 1;
/// Unknown words that may stand between "without" and what is absent.
pub(super) const WORDS_AFTER_WITHOUT: u32 = 1;
/// Words between "with" and what comes along.
const WORDS_AFTER_WITH: u32 = 4;

/// A text being read, up to some token.
pub(super) struct Parser {
    pub(super) terms: Vec<Term>,
    pub(super) phrases: Vec<Phrase>,
    pub(super) open: bool,
    pub(super) link: Link,
    pub(super) region: Region,
    /// Words since the last term or small word.
    pub(super) gap: u32,
    pub(super) only_next: bool,
    /// Whether "for" stands directly before, which may name the engine as well: "pour moteurs".
    pub(super) behind_for: bool,
    /// Whether the link is a slash, which may mean "or".
    pub(super) slashed: bool,
    /// Whether an amount of an engine stood since the last term: "6.5 hp".
    pub(super) measured: bool,
    pub(super) complete: bool,
    pub(super) parts: bool,
    pub(super) unknown_words: u32,
    pub(super) unknown_before_for: bool,
    pub(super) ideographs: u32,
    pub(super) script: Option<Script>,
}

/// What a word is written in.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Script {
    Letters,
    Ideographs,
}

impl Parser {
    /// Nothing read yet.
    pub(super) fn new() -> Self {
        Self {
            terms: Vec::new(),
            phrases: Vec::new(),
            open: false,
            link: Link::None,
            region: Region::Item,
            gap: 0,
            only_next: false,
            behind_for: false,
            slashed: false,
            measured: false,
            complete: false,
            parts: false,
            unknown_words: 0,
            unknown_before_for: false,
            ideographs: 0,
            script: None,
        }
    }

    /// A term of the vocabulary, with all that it may mean.
    pub(super) fn thing(&mut self, found: Found, meanings: &[Meaning], script: Script) {
        let mut naming: Option<(Role, HeadOrder)> = None;
        for meaning in meanings {
            match *meaning {
                // A bare "cover" names a part of the item behind "with" and "and" only.
                Meaning::Kind { role: Role::Along, .. } if !self.comes_along() => {}
                Meaning::Kind { role, order, .. } => {
                    naming = Some(match naming {
                        Some((known, known_order)) if known <= role => (known, known_order),
                        _ => (role, order),
                    });
                }
                Meaning::Grammar(grammar) => self.grammar(grammar),
                _ => {}
            }
        }
        if let Some((role, order)) = naming {
            if self.script.is_some_and(|known| known != script) {
                // "拉盘总成 Recoil starter": the same said again in another language.
                self.open = false;
            }
            self.script = Some(script);
            self.term(Term {
                found,
                role,
                order,
                gap: self.gap,
                only: self.only_next,
                absent: false,
            });
            self.only_next = false;
        } else if matches!(meanings, [Meaning::Kind { .. }, ..]) {
            self.gap += found.end - found.first;
        }
    }

    /// Whether what stands here is joined to what was named before: directly behind "with" or "and".
    fn comes_along(&self) -> bool {
        let joined = matches!(self.link, Link::With | Link::And) && self.gap == 0;
        joined && !self.slashed && !self.terms.is_empty()
    }

    /// A lone letter between a shroud and a starter is a small word of some language: "kryt ventilátoru a startér".
    pub(super) fn join_by_letter(&mut self, vocabulary: &Vocabulary, scan: &Scan, at: usize, found: &Found) {
        let letter = |token: usize| scan.tokens[token].class == Class::Word && scan.text(token).chars().count() == 1;
        let alone = self.open && self.gap == 1 && at.checked_sub(1).is_some_and(letter);
        let last = self.terms.last().map(|term| term.found);
        if alone && last.is_some_and(|last| vocabulary.make_a_whole(&last, found)) {
            self.close(Link::And);
        }
    }

    fn term(&mut self, term: Term) {
        let within = self.open && self.gap <= WORDS_WITHIN_PHRASE;
        if !within {
            let stale = match self.link {
                Link::Without => self.gap > WORDS_AFTER_WITHOUT,
                Link::With => self.gap > WORDS_AFTER_WITH,
                Link::None | Link::And => false,
            };
            let link = if stale { Link::None } else { self.link };
            let start = self.terms.len();
            self.phrases.push(Phrase {
                start,
                end: start,
                link,
                region: self.region,
                of: false,
                behind_amount: self.measured,
                before_amount: false,
                set_apart: false,
            });
            self.link = Link::None;
            self.open = true;
        }
        self.terms.push(term);
        if let Some(phrase) = self.phrases.last_mut() {
            phrase.end = self.terms.len();
        }
        self.gap = 0;
        self.measured = false;
    }

    /// An amount of an engine: what stands before it is so large.
    pub(super) fn amount(&mut self) {
        self.measured = true;
        for phrase in &mut self.phrases {
            phrase.before_amount = true;
        }
    }

    /// Ends the phrase; what follows is joined to it in this way.
    pub(super) fn close(&mut self, link: Link) {
        self.open = false;
        self.link = link;
        self.slashed = false;
        self.behind_for = false;
        self.gap = 0;
    }
}
