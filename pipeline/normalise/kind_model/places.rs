//! What a word weighs in its place, and what says nothing because it comes along anyway.

use super::scores::KindScores;
use crate::normalise::kind::KindId;
use crate::normalise::mentions::{Mention, Mentions, Place};
use crate::normalise::vocabulary::meaning::{Meaning, Role};
use crate::normalise::whole::LEAST_SHARE_OF_STRONGEST;

impl KindScores<'_> {
    /// What a word weighs by its place, its role and an "only" beside it.
    pub(super) fn place_factor(
        &self,
        mention: &Mention,
        mentions: &Mentions,
        part_named: bool,
        machine_main: bool,
    ) -> f32 {
        let factors = &self.vocabulary.model.place;
        if machine_main && stands_before_machine(mention, mentions) {
            return factors.feature_before_machine;
        }
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
            Role::Along => 0.0,
        };
        let of_only = if mention.only && mention.place != Place::Absent {
            factors.only
        } else {
            1.0
        };
        of_place * of_role * of_only
    }

    /// Whether a thing is the usual content of the item, so that naming it beside the item says nothing.
    pub(super) fn comes_along(&self, main: Option<KindId>, kind: KindId, place: Place) -> bool {
        matches!(place, Place::With | Place::Joined | Place::Later)
            && main.is_some_and(|main| self.vocabulary.kinds[usize::from(main.0)].contents.contains(&kind))
    }

    /// The scopes a term may name: bit 0 in scope, bit 1 out of it; a meaning much weaker than the strongest is none.
    pub(super) fn scopes_of(&self, mention: &Mention) -> u8 {
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
}

/// Whether a way of starting stands in one phrase before the machine that is named as the item.
fn stands_before_machine(mention: &Mention, mentions: &Mentions) -> bool {
    let before = |main: &Mention| main.phrase == mention.phrase && mention.found.first < main.found.first;
    mention.role == Role::Feature && mention.place == Place::Modifier && mentions.main().is_some_and(before)
}
