//! Pairs -> products: agglomeration under constraints, chains cut at their weakest link.
//!
//! Links are taken in the order of their probability. Two clusters join when no constraint forbids
//! it and the evidence between *all* their members, not one bridge alone, is for it: the log odds of
//! the links between them, less [`SILENCE`] for every pair of members that no key brought together.
//! So a chain of weak links falls apart at its weakest, and a crowd of strong ones does not.
//!
//! Constraints: two sound barcodes of one pack size, two numbers of one maker that differ by more
//! than spelling and where neither replaces the other, two brands that share bare digits only, a person's word. Every link that was more
//! likely than not and still did not join is counted and can be listed.

use super::identity::{Identity, brands_forbid, identity_of, merge, numbers_forbid};
use super::records::Records;

/// Log odds taken off for each pair of members that was not even a candidate.
pub const SILENCE: f64 = 0.35;
/// Log odds are capped here before they are summed, so that one sure link cannot carry a crowd.
const SURE: f64 = 7.0;

/// A person's word on two records.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Word {
    /// the same part
    Same,
    /// different parts
    Different,
}

/// Why two records whose link is more likely than not are kept apart.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Parting {
    /// two sound barcodes of one pack size
    Barcodes,
    /// two numbers of one maker
    Numbers,
    /// two brands that share bare digits only
    Brands,
    /// a person's word
    Person,
    /// the rest of both clusters speaks against it
    WeakChain,
}

/// One link between two records.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    /// smaller record index
    pub a: u32,
    /// larger record index
    pub b: u32,
    /// probability that both are the same part
    pub probability: f64,
}

/// The clusters found.
#[derive(Debug)]
pub struct Clusters {
    /// cluster of each record: the smallest record index in it
    pub of: Vec<u32>,
    /// links more likely than not that a constraint forbade
    pub forbidden: u64,
    /// links more likely than not that were cut as the weak point of a chain
    pub cut: u64,
    /// pairs a person called both same and different, directly or by consequence
    pub contradicted: Vec<(u32, u32)>,
    /// pairs a person called the same against a constraint; the person wins
    pub overruled: Vec<(u32, u32)>,
    /// links more likely than not that did not join, with the reason
    pub parted: Vec<(u32, u32, Parting)>,
}

/// Joins records. `edges` may come in any order.
pub fn cluster(records: &Records, edges: &[Edge], words: &[(u32, u32, Word)]) -> Clusters {
    let mut order: Vec<&Edge> = edges.iter().filter(|e| e.probability >= 0.5).collect();
    order.sort_unstable_by(|x, y| {
        y.probability
            .total_cmp(&x.probability)
            .then((x.a, x.b).cmp(&(y.a, y.b)))
    });
    let mut state = State::new(records, edges);
    let mut clusters = Clusters {
        of: Vec::new(),
        forbidden: 0,
        cut: 0,
        contradicted: Vec::new(),
        overruled: Vec::new(),
        parted: Vec::new(),
    };
    hold(records, words, &mut state, &mut clusters);
    for edge in order {
        let (x, y) = (state.root(edge.a), state.root(edge.b));
        if x == y {
            continue;
        }
        let forbidden = if state.told_apart(x, y) {
            Some(Parting::Person)
        } else {
            state.forbids(records, x, y)
        };
        let parting = match forbidden {
            Some(reason) => reason,
            None if state.evidence(x, y) > 0.0 => {
                state.join(x, y);
                continue;
            }
            None => Parting::WeakChain,
        };
        *(if parting == Parting::WeakChain {
            &mut clusters.cut
        } else {
            &mut clusters.forbidden
        }) += 1;
        clusters.parted.push((edge.a, edge.b, parting));
    }
    clusters.parted.sort_unstable();
    clusters.of = (0..records.len() as u32).map(|i| state.smallest(i)).collect();
    clusters
}

/// Puts a person's words into the state, before anything else is joined.
fn hold(records: &Records, words: &[(u32, u32, Word)], state: &mut State, clusters: &mut Clusters) {
    for &(a, b, _) in words.iter().filter(|w| w.2 == Word::Different) {
        state.identity[a as usize].different.push(b);
        state.identity[b as usize].different.push(a);
    }
    for &(a, b, _) in words.iter().filter(|w| w.2 == Word::Same) {
        let (x, y) = (state.root(a), state.root(b));
        if x == y {
            continue;
        }
        if state.told_apart(x, y) {
            clusters.contradicted.push((a, b));
            continue;
        }
        if state.forbids(records, x, y).is_some() {
            clusters.overruled.push((a, b));
        }
        state.join(x, y);
    }
}

struct State {
    parent: Vec<u32>,
    members: Vec<Vec<u32>>,
    identity: Vec<Identity>,
    starts: Vec<u32>,
    neighbours: Vec<(u32, f32)>,
}

impl State {
    fn new(records: &Records, edges: &[Edge]) -> State {
        let n = records.len();
        let mut starts = vec![0u32; n + 1];
        for e in edges {
            starts[e.a as usize + 1] += 1;
            starts[e.b as usize + 1] += 1;
        }
        for i in 1..=n {
            starts[i] += starts[i - 1];
        }
        let mut next = starts.clone();
        let mut neighbours = vec![(0, 0.0); edges.len() * 2];
        for e in edges {
            let odds = (e.probability / (1.0 - e.probability).max(1e-12))
                .ln()
                .clamp(-SURE, SURE) as f32;
            for (from, to) in [(e.a, e.b), (e.b, e.a)] {
                neighbours[next[from as usize] as usize] = (to, odds);
                next[from as usize] += 1;
            }
        }
        State {
            parent: (0..n as u32).collect(),
            members: (0..n as u32).map(|i| vec![i]).collect(),
            identity: records.list.iter().map(identity_of).collect(),
            starts,
            neighbours,
        }
    }

    fn root(&mut self, mut i: u32) -> u32 {
        while self.parent[i as usize] != i {
            let up = self.parent[self.parent[i as usize] as usize];
            self.parent[i as usize] = up;
            i = up;
        }
        i
    }

    fn smallest(&mut self, i: u32) -> u32 {
        let root = self.root(i) as usize;
        self.members[root].iter().copied().min().unwrap_or(i)
    }

    fn evidence(&mut self, x: u32, y: u32) -> f64 {
        let (small, large) = if self.members[x as usize].len() <= self.members[y as usize].len() {
            (x, y)
        } else {
            (y, x)
        };
        let pairs = self.members[small as usize].len() * self.members[large as usize].len();
        let mut sum = 0.0;
        let mut seen = 0usize;
        for k in 0..self.members[small as usize].len() {
            let i = self.members[small as usize][k] as usize;
            for e in self.starts[i]..self.starts[i + 1] {
                let (j, odds) = self.neighbours[e as usize];
                if self.root(j) == large {
                    sum += f64::from(odds);
                    seen += 1;
                }
            }
        }
        sum - SILENCE * (pairs - seen) as f64
    }

    fn told_apart(&mut self, x: u32, y: u32) -> bool {
        let list = self.identity[x as usize].different.clone();
        list.into_iter().any(|i| self.root(i) == y)
    }

    fn forbids(&self, records: &Records, x: u32, y: u32) -> Option<Parting> {
        let (p, q) = (&self.identity[x as usize], &self.identity[y as usize]);
        let barcodes = p
            .barcodes
            .iter()
            .any(|a| q.barcodes.iter().any(|b| a.0 == b.0 && a.1 != b.1))
            && !p.barcodes.iter().any(|a| q.barcodes.contains(a));
        if barcodes {
            Some(Parting::Barcodes)
        } else if numbers_forbid(records, p, q) {
            Some(Parting::Numbers)
        } else {
            brands_forbid(records, p, q).then_some(Parting::Brands)
        }
    }

    fn join(&mut self, x: u32, y: u32) {
        let (small, large) = if self.members[x as usize].len() <= self.members[y as usize].len() {
            (x, y)
        } else {
            (y, x)
        };
        self.parent[small as usize] = large;
        let moved = std::mem::take(&mut self.members[small as usize]);
        self.members[large as usize].extend(moved);
        let from = std::mem::take(&mut self.identity[small as usize]);
        let into = &mut self.identity[large as usize];
        merge(&mut into.barcodes, from.barcodes);
        merge(&mut into.own, from.own);
        merge(&mut into.replaces, from.replaces);
        merge(&mut into.brands, from.brands);
        merge(&mut into.different, from.different);
    }
}
