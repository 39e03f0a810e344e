//! Which of the numbers around a wording is the one that it speaks of.

use super::scan::{SPACING_MM, Scan};
use crate::trade::fastener_words::{Noun, is_adjective, is_filler, noun};
use crate::trade::hole_count::glued_behind_letters;
use crate::trade::spacing_words::wording_at;
use crate::trade::wording::{Piece, goes_on_with_unit};

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

impl Scan<'_, '_> {
    /// The unused spacing figure beside the wording at pieces `start..end`.
    pub(super) fn number_beside(&mut self, start: usize, end: usize) -> Option<usize> {
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

    /// "200 c.c.": a displacement, unless its figure is a length or the text speaks of a distance as well.
    pub(super) fn is_cubic(&self, start: usize, end: usize) -> bool {
        let is_dot = |at: usize| self.pieces.get(at).is_some_and(|piece| piece.is_sign('.'));
        let dotted = self.pieces[start].word() == Some("c") && is_dot(start + 1);
        let bare = |at: usize| {
            self.pieces
                .get(at)
                .and_then(Piece::measure)
                .is_some_and(|m| m.unit.is_none())
        };
        let figure = match start.checked_sub(1).filter(|at| self.pieces[*at].measure().is_some()) {
            Some(before) => bare(before),
            None => bare(end),
        };
        let elsewhere = |at: usize| !(start..end).contains(&at) && wording_at(self.pieces, at).is_some();
        // "200 c.c., distancia entre agujeros 113,1 mm": the distance has a figure of its own
        let length = |piece: &Piece<'_>| {
            let measure = piece.measure().filter(|measure| measure.unit.is_some());
            measure.is_some_and(|measure| !self.lengths_mm(measure, SPACING_MM).is_empty())
        };
        let spoken_of = (0..self.pieces.len()).any(elsewhere) && !self.pieces.iter().any(length);
        dotted && figure && !spoken_of
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
        let code = glued_behind_letters(self.pieces, at);
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
}
