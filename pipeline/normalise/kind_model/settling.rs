//! Cues and the other claims of a line, and the probabilities in the end.

use super::scores::{KindScores, MOST_KINDS};
use crate::normalise::claim::{Attribute, Claim};
use crate::normalise::kind::{KindId, KindReading};

/// Alternatives below this are left out.
const LEAST_ALTERNATIVE: f32 = 0.005;

impl KindScores<'_> {
    /// Lets cues and the line's other claims settle what is open, and hands back the reading.
    pub fn settle(mut self, claims: &[Claim]) -> KindReading {
        self.apply_cues();
        self.apply_claims(claims);
        let unclear = usize::from(KindId::UNCLEAR.0);
        let kinds = &self.vocabulary.kinds;
        let mut shares: Vec<(KindId, f32)> = Vec::with_capacity(4);
        for (at, info) in kinds.iter().enumerate() {
            if at == unclear {
                shares.push((KindId::UNCLEAR, self.vocabulary.model.unclear));
            } else if self.named & (1 << at) != 0 {
                shares.push((KindId(at as u8), info.prior + self.scores[at]));
            }
        }
        let top = shares.iter().fold(f32::MIN, |top, (_, score)| top.max(*score));
        let total: f32 = shares.iter().map(|(_, score)| (score - top).exp()).sum();
        for (_, score) in &mut shares {
            *score = (*score - top).exp() / total;
        }
        shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        let (kind, probability) = shares[0];
        shares.remove(0);
        shares.retain(|(_, probability)| *probability >= LEAST_ALTERNATIVE);
        KindReading {
            kind,
            probability,
            alternatives: shares,
            why: self.why(kind),
        }
    }

    /// Adds the cues to the kinds that are named.
    fn apply_cues(&mut self) {
        for making in &self.vocabulary.makings {
            // What settles for a part of the whole settles for the whole.
            let of_parts = making
                .of
                .iter()
                .map(|kind| self.settled[usize::from(kind.0)])
                .fold(0.0, f32::max);
            let settled = &mut self.settled[usize::from(making.kind.0)];
            *settled = settled.max(of_parts);
        }
        for at in 0..MOST_KINDS {
            if self.named & (1 << at) != 0 {
                self.scores[at] += self.settled[at];
            }
        }
    }

    /// Lets the other claims of the line speak for kinds that are named, or name one where none is.
    fn apply_claims(&mut self, claims: &[Claim]) {
        let vocabulary = self.vocabulary;
        let nothing_named = self.named == 0;
        for (attribute, weights) in &vocabulary.model.settle {
            let Some(claim) = claims.iter().find(|claim| claim.attribute == *attribute) else {
                continue;
            };
            for (kind, weight) in weights {
                if self.named & (1 << kind.0) != 0 {
                    self.scores[usize::from(kind.0)] += weight;
                } else if nothing_named && *weight > 0.0 {
                    self.add(*kind, *weight, attribute_words(*attribute), &claim.text);
                }
            }
        }
    }
}

/// What a claim is called where it stands for a word.
fn attribute_words(attribute: Attribute) -> &'static str {
    match attribute {
        Attribute::BoltHoles => "hole count",
        Attribute::BoltCircle => "hole spacing",
        Attribute::Pawls => "pawls",
        Attribute::PullSide => "pull side",
        other => other.name(),
    }
}
