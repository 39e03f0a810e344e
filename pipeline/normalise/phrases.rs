//! Noun phrases of a text: where each begins and ends, and what joins it to the others.
//!
//! A text is read token by token. Punctuation, numbers and small words end a phrase; one unknown word inside it does
//! not. "With" and "without" hold for the list that follows them, "for" until the text turns back to the item (a dash,
//! a closing bracket, "with", "+"). Nothing is decided here about which phrase names the item.

use super::claim::Attribute;
use super::scan::Scan;
use super::tokens::Class;
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::Found;
use super::vocabulary::meaning::{Grammar, HeadOrder, Meaning, Role};

/// Unknown words that may stand between two nouns of one phrase.
const WORDS_WITHIN_PHRASE: u32 = 1;
/// Unknown words that may stand between "without" and what is absent.
const WORDS_AFTER_WITHOUT: u32 = 1;
/// Unknown ideographs that count as a word.
const IDEOGRAPHS_OF_A_WORD: u32 = 2;
/// Words between "with" and what comes along.
const WORDS_AFTER_WITH: u32 = 4;

/// What joins a phrase to what stands before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Link {
    /// Nothing, or punctuation.
    None,
    /// "and", "+", "/".
    And,
    /// "with".
    With,
    /// "without".
    Without,
}

/// What a stretch of text is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Region {
    /// The item.
    Item,
    /// What it goes on.
    For,
}

/// One noun.
#[derive(Clone, Copy, Debug)]
pub struct Term {
    /// The term of the vocabulary.
    pub found: Found,
    /// How it is used.
    pub role: Role,
    /// Where heads stand in its languages.
    pub order: HeadOrder,
    /// Words between this term and the one before.
    pub gap: u32,
    /// Whether "only" stands beside it.
    pub only: bool,
    /// Whether it is said to be not included.
    pub absent: bool,
}

/// One noun phrase: a run of terms.
#[derive(Clone, Copy, Debug)]
pub struct Phrase {
    /// First term.
    pub start: usize,
    /// Term after the last.
    pub end: usize,
    /// What joins it to what stands before.
    pub link: Link,
    /// What it is about.
    pub region: Region,
    /// Whether "of" stands in it.
    pub of: bool,
}

/// The phrases of a text.
#[derive(Clone, Debug)]
pub struct Phrases {
    /// All terms, in the order of the text.
    pub terms: Vec<Term>,
    /// The phrases, in the order of the text.
    pub list: Vec<Phrase>,
    /// Whether the item is called complete.
    pub complete: bool,
    /// Whether parts in general are named.
    pub parts: bool,
    /// Whether unknown words, and no known thing, stand before the first "for".
    pub unknown_before_for: bool,
}

/// Reads the phrases of a text.
pub fn read_phrases(vocabulary: &Vocabulary, scan: &Scan) -> Phrases {
    let mut parser = Parser::new();
    let mut things = scan.things.iter().peekable();
    let mut at = 0;
    while at < scan.tokens.len() {
        match things.next_if(|found| found.first as usize == at) {
            Some(found) if parser.describes(vocabulary, scan, found) => at = found.end as usize,
            Some(found) => {
                parser.join_by_letter(vocabulary, scan, at, found);
                let script = match scan.tokens[at].class {
                    Class::Ideograph => Script::Ideographs,
                    _ => Script::Letters,
                };
                parser.thing(*found, vocabulary.lexicon.meanings(found), script);
                at = found.end as usize;
            }
            None => {
                parser.other(scan, at);
                at += 1;
            }
        }
    }
    let Parser {
        terms,
        phrases,
        complete,
        parts,
        unknown_before_for,
        ..
    } = parser;
    Phrases {
        terms,
        list: phrases,
        complete,
        parts,
        unknown_before_for,
    }
}

struct Parser {
    terms: Vec<Term>,
    phrases: Vec<Phrase>,
    open: bool,
    link: Link,
    region: Region,
    /// Words since the last term or small word.
    gap: u32,
    only_next: bool,
    complete: bool,
    parts: bool,
    unknown_words: u32,
    unknown_before_for: bool,
    ideographs: u32,
    script: Option<Script>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Script {
    Letters,
    Ideographs,
}

impl Parser {
    fn new() -> Self {
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

    fn thing(&mut self, found: Found, meanings: &[Meaning], script: Script) {
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
    fn join_by_letter(&mut self, vocabulary: &Vocabulary, scan: &Scan, at: usize, found: &Found) {
        let letter = |token: usize| scan.tokens[token].class == Class::Word && scan.text(token).chars().count() == 1;
        let alone = self.open && self.gap == 1 && at.checked_sub(1).is_some_and(letter);
        let last = self.terms.last().map(|term| term.found);
        if alone && last.is_some_and(|last| vocabulary.make_a_whole(&last, found)) {
            self.close(Link::And);
        }
    }

    /// Whether a part only says what the item before it is like: "lanceur cliquets métal" has pawls of metal.
    fn describes(&self, vocabulary: &Vocabulary, scan: &Scan, found: &Found) -> bool {
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

    fn close(&mut self, link: Link) {
        self.open = false;
        self.link = link;
        self.gap = 0;
    }

    /// A list after "with" or "without" goes on: "with cup, rope and bolts".
    fn continued(&self, otherwise: Link) -> Link {
        match self.phrases.last() {
            Some(phrase) if self.open && matches!(phrase.link, Link::With | Link::Without) => phrase.link,
            _ => otherwise,
        }
    }

    fn grammar(&mut self, grammar: Grammar) {
        match grammar {
            Grammar::For => {
                self.unknown_before_for |= self.terms.is_empty() && self.unknown_words > 0;
                self.close(Link::None);
                self.region = Region::For;
            }
            Grammar::Of => match self.phrases.last_mut() {
                Some(phrase) if self.open && self.gap == 0 => phrase.of = true,
                _ => {}
            },
            Grammar::With => {
                self.close(Link::With);
                self.region = Region::Item;
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
    fn other(&mut self, scan: &Scan, at: usize) {
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

fn number_before(scan: &Scan, token: u32) -> bool {
    let before = token.checked_sub(1).and_then(|before| scan.tokens.get(before as usize));
    before.is_some_and(|token| token.class == Class::Number)
}

/// Whether a word for pawls may stand for several of them, by its last letter: pawls, Klinken, nottolini, hakar, západky.
fn is_plural(word: &str) -> bool {
    word.ends_with(['s', 'n', 'i', 'r', 'y', 'и']) || !word.is_ascii() && word.ends_with('爪')
}
