//! Figures with their units: "8 gb", "8gb", "15 inch".

use super::records::RecordText;
use super::words::{Word, each_word, shortened};
use compact_str::{CompactString, format_compact};
use rustc_hash::{FxHashMap, FxHashSet};

/// Figures written together with their unit somewhere ("8gb"): where they are written apart ("8 gb"), they are the same
/// word, and neither the bare figure nor the bare unit is one. So are figures before the full name of such a unit.
#[derive(Default)]
pub(super) struct Measures {
    known: FxHashSet<CompactString>,
    /// units of several figures, in the order of their letters
    units: Vec<CompactString>,
}

/// Longest figure and longest unit of a measure, in characters.
const MEASURE: (usize, usize) = (5, 4);
/// Shortest full name of a unit, in characters.
const FULL_NAME: usize = 3;
/// Different figures that letters must stand behind to be a unit.
const FIGURES_OF_A_UNIT: u32 = 3;

impl Measures {
    pub(super) fn of(texts: &[RecordText<'_>]) -> Measures {
        let mut known = FxHashSet::default();
        let mut figures: FxHashMap<CompactString, u32> = FxHashMap::default();
        for text in texts {
            each_word(text.title, |word| {
                if let Some((_, unit)) = measure(word)
                    && !known.contains(word)
                {
                    known.insert(word.into());
                    *figures.entry(unit.into()).or_default() += 1;
                }
            });
        }
        let several = figures.into_iter().filter(|(_, count)| *count >= FIGURES_OF_A_UNIT);
        let mut units: Vec<CompactString> = several.map(|(unit, _)| unit).collect();
        units.sort_unstable();
        Measures { known, units }
    }

    /// Whether a figure and a unit that stand apart are one measure.
    fn is_one(&self, both: &str, unit: &str) -> bool {
        self.known.contains(both) || self.units.iter().any(|short| is_full_name(unit, short))
    }

    /// Calls `take` for the words of a title, measures put together.
    pub(super) fn each_word(&self, title: &str, mut take: impl FnMut(&str)) {
        let mut before = CompactString::default();
        each_word(title, |word| {
            if is_unit(word) && !before.is_empty() {
                let both = format_compact!("{before}{word}");
                if self.is_one(&both, word) {
                    before.clear();
                    return take(&both);
                }
            }
            if !before.is_empty() {
                take(&before);
                before.clear();
            }
            if is_figure(word) {
                before.push_str(word);
            } else {
                take(word);
            }
        });
        if !before.is_empty() {
            take(&before);
        }
    }
}

fn is_figure(word: &str) -> bool {
    (1..=MEASURE.0).contains(&word.len()) && word.bytes().all(|b| b.is_ascii_digit())
}

fn is_unit(word: &str) -> bool {
    (1..=MEASURE.1).contains(&word.len()) && word.bytes().all(|b| b.is_ascii_alphabetic())
}

/// A word that may be a figure with its unit.
fn measure(word: &str) -> Option<(&str, &str)> {
    let (figure, unit) = word.split_at(word.bytes().take_while(u8::is_ascii_digit).count());
    (is_figure(figure) && is_unit(unit)).then_some((figure, unit))
}

/// By word, the unit that stands behind its figure, as a number from 1; 0 where there is none. A *unit* are letters that
/// stand behind several different figures; one that shortens another ("in", "inch") is the same unit.
pub(super) fn units(words: &[Word]) -> Vec<u32> {
    let mut figures: FxHashMap<&str, u32> = FxHashMap::default();
    for (_, unit) in words.iter().filter_map(|word| measure(&word.text)) {
        *figures.entry(unit).or_default() += 1;
    }
    let several = figures.into_iter().filter(|(_, count)| *count >= FIGURES_OF_A_UNIT);
    let mut units: Vec<&str> = several.map(|(unit, _)| unit).collect();
    // the shortest first, and those alike in the order of their letters
    units.sort_unstable_by(|x, y| x.len().cmp(&y.len()).then(x.cmp(y)));
    let of = |word: &Word| {
        let (_, unit) = measure(&word.text)?;
        let is_unit = |known: &&str| *known == unit || is_full_name(unit, known);
        units.iter().position(is_unit).map(|at| at as u32 + 1)
    };
    words.iter().map(|word| of(word).unwrap_or(0)).collect()
}

/// Whether a unit is the full name of a shorter one.
fn is_full_name(unit: &str, short: &str) -> bool {
    unit.len() >= FULL_NAME && unit.len() > short.len() && shortened(short, unit)
}

/// Whether two measures of one unit say the same figure.
pub fn same_figure(x: &str, y: &str) -> bool {
    let figure = |word: &str| word.bytes().take_while(u8::is_ascii_digit).count();
    x[..figure(x)] == y[..figure(y)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_measure_is_one_word_however_it_is_spaced() {
        let known = Measures {
            known: FxHashSet::from_iter(["8gb".into()]),
            units: vec!["gb".into(), "in".into()],
        };
        let words = |title: &str| {
            let mut out = Vec::new();
            known.each_word(title, |w| out.push(w.to_string()));
            out
        };
        assert_eq!(words("camera 8 gb, 3 lamps"), ["camera", "8gb", "3", "lamps"]);
        assert_eq!(words("camera 8gb"), ["camera", "8gb"]);
        assert_eq!(words("15 in"), ["15", "in"], "nobody writes it together");
        assert_eq!(words("15 inch"), ["15inch"], "the full name of a unit");
    }

    #[test]
    fn only_a_figure_takes_a_unit_to_itself() {
        let known = Measures {
            known: FxHashSet::default(),
            units: vec!["in".into()],
        };
        let mut words = Vec::new();
        known.each_word("red inch 123456 inch", |w| words.push(w.to_string()));
        assert_eq!(words, ["red", "inch", "123456", "inch"], "too long for a figure");
        assert!(same_figure("15in", "15inch") && !same_figure("15in", "14in"));
    }
}
