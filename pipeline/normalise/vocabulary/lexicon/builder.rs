//! Growing a lexicon, word by word; the finished one is frozen for fast reading.

use super::{Channel, Lexicon, Trie};
use crate::normalise::vocabulary::meaning::Meaning;
use rustc_hash::FxHashMap;
use std::collections::BTreeSet;

/// Collects terms and makes the lexicon of them.
#[derive(Debug, Default)]
pub struct LexiconBuilder {
    words: FxHashMap<Box<str>, u32>,
    name_words: BTreeSet<Box<str>>,
    things: GrowingTrie,
    attributes: GrowingTrie,
    tails: Vec<(Box<str>, Vec<Meaning>)>,
    bundle_endings: Vec<Box<str>>,
}

#[derive(Debug)]
pub(super) struct GrowingTrie {
    edges: FxHashMap<(u32, u32), u32>,
    ends: Vec<Vec<Meaning>>,
}

impl Default for GrowingTrie {
    fn default() -> Self {
        Self {
            edges: FxHashMap::default(),
            ends: vec![Vec::new()],
        }
    }
}

impl LexiconBuilder {
    /// Makes words known without any meaning, so that they count as no brand and are not left over.
    pub fn know(&mut self, word: &str) {
        self.number(word);
    }

    fn number(&mut self, word: &str) -> u32 {
        let next = self.words.len() as u32 + 1;
        *self.words.entry(Box::from(word)).or_insert(next)
    }

    /// Adds a term, given as its words.
    pub fn add<'w>(&mut self, channel: Channel, words: impl Iterator<Item = &'w str>, meaning: Meaning) {
        let numbers: Vec<u32> = words.map(|word| self.number(word)).collect();
        let trie = match channel {
            Channel::Thing => &mut self.things,
            Channel::Attribute => &mut self.attributes,
        };
        let mut node = 0;
        for number in &numbers {
            let next = trie.ends.len() as u32;
            node = *trie.edges.entry((node, *number)).or_insert(next);
            if node == next {
                trie.ends.push(Vec::new());
            }
        }
        if !numbers.is_empty() {
            meaning.merge_into(&mut trie.ends[node as usize]);
        }
    }

    /// Adds the last part of compounds.
    pub fn add_tail(&mut self, tail: &str, meaning: Meaning) {
        match self.tails.iter_mut().find(|(known, _)| &**known == tail) {
            Some((_, meanings)) => meaning.merge_into(meanings),
            None => self.tails.push((Box::from(tail), vec![meaning])),
        }
    }

    /// Makes the words of a name known as such, so that misspellings lead to them.
    pub fn add_name_words<'w>(&mut self, words: impl Iterator<Item = &'w str>) {
        self.name_words.extend(words.map(Box::from));
    }

    /// Adds an ending that bundles what stands before it.
    pub fn add_bundle_ending(&mut self, ending: &str) {
        self.bundle_endings.push(Box::from(ending));
    }

    /// The finished lexicon.
    pub fn build(mut self) -> Lexicon {
        let mut meanings = Vec::new();
        let word_count = self.words.len() + 1;
        let things = freeze(self.things, word_count, &mut meanings);
        let attributes = freeze(self.attributes, word_count, &mut meanings);
        self.tails
            .sort_by(|a, b| b.0.len().cmp(&a.0.len()).then_with(|| a.0.cmp(&b.0)));
        let mut tails: FxHashMap<[u8; 3], Vec<_>> = FxHashMap::default();
        for (tail, of_tail) in self.tails {
            let span = store(of_tail, &mut meanings);
            if let Some(last) = tail.as_bytes().last_chunk::<3>() {
                tails.entry(*last).or_default().push((tail, span));
            }
        }
        let mut name_words: FxHashMap<(u8, usize), Vec<Box<str>>> = FxHashMap::default();
        for word in self.name_words {
            if let Some(first) = word.bytes().next() {
                name_words.entry((first, word.len())).or_default().push(word);
            }
        }
        Lexicon {
            words: self.words,
            name_words,
            things,
            attributes,
            meanings,
            tails,
            bundle_endings: self.bundle_endings,
        }
    }
}

fn freeze(growing: GrowingTrie, word_count: usize, meanings: &mut Vec<Meaning>) -> Trie {
    let mut starts = vec![false; word_count];
    #[expect(clippy::iter_over_hash_type, reason = "sets flags; the order does not matter")]
    for (node, word) in growing.edges.keys() {
        if *node == 0 {
            starts[*word as usize] = true;
        }
    }
    let ends = growing
        .ends
        .into_iter()
        .map(|of_node| (!of_node.is_empty()).then(|| store(of_node, meanings)));
    Trie {
        ends: ends.collect(),
        edges: growing.edges,
        starts,
    }
}

pub(super) fn store(of_term: Vec<Meaning>, meanings: &mut Vec<Meaning>) -> (u32, u32) {
    let span = (meanings.len() as u32, of_term.len() as u32);
    meanings.extend(of_term);
    span
}
