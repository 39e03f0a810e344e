//! The words of two titles: those in common, and those that one of them alone has.

use super::measures::same_figure;
use super::records::{Record, Records, WordId, WordShape, WordTraits};
use strsim::jaro_winkler;

/// Title words of two records, split into common and one-sided ones. Rarities are 1 where there is no word.
pub(super) struct Titles<'a> {
    pub(super) cosine: f32,
    pub(super) rarest_shared: u8,
    pub(super) rarest: [u8; 2],
    pub(super) codes_shared: usize,
    pub(super) figures_shared: usize,
    pub(super) alone: &'a [Vec<WordId>; 2],
}

impl Titles<'_> {
    pub(super) fn of<'a>(alone: &'a mut [Vec<WordId>; 2], records: &Records, a: &Record, b: &Record) -> Titles<'a> {
        let word = |w: WordId| &records.traits[w as usize];
        let mut dot = 0.0f32;
        let mut rarest_shared = 1;
        let (mut codes_shared, mut figures_shared) = (0, 0);
        alone.iter_mut().for_each(Vec::clear);
        let (mut i, mut j) = (0, 0);
        while i < a.words.len() && j < b.words.len() {
            let (x, y) = (a.words[i], b.words[j]);
            if x == y {
                let shared = word(x);
                dot += shared.idf.powi(2);
                rarest_shared = rarest_shared.max(shared.rarity);
                codes_shared += usize::from(shared.shape == WordShape::Code);
                figures_shared += usize::from(shared.shape == WordShape::Figure);
                (i, j) = (i + 1, j + 1);
            } else if x < y {
                alone[0].push(x);
                i += 1;
            } else {
                alone[1].push(y);
                j += 1;
            }
        }
        alone[0].extend_from_slice(&a.words[i..]);
        alone[1].extend_from_slice(&b.words[j..]);
        dot += near_words(records, alone);
        let rarest = [0, 1].map(|s: usize| alone[s].iter().map(|w| word(*w).rarity).fold(1, u8::max));
        Titles {
            cosine: (dot / (a.length * b.length).max(1e-6)).min(1.0),
            rarest_shared,
            rarest,
            codes_shared,
            figures_shared,
            alone,
        }
    }
}

/// The words of two titles, sorted into common ones and those that one title alone has. Nearly equal spellings, and words
/// that stand in the other's further text, count as neither.
pub struct Sides {
    /// whether the pair takes part in what is learned of single words: between lists, or in the only list
    pub(super) count: bool,
    pub(super) shared: Vec<WordId>,
    pub(super) alone: [Vec<WordId>; 2],
}

impl Sides {
    /// Sorts the words of two titles.
    pub fn of(records: &Records, a: &Record, b: &Record) -> Sides {
        let shared = a
            .words
            .iter()
            .copied()
            .filter(|w| b.words.binary_search(w).is_ok())
            .collect();
        let only = |x: &Record, y: &Record| -> Vec<WordId> {
            x.words
                .iter()
                .copied()
                .filter(|w| y.words.binary_search(w).is_err())
                .collect()
        };
        let mut alone = [only(a, b), only(b, a)];
        near_words(records, &mut alone);
        alone[0].retain(|w| b.extra.binary_search(w).is_err());
        alone[1].retain(|w| a.extra.binary_search(w).is_err());
        Sides {
            count: a.list != b.list || records.lists == 1,
            shared,
            alone,
        }
    }
}

/// Takes pairs of one-sided words that are nearly the same spelling out of `alone`; returns what
/// they add to the dot product. Only long words: short ones differ in meaning by one letter.
fn near_words(records: &Records, alone: &mut [Vec<WordId>; 2]) -> f32 {
    let mut gain = 0.0;
    let mut k = 0;
    while k < alone[0].len() {
        let x = alone[0][k];
        let traits = &records.traits[x as usize];
        let found = (traits.first != 0 || traits.unit != 0).then(|| alone[1].iter().position(|&y| near(records, x, y)));
        if let Some(at) = found.flatten() {
            let y = alone[1].remove(at);
            alone[0].remove(k);
            gain += 0.8 * traits.idf.min(records.traits[y as usize].idf).powi(2);
        } else {
            k += 1;
        }
    }
    gain
}

/// Jaro-Winkler similarity from which two long words are one word spelled twice.
const NEAR: f64 = 0.93;

fn near(records: &Records, x: WordId, y: WordId) -> bool {
    let (p, q) = (&records.traits[x as usize], &records.traits[y as usize]);
    if p.unit != 0 && p.unit == q.unit {
        return same_figure(&records.words[x as usize].text, &records.words[y as usize].text);
    }
    may_be_near(p, q) && jaro_winkler(&records.words[x as usize].text, &records.words[y as usize].text) >= NEAR
}

/// Whether two words that begin with one byte have letters enough in common to be near. A common beginning adds at most
/// 0.4 of what is missing, so Jaro's similarity must be (0.93 - 0.4) / 0.6 = 0.883 at the least, and the shares of the
/// letters in common, which are two of the three parts of it, 3 x 0.883 - 1 = 1.65 together.
fn may_be_near(x: &WordTraits, y: &WordTraits) -> bool {
    let common = (x.letters & y.letters).count_ones() as f32;
    let share = |word: &WordTraits| common / f32::from(word.length).max(1.0);
    x.first == y.first && x.first != 0 && (x.length == 255 || y.length == 255 || share(x) + share(y) >= 1.649)
}

#[cfg(test)]
mod tests {
    use super::super::words::letters_of;
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_quick_look_at_two_words_never_turns_near_ones_away(
            word in "[a-dä]{4,12}",
            slips in prop::collection::vec((0..12usize, "[a-dä]?"), 0..3),
        ) {
            let mut other: Vec<char> = word.chars().collect();
            for (at, put) in slips {
                let at = at % other.len();
                other.splice(at..=at, put.chars().chain(other.get(at + 1).copied().filter(|_| put.is_empty())));
            }
            let other: String = other.into_iter().collect();
            let traits = |word: &str| WordTraits {
                idf: 1.0,
                rarity: 1,
                shape: WordShape::Plain,
                first: word.bytes().next().unwrap_or(0),
                length: word.chars().count() as u8,
                letters: letters_of(word),
                unit: 0,
            };
            if word.bytes().next() == other.bytes().next() && jaro_winkler(&word, &other) >= NEAR {
                prop_assert!(may_be_near(&traits(&word), &traits(&other)), "{word} {other}");
            }
        }
    }
}
