//! Stub.
/// Damage a spreadsheet did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Damage {
    /// `4.00638E+12`
    ScientificNotation,
    /// `3-May`
    DateLike,
    /// `#N/A`
    ErrorValue,
    /// `'00123`
    LeadingQuote,
    /// A zero is missing in front.
    LostZero,
}

/// Spots damage.
pub fn spot_damage(_raw: &str) -> Option<Damage> {
    None
}
