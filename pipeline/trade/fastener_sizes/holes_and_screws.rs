//! Holes, and bare sizes of screws that may be a head or a thread.

use super::millimetres::{is_inch, rounding, size_in_mm};
use super::noun_beside::diameter_sign_before;
use crate::trade::clearances::{inch_threads_for_hole_mm, threads_for_hole_mm};
use crate::trade::fastener::{Certainty, FastenerReading, Found, count_before};
use crate::trade::heads::threads_for_head_mm;
use crate::trade::interval::Interval;
use crate::trade::threads::{Thread, ThreadSet};
use crate::trade::wording::{Measure, Piece};

/// Holes for the screws of the table, mm.
pub(super) const HOLE_MM: Interval = Interval { low: 3.0, high: 14.6 };
/// Bare sizes that are read as a screw, mm.
const SCREW_MM: Interval = Interval { low: 5.0, high: 15.0 };

/// `6.5 mm holes`, `3 x Ø6.6`.
pub(super) fn hole_reading(pieces: &[Piece<'_>], at: usize, next: usize, measure: Measure) -> Found {
    let start = at - usize::from(diameter_sign_before(pieces, at));
    let (count, first) = count_before(pieces, start);
    let mut reading = FastenerReading::new(pieces[first].span.start..pieces[next - 1].span.end, Certainty::High);
    let size_mm = size_in_mm(measure);
    reading.threads = if is_inch(measure) {
        inch_threads_for_hole_mm(size_mm)
    } else {
        threads_for_hole_mm(size_mm)
    };
    reading.hole_mm = Some(rounding(measure));
    reading.count = count;
    (Some(reading), next)
}

/// A size of a screw that says neither head nor thread: both kept.
pub(super) fn bare_reading(pieces: &[Piece<'_>], at: usize, next: usize, measure: Measure) -> Option<Found> {
    let size_mm = size_in_mm(measure);
    if !SCREW_MM.contains(size_mm) && !is_inch(measure) {
        return None;
    }
    let as_head = threads_for_head_mm(size_mm);
    let as_thread: ThreadSet = if is_inch(measure) {
        Thread::ALL
            .into_iter()
            .filter(|thread| thread.is_inch() && (thread.diameter_mm() - size_mm).abs() < 0.01)
            .collect()
    } else {
        Thread::metric_coarse(size_mm).into_iter().collect()
    };
    let sure = match (as_head.is_empty(), as_thread.is_empty()) {
        (true, true) => return None,
        (false, false) => Certainty::Ambiguous,
        _ => Certainty::Medium,
    };
    let (count, first) = count_before(pieces, at);
    let mut reading = FastenerReading::new(pieces[first].span.start..pieces[next - 1].span.end, sure);
    reading.threads = as_head.union(as_thread);
    reading.head_af_mm = (!as_head.is_empty()).then(|| Interval::exact(size_mm));
    reading.count = count;
    Some((Some(reading), next))
}
