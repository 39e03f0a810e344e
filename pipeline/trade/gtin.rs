//! Stub.
/// A sound trade item number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Gtin(u64);

/// What a barcode cell holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GtinReading {
    /// Sound.
    Sound(Gtin),
    /// Sound once a lost leading zero is put back.
    Restored(Gtin),
    /// Right length, wrong check digit.
    BadCheckDigit,
    /// Not digits, or a length no GTIN has.
    Damaged,
    /// A shop's own number.
    InStore,
    /// A filler.
    Dummy,
    /// Empty.
    None,
}

/// Reads a barcode cell.
pub fn read_gtin(_raw: &str) -> GtinReading {
    GtinReading::None
}

/// Check digit for the digits before it.
pub fn check_digit(_digits: &str) -> Option<u8> {
    None
}
