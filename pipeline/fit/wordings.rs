//! What products say, field by field, every wording numbered once.
//!
//! Most products say in a field what others say too: the same code, the same displacement. Products that read alike in a
//! field share a *wording* of it; the order of the readings is no part of it. Wordings that many products use are numbered
//! first, so that what is worked out for them can lie in a table.

use super::evidence::{Evidence, Meant};
use super::habits::Habit;
use super::posteriors::first_displacement;
use super::scales::{ALL, CLAIMS, FIELDS, Field};
use rayon::prelude::*;
use rustc_hash::FxHashMap;

/// Wording of a field in which nothing is said.
pub(super) const SILENT: u32 = 0;
/// Products that use a common wording, at the least.
const COMMON: u32 = 4;

/// What products say.
#[derive(Debug)]
pub struct Wordings {
    /// by product
    of: Vec<[u32; FIELDS]>,
    fields: Vec<Said>,
    /// by product: the first that says the same in [`CLAIMS`], itself where none before it does
    alike: Vec<u32>,
    /// by product: the first displacement it names
    displacement: Vec<Option<u32>>,
    /// by product: whether its title embraces everything
    universal: Vec<bool>,
    /// by product
    habit_of: Vec<u32>,
    habits: Vec<Habit>,
}

/// What is said in one field.
#[derive(Debug, Default)]
struct Said {
    /// wordings 1 to this number are common
    common: u32,
    /// numbers of the readings of each wording; [`SILENT`] has none
    wordings: Lists,
    /// each reading: twice the number of its values, and 1 when one of them is meant; the values
    readings: Lists,
}

/// Lists of numbers, end to end.
#[derive(Debug)]
struct Lists {
    /// where each starts, and the end
    starts: Vec<u32>,
    numbers: Vec<u32>,
}

impl Default for Lists {
    fn default() -> Lists {
        Lists {
            starts: vec![0],
            numbers: Vec::new(),
        }
    }
}

impl Lists {
    fn push(&mut self, list: &[u32]) {
        self.numbers.extend(list);
        self.starts.push(self.numbers.len() as u32);
    }

    fn count(&self) -> usize {
        self.starts.len() - 1
    }

    fn get(&self, list: u32) -> &[u32] {
        let at = list as usize;
        &self.numbers[self.starts[at] as usize..self.starts[at + 1] as usize]
    }
}

impl Wordings {
    /// Numbers what the products say.
    pub fn of(evidence: &[Evidence]) -> Wordings {
        let by_field: Vec<(Vec<u32>, Said)> = ALL.par_iter().map(|field| numbered(evidence, *field)).collect();
        let mut of = vec![[SILENT; FIELDS]; evidence.len()];
        let mut fields = Vec::with_capacity(FIELDS);
        for (field, (numbers, said)) in by_field.into_iter().enumerate() {
            of.iter_mut().zip(numbers).for_each(|(of, number)| of[field] = number);
            fields.push(said);
        }
        let mut first: FxHashMap<([u32; CLAIMS.len()], bool), u32> = FxHashMap::default();
        let alike = of
            .iter()
            .zip(evidence)
            .zip(0..)
            .map(|((of, product), i)| {
                let said = (CLAIMS.map(|field| of[field as usize]), product.universal);
                *first.entry(said).or_insert(i)
            })
            .collect();
        let mut number: FxHashMap<Habit, u32> = FxHashMap::default();
        let mut habits = Vec::new();
        let habit_of = evidence
            .iter()
            .map(|product| {
                let habit = Habit::of(product);
                *number.entry(habit).or_insert_with(|| {
                    habits.push(habit);
                    habits.len() as u32 - 1
                })
            })
            .collect();
        Wordings {
            of,
            fields,
            alike,
            displacement: evidence.iter().map(first_displacement).collect(),
            universal: evidence.iter().map(|product| product.universal).collect(),
            habit_of,
            habits,
        }
    }

    /// Wording of a field in a product.
    pub(super) fn of_product(&self, product: usize, field: Field) -> u32 {
        self.of[product][field as usize]
    }

    /// The first product that claims the same.
    pub(super) fn first_alike(&self, product: usize) -> usize {
        self.alike[product] as usize
    }

    /// The first displacement that a product names.
    pub(super) fn first_displacement(&self, product: usize) -> Option<u32> {
        self.displacement[product]
    }

    /// Whether a product's title embraces everything.
    pub(super) fn is_universal(&self, product: usize) -> bool {
        self.universal[product]
    }

    /// Number of the habits of a product's sellers.
    pub(super) fn habit_of(&self, product: usize) -> usize {
        self.habit_of[product] as usize
    }

    /// All habits by number.
    pub(super) fn habits(&self) -> &[Habit] {
        &self.habits
    }

    /// Number of wordings of a field, [`SILENT`] among them.
    pub(super) fn count(&self, field: Field) -> usize {
        self.fields[field as usize].wordings.count()
    }

    /// Wordings 1 to this number are common.
    pub(super) fn common(&self, field: Field) -> u32 {
        self.fields[field as usize].common
    }

    /// Numbers of the readings of a wording, ascending.
    pub(super) fn readings_of(&self, field: Field, wording: u32) -> &[u32] {
        self.fields[field as usize].wordings.get(wording)
    }

    /// Number of different readings in a field.
    pub(super) fn readings(&self, field: Field) -> usize {
        self.fields[field as usize].readings.count()
    }

    /// One reading: what of it holds, and its values.
    pub(super) fn reading(&self, field: Field, reading: u32) -> (Meant, &[u32]) {
        match self.fields[field as usize].readings.get(reading) {
            [head, values @ ..] if head % 2 == 1 => (Meant::One, values),
            [_, values @ ..] => (Meant::Every, values),
            [] => (Meant::Every, &[]),
        }
    }
}

/// Wordings of one field by product, and what is said in it.
fn numbered(evidence: &[Evidence], field: Field) -> (Vec<u32>, Said) {
    let mut readings = Numbers::default();
    let mut wordings = Numbers::default();
    let (mut said, mut wording) = (Vec::new(), Vec::new());
    let by_sight = evidence.iter().map(|product| {
        wording.clear();
        for reading in &product.fields[field as usize] {
            said.clear();
            said.push(reading.values.len() as u32 * 2 + u32::from(reading.meant == Meant::One));
            said.extend(&reading.values);
            wording.push(readings.of(&said));
        }
        wording.sort_unstable();
        if wording.is_empty() {
            SILENT
        } else {
            wordings.of(&wording) + 1
        }
    });
    let mut numbers: Vec<u32> = by_sight.collect();
    let (order, common) = common_first(&wordings.uses);
    let mut number_of = vec![SILENT; order.len() + 1];
    let mut all = Said {
        common,
        wordings: Lists::default(),
        readings: readings.lists,
    };
    all.wordings.push(&[]);
    for (sight, number) in order.into_iter().zip(1..) {
        number_of[sight as usize + 1] = number;
        all.wordings.push(wordings.lists.get(sight));
    }
    numbers
        .iter_mut()
        .for_each(|number| *number = number_of[*number as usize]);
    (numbers, all)
}

/// Lists numbered by first sight, and how often each was seen.
#[derive(Default)]
struct Numbers {
    seen: FxHashMap<Box<[u32]>, u32>,
    lists: Lists,
    uses: Vec<u32>,
}

impl Numbers {
    fn of(&mut self, list: &[u32]) -> u32 {
        if let Some(number) = self.seen.get(list) {
            self.uses[*number as usize] += 1;
            return *number;
        }
        let number = self.uses.len() as u32;
        self.seen.insert(list.into(), number);
        self.lists.push(list);
        self.uses.push(1);
        number
    }
}

/// Wordings by their uses: the common ones, then the others, each in order; and how many are common.
fn common_first(uses: &[u32]) -> (Vec<u32>, u32) {
    let (mut order, rare): (Vec<u32>, Vec<u32>) =
        (0..uses.len() as u32).partition(|wording| uses[*wording as usize] >= COMMON);
    let common = order.len() as u32;
    order.extend(rare);
    (order, common)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::evidence::Reading;
    use crate::normalise::kind::KindId;

    fn product(codes: &[&[u32]]) -> Evidence {
        let mut product = Evidence {
            kind: KindId::SHROUD,
            kind_probability: 0.9,
            fields: Default::default(),
            universal: false,
            offers: codes.len() as u32,
        };
        product.fields[Field::Code as usize].extend(codes.iter().map(|values| Reading {
            offer: 0,
            claim: 0,
            meant: Meant::Every,
            values: (*values).into(),
        }));
        product
    }

    #[test]
    fn the_order_of_readings_is_no_part_of_a_wording_and_what_many_say_comes_first() {
        let rare = [&[7u32][..]];
        let (one, other) = ([&[1u32, 2][..], &[3][..]], [&[3u32][..], &[1, 2][..]]);
        let evidence = [&rare[..], &one, &other, &[], &one, &other].map(product);
        let wordings = Wordings::of(&evidence);
        let numbers: Vec<u32> = (0..6).map(|i| wordings.of_product(i, Field::Code)).collect();
        assert_eq!(numbers, [2, 1, 1, SILENT, 1, 1]);
        assert_eq!((wordings.common(Field::Code), wordings.count(Field::Code)), (1, 3));
        let said: Vec<_> = wordings
            .readings_of(Field::Code, 1)
            .iter()
            .map(|reading| wordings.reading(Field::Code, *reading))
            .collect();
        assert_eq!(said, [(Meant::Every, &[1, 2][..]), (Meant::Every, &[3][..])]);
        assert!(wordings.readings_of(Field::Code, SILENT).is_empty());
        assert_eq!(wordings.readings(Field::Code), 3);
        assert_eq!((wordings.first_alike(4), wordings.first_alike(3)), (1, 3));
    }
}
