//! Stub.
use super::interval::Interval;

/// A size class of the industrial horizontal-shaft family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SizeClass {
    /// 79-99 cc
    Mini,
    /// 120-223 cc
    Small,
    /// 240-301 cc
    Medium,
    /// 337-460 cc
    Large,
    /// From about 480 cc, two cylinders
    Twin,
}

/// A set of size classes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct ClassSet(u8);

/// Classes of a displacement.
pub fn class_of_cc(_cc: Interval) -> ClassSet {
    ClassSet(0)
}

/// Class of a code stem.
pub fn class_of_code(_stem: &str) -> Option<SizeClass> {
    None
}

/// Classes of a power.
pub fn class_of_power(_kw: Interval) -> ClassSet {
    ClassSet(0)
}
