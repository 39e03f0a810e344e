//! Terms on their way into the lexicon: spelled in every usual way, folded, cut into words.

use super::mistakes::mistake;
use crate::normalise::tokens::tokenise;
use crate::normalise::vocabulary::VocabularyError;
use crate::normalise::vocabulary::files::{GrammarFile, Words};
use crate::normalise::vocabulary::lexicon::Channel;
use crate::normalise::vocabulary::lexicon::builder::LexiconBuilder;
use crate::normalise::vocabulary::meaning::{HeadOrder, Meaning, Role};
use crate::trade::folding::fold;

/// Shortest word of a name, in bytes, that a misspelling may be taken for.
const SHORTEST_NAME_WORD: usize = 3;

/// Adds terms, with their spelling variants.
pub(super) struct Terms<'g> {
    pub(super) builder: LexiconBuilder,
    pub(super) grammar: &'g GrammarFile,
}

impl Terms<'_> {
    pub(super) fn order_of(&self, language: &str) -> Result<HeadOrder, VocabularyError> {
        if self.grammar.head_first.iter().any(|known| known == language) {
            Ok(HeadOrder::First)
        } else if self.grammar.head_last.iter().any(|known| known == language) {
            Ok(HeadOrder::Last)
        } else {
            Err(mistake(
                "grammar.toml",
                &format!("language `{language}` is in neither list of head orders"),
            ))
        }
    }

    pub(super) fn add(&mut self, channel: Channel, term: &str, meaning: Meaning) {
        let names = matches!(
            meaning,
            Meaning::Kind {
                role: Role::Kit | Role::Name | Role::Feature,
                ..
            }
        );
        for spelling in spellings(term) {
            let folded = fold(&spelling);
            let mut tokens = Vec::new();
            tokenise(&folded, &mut tokens);
            let words = || tokens.iter().map(|token| token.text(&folded));
            self.builder.add(channel, words(), meaning);
            if names {
                self.builder
                    .add_name_words(words().filter(|word| word.len() >= SHORTEST_NAME_WORD));
            }
        }
    }

    pub(super) fn add_tail(&mut self, term: &str, meaning: Meaning) {
        for spelling in spellings(term) {
            self.builder.add_tail(&fold(&spelling), meaning);
        }
    }

    pub(super) fn add_words(&mut self, words: &Words, meaning: Meaning) {
        for term in words.values().flatten() {
            self.add(Channel::Thing, term, meaning);
        }
    }
}

/// The spellings of a term: as listed, and with ae, oe, ue for the letters that keyboards lack.
fn spellings(term: &str) -> Vec<String> {
    let mut spellings = vec![term.to_string()];
    if term.contains(['ä', 'ö', 'ü', 'Ä', 'Ö', 'Ü']) {
        let lower = term.to_lowercase();
        spellings.push(lower.replace('ä', "ae").replace('ö', "oe").replace('ü', "ue"));
    }
    spellings
}
