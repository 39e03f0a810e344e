//! A text read once: folded, split into tokens, and every term of the vocabulary found in it. All later readers of the
//! text work on this.

use super::markup::clean;
use super::tokens::{Class, Token, tokenise};
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::{Channel, Found, WordNumbers};
use super::vocabulary::meaning::{HeadOrder, Meaning};
use crate::trade::folding::fold;

/// Most words behind the comma of an inverted name.
const LONGEST_INVERTED: usize = 3;
/// Most words and numbers that may stand before an inverted name: a maker, and a number of the maker's.
const MOST_BEFORE_INVERTED: usize = 4;

/// See the head of the module.
#[derive(Clone, Debug, Default)]
pub struct Scan {
    /// The folded text.
    pub folded: String,
    /// Its tokens.
    pub tokens: Vec<Token>,
    /// Numbers of each token's word in the lexicon.
    pub words: Vec<WordNumbers>,
    /// Names of parts and grammar, by rising position, without overlaps.
    pub things: Vec<Found>,
    /// Attribute terms, by rising position; cues and number words may overlap what follows them.
    pub attributes: Vec<Found>,
    /// Whether there is any digit.
    pub has_digits: bool,
}

impl Scan {
    /// Reads a text as it stands in a cell, markup included.
    pub fn of(vocabulary: &Vocabulary, text: &str) -> Self {
        let mut scan = Self::of_words(vocabulary, text);
        if !scan.tokens.is_empty() {
            scan.find_things(vocabulary);
            scan.find_attributes(vocabulary);
        }
        scan
    }

    /// Folds and tokenises only: for cells in which no names are looked for.
    pub fn of_words(vocabulary: &Vocabulary, text: &str) -> Self {
        let mut scan = Self::default();
        if text.is_empty() {
            return scan;
        }
        scan.folded = match clean(text) {
            std::borrow::Cow::Borrowed(text) => fold(text).into_owned(),
            std::borrow::Cow::Owned(text) => fold(&text).into_owned(),
        };
        scan.tokens.reserve(scan.folded.len() / 4 + 1);
        tokenise(&scan.folded, &mut scan.tokens);
        scan.words.reserve(scan.tokens.len());
        scan.has_digits = scan
            .tokens
            .iter()
            .any(|token| matches!(token.class, Class::Number | Class::Mixed));
        vocabulary
            .lexicon
            .number_words(&scan.folded, &scan.tokens, &mut scan.words);
        scan
    }

    fn find_things(&mut self, vocabulary: &Vocabulary) {
        let lexicon = &vocabulary.lexicon;
        let mut at = 0;
        while at < self.tokens.len() {
            let mut found = self
                .inverted_name(vocabulary, at)
                .or_else(|| lexicon.longest(Channel::Thing, &self.words, at));
            if found.is_none() && self.words[at].is_unknown() && self.tokens[at].class == Class::Word {
                found = lexicon.compound(self.tokens[at].text(&self.folded), at);
            }
            at = found.map_or(at + 1, |found| found.end as usize);
            self.things.extend(found);
        }
    }

    /// A name written the catalogue's way, before all other names: "Starter, recoil", "Fenwick Cover, fan".
    fn inverted_name(&self, vocabulary: &Vocabulary, at: usize) -> Option<Found> {
        let first = self.things.is_empty() && at <= MOST_BEFORE_INVERTED;
        if !first || self.text(at + 1) != "," || self.words[at].is_unknown() {
            return None;
        }
        let start = at + 2;
        let behind = self.tokens[start..]
            .iter()
            .take(LONGEST_INVERTED)
            .take_while(|token| token.class == Class::Word);
        (1..=behind.count()).rev().find_map(|count| {
            let mut turned: Vec<WordNumbers> = self.words[start..start + count].to_vec();
            turned.push(self.words[at]);
            let found = vocabulary.lexicon.longest(Channel::Thing, &turned, 0)?;
            let whole = found.end as usize == turned.len() && ends_in_head(vocabulary, &found);
            whole.then_some(found.over(at, start + count))
        })
    }

    fn find_attributes(&mut self, vocabulary: &Vocabulary) {
        let lexicon = &vocabulary.lexicon;
        let mut at = 0;
        while at < self.tokens.len() {
            let Some(found) = lexicon.longest(Channel::Attribute, &self.words, at) else {
                at += 1;
                continue;
            };
            let opaque = lexicon
                .meanings(&found)
                .iter()
                .any(|meaning| !matches!(meaning, Meaning::Settles { .. } | Meaning::Numeral(_)));
            at = if opaque { found.end as usize } else { at + 1 };
            self.attributes.push(found);
        }
    }

    /// Text of a token.
    pub fn text(&self, token: usize) -> &str {
        self.tokens.get(token).map_or("", |token| token.text(&self.folded))
    }

    /// Text of a term.
    pub fn text_of(&self, found: &Found) -> &str {
        let span = self.span_of(found);
        &self.folded[span]
    }

    /// Bytes of a term.
    pub fn span_of(&self, found: &Found) -> std::ops::Range<usize> {
        let start = self
            .tokens
            .get(found.first as usize)
            .map_or(0, |token| token.start as usize);
        let end = self
            .tokens
            .get((found.end as usize).saturating_sub(1))
            .map_or(start, |token| token.end as usize);
        start..end.max(start)
    }
}

/// Whether a name ends in its head, so that a catalogue may turn it round; "cliquet lanceur" begins with it.
fn ends_in_head(vocabulary: &Vocabulary, found: &Found) -> bool {
    let last = |meaning: &Meaning| matches!(meaning, Meaning::Kind { order, .. } if *order != HeadOrder::First);
    vocabulary.lexicon.meanings(found).iter().any(last)
}
