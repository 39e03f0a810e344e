//! How many holes or screws a part is held with: `3-hole`, `3 x M6`, `drei Bohrungen`, `3 trous`,
//! `holes: 3`, `3孔`.
//!
//! Counts from two to eight are read; one hole is no pattern, and more is a pack of screws. The
//! count of holes is certain wherever it is read. One of screws that come along (`incl. 3 bolts`,
//! `mit 3 Schrauben`) is that of the bag and says little of the part.

use super::fastener_words::{Noun, is_adjective, noun, number_word};
use super::wording::{Piece, pieces};
use std::ops::Range;

/// Fewest and most holes read.
const FEWEST: u8 = 2;
const MOST: u8 = 8;

/// Where what is counted is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Whereabouts {
    /// In the part.
    InPart,
    /// In the bag that comes with it.
    InBag,
}

/// Words before a count of screws that come along, folded.
const ALONG_BEFORE: [&str; 27] = [
    "incl",
    "inc",
    "including",
    "includes",
    "included",
    "with",
    "w",
    "plus",
    "mit",
    "inkl",
    "inklusive",
    "samt",
    "avec",
    "inclus",
    "con",
    "incluye",
    "incluidos",
    "completo",
    "met",
    "inclusief",
    "z",
    "ze",
    "zawiera",
    "med",
    "com",
    "supplied",
    "und",
];
/// Words behind it.
const ALONG_BEHIND: [&str; 14] = [
    "included",
    "supplied",
    "enthalten",
    "inklusive",
    "inkl",
    "incl",
    "inclus",
    "incluses",
    "fournis",
    "fournies",
    "incluidos",
    "inclusi",
    "incluse",
    "inbegrepen",
];

/// Whether screws counted at pieces `start..end` come along. "With 3-bolt mounting" speaks of the part.
pub(super) fn whereabouts(pieces: &[Piece<'_>], start: usize, end: usize) -> Whereabouts {
    let word_at = |at: usize| pieces.get(at).and_then(Piece::word);
    let before = pieces[..start].iter().rev().take(2).find_map(Piece::word);
    let of_mounting = word_at(end).is_some_and(|word| word.starts_with("mount") || word.starts_with("flan"));
    let along = before.is_some_and(|word| ALONG_BEFORE.contains(&word))
        || word_at(end).is_some_and(|word| ALONG_BEHIND.contains(&word));
    if along && !of_mounting {
        Whereabouts::InBag
    } else {
        Whereabouts::InPart
    }
}

/// A stated count and the pieces that state it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoleCount {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Number of holes or screws.
    pub count: u8,
    /// Whether holes or screws are counted.
    pub of: Noun,
    /// Whether screws are those of the part or of the bag.
    pub whereabouts: Whereabouts,
}

/// A text cut into pieces, with its counts: what the readers of holes, spacings and fasteners share.
#[derive(Debug, Clone)]
pub struct CountedText<'t> {
    /// The folded text.
    pub folded: &'t str,
    /// Its pieces.
    pub pieces: Vec<Piece<'t>>,
    /// The counts of holes and screws in it.
    pub counts: Vec<HoleCount>,
}

impl<'t> CountedText<'t> {
    /// Cuts and counts a folded text.
    pub fn of(folded: &'t str) -> Self {
        let pieces = pieces(folded);
        let counts = counts(&pieces);
        CountedText { folded, pieces, counts }
    }
}

/// Reads a cell of a hole count column: `3`, `3 holes`, `3-Loch`, `3x`, `drei`.
/// None where the cell states two different counts.
pub fn read_hole_count(folded: &str) -> Option<u8> {
    let pieces = pieces(folded);
    if let Some(count) = only_count(&counts(&pieces)) {
        return Some(count);
    }
    match pieces.as_slice() {
        [one] => one
            .measure()
            .map_or_else(|| one.word().and_then(number_word), |m| m.count(FEWEST, MOST)),
        [one, times] if times.is_times() => one.measure()?.count(FEWEST, MOST),
        _ => None,
    }
}

/// The one count that all readings state. Counts of holes go before counts of screws, which may
/// those of the bag; the latter count nothing here where they are known to be.
pub fn only_count(counts: &[HoleCount]) -> Option<u8> {
    let of = if counts.iter().any(|reading| reading.of == Noun::Hole) {
        Noun::Hole
    } else {
        Noun::Screw
    };
    let mut counted = counts
        .iter()
        .filter(|reading| reading.of == of && reading.whereabouts == Whereabouts::InPart)
        .map(|reading| reading.count);
    let first = counted.next()?;
    counted.all(|count| count == first).then_some(first)
}

fn counted_noun(word: &str) -> Option<Noun> {
    noun(word).filter(|noun| matches!(noun, Noun::Hole | Noun::Screw))
}

/// Finds the counts of holes and screws in a text cut into pieces.
pub fn counts(pieces: &[Piece<'_>]) -> Vec<HoleCount> {
    (0..pieces.len())
        .filter_map(|at| count_before_noun(pieces, at).or_else(|| count_behind_noun(pieces, at)))
        .collect()
}

/// A script without spaces runs count and noun together, and other words before them: `三孔`, `柴油四孔`.
fn counted_run(pieces: &[Piece<'_>], at: usize, word: &str) -> Option<HoleCount> {
    if word.is_ascii() {
        return None;
    }
    let (count, of) = word.char_indices().find_map(|(start, numeral)| {
        let end = start + numeral.len_utf8();
        let count = number_word(&word[start..end]).filter(|_| !numeral.is_ascii())?;
        counted_noun(&word[end..]).map(|of| (count, of))
    })?;
    Some(HoleCount {
        span: pieces[at].span.clone(),
        count,
        of,
        whereabouts: Whereabouts::InPart,
    })
}

/// `3 holes`, `3-hole`, `3 mounting holes`, `3x bolts`, `three bolt`.
fn count_before_noun(pieces: &[Piece<'_>], at: usize) -> Option<HoleCount> {
    let piece = &pieces[at];
    let count = match piece.measure() {
        Some(measure) if !glued_behind_letters(pieces, at) => measure.count(FEWEST, MOST)?,
        Some(_) => return None,
        None => match piece.word() {
            Some(word) => match number_word(word) {
                Some(count) => count,
                None => return counted_run(pieces, at, word),
            },
            None => return None,
        },
    };
    // "6.5/7 bolt", "168-2 holes": the tail of something else.
    let run_on = pieces
        .get(at + 1)
        .is_some_and(|next| next.glued && next.word().is_some_and(|word| !word.is_ascii()));
    if at > 0 && piece.glued && !run_on && (pieces[at - 1].is_sign('-') || pieces[at - 1].is_sign('/')) {
        return None;
    }
    let mut next = at + 1;
    for _ in 0..3 {
        let piece = pieces.get(next)?;
        match piece.word() {
            Some(word) if counted_noun(word).is_some() && !is_adjective_of_hole(pieces, next) => {
                let span = pieces[at].span.start..piece.span.end;
                return counted_noun(word).map(|of| HoleCount {
                    span,
                    count,
                    of,
                    whereabouts: match of {
                        Noun::Screw => whereabouts(pieces, at, next + 1),
                        _ => Whereabouts::InPart,
                    },
                });
            }
            // "8er schrauben" are a size.
            Some("er") => return None,
            Some(word) if is_adjective(word) => next += 1,
            None if piece.is_sign('-') || piece.is_sign('*') => next += 1,
            _ => return None,
        }
    }
    None
}

/// "bolt" before "hole" is the adjective; go on to the noun itself.
fn is_adjective_of_hole(pieces: &[Piece<'_>], at: usize) -> bool {
    let next_noun = pieces.get(at + 1).and_then(Piece::word).and_then(noun);
    pieces[at].word().is_some_and(is_adjective) && next_noun == Some(Noun::Hole)
}

/// `holes: 3`, `no. of bolts = 4`, `anzahl locher 3`, `holes 3x8mm`.
fn count_behind_noun(pieces: &[Piece<'_>], at: usize) -> Option<HoleCount> {
    let of = counted_noun(pieces[at].word()?)?;
    let mut next = at + 1;
    while pieces
        .get(next)
        .is_some_and(|piece| piece.is_sign(':') || piece.is_sign('=') || piece.is_sign('('))
    {
        next += 1;
    }
    let count = pieces.get(next)?.measure()?.count(FEWEST, MOST)?;
    let after = pieces.get(next + 1);
    let times = after.is_some_and(Piece::is_times);
    let ends =
        after.is_none_or(|piece| !piece.glued || times || [',', ')', ';'].iter().any(|sign| piece.is_sign(*sign)));
    let marked = next > at + 1 || after.is_none() || times || says_number(pieces, at);
    (marked && ends && !(times && is_length(pieces, next + 2))).then(|| HoleCount {
        span: pieces[at].span.start..pieces[next].span.end,
        count,
        of,
        whereabouts: Whereabouts::InPart,
    })
}

/// "bolts 6 x 28": a screw and its length, no count.
fn is_length(pieces: &[Piece<'_>], at: usize) -> bool {
    pieces
        .get(at)
        .and_then(Piece::measure)
        .is_some_and(|measure| measure.number.value >= 15.0)
}

/// "number of holes", "anzahl locher", "nombre de trous", "liczba otworow".
fn says_number(pieces: &[Piece<'_>], at: usize) -> bool {
    pieces[..at].iter().rev().take(3).filter_map(Piece::word).any(|word| {
        matches!(
            word,
            "number"
                | "no"
                | "qty"
                | "anzahl"
                | "nombre"
                | "nbre"
                | "nb"
                | "numero"
                | "cantidad"
                | "aantal"
                | "liczba"
                | "ilosc"
        )
    })
}

/// Whether the number at `at` is part of a code: `kr3 hole` counts nothing.
pub fn glued_behind_letters(pieces: &[Piece<'_>], at: usize) -> bool {
    pieces[at].glued && at > 0 && pieces[at - 1].word().is_some_and(|word| word.is_ascii() && word != "x")
}

#[cfg(test)]
#[path = "hole_count_tests.rs"]
mod tests;
