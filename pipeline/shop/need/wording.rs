//! What the words of a person say: read as a supplier's title is, and what was not understood kept.

use super::{Need, code_key, push_new};
use crate::normalise::claim::{Attribute, Claim, Provenance, Value, cue};
use crate::normalise::kind::KindId;
use crate::normalise::text::Reading;
use crate::normalise::vocabulary::Vocabulary;
use crate::trade::Context;
use crate::trade::bolt_pattern::read_spacing;
use crate::trade::folding::fold;
use compact_str::CompactString;

impl Need {
    pub(super) fn take_words(&mut self, vocabulary: &Vocabulary, reading: Reading) {
        if reading.kind.probability >= KIND_MEANT && reading.kind.kind != KindId::UNCLEAR {
            if KindId::IN_SCOPE.contains(&reading.kind.kind) {
                self.kind = Some(reading.kind.kind);
            } else {
                self.out_of_scope = Some(vocabulary.kind_name(reading.kind.kind).into());
            }
        }
        for claim in &reading.claims {
            self.take_claim(claim);
        }
        self.numbers = reading.numbers.iter().map(|number| number.raw.clone()).collect();
        self.leftover = reading.leftover_words;
    }

    /// A bare `118mm` means nothing in a list, but a person who asks has measured something: the spacing.
    pub(super) fn take_bare_lengths(&mut self) {
        if !self.circles_mm.is_empty() {
            return;
        }
        let bare = self.leftover.iter().position(|word| {
            let written = word
                .strip_suffix("mm")
                .filter(|digits| digits.starts_with(|sign: char| sign.is_ascii_digit()));
            written.is_some() && !read_spacing(word, self.holes, Context::Column).is_empty()
        });
        if let Some(at) = bare {
            let word = self.leftover.remove(at);
            let readings = read_spacing(&word, self.holes, Context::Column);
            self.circles_mm.extend(
                readings
                    .iter()
                    .flat_map(|reading| &reading.meant)
                    .map(|meaning| meaning.1),
            );
        }
    }

    fn take_claim(&mut self, claim: &Claim) {
        match (claim.attribute, &claim.value) {
            // what follows from a code or a power is judged by the code or the power itself
            (Attribute::Displacement, Value::Served(list) | Value::OneOf(list))
                if claim.provenance == Provenance::Stated =>
            {
                self.displacement.extend(list);
            }
            (Attribute::Power, Value::Served(list) | Value::OneOf(list)) => self.power_kw.extend(list),
            (Attribute::EngineCode, Value::Code(code)) => push_new(&mut self.codes, code_key(code)),
            (Attribute::Brand, Value::Word(brand)) => push_new(&mut self.brands, brand.clone()),
            (Attribute::FamilyCue, Value::Word(word)) if word != cue::UNIVERSAL => {
                push_new(&mut self.cues, word.clone());
            }
            (Attribute::BoltHoles, Value::Count(count)) => self.holes = self.holes.or(Some(*count)),
            (Attribute::BoltCircle, Value::OneOf(list) | Value::Served(list)) => self.circles_mm.extend(list),
            (Attribute::Thread, Value::Threads(threads)) => self.threads = self.threads.union(*threads),
            _ => {}
        }
    }
}

/// Probability from which the words are taken to ask for a kind of part.
const KIND_MEANT: f32 = 0.5;

/// Fewest signs of a word that is tried as a number.
const FEWEST_SIGNS: usize = 3;

/// Whether a word is shaped like the id of a fit group: `RS-ZYVCQ`.
pub(super) fn is_group_id(word: &str) -> bool {
    let upper = word.to_ascii_uppercase();
    let Some((prefix, signs)) = upper.split_once('-') else {
        return false;
    };
    ["RS", "FS", "SS", "PT"].contains(&prefix)
        && (5..=12).contains(&signs.len())
        && signs.bytes().all(|sign| sign.is_ascii_alphanumeric() || sign == b'.')
        && signs.bytes().any(|sign| sign.is_ascii_alphabetic())
}

/// Words with a digit of which some part was not understood, alone and behind the word before (`ZN 4471`).
pub(super) fn perhaps_numbers(words: &str, leftover: &[CompactString]) -> Vec<CompactString> {
    let typed: Vec<&str> = words.split_whitespace().collect();
    let is_left = |word: &str| {
        let folded = fold(word).into_owned();
        folded
            .split(|sign: char| !sign.is_alphanumeric())
            .any(|part| leftover.iter().any(|left| left == part))
    };
    let mut perhaps = Vec::new();
    for (at, word) in typed.iter().enumerate() {
        if word.chars().count() < FEWEST_SIGNS || !word.bytes().any(|sign| sign.is_ascii_digit()) || !is_left(word) {
            continue;
        }
        push_new(&mut perhaps, (*word).into());
        if let Some(before) = at
            .checked_sub(1)
            .and_then(|before| typed.get(before))
            .filter(|before| is_left(before))
        {
            push_new(&mut perhaps, compact_str::format_compact!("{before} {word}"));
        }
    }
    perhaps
}
