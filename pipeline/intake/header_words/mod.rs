//! Header words of suppliers' lists, from `schemas/words/headers.toml`. A header is *normalised* before it is looked up:
//! folded, punctuation to single spaces, bracketed units and currencies off its end. It is looked up whole, then by its
//! longest leading or trailing words, then with a typing mistake, each at a lower confidence (`field_of`).

mod field_of;
mod normalised;

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rustc_hash::{FxHashMap, FxHashSet};
use serde::Deserialize;

use super::field::Field;
use crate::trade::folding::fold;
use normalised::initials_joined;
pub(crate) use normalised::normalise;

const SOURCE: &str = include_str!("../../../schemas/words/headers.toml");

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    fields: BTreeMap<String, Vec<String>>,
    totals: Words,
    units: Words,
    diameters: Words,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Words {
    words: Vec<String>,
}

/// The words, ready for look-up.
pub(crate) struct HeaderWords {
    whole: FxHashMap<String, Field>,
    ordered: Vec<(String, Field)>,
    totals: FxHashSet<String>,
    /// First two bytes of the totals.
    total_starts: Vec<[u8; 2]>,
    units: FxHashSet<String>,
    diameters: FxHashSet<String>,
}

impl HeaderWords {
    /// The words that come with the program.
    pub(crate) fn built_in() -> &'static HeaderWords {
        static WORDS: OnceLock<HeaderWords> = OnceLock::new();
        // the file is part of the program and a test reads it; an unreadable one would mean no words, not a panic
        WORDS.get_or_init(|| HeaderWords::read(SOURCE).unwrap_or_else(|_| HeaderWords::none()))
    }

    fn none() -> HeaderWords {
        HeaderWords {
            whole: FxHashMap::default(),
            ordered: Vec::new(),
            totals: FxHashSet::default(),
            total_starts: Vec::new(),
            units: FxHashSet::default(),
            diameters: FxHashSet::default(),
        }
    }

    fn read(source: &str) -> Result<HeaderWords, String> {
        let written: Written = toml::from_str(source).map_err(|error| error.to_string())?;
        let mut words = HeaderWords::none();
        for (name, aliases) in &written.fields {
            let field = Field::from_name(name).ok_or_else(|| format!("unknown field `{name}`"))?;
            for alias in aliases {
                let alias = normalise(alias);
                if words.whole.insert(alias.clone(), field).is_none() {
                    words.ordered.push((alias, field));
                }
            }
        }
        words.ordered.sort();
        words.totals = written.totals.words.iter().map(|word| normalise(word)).collect();
        words.total_starts = words
            .totals
            .iter()
            .filter_map(|word| word.as_bytes().get(..2).map(|start| [start[0], start[1]]))
            .filter(|start| start.is_ascii())
            .collect();
        words.total_starts.sort_unstable();
        words.total_starts.dedup();
        words.diameters = written.diameters.words.iter().map(|word| normalise(word)).collect();
        words.units = written.units.words.iter().map(|word| fold(word).into_owned()).collect();
        Ok(words)
    }

    /// Whether a text is a header word outright or but for a unit.
    pub(crate) fn is_header(&self, text: &str) -> bool {
        if text.len() > 60 {
            return false;
        }
        // what `field_of` is sure of comes from these two ways alone
        let is_known = |header: &str| {
            let parts = || header.split(' ').collect::<Vec<_>>();
            self.whole.contains_key(header) || self.without_last_words(&parts()).is_some()
        };
        let header = normalise(text);
        !header.is_empty() && (is_known(&header) || is_known(&initials_joined(&header)))
    }

    /// Whether a text could be a total's by its first letters; cheap, and never wrong about a `false`.
    pub(crate) fn may_be_total(&self, text: &[u8]) -> bool {
        match text {
            [first, second, ..] if first.is_ascii() && second.is_ascii() => {
                let start = [first.to_ascii_lowercase(), second.to_ascii_lowercase()];
                !start[0].is_ascii_alphabetic() && !start[0].is_ascii_digit() || self.total_starts.contains(&start)
            }
            [_] | [] => false,
            _ => true,
        }
    }

    /// Whether a line that starts with this text sums up others.
    pub(crate) fn is_total(&self, text: &str) -> bool {
        if text.len() > 60 {
            return false;
        }
        let text = normalise(text);
        let mut end = text.len();
        loop {
            if self.totals.contains(&text[..end]) {
                return true;
            }
            match text[..end].rfind(' ') {
                Some(space) => end = space,
                None => return false,
            }
        }
    }

    /// Whether a text is nothing but a unit, perhaps in brackets.
    pub(crate) fn is_unit(&self, text: &str) -> bool {
        let text = text.trim().trim_matches(['[', ']', '(', ')', '.']);
        text.len() <= 12 && !text.is_empty() && self.units.contains(fold(text).trim())
    }
}

#[cfg(test)]
mod tests;
