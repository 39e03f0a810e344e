//! Stub.

/// A caution.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caution {
    /// Short cue.
    pub cue: &'static str,
    /// What to do.
    pub wording: &'static str,
}

/// What else may be wrong.
pub const BEFORE_ORDERING: &[&str] = &[];
/// Cautions.
pub const SAFETY: &[Caution] = &[];
/// Limit.
pub const LIMIT: &str = "";
