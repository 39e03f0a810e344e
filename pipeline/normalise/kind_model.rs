//! From mentions and claims to a kind with its probability: an additive log-odds model.
//!
//! The score of a kind is its prior plus, for every word that names it, weight x factor of the place x factor of the
//! field; two kinds named together may make a third (shroud and starter make an assembly); cues and other claims of
//! the line settle between kinds that are already named. Probabilities are the softmax over the kinds named and
//! "unclear". Every number comes from `schemas/`.

use std::fmt::Write as _;

use compact_str::CompactString;

use super::claim::{Attribute, Claim};
use super::kind::{KindId, KindReading};
use super::mending::mend;
use super::mentions::{MainPhrase, Mention, Mentions, Place, read_mentions};
use super::scan::Scan;
use super::vocabulary::Vocabulary;
use super::vocabulary::lexicon::Found;
use super::vocabulary::meaning::{Meaning, Role};
use super::whole::{LEAST_SHARE_OF_STRONGEST, Whole, read_whole};

/// Most kinds a vocabulary may have.
const MOST_KINDS: usize = 64;
/// Alternatives below this are left out.
const LEAST_ALTERNATIVE: f32 = 0.005;
/// Cues kept for the explanation.
const MOST_CUES: usize = 8;

/// Collects the evidence of one line.
pub struct KindScores<'v> {
    vocabulary: &'v Vocabulary,
    scores: [f32; MOST_KINDS],
    named: u64,
    settled: [f32; MOST_KINDS],
    cues: Vec<Cue>,
    scopes_of_title: u8,
    scopes_of_category: u8,
}

struct Cue {
    kind: KindId,
    weight: f32,
    field: &'static str,
    text: CompactString,
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

    /// Adds the words of a title, or of a description that stands in for it.
    pub fn title(&mut self, scan: &Scan) {
        let mentions = read_mentions(self.vocabulary, scan, MainPhrase::First);
        if let Some((mended, of_mended)) = self.mended(scan, &mentions) {
            self.scopes_of_title = self.field(&mended, &of_mended, "title", self.vocabulary.model.field.mended);
            return self.cues_in(scan, &Mentions::default());
        }
        self.scopes_of_title = self.field(scan, &mentions, "title", self.vocabulary.model.field.title);
        self.cues_in(scan, &mentions);
    }

    /// The title with its slips mended, unless it names a kind in scope. Where it names something else (what comes along,
    /// a machine, another part), mending must bring a kind in scope to light: a brand one letter from a word brings none.
    fn mended(&self, scan: &Scan, mentions: &Mentions) -> Option<(Scan, Mentions)> {
        let in_scope = |main: &Mention| {
            let kind = self.vocabulary.strongest_kind(&main.found);
            kind.is_some_and(|(kind, _)| kind.is_in_scope())
        };
        if mentions.names_item() && mentions.main().is_some_and(in_scope) {
            return None;
        }
        let mended = mend(self.vocabulary, scan)?;
        let of_mended = read_mentions(self.vocabulary, &mended, MainPhrase::First);
        let better = mentions.main().is_none() || of_mended.main().is_some_and(in_scope);
        better.then_some((mended, of_mended))
    }

    /// Adds the words of a description beside a title.
    pub fn description(&mut self, scan: &Scan) {
        let mentions = read_mentions(self.vocabulary, scan, MainPhrase::First);
        self.field(scan, &mentions, "description", self.vocabulary.model.field.description);
        self.cues_in(scan, &mentions);
    }

    /// Adds the words of a category.
    pub fn category(&mut self, scan: &Scan) {
        let mentions = read_mentions(self.vocabulary, scan, MainPhrase::Last);
        self.scopes_of_category = self.field(scan, &mentions, "category", self.vocabulary.model.field.category);
    }

    /// Whether title and category cannot be about the same thing: one names only kinds in scope, the other none.
    pub fn fields_disagree(&self) -> bool {
        let common = self.scopes_of_title & self.scopes_of_category;
        common == 0 && self.scopes_of_title != 0 && self.scopes_of_category != 0
    }

    /// Adds a field's words; hands back which scopes its item may be of, as bits.
    fn field(&mut self, scan: &Scan, mentions: &Mentions, field: &'static str, factor: f32) -> u8 {
        let Some(main) = mentions.main() else {
            return self.field_without_item(scan, mentions, field, factor);
        };
        let vocabulary = self.vocabulary;
        let main_kind = vocabulary.strongest_kind(&main.found).map(|(kind, _)| kind);
        // "Pull start, reel and spring fitted": what belongs inside the item is no part beside it.
        let inside = |mention: &Mention| {
            let kind = vocabulary.strongest_kind(&mention.found).map(|(kind, _)| kind);
            kind.is_some_and(|kind| self.comes_along(main_kind, kind, mention.place))
        };
        let part_named = mentions.list.iter().any(|mention| {
            mention.role <= Role::Name
                && matches!(mention.place, Place::Head | Place::Later | Place::Joined)
                && !inside(mention)
        });
        let wholes: Vec<Whole> = vocabulary
            .makings
            .iter()
            .map(|making| read_whole(vocabulary, mentions, making))
            .collect();
        let formed = |kind: KindId| {
            wholes
                .iter()
                .zip(&vocabulary.makings)
                .any(|(whole, making)| matches!(whole, Whole::Formed { .. }) && making.of.contains(&kind))
        };
        for mention in &mentions.list {
            let of_place = self.place_factor(mention, mentions, part_named, main.role == Role::Machine);
            let beside = !matches!(mention.place, Place::Head | Place::BehindUnknown | Place::Absent);
            for meaning in vocabulary.lexicon.meanings(&mention.found) {
                // Once two kinds make a whole, naming them again speaks for the whole.
                if let Meaning::Kind { kind, weight, .. } = *meaning
                    && of_place != 0.0
                    && !(beside && formed(kind))
                    && !self.comes_along(main_kind, kind, mention.place)
                {
                    self.add(kind, weight * of_place * factor, field, scan.text_of(&mention.found));
                }
            }
        }
        for (whole, making) in wholes.iter().zip(&vocabulary.makings) {
            match whole {
                Whole::Formed { weight, found } => self.add(making.kind, weight * factor, field, scan.text_of(found)),
                Whole::Denied => self.add(making.kind, -making.complete * factor, field, ""),
                Whole::Open => {}
            }
        }
        self.scopes_of(main)
    }

    /// A field in which only absent things are named, or none.
    fn field_without_item(&mut self, scan: &Scan, mentions: &Mentions, field: &'static str, factor: f32) -> u8 {
        for mention in &mentions.list {
            let of_place = self.place_factor(mention, mentions, false, false);
            for meaning in self.vocabulary.lexicon.meanings(&mention.found) {
                if let Meaning::Kind { kind, weight, .. } = *meaning {
                    self.add(kind, weight * of_place * factor, field, scan.text_of(&mention.found));
                }
            }
        }
        0
    }

    /// The scopes a term may name: bit 0 in scope, bit 1 out of it; a meaning much weaker than the strongest is none.
    fn scopes_of(&self, mention: &Mention) -> u8 {
        let strongest = self
            .vocabulary
            .strongest_kind(&mention.found)
            .map_or(0.0, |(_, weight)| weight);
        self.vocabulary
            .lexicon
            .meanings(&mention.found)
            .iter()
            .fold(0, |scopes, meaning| match *meaning {
                Meaning::Kind { kind, weight, .. } if weight >= strongest * LEAST_SHARE_OF_STRONGEST => {
                    scopes | if kind.is_in_scope() { 1 } else { 2 }
                }
                _ => scopes,
            })
    }

    /// Whether a thing is the usual content of the item, so that naming it beside the item says nothing.
    fn comes_along(&self, main: Option<KindId>, kind: KindId, place: Place) -> bool {
        matches!(place, Place::With | Place::Joined | Place::Later)
            && main.is_some_and(|main| self.vocabulary.kinds[usize::from(main.0)].contents.contains(&kind))
    }

    fn place_factor(&self, mention: &Mention, mentions: &Mentions, part_named: bool, machine_main: bool) -> f32 {
        let factors = &self.vocabulary.model.place;
        let of_place = match mention.place {
            Place::Head => factors.head,
            Place::BehindUnknown => factors.behind_unknown,
            Place::Modifier => factors.modifier,
            Place::Later => factors.later,
            Place::Joined => factors.joined,
            Place::With => factors.with,
            Place::For => factors.for_,
            Place::Absent => factors.absent,
        };
        let of_role = match mention.role {
            Role::Kit | Role::Name => 1.0,
            Role::Machine if part_named || mentions.parts => factors.machine_beside_part,
            Role::Machine => 1.0,
            Role::Feature if part_named => factors.feature_beside_part,
            Role::Feature if machine_main => factors.feature_beside_machine,
            Role::Feature => 1.0,
        };
        let of_only = if mention.only && mention.place != Place::Absent {
            factors.only
        } else {
            1.0
        };
        of_place * of_role * of_only
    }

    fn add(&mut self, kind: KindId, weight: f32, field: &'static str, text: &str) {
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

    /// The cues of a text, save those that are the very name of the item ("rope" in "starter rope").
    fn cues_in(&mut self, scan: &Scan, mentions: &Mentions) {
        let names_item = |found: &Found| {
            mentions
                .main()
                .is_some_and(|main| found.first < main.found.end && main.found.first < found.end)
        };
        for found in scan.attributes.iter().filter(|found| !names_item(found)) {
            for meaning in self.vocabulary.lexicon.meanings(found) {
                if let Meaning::Settles { kind, weight } = *meaning {
                    let settled = &mut self.settled[usize::from(kind.0)];
                    *settled = settled.max(weight);
                }
            }
        }
    }

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

    fn why(&self, kind: KindId) -> CompactString {
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

fn attribute_words(attribute: Attribute) -> &'static str {
    match attribute {
        Attribute::BoltHoles => "hole count",
        Attribute::BoltCircle => "hole spacing",
        Attribute::Pawls => "pawls",
        Attribute::PullSide => "pull side",
        other => other.name(),
    }
}
