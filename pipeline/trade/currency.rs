//! Stub.

/// A currency of ISO 4217.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Currency([u8; 3]);

/// Whether a mark names one thing only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sureness {
    /// It does.
    Sure,
    /// It is the usual meaning of a mark that several share, or one of two readings.
    Unsure,
}

/// Reads a currency cell.
pub fn read_currency(_raw: &str) -> Option<Currency> {
    None
}

/// Reads a currency cell, with how sure that is.
pub fn read_currency_mark(_raw: &str) -> Option<(Currency, Sureness)> {
    None
}
