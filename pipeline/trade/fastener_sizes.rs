//! The fastener hints that are sizes without a thread's name: head widths, holes, bare
//! millimetres and `6 x 28`.
//!
//! A number is looked at together with the noun beside it, before or behind; a number without
//! such a noun is no fastener, except in a column that says it is one.

use super::Context;
use super::clearances::{inch_threads_for_hole_mm, threads_for_hole_mm};
use super::fastener::{Certainty, FastenerReading, Found, count_before};
use super::fastener_words::{Noun, is_adjective, is_filler, noun};
use super::heads::threads_for_head_mm;
use super::hole_count::glued_behind_letters;
use super::interval::Interval;
use super::numerals::Written;
use super::threads::{Thread, ThreadSet};
use super::units::LengthUnit;
use super::wording::{Measure, Piece};

/// Width across flats of the screws of the table, mm.
const HEAD_MM: Interval = Interval { low: 5.0, high: 20.0 };
/// Holes for the screws of the table, mm.
const HOLE_MM: Interval = Interval { low: 3.0, high: 14.6 };
/// Bare sizes that are read as a screw, mm.
const SCREW_MM: Interval = Interval { low: 5.0, high: 15.0 };

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
    if glued_behind_letters(pieces, at) && !behind_head_word(pieces, at) {
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

fn next_is_size(pieces: &[Piece<'_>], at: usize) -> bool {
    let skip = usize::from(pieces.get(at).is_some_and(|piece| piece.is_sign('ø')));
    pieces
        .get(at + skip)
        .is_some_and(|piece| piece.measure().is_some() || piece.word() == Some("m"))
}

fn size_in_mm(measure: Measure) -> f64 {
    measure.number.value * unit_mm(measure)
}

fn unit_mm(measure: Measure) -> f64 {
    match (measure.unit, measure.written) {
        (Some(unit), _) => unit.mm(),
        (None, Written::Fraction) => LengthUnit::Inch.mm(),
        (None, _) => 1.0,
    }
}

fn is_inch(measure: Measure) -> bool {
    measure.unit == Some(LengthUnit::Inch) || measure.written == Written::Fraction
}

fn rounding(measure: Measure) -> Interval {
    // A head or a hole stated in inches is a nominal size of a standard, not a ruler's reading.
    let half_width = if is_inch(measure) { 0.0 } else { measure.number.half_ulp };
    Interval::around(measure.number.value, half_width).times(unit_mm(measure))
}

/// The noun that says what a number is, and the pieces that the two of them span.
struct Beside {
    noun: Noun,
    first: usize,
    next: usize,
}

/// Finds that noun: `6.5 mm bolt holes`, `holes Ø 6.5`, `clé de 10`.
fn noun_beside(pieces: &[Piece<'_>], at: usize, measure: Measure) -> Option<Beside> {
    let marked = measure.unit.is_some() || measure.written != Written::Whole || diameter_sign_before(pieces, at);
    let behind = noun_behind(pieces, at + 1).map(|(noun, next)| Beside { noun, first: at, next });
    let before = noun_before(pieces, at).map(|(noun, first)| Beside {
        noun,
        first,
        next: at + 1,
    });
    match (behind, before) {
        (Some(behind), _) if behind.noun == Noun::Head => Some(behind),
        (_, Some(before)) if before.noun == Noun::Head => Some(before),
        (Some(behind), _) if marked || is_er_size(pieces, at) => Some(behind),
        (_, Some(before)) if marked || asks_for_size(pieces, at) => Some(before),
        _ => None,
    }
}

/// "8er schrauben"
fn is_er_size(pieces: &[Piece<'_>], at: usize) -> bool {
    pieces
        .get(at + 1)
        .is_some_and(|piece| piece.glued && piece.word() == Some("er"))
}

/// "vis de 8", "bolt size 8": the word before the number asks for a size, not for a count.
fn asks_for_size(pieces: &[Piece<'_>], at: usize) -> bool {
    at > 0
        && pieces[at - 1]
            .word()
            .is_some_and(|word| is_filler(word) && word != "nr")
}

fn diameter_sign_before(pieces: &[Piece<'_>], at: usize) -> bool {
    at > 0 && pieces[at - 1].is_sign('ø')
}

fn noun_behind(pieces: &[Piece<'_>], from: usize) -> Option<(Noun, usize)> {
    let mut at = from;
    for _ in 0..3 {
        let piece = pieces.get(at)?;
        // Lists: the noun stands behind the last of "8 or 10 mm head".
        let word = match piece.word() {
            Some(word) => word,
            None if piece.is_sign('-') => {
                at += 1;
                continue;
            }
            None => return None,
        };
        let next_noun = pieces.get(at + 1).and_then(Piece::word).and_then(noun);
        match noun(word) {
            // "bolt hole", "hex bolt head": the last noun names the thing, but "hex bolt" is turned
            // by its hexagon.
            Some(Noun::Screw) if matches!(next_noun, Some(Noun::Hole | Noun::Head)) => at += 1,
            Some(found) => return Some((found, at + 1)),
            None if is_adjective(word) || word == "across" => at += 1,
            None => return None,
        }
    }
    None
}

fn noun_before(pieces: &[Piece<'_>], at: usize) -> Option<(Noun, usize)> {
    let mut place = at;
    for _ in 0..4 {
        place = place.checked_sub(1)?;
        let piece = &pieces[place];
        match piece.word() {
            Some(word) => match noun(word) {
                Some(found) => return Some((found, place)),
                None if is_filler(word) => {}
                None => return None,
            },
            None if [':', '=', 'ø', '(', '~', '.', '-']
                .iter()
                .any(|sign| piece.is_sign(*sign)) => {}
            None => return None,
        }
    }
    None
}

fn behind_head_word(pieces: &[Piece<'_>], at: usize) -> bool {
    at > 0 && matches!(pieces[at - 1].word(), Some("sw" | "af"))
}

/// `10 mm hex`, `SW 10`, `8 or 10 mm head`, `clé 10/13`.
fn head_reading(pieces: &[Piece<'_>], at: usize, next: usize, measure: Measure) -> Option<Found> {
    let mut sizes = vec![measure];
    let (mut first, mut end) = (at, next);
    while let Some(place) = listed_before(pieces, first) {
        sizes.extend(pieces[place].measure());
        first = place;
    }
    while let Some(place) = listed_behind(pieces, end) {
        sizes.extend(pieces[place].measure());
        end = place + 1;
    }
    let plausible = sizes.iter().filter(|size| HEAD_MM.contains(size_in_mm(**size)));
    let mut threads = ThreadSet::empty();
    let mut width: Option<Interval> = None;
    for size in plausible {
        let found = threads_for_head_mm(size_in_mm(*size));
        if found.is_empty() {
            continue;
        }
        threads = threads.union(found);
        let nominal = rounding(*size).intersection(&Interval::around(size_in_mm(*size), 0.5));
        width = width.map_or(nominal, |width| nominal.map(|nominal| width.hull(&nominal)));
    }
    width?;
    let mut reading = FastenerReading::new(pieces[first].span.start..pieces[end - 1].span.end, Certainty::High);
    reading.threads = threads;
    reading.head_af_mm = width;
    Some((Some(reading), end))
}

fn listed_before(pieces: &[Piece<'_>], first: usize) -> Option<usize> {
    let place = first.checked_sub(2)?;
    (joins(&pieces[first - 1]) && pieces[place].measure().is_some() && !glued_behind_letters(pieces, place))
        .then_some(place)
}

fn listed_behind(pieces: &[Piece<'_>], end: usize) -> Option<usize> {
    let measure = pieces.get(end + 1)?.measure()?;
    (joins(&pieces[end]) && measure.number.value <= HEAD_MM.high).then_some(end + 1)
}

fn joins(piece: &Piece<'_>) -> bool {
    piece.is_sign('/')
        || piece.is_sign('&')
        || matches!(
            piece.word(),
            Some("or" | "and" | "oder" | "und" | "ou" | "et" | "o" | "y" | "of" | "en" | "lub")
        )
}

/// `6.5 mm holes`, `3 x Ø6.6`.
fn hole_reading(pieces: &[Piece<'_>], at: usize, next: usize, measure: Measure) -> Found {
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
fn bare_reading(pieces: &[Piece<'_>], at: usize, next: usize, measure: Measure) -> Option<Found> {
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
