//! Stub.
use super::Context;
use super::interval::Interval;
use std::ops::Range;

/// A displacement found in text.
#[derive(Debug, Clone, PartialEq)]
pub struct AmountReading {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Displacements served, cc, each as wide as its last digit; one interval for a range.
    pub served: Vec<Interval>,
    /// Whether a range was stated.
    pub is_range: bool,
}

/// Finds displacements.
pub fn read_displacement(_folded: &str, _context: Context) -> Vec<AmountReading> {
    Vec::new()
}
