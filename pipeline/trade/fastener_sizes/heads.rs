//! Widths across flats: one, or a list of them that shares its noun.

use super::millimetres::{rounding, size_in_mm};
use crate::trade::fastener::{Certainty, FastenerReading, Found};
use crate::trade::heads::threads_for_head_mm;
use crate::trade::hole_count::glued_behind_letters;
use crate::trade::interval::Interval;
use crate::trade::threads::ThreadSet;
use crate::trade::wording::{Measure, Piece};

/// Width across flats of the screws of the table, mm.
const HEAD_MM: Interval = Interval { low: 5.0, high: 20.0 };

/// `SW10`, `AF 10`
pub(super) fn behind_head_word(pieces: &[Piece<'_>], at: usize) -> bool {
    at > 0 && matches!(pieces[at - 1].word(), Some("sw" | "af"))
}

/// `10 mm hex`, `SW 10`, `8 or 10 mm head`, `clé 10/13`.
pub(super) fn head_reading(pieces: &[Piece<'_>], at: usize, next: usize, measure: Measure) -> Option<Found> {
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
