//! Wordings that announce a spacing of holes, folded, with the distance each of them means.
//!
//! "Hole distance" and its translations are used for the chord and for the bolt circle alike,
//! so they mean either; "centre to centre" is always the chord.
//!
//! Order inside the folder: the phrases of each distance (`circle`, `between_holes`, `either`) stand in files of their own
//! and know nothing of each other.

mod between_holes;
mod circle;
mod either;

use super::wording::Piece;
use between_holes::{CHORD_PHRASES, EDGE_PHRASES};
use circle::CIRCLE_PHRASES;
use either::EITHER_PHRASES;
use rustc_hash::FxHashMap;
use std::sync::LazyLock;

use Wording::{Chord, Circle, Edges, Either};

/// What a wording says about the figure beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Wording {
    /// The diameter of the bolt circle.
    Circle,
    /// From centre to centre of neighbouring holes.
    Chord,
    /// One of the two.
    Either,
    /// From edge to edge of neighbouring holes.
    Edges,
}

/// The phrases of each wording.
const PHRASES: [(&[&str], Wording); 4] = [
    (CIRCLE_PHRASES, Circle),
    (CHORD_PHRASES, Chord),
    (EITHER_PHRASES, Either),
    (EDGE_PHRASES, Edges),
];

/// The words of a phrase, in order, and what it says.
type Phrase = (Vec<&'static str>, Wording);

/// Phrases by their first word, longest first.
static BY_FIRST_WORD: LazyLock<FxHashMap<&'static str, Vec<Phrase>>> = LazyLock::new(|| {
    let mut by_first: FxHashMap<&'static str, Vec<Phrase>> = FxHashMap::default();
    for (phrases, wording) in PHRASES {
        for phrase in phrases {
            let words: Vec<&'static str> = phrase.split([' ', '\'']).collect();
            by_first.entry(words[0]).or_default().push((words, wording));
        }
    }
    #[expect(clippy::iter_over_hash_type, reason = "each list is sorted in itself")]
    for phrases in by_first.values_mut() {
        phrases.sort_by_key(|(words, _)| std::cmp::Reverse(words.len()));
    }
    by_first
});

/// The wording that begins at piece `at`, and the piece behind it.
pub fn wording_at(pieces: &[Piece<'_>], at: usize) -> Option<(Wording, usize)> {
    let word = pieces[at].word()?;
    let Some(phrases) = BY_FIRST_WORD.get(word) else {
        // Scripts without spaces: the phrase may stand inside a longer run.
        return inside_run(word).map(|wording| (wording, at + 1));
    };
    phrases
        .iter()
        .find_map(|(words, wording)| phrase_end(pieces, at, words).map(|end| (*wording, end)))
}

/// A wording inside a run of a script without spaces.
fn inside_run(word: &str) -> Option<Wording> {
    const RUNS: [(&str, Wording); 6] = [
        ("分布圆", Circle),
        ("分度圆", Circle),
        ("中心距", Chord),
        ("孔心距", Chord),
        ("孔距", Either),
        ("孔间距", Either),
    ];
    let stands = |run: &str| !word.is_ascii() && word.contains(run);
    RUNS.iter().find(|(run, _)| stands(run)).map(|(_, wording)| *wording)
}

/// The piece behind a phrase whose words stand in order, with nothing but `-`, `.`, `/` or `'`
/// between them. A lone letter pair such as `c c` needs such a sign.
fn phrase_end(pieces: &[Piece<'_>], at: usize, words: &[&str]) -> Option<usize> {
    let mut next = at;
    let mut signs = 0;
    for (place, word) in words.iter().enumerate() {
        while place > 0
            && ['-', '.', '/', '\'']
                .iter()
                .any(|sign| pieces.get(next).is_some_and(|p| p.is_sign(*sign)))
        {
            next += 1;
            signs += 1;
        }
        if pieces.get(next)?.word() != Some(*word) {
            return None;
        }
        next += 1;
    }
    let letters_only = words.len() > 1 && words.iter().all(|word| word.len() == 1);
    if letters_only && signs == 0 {
        return None;
    }
    let dotted = signs > 0 && pieces.get(next).is_some_and(|piece| piece.glued && piece.is_sign('.'));
    Some(if dotted { next + 1 } else { next })
}
