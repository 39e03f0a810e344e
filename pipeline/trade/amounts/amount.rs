//! What comes out: numbers that belong together, each with its unit.

use crate::trade::interval::Interval;
use crate::trade::numerals::Number;
use std::ops::Range;

/// How the numbers of an amount belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Joined {
    /// Each number is a value of its own.
    List,
    /// The first and last are the ends of a range.
    Range,
}

/// A chain of numbers closed by a unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount<U> {
    /// Byte span from the first number to the end of the last unit.
    pub span: Range<usize>,
    /// The numbers with the unit of each, in the order written.
    pub items: Vec<(Number, U)>,
    /// List or range.
    pub joined: Joined,
}

/// The unit a text starts with, and its length in bytes. The text is what follows a number,
/// spaces and a hyphen already taken off; `glued` says whether anything was taken off.
pub type UnitAt<U> = fn(text: &str, glued: Glue) -> Option<(U, usize)>;

/// Whether a unit stands directly behind its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Glue {
    /// `196cc`
    Glued,
    /// `196 cc`, `196-cc`
    Apart,
}

impl<U: Copy> Amount<U> {
    /// The values in a common unit as intervals as wide as their rounding: one per number of a
    /// list, one from end to end of a range.
    pub fn served(&self, factor: impl Fn(U) -> f64) -> Vec<Interval> {
        let values: Vec<Interval> = self
            .items
            .iter()
            .map(|(number, unit)| Interval::around(number.value, number.half_ulp).times(factor(*unit)))
            .collect();
        match (self.joined, values.as_slice()) {
            (Joined::Range, [low, high]) => vec![low.hull(high)],
            _ => values,
        }
    }
}
