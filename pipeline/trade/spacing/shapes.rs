//! Spacings that are more than one figure beside a wording: rectangles, three distances, and the
//! cell of a column that holds nothing else.

use super::reading::{Distance, SpacingReading};
use super::scan::{SPACING_MM, Scan};
use crate::trade::bolt_pattern::{circle_from_triangle, rectangle_diagonal};
use crate::trade::interval::Interval;
use crate::trade::spacing_words::Wording;
use crate::trade::wording::{Measure, Piece};

/// Sides of a rectangle of holes, mm.
const SIDE_MM: Interval = Interval { low: 30.0, high: 300.0 };

impl Scan<'_, '_> {
    /// Three distances behind a wording: `hole distances 96.7/104.7/104.7 mm`.
    pub(super) fn take_triangle(&mut self, start: usize, end: usize) -> bool {
        let skip = usize::from(self.pieces.get(end).is_some_and(|piece| piece.is_sign(':')));
        let first = end + skip;
        let mut sides = Vec::with_capacity(3);
        for place in [first, first + 2, first + 4] {
            let joined = place == first || self.pieces.get(place - 1).is_some_and(|piece| piece.is_sign('/'));
            let measure = self.pieces.get(place).and_then(Piece::measure);
            let (true, Some(measure)) = (joined, measure) else {
                return false;
            };
            sides.push(measure);
        }
        let unit = sides[2].unit;
        let lengths: Vec<Interval> = sides
            .iter()
            .filter_map(|side| {
                self.lengths_mm(
                    Measure {
                        unit: side.unit.or(unit),
                        ..*side
                    },
                    SPACING_MM,
                )
                .first()
                .copied()
            })
            .collect();
        let &[a, b, c] = lengths.as_slice() else { return false };
        let corners = [
            (a.low, b.low, c.low),
            (a.high, b.high, c.high),
            (a.low, b.high, c.high),
            (a.high, b.low, c.low),
            (a.high, b.low, c.high),
            (a.low, b.high, c.low),
            (a.high, b.high, c.low),
            (a.low, b.low, c.high),
        ];
        let circles: Vec<f64> = corners
            .into_iter()
            .filter_map(|(a, b, c)| circle_from_triangle(a, b, c))
            .collect();
        let Some(circle) = circles
            .iter()
            .map(|d| Interval::exact(*d))
            .reduce(|hull, d| hull.hull(&d))
        else {
            return false;
        };
        self.used[first] = true;
        self.readings.push(SpacingReading {
            span: self.pieces[start].span.start..self.pieces[first + 4].span.end,
            holes: Some(3),
            holes_stated: true,
            written_mm: circle,
            meant: vec![(Distance::Chord, circle)],
            rectangle: None,
        });
        true
    }

    pub(super) fn take_rectangle_behind(&mut self, start: usize, end: usize) -> bool {
        let skip = self.pieces[end..]
            .iter()
            .take(2)
            .take_while(|piece| piece.measure().is_none())
            .count();
        self.take_rectangle(end + skip, start)
    }

    pub(super) fn take_any_rectangle(&mut self) {
        for at in 0..self.pieces.len() {
            if self.take_rectangle(at, at) {
                return;
            }
        }
    }

    /// `70x52`, `70 x 52 mm`: two sides and no third.
    fn take_rectangle(&mut self, at: usize, start: usize) -> bool {
        let Some(second) = self.pieces.get(at + 2).and_then(Piece::measure) else {
            return false;
        };
        let Some(first) = self.pieces[at].measure() else {
            return false;
        };
        let third = self.pieces.get(at + 3).is_some_and(Piece::is_times) || (at > 0 && self.pieces[at - 1].is_times());
        if !self.pieces[at + 1].is_times() || third || self.used[at] || self.holes.is_some_and(|holes| holes != 4) {
            return false;
        }
        let first = Measure {
            unit: first.unit.or(second.unit),
            ..first
        };
        let side = |measure: Measure| self.lengths_mm(measure, SIDE_MM).first().copied();
        let (Some(a), Some(b)) = (side(first), side(second)) else {
            return false;
        };
        self.used[at] = true;
        self.used[at + 2] = true;
        let diagonal = Interval::between(rectangle_diagonal(a.low, b.low), rectangle_diagonal(a.high, b.high));
        self.readings.push(SpacingReading {
            span: self.pieces[start.min(at)].span.start..self.pieces[at + 2].span.end,
            holes: Some(4),
            holes_stated: true,
            written_mm: diagonal,
            meant: vec![(Distance::Rectangle, diagonal)],
            rectangle: Some((a.mid().max(b.mid()), a.mid().min(b.mid()))),
        });
        true
    }

    /// A column's cell without words: `118`, `3 x 102`, `4 1/8`.
    pub(super) fn take_bare_cell(&mut self) {
        let mut counted_at = None;
        for at in 0..self.pieces.len() {
            let Some(measure) = self.pieces[at].measure() else {
                continue;
            };
            if let (Some(count), true) = (
                measure.count(2, 8),
                self.pieces.get(at + 1).is_some_and(Piece::is_times),
            ) {
                self.holes = self.holes.or(Some(count));
                counted_at = counted_at.or(Some(at));
                continue;
            }
            let diameter = at > 0 && self.pieces[at - 1].is_sign('ø');
            let lengths = self.lengths_mm(measure, SPACING_MM);
            if !lengths.is_empty() {
                let wording = if diameter { Wording::Circle } else { Wording::Either };
                let from = counted_at.unwrap_or(at - usize::from(diameter));
                self.push(from, at, at, &lengths, wording);
                return;
            }
        }
    }
}
