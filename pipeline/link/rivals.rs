//! A pair scored against the other candidates of both sides, list by list.
//!
//! A supplier seldom lists one made part twice, so the candidates of one record inside one other
//! list are *rivals*: at most one of them is true. This is inference, not a filter: odds are passed
//! along the candidate graph (belief propagation for a matching), about a dozen damped rounds:
//! `alpha_ij = w_ij / (1 + sum of beta_ik over the rivals k of j)`,
//! `beta_ij  = w_ij / (1 + sum of alpha_kj over the rivals k of i)`,
//! and the odds of the pair are `alpha * beta / w`. How strongly rivals exclude each other is a
//! number per pair of lists, between 0 (not at all) and 1 (only one can be true).

use super::contests::{Seat, by_contest, numbered};
use super::messages::Messages;
use rayon::prelude::*;

/// Pairs that are settled as one piece of parallel work, about.
const SETTLED_AT_ONCE: usize = 8192;

/// The candidate graph, taken apart into contests: pairs that no rivalry ties to each other are settled apart, each in
/// as little memory as it needs. Most pairs have no rival at all and are settled at once.
#[derive(Debug)]
pub struct Rivals {
    /// all pairs, contest by contest, ascending inside
    seats: Vec<Seat>,
    /// first seat of each contest, and the end
    contests: Vec<u32>,
    /// per pair, how far the second record's list holds one part once only, and the first record's; 0 to 1
    strength: Vec<(f32, f32)>,
    /// whether each list gives a thing of its own a number of its own, see [`Numbering`]
    numbering: Numbering,
    /// per pair inside a list, how far that list holds one part once only; 0 for other pairs, empty when nothing is known
    once_inside: Vec<f32>,
}

/// Whether the lists number what they sell.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Numbering {
    /// nothing is known of it
    Unknown,
    /// lists of parts: a supplier gives one part one number, so that two of its lines that only words bring together are
    /// hardly ever one part (common practice, no source)
    OnePartOneNumber,
}

impl Rivals {
    /// `list_of` gives the list of a record; `item_of` the part within the list (records of one
    /// list already known to be the same part share an item and do not rival each other).
    pub fn of(pairs: &[(u32, u32)], list_of: &[u32], item_of: &[u32], strength: Vec<(f32, f32)>) -> Rivals {
        let item = |record: u32| item_of[record as usize];
        let seen = pairs.iter().flat_map(|&(a, b)| {
            let list = |record: u32| list_of[record as usize];
            [(item(a), list(b)), (item(b), list(a))]
        });
        let (places, groups) = numbered(item_of.len(), seen);
        let (between, _) = numbered(
            item_of.len(),
            pairs.iter().map(|&(a, b)| (item(a).min(item(b)), item(a).max(item(b)))),
        );
        let mut seats: Vec<Seat> = places
            .chunks_exact(2)
            .zip(&between)
            .zip(0..)
            .map(|((place, between), pair)| Seat {
                pair,
                from_a: place[0],
                from_b: place[1],
                between: *between,
            })
            .collect();
        let contests = by_contest(&mut seats, groups);
        Rivals {
            seats,
            contests,
            strength,
            numbering: Numbering::Unknown,
            once_inside: Vec::new(),
        }
    }

    /// The same where pairs inside a list are held down as far as that list holds one part once only.
    pub fn held_inside(self, once_inside: Vec<f32>) -> Rivals {
        Rivals { once_inside, ..self }
    }

    /// How far a pair inside a list has a list against it that holds one part once only; 0 for pairs between lists.
    pub fn once_inside(&self, pair: usize) -> f32 {
        self.once_inside.get(pair).copied().unwrap_or(0.0)
    }

    /// The same among lists that number what they sell in this way.
    pub fn numbered(self, numbering: Numbering) -> Rivals {
        Rivals { numbering, ..self }
    }

    /// How the lists number what they sell.
    pub fn numbering(&self) -> Numbering {
        self.numbering
    }

    /// How far the lists of a pair hold one part once only: the weaker of the two.
    pub fn exclusivity(&self, pair: usize) -> f32 {
        let (b, a) = self.strength[pair];
        a.min(b)
    }

    /// How little rivals exclude each other, on average; 1 for a single list.
    pub fn open(&self) -> f64 {
        let sum: f64 = self.strength.iter().map(|s| f64::from(s.0 + s.1) / 2.0).sum();
        1.0 - sum / self.strength.len().max(1) as f64
    }

    /// Probability of each pair from its own log odds and its rivals'.
    pub fn posteriors(&self, log_odds: &[f64]) -> Vec<f64> {
        let mut settled = vec![0.0; self.seats.len()];
        self.pieces(&mut settled)
            .into_par_iter()
            .for_each(|(contests, settled)| {
                let mut messages = Messages::default();
                let mut rest = settled;
                for contest in contests.windows(2) {
                    let seats = &self.seats[contest[0] as usize..contest[1] as usize];
                    let (mine, others) = rest.split_at_mut(seats.len());
                    messages.settle(seats, &self.strength, log_odds, mine);
                    rest = others;
                }
            });
        let mut probability = vec![0.0; self.seats.len()];
        for (seat, settled) in self.seats.iter().zip(settled) {
            probability[seat.pair as usize] = settled;
        }
        probability
    }

    /// Whole contests with their share of `settled`, in pieces of work of about one size.
    fn pieces<'a>(&self, mut settled: &'a mut [f64]) -> Vec<(&[u32], &'a mut [f64])> {
        let mut pieces = Vec::new();
        let mut first = 0;
        for at in 1..self.contests.len() {
            let seats = (self.contests[at] - self.contests[first]) as usize;
            if seats >= SETTLED_AT_ONCE || at + 1 == self.contests.len() {
                let (mine, others) = settled.split_at_mut(seats);
                pieces.push((&self.contests[first..=at], mine));
                settled = others;
                first = at;
            }
        }
        pieces
    }

    /// For each pair, how free its two places are for it: the probability that no rival fills either, as far as rivals
    /// exclude each other, with the pair itself counted among them once.
    pub fn free(&self, probability: &[f64]) -> Vec<f64> {
        let filled_a = self.filled(|seat| seat.from_a, probability);
        let filled_b = self.filled(|seat| seat.from_b, probability);
        let mut free = vec![0.0; probability.len()];
        for seat in &self.seats {
            let p = probability[seat.pair as usize];
            let (of_b, of_a) = self.strength[seat.pair as usize];
            let left = |filled: f64, strength: f32| (1.0 - p - f64::from(strength) * (filled - p).max(0.0)).max(0.0);
            let (a, b) = (
                left(filled_a[seat.from_a as usize], of_b),
                left(filled_b[seat.from_b as usize], of_a),
            );
            free[seat.pair as usize] = a * b / (1.0 - p).max(1e-9);
        }
        free
    }

    /// Sum of the probabilities at each place.
    fn filled(&self, place: impl Fn(&Seat) -> u32, probability: &[f64]) -> Vec<f64> {
        let places = self.seats.iter().map(|seat| place(seat) + 1).max().unwrap_or(0);
        let mut filled = vec![0.0; places as usize];
        for seat in &self.seats {
            filled[place(seat) as usize] += probability[seat.pair as usize];
        }
        filled
    }

    /// For each pair the best of its rivals' `values` on the first and on the second side.
    pub fn best_rival(&self, values: &[f32]) -> Vec<(f32, f32)> {
        let best_a = self.two_best(|seat| seat.from_a, values);
        let best_b = self.two_best(|seat| seat.from_b, values);
        let rival = |best: &[(f32, f32)], g: u32, v: f32| {
            let (first, second) = best[g as usize];
            if v >= first { second } else { first }
        };
        let mut rivals = vec![(0.0, 0.0); values.len()];
        for seat in &self.seats {
            let value = values[seat.pair as usize];
            rivals[seat.pair as usize] = (rival(&best_a, seat.from_a, value), rival(&best_b, seat.from_b, value));
        }
        rivals
    }

    fn two_best(&self, place: impl Fn(&Seat) -> u32, values: &[f32]) -> Vec<(f32, f32)> {
        let places = self.seats.iter().map(|seat| place(seat) + 1).max().unwrap_or(0);
        let mut best = vec![(0.0f32, 0.0f32); places as usize];
        for seat in &self.seats {
            let (slot, v) = (&mut best[place(seat) as usize], values[seat.pair as usize]);
            if v > slot.0 {
                *slot = (v, slot.0);
            } else if v > slot.1 {
                slot.1 = v;
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two_lists(pairs: &[(u32, u32)], log_odds: &[f64], strength: f32) -> Vec<f64> {
        let lists = [0, 0, 1, 1];
        let rivals = Rivals::of(pairs, &lists, &[0, 1, 2, 3], vec![(strength, strength); pairs.len()]);
        rivals.posteriors(log_odds)
    }

    #[test]
    fn a_pair_without_rivals_keeps_its_own_odds() {
        let p = two_lists(&[(0, 2)], &[1.5], 1.0);
        assert!((p[0] - 1.0 / (1.0 + (-1.5f64).exp())).abs() < 1e-9);
    }

    #[test]
    fn two_equal_rivals_share_the_probability() {
        let p = two_lists(&[(0, 2), (0, 3)], &[6.0, 6.0], 1.0);
        assert!((p[0] - 0.5).abs() < 0.02 && (p[1] - 0.5).abs() < 0.02, "{p:?}");
    }

    #[test]
    fn a_rival_taken_by_another_record_frees_its_place() {
        // record 0 could be 2 or 3, but 3 is almost surely record 1
        let p = two_lists(&[(0, 2), (0, 3), (1, 3)], &[2.0, 2.0, 9.0], 1.0);
        assert!(p[0] > 0.8 && p[1] < 0.1 && p[2] > 0.98, "{p:?}");
    }

    #[test]
    fn a_very_likely_wrong_pair_gives_way_to_a_still_likelier_right_one() {
        let p = two_lists(&[(0, 2), (0, 3), (1, 3)], &[34.0, 22.0, 34.0], 1.0);
        assert!(p[1] < 1e-3 && p[0] > 0.999 && p[2] > 0.999, "{p:?}");
    }

    #[test]
    fn a_place_is_free_as_far_as_no_rival_fills_it() {
        let pairs = [(0, 2), (0, 3)];
        let free = |strength: f32| {
            let rivals = Rivals::of(&pairs, &[0, 0, 1, 1], &[0, 1, 2, 3], vec![(strength, strength); 2]);
            rivals.free(&[0.9, 0.05])
        };
        assert!(
            (free(1.0)[1] - 0.05).abs() < 1e-9,
            "record 0 is taken nine times in ten"
        );
        assert!((free(0.0)[1] - 0.95).abs() < 1e-9, "nothing excludes: free unless true");
    }

    #[test]
    fn one_part_listed_twice_does_not_rival_itself() {
        let lists = [0, 1, 1];
        let rivals = Rivals::of(&[(0, 1), (0, 2)], &lists, &[0, 1, 1], vec![(1.0, 1.0); 2]);
        let p = rivals.posteriors(&[2.0, 2.0]);
        assert!(p.iter().all(|p| *p > 0.85), "{p:?}");
    }

    #[test]
    fn without_exclusivity_rivals_do_not_matter() {
        let p = two_lists(&[(0, 2), (0, 3)], &[2.0, 2.0], 0.0);
        assert!((p[0] - p[1]).abs() < 1e-12 && p[0] > 0.88);
    }
}
