//! The vocabulary: part kinds with their words, the grammar around them, family cues, attribute words and the words
//! around numbers, compiled from the files in `schemas/`.
//!
//! The files are the only place where words of a language stand; the code knows none. A mistake in a file is an error
//! with the file's name, never a word left out in silence.

pub mod files;
pub mod lexicon;
pub mod meaning;

mod build;

use std::fmt;

use compact_str::CompactString;
use rustc_hash::FxHashSet;

use self::files::{FieldFactors, PlaceFactors};
use self::lexicon::{Found, Lexicon};
use self::meaning::{Meaning, Role};
use super::claim::Attribute;
use super::kind::KindId;
use super::whole::LEAST_SHARE_OF_STRONGEST;
use crate::trade::folding::fold;

/// Longest cell, in bytes, that is compared with the fillers.
const LONGEST_PLACEHOLDER: usize = 48;

/// The texts of the files a vocabulary is made from, with the names to use in messages.
#[derive(Clone, Debug)]
pub struct VocabularyText<'t> {
    /// Files of `schemas/kinds`, as (name, text).
    pub kinds: Vec<(&'t str, &'t str)>,
    /// `grammar.toml`.
    pub grammar: &'t str,
    /// `families.toml`.
    pub families: &'t str,
    /// `attributes.toml`.
    pub attributes: &'t str,
    /// `numbers.toml`.
    pub numbers: &'t str,
    /// `kind-model.toml`.
    pub model: &'t str,
}

impl VocabularyText<'static> {
    /// The files of this house.
    pub fn built_in() -> Self {
        Self {
            kinds: vec![
                (
                    "recoil-starter.toml",
                    include_str!("../../../schemas/kinds/recoil-starter.toml"),
                ),
                ("shroud.toml", include_str!("../../../schemas/kinds/shroud.toml")),
                ("assembly.toml", include_str!("../../../schemas/kinds/assembly.toml")),
                (
                    "starter-parts.toml",
                    include_str!("../../../schemas/kinds/starter-parts.toml"),
                ),
                (
                    "electric-start.toml",
                    include_str!("../../../schemas/kinds/electric-start.toml"),
                ),
                (
                    "engine-parts.toml",
                    include_str!("../../../schemas/kinds/engine-parts.toml"),
                ),
                ("machines.toml", include_str!("../../../schemas/kinds/machines.toml")),
            ],
            grammar: include_str!("../../../schemas/words/grammar.toml"),
            families: include_str!("../../../schemas/words/families.toml"),
            attributes: include_str!("../../../schemas/words/attributes.toml"),
            numbers: include_str!("../../../schemas/words/numbers.toml"),
            model: include_str!("../../../schemas/words/kind-model.toml"),
        }
    }
}

/// A mistake in a vocabulary file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VocabularyError {
    /// The file.
    pub file: String,
    /// What is wrong.
    pub message: String,
}

impl fmt::Display for VocabularyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.file, self.message)
    }
}

impl std::error::Error for VocabularyError {}

/// A part kind as the files describe it.
#[derive(Clone, Debug)]
pub struct KindInfo {
    /// Name used in files.
    pub name: CompactString,
    /// Name used in sentences.
    pub called: CompactString,
    /// Log-odds before any word is read.
    pub prior: f32,
    /// Kinds that belong inside this one.
    pub contents: Vec<KindId>,
}

/// How two kinds make a third.
#[derive(Clone, Debug)]
pub struct Making {
    /// The kind that is made.
    pub kind: KindId,
    /// What it is made of.
    pub of: [KindId; 2],
    /// Weight when they are joined.
    pub joined: f32,
    /// Weight when they are beside each other.
    pub beside: f32,
    /// Weight when the second is called complete.
    pub complete: f32,
}

/// The numbers of the kind model.
#[derive(Clone, Debug)]
pub struct KindModel {
    /// Score of "nothing says what it is".
    pub unclear: f32,
    /// Least probability in scope that makes an offer.
    pub offer_floor: f32,
    /// Factors of the fields.
    pub field: FieldFactors,
    /// Factors of the places.
    pub place: PlaceFactors,
    /// What the presence of a claim says about the kinds.
    pub settle: Vec<(Attribute, Vec<(KindId, f32)>)>,
}

/// See the head of the module.
#[derive(Debug)]
pub struct Vocabulary {
    pub(in crate::normalise) lexicon: Lexicon,
    pub(in crate::normalise) kinds: Vec<KindInfo>,
    pub(in crate::normalise) makings: Vec<Making>,
    pub(in crate::normalise) model: KindModel,
    pub(in crate::normalise) families: Vec<CompactString>,
    pub(in crate::normalise) values: Vec<CompactString>,
    pub(in crate::normalise) placeholders: FxHashSet<String>,
    pub(in crate::normalise) not_codes: FxHashSet<String>,
    pub(in crate::normalise) not_brands: FxHashSet<String>,
    pub(in crate::normalise) order_multiples: Vec<String>,
    pub(in crate::normalise) per_pack: Vec<String>,
    pub(in crate::normalise) per_piece: Vec<String>,
}

impl Vocabulary {
    /// The vocabulary of this house. An error here is a mistake in `schemas/`, and a test's to find.
    pub fn built_in() -> Result<Self, VocabularyError> {
        build::build(&VocabularyText::built_in())
    }

    /// Name of a kind as used in files.
    pub fn kind_name(&self, kind: KindId) -> &str {
        self.kinds.get(usize::from(kind.0)).map_or("unclear", |info| &info.name)
    }

    /// Name of a kind as used in sentences.
    pub fn kind_called(&self, kind: KindId) -> &str {
        self.kinds
            .get(usize::from(kind.0))
            .map_or("unclear", |info| &info.called)
    }

    /// The kind with this name.
    #[cfg(test)]
    pub(in crate::normalise) fn kind_named(&self, name: &str) -> Option<KindId> {
        let position = self.kinds.iter().position(|info| info.name == name)?;
        u8::try_from(position).ok().map(KindId)
    }

    /// The kind a term names most strongly by itself, with the weight.
    pub(in crate::normalise) fn strongest_kind(&self, found: &Found) -> Option<(KindId, f32)> {
        let kinds = self
            .lexicon
            .meanings(found)
            .iter()
            .filter_map(|meaning| match *meaning {
                Meaning::Kind { kind, weight, role, .. } if role != Role::Along => Some((kind, weight)),
                _ => None,
            });
        kinds.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
    }

    /// Whether the first term names a part, out of scope by itself, that belongs inside what the second term names.
    pub(in crate::normalise) fn is_part_of(&self, part: &Found, whole: &Found) -> bool {
        let (Some((part, _)), Some((_, strongest))) = (self.strongest_kind(part), self.strongest_kind(whole)) else {
            return false;
        };
        // A bare "starter" may be the motor; a grip beside it belongs to the other one.
        let whole_of_part = |meaning: &Meaning| match *meaning {
            Meaning::Kind { kind, weight, .. } => {
                weight >= strongest * LEAST_SHARE_OF_STRONGEST
                    && kind.is_in_scope()
                    && self.kinds[usize::from(kind.0)].contents.contains(&part)
            }
            _ => false,
        };
        !part.is_in_scope() && self.lexicon.meanings(whole).iter().any(whole_of_part)
    }

    /// Whether a term names what belongs inside a thing of this kind.
    pub(in crate::normalise) fn holds(&self, whole: KindId, part: &Found) -> bool {
        let part = self.strongest_kind(part).map(|(kind, _)| kind);
        part.is_some_and(|part| self.kinds[usize::from(whole.0)].contents.contains(&part))
    }

    /// Whether two terms may name the two kinds that make a third: a shroud and a starter.
    pub(in crate::normalise) fn make_a_whole(&self, one: &Found, other: &Found) -> bool {
        let names = |found: &Found, kind: KindId| {
            let named = |meaning: &Meaning| matches!(meaning, Meaning::Kind { kind: of, .. } if *of == kind);
            self.lexicon.meanings(found).iter().any(named)
        };
        let made = |making: &Making| {
            let [first, second] = making.of;
            names(one, first) && names(other, second) || names(one, second) && names(other, first)
        };
        self.makings.iter().any(made)
    }

    /// Whether a cell stands for "nothing": empty, only marks, or one of the listed fillers.
    pub(in crate::normalise) fn is_placeholder(&self, cell: &str) -> bool {
        // A filler has no digits beyond those of "0" and its like, which the canonical form takes care of.
        if cell.len() > LONGEST_PLACEHOLDER || cell.bytes().any(|byte| byte.is_ascii_digit()) {
            return false;
        }
        let folded = fold(cell);
        let mark = |character: char| character.is_whitespace() || "-–.,;:/_*#".contains(character);
        let bare = folded.trim_matches(mark);
        bare.is_empty() || self.placeholders.contains(bare) || self.placeholders.contains(folded.trim())
    }
}
