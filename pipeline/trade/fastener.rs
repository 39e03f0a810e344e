//! Fastener hints in text, read as the sets they leave open.
//!
//! | written | read as |
//! |---|---|
//! | `M6`, `M6x1.0`, `1/4-20` | the thread; a second number must be one of its pitches |
//! | `M6x12`, `6 x 28` | thread and length |
//! | `10 mm hex`, `SW10`, `clé de 10` | a head width, hence a set of threads |
//! | `6.5 mm holes`, `hole Ø 7` | the clearance hole of a thread |
//! | `8mm bolt`, `3x8mm` | ambiguous: head width or thread, both kept |
//! | `3-hole`, `3 x M6` | a count |
//!
//! Threads of flywheel nuts, cups and spark plugs (`M14x1.5`) hold no starter and are not read.
//! An ambiguous reading may lower a confidence and must never be taken for a mismatch: sellers
//! write the spanner size for the screw as often as the thread.

use super::Context;
use super::fastener_sizes::{Setting, size_reading_at};
use super::fastener_words::{Noun, noun};
use super::hole_count::{CountedText, Whereabouts, glued_behind_letters, whereabouts};
use super::interval::Interval;
use super::numerals::Written;
use super::threads::{Thread, ThreadSet};
use super::wording::Piece;
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
    /// Width across flats of the head, mm, where a head is meant; of an ambiguous reading, the
    /// width if a head is meant.
    pub head_af_mm: Option<Interval>,
    /// Diameter of the plain hole, mm.
    pub hole_mm: Option<Interval>,
    /// Number of holes or screws.
    pub count: Option<u8>,
    /// Length of the screw, mm.
    pub length_mm: Option<f64>,
    /// How much the reading leaves open. A count of holes is certain, one of screws may be that
    /// of the bag.
    pub sure: Certainty,
}

impl FastenerReading {
    /// A reading that says nothing yet.
    pub(super) fn new(span: Range<usize>, sure: Certainty) -> Self {
        FastenerReading {
            span,
            threads: ThreadSet::empty(),
            head_af_mm: None,
            hole_mm: None,
            count: None,
            length_mm: None,
            sure,
        }
    }
}

/// Finds the fastener hints of a folded text, in order of place; hints do not overlap, except
/// that a count may be stated by words that state a size too.
pub fn read_fastener(folded: &str, context: Context) -> Vec<FastenerReading> {
    read_fastener_in(&CountedText::of(folded), context)
}

/// The same in a text that is cut already.
pub fn read_fastener_in(text: &CountedText<'_>, context: Context) -> Vec<FastenerReading> {
    let pieces = text.pieces.as_slice();
    let setting = Setting::of(pieces, context);
    let mut readings = Vec::new();
    let mut at = 0;
    while at < pieces.len() {
        let found = thread_at(pieces, at)
            .or_else(|| inch_thread_at(pieces, at))
            .or_else(|| size_reading_at(pieces, at, setting));
        match found {
            Some((reading, next)) => {
                at = next.max(at + 1);
                readings.extend(reading);
            }
            None => at += 1,
        }
    }
    for count in text
        .counts
        .iter()
        .filter(|count| count.whereabouts == Whereabouts::InPart)
    {
        let said = readings
            .iter()
            .any(|reading: &FastenerReading| reading.count == Some(count.count));
        if !said {
            // Screws may be counted because they lie in the bag.
            let sure = if count.of == Noun::Hole {
                Certainty::Certain
            } else {
                Certainty::High
            };
            let mut reading = FastenerReading::new(count.span.clone(), sure);
            reading.count = Some(count.count);
            readings.push(reading);
        }
    }
    readings.sort_by_key(|reading| (reading.span.start, reading.span.end));
    readings
}

/// A reading and the piece to go on from; no reading where the pieces must be passed over.
pub(super) type Found = (Option<FastenerReading>, usize);

/// `M6`, `M6x1.0`, `M6x12`, `M6x1.0x20`, `3 x M6`.
fn thread_at(pieces: &[Piece<'_>], at: usize) -> Option<Found> {
    let size = pieces.get(at + 1)?.measure()?;
    let free = !pieces[at].glued || at == 0 || pieces[at - 1].measure().is_none();
    let written_apart = !pieces[at + 1].glued;
    if pieces[at].word() != Some("m") || !free || size.written != Written::Whole {
        return None;
    }
    // "2 m 6": a length of rope and a number.
    if written_apart && at > 0 && pieces[at - 1].measure().is_some() {
        return None;
    }
    let diameter = size.number.value;
    let mut next = at + 2;
    let mut pitch = None;
    let mut length = None;
    while let Some((second, after)) = times_number(pieces, next) {
        let listed = Thread::metric_with_pitch(diameter, Some(second)).is_some() && second < 3.0;
        if listed && pitch.is_none() && length.is_none() {
            pitch = Some(second);
        } else if (4.0..=150.0).contains(&second) && length.is_none() {
            length = Some(second);
        } else if diameter <= 12.0 {
            return Some((None, after));
        }
        next = after;
    }
    let thread = Thread::metric_with_pitch(diameter, pitch);
    if thread.is_none() || (diameter >= 10.0 && is_of_flywheel(pieces, at, next)) {
        return Some((None, next));
    }
    let sure = if length.is_some() {
        Certainty::High
    } else {
        Certainty::Certain
    };
    let (count, first) = count_before(pieces, at);
    let mut reading = FastenerReading::new(pieces[first].span.start..pieces[next - 1].span.end, sure);
    reading.threads.extend(thread);
    reading.length_mm = length;
    reading.count = count;
    Some((Some(reading), next))
}

/// `x 1.25`, `-1.25`: the value and the piece behind it.
fn times_number(pieces: &[Piece<'_>], at: usize) -> Option<(f64, usize)> {
    let joint = pieces.get(at)?;
    let measure = pieces.get(at + 1)?.measure()?;
    // "m6 - 3.7 kw" goes on with something else
    let pitch_dash = joint.is_sign('-') && joint.glued && measure.written == Written::Decimal;
    (joint.is_times() || pitch_dash).then_some((measure.number.value, at + 2))
}

/// Count in front of a thread or size, `3 x M6` or `3 M6`, and the first piece of the reading.
pub(super) fn count_before(pieces: &[Piece<'_>], at: usize) -> (Option<u8>, usize) {
    // the 4 of "sv118-4 m6" ends a code
    let ends_code = |place: usize| {
        let marked = place > 0 && (pieces[place - 1].is_sign('-') || pieces[place - 1].is_sign('/'));
        marked && pieces[place].glued && pieces[place - 1].glued
    };
    let counted = |place: usize| {
        (!glued_behind_letters(pieces, place) && !ends_code(place))
            .then(|| pieces[place].measure()?.count(2, 8))
            .flatten()
    };
    let first = if at >= 2 && pieces[at - 1].is_times() {
        at - 2
    } else {
        at.saturating_sub(1)
    };
    match (first < at).then(|| counted(first)).flatten() {
        // "Incl. 3 x M6 bolts" counts those of the bag.
        Some(_) if whereabouts(pieces, first, at) == Whereabouts::InBag => (None, first),
        Some(count) => (Some(count), first),
        None => (None, at),
    }
}

/// Whether a word within three pieces says that the thread is the flywheel's.
fn is_of_flywheel(pieces: &[Piece<'_>], from: usize, to: usize) -> bool {
    let near = &pieces[from.saturating_sub(3)..(to + 3).min(pieces.len())];
    near.iter()
        .filter_map(Piece::word)
        .any(|word| noun(word) == Some(Noun::Flywheel))
}

/// `1/4-20`, `5/16"-18 UNC`, `1/4 x 20`; the threads per inch must be those of the table.
fn inch_thread_at(pieces: &[Piece<'_>], at: usize) -> Option<Found> {
    let size = pieces[at].measure()?;
    if size.written != Written::Fraction {
        return None;
    }
    let joint = pieces.get(at + 1)?;
    let next = if joint.is_sign('-') || joint.is_times() {
        at + 2
    } else {
        at + 1
    };
    let tpi = pieces.get(next)?.measure()?;
    if tpi.written != Written::Whole || tpi.unit.is_some() {
        return None;
    }
    let thread = Thread::inch_with_tpi(size.number.value, tpi.number.value)?;
    let (count, first) = count_before(pieces, at);
    let mut reading = FastenerReading::new(pieces[first].span.start..pieces[next].span.end, Certainty::Certain);
    reading.threads.insert(thread);
    reading.count = count;
    Some((Some(reading), next + 1))
}

#[cfg(test)]
#[path = "fastener_tests.rs"]
mod tests;
