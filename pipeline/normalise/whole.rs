//! Two kinds on one line that make a third: a shroud and a starter make an assembly.
//!
//! They do when the line joins them ("with", "and", "+"), less surely when they only stand beside each other, and
//! sometimes when the second alone is called complete, because the trade sells complete shrouds with the starter in.
//! They do not when one is said to be absent, or the other to be alone.

use super::kind::KindId;
use super::mentions::{Mention, Mentions, Place};
use super::vocabulary::lexicon::Found;
use super::vocabulary::meaning::{Meaning, Role};
use super::vocabulary::{Making, Vocabulary};

/// A word this strong makes the first kind fully present; bare names reach it.
const FULL_STRENGTH: f32 = 3.0;
/// The same for the second kind, whose bare forms ("housing", "cover") are weaker evidence.
const FULL_STRENGTH_SECOND: f32 = 5.0;
/// The same for a second kind that is called complete, and no first kind named: bare forms are less sure to hold it.
const FULL_STRENGTH_COMPLETE: f32 = 8.0;
/// Of the weight of a term's strongest meaning, what another meaning must have to be meant perhaps.
pub const LEAST_SHARE_OF_STRONGEST: f32 = 0.6;
/// A way of starting speaks half for the part.
const SHARE_OF_FEATURE: f32 = 0.5;

/// What a text says about a whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Whole {
    /// Nothing.
    Open,
    /// It is sold, with this log-odds; the term is the other part.
    Formed {
        /// Log-odds.
        weight: f32,
        /// The term that joins the item.
        found: Found,
    },
    /// It is not: a part is absent, or the item is sold alone.
    Denied,
}

/// Reads whether a text sells the whole.
pub fn read_whole(vocabulary: &Vocabulary, mentions: &Mentions, making: &Making) -> Whole {
    let Some(main) = mentions.main().filter(|main| main.place == Place::Head) else {
        return Whole::Open;
    };
    let [first, second] = making.of;
    let of = |mention: &Mention, kind: KindId| weight_for(vocabulary, mention, kind);
    let strongest = vocabulary.strongest_kind(&main.found).map_or(0.0, |(_, weight)| weight);
    if of(main, first).max(of(main, second)) < strongest * LEAST_SHARE_OF_STRONGEST {
        return Whole::Open;
    }
    let (item, other) = if of(main, first) >= of(main, second) {
        (first, second)
    } else {
        (second, first)
    };
    let absent = mentions
        .list
        .iter()
        .any(|mention| mention.place == Place::Absent && of(mention, other) > 0.0);
    if main.only || absent {
        return Whole::Denied;
    }
    let full = |kind: KindId| {
        if kind == first {
            FULL_STRENGTH
        } else {
            FULL_STRENGTH_SECOND
        }
    };
    let strength = |mention: &Mention, kind: KindId| (of(mention, kind) / full(kind)).min(1.0);
    let of_item = strength(main, item);
    let mut best: Option<(f32, Found)> = None;
    for mention in &mentions.list {
        let weight = match mention.place {
            Place::With | Place::Joined => making.joined,
            Place::Modifier | Place::Later => making.beside,
            Place::Head | Place::BehindUnknown | Place::For | Place::Absent => continue,
        };
        // "Housing with pull start", "pull start and housing" sell the starter; a way of starting named elsewhere may be the machine's.
        let of_role = match (mention.role, mention.place) {
            (Role::Feature, Place::With | Place::Joined) => 1.0,
            (Role::Kit | Role::Name | Role::Machine | Role::Along, _) => 1.0,
            (Role::Feature, _) => SHARE_OF_FEATURE,
        };
        let weight = weight * strength(mention, other) * of_item * of_role;
        if weight > best.map_or(0.0, |(known, _)| known) {
            best = Some((weight, mention.found));
        }
    }
    match best {
        Some((weight, found)) => Whole::Formed { weight, found },
        None if mentions.complete && item == second => Whole::Formed {
            weight: making.complete * (of(main, item) / FULL_STRENGTH_COMPLETE).min(1.0),
            found: main.found,
        },
        None => Whole::Open,
    }
}

/// How strongly a term speaks for a kind; zero when it does not.
fn weight_for(vocabulary: &Vocabulary, mention: &Mention, kind: KindId) -> f32 {
    let meanings = vocabulary.lexicon.meanings(&mention.found).iter();
    let joined = matches!(mention.place, Place::With | Place::Joined);
    meanings
        .filter_map(|meaning| match *meaning {
            Meaning::Kind {
                kind: named,
                weight,
                role,
                ..
            } if named == kind && (role != Role::Along || joined) => Some(weight),
            _ => None,
        })
        .fold(0.0, f32::max)
}
