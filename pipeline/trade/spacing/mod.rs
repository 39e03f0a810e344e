//! Spacings of mounting holes in text, as the bolt circle diameters they may mean.
//!
//! A figure is read beside a wording that announces it (see [`spacing_words`](super::spacing_words)), as a rectangle of
//! holes, or alone in a column of spacings. Where the wording leaves open whether the bolt
//! circle or the chord is meant both stay, and a chord without a hole count stays for three and
//! for four holes: exactly one entry of [`SpacingReading::meant`] is right.
//!
//! Written in mm, cm, inches or inch fractions; the interval is as wide as the last digit
//! written. Limits: 40 to 350 mm between holes, 30 to 300 mm for the sides of a rectangle.
//!
//! Order inside the folder, lowest first: `reading` (what comes out), `meanings` (the circles of a figure), `scan` (one
//! pass over a text); `beside` and `shapes` (a number beside a wording, rectangles and the like).

mod beside;
mod meanings;
mod reading;
mod scan;
mod shapes;

pub use reading::{Distance, SpacingReading};

use super::Context;
use super::fastener::read_fastener_in;
use super::fastener_words::{Noun, noun};
use super::hole_count::{CountedText, only_count};
use super::interval::Interval;
use super::spacing_words::{Wording, wording_at};
use super::wording::{Piece, pieces};
use scan::Scan;

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
    let counted = only_count(&text.counts);
    let mut scan = Scan {
        holes: counted.or(holes),
        holes_handed_in: counted.is_none() && holes.is_some(),
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

/// The words of a folded heading that settle which distance stands under it: "pcd", "ctr to ctr"; a diameter sign before
/// words that leave it open does so too.
pub fn settling_words(folded: &str) -> Option<&str> {
    let pieces = pieces(folded);
    let mut at = 0;
    while at < pieces.len() {
        let Some((wording, end)) = wording_at(&pieces, at) else {
            at += 1;
            continue;
        };
        let signed = |at: usize| {
            let sign = |piece: &Piece<'_>| piece.is_sign('ø') || piece.word() == Some("o");
            pieces.get(at).is_some_and(sign)
        };
        // "entraxe ø": the words say the one distance, the sign the other
        if wording == Wording::Chord && (signed(end) || at > 0 && signed(at - 1)) {
            return None;
        }
        if wording != Wording::Either {
            return folded.get(pieces[at].span.start..pieces[end - 1].span.end);
        }
        // away from a figure the sign is folded to the letter
        if at > 0 && (pieces[at - 1].is_sign('ø') || pieces[at - 1].word() == Some("o")) {
            return Some("ø");
        }
        at = end;
    }
    None
}

/// The diameter of the holes, where the text states it: an edge-to-edge distance needs it.
fn stated_hole(text: &CountedText<'_>) -> Option<Interval> {
    let edges = |at| matches!(wording_at(&text.pieces, at), Some((Wording::Edges, _)));
    (0..text.pieces.len()).any(edges).then(|| {
        read_fastener_in(text, Context::Title)
            .iter()
            .find_map(|reading| reading.hole_mm)
    })?
}

impl Scan<'_, '_> {
    /// Takes the figures of the whole text.
    fn run(&mut self) {
        let mut announced = false;
        let mut at = 0;
        while at < self.pieces.len() {
            let Some((wording, end)) = wording_at(self.pieces, at) else {
                at += 1;
                continue;
            };
            if self.context == Context::Title && self.is_cubic(at, end) {
                at = end;
                continue;
            }
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
}

#[cfg(test)]
mod tests;
