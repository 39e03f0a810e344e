//! Where the holes of a pattern stand on the sheet, in millimetres of paper.
//!
//! The drawing is [`WIDE_MM`] by [`HIGH_MM`], which goes on A4 and on Letter inside margins of 12 mm. A
//! pattern is turned so that its holes fit; the rest of its circle may run out of the drawing. Where not
//! all holes fit, two neighbours do the same service, if need be from corner to corner: holes spaced evenly
//! are checked pair by pair, the sheet being turned. Nothing is ever drawn smaller than it is.

use std::f64::consts::{PI, TAU};

use crate::trade::bolt_pattern::chord_from_circle;

/// Width of the drawing: A4 less its margins.
pub const WIDE_MM: f64 = 186.0;
/// Height of the drawing, scale bars included: Letter less its margins and the head of the sheet.
pub const HIGH_MM: f64 = 196.0;
/// Left of this and below [`FLOOR_MM`] stand the scale bars.
pub const LEFT_MM: f64 = 5.0;
/// Lower edge of the room for the pattern.
pub const FLOOR_MM: f64 = 178.0;

/// How much of the pattern is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drawn {
    /// every hole
    Whole,
    /// two neighbouring holes
    Neighbours,
}

/// A pattern on the sheet; places in millimetres from the upper left corner of the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// How much of it.
    pub drawn: Drawn,
    /// Centre of the bolt circle; it may lie outside the drawing.
    pub centre: (f64, f64),
    /// Centres of the holes, neighbours one after the other.
    pub holes: Vec<(f64, f64)>,
}

/// Places so many holes of a diameter, evenly spaced on a circle. Nothing when not even two neighbours fit.
/// Without a count (0) the circle stands alone.
pub fn place(holes: u8, circle_mm: f64, hole_mm: f64) -> Option<Placed> {
    // One hole upwards; if that is too large, a flat side upwards.
    let turns = [-PI / 2.0, -PI / 2.0 + PI / f64::from(holes.max(1))];
    let whole = turns
        .into_iter()
        .find_map(|turn| centred(&around(holes, circle_mm / 2.0, turn), circle_mm, hole_mm));
    whole.or_else(|| neighbours(holes, circle_mm, hole_mm))
}

/// Holes around the origin, clockwise.
fn around(holes: u8, radius_mm: f64, turn: f64) -> Vec<(f64, f64)> {
    let place = |hole: u8| {
        let angle = turn + TAU * f64::from(hole) / f64::from(holes);
        (radius_mm * angle.cos(), radius_mm * angle.sin())
    };
    (0..holes).map(place).collect()
}

fn centred(holes: &[(f64, f64)], circle_mm: f64, hole_mm: f64) -> Option<Placed> {
    let ends = |of: fn(&(f64, f64)) -> f64| {
        let values = holes.iter().map(of);
        let span = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        if holes.is_empty() {
            (-circle_mm / 2.0, circle_mm / 2.0)
        } else {
            span
        }
    };
    let ((left, right), (top, bottom)) = (ends(|hole| hole.0), ends(|hole| hole.1));
    let fits = right - left + hole_mm <= WIDE_MM - LEFT_MM && bottom - top + hole_mm <= FLOOR_MM;
    let centre = (
        (LEFT_MM + WIDE_MM) / 2.0 - (left + right) / 2.0,
        FLOOR_MM / 2.0 - (top + bottom) / 2.0,
    );
    fits.then(|| Placed {
        drawn: Drawn::Whole,
        centre,
        holes: holes.iter().map(|(x, y)| (centre.0 + x, centre.1 + y)).collect(),
    })
}

/// The first two holes, side by side near the upper edge with the centre of the circle below them; from corner to
/// corner where they stand too far apart for that.
fn neighbours(holes: u8, circle_mm: f64, hole_mm: f64) -> Option<Placed> {
    const FROM_TOP_MM: f64 = 45.0;
    if holes < 2 {
        return None;
    }
    let chord_mm = chord_from_circle(holes, circle_mm);
    let (wide_mm, high_mm) = (WIDE_MM - LEFT_MM - hole_mm, FLOOR_MM - hole_mm);
    let (turn, from_top_mm) = if chord_mm <= wide_mm {
        (0.0, FROM_TOP_MM)
    } else if chord_mm <= wide_mm.hypot(high_mm) {
        (high_mm.atan2(wide_mm), FLOOR_MM / 2.0)
    } else {
        return None;
    };
    let (along_x, along_y) = (turn.cos(), turn.sin());
    let (middle_x, middle_y) = ((LEFT_MM + WIDE_MM) / 2.0, from_top_mm);
    let hole = |way: f64| (middle_x + way * along_x, middle_y + way * along_y);
    let to_centre_mm = (circle_mm * circle_mm - chord_mm * chord_mm).max(0.0).sqrt() / 2.0;
    Some(Placed {
        drawn: Drawn::Neighbours,
        centre: (middle_x - to_centre_mm * along_y, middle_y + to_centre_mm * along_x),
        holes: vec![hole(-chord_mm / 2.0), hole(chord_mm / 2.0)],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn apart((ax, ay): (f64, f64), (bx, by): (f64, f64)) -> f64 {
        (ax - bx).hypot(ay - by)
    }

    #[test]
    fn neighbours_stand_a_chord_apart_however_the_pattern_is_turned() {
        // s = D sin(pi / n), computed: 3 on 118, 198 and 240, 4 on 140 and 239, 6 on 280.
        for (holes, circle_mm, chord_mm) in [
            (3, 118.0, 102.191),
            (3, 198.0, 171.473),
            (4, 140.0, 98.995),
            (4, 239.0, 168.999),
            (6, 280.0, 140.0),
            (3, 240.0, 207.846),
        ] {
            let placed = place(holes, circle_mm, 6.6).unwrap();
            let (a, b) = (placed.holes[0], placed.holes[1]);
            assert!(
                (apart(a, b) - chord_mm).abs() < 0.001,
                "{holes} on {circle_mm}: {placed:?}"
            );
            for hole in &placed.holes {
                assert!((apart(*hole, placed.centre) - circle_mm / 2.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn every_hole_lies_inside_the_room_for_it() {
        for holes in 2..=8 {
            for circle_mm in (40..=300).map(f64::from) {
                let Some(placed) = place(holes, circle_mm, 9.0) else {
                    continue;
                };
                for (x, y) in placed.holes {
                    assert!(
                        (LEFT_MM + 4.499..=WIDE_MM - 4.499).contains(&x) && (4.499..=FLOOR_MM - 4.499).contains(&y)
                    );
                }
            }
        }
    }

    #[test]
    fn what_is_too_large_is_drawn_by_its_neighbours_or_not_at_all() {
        assert_eq!(place(3, 118.0, 6.6).unwrap().drawn, Drawn::Whole);
        assert_eq!(place(6, 280.0, 9.0).unwrap().drawn, Drawn::Neighbours);
        assert_eq!(place(3, 240.0, 6.6).unwrap().drawn, Drawn::Neighbours);
        assert_eq!(place(3, 300.0, 6.6), None);
        assert!(place(0, 118.0, 6.6).unwrap().holes.is_empty());
    }
}
