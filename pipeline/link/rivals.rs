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
/// Log odds above which a pair is as good as sure.
const SURE: f64 = 40.0;
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

/// Where a pair stands among its rivals. Places are numbered through, those of one contest side by side.
#[derive(Clone, Copy, Debug, Default)]
struct Seat {
    pair: u32,
    /// place seen from the first record: same record, same other list
    from_a: u32,
    /// place seen from the second record
    from_b: u32,
    /// pairs between the same two items: one candidate listed more than once, no rivals of each other
    between: u32,
}

type PlaceOf = for<'a> fn(&'a mut Seat) -> &'a mut u32;

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

/// Numbers equal seats alike: a seat is a bucket, of which there are `buckets`, and a key inside it.
fn numbered(buckets: usize, seats: impl Iterator<Item = (u32, u32)> + Clone) -> (Vec<u32>, usize) {
    let mut starts = vec![0u32; buckets + 1];
    for (bucket, _) in seats.clone() {
        starts[bucket as usize + 1] += 1;
    }
    for at in 1..starts.len() {
        starts[at] += starts[at - 1];
    }
    let mut next = starts.clone();
    let mut laid: Vec<(u32, u32)> = vec![(0, 0); starts[buckets] as usize];
    for ((bucket, key), seat) in seats.zip(0..) {
        laid[next[bucket as usize] as usize] = (key, seat);
        next[bucket as usize] += 1;
    }
    let mut number = vec![0u32; laid.len()];
    let mut numbers = 0;
    for bucket in starts.windows(2) {
        let laid = &mut laid[bucket[0] as usize..bucket[1] as usize];
        laid.sort_unstable();
        for same in laid.chunk_by(|x, y| x.0 == y.0) {
            same.iter().for_each(|(_, seat)| number[*seat as usize] = numbers);
            numbers += 1;
        }
    }
    (number, numbers as usize)
}

/// Sorts seats into contests and numbers the places of each side by side; returns where each contest starts, and the
/// end. Two pairs are in one contest when they, or others between them, share a place.
fn by_contest(seats: &mut Vec<Seat>, groups: usize) -> Vec<u32> {
    let mut tied: Vec<u32> = (0..groups as u32).collect();
    for seat in seats.iter() {
        let (x, y) = (root(&mut tied, seat.from_a), root(&mut tied, seat.from_b));
        tied[x.max(y) as usize] = x.min(y);
    }
    let contest_of: Vec<u32> = seats.iter().map(|seat| root(&mut tied, seat.from_a)).collect();
    let (contest_of, contests) = first_come(&contest_of, groups);
    let mut starts = vec![0u32; contests + 1];
    for contest in &contest_of {
        starts[*contest as usize + 1] += 1;
    }
    for at in 1..starts.len() {
        starts[at] += starts[at - 1];
    }
    let mut next = starts.clone();
    let mut sorted = vec![Seat::default(); seats.len()];
    for (seat, contest) in seats.iter().zip(contest_of) {
        sorted[next[contest as usize] as usize] = *seat;
        next[contest as usize] += 1;
    }
    let places: [PlaceOf; 3] = [
        |seat| &mut seat.from_a,
        |seat| &mut seat.from_b,
        |seat| &mut seat.between,
    ];
    for place in places {
        let old: Vec<u32> = sorted.iter_mut().map(|seat| *place(seat)).collect();
        let (new, _) = first_come(&old, groups.max(seats.len()));
        sorted.iter_mut().zip(new).for_each(|(seat, new)| *place(seat) = new);
    }
    *seats = sorted;
    starts
}

/// Numbers given anew in the order in which they first come.
fn first_come(numbers: &[u32], below: usize) -> (Vec<u32>, usize) {
    let mut given = vec![u32::MAX; below];
    let mut next = 0;
    let anew = numbers.iter().map(|number| {
        let slot = &mut given[*number as usize];
        if *slot == u32::MAX {
            *slot = next;
            next += 1;
        }
        *slot
    });
    (anew.collect(), next as usize)
}

fn root(tied: &mut [u32], mut place: u32) -> u32 {
    while tied[place as usize] != place {
        tied[place as usize] = tied[tied[place as usize] as usize];
        place = tied[place as usize];
    }
    place
}

/// The messages of the live pairs of one contest, with the sums they are compared with.
#[derive(Default)]
struct Messages {
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
    fn settle(&mut self, seats: &[Seat], strength: &[(f32, f32)], log_odds: &[f64], settled: &mut [f64]) {
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
    use super::*;
    use proptest::prelude::*;

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

    #[test]
    fn without_exclusivity_rivals_do_not_matter() {
        let p = two_lists(&[(0, 2), (0, 3)], &[2.0, 2.0], 0.0);
        assert!((p[0] - p[1]).abs() < 1e-12 && p[0] > 0.88);
    }
}
