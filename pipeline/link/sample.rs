//! A sample of whole neighbourhoods to learn weights on, where there are more pairs than learning needs.
//!
//! Rivals are what makes the learning work, so pairs cannot be drawn one by one: a *neighbourhood* is a
//! record, its candidates, and all pairs of any of them. Records are visited in strides, so that every
//! list takes part; the choice depends on the pairs alone.

/// Pairs that are enough to learn on.
pub const ENOUGH: usize = 200_000;
/// Distance between records visited one after another.
const STRIDE: usize = 97;

/// Indices of the pairs to learn on, ascending; `None` when all should be used.
pub fn neighbourhoods(pairs: &[(u32, u32)], records: usize) -> Option<Vec<u32>> {
    if pairs.len() <= ENOUGH + ENOUGH / 2 {
        return None;
    }
    let beside = Beside::of(pairs, records);
    let mut taken = vec![false; pairs.len()];
    let mut count = 0;
    'visits: for first in 0..STRIDE {
        for core in (first..records).step_by(STRIDE) {
            for &e in beside.of_record(core) {
                let (a, b) = pairs[e as usize];
                let other = if a as usize == core { b } else { a };
                for &near in beside.of_record(other as usize) {
                    count += usize::from(!std::mem::replace(&mut taken[near as usize], true));
                }
            }
            if count >= ENOUGH {
                break 'visits;
            }
        }
    }
    Some((0..pairs.len() as u32).filter(|e| taken[*e as usize]).collect())
}

/// Pairs by record.
struct Beside {
    starts: Vec<u32>,
    pairs: Vec<u32>,
}

impl Beside {
    fn of(pairs: &[(u32, u32)], records: usize) -> Beside {
        let mut starts = vec![0u32; records + 1];
        for &(a, b) in pairs {
            starts[a as usize + 1] += 1;
            starts[b as usize + 1] += 1;
        }
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let mut next = starts.clone();
        let mut list = vec![0u32; pairs.len() * 2];
        for (e, &(a, b)) in pairs.iter().enumerate() {
            for record in [a, b] {
                list[next[record as usize] as usize] = e as u32;
                next[record as usize] += 1;
            }
        }
        Beside { starts, pairs: list }
    }

    fn of_record(&self, record: usize) -> &[u32] {
        &self.pairs[self.starts[record] as usize..self.starts[record + 1] as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_pairs_are_all_used() {
        assert_eq!(neighbourhoods(&[(0, 1)], 2), None);
    }

    #[test]
    fn of_many_pairs_whole_neighbourhoods_are_taken() {
        // a thousand crowds of thirty records, every pair of a crowd a candidate
        let pairs: Vec<(u32, u32)> = (0..1000u32)
            .flat_map(|crowd| (0..30).flat_map(move |a| (a + 1..30).map(move |b| (crowd * 30 + a, crowd * 30 + b))))
            .collect();
        let taken = neighbourhoods(&pairs, 30_000).unwrap_or_default();
        assert!(taken.len() >= ENOUGH && taken.len() < pairs.len());
        assert_eq!(taken.len() % 435, 0, "a crowd is taken whole or not at all");
    }
}
