//! A pair scored against the other candidates of both sides, list by list.
//!
//! A supplier seldom lists one made part twice, so the candidates of one record inside one other
//! list are *rivals*: at most one of them is true. This is inference, not a filter: odds are passed
//! along the candidate graph (belief propagation for a matching), about a dozen damped rounds:
//! `alpha_ij = w_ij / (1 + sum of beta_ik over the rivals k of j)`,
//! `beta_ij  = w_ij / (1 + sum of alpha_kj over the rivals k of i)`,
//! and the odds of the pair are `alpha * beta / w`. How strongly rivals exclude each other is a
//! number per pair of lists, between 0 (not at all) and 1 (only one can be true).

use rayon::prelude::*;

const ROUNDS: usize = 14;
/// Log odds below which a pair neither wins a place nor keeps a rival from it.
const HOPELESS: f64 = -12.0;
const DAMPING: f64 = 0.5;

/// The candidate graph, arranged so that the rivals of a pair lie side by side.
#[derive(Debug)]
pub struct Rivals {
    /// group of a pair seen from its first record: same record, same other list
    from_a: Vec<u32>,
    /// group of a pair seen from its second record
    from_b: Vec<u32>,
    groups: usize,
    /// pairs between the same two items: one candidate listed more than once, no rivals of each other
    between: Vec<u32>,
    betweens: usize,
    /// per pair, how far the second record's list holds one part once only, and the first record's; 0 to 1
    strength: Vec<(f32, f32)>,
}

impl Rivals {
    /// `list_of` gives the list of a record; `item_of` the part within the list (records of one
    /// list already known to be the same part share an item and do not rival each other).
    pub fn of(pairs: &[(u32, u32)], list_of: &[u32], item_of: &[u32], strength: Vec<(f32, f32)>) -> Rivals {
        let mut keys: Vec<(u32, u32, u32, bool)> = Vec::with_capacity(pairs.len() * 2);
        for (e, &(a, b)) in pairs.iter().enumerate() {
            keys.push((item_of[a as usize], list_of[b as usize], e as u32, true));
            keys.push((item_of[b as usize], list_of[a as usize], e as u32, false));
        }
        keys.par_sort_unstable();
        let mut rivals = Rivals {
            from_a: vec![0; pairs.len()],
            from_b: vec![0; pairs.len()],
            groups: 0,
            between: vec![0; pairs.len()],
            betweens: 0,
            strength,
        };
        rivals.find_betweens(pairs, item_of);
        for group in keys.chunk_by(|x, y| (x.0, x.1) == (y.0, y.1)) {
            for &(_, _, e, first) in group {
                let side = if first { &mut rivals.from_a } else { &mut rivals.from_b };
                side[e as usize] = rivals.groups as u32;
            }
            rivals.groups += 1;
        }
        rivals
    }

    fn find_betweens(&mut self, pairs: &[(u32, u32)], item_of: &[u32]) {
        let mut keys: Vec<(u32, u32, u32)> = pairs
            .iter()
            .enumerate()
            .map(|(e, &(a, b))| {
                let (x, y) = (item_of[a as usize], item_of[b as usize]);
                (x.min(y), x.max(y), e as u32)
            })
            .collect();
        keys.par_sort_unstable();
        for same in keys.chunk_by(|p, q| (p.0, p.1) == (q.0, q.1)) {
            for &(_, _, e) in same {
                self.between[e as usize] = self.betweens as u32;
            }
            self.betweens += 1;
        }
    }

    /// Places to be filled: pairs of a record and another list in which it has candidates.
    pub fn groups(&self) -> usize {
        self.groups
    }

    /// How far the lists of a pair hold one part once only: the weaker of the two.
    pub fn exclusivity(&self, pair: usize) -> f32 {
        let (b, a) = self.strength[pair];
        a.min(b)
    }

    /// Mean strength of exclusivity over the pairs.
    pub fn mean_strength(&self) -> f64 {
        self.strength.iter().map(|s| f64::from(s.0 + s.1) / 2.0).sum::<f64>() / self.strength.len().max(1) as f64
    }

    /// Probability of each pair from its own log odds and its rivals'.
    pub fn posteriors(&self, log_odds: &[f64]) -> Vec<f64> {
        let live: Vec<u32> = (0..log_odds.len() as u32)
            .filter(|e| log_odds[*e as usize] > HOPELESS)
            .collect();
        let mut messages = Messages::new(self, &live, log_odds);
        for _ in 0..ROUNDS {
            messages.pass(self, &live);
        }
        let mut probability: Vec<f64> = log_odds.iter().map(|s| s.exp() / (1.0 + s.exp())).collect();
        for (k, &e) in live.iter().enumerate() {
            let odds = messages.alpha[k] * messages.beta[k] / messages.w[k];
            probability[e as usize] = odds / (1.0 + odds);
        }
        probability
    }

    /// For each pair the best of its rivals' `values` on the first and on the second side.
    pub fn best_rival(&self, values: &[f32]) -> Vec<(f32, f32)> {
        let best_a = self.two_best(&self.from_a, values);
        let best_b = self.two_best(&self.from_b, values);
        let rival = |best: &[(f32, f32)], g: u32, v: f32| {
            let (first, second) = best[g as usize];
            if v >= first { second } else { first }
        };
        values
            .iter()
            .enumerate()
            .map(|(e, v)| (rival(&best_a, self.from_a[e], *v), rival(&best_b, self.from_b[e], *v)))
            .collect()
    }

    fn two_best(&self, group_of: &[u32], values: &[f32]) -> Vec<(f32, f32)> {
        let mut best = vec![(0.0f32, 0.0f32); self.groups];
        for (g, &v) in group_of.iter().zip(values) {
            let slot = &mut best[*g as usize];
            if v > slot.0 {
                *slot = (v, slot.0);
            } else if v > slot.1 {
                slot.1 = v;
            }
        }
        best
    }
}

/// The messages of the live pairs, with the sums they are compared with.
struct Messages {
    w: Vec<f64>,
    alpha: Vec<f64>,
    beta: Vec<f64>,
    beta_of_a: Vec<f64>,
    alpha_of_b: Vec<f64>,
    beta_between: Vec<f64>,
    alpha_between: Vec<f64>,
}

impl Messages {
    fn new(rivals: &Rivals, live: &[u32], log_odds: &[f64]) -> Messages {
        let w: Vec<f64> = live.iter().map(|e| log_odds[*e as usize].min(30.0).exp()).collect();
        Messages {
            alpha: w.clone(),
            beta: w.clone(),
            w,
            beta_of_a: vec![0.0; rivals.groups],
            alpha_of_b: vec![0.0; rivals.groups],
            beta_between: vec![0.0; rivals.betweens],
            alpha_between: vec![0.0; rivals.betweens],
        }
    }

    fn pass(&mut self, rivals: &Rivals, live: &[u32]) {
        for sums in [
            &mut self.beta_of_a,
            &mut self.alpha_of_b,
            &mut self.beta_between,
            &mut self.alpha_between,
        ] {
            sums.fill(0.0);
        }
        for (k, &e) in live.iter().enumerate() {
            let e = e as usize;
            self.beta_of_a[rivals.from_a[e] as usize] += self.beta[k];
            self.alpha_of_b[rivals.from_b[e] as usize] += self.alpha[k];
            self.beta_between[rivals.between[e] as usize] += self.beta[k];
            self.alpha_between[rivals.between[e] as usize] += self.alpha[k];
        }
        for (k, &e) in live.iter().enumerate() {
            let e = e as usize;
            let (of_b, of_a) = rivals.strength[e];
            let same = rivals.between[e] as usize;
            let others =
                (self.beta_of_a[rivals.from_a[e] as usize] - self.beta_between[same]).max(0.0) * f64::from(of_b);
            let others_b =
                (self.alpha_of_b[rivals.from_b[e] as usize] - self.alpha_between[same]).max(0.0) * f64::from(of_a);
            self.alpha[k] = damp(self.alpha[k], self.w[k] / (1.0 + others));
            self.beta[k] = damp(self.beta[k], self.w[k] / (1.0 + others_b));
        }
    }
}

fn damp(old: f64, new: f64) -> f64 {
    DAMPING * old + (1.0 - DAMPING) * new
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
