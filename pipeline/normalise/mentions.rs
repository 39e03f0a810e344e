//! Mentions: which of the things a text names is the one sold, and how the others stand to it.
//!
//! The head-noun rule: a text falls into noun phrases at punctuation, numbers and small words. What stands before
//! "for" is the item, unless nothing does; what follows "with" comes along; what follows "without" is absent. Within a
//! phrase the head is the last noun in English, German, Dutch, Swedish and Chinese ("starter rope" is a rope), the
//! first in the Romance and Slavic languages ("corde de lanceur" is a rope), and the first wherever "of" stands. A
//! machine or a way of starting is the head only where nothing more exact is named.

use super::kind::KindId;
use super::phrases::{Link, Phrase, Phrases, Region, Term, read_phrases};
use super::scan::Scan;
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::Found;
use super::vocabulary::meaning::{HeadOrder, Role};

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
    /// Whether what names the item only comes along, or is only what the item goes on: "szaprak with screws".
    pub item_is_guess: bool,
}

impl Mentions {
    /// Whether a part, or its way of starting, is named where the item stands.
    pub fn names_item(&self) -> bool {
        !self.item_is_guess && self.main().is_some_and(|main| main.role != Role::Machine)
    }

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

/// Reads a text's mentions.
pub fn read_mentions(vocabulary: &Vocabulary, scan: &Scan, main: MainPhrase) -> Mentions {
    read_phrases(vocabulary, scan).into_mentions(vocabulary, main)
}

impl Phrases {
    fn into_mentions(self, vocabulary: &Vocabulary, main: MainPhrase) -> Mentions {
        let mut main_phrase = self.main_phrase(vocabulary, main);
        if main == MainPhrase::First {
            main_phrase = main_phrase.map(|whole| self.part_set_apart(vocabulary, whole).unwrap_or(whole));
        }
        let mut list = Vec::with_capacity(self.terms.len());
        for (index, phrase) in self.list.iter().enumerate() {
            let promoted = Some(index) == main_phrase;
            let joined = phrase.link == Link::And || self.is_joined_to(index + 1, main_phrase);
            let head = self.head_of(vocabulary, phrase, main);
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
                    () if joined => Place::Joined,
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
        let item_is_guess = main_phrase.is_some_and(|main| {
            let phrase = &self.list[main];
            phrase.link == Link::With || phrase.region == Region::For
        });
        Mentions {
            list,
            complete: self.complete,
            parts: self.parts,
            item_is_guess,
        }
    }

    /// Whether the phrase is the one that names the item, with "and" or "with" before it and no way of starting in it:
    /// what stands before is joined to it, as in "pullstart & fan shroud".
    fn is_joined_to(&self, phrase: usize, main_phrase: Option<usize>) -> bool {
        let main = self.list.get(phrase).filter(|_| Some(phrase) == main_phrase);
        main.is_some_and(|main| {
            let mut terms = self.terms[main.start..main.end].iter();
            matches!(main.link, Link::And | Link::With) && terms.all(|term| term.role != Role::Feature)
        })
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
        let engine = self.engine_with_amount(vocabulary);
        for (index, phrase) in self.list.iter().enumerate() {
            let Some(role) = self.role_of(phrase) else { continue };
            let along = match phrase.link {
                Link::Without => continue,
                Link::With => 4,
                Link::None | Link::And => 0,
            };
            let found = self.terms[self.head_of(vocabulary, phrase, main)].found;
            let exactness = match role {
                // "Pull start, M6 bolts": what belongs inside does not take over.
                Role::Kit | Role::Name if feature.is_some_and(|whole| vocabulary.is_part_of(&found, &whole)) => 3,
                // "Moteur essence 6,5 CV lanceur": what belongs to an engine so described does not either.
                Role::Kit | Role::Name if index > 0 && engine.is_some_and(|kind| vocabulary.holds(kind, &found)) => 3,
                Role::Kit | Role::Name => 0,
                // "Pull start, 6 kW generator" is the part, "generator, pull start" the machine.
                Role::Machine if feature.is_some() => 3,
                Role::Machine => 1,
                Role::Feature => 2,
                Role::Along => continue,
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

    /// The kind of the engine that a text begins with, where its name takes several words, the first of them the noun, and
    /// its size follows: "moteur essence 6,5 CV".
    fn engine_with_amount(&self, vocabulary: &Vocabulary) -> Option<KindId> {
        let [first, second, ..] = self.list.as_slice() else {
            return None;
        };
        let engine = self.terms[first.start..first.end].last()?;
        let named = engine.role == Role::Machine
            && engine.order == HeadOrder::First
            && engine.found.end - engine.found.first >= 2
            && self.role_of(first) == Some(Role::Machine);
        let stands = named && first.region == Region::Item && second.link == Link::None && second.behind_amount;
        let kind = vocabulary.strongest_kind(&engine.found).map(|(kind, _)| kind);
        kind.filter(|_| stands)
    }

    /// The phrase that names a part of the item by itself, behind a dash or a colon: "Recoil starter - spring". Several
    /// of them are a list of what is inside.
    fn part_set_apart(&self, vocabulary: &Vocabulary, whole: usize) -> Option<usize> {
        let item = &self.list[whole];
        let found = self.terms[self.head_of(vocabulary, item, MainPhrase::First)].found;
        let mut parts = (whole + 1..self.list.len()).filter(|at| {
            let phrase = &self.list[*at];
            let head = self.terms[self.head_of(vocabulary, phrase, MainPhrase::First)].found;
            phrase.region == Region::Item && vocabulary.is_part_of(&head, &found)
        });
        let part = parts.next()?;
        let alone = parts.next().is_none() && item.region == Region::Item && item.link == Link::None;
        (alone && self.list[part].set_apart).then_some(part)
    }

    /// Whether a way of starting stands before machines in one phrase and nothing says how large these are: "pull start
    /// mower engine" is the starter of such an engine, "recoil start generator 3 kW" the generator.
    fn starts_machine(&self, phrase: &Phrase) -> bool {
        let [first, others @ ..] = &self.terms[phrase.start..phrase.end] else {
            return false;
        };
        let machines = !others.is_empty() && others.iter().all(|term| term.role == Role::Machine);
        let english = first.role == Role::Feature && first.order != HeadOrder::First;
        english && machines && !phrase.before_amount && phrase.region == Region::Item
    }

    /// Index of the term that is the head of a phrase.
    fn head_of(&self, vocabulary: &Vocabulary, phrase: &Phrase, main: MainPhrase) -> usize {
        let terms = &self.terms[phrase.start..phrase.end];
        if main == MainPhrase::First && self.starts_machine(phrase) {
            return phrase.start;
        }
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
