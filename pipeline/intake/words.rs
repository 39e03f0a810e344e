//! Header words of suppliers' lists, from `schemas/words/headers.toml`. A header is *normalised* before it is looked up:
//! folded, punctuation to single spaces, bracketed units and currencies off its end. It is looked up whole, then by its
//! longest leading or trailing words, then with a typing mistake, each at a lower confidence.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rustc_hash::{FxHashMap, FxHashSet};
use serde::Deserialize;

use super::field::Field;
use crate::trade::folding::fold;
use crate::trade::units::LengthUnit;

const SOURCE: &str = include_str!("../../schemas/words/headers.toml");

/// Likeness (Jaro-Winkler) from which a mistyped header word is believed.
const TYPO_LIKENESS: f64 = 0.93;

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

    /// The field a header means, with a confidence of 0 to 1.
    pub(crate) fn field_of(&self, header: &str) -> Option<(Field, f32)> {
        let header = normalise(header);
        if header.is_empty() || header.len() > 80 {
            return None;
        }
        let found = self.field_of_words(&header);
        if found.is_some_and(|(_, confidence)| confidence >= 0.9) {
            return found;
        }
        // "P.C.D." and "pcd" are one word
        let joined = initials_joined(&header);
        let other = if joined == header {
            None
        } else {
            self.field_of_words(&joined)
        };
        match (found, other) {
            (Some(known), Some(other)) if other.1 > known.1 => Some(other),
            (known, other) => known.or(other),
        }
    }

    fn field_of_words(&self, header: &str) -> Option<(Field, f32)> {
        let (field, confidence) = self.field_by_words(header)?;
        if field != Field::BoltHoles || self.whole.contains_key(header) {
            return Some((field, confidence));
        }
        // "dia. holes": a diameter or a length is no number of holes
        let has = |says: &dyn Fn(&str) -> bool| header.split(' ').any(says);
        if has(&|word| self.diameters.contains(word)) {
            Some((Field::HoleDiameter, confidence))
        } else {
            (!has(&|word| LengthUnit::from_word(word).is_some())).then_some((field, confidence))
        }
    }

    fn field_by_words(&self, header: &str) -> Option<(Field, f32)> {
        if let Some(field) = self.whole.get(header) {
            return Some((*field, 0.95));
        }
        let parts: Vec<&str> = header.split(' ').collect();
        self.without_last_words(&parts)
            .or_else(|| self.by_part(&parts))
            .or_else(|| self.mistyped(header))
    }

    /// "price eur", "hubraum ccm": the last words may be a unit, a currency or a number.
    fn without_last_words(&self, parts: &[&str]) -> Option<(Field, f32)> {
        for kept in (1..parts.len()).rev() {
            let rest = &parts[kept..];
            let known = |word: &&str| self.units.contains(*word) || word.bytes().all(|byte| byte.is_ascii_digit());
            if rest.iter().all(known) {
                if let Some(field) = self.whole.get(&parts[..kept].join(" ")) {
                    return Some((*field, 0.92));
                }
            } else {
                break;
            }
        }
        None
    }

    /// The longest known run of words at the start, else at the end, of a longer header; read once with
    /// and once without a unit at the end, which says nothing of the column ("no" is a unit in "3 no",
    /// but not in "mfr no").
    fn by_part(&self, parts: &[&str]) -> Option<(Field, f32)> {
        let units = parts
            .iter()
            .rev()
            .take_while(|word| self.units.contains(**word))
            .count();
        let bare = self.run_of(&parts[..parts.len() - units]);
        match (self.run_of(parts), bare) {
            (Some(whole), Some(bare)) if bare.1 > whole.1 => Some(bare),
            (whole, bare) => whole.or(bare),
        }
    }

    fn run_of(&self, parts: &[&str]) -> Option<(Field, f32)> {
        if parts.len() < 2 {
            return None;
        }
        for length in (1..parts.len()).rev() {
            let share = length as f32 / parts.len() as f32;
            for run in [&parts[..length], &parts[parts.len() - length..]] {
                let run = run.join(" ");
                if (run.chars().count() >= 3 || !run.is_ascii())
                    && let Some(field) = self.whole.get(&run)
                {
                    return Some((*field, 0.5 + 0.35 * share));
                }
            }
        }
        None
    }

    fn mistyped(&self, header: &str) -> Option<(Field, f32)> {
        if header.chars().count() < 5 {
            return None;
        }
        let mut best: Option<(f64, Field)> = None;
        for (word, field) in &self.ordered {
            let lengths = (word.len(), header.len());
            if lengths.0.abs_diff(lengths.1) > 2 || lengths.0 < 5 {
                continue;
            }
            let likeness = strsim::jaro_winkler(word, header);
            if likeness >= TYPO_LIKENESS
                && strsim::osa_distance(word, header) <= 2
                && best.is_none_or(|(known, _)| likeness > known)
            {
                best = Some((likeness, *field));
            }
        }
        best.map(|(likeness, field)| (field, 0.75 * likeness as f32))
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

/// Runs of single letters drawn together to one word.
fn initials_joined(header: &str) -> String {
    let mut joined = String::with_capacity(header.len());
    let mut last_was_initial = false;
    for word in header.split(' ') {
        let initial = word.chars().count() == 1;
        let goes_on = initial && last_was_initial;
        if !joined.is_empty() && !goes_on {
            joined.push(' ');
        }
        joined.push_str(word);
        last_was_initial = initial;
    }
    joined
}

/// Folded, with punctuation as single spaces.
pub(crate) fn normalise(text: &str) -> String {
    let folded = fold(text);
    let mut plain = String::with_capacity(folded.len());
    for letter in folded.chars() {
        if letter.is_alphanumeric() || letter == '%' {
            plain.push(letter);
        } else if letter == '#' {
            // "Mfr #" is the maker's number, not the maker
            plain.push_str(if plain.is_empty() || plain.ends_with(' ') {
                "no"
            } else {
                " no"
            });
        } else if !plain.ends_with(' ') && !plain.is_empty() {
            plain.push(' ');
        }
    }
    plain.truncate(plain.trim_end().len());
    plain
}

#[cfg(test)]
#[path = "words_tests.rs"]
mod tests;
