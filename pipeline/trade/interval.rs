//! A closed interval of real numbers: the form in which every measured or rounded figure of the
//! trade is kept.
//!
//! "118 mm" on a list is a ruler reading rounded to whole millimetres, so it is kept as
//! 117.5 to 118.5; a stated range is an interval outright. Units are those of the caller and
//! stand in the caller's names (`_mm`, `_cc`, `_kw`). Bounds are finite and ordered; the
//! constructors put them in order rather than refuse.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A closed interval `[low, high]`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Interval {
    /// Lower bound, part of the interval.
    pub low: f64,
    /// Upper bound, part of the interval.
    pub high: f64,
}

impl Interval {
    /// The interval that holds one value only.
    pub const fn exact(value: f64) -> Self {
        Interval {
            low: value,
            high: value,
        }
    }

    /// All values within `half_width` of `value`; the sign of `half_width` does not matter.
    pub fn around(value: f64, half_width: f64) -> Self {
        Interval {
            low: value - half_width.abs(),
            high: value + half_width.abs(),
        }
    }

    /// The interval between two values given in either order.
    pub fn between(a: f64, b: f64) -> Self {
        Interval {
            low: a.min(b),
            high: a.max(b),
        }
    }

    /// The middle of the interval.
    pub fn mid(&self) -> f64 {
        self.low + (self.high - self.low) / 2.0
    }

    /// The distance from the middle to either bound.
    pub fn half_width(&self) -> f64 {
        (self.high - self.low) / 2.0
    }

    /// The distance between the bounds.
    pub fn width(&self) -> f64 {
        self.high - self.low
    }

    /// Whether the two share at least one value; touching bounds count.
    pub fn overlaps(&self, other: &Interval) -> bool {
        self.low <= other.high && other.low <= self.high
    }

    /// Whether the value lies inside, bounds included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Whether the whole of `other` lies inside.
    pub fn covers(&self, other: &Interval) -> bool {
        self.low <= other.low && other.high <= self.high
    }

    /// How far apart the two are: 0 where they overlap.
    pub fn gap(&self, other: &Interval) -> f64 {
        (self.low - other.high).max(other.low - self.high).max(0.0)
    }

    /// The smallest interval that holds both.
    pub fn hull(&self, other: &Interval) -> Interval {
        Interval {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    /// What both hold, where they overlap.
    pub fn intersection(&self, other: &Interval) -> Option<Interval> {
        self.overlaps(other).then(|| Interval {
            low: self.low.max(other.low),
            high: self.high.min(other.high),
        })
    }

    /// Both bounds multiplied, as for a change of unit.
    pub fn times(&self, factor: f64) -> Interval {
        Interval::between(self.low * factor, self.high * factor)
    }

    /// Widened by `by` on each side; a negative `by` narrows, at most to the middle.
    pub fn grown(&self, by: f64) -> Interval {
        let half_width = (self.half_width() + by).max(0.0);
        Interval::around(self.mid(), half_width)
    }
}

impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.low == self.high {
            write!(f, "{}", self.low)
        } else {
            write!(f, "{}-{}", self.low, self.high)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_put_in_order() {
        assert_eq!(
            Interval::between(212.0, 163.0),
            Interval {
                low: 163.0,
                high: 212.0
            }
        );
        assert_eq!(
            Interval::around(118.0, -0.5),
            Interval {
                low: 117.5,
                high: 118.5
            }
        );
        assert_eq!(
            Interval::between(1.0, 2.0).times(-2.0),
            Interval { low: -4.0, high: -2.0 }
        );
    }

    #[test]
    fn touching_intervals_overlap_and_have_no_gap() {
        let (left, right) = (Interval::between(1.0, 2.0), Interval::between(2.0, 3.0));
        assert!(left.overlaps(&right));
        assert_eq!(left.gap(&right), 0.0);
        assert_eq!(left.intersection(&right), Some(Interval::exact(2.0)));
    }

    #[test]
    fn a_gap_is_the_same_from_both_sides() {
        let (left, right) = (Interval::between(1.0, 2.0), Interval::between(4.5, 6.0));
        assert_eq!(left.gap(&right), 2.5);
        assert_eq!(right.gap(&left), 2.5);
        assert_eq!(left.hull(&right), Interval::between(1.0, 6.0));
        assert_eq!(left.intersection(&right), None);
    }

    #[test]
    fn shrinking_stops_at_the_middle() {
        assert_eq!(Interval::between(4.0, 6.0).grown(-3.0), Interval::exact(5.0));
        assert_eq!(Interval::between(4.0, 6.0).grown(0.5), Interval::between(3.5, 6.5));
    }

    #[test]
    fn one_covers_another_only_when_the_whole_lies_inside() {
        let band = Interval::between(163.0, 212.0);
        assert!(band.covers(&band));
        assert!(band.covers(&Interval::exact(196.0)));
        assert!(!band.covers(&Interval::between(150.0, 170.0)), "reaches out below");
        assert!(!band.covers(&Interval::between(200.0, 213.0)), "reaches out above");
        assert!(!Interval::exact(196.0).covers(&band), "the other way round");
    }
}
