//! Stub.
use compact_str::CompactString;
use std::ops::Range;

/// How letters and digits of a model code were joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Spelled {
    /// `KR200`
    Glued,
    /// `KR-200`
    Hyphen,
    /// `KR 200`
    Spaced,
    /// Expanded from shorthand: the 200 of `KR160/200`.
    Shorthand,
}

/// A token that looks like an engine's model code; a candidate only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CodeToken {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Upper case, separators dropped: `KR200`, `TB340E`.
    pub canonical: CompactString,
    /// How it was spelled.
    pub spelled: Spelled,
}

/// Finds tokens that look like model codes.
pub fn read_code_tokens(_folded: &str) -> Vec<CodeToken> {
    Vec::new()
}
