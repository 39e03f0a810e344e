//! Words that take each other's place: black and white, deluxe and standard.
//!
//! Two lines of one family differ by a value: each has a word where the other has another, and no title ever has both.
//! Words that a supplier leaves out or adds as it likes stand against each other as well, but elsewhere they stand side
//! by side. So a pair of words is *opposed* when neighbouring lines of one list show them against each other and titles
//! hardly ever together, and when the same holds of each of both words with all that stands against it.
//!
//! Limits: plain words only (figures and codes are compared by their shape); a word and its abbreviation are one word;
//! words of fewer than [`ENOUGH`] of the lines looked at tell nothing.

use super::compare::Sides;
use super::records::{Record, Records, WordId, WordShape};
use super::words::shortened;
use rustc_hash::{FxHashMap, FxHashSet};

/// Lines looked at that must carry a word. This and the limits below are values from memory.
const ENOUGH: u32 = 3;
/// Meetings expected by chance of a word and those that stand against it, below which nothing is known of it.
const EXPECTED: f32 = 1.0;
/// Share of these meetings that really happen above which a word is no value: of meetings with all words, then with those
/// only that are left.
const MEETINGS: [f32; 2] = [0.7, 0.4];
/// Meetings of two words counted at most, for one expected by chance: a set phrase tells of itself only.
const MOST_SEEN: f32 = 3.0;
/// Meetings of two opposed words, for one expected by chance.
const HARDLY_EVER: f32 = 0.1;
/// Words alone on both sides, multiplied, above which two lines are no neighbours in a family.
const MOST_AGAINST: usize = 12;

/// Pairs of words that oppose each other.
#[derive(Debug, Default)]
pub struct Opposites {
    value: Vec<bool>,
    pairs: FxHashSet<(WordId, WordId)>,
}

impl Opposites {
    /// Learns from lines of one list that look alike.
    pub fn learn(records: &Records, neighbours: &[(u32, u32)]) -> Opposites {
        let mut lines: Vec<u32> = neighbours.iter().flat_map(|&(a, b)| [a, b]).collect();
        lines.sort_unstable();
        lines.dedup();
        let mut carried = vec![0u32; records.words.len()];
        for &line in &lines {
            for &w in &records.list[line as usize].words {
                carried[w as usize] += 1;
            }
        }
        let against = against(records, neighbours, &carried);
        let mut meetings: FxHashMap<(WordId, WordId), u32> = against.iter().map(|(pair, _)| (*pair, 0)).collect();
        let known = known_words(&against, records.words.len());
        for &line in &lines {
            count_meetings(&records.list[line as usize], &known, &mut meetings);
        }
        let by_chance =
            |x: WordId, y: WordId| carried[x as usize] as f32 * carried[y as usize] as f32 / lines.len() as f32;
        let mut value = known;
        for most in MEETINGS {
            // by word: meetings seen and expected, weighed by how often the words stand against each other
            let mut sums = vec![Meetings::default(); records.words.len()];
            for &((x, y), weight) in against
                .iter()
                .filter(|((x, y), _)| value[*x as usize] && value[*y as usize])
            {
                let (seen, expected) = (meetings[&(x, y)] as f32, by_chance(x, y));
                for w in [x, y] {
                    sums[w as usize].add(weight, seen.min(expected * MOST_SEEN), expected);
                }
            }
            value = sums.iter().map(|sum| sum.seldom(most)).collect();
        }
        let pairs = against
            .iter()
            .map(|(pair, _)| *pair)
            .filter(|(x, y)| value[*x as usize] && value[*y as usize])
            .filter(|(x, y)| meetings[&(*x, *y)] as f32 <= HARDLY_EVER * by_chance(*x, *y))
            .filter(|(x, y)| !shortened(&records.words[*x as usize].text, &records.words[*y as usize].text))
            .collect();
        Opposites { value, pairs }
    }

    /// Whether any word of one side opposes one of the other.
    pub fn oppose(&self, records: &Records, alone: &[Vec<WordId>; 2]) -> bool {
        if self.value.is_empty() {
            return false;
        }
        let unit = |w: &WordId| records.traits[*w as usize].unit;
        if alone[0]
            .iter()
            .any(|x| unit(x) != 0 && alone[1].iter().any(|y| unit(x) == unit(y)))
        {
            return true;
        }
        let value = |w: &&WordId| self.value.get(**w as usize).copied().unwrap_or(false);
        alone[0].iter().filter(value).any(|x| {
            let mut others = alone[1].iter().filter(value);
            others.any(|y| self.pairs.contains(&(*x.min(y), *x.max(y))))
        })
    }
}

/// Meetings of a word in one title with those that stand against it elsewhere.
#[derive(Clone, Copy, Default)]
struct Meetings {
    /// seen and expected by chance, weighed by how often the words stand against each other
    seen: f32,
    expected: f32,
    /// expected by chance, each word once
    by_chance: f32,
}

impl Meetings {
    fn add(&mut self, weight: f32, seen: f32, by_chance: f32) {
        self.seen += weight * seen;
        self.expected += weight * by_chance;
        self.by_chance += by_chance;
    }

    fn seldom(&self, most: f32) -> bool {
        self.by_chance >= EXPECTED && self.seen <= most * self.expected
    }
}

/// Pairs of plain words that stand against each other in neighbouring lines, ascending, with how often.
fn against(records: &Records, neighbours: &[(u32, u32)], carried: &[u32]) -> Vec<((WordId, WordId), f32)> {
    let mut found: Vec<((WordId, WordId), f32)> = Vec::new();
    for &(a, b) in neighbours {
        let mut sides = Sides::of(records, &records.list[a as usize], &records.list[b as usize]);
        for side in &mut sides.alone {
            side.retain(|w| records.words[*w as usize].shape == WordShape::Plain);
        }
        let count = sides.alone[0].len() * sides.alone[1].len();
        if count == 0 || count > MOST_AGAINST {
            continue;
        }
        for &x in &sides.alone[0] {
            for &y in sides.alone[1].iter().filter(|y| **y != x) {
                if carried[x as usize] >= ENOUGH && carried[y as usize] >= ENOUGH {
                    found.push(((x.min(y), x.max(y)), 1.0 / count as f32));
                }
            }
        }
    }
    found.sort_unstable_by(|p, q| p.0.cmp(&q.0).then(p.1.total_cmp(&q.1)));
    let mut summed: Vec<((WordId, WordId), f32)> = Vec::new();
    for (pair, weight) in found {
        match summed.last_mut() {
            Some(last) if last.0 == pair => last.1 += weight,
            _ => summed.push((pair, weight)),
        }
    }
    summed
}

fn known_words(against: &[((WordId, WordId), f32)], words: usize) -> Vec<bool> {
    let mut known = vec![false; words];
    for ((x, y), _) in against {
        known[*x as usize] = true;
        known[*y as usize] = true;
    }
    known
}

fn count_meetings(record: &Record, known: &[bool], meetings: &mut FxHashMap<(WordId, WordId), u32>) {
    let words: Vec<WordId> = record.words.iter().copied().filter(|w| known[*w as usize]).collect();
    for (at, &x) in words.iter().enumerate() {
        for &y in &words[at + 1..] {
            if let Some(count) = meetings.get_mut(&(x, y)) {
                *count += 1;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::compare::Sides;
    use super::super::records::RecordText;
    use super::*;

    /// Families in three colours; adjectives are left out as it comes.
    fn titles() -> Vec<String> {
        let mut titles = Vec::new();
        for family in 0..30 {
            for (at, colour) in ["white", "black", "yellow"].into_iter().enumerate() {
                let features = ["compact", "digital", "compact digital", ""][(family + at) % 4];
                titles.push(format!("s{family}eries lamp {features} {colour} 1{at}in"));
            }
        }
        titles
    }

    fn oppose(x: &str, y: &str) -> bool {
        let mut titles = titles();
        titles.extend([x.to_string(), y.to_string()]);
        let texts: Vec<RecordText<'_>> = titles.iter().map(|title| RecordText::titled(0, title)).collect();
        let records = Records::of(&texts);
        let last = records.list.len();
        let families = (0..30u32).flat_map(|f| [(3 * f, 3 * f + 1), (3 * f, 3 * f + 2), (3 * f + 1, 3 * f + 2)]);
        let opposites = Opposites::learn(&records, &families.collect::<Vec<_>>());
        let sides = Sides::of(&records, &records.list[last - 2], &records.list[last - 1]);
        opposites.oppose(&records, &sides.alone)
    }

    #[test]
    fn colours_oppose_each_other_and_adjectives_that_come_and_go_do_not() {
        assert!(oppose("lamp white", "lamp black"));
        assert!(oppose("lamp digital yellow", "lamp compact black"));
        assert!(!oppose("lamp white compact", "lamp white digital"));
        assert!(!oppose("lamp white", "lamp compact"));
    }

    #[test]
    fn measures_of_one_unit_oppose_each_other_unless_they_say_the_same() {
        assert!(oppose("lamp 10in", "lamp 12in"));
        assert!(oppose("lamp 10in", "lamp 12 inch"));
        assert!(!oppose("lamp 12in", "lamp 12 inch"));
        assert!(!oppose("lamp 12in", "lamp 40ft"));
    }

    #[test]
    fn nothing_opposes_before_anything_is_learned() {
        let records = Records::of(&[RecordText::titled(0, "lamp white"), RecordText::titled(1, "lamp black")]);
        let sides = Sides::of(&records, &records.list[0], &records.list[1]);
        assert!(!Opposites::default().oppose(&records, &sides.alone));
    }
}
