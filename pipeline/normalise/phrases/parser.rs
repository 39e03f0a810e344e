//! Nouns one after another, and the phrases that they form.

use super::phrase::{Link, Phrase, Region, Term};
use crate::normalise::claim::Attribute;
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
        }
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

    /// Whether a part only says what the item before it is like: "lanceur cliquets métal" has pawls of metal.
    pub(super) fn describes(&self, vocabulary: &Vocabulary, scan: &Scan, found: &Found) -> bool {
        let item = self.terms.iter().find(|_| self.region == Region::Item);
        let of_item = item.is_some_and(|item| vocabulary.is_part_of(found, &item.found));
        let counted = |meaning: &Meaning| match *meaning {
            Meaning::Attribute { attribute, .. } | Meaning::Counts(attribute) => attribute == Attribute::Pawls,
            _ => false,
        };
        let described = |other: &Found| {
            let covers = other.first <= found.first && other.end >= found.end;
            let more = other.end - other.first > 1 || number_before(scan, other.first);
            covers && more && vocabulary.lexicon.meanings(other).iter().any(counted)
        };
        of_item && scan.attributes.iter().any(described) && is_plural(scan.text(found.end as usize - 1))
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
            });
            self.link = Link::None;
            self.open = true;
        }
        self.terms.push(term);
        if let Some(phrase) = self.phrases.last_mut() {
            phrase.end = self.terms.len();
        }
        self.gap = 0;
    }

    /// Ends the phrase; what follows is joined to it in this way.
    pub(super) fn close(&mut self, link: Link) {
        self.open = false;
        self.link = link;
        self.gap = 0;
    }
}

fn number_before(scan: &Scan, token: u32) -> bool {
    let before = token.checked_sub(1).and_then(|before| scan.tokens.get(before as usize));
    before.is_some_and(|token| token.class == Class::Number)
}

/// Whether a word for pawls may stand for several of them, by its last letter: pawls, Klinken, nottolini, hakar, západky.
fn is_plural(word: &str) -> bool {
    word.ends_with(['s', 'n', 'i', 'r', 'y', 'и']) || !word.is_ascii() && word.ends_with('爪')
}
