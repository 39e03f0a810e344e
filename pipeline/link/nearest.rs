//! The best candidates of a record by the rare words it shares with others.

use super::records::{Record, Records};
use rayon::prelude::*;

/// Candidates kept per record and other list by words.
pub const PER_LIST: usize = 5;
/// The same with more than three lists.
const PER_LIST_MANY: usize = 2;
/// Candidates kept per record over all lists by words, with up to three lists.
pub const PER_RECORD: usize = 12;
/// The same with more lists: a part sold by many is found through any of them.
const PER_RECORD_MANY: usize = 6;
/// Words followed per record, rarest first.
const WORDS_FOLLOWED: usize = 16;

pub(super) struct Postings {
    by: By,
    starts: Vec<u32>,
    records: Vec<u32>,
}

/// Which words records are looked up by.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    Titles,
    /// titles and further texts together
    Everything,
}

impl By {
    fn words(self, record: &Record) -> &[u32] {
        match self {
            By::Titles => &record.words,
            By::Everything => &record.everything,
        }
    }

    fn idf(self, records: &Records) -> &[f32] {
        match self {
            By::Titles => &records.idf,
            By::Everything => &records.whole_idf,
        }
    }

    fn length(self, record: &Record) -> f32 {
        match self {
            By::Titles => record.length,
            By::Everything => record.whole_length,
        }
    }
}

impl Postings {
    pub(super) fn of(records: &Records, by: By, cap: usize) -> Postings {
        let rare_from = (1.0 + records.len() as f32 / cap as f32).ln() - 1e-4;
        let kept = |w: u32| by.idf(records)[w as usize] >= rare_from;
        let mut starts = vec![0u32; records.words.len() + 1];
        for record in &records.list {
            for &w in by.words(record).iter().filter(|w| kept(**w)) {
                starts[w as usize + 1] += 1;
            }
        }
        for w in 1..starts.len() {
            starts[w] += starts[w - 1];
        }
        let mut next = starts.clone();
        let mut list = vec![0u32; starts.last().copied().unwrap_or(0) as usize];
        for (i, record) in records.list.iter().enumerate() {
            for &w in by.words(record).iter().filter(|w| kept(**w)) {
                list[next[w as usize] as usize] = i as u32;
                next[w as usize] += 1;
            }
        }
        Postings {
            by,
            starts,
            records: list,
        }
    }

    fn of_word(&self, word: u32) -> &[u32] {
        &self.records[self.starts[word as usize] as usize..self.starts[word as usize + 1] as usize]
    }
}

pub(super) fn best_pairs(records: &Records, postings: &Postings, indices: &[u32], place: Where) -> Vec<(u32, u32)> {
    let seen: Vec<Seen> = records.list.iter().map(|r| Seen::of(r, postings.by)).collect();
    let found: Vec<Vec<(u32, u32)>> = indices
        .par_chunks(2048)
        .map_init(
            || Scoreboard::new(records.len()),
            |board, chunk| {
                let mut pairs = Vec::with_capacity(chunk.len() * PER_RECORD_MANY);
                for &i in chunk {
                    board.best_of(records, &seen, postings, i, place, &mut pairs);
                }
                pairs
            },
        )
        .collect();
    found.concat()
}

/// What of a record a search by words looks at, close together.
#[derive(Clone, Copy)]
struct Seen {
    list: u32,
    kind: u8,
    length: f32,
}

impl Seen {
    fn of(record: &Record, by: By) -> Seen {
        Seen {
            list: record.list,
            kind: record.kind,
            length: by.length(record).max(1e-6),
        }
    }
}

/// Where candidates are looked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Where {
    OtherLists,
    OwnList,
}

/// Scratch space to add up shared idf by candidate.
struct Scoreboard {
    score: Vec<f32>,
    touched: Vec<u32>,
    words: Vec<u32>,
    ranked: Vec<u64>,
}

/// Best candidates put in order before all of them are.
const FIRST_RANKED: usize = 48;

impl Scoreboard {
    fn new(records: usize) -> Self {
        Scoreboard {
            score: vec![0.0; records],
            touched: Vec::new(),
            words: Vec::new(),
            ranked: Vec::new(),
        }
    }

    fn best_of(
        &mut self,
        records: &Records,
        seen: &[Seen],
        postings: &Postings,
        i: u32,
        place: Where,
        out: &mut Vec<(u32, u32)>,
    ) {
        let me = seen[i as usize];
        let words = postings.by.words(&records.list[i as usize]);
        let idf = postings.by.idf(records);
        self.words.clear();
        self.words
            .extend(words.iter().filter(|w| !postings.of_word(**w).is_empty()));
        self.words
            .sort_unstable_by(|a, b| idf[*b as usize].total_cmp(&idf[*a as usize]).then(a.cmp(b)));
        self.words.truncate(WORDS_FOLLOWED);
        // a single list is searched for its own repeats
        let own = place == Where::OwnList || records.lists == 1;
        for &w in &self.words {
            let gain = idf[w as usize].powi(2);
            for &j in postings.of_word(w) {
                let other = seen[j as usize];
                if j == i || other.kind != me.kind || (other.list == me.list) != own {
                    continue;
                }
                let score = &mut self.score[j as usize];
                if *score == 0.0 {
                    self.touched.push(j);
                }
                *score += gain / other.length;
            }
        }
        let (per_list, per_record) = match records.lists {
            1 => (PER_RECORD, PER_RECORD),
            2 | 3 => (PER_LIST, PER_RECORD),
            _ => (PER_LIST_MANY, PER_RECORD_MANY),
        };
        self.rank();
        out.extend(
            self.best(|j| seen[j as usize].list, per_list, per_record)
                .map(|j| (i.min(j), i.max(j))),
        );
    }

    /// Turns the scores into ranks, the best first of the [`FIRST_RANKED`], the others behind them in any order.
    fn rank(&mut self) {
        self.ranked.clear();
        for &j in &self.touched {
            // positive figures stand in the order of their bits; of equals the earlier record is better
            let score = std::mem::take(&mut self.score[j as usize]).to_bits();
            self.ranked.push(!(u64::from(score) << 32 | u64::from(!j)));
        }
        self.touched.clear();
        if self.ranked.len() > FIRST_RANKED {
            self.ranked.select_nth_unstable(FIRST_RANKED);
            self.ranked[..FIRST_RANKED].sort_unstable();
        } else {
            self.ranked.sort_unstable();
        }
    }

    /// The best candidates, at most `per_list` of one list and `per_record` in all.
    fn best(&mut self, list_of: impl Fn(u32) -> u32, per_list: usize, per_record: usize) -> impl Iterator<Item = u32> {
        let mut taken = [(0u32, 0u32); PER_RECORD];
        let mut count = 0;
        for at in 0..self.ranked.len() {
            if count == per_record {
                break;
            }
            if at == FIRST_RANKED {
                self.ranked[at..].sort_unstable();
            }
            let j = self.ranked[at] as u32;
            let list = list_of(j);
            if taken[..count].iter().filter(|t| t.0 == list).count() < per_list {
                taken[count] = (list, j);
                count += 1;
            }
        }
        taken.into_iter().take(count).map(|t| t.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// All candidates in order, those of each list cut, the rest in order again and cut.
    fn plainly(scores: &[(u32, f32)], per_list: usize, per_record: usize) -> Vec<u32> {
        let mut ranked: Vec<(u32, f32, u32)> = scores
            .iter()
            .zip(0..)
            .map(|((list, score), j)| (*list, *score, j))
            .collect();
        ranked.sort_by(|x, y| x.0.cmp(&y.0).then(y.1.total_cmp(&x.1)).then(x.2.cmp(&y.2)));
        let mut kept: Vec<(u32, f32, u32)> = ranked
            .chunk_by(|x, y| x.0 == y.0)
            .flat_map(|l| &l[..per_list.min(l.len())])
            .copied()
            .collect();
        kept.sort_by(|x, y| y.1.total_cmp(&x.1).then(x.2.cmp(&y.2)));
        kept.iter().take(per_record).map(|k| k.2).collect()
    }

    proptest! {
        #[test]
        fn the_best_are_found_without_putting_all_in_order(
            scores in prop::collection::vec((0..9u32, 1..40u8), 0..300),
            per_list in 1..6usize,
            per_record in 1..13usize,
        ) {
            let scores: Vec<(u32, f32)> = scores.into_iter().map(|(list, score)| (list, f32::from(score) / 7.0)).collect();
            let mut board = Scoreboard::new(scores.len());
            board.score = scores.iter().map(|s| s.1).collect();
            board.touched = (0..scores.len() as u32).rev().collect();
            board.rank();
            let best: Vec<u32> = board.best(|j| scores[j as usize].0, per_list, per_record).collect();
            prop_assert_eq!(best, plainly(&scores, per_list, per_record));
        }
    }
}
