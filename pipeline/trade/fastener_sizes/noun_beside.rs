//! The noun beside a number, before or behind it: head, hole, screw, or something else.

use crate::trade::fastener_words::{Noun, is_adjective, is_filler, noun};
use crate::trade::numerals::Written;
use crate::trade::wording::{Measure, Piece};

/// The noun that says what a number is, and the pieces that the two of them span.
pub(super) struct Beside {
    pub(super) noun: Noun,
    pub(super) first: usize,
    pub(super) next: usize,
}

/// Finds that noun: `6.5 mm bolt holes`, `holes Ø 6.5`, `clé de 10`.
pub(super) fn noun_beside(pieces: &[Piece<'_>], at: usize, measure: Measure) -> Option<Beside> {
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

/// `Ø 6.5`
pub(super) fn diameter_sign_before(pieces: &[Piece<'_>], at: usize) -> bool {
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
