//! What the classes learn from products and their memberships.
//!
//! Every class sums its products up in their order, whoever works on it, so that the sums are the same whatever the
//! number of threads. An all-embracing title teaches no class.

use super::chances::{Chances, Open};
use super::classes::{Class, Classes, Posterior};
use super::evidence::Evidence;
use super::kernels::Kernels;
use super::scales::{DENSE, FIELDS, Field};
use super::tape::Tape;
use rayon::prelude::*;

/// Classes lighter than this many products are dropped.
const LIGHTEST: f64 = 0.6;
/// Products looked up on the tape together: they lie far apart, and the waits for them overlap.
const LOOKED_UP: usize = 32;

/// What products show whatever their classes are.
#[derive(Debug)]
pub struct Anywhere {
    background: Class,
    code_total: Vec<f32>,
    number_total: Vec<f32>,
    tape: Tape,
    kernels: Kernels,
}

impl Anywhere {
    /// Sums all products up; `vocabulary` tells how many codes and replaced numbers there are.
    pub(super) fn of(evidence: &[Evidence], kernels: Kernels, vocabulary: (usize, usize)) -> Anywhere {
        let mut anywhere = Anywhere {
            background: Class::empty(),
            code_total: vec![0.0; vocabulary.0],
            number_total: vec![0.0; vocabulary.1],
            tape: Tape::of(evidence),
            kernels,
        };
        let totals = [&mut anywhere.code_total, &mut anywhere.number_total];
        for product in anywhere.tape.products() {
            anywhere.background.add(product, 1.0, None, |field, v, m| {
                totals[open_index(field)][v as usize] += m
            });
        }
        anywhere.background.smooth(&anywhere.kernels);
        anywhere
    }

    /// The same of some products only.
    pub(super) fn of_these(&self, evidence: &[Evidence]) -> Anywhere {
        let vocabulary = (self.code_total.len(), self.number_total.len());
        Anywhere::of(evidence, self.kernels.clone(), vocabulary)
    }
}

impl Classes {
    /// Learns classes from products and their memberships. Classes too light to live are dropped and
    /// the memberships renumbered. Every class sums its products up in their order, whoever works on it.
    pub fn learn(
        evidence: &[Evidence],
        anywhere: &Anywhere,
        memberships: &mut [Posterior],
        before: Option<&Classes>,
    ) -> Classes {
        let classes = renumber(memberships);
        let members = members(evidence, memberships, classes.kept.len());
        let learned: Vec<Taught> = members
            .par_iter()
            .zip(&classes.kept)
            .map_init(
                || [anywhere.code_total.len(), anywhere.number_total.len()].map(OpenSums::new),
                |open, (members, old)| {
                    let like = before
                        .filter(|b| (*old as usize) < b.list.len())
                        .map(|b| (&b.chances, *old));
                    taught(anywhere, members, like, open)
                },
            )
            .collect();
        let mut list = Vec::with_capacity(learned.len());
        let mut codes = vec![Vec::new(); anywhere.code_total.len()];
        let mut numbers = vec![Vec::new(); anywhere.number_total.len()];
        for ((class, open), k) in learned.into_iter().zip(0..) {
            list.push(class);
            for (index, masses) in [&mut codes, &mut numbers].into_iter().zip(open) {
                masses
                    .into_iter()
                    .for_each(|(v, mass)| index[v as usize].push((k, mass)));
            }
        }
        let mut kernel_peak = [1.0; FIELDS];
        for field in DENSE {
            kernel_peak[field as usize] = anywhere.kernels.of(field)[0];
        }
        let mut learned = Classes {
            list,
            background: anywhere.background.clone(),
            codes,
            numbers,
            code_total: anywhere.code_total.clone(),
            number_total: anywhere.number_total.clone(),
            kernel_peak,
            by_displacement: Vec::new(),
            chances: Chances::default(),
        };
        learned.chances = learned.lay_out();
        learned.index_displacement();
        learned
    }

    fn lay_out(&self) -> Chances {
        let share = |totals: &[f32], field: Field| -> Vec<f32> {
            (0..totals.len() as u32)
                .map(|value| self.open_share(totals, field, value))
                .collect()
        };
        let open = [
            Open {
                field: Field::Code,
                masses: &self.codes,
                anywhere: share(&self.code_total, Field::Code),
            },
            Open {
                field: Field::Number,
                masses: &self.numbers,
                anywhere: share(&self.number_total, Field::Number),
            },
        ];
        Chances::of(&self.list, &self.background, open)
    }

    fn index_displacement(&mut self) {
        let bins = Field::Displacement.bins();
        self.by_displacement = (0..bins as u32)
            .map(|bin| {
                let (here, common) = self.chances.in_all(Field::Displacement, bin);
                let bits = |chances: &[f32]| {
                    let speaking = chances.iter().zip(0..).filter(|(chance, _)| **chance > common);
                    speaking.fold(0u64, |bits, (_, at)| bits | 1 << at)
                };
                here.chunks(64).map(bits).collect()
            })
            .collect();
    }
}

/// Index of an open field among those.
fn open_index(field: Field) -> usize {
    usize::from(field == Field::Number)
}

/// A class, and by open field the mass it shows of each value.
type Taught = (Class, [Vec<(u32, f32)>; 2]);

/// A class taught by its members; `like` is what it was before, `open` room for sums.
fn taught(
    anywhere: &Anywhere,
    members: &[(u32, f64)],
    like: Option<(&Chances, u32)>,
    open: &mut [OpenSums; 2],
) -> Taught {
    let mut class = Class::empty();
    let mut shown = Vec::with_capacity(LOOKED_UP);
    for members in members.chunks(LOOKED_UP) {
        shown.clear();
        shown.extend(members.iter().map(|m| (anywhere.tape.product(m.0 as usize), m.1)));
        for &(product, p) in &shown {
            class.add(product, p, like, |field, v, m| open[open_index(field)].add(v, m));
        }
    }
    class.smooth(&anywhere.kernels);
    (class, [open[0].take(), open[1].take()])
}

/// Sums by value of an open vocabulary, to be used again for the next class.
struct OpenSums {
    sums: Vec<f32>,
    seen: Vec<bool>,
    values: Vec<u32>,
}

impl OpenSums {
    fn new(vocabulary: usize) -> OpenSums {
        OpenSums {
            sums: vec![0.0; vocabulary],
            seen: vec![false; vocabulary],
            values: Vec::new(),
        }
    }

    fn add(&mut self, value: u32, mass: f32) {
        if !std::mem::replace(&mut self.seen[value as usize], true) {
            self.values.push(value);
        }
        self.sums[value as usize] += mass;
    }

    fn take(&mut self) -> Vec<(u32, f32)> {
        let (sums, seen) = (&mut self.sums, &mut self.seen);
        let taken = self.values.drain(..).map(|value| {
            seen[value as usize] = false;
            (value, std::mem::take(&mut sums[value as usize]))
        });
        taken.collect()
    }
}

/// Products of each class with their share in it, ascending. An all-embracing title teaches no class.
fn members(evidence: &[Evidence], memberships: &[Posterior], classes: usize) -> Vec<Vec<(u32, f64)>> {
    let mut members = vec![Vec::new(); classes];
    for ((product, posterior), i) in evidence.iter().zip(memberships).zip(0..) {
        if !product.universal {
            posterior.iter().for_each(|&(k, p)| members[k as usize].push((i, p)));
        }
    }
    members
}

struct Renumbered {
    /// old class by new class
    kept: Vec<u32>,
}

fn renumber(memberships: &mut [Posterior]) -> Renumbered {
    let classes = memberships.iter().flatten().map(|m| m.0 + 1).max().unwrap_or(0) as usize;
    let mut weight = vec![0.0f64; classes];
    for &(k, p) in memberships.iter().flatten() {
        weight[k as usize] += p;
    }
    let mut new_of_old = vec![u32::MAX; classes];
    let mut kept = Vec::new();
    for (old, w) in weight.iter().enumerate() {
        if *w >= LIGHTEST {
            new_of_old[old] = kept.len() as u32;
            kept.push(old as u32);
        }
    }
    for posterior in memberships.iter_mut() {
        posterior.retain(|m| new_of_old[m.0 as usize] != u32::MAX);
        posterior.iter_mut().for_each(|m| m.0 = new_of_old[m.0 as usize]);
    }
    Renumbered { kept }
}
