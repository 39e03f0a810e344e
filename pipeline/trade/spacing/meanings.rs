//! The bolt circles that a figure of a given wording may mean.

use super::reading::Distance;
use crate::trade::bolt_pattern::circle_from_chord;
use crate::trade::interval::Interval;
use crate::trade::spacing_words::Wording;

/// Hole diameters taken where an edge-to-edge distance comes without one, mm: from the medium
/// hole for M5 to that for M8 (ISO 273).
const USUAL_HOLE_MM: Interval = Interval { low: 5.5, high: 9.0 };
/// Hole counts a chord is kept for where none is stated.
const USUAL_COUNTS: [u8; 2] = [3, 4];

/// The bolt circles that a figure may mean, mm.
pub(super) fn meanings(
    length: Interval,
    wording: Wording,
    holes: Option<u8>,
    hole_mm: Option<Interval>,
) -> Vec<(Distance, Interval)> {
    let chord = |kind: Distance, of: Interval| {
        let counts: &[u8] = holes.as_ref().map_or(&USUAL_COUNTS, std::slice::from_ref);
        counts
            .iter()
            .map(move |count| (kind, of.times(circle_from_chord(*count, 1.0))))
            .collect::<Vec<_>>()
    };
    match wording {
        Wording::Circle => vec![(Distance::BoltCircle, length)],
        Wording::Chord => chord(Distance::Chord, length),
        Wording::Either if holes == Some(2) => vec![(Distance::BoltCircle, length)],
        Wording::Either => {
            let mut meant = vec![(Distance::BoltCircle, length)];
            meant.extend(chord(Distance::Chord, length));
            meant
        }
        Wording::Edges => {
            let hole = hole_mm.unwrap_or(USUAL_HOLE_MM);
            chord(
                Distance::EdgeToEdge,
                Interval::between(length.low + hole.low, length.high + hole.high),
            )
        }
    }
}
