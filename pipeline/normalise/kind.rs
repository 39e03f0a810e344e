//! What a line sells: the part kind, with the probability that this is so.
//!
//! Kinds are data (`schemas/kinds/*.toml`); only the five that the house treats specially have a constant here. The
//! probability comes from the additive log-odds model in `kind_model`, whose weights are data too.

use compact_str::CompactString;
use serde::{Deserialize, Serialize};

/// A part kind, as an index into the vocabulary's list of kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct KindId(pub u8);

impl KindId {
    /// A complete recoil (pull) starter.
    pub const RECOIL_STARTER: Self = Self(0);
    /// A fan shroud without a starter.
    pub const SHROUD: Self = Self(1);
    /// Fan shroud and recoil starter together.
    pub const ASSEMBLY: Self = Self(2);
    /// Any product, in a build of generic scope.
    pub const GENERIC: Self = Self(3);
    /// Nothing on the line says what it is.
    pub const UNCLEAR: Self = Self(4);

    /// The three kinds that are cross-referenced.
    pub const IN_SCOPE: [Self; 3] = [Self::RECOIL_STARTER, Self::SHROUD, Self::ASSEMBLY];

    /// Whether lines of this kind become offers.
    pub const fn is_in_scope(self) -> bool {
        self.0 <= Self::GENERIC.0
    }

    /// The name used in files for the kinds with a constant; other names are in the vocabulary.
    pub const fn fixed_name(self) -> Option<&'static str> {
        match self {
            Self::RECOIL_STARTER => Some("recoil-starter"),
            Self::SHROUD => Some("shroud"),
            Self::ASSEMBLY => Some("assembly"),
            Self::GENERIC => Some("generic"),
            Self::UNCLEAR => Some("unclear"),
            _ => None,
        }
    }

    /// Whether a part of this kind answers a need for `need`: an assembly covers a starter need and a shroud need.
    pub fn covers(self, need: Self) -> bool {
        self == need || (self == Self::ASSEMBLY && (need == Self::RECOIL_STARTER || need == Self::SHROUD))
    }
}

/// What a line was understood to sell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct KindReading {
    /// The kind.
    pub kind: KindId,
    /// Probability that the line sells this kind, in (0, 1].
    pub probability: f32,
    /// The other kinds it may be, most probable first, with their probabilities; those below 0.005 are left out.
    pub alternatives: Vec<(KindId, f32)>,
    /// The cues that decided, in words a person can check.
    pub why: CompactString,
}

impl KindReading {
    /// A kind that is known rather than read.
    pub fn certain(kind: KindId, why: &str) -> Self {
        Self {
            kind,
            probability: 1.0,
            alternatives: Vec::new(),
            why: CompactString::from(why),
        }
    }

    /// Probability that the line sells `kind`; zero when it was left out.
    pub fn probability_of(&self, kind: KindId) -> f32 {
        if self.kind == kind {
            return self.probability;
        }
        self.alternatives
            .iter()
            .find(|(other, _)| *other == kind)
            .map_or(0.0, |(_, probability)| *probability)
    }
}
