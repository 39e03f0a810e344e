//! The words in which a list states something of its prices, from `schemas/words/price_statements.toml`, and where a
//! sentence ends.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::trade::folding::fold;

const SOURCE: &str = include_str!("../../schemas/words/price_statements.toml");

/// The words of the schema, ready for use.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(crate) struct StatementWords {
    pub(super) price: PriceWords,
    pub(super) currency: CurrencyWords,
    pub(super) net: Words,
    pub(super) gross: Words,
    pub(super) not_of_tax: Words,
    pub(super) per: PerWords,
    abbreviations: Words,
}

/// Words and phrases, and what is looked for inside words of scripts without spaces.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct Words {
    pub(super) words: Vec<String>,
    #[serde(default)]
    pub(super) unspaced: Vec<String>,
}

/// Words for a price, and beginnings of such words.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct PriceWords {
    pub(super) words: Vec<String>,
    pub(super) stems: Vec<String>,
    pub(super) unspaced: Vec<String>,
}

/// Codes of currencies, their marks and names, and names of two words.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct CurrencyWords {
    pub(super) codes: Vec<String>,
    pub(super) marks: Vec<String>,
    pub(super) pairs: Vec<[String; 2]>,
}

/// How many pieces a price is for.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub(super) struct PerWords {
    pub(super) words: Vec<String>,
    pub(super) pieces: Vec<String>,
    pub(super) articles: Vec<String>,
    pub(super) each: Vec<String>,
    pub(super) dozen: Vec<String>,
    pub(super) by_dozen: Vec<String>,
    pub(super) hundred: Vec<String>,
}

/// Whether a word is one of these.
pub(super) fn has(words: &[String], word: &str) -> bool {
    words.iter().any(|known| known == word)
}

impl StatementWords {
    /// The words that come with the program.
    pub(crate) fn built_in() -> &'static StatementWords {
        static WORDS: OnceLock<StatementWords> = OnceLock::new();
        // the file is part of the program and a test reads it; an unreadable one would mean no words, not a panic
        WORDS.get_or_init(|| toml::from_str(SOURCE).unwrap_or_default())
    }

    /// Cuts a line at the ends of its sentences.
    pub(crate) fn sentences<'t>(&self, line: &'t str) -> Vec<&'t str> {
        let mut found = Vec::new();
        let mut start = 0;
        for (place, mark) in line.char_indices() {
            let end = place + mark.len_utf8();
            let rest = &line[end..];
            let ends = match mark {
                ';' | '!' | '|' | '。' | '；' | '\n' => true,
                '.' => rest.starts_with(' ') && !self.is_abbreviation(&line[start..place]),
                _ => false,
            };
            if ends {
                found.push(&line[start..place]);
                start = end;
            }
        }
        found.push(&line[start..]);
        found
    }

    fn is_abbreviation(&self, before: &str) -> bool {
        let word = before.rsplit([' ', '.', ',', '/', '(']).next().unwrap_or(before);
        has(&self.abbreviations.words, &fold(word))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::money::read_currency;

    #[test]
    fn the_words_are_readable_and_folded() {
        let words: StatementWords = toml::from_str(SOURCE).unwrap();
        let groups = [&words.net, &words.gross, &words.not_of_tax, &words.abbreviations];
        for word in groups.iter().flat_map(|group| &group.words).chain(&words.per.each) {
            assert_eq!(*word, fold(word), "{word}");
        }
        for mark in words.currency.marks.iter().chain(&words.currency.codes) {
            assert!(read_currency(mark).is_some(), "{mark}");
        }
    }

    #[test]
    fn a_full_stop_after_an_abbreviation_ends_no_sentence() {
        let words = StatementWords::built_in();
        assert_eq!(
            words.sentences("Preise zzgl. MwSt. Stand 2026. Gültig"),
            ["Preise zzgl. MwSt", " Stand 2026", " Gültig"]
        );
    }
}
