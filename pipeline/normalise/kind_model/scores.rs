//! The evidence collected of one line: scores of kinds, and the words they rest on.

use crate::normalise::kind::KindId;
use crate::normalise::vocabulary::Vocabulary;
use compact_str::CompactString;
use std::fmt::Write as _;

/// Most kinds a vocabulary may have.
pub(super) const MOST_KINDS: usize = 64;
/// Cues kept for the explanation.
const MOST_CUES: usize = 8;

/// Collects the evidence of one line.
pub struct KindScores<'v> {
    pub(super) vocabulary: &'v Vocabulary,
    pub(super) scores: [f32; MOST_KINDS],
    pub(super) named: u64,
    pub(super) settled: [f32; MOST_KINDS],
    pub(super) cues: Vec<Cue>,
    pub(super) scopes_of_title: u8,
    pub(super) scopes_of_category: u8,
}

/// A word that speaks for a kind.
pub(super) struct Cue {
    pub(super) kind: KindId,
    pub(super) weight: f32,
    pub(super) field: &'static str,
    pub(super) text: CompactString,
}

impl<'v> KindScores<'v> {
    /// No evidence yet.
    pub fn new(vocabulary: &'v Vocabulary) -> Self {
        Self {
            vocabulary,
            scores: [0.0; MOST_KINDS],
            named: 0,
            settled: [0.0; MOST_KINDS],
            cues: Vec::new(),
            scopes_of_title: 0,
            scopes_of_category: 0,
        }
    }

    /// Adds what a word says of a kind.
    pub(super) fn add(&mut self, kind: KindId, weight: f32, field: &'static str, text: &str) {
        let at = usize::from(kind.0);
        self.scores[at] += weight;
        if weight > 0.5 {
            self.named |= 1 << at;
            if self.cues.len() < MOST_CUES {
                self.cues.push(Cue {
                    kind,
                    weight,
                    field,
                    text: CompactString::from(text),
                });
            }
        }
    }

    /// The words that speak most for a kind, as one wording.
    pub(super) fn why(&self, kind: KindId) -> CompactString {
        let mut why = CompactString::default();
        let mut ranked: Vec<&Cue> = self.cues.iter().filter(|cue| cue.kind == kind).collect();
        ranked.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        for cue in ranked.iter().take(3) {
            let comma = if why.is_empty() { "" } else { ", " };
            // Writing to a string cannot fail.
            let _ = write!(why, "{comma}\"{}\" in the {}", cue.text, cue.field);
        }
        if why.is_empty() {
            why.push_str("nothing on the line names a part");
        }
        why
    }
}
