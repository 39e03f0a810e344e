//! Spacings of mounting holes in text, as the bolt circle diameters they may mean.
//!
//! A figure is read beside a wording that announces it (see `spacing_words`), as a rectangle of
//! holes, or alone in a column of spacings. Where the wording leaves open whether the bolt
//! circle or the chord is meant both stay, and a chord without a hole count stays for three and
//! for four holes: exactly one entry of [`SpacingReading::meant`] is right.
//!
//! Written in mm, cm, inches or inch fractions; the interval is as wide as the last digit
//! written. Limits: 40 to 350 mm between holes, 30 to 300 mm for the sides of a rectangle.

use super::Context;
use super::bolt_pattern::circle_from_chord;
use super::fastener_words::{Noun, is_adjective, is_filler, noun};
use super::hole_count::{CountedText, only_count};
use super::interval::Interval;
use super::numerals::Written;
use super::spacing_words::{Wording, wording_at};
use super::units::LengthUnit;
use super::wording::{Measure, Piece, goes_on_with_unit};
use std::ops::Range;

/// Which distance a spacing figure was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Distance {
    /// Diameter of the circle through the hole centres.
    BoltCircle,
    /// Distance between the centres of neighbouring holes.
    Chord,
    /// Sides of a rectangle of holes.
    Rectangle,
    /// Distance between the edges of neighbouring holes.
    EdgeToEdge,
}

/// A spacing found in text.
#[derive(Debug, Clone, PartialEq)]
pub struct SpacingReading {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Hole count stated in the text or handed in; four for a rectangle.
    pub holes: Option<u8>,
    /// The figure as written, mm; the diagonal of a rectangle.
    pub written_mm: Interval,
    /// Everything it may mean, as bolt circle diameter, mm; exactly one is right.
    pub meant: Vec<(Distance, Interval)>,
    /// Sides of a rectangle, mm, longer first.
    pub rectangle: Option<(f64, f64)>,
}

/// Distances between holes that are read, mm.
pub(super) const SPACING_MM: Interval = Interval { low: 40.0, high: 350.0 };
/// Hole diameters taken where an edge-to-edge distance comes without one, mm: from the medium
/// hole for M5 to that for M8 (ISO 273).
const USUAL_HOLE_MM: Interval = Interval { low: 5.5, high: 9.0 };
/// Hole counts a chord is kept for where none is stated.
const USUAL_COUNTS: [u8; 2] = [3, 4];

/// Finds the spacings of a folded text, in order. `holes` is the count known from elsewhere; a
/// count in the text wins.
pub fn read_spacing(folded: &str, holes: Option<u8>, context: Context) -> Vec<SpacingReading> {
    read_spacing_in(&CountedText::of(folded), holes, context)
}

/// The same in a text that is cut already.
pub fn read_spacing_in(text: &CountedText<'_>, holes: Option<u8>, context: Context) -> Vec<SpacingReading> {
    if !text.folded.bytes().any(|byte| byte.is_ascii_digit()) {
        return Vec::new();
    }
    let mut scan = Scan {
        holes: only_count(&text.counts).or(holes),
        hole_mm: stated_hole(text),
        used: vec![false; text.pieces.len()],
        pieces: &text.pieces,
        readings: Vec::new(),
        context,
    };
    scan.run();
    let mut readings = scan.readings;
    readings.sort_by_key(|reading| reading.span.start);
    readings
}

/// The diameter of the holes, where the text states it: an edge-to-edge distance needs it.
fn stated_hole(text: &CountedText<'_>) -> Option<Interval> {
    let edges = |at| matches!(wording_at(&text.pieces, at), Some((Wording::Edges, _)));
    (0..text.pieces.len()).any(edges).then(|| {
        super::fastener::read_fastener_in(text, Context::Title)
            .iter()
            .find_map(|reading| reading.hole_mm)
    })?
}

/// Words for depth and height, folded, with a figure behind them.
const DEPTH_WORDS: [&str; 26] = [
    "depth",
    "height",
    "tiefe",
    "hohe",
    "bauhohe",
    "profondeur",
    "hauteur",
    "prof",
    "haut",
    "profundidad",
    "altura",
    "fondo",
    "profondita",
    "altezza",
    "diepte",
    "hoogte",
    "glebokosc",
    "wysokosc",
    "wys",
    "hloubka",
    "vyska",
    "djup",
    "hojd",
    "dybde",
    "profundidade",
    "высота",
];

pub(super) struct Scan<'p, 't> {
    pub(super) pieces: &'p [Piece<'t>],
    /// Numbers that a reading has taken.
    pub(super) used: Vec<bool>,
    pub(super) holes: Option<u8>,
    hole_mm: Option<Interval>,
    pub(super) context: Context,
    pub(super) readings: Vec<SpacingReading>,
}

impl Scan<'_, '_> {
    fn run(&mut self) {
        let mut announced = false;
        let mut at = 0;
        while at < self.pieces.len() {
            let Some((wording, end)) = wording_at(self.pieces, at) else {
                at += 1;
                continue;
            };
            announced = true;
            if !self.take_triangle(at, end) && !self.take_rectangle_behind(at, end) {
                match self.number_beside(at, end) {
                    Some(place) => self.take(place, at, end, wording),
                    None => self.refine_last(at, wording),
                }
            }
            at = end;
        }
        let holes_named = || {
            self.pieces
                .iter()
                .filter_map(Piece::word)
                .any(|word| noun(word) == Some(Noun::Hole))
        };
        if self.readings.is_empty() && (announced || self.context == Context::Column || holes_named()) {
            self.take_any_rectangle();
        }
        if self.readings.is_empty() && self.context == Context::Column {
            self.take_bare_cell();
        }
    }

    /// The unused spacing figure beside the wording at pieces `start..end`.
    fn number_beside(&mut self, start: usize, end: usize) -> Option<usize> {
        let before = self.number_before(start);
        let (behind, marked) = self.number_behind(end);
        match (before, behind) {
            (Some(before), Some(behind)) => {
                let before_has_unit = self.pieces[before].measure().is_some_and(|m| m.unit.is_some());
                Some(if marked || !before_has_unit || self.closes(behind) {
                    behind
                } else {
                    before
                })
            }
            (before, behind) => before.or(behind),
        }
    }

    fn number_before(&self, start: usize) -> Option<usize> {
        let mut place = start;
        for _ in 0..3 {
            place = place.checked_sub(1)?;
            let piece = &self.pieces[place];
            if piece.measure().is_some() {
                return (self.is_free_spacing(place) && !self.is_depth(place)).then_some(place);
            }
            let passes = match piece.word() {
                Some(word) => is_filler(word) || is_adjective(word) || matches!(word, "hole" | "holes" | "distance"),
                None => piece.is_sign('(') || piece.is_sign('-') || piece.is_sign('ø'),
            };
            if !passes {
                return None;
            }
        }
        None
    }

    /// The figure behind a wording, and whether a colon or equals sign ties it there.
    fn number_behind(&mut self, end: usize) -> (Option<usize>, bool) {
        let mut marked = false;
        let mut at = end;
        for _ in 0..7 {
            let Some(piece) = self.pieces.get(at) else { break };
            if let Some(measure) = piece.measure() {
                if self.is_free_spacing(at) {
                    return (Some(at), marked);
                }
                let count = measure.count(2, 8);
                let counts = self.pieces.get(at + 1).is_some_and(Piece::is_times) || self.is_hole_noun(at + 1);
                if count.is_none() || !counts {
                    break;
                }
                self.holes = self.holes.or(count);
                at += 2;
                continue;
            }
            marked |= piece.is_sign(':') || piece.is_sign('=');
            let passes = match piece.word() {
                Some(word) => {
                    is_filler(word)
                        || is_adjective(word)
                        || noun(word) == Some(Noun::Hole)
                        || noun(word) == Some(Noun::Screw)
                        || matches!(
                            word,
                            "mm" | "distance"
                                | "spacing"
                                | "between"
                                | "measured"
                                | "otworow"
                                | "mocowania"
                                | "den"
                                | "the"
                                | "les"
                                | "los"
                                | "i"
                                | "der"
                                | "fixation"
                                | "montage"
                        )
                        || wording_at(self.pieces, at).is_some()
                }
                None => [':', '=', '(', ')', '~', 'ø', '.', '-', '≈']
                    .iter()
                    .any(|sign| piece.is_sign(*sign)),
            };
            if !passes {
                break;
            }
            at += 1;
        }
        (None, marked)
    }

    /// "depth 54 mm, hole distance 71": the figure before belongs to the depth.
    fn is_depth(&self, place: usize) -> bool {
        let before = self.pieces[..place].iter().rev().take(2);
        before.filter_map(Piece::word).any(|word| DEPTH_WORDS.contains(&word))
    }

    fn is_hole_noun(&self, at: usize) -> bool {
        let word = self.pieces.get(at).and_then(Piece::word);
        word.and_then(noun)
            .is_some_and(|noun| matches!(noun, Noun::Hole | Noun::Screw))
    }

    fn is_free_spacing(&self, at: usize) -> bool {
        let code = super::hole_count::glued_behind_letters(self.pieces, at);
        let sides = self.pieces.get(at + 1).is_some_and(Piece::is_times);
        let measure = self.pieces[at].measure();
        !self.used[at]
            && !code
            && !sides
            && !self.has_another_unit(at)
            && measure.is_some_and(|m| !self.lengths_mm(m, SPACING_MM).is_empty())
    }

    /// "168f", "196 cc": the number goes on as a code or in a unit that is no length.
    fn has_another_unit(&self, at: usize) -> bool {
        let unitless = self.pieces[at].measure().is_some_and(|measure| measure.unit.is_none());
        let Some((piece, word)) = self.pieces.get(at + 1).and_then(|piece| Some((piece, piece.word()?))) else {
            return false;
        };
        unitless && (word.is_ascii() && piece.glued || word == "f" || goes_on_with_unit(word))
    }

    /// Whether nothing that could be its own label follows the number.
    fn closes(&self, at: usize) -> bool {
        let goes_on = self.pieces.get(at + 2).is_some_and(|piece| piece.measure().is_some());
        match self.pieces.get(at + 1) {
            None => true,
            // "190/206 cc" is a list of something else
            Some(piece) if piece.is_sign('/') && goes_on => false,
            Some(piece) if [',', ';', ')', '/', '|', '.'].iter().any(|sign| piece.is_sign(*sign)) => true,
            Some(_) => wording_at(self.pieces, at + 1).is_some(),
        }
    }

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

    fn take(&mut self, place: usize, start: usize, end: usize, wording: Wording) {
        let Some(measure) = self.pieces[place].measure() else {
            return;
        };
        let lengths = self.lengths_mm(measure, SPACING_MM);
        // "steek ø 118": a spacing with a diameter sign is that of the circle.
        let diameter = place > 0 && self.pieces[place - 1].is_sign('ø');
        let wording = if diameter && wording == Wording::Either {
            Wording::Circle
        } else {
            wording
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
            written_mm: lengths.iter().fold(*first, |hull, length| hull.hull(length)),
            meant,
            rectangle: None,
        });
    }

    /// "hole distance 102 mm (c-c)": a second wording says which distance the first one meant.
    fn refine_last(&mut self, start: usize, wording: Wording) {
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

/// The bolt circles that a figure may mean, mm.
fn meanings(
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

#[cfg(test)]
#[path = "spacing_tests.rs"]
mod tests;
