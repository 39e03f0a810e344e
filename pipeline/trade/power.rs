//! Stub.
use super::Context;
use super::interval::Interval;
use super::units::PowerUnit;
use std::ops::Range;

/// A power found in text.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerReading {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Powers served, kW; one interval for a range.
    pub served: Vec<Interval>,
    /// Whether a range was stated.
    pub is_range: bool,
    /// Unit it was written in.
    pub unit: PowerUnit,
    /// Whether it is a generator's electrical output rather than the engine's power.
    pub electrical: bool,
}

/// Finds powers.
pub fn read_power(folded: &str, context: Context) -> Vec<PowerReading> {
    read_power_in(folded, context, PowerUnit::Horsepower)
}

/// Finds powers; a bare number of a column is in `unit`.
pub fn read_power_in(_folded: &str, _context: Context, _unit: PowerUnit) -> Vec<PowerReading> {
    Vec::new()
}

/// Displacements, cc, that an engine of this power, kW, may have.
pub fn displacement_from_power(kw: Interval) -> Interval {
    kw
}
