//! The shapes of the files in `schemas/kinds` and `schemas/words`, as they are written. An unknown key is an error.

use std::collections::BTreeMap;

use serde::Deserialize;

/// Words per language code.
pub type Words = BTreeMap<String, Vec<String>>;

/// A file of `schemas/kinds`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KindsFile {
    /// Its kinds.
    pub kind: Vec<KindEntry>,
}

/// One kind. The keys are explained in `schemas/kinds/recoil-starter.toml` and `assembly.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KindEntry {
    /// Name used in files.
    pub name: String,
    /// Name used in sentences.
    pub called: String,
    /// Whether it is cross-referenced.
    pub scope: ScopeWord,
    /// Log-odds before any word is read.
    pub prior: f32,
    /// Kinds that belong inside this one.
    pub contents: Vec<String>,
    /// Kinds that make this one together.
    #[serde(default)]
    pub made_of: Vec<String>,
    /// Weight when they are joined.
    #[serde(default)]
    pub joined: f32,
    /// Weight when they are beside each other.
    #[serde(default)]
    pub beside: f32,
    /// Weight when the second is called complete.
    #[serde(default)]
    pub complete: f32,
    /// Its terms.
    pub terms: Vec<TermsEntry>,
}

/// Whether a kind is cross-referenced.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum ScopeWord {
    /// It is.
    In,
    /// It is set aside.
    Out,
}

/// A group of terms of equal weight.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TermsEntry {
    /// Log-odds.
    pub weight: f32,
    /// How the terms are used.
    #[serde(default, rename = "use")]
    pub usage: Usage,
    /// The terms.
    pub words: Words,
}

/// How a group of terms is used.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Usage {
    /// Names the thing.
    #[default]
    Name,
    /// Names a thing that is the head wherever it stands.
    Kit,
    /// Names the thing at the end of a longer word.
    Tail,
    /// May describe a machine.
    Feature,
    /// Names a whole machine.
    Machine,
    /// Names the thing only where it is joined to its other half.
    Along,
    /// Settles between open readings.
    Cue,
}

/// `schemas/words/grammar.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GrammarFile {
    /// Languages with the head first.
    pub head_first: Vec<String>,
    /// Languages with the head last.
    pub head_last: Vec<String>,
    /// Endings of compounds that bundle what stands before them.
    pub bundle_endings: Vec<String>,
    /// Words for "for".
    #[serde(rename = "for")]
    pub for_: Words,
    /// Words for "of".
    pub of: Words,
    /// Words for "with".
    pub with: Words,
    /// Words for "and".
    pub and: Words,
    /// Words for "without".
    pub without: Words,
    /// Words for "not included".
    pub not_included: Words,
    /// Words for "only".
    pub only: Words,
    /// Words for "complete".
    pub complete: Words,
    /// Words for parts in general.
    pub parts: Words,
    /// Phrases that name nothing sold.
    pub neutral: Words,
}

/// `schemas/words/families.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FamiliesFile {
    /// Its cues.
    pub cue: Vec<CueEntry>,
}

/// One family cue.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CueEntry {
    /// The value of the claim.
    pub name: String,
    /// Its words.
    pub words: Words,
}

/// `schemas/words/attributes.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AttributesFile {
    /// Words with a value.
    pub word: Vec<AttributeEntry>,
    /// Words after a count.
    pub count: CountWords,
    /// Number words from one on.
    pub numerals: Numerals,
    /// Words before a depth.
    pub depth: PlainWords,
}

/// The words for one value of one attribute.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AttributeEntry {
    /// Name of the attribute.
    pub attribute: String,
    /// The value.
    pub value: String,
    /// Its words.
    pub words: Vec<String>,
}

/// Words after a count.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CountWords {
    /// Counting pawls.
    pub pawls: Vec<String>,
}

/// Number words, from one on.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Numerals {
    /// A list of words per number.
    pub words: Vec<Vec<String>>,
}

/// Just words.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlainWords {
    /// The words.
    pub words: Vec<String>,
}

/// `schemas/words/numbers.toml`. The keys are explained there.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys are explained in the file itself")]
pub struct NumbersFile {
    pub replaces: Vec<String>,
    pub maker: Vec<String>,
    pub placeholders: Vec<String>,
    pub not_codes: Vec<String>,
    pub not_brands: Vec<String>,
    pub order_multiples: Vec<String>,
    pub per_pack: Vec<String>,
    pub per_piece: Vec<String>,
}

/// `schemas/words/kind-model.toml`. The keys are explained there.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ModelFile {
    /// Score of "nothing says what it is".
    pub unclear: f32,
    /// Least probability in scope that makes an offer.
    pub offer_floor: f32,
    /// Factors of the fields.
    pub field: FieldFactors,
    /// Factors of the places.
    pub place: PlaceFactors,
    /// What other claims say.
    pub settle: Vec<SettleEntry>,
}

/// How much a field's words count.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys are explained in the file itself")]
pub struct FieldFactors {
    pub title: f32,
    pub mended: f32,
    pub description: f32,
    pub category: f32,
}

/// How much a word counts where it stands.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs, reason = "the keys are explained in the file itself")]
pub struct PlaceFactors {
    pub head: f32,
    pub modifier: f32,
    pub later: f32,
    pub joined: f32,
    pub with: f32,
    #[serde(rename = "for")]
    pub for_: f32,
    pub behind_unknown: f32,
    pub absent: f32,
    pub only: f32,
    pub machine_beside_part: f32,
    pub feature_beside_machine: f32,
    /// A way of starting in one phrase before a machine.
    pub feature_before_machine: f32,
    pub feature_beside_part: f32,
}

/// What the presence of a claim says about the kinds.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettleEntry {
    /// Name of the attribute.
    pub attribute: String,
    /// Log-odds per kind.
    pub weights: BTreeMap<String, f32>,
}
