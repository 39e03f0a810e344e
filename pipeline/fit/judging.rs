//! All products held against the classes, what is said alike judged once.
//!
//! Most products say in a field what others say too: the same code, the same displacement. Products that read alike in a
//! field share a *wording* of it, numbered once for the run; in each round of the learning a wording is held against a
//! class when the first product needs it, and every later product looks the figure up. A product that stands in a
//! small class itself is not the class's stranger there: its own claims are taken out first, so that is worked out for
//! it alone, as [`Classes::posterior_of`] does for everything.
//!
//! The figures are those of [`Classes::posterior_of`] to the last bit, whatever the number of threads.

use super::classes::{Classes, OUTSIDE, Posterior, posterior, share};
use super::evidence::{Evidence, Meant, Reading};
use super::scales::{ALL, CLAIMS, FIELDS, Field};
use rayon::prelude::*;
use rustc_hash::FxHashMap;
use std::sync::atomic::{AtomicU64, Ordering};

/// Wording of a field in which nothing is said.
const SILENT: u32 = 0;
/// Products judged as one piece of parallel work.
const AT_ONCE: usize = 1024;

/// What products say, field by field, every wording numbered once.
#[derive(Debug)]
pub struct Wordings {
    /// by product
    of: Vec<[u32; FIELDS]>,
    /// by field: how many wordings there are, [`SILENT`] among them
    count: [usize; FIELDS],
    /// by product: the first that says the same in [`CLAIMS`], itself where none before it does
    alike: Vec<u32>,
}

impl Wordings {
    /// Numbers what the products say.
    pub fn of(evidence: &[Evidence]) -> Wordings {
        let by_field: Vec<(Vec<u32>, usize)> = ALL.par_iter().map(|field| numbered(evidence, *field)).collect();
        let mut of = vec![[SILENT; FIELDS]; evidence.len()];
        let mut count = [0; FIELDS];
        for (field, (numbers, wordings)) in by_field.into_iter().enumerate() {
            of.iter_mut().zip(numbers).for_each(|(of, number)| of[field] = number);
            count[field] = wordings;
        }
        let mut seen: FxHashMap<([u32; CLAIMS.len()], bool), u32> = FxHashMap::default();
        let alike = of
            .iter()
            .zip(evidence)
            .zip(0..)
            .map(|((of, product), i)| {
                let said = (CLAIMS.map(|field| of[field as usize]), product.universal);
                *seen.entry(said).or_insert(i)
            })
            .collect();
        Wordings { of, count, alike }
    }
}

/// Numbers of the wordings of one field by product, and how many there are. The order of the readings is no part
/// of a wording.
fn numbered(evidence: &[Evidence], field: Field) -> (Vec<u32>, usize) {
    let mut seen: FxHashMap<Box<[u32]>, u32> = FxHashMap::default();
    let mut said = Vec::new();
    let mut readings: Vec<&Reading> = Vec::new();
    let numbers = evidence.iter().map(|product| {
        readings.clear();
        readings.extend(&product.fields[field as usize]);
        if readings.is_empty() {
            return SILENT;
        }
        readings.sort_unstable_by(|x, y| x.meant.cmp(&y.meant).then_with(|| x.values.cmp(&y.values)));
        said.clear();
        for reading in &readings {
            said.push(reading.values.len() as u32 * 2 + u32::from(reading.meant == Meant::One));
            said.extend(&reading.values);
        }
        if let Some(number) = seen.get(said.as_slice()) {
            return *number;
        }
        let number = seen.len() as u32 + 1;
        seen.insert(said.as_slice().into(), number);
        number
    });
    (numbers.collect(), seen.len() + 1)
}

/// The classes of one round, and what they say to the wordings met so far.
pub struct Judge<'a> {
    classes: &'a Classes,
    evidence: &'a [Evidence],
    wordings: &'a Wordings,
    /// fields that count
    by: &'a [Field],
    /// by field, wording and class: the bits of the log ratio, [`UNKNOWN`] before it is needed
    ratios: [Vec<AtomicU64>; FIELDS],
    /// by class: ln prior of a product that has no share in it
    priors: Vec<f64>,
    mass: f64,
}

/// Bits of no log ratio: of a figure that is none.
const UNKNOWN: u64 = u64::MAX;

impl<'a> Judge<'a> {
    /// Classes that judge by the fields named.
    pub fn new(classes: &'a Classes, evidence: &'a [Evidence], wordings: &'a Wordings, by: &'a [Field]) -> Judge<'a> {
        let mass = classes.mass();
        let mut ratios = [const { Vec::new() }; FIELDS];
        for field in by {
            let figures = wordings.count[*field as usize] * classes.list.len();
            ratios[*field as usize].resize_with(figures, || AtomicU64::new(UNKNOWN));
        }
        Judge {
            classes,
            evidence,
            wordings,
            by,
            ratios,
            priors: (0..classes.list.len() as u32)
                .map(|k| classes.prior(k, 0.0, mass))
                .collect(),
            mass,
        }
    }

    /// Probabilities of every product over the classes; `own` is how the products stood when the classes were learned.
    pub fn posteriors(&self, own: &[Posterior]) -> Vec<Posterior> {
        // what counts beside the claims differs between products that claim the same
        let claims_only = self.by.iter().all(|field| CLAIMS.contains(field));
        let as_another = |i: usize| {
            let first = self.wordings.alike[i] as usize;
            claims_only && first != i && own[i] == own[first]
        };
        let judged: Vec<usize> = (0..own.len()).filter(|i| !as_another(*i)).collect();
        let found: Vec<Posterior> = judged
            .par_iter()
            .with_min_len(AT_ONCE)
            .map_init(Room::default, |room, &i| self.posterior(room, i, &own[i]))
            .collect();
        let mut posteriors = vec![Posterior::new(); own.len()];
        for (i, posterior) in judged.into_iter().zip(found) {
            posteriors[i] = posterior;
        }
        for i in (0..own.len()).filter(|i| as_another(*i)) {
            posteriors[i] = posteriors[self.wordings.alike[i] as usize].clone();
        }
        posteriors
    }

    fn posterior(&self, room: &mut Room, i: usize, own: &Posterior) -> Posterior {
        let product = &self.evidence[i];
        room.possible.clear();
        self.classes.candidates(product, |class| {
            room.possible.push(Possible {
                class,
                own: share(product, own, class),
                ratio: 0.0,
                ratios: 0.0,
            });
        });
        for field in self.by {
            self.add_field(room, i, *field);
        }
        room.odds.clear();
        room.odds.extend(room.possible.iter().map(|p| {
            let prior = if p.own == 0.0 {
                self.priors[p.class as usize]
            } else {
                self.classes.prior(p.class, p.own, self.mass)
            };
            (
                p.class,
                prior + self.classes.habits(product, p.class, p.own, self.by) + p.ratios,
            )
        }));
        posterior(&mut room.odds)
    }

    /// Adds the log ratios of what a product says in a field.
    fn add_field(&self, room: &mut Room, i: usize, field: Field) {
        let wording = self.wordings.of[i][field as usize];
        if wording == SILENT {
            return;
        }
        let classes = self.classes.list.len();
        let figures = &self.ratios[field as usize][wording as usize * classes..][..classes];
        let judged_alone = |p: &Possible| p.own >= OUTSIDE && self.classes.takes_out(p.class, field);
        room.unknown.clear();
        for p in &mut room.possible {
            let figure = figures[p.class as usize].load(Ordering::Relaxed);
            if judged_alone(p) {
                p.ratio = self.classes.field_ratio(&self.evidence[i], p.class, field, p.own);
            } else if figure == UNKNOWN {
                room.unknown.push(p.class);
            } else {
                p.ratio = f64::from_bits(figure);
            }
        }
        if !room.unknown.is_empty() {
            let readings = &self.evidence[i].fields[field as usize];
            self.classes
                .outside_ratios(readings, field, &room.unknown, &mut room.found);
            let mut found = room.unknown.iter().zip(&room.found).peekable();
            for p in &mut room.possible {
                if let Some((class, ratio)) = found.next_if(|f| *f.0 == p.class) {
                    // another thread may put the same figure down
                    figures[*class as usize].store(ratio.to_bits(), Ordering::Relaxed);
                    p.ratio = *ratio;
                }
            }
        }
        room.possible.iter_mut().for_each(|p| p.ratios += p.ratio);
    }
}

/// Room to judge in, to be used again for the next product.
#[derive(Default)]
struct Room {
    possible: Vec<Possible>,
    /// classes whose log ratio is not put down yet, and what was found for them
    unknown: Vec<u32>,
    found: Vec<f64>,
    odds: Posterior,
}

/// A class that a product may belong to.
struct Possible {
    class: u32,
    /// share of the product in it
    own: f64,
    /// log ratio of the field at hand
    ratio: f64,
    /// sum of the log ratios of the fields
    ratios: f64,
}
