//! Mentions: which of the things a text names is the one sold, and how the others stand to it.
//!
//! The head-noun rule: a text falls into noun phrases at punctuation, numbers and small words. What stands before
//! "for" is the item, unless nothing does; what follows "with" comes along; what follows "without" is absent. Within a
//! phrase the head is the last noun in English, German, Dutch, Swedish and Chinese ("starter rope" is a rope), the
//! first in the Romance and Slavic languages ("corde de lanceur" is a rope), and the first wherever "of" stands. A
//! machine or a way of starting is the head only where nothing more exact is named.

use super::scan::Scan;
use super::tokens::Class;
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::Found;
use super::vocabulary::meaning::{Grammar, HeadOrder, Meaning, Role};

/// Unknown words that may stand between two nouns of one phrase.
const WORDS_WITHIN_PHRASE: u32 = 1;
/// Unknown words that may stand between "without" and what is absent.
const WORDS_AFTER_WITHOUT: u32 = 1;
/// Words between "with" and what comes along.
const WORDS_AFTER_WITH: u32 = 4;

/// How a thing named stands to the one sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The one sold.
    Head,
    /// Stands where the one sold stands, but words that are not known stand before it: "xyz for recoil starters".
    BehindUnknown,
    /// Describes the head of its phrase.
    Modifier,
    /// Named later.
    Later,
    /// Named behind "and".
    Joined,
    /// Comes along.
    With,
    /// What the part goes on.
    For,
    /// Said to be absent.
    Absent,
}

/// One thing named.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mention {
    /// The term.
    pub found: Found,
    /// How it stands.
    pub place: Place,
    /// How the term is used.
    pub role: Role,
    /// Whether "only" stands beside it.
    pub only: bool,
    /// Which phrase it is in.
    pub phrase: u32,
}

/// Everything a text names.
#[derive(Clone, Debug, Default)]
pub struct Mentions {
    /// In the order of the text.
    pub list: Vec<Mention>,
    /// Whether the item is called complete.
    pub complete: bool,
    /// Whether parts in general are named.
    pub parts: bool,
}

impl Mentions {
    /// The mention that names the item.
    pub fn main(&self) -> Option<&Mention> {
        self.list
            .iter()
            .find(|mention| matches!(mention.place, Place::Head | Place::BehindUnknown))
    }
}

/// Which phrase names the item when several could.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MainPhrase {
    /// The first, as in titles.
    First,
    /// The last, as in category paths ("Engine parts > Starters > Ropes").
    Last,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Link {
    None,
    And,
    With,
    Without,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Region {
    Item,
    For,
}

#[derive(Clone, Copy, Debug)]
struct Term {
    found: Found,
    role: Role,
    order: HeadOrder,
    /// Words between this term and the one before.
    gap: u32,
    only: bool,
    absent: bool,
}

#[derive(Clone, Copy, Debug)]
struct Phrase {
    start: usize,
    end: usize,
    link: Link,
    region: Region,
    of: bool,
}

/// Reads a text's mentions.
pub fn read_mentions(vocabulary: &Vocabulary, scan: &Scan, main: MainPhrase) -> Mentions {
    let mut parser = Parser::new();
    let mut things = scan.things.iter().peekable();
    let mut at = 0;
    while at < scan.tokens.len() {
        match things.next_if(|found| found.first as usize == at) {
            Some(found) => {
                parser.thing(*found, vocabulary.lexicon.meanings(found));
                at = found.end as usize;
            }
            None => {
                parser.other(scan, at);
                at += 1;
            }
        }
    }
    parser.finish(vocabulary, main)
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
        }
    }

    fn thing(&mut self, found: Found, meanings: &[Meaning]) {
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
            Class::Ideograph => self.gap += u32::from(at % 2 == 0),
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

    fn finish(self, vocabulary: &Vocabulary, main: MainPhrase) -> Mentions {
        let main_phrase = self.main_phrase(vocabulary, main);
        let mut list = Vec::with_capacity(self.terms.len());
        for (index, phrase) in self.phrases.iter().enumerate() {
            let promoted = Some(index) == main_phrase;
            let head = self.head_of(vocabulary, phrase);
            for (at, term) in self.terms.iter().enumerate().take(phrase.end).skip(phrase.start) {
                let place = match () {
                    () if term.absent || phrase.link == Link::Without => Place::Absent,
                    () if promoted && at == head && phrase.region == Region::For && self.unknown_before_for => {
                        Place::BehindUnknown
                    }
                    () if promoted && at == head => Place::Head,
                    () if phrase.region == Region::For && !promoted => Place::For,
                    () if at != head => Place::Modifier,
                    () if phrase.link == Link::With => Place::With,
                    () if phrase.link == Link::And => Place::Joined,
                    () => Place::Later,
                };
                list.push(Mention {
                    found: term.found,
                    place,
                    role: term.role,
                    only: term.only,
                    phrase: index as u32,
                });
            }
        }
        Mentions {
            list,
            complete: self.complete,
            parts: self.parts,
        }
    }

    /// The most exact role named in a phrase, absent things aside.
    fn role_of(&self, phrase: &Phrase) -> Option<Role> {
        self.terms[phrase.start..phrase.end]
            .iter()
            .filter(|term| !term.absent)
            .map(|term| term.role)
            .min()
    }

    /// The phrase that names the item. Behind "for" only when nothing stands before it; a part rather than a machine,
    /// a machine rather than a way of starting, unless the part only comes along with the machine.
    fn main_phrase(&self, vocabulary: &Vocabulary, main: MainPhrase) -> Option<usize> {
        let mut best: Option<(usize, usize)> = None;
        let mut feature: Option<Found> = None;
        for (index, phrase) in self.phrases.iter().enumerate() {
            let Some(role) = self.role_of(phrase) else { continue };
            let along = match phrase.link {
                Link::Without => continue,
                Link::With => 4,
                Link::None | Link::And => 0,
            };
            let found = self.terms[self.head_of(vocabulary, phrase)].found;
            let exactness = match role {
                // "Pull start, M6 bolts": what belongs inside does not take over.
                Role::Kit | Role::Name if feature.is_some_and(|whole| vocabulary.is_part_of(&found, &whole)) => 3,
                Role::Kit | Role::Name => 0,
                // "Pull start, 6 kW generator" is the part, "generator, pull start" the machine.
                Role::Machine if feature.is_some() => 3,
                Role::Machine => 1,
                Role::Feature => 2,
            };
            if role == Role::Feature {
                feature = feature.or(Some(found));
            }
            let behind = if phrase.region == Region::For { 8 } else { 0 };
            let rank = exactness + along + behind;
            let better = match best {
                None => true,
                Some((known, _)) => rank < known || (rank == known && main == MainPhrase::Last),
            };
            if better {
                best = Some((rank, index));
            }
        }
        best.map(|(_, index)| index)
    }

    /// Index of the term that is the head of a phrase.
    fn head_of(&self, vocabulary: &Vocabulary, phrase: &Phrase) -> usize {
        let terms = &self.terms[phrase.start..phrase.end];
        let exact = terms.iter().filter(|term| !term.absent).map(|term| term.role).min();
        let eligible = |term: &Term| Some(term.role) == exact && !term.absent;
        let (mut first, mut last) = (0, 0);
        for term in terms {
            match term.order {
                HeadOrder::First => first += 1,
                HeadOrder::Last => last += 1,
                HeadOrder::Either => {}
            }
        }
        let position = if phrase.of || first > last {
            terms.iter().position(eligible)
        } else {
            terms.iter().rposition(eligible)
        };
        let head = position.unwrap_or(0);
        // A part named beside its whole in one phrase is what is sold, whatever the order: "handgreep trekstarter".
        let beside = |at: usize| terms[at.min(head) + 1..=at.max(head)].iter().all(|term| term.gap == 0);
        let part = (0..terms.len()).find(|at| {
            eligible(&terms[*at]) && beside(*at) && vocabulary.is_part_of(&terms[*at].found, &terms[head].found)
        });
        phrase.start + part.unwrap_or(head)
    }
}
