//! What a word tells that only one of two titles has, learned from soft labels.
//!
//! Vendors leave words out and add words of their own, and siblings of one family differ by a word: a colour, a
//! capacity, a version. How rare a word is does not say which it is; how often it stands alone in likely pairs and in
//! unlikely ones does. A *telling* word stands alone far more often between two products than between two lines of one.
//!
//! Limits: a word seen in few pairs is taken as its class is (shape and rarity); a pair never judges its own words by
//! its own label; one word counts at most [`MOST`] in natural logarithms.

use super::compare::Sides;
use super::records::{Records, WordId, WordShape};

/// Pairs that a word's class counts for beside what is seen of the word itself.
const CLASS_COUNTS: f32 = 4.0;
/// The most that one word says against a pair, as ln odds.
const MOST: f32 = 3.0;
/// The most that one word says for a pair: a word that its list adds to everything.
const MOST_FOR: f32 = 0.3;
/// Rarity bands and shapes that make the class of a word.
const RARITIES: usize = 5;
const SHAPES: usize = 3;
/// Sums of what the words tell, as ln odds against, above which the next level begins.
const LIMITS: [f32; 9] = [0.15, 0.5, 1.0, 1.5, 2.0, 2.75, 3.5, 4.5, 6.0];

/// In how many pairs a word stood alone and on both sides; pairs of one part, and other pairs.
#[derive(Clone, Copy, Default, Debug)]
struct Seen {
    alone_same: f32,
    both_same: f32,
    alone_other: f32,
    both_other: f32,
}

/// What was seen of all words.
#[derive(Clone, Debug, Default)]
pub struct Telling {
    words: Vec<Seen>,
    /// share of pairs in which a word of the class stands alone: pairs of one part, other pairs
    classes: Vec<(f32, f32)>,
    class_of: Vec<u8>,
}

impl Telling {
    /// Counts over pairs and the probability that each is one part.
    ///
    /// `neighbours` are lines of one list that look alike. A list seldom offers one part twice, so that what they differ
    /// in tells parts apart; where a list does, what its lines differ in stands alone in likely pairs as well, and tells
    /// nothing.
    pub fn learn(records: &Records, sides: &[Sides], probability: &[f64], neighbours: &[Sides]) -> Telling {
        let mut telling = Telling {
            words: vec![Seen::default(); records.words.len()],
            classes: Vec::new(),
            class_of: classes_of(records),
        };
        for (sides, &p) in sides.iter().zip(probability).filter(|(sides, _)| sides.count) {
            telling.count(sides, p as f32);
        }
        for sides in neighbours {
            telling.count(sides, 0.0);
        }
        telling.judge_classes();
        telling
    }

    fn count(&mut self, sides: &Sides, p: f32) {
        for &word in &sides.shared {
            let seen = &mut self.words[word as usize];
            seen.both_same += p;
            seen.both_other += 1.0 - p;
        }
        for &word in sides.alone.iter().flatten() {
            let seen = &mut self.words[word as usize];
            seen.alone_same += p;
            seen.alone_other += 1.0 - p;
        }
    }

    fn judge_classes(&mut self) {
        let mut sums = vec![(1.0f64, 2.0f64, 1.0f64, 2.0f64); RARITIES * SHAPES];
        for (seen, class) in self.words.iter().zip(&self.class_of) {
            let sum = &mut sums[*class as usize];
            sum.0 += f64::from(seen.alone_same);
            sum.1 += f64::from(seen.alone_same + seen.both_same);
            sum.2 += f64::from(seen.alone_other);
            sum.3 += f64::from(seen.alone_other + seen.both_other);
        }
        self.classes = sums.iter().map(|s| ((s.0 / s.1) as f32, (s.2 / s.3) as f32)).collect();
    }

    /// How strongly a word that one title has and the other has not speaks against the pair; `own` is the probability
    /// with which the pair itself was counted.
    fn against(&self, word: WordId, own: Option<f32>) -> f32 {
        let mut seen = self.words[word as usize];
        if let Some(p) = own {
            seen.alone_same = (seen.alone_same - p).max(0.0);
            seen.alone_other = (seen.alone_other - (1.0 - p)).max(0.0);
        }
        let (same, other) = self.classes[self.class_of[word as usize] as usize];
        let share = |alone: f32, both: f32, class: f32| (alone + CLASS_COUNTS * class) / (alone + both + CLASS_COUNTS);
        let (same, other) = (
            share(seen.alone_same, seen.both_same, same),
            share(seen.alone_other, seen.both_other, other),
        );
        (other / same).ln().clamp(-MOST_FOR, MOST)
    }

    /// Level of a pair: 1 where nothing speaks against it, 10 where very much does; 0 before anything is learned.
    pub fn level(&self, sides: &Sides, own: Option<f64>) -> u8 {
        if self.words.is_empty() {
            return 0;
        }
        let own = own.filter(|_| sides.count).map(|p| p as f32);
        let sum: f32 = sides.alone.iter().flatten().map(|w| self.against(*w, own)).sum();
        1 + LIMITS.iter().filter(|limit| sum > **limit).count() as u8
    }
}

/// Class of each word: shape and rarity.
fn classes_of(records: &Records) -> Vec<u8> {
    let top = (1.0 + records.len() as f32).ln().max(1e-6);
    records
        .words
        .iter()
        .zip(&records.idf)
        .map(|(word, idf)| {
            let shape = match word.shape {
                WordShape::Plain => 0,
                WordShape::Figure => 1,
                WordShape::Code => 2,
            };
            let rarity = [0.3, 0.5, 0.7, 0.85].iter().filter(|limit| idf / top > **limit).count();
            (shape * RARITIES + rarity) as u8
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::link::records::RecordText;

    /// One list writes a colour, the other writes it too and adds a word of its own to every other line.
    fn titles() -> Vec<(u32, String)> {
        let names = ["brunlo", "drolik", "kelpar", "hesgun", "vexzel", "murrit"];
        let mut titles = Vec::new();
        for name in names {
            for colour in ["red", "blue"] {
                titles.push((0, format!("{name} lamp {colour}")));
                titles.push((1, format!("{name} lamp {colour} boxed")));
            }
        }
        titles
    }

    fn learned() -> (Records, Telling) {
        let titles = titles();
        let texts: Vec<RecordText<'_>> = titles
            .iter()
            .map(|(list, title)| RecordText::titled(*list, title))
            .collect();
        let records = Records::of(&texts);
        let (mut sides, mut probability) = (Vec::new(), Vec::new());
        for (a, x) in titles.iter().enumerate().filter(|t| t.1.0 == 0) {
            for (b, y) in titles.iter().enumerate().filter(|t| t.1.0 == 1) {
                if x.1[..6] == y.1[..6] {
                    sides.push(Sides::of(&records, &records.list[a], &records.list[b]));
                    probability.push(if y.1.starts_with(&x.1) { 0.95 } else { 0.05 });
                }
            }
        }
        let telling = Telling::learn(&records, &sides, &probability, &[]);
        (records, telling)
    }

    #[test]
    fn a_colour_tells_siblings_apart_and_a_word_added_to_everything_does_not() {
        let (records, telling) = learned();
        let level = |a: usize, b: usize| telling.level(&Sides::of(&records, &records.list[a], &records.list[b]), None);
        assert!(level(0, 1) <= 2, "red against red boxed: {}", level(0, 1));
        assert!(
            level(0, 3) >= level(0, 1) + 3,
            "red against blue boxed: {}",
            level(0, 3)
        );
    }

    #[test]
    fn nothing_is_told_before_anything_is_learned() {
        let (records, _) = learned();
        let sides = Sides::of(&records, &records.list[0], &records.list[3]);
        assert_eq!(Telling::default().level(&sides, None), 0);
    }

    #[test]
    fn a_pair_does_not_judge_its_words_by_its_own_label() {
        let texts = [
            RecordText::titled(0, "brunlo lamp red"),
            RecordText::titled(1, "brunlo lamp blue"),
        ];
        let records = Records::of(&texts);
        let sides = Sides::of(&records, &records.list[0], &records.list[1]);
        let told = |p: f64| {
            let telling = Telling::learn(&records, std::slice::from_ref(&sides), &[p], &[]);
            telling.against(sides.alone[0][0], Some(p as f32))
        };
        assert!((told(0.95) - told(0.05)).abs() < 1.5, "only the class remembers it");
    }
}
