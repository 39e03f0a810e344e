//! Stub.
use super::Context;
use super::interval::Interval;
use super::threads::ThreadSet;
use std::ops::Range;

/// How much a reading leaves open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Certainty {
    /// Several meanings; the threads are a set of candidates and never disprove a fit.
    Ambiguous,
    /// Probably meant so.
    Medium,
    /// Almost surely meant so.
    High,
    /// Says so outright.
    Certain,
}

/// A fastener hint found in text.
#[derive(Debug, Clone, PartialEq)]
pub struct FastenerReading {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Threads that may be meant; empty where the hint says nothing of the thread.
    pub threads: ThreadSet,
    /// Width across flats of the head, mm, where a head is or may be meant.
    pub head_af_mm: Option<Interval>,
    /// Diameter of the plain hole, mm.
    pub hole_mm: Option<Interval>,
    /// Number of holes or screws.
    pub count: Option<u8>,
    /// Length of the screw, mm.
    pub length_mm: Option<f64>,
    /// How much the reading leaves open.
    pub sure: Certainty,
}

/// Finds fastener hints.
pub fn read_fastener(_folded: &str, _context: Context) -> Vec<FastenerReading> {
    Vec::new()
}
