//! What is read of a text: its terms, and the noun phrases that they form.

use crate::normalise::vocabulary::lexicon::Found;
use crate::normalise::vocabulary::meaning::{HeadOrder, Role};

/// What joins a phrase to what stands before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Link {
    /// Nothing, or punctuation.
    None,
    /// "and", "+", "/".
    And,
    /// "with".
    With,
    /// "without".
    Without,
}

/// What a stretch of text is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Region {
    /// The item.
    Item,
    /// What it goes on.
    For,
}

/// One noun.
#[derive(Clone, Copy, Debug)]
pub struct Term {
    /// The term of the vocabulary.
    pub found: Found,
    /// How it is used.
    pub role: Role,
    /// Where heads stand in its languages.
    pub order: HeadOrder,
    /// Words between this term and the one before.
    pub gap: u32,
    /// Whether "only" stands beside it.
    pub only: bool,
    /// Whether it is said to be not included.
    pub absent: bool,
}

/// One noun phrase: a run of terms.
#[derive(Clone, Copy, Debug)]
pub struct Phrase {
    /// First term.
    pub start: usize,
    /// Term after the last.
    pub end: usize,
    /// What joins it to what stands before.
    pub link: Link,
    /// What it is about.
    pub region: Region,
    /// Whether "of" stands in it.
    pub of: bool,
    /// Whether an amount of an engine stands between it and the term before.
    pub behind_amount: bool,
    /// Whether an amount of an engine stands somewhere behind it.
    pub before_amount: bool,
    /// Whether it stands alone behind a dash or a colon: "starter - rope".
    pub set_apart: bool,
}

/// The phrases of a text.
#[derive(Clone, Debug)]
pub struct Phrases {
    /// All terms, in the order of the text.
    pub terms: Vec<Term>,
    /// The phrases, in the order of the text.
    pub list: Vec<Phrase>,
    /// Whether the item is called complete.
    pub complete: bool,
    /// Whether parts in general are named.
    pub parts: bool,
    /// Whether unknown words, and no known thing, stand before the first "for".
    pub unknown_before_for: bool,
}
