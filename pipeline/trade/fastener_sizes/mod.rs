//! The fastener hints that are sizes without a thread's name: head widths, holes, bare
//! millimetres and `6 x 28`.
//!
//! A number is looked at together with the noun beside it, before or behind; a number without
//! such a noun is no fastener, except in a column that says it is one.
//!
//! Order inside the folder, lowest first: `millimetres`, `noun_beside`; `heads` and `holes_and_screws` (the readings).

mod heads;
mod holes_and_screws;
mod millimetres;
mod noun_beside;

use super::Context;
use super::fastener::{Certainty, FastenerReading, Found, count_before};
use super::fastener_words::{Noun, noun};
use super::hole_count::glued_behind_letters;
use super::numerals::Written;
use super::threads::Thread;
use super::units::{PowerUnit, VolumeUnit};
use super::wording::{Measure, Piece};
use heads::{behind_head_word, head_reading};
use holes_and_screws::{HOLE_MM, bare_reading, hole_reading};
use millimetres::size_in_mm;
use noun_beside::{Beside, diameter_sign_before, noun_beside};

/// What the whole text says about every number in it.
#[derive(Clone, Copy)]
pub(super) struct Setting {
    context: Context,
    /// A screw is named somewhere.
    screws: bool,
    /// A rope is named somewhere.
    rope: bool,
}

impl Setting {
    pub(super) fn of(pieces: &[Piece<'_>], context: Context) -> Self {
        let mut setting = Setting {
            context,
            screws: false,
            rope: false,
        };
        for noun in pieces.iter().filter_map(Piece::word).filter_map(noun) {
            setting.screws |= noun == Noun::Screw;
            setting.rope |= noun == Noun::Rope;
        }
        setting
    }
}

/// Reads the size at piece `at`, if one begins there.
pub(super) fn size_reading_at(pieces: &[Piece<'_>], at: usize, setting: Setting) -> Option<Found> {
    let measure = pieces[at].measure()?;
    if glued_behind_letters(pieces, at) && !behind_head_word(pieces, at) || is_of_engine(pieces, at) {
        return None;
    }
    // `3 x 8 mm`: the count is read with the size behind it, unless it is `6 x 28`.
    if let Some(found) = thread_by_length(pieces, at, measure, setting) {
        return Some(found);
    }
    let counts_next = measure.count(2, 8).is_some()
        && pieces.get(at + 1).is_some_and(Piece::is_times)
        && next_is_size(pieces, at + 2);
    if counts_next {
        return None;
    }
    let size_mm = size_in_mm(measure);
    let Some(Beside { noun, first, next }) = noun_beside(pieces, at, measure) else {
        return counted_or_cell(pieces, at, measure, setting);
    };
    let (mut reading, next) = match noun {
        Noun::Head => head_reading(pieces, at, next, measure)?,
        Noun::Hole if HOLE_MM.contains(size_mm) => hole_reading(pieces, at, next, measure),
        Noun::Screw => bare_reading(pieces, at, next, measure)?,
        Noun::Hole | Noun::Flywheel | Noun::Rope => return None,
    };
    if let Some(reading) = &mut reading {
        reading.span.start = reading.span.start.min(pieces[first].span.start);
    }
    Some((reading, next))
}

/// `5 hole 4.5/5hp`, `3-Loch - 5,1 PS`: a number, or the list it begins, goes on with the unit of a power or a volume.
fn is_of_engine(pieces: &[Piece<'_>], at: usize) -> bool {
    let is_mark = |at: usize| {
        let marks = |piece: &Piece<'_>| piece.is_sign('/') || piece.is_sign('-');
        pieces.get(at).is_some_and(marks)
    };
    let mut next = at + 1;
    while is_mark(next) && pieces.get(next + 1).is_some_and(|piece| piece.measure().is_some()) {
        next += 2;
    }
    let unit = pieces.get(next + usize::from(is_mark(next))).and_then(Piece::word);
    unit.is_some_and(|word| PowerUnit::from_word(word).is_some() || VolumeUnit::from_word(word).is_some())
}

fn next_is_size(pieces: &[Piece<'_>], at: usize) -> bool {
    let skip = usize::from(pieces.get(at).is_some_and(|piece| piece.is_sign('ø')));
    pieces
        .get(at + skip)
        .is_some_and(|piece| piece.measure().is_some() || piece.word() == Some("m"))
}

/// Sizes that no noun explains: `3x8mm`, `3 x Ø6.5`, and the bare cell of a fastener column.
fn counted_or_cell(pieces: &[Piece<'_>], at: usize, measure: Measure, setting: Setting) -> Option<Found> {
    let start = at - usize::from(diameter_sign_before(pieces, at));
    let multiplied = start >= 2 && pieces[start - 1].is_times();
    let counted = multiplied && count_before(pieces, start).0.is_some();
    let third = pieces.get(at + 1).is_some_and(Piece::is_times);
    let in_cell = setting.context == Context::Column && !multiplied;
    if third || !(counted && !setting.rope && measure.unit.is_some() || counted && start < at || in_cell) {
        return None;
    }
    if (start < at || measure.written == Written::Decimal) && HOLE_MM.contains(size_in_mm(measure)) {
        return Some(hole_reading(pieces, at, at + 1, measure));
    }
    bare_reading(pieces, at, at + 1, measure)
}

/// `6x12`, `6 x 28`: sheets that leave the M out. Needs a screw beside it, or a column.
fn thread_by_length(pieces: &[Piece<'_>], at: usize, size: Measure, setting: Setting) -> Option<Found> {
    let length = pieces.get(at + 2)?.measure()?;
    let multiplied = pieces.get(at + 3).is_some_and(Piece::is_times) || at > 0 && pieces[at - 1].is_times();
    let whole = size.written == Written::Whole && size.unit.is_none() && length.written == Written::Whole;
    let length_mm = size_in_mm(length);
    let usual = matches!(size.number.value as u32, 5 | 6 | 8 | 10) && (10.0..=80.0).contains(&length_mm);
    if !(pieces[at + 1].is_times() && !multiplied && whole && usual && length_mm > size.number.value) {
        return None;
    }
    if !setting.screws && setting.context == Context::Title {
        return None;
    }
    let mut reading = FastenerReading::new(pieces[at].span.start..pieces[at + 2].span.end, Certainty::Medium);
    reading.threads.extend(Thread::metric_coarse(size.number.value));
    reading.length_mm = Some(length_mm);
    Some((Some(reading), at + 3))
}
