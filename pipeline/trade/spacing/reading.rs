//! What is read of a spacing: the figure, and every bolt circle that it may mean.

use crate::trade::interval::Interval;
use std::ops::Range;

/// Which distance a spacing figure was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Distance {
    /// Diameter of the circle through the hole centres.
    BoltCircle,
    /// Distance between the centres of neighbouring holes.
    Chord,
    /// Sides of a rectangle of holes.
    Rectangle,
    /// Distance between the edges of neighbouring holes.
    EdgeToEdge,
}

/// A spacing found in text.
#[derive(Debug, Clone, PartialEq)]
pub struct SpacingReading {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Hole count stated in the text or handed in; four for a rectangle.
    pub holes: Option<u8>,
    /// Whether the text itself states that count.
    pub holes_stated: bool,
    /// The figure as written, mm; the diagonal of a rectangle.
    pub written_mm: Interval,
    /// Everything it may mean, as bolt circle diameter, mm; exactly one is right.
    pub meant: Vec<(Distance, Interval)>,
    /// Sides of a rectangle, mm, longer first.
    pub rectangle: Option<(f64, f64)>,
}
