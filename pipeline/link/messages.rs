//! Odds passed along the candidate graph of one contest, in damped rounds.

use super::contests::Seat;

const ROUNDS: usize = 14;
/// Log odds below which a pair neither wins a place nor keeps a rival from it.
const HOPELESS: f64 = -12.0;
/// Log odds above which a pair is as good as sure.
const SURE: f64 = 40.0;

/// The messages of the live pairs of one contest, with the sums they are compared with.
#[derive(Default)]
pub(super) struct Messages {
    live: Vec<Live>,
    beta_of_a: Vec<f64>,
    alpha_of_b: Vec<f64>,
    /// of beta and of alpha
    between: Vec<(f64, f64)>,
}

/// One live pair of a contest.
struct Live {
    /// place in the contest
    at: u32,
    from_a: u32,
    from_b: u32,
    between: u32,
    of_b: f64,
    of_a: f64,
    w: f64,
    alpha: f64,
    beta: f64,
}

impl Messages {
    /// Settles one contest: probability of each of its seats.
    pub(super) fn settle(&mut self, seats: &[Seat], strength: &[(f32, f32)], log_odds: &[f64], settled: &mut [f64]) {
        self.live.clear();
        for ((seat, settled), at) in seats.iter().zip(settled.iter_mut()).zip(0..) {
            let score = log_odds[seat.pair as usize];
            if score > HOPELESS {
                let (of_b, of_a) = strength[seat.pair as usize];
                let w = score.min(SURE).exp();
                self.live.push(Live {
                    at,
                    from_a: seat.from_a - seats[0].from_a,
                    from_b: seat.from_b - seats[0].from_b,
                    between: seat.between - seats[0].between,
                    of_b: f64::from(of_b),
                    of_a: f64::from(of_a),
                    w,
                    alpha: w,
                    beta: w,
                });
            } else {
                *settled = score.exp() / (1.0 + score.exp());
            }
        }
        if self.live.len() > 1 {
            self.make_room();
            for _ in 0..ROUNDS {
                if !self.pass() {
                    break;
                }
            }
        }
        for live in &self.live {
            let odds = live.alpha * live.beta / live.w;
            settled[live.at as usize] = odds / (1.0 + odds);
        }
    }

    fn make_room(&mut self) {
        let places = |place: fn(&Live) -> u32| self.live.iter().map(place).max().unwrap_or(0) as usize + 1;
        let (a, b, between) = (places(|l| l.from_a), places(|l| l.from_b), places(|l| l.between));
        self.beta_of_a.resize(a, 0.0);
        self.alpha_of_b.resize(b, 0.0);
        self.between.resize(between, (0.0, 0.0));
    }

    /// One round; tells whether any message changed.
    fn pass(&mut self) -> bool {
        self.beta_of_a.fill(0.0);
        self.alpha_of_b.fill(0.0);
        self.between.fill((0.0, 0.0));
        for live in &self.live {
            self.beta_of_a[live.from_a as usize] += live.beta;
            self.alpha_of_b[live.from_b as usize] += live.alpha;
            let between = &mut self.between[live.between as usize];
            between.0 += live.beta;
            between.1 += live.alpha;
        }
        let mut changed = false;
        for live in &mut self.live {
            let same = self.between[live.between as usize];
            let others = (self.beta_of_a[live.from_a as usize] - same.0).max(0.0) * live.of_b;
            let others_b = (self.alpha_of_b[live.from_b as usize] - same.1).max(0.0) * live.of_a;
            let (alpha, beta) = (
                damp(live.alpha, live.w / (1.0 + others)),
                damp(live.beta, live.w / (1.0 + others_b)),
            );
            changed |= alpha != live.alpha || beta != live.beta;
            (live.alpha, live.beta) = (alpha, beta);
        }
        changed
    }
}

/// Half way from the old message to the new one, by their logarithms: half way by their values, a message that starts
/// far too high would need as many rounds as it has bits to come down.
fn damp(old: f64, new: f64) -> f64 {
    (old * new).sqrt()
}

#[cfg(test)]
mod tests {
    use super::super::rivals::Rivals;
    use super::*;
    use proptest::prelude::*;

    /// The same passing of odds written plainly: every sum over all pairs, every round for all of them.
    fn plainly(pairs: &[(u32, u32)], list: &[u32], item: &[u32], strength: &[(f32, f32)], odds: &[f64]) -> Vec<f64> {
        let of = |e: usize| {
            let (a, b) = (pairs[e].0 as usize, pairs[e].1 as usize);
            let between = (item[a].min(item[b]), item[a].max(item[b]));
            ((item[a], list[b]), (item[b], list[a]), between)
        };
        let live: Vec<usize> = (0..pairs.len()).filter(|e| odds[*e] > HOPELESS).collect();
        let w: Vec<f64> = odds.iter().map(|s| s.min(SURE).exp()).collect();
        let (mut alpha, mut beta) = (w.clone(), w.clone());
        for _ in 0..ROUNDS {
            let mut next = (alpha.clone(), beta.clone());
            for &e in &live {
                let sum = |message: &[f64], like: &dyn Fn(usize) -> bool| {
                    live.iter()
                        .filter(|k| like(**k))
                        .map(|k| message[*k])
                        .fold(0.0, |x, y| x + y)
                };
                let same = |message: &[f64]| sum(message, &|k| of(k).2 == of(e).2);
                let of_a = (sum(&beta, &|k| of(k).0 == of(e).0) - same(&beta)).max(0.0);
                let of_b = (sum(&alpha, &|k| of(k).1 == of(e).1) - same(&alpha)).max(0.0);
                next.0[e] = damp(alpha[e], w[e] / (1.0 + of_a * f64::from(strength[e].0)));
                next.1[e] = damp(beta[e], w[e] / (1.0 + of_b * f64::from(strength[e].1)));
            }
            (alpha, beta) = next;
        }
        let mut probability: Vec<f64> = odds.iter().map(|s| s.exp() / (1.0 + s.exp())).collect();
        for &e in &live {
            let odds = alpha[e] * beta[e] / w[e];
            probability[e] = odds / (1.0 + odds);
        }
        probability
    }

    proptest! {
        #[test]
        fn contests_settled_apart_come_out_as_all_pairs_together(
            drawn in prop::collection::btree_set((0..24u32, 0..24u32), 0..60),
            list in prop::collection::vec(0..4u32, 24),
            leader in prop::collection::vec(0..24usize, 24),
            strength in prop::collection::vec((0.0..1.0f32, 0.0..1.0f32), 60),
            odds in prop::collection::vec(-16.0..40.0f64, 60),
        ) {
            let pairs: Vec<(u32, u32)> = drawn.into_iter().filter(|(a, b)| a < b).collect();
            // an item is the first record of its list that leads it
            let item: Vec<u32> = (0..24)
                .map(|i| if leader[i] < i && list[leader[i]] == list[i] { leader[i] as u32 } else { i as u32 })
                .collect();
            let strength: Vec<(f32, f32)> = pairs
                .iter()
                .zip(strength)
                .map(|((a, b), s)| if list[*a as usize] == list[*b as usize] { (0.0, 0.0) } else { s })
                .collect();
            let odds = &odds[..pairs.len()];
            let rivals = Rivals::of(&pairs, &list, &item, strength.clone());
            prop_assert_eq!(rivals.posteriors(odds), plainly(&pairs, &list, &item, &strength, odds));
        }
    }
}
