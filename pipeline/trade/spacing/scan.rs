//! One pass over a text: the numbers that are taken already, and the readings made of them.

use super::meanings::meanings;
use super::reading::SpacingReading;
use crate::trade::Context;
use crate::trade::interval::Interval;
use crate::trade::numerals::Written;
use crate::trade::spacing_words::Wording;
use crate::trade::units::LengthUnit;
use crate::trade::wording::{Measure, Piece};

/// Distances between holes that are read, mm.
pub(super) const SPACING_MM: Interval = Interval { low: 40.0, high: 350.0 };

/// A text that is being read for spacings.
pub(super) struct Scan<'p, 't> {
    pub(super) pieces: &'p [Piece<'t>],
    /// Numbers that a reading has taken.
    pub(super) used: Vec<bool>,
    pub(super) holes: Option<u8>,
    /// Whether that count is known from elsewhere and not from the text.
    pub(super) holes_handed_in: bool,
    pub(super) hole_mm: Option<Interval>,
    pub(super) context: Context,
    pub(super) readings: Vec<SpacingReading>,
}

impl Scan<'_, '_> {
    /// The lengths a number may be, mm. Without a unit it is mm from 40 on and inches as a
    /// fraction; smaller decimals of a column may be cm or inches.
    pub(super) fn lengths_mm(&self, measure: Measure, within: Interval) -> Vec<Interval> {
        let written = Interval::around(measure.number.value, measure.number.half_ulp);
        let units: &[LengthUnit] = match (measure.unit, measure.written, self.context) {
            (Some(LengthUnit::Metre), ..) => &[],
            (Some(unit), ..) => &[unit],
            (None, Written::Fraction, _) => &[LengthUnit::Inch],
            (None, Written::Decimal, Context::Column) if measure.number.value < 20.0 => {
                &[LengthUnit::Centimetre, LengthUnit::Inch]
            }
            (None, ..) => &[LengthUnit::Millimetre],
        };
        let fits = |unit: &&LengthUnit| within.contains(measure.number.value * unit.mm());
        units.iter().filter(fits).map(|unit| written.times(unit.mm())).collect()
    }

    pub(super) fn take(&mut self, place: usize, start: usize, end: usize, wording: Wording) {
        let Some(measure) = self.pieces[place].measure() else {
            return;
        };
        let lengths = self.lengths_mm(measure, SPACING_MM);
        // "steek ø 118": a spacing with a diameter sign is that of the circle; "entraxe ø 118" says both.
        let diameter = place > 0 && self.pieces[place - 1].is_sign('ø');
        let wording = match wording {
            Wording::Either if diameter => Wording::Circle,
            Wording::Chord if diameter => Wording::Either,
            wording => wording,
        };
        let (from, to) = (place.min(start), place.max(end - 1));
        self.push(from, to, place, &lengths, wording);
    }

    pub(super) fn push(&mut self, from: usize, to: usize, place: usize, lengths: &[Interval], wording: Wording) {
        let Some(first) = lengths.first() else { return };
        self.used[place] = true;
        let meant = lengths
            .iter()
            .flat_map(|length| meanings(*length, wording, self.holes, self.hole_mm))
            .collect();
        self.readings.push(SpacingReading {
            span: self.pieces[from].span.start..self.pieces[to].span.end,
            holes: self.holes,
            holes_stated: self.holes.is_some() && !self.holes_handed_in,
            written_mm: lengths.iter().fold(*first, |hull, length| hull.hull(length)),
            meant,
            rectangle: None,
        });
    }

    /// "hole distance 102 mm (c-c)": a second wording says which distance the first one meant.
    pub(super) fn refine_last(&mut self, start: usize, wording: Wording) {
        let (holes, hole_mm) = (self.holes, self.hole_mm);
        let Some(last) = self.readings.last_mut() else { return };
        let near = start.checked_sub(1).is_some_and(|place| {
            let gap = self.pieces[place].span.start.saturating_sub(last.span.end);
            gap <= 2
        });
        if near && last.rectangle.is_none() && wording != Wording::Either && last.meant.len() > 1 {
            last.meant = meanings(last.written_mm, wording, holes, hole_mm);
        }
    }
}
