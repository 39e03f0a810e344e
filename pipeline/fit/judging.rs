//! All products held against the classes, what is said alike judged once.
//!
//! In each round of the learning a common wording of a field is held against all classes at once, and every product that
//! uses it reads its figures from that row; a rare wording is held against the classes of its product when the product is
//! judged. A product that stands in a small class itself is not the class's stranger there: its own claims are taken out
//! first, so that is worked out for it alone, as [`Classes::posterior_of`] does for everything.
//!
//! The figures are those of [`Classes::posterior_of`] to the last bit, whatever the number of threads.

use super::classes::{Classes, Posterior};
use super::evidence::Evidence;
use super::posteriors::{FEW, add_bits, point_at, posterior_of_odds};
use super::ratios::{OUTSIDE, of_readings};
use super::scales::{CLAIMS, FIELDS, Field};
use super::wordings::{SILENT, Wordings};
use rayon::prelude::*;

/// Products, or wordings, judged as one piece of parallel work.
const AT_ONCE: usize = 1024;
/// Fields of which each wording points at classes.
const POINTING: [Field; 2] = [Field::Code, Field::Number];

/// The classes of one round, and what they say to the wordings.
pub struct Judge<'a> {
    classes: &'a Classes,
    evidence: &'a [Evidence],
    wordings: &'a Wordings,
    /// fields that count
    by: &'a [Field],
    /// by field, reading and class: the log ratio
    readings: [Vec<f64>; FIELDS],
    /// by field, common wording and class: the log ratio
    rows: [Vec<f64>; FIELDS],
    /// by habit and class: the log ratio, where habits count
    habits: Vec<f64>,
    /// by pointing field and wording: bits of the classes pointed at
    pointed: [Vec<u64>; POINTING.len()],
    /// by class: ln prior of a product that has no share in it
    priors: Vec<f64>,
    mass: f64,
}

impl<'a> Judge<'a> {
    /// Classes that judge by the fields named.
    pub fn new(classes: &'a Classes, evidence: &'a [Evidence], wordings: &'a Wordings, by: &'a [Field]) -> Judge<'a> {
        let mass = classes.mass();
        let every: Vec<u32> = (0..classes.list.len() as u32).collect();
        let (mut readings, mut rows) = ([const { Vec::new() }; FIELDS], [const { Vec::new() }; FIELDS]);
        for &field in by {
            let of_field = readings_of(classes, wordings, field, &every);
            rows[field as usize] = rows_of(&of_field, wordings, field, &every);
            readings[field as usize] = of_field;
        }
        let habits = if by.len() == FIELDS { wordings.habits() } else { &[] };
        let of_habit = |habit| every.iter().map(move |k| classes.habit_ratio(habit, *k, 0.0));
        Judge {
            classes,
            evidence,
            wordings,
            by,
            readings,
            rows,
            habits: habits.iter().copied().flat_map(of_habit).collect(),
            pointed: POINTING.map(|field| pointed(classes, wordings, field)),
            priors: every.iter().map(|k| classes.prior(*k, 0.0, mass)).collect(),
            mass,
        }
    }

    /// Probabilities of every product over the classes; `own` is how the products stood when the classes were learned.
    pub fn posteriors(&self, own: &[Posterior]) -> Vec<Posterior> {
        // what counts beside the claims differs between products that claim the same
        let claims_only = self.by.iter().all(|field| CLAIMS.contains(field));
        let as_another = |i: usize| {
            let first = self.wordings.first_alike(i);
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
            posteriors[i] = posteriors[self.wordings.first_alike(i)].clone();
        }
        posteriors
    }

    fn posterior(&self, room: &mut Room, i: usize, own: &Posterior) -> Posterior {
        self.find_possible(room, i);
        if !self.wordings.is_universal(i) {
            room.find_own(own);
        }
        room.odds.clear();
        room.odds.resize(room.classes.len(), 0.0);
        for field in self.by {
            self.add_field(room, i, *field);
        }
        self.add_prior(room, i);
        posterior_of_odds(&room.classes, &room.odds, &mut room.keys, &mut room.likely)
    }

    /// The classes of [`Classes::candidates`].
    fn find_possible(&self, room: &mut Room, i: usize) {
        let words = self.classes.words();
        room.own.clear();
        room.bits.clear();
        room.bits.resize(words, 0);
        if self.classes.list.len() > FEW {
            for (field, pointed) in POINTING.iter().zip(&self.pointed) {
                let wording = self.wordings.of_product(i, *field) as usize;
                add_bits(&mut room.bits, &pointed[wording * words..][..words]);
            }
            if let Some(bin) = self.wordings.first_displacement(i) {
                add_bits(&mut room.bits, &self.classes.by_displacement[bin as usize]);
            }
        }
        self.classes.of_bits(&room.bits, &mut room.classes);
    }

    /// Adds the log ratios of what a product says in a field.
    fn add_field(&self, room: &mut Room, i: usize, field: Field) {
        let wording = self.wordings.of_product(i, field);
        if wording == SILENT {
            return;
        }
        for own in &mut room.own {
            own.before = room.odds[own.at];
        }
        if wording <= self.wordings.common(field) {
            let row = self.row(&self.rows[field as usize], wording as usize - 1);
            let odds = room.odds.iter_mut().zip(&room.classes);
            odds.for_each(|(odds, class)| *odds += row[*class as usize]);
        } else {
            let (rows, among) = (&self.readings[field as usize], self.classes.list.len());
            room.found.resize(room.classes.len(), 0.0);
            let said = self.wordings.readings_of(field, wording);
            of_readings(field, rows, said, among, &room.classes, &mut room.found);
            let odds = room.odds.iter_mut().zip(&room.found);
            odds.for_each(|(odds, ratio)| *odds += ratio);
        }
        for own in &room.own {
            let class = room.classes[own.at];
            if own.share >= OUTSIDE && self.classes.takes_out(class, field) {
                let alone = self.classes.field_ratio(&self.evidence[i], class, field, own.share);
                room.odds[own.at] = own.before + alone;
            }
        }
    }

    /// Puts prior and habits before the log ratios.
    fn add_prior(&self, room: &mut Room, i: usize) {
        let habits = match self.habits.as_slice() {
            [] => None,
            habits => Some(self.row(habits, self.wordings.habit_of(i))),
        };
        let habit = |class: u32| habits.map_or(0.0, |habits| habits[class as usize]);
        for own in &mut room.own {
            own.before = room.odds[own.at];
        }
        for (odds, class) in room.odds.iter_mut().zip(&room.classes) {
            *odds += self.priors[*class as usize] + habit(*class);
        }
        for own in &room.own {
            let class = room.classes[own.at];
            let prior = self.classes.prior(class, own.share, self.mass);
            let habit = self.classes.habits(&self.evidence[i], class, own.share, self.by);
            room.odds[own.at] = prior + habit + own.before;
        }
    }

    /// A row of a table with a figure for each class.
    fn row<'t>(&self, table: &'t [f64], row: usize) -> &'t [f64] {
        let classes = self.classes.list.len();
        &table[row * classes..][..classes]
    }
}

/// The readings of a field held against all classes.
fn readings_of(classes: &Classes, wordings: &Wordings, field: Field, every: &[u32]) -> Vec<f64> {
    table(wordings.readings(field), every.len(), |reading, row| {
        let (meant, values) = wordings.reading(field, reading as u32);
        classes.chances.log_ratios(field, meant, values, every, row);
    })
}

/// The common wordings of a field held against all classes, from its readings.
fn rows_of(readings: &[f64], wordings: &Wordings, field: Field, every: &[u32]) -> Vec<f64> {
    table(wordings.common(field) as usize, every.len(), |at, row| {
        let said = wordings.readings_of(field, at as u32 + 1);
        of_readings(field, readings, said, every.len(), every, row);
    })
}

/// A table with a figure for each class in each row, filled side by side.
fn table(rows: usize, classes: usize, fill: impl Fn(usize, &mut [f64]) + Sync) -> Vec<f64> {
    let mut table = vec![0.0; rows * classes];
    if classes > 0 {
        let rows = table.par_chunks_mut(classes).enumerate().with_min_len(AT_ONCE / 8);
        rows.for_each(|(row, figures)| fill(row, figures));
    }
    table
}

/// Bits of the classes that the wordings of a field point at.
fn pointed(classes: &Classes, wordings: &Wordings, field: Field) -> Vec<u64> {
    let (words, count) = (classes.words(), wordings.count(field));
    let mut pointed = vec![0; words * count];
    if classes.list.len() > FEW {
        let index = match field {
            Field::Code => &classes.codes,
            _ => &classes.numbers,
        };
        for wording in 0..count {
            let found = &mut pointed[wording * words..][..words];
            let said = wordings.readings_of(field, wording as u32).iter();
            for value in said.flat_map(|reading| wordings.reading(field, *reading).1) {
                point_at(found, &index[*value as usize]);
            }
        }
    }
    pointed
}

/// Room to judge in, to be used again for the next product.
#[derive(Default)]
struct Room {
    /// bits of the classes the product may belong to
    bits: Vec<u64>,
    /// these classes, ascending
    classes: Vec<u32>,
    /// by such a class: log ratios added up, in the end log odds
    odds: Vec<f64>,
    /// classes in which the product has a share
    own: Vec<Own>,
    found: Vec<f64>,
    keys: Vec<i64>,
    likely: Posterior,
}

/// A class in which a product has a share.
struct Own {
    /// index among the possible classes
    at: usize,
    share: f64,
    /// log odds before the field at hand
    before: f64,
}

impl Room {
    fn find_own(&mut self, own: &Posterior) {
        let classes = &self.classes;
        let found = own.iter().filter(|o| o.1 != 0.0).filter_map(|o| {
            Some(Own {
                at: classes.binary_search(&o.0).ok()?,
                share: o.1,
                before: 0.0,
            })
        });
        self.own.extend(found);
    }
}
