//! Which field a header means, and how surely: known whole, by some of its words, or but for a typing mistake.

use super::super::field::Field;
use super::{HeaderWords, initials_joined, normalise};
use crate::trade::units::LengthUnit;

/// Likeness (Jaro-Winkler) from which a mistyped header word is believed.
const TYPO_LIKENESS: f64 = 0.93;

impl HeaderWords {
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
    pub(super) fn without_last_words(&self, parts: &[&str]) -> Option<(Field, f32)> {
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
}
