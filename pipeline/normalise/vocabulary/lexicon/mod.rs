//! The lexicon: every term of the vocabulary as a sequence of word numbers, found by longest match.
//!
//! A text's tokens are looked up once; the numbers then walk two tries, one for what is sold and the grammar around it,
//! one for attributes, so that a phrase about an attribute ("for electric start") never swallows a name. A plural -s or
//! -es is taken off when the word is not known with it, and so are the plurals of Italian, Polish and German. German, Dutch and Swedish compounds are known by their last
//! part ("tails").

pub(super) mod builder;

use super::meaning::Meaning;
use crate::normalise::tokens::{Class, Token};
use rustc_hash::FxHashMap;

/// Number of a word that is not in the lexicon.
const UNKNOWN: u32 = 0;

/// Shortest word, in bytes, whose misspellings are mended.
const SHORTEST_MENDED: usize = 5;

/// Shortest word, in bytes, that a plural ending leaves.
const SHORTEST_STEM: usize = 3;

/// A plural in a vowel or an -n is longer than this, in bytes.
const SHORTEST_VOWEL_PLURAL: usize = 5;

/// Shortest word, in bytes, that is looked at as a compound.
const SHORTEST_COMPOUND: usize = 7;

/// A compound must have at least this many bytes before its last part.
const SHORTEST_FIRST_PART: usize = 2;

/// Which of the two tries a term is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Channel {
    /// Names of parts and the grammar around them.
    Thing,
    /// Attributes, families, counts, words around numbers.
    Attribute,
}

/// A term found in a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Found {
    /// First token.
    pub first: u32,
    /// Token after the last.
    pub end: u32,
    meanings: (u32, u32),
}

impl Found {
    /// The same term over other tokens.
    pub fn over(self, first: usize, end: usize) -> Self {
        Self {
            first: first as u32,
            end: end as u32,
            ..self
        }
    }
}

/// Numbers of one word: as it stands, and in the singular; [`UNKNOWN`] where the lexicon has none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WordNumbers {
    exact: u32,
    singular: u32,
}

impl WordNumbers {
    /// Whether the lexicon does not know the word at all.
    pub fn is_unknown(self) -> bool {
        self.exact == UNKNOWN && self.singular == UNKNOWN
    }
}

/// The last part of compounds, with the place of its meanings.
type Tail = (Box<str>, (u32, u32));

#[derive(Debug, Default)]
struct Trie {
    edges: FxHashMap<(u32, u32), u32>,
    ends: Vec<Option<(u32, u32)>>,
    starts: Vec<bool>,
}

impl Trie {
    fn starts_with(&self, word: u32) -> bool {
        self.starts.get(word as usize).copied().unwrap_or(false)
    }

    /// The node behind a word, as it stands or in the singular.
    #[inline]
    fn step(&self, node: u32, word: &WordNumbers) -> Option<u32> {
        let edge = |number: u32| {
            if number == UNKNOWN {
                None
            } else {
                self.edges.get(&(node, number)).copied()
            }
        };
        edge(word.exact).or_else(|| edge(word.singular))
    }
}

/// See the head of the module.
#[derive(Debug, Default)]
pub struct Lexicon {
    words: FxHashMap<Box<str>, u32>,
    /// Words that occur in names, by first byte and length.
    name_words: FxHashMap<(u8, usize), Vec<Box<str>>>,
    things: Trie,
    attributes: Trie,
    meanings: Vec<Meaning>,
    tails: FxHashMap<[u8; 3], Vec<Tail>>,
    bundle_endings: Vec<Box<str>>,
}

impl Lexicon {
    /// Numbers of a word: as it stands, and with a plural ending taken off.
    pub fn word(&self, word: &str) -> WordNumbers {
        let number = |word: &str| self.words.get(word).copied().unwrap_or(UNKNOWN);
        let mut singular = UNKNOWN;
        if let Some(stem) = word.strip_suffix('s').filter(|stem| stem.len() >= SHORTEST_STEM) {
            singular = number(stem);
            if singular == UNKNOWN
                && let Some(stem) = stem.strip_suffix('e').filter(|stem| stem.len() >= SHORTEST_STEM)
            {
                singular = number(stem);
            }
        }
        let exact = number(word);
        if exact == UNKNOWN && singular == UNKNOWN {
            singular = self.singular_by_vowel(word);
        }
        WordNumbers { exact, singular }
    }

    /// The singular of a plural in a vowel or an -n: avviamenti, ventole, szarpaki, Hauben.
    fn singular_by_vowel(&self, word: &str) -> u32 {
        let Some(last) = word.bytes().next_back().filter(|_| word.len() > SHORTEST_VOWEL_PLURAL) else {
            return UNKNOWN;
        };
        let endings: &[&str] = match last {
            b'i' => &["o", "e", ""],
            b'e' => &["a"],
            b'n' => &[""],
            _ => return UNKNOWN,
        };
        let stem = &word[..word.len() - 1];
        let known = |ending: &&str| match *ending {
            "" => self.words.get(stem).copied(),
            ending => self.words.get(&*format!("{stem}{ending}")).copied(),
        };
        endings.iter().find_map(known).unwrap_or(UNKNOWN)
    }

    /// Whether the word is in the lexicon exactly.
    pub fn knows(&self, word: &str) -> bool {
        self.words.contains_key(word)
    }

    /// Fills `numbers` with the numbers of each token.
    pub fn number_words(&self, folded: &str, tokens: &[Token], numbers: &mut Vec<WordNumbers>) {
        numbers.clear();
        numbers.extend(tokens.iter().map(|token| match token.class {
            Class::Number if token.end - token.start > 2 => WordNumbers::default(),
            _ => self.word(token.text(folded)),
        }));
    }

    /// Whether the word occurs in a name.
    pub fn is_name_word(&self, word: &str) -> bool {
        let bucket = word
            .bytes()
            .next()
            .and_then(|first| self.name_words.get(&(first, word.len())));
        bucket.is_some_and(|words| words.iter().any(|known| **known == *word))
    }

    /// The one word of a name that is a single slip away (a letter more, less, other, or two swapped). The first letter
    /// must be right; two different neighbours are none.
    pub fn near(&self, word: &str) -> Option<&str> {
        if word.len() < SHORTEST_MENDED {
            return None;
        }
        let first = word.bytes().next()?;
        let lengths = word.len() - 1..=word.len() + 1;
        let candidates = lengths
            .filter_map(|length| self.name_words.get(&(first, length)))
            .flatten();
        let mut near =
            candidates.filter(|known| known.len() >= SHORTEST_MENDED && strsim::osa_distance(known, word) == 1);
        let found = near.next()?;
        near.next().is_none().then_some(found)
    }

    /// The longest term of a channel that starts at token `at`.
    #[inline]
    pub fn longest(&self, channel: Channel, numbers: &[WordNumbers], at: usize) -> Option<Found> {
        let trie = match channel {
            Channel::Thing => &self.things,
            Channel::Attribute => &self.attributes,
        };
        let first = numbers[at];
        if !trie.starts_with(first.exact) && !trie.starts_with(first.singular) {
            return None;
        }
        let (mut node, mut best) = (0, None);
        for (offset, number) in numbers[at..].iter().enumerate() {
            let Some(next) = trie.step(node, number) else { break };
            node = next;
            if let Some(meanings) = trie.ends[node as usize] {
                best = Some(Found {
                    first: at as u32,
                    end: (at + offset + 1) as u32,
                    meanings,
                });
            }
        }
        best
    }

    /// What a long unknown word is by its last part, as a term over token `at`.
    pub fn compound(&self, word: &str, at: usize) -> Option<Found> {
        if word.len() < SHORTEST_COMPOUND {
            return None;
        }
        let term = |meanings: (u32, u32)| Found {
            first: at as u32,
            end: at as u32 + 1,
            meanings,
        };
        if let Some(meanings) = self.tail_of(word) {
            return Some(term(meanings));
        }
        let bundled = self
            .bundle_endings
            .iter()
            .find_map(|ending| word.strip_suffix(&**ending))?;
        let numbers = [bundled, bundled.strip_suffix('s').unwrap_or(bundled)].map(|stem| self.word(stem));
        let whole = numbers.iter().find_map(|number| {
            let node = self.things.step(0, number)?;
            self.things.ends[node as usize]
        });
        whole.or_else(|| self.tail_of(bundled)).map(term)
    }

    /// Meanings of the longest known last part of a compound.
    fn tail_of(&self, word: &str) -> Option<(u32, u32)> {
        let last = word.as_bytes().last_chunk::<3>()?;
        let candidates = self.tails.get(last)?;
        let fits = |tail: &str| word.len() >= tail.len() + SHORTEST_FIRST_PART && word.ends_with(tail);
        candidates
            .iter()
            .find(|(tail, _)| fits(tail))
            .map(|(_, meanings)| *meanings)
    }

    /// What a term may mean.
    pub fn meanings(&self, found: &Found) -> &[Meaning] {
        let (start, length) = found.meanings;
        &self.meanings[start as usize..(start + length) as usize]
    }
}
