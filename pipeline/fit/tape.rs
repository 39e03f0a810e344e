//! What every product shows, laid end to end, for the sums over all products that each round of the learning takes.
//!
//! A product's readings lie scattered in memory, one by one; a round visits all of them, several times. On the tape a
//! product is one stretch of numbers: its kind, its offers, then field by field its readings and their values, in the
//! order of its [`Evidence`].

use super::evidence::{Evidence, Meant};
use super::scales::{ALL, Field};
use rayon::prelude::*;

/// All products.
#[derive(Debug)]
pub(super) struct Tape {
    /// first number of each product, and the end
    starts: Vec<usize>,
    numbers: Vec<u32>,
}

/// One product on the tape.
#[derive(Clone, Copy)]
pub(super) struct Shown<'a> {
    /// index of the kind among those with an interface
    pub place: usize,
    /// number of offers
    pub offers: u32,
    fields: &'a [u32],
}

/// One field of a product on the tape.
pub(super) struct ShownField<'a> {
    /// field
    pub field: Field,
    /// number of readings, at least one
    pub count: u32,
    readings: &'a [u32],
}

impl Tape {
    /// Lays the products out.
    pub fn of(evidence: &[Evidence]) -> Tape {
        let pieces: Vec<(Vec<usize>, Vec<u32>)> = evidence
            .par_chunks(4096)
            .map(|products| {
                let (mut lengths, mut numbers) = (Vec::with_capacity(products.len()), Vec::new());
                for product in products {
                    let before = numbers.len();
                    lay_out(product, &mut numbers);
                    lengths.push(numbers.len() - before);
                }
                (lengths, numbers)
            })
            .collect();
        let mut tape = Tape {
            starts: vec![0],
            numbers: Vec::with_capacity(pieces.iter().map(|p| p.1.len()).sum()),
        };
        let mut end = 0;
        for (lengths, numbers) in pieces {
            tape.numbers.extend(numbers);
            tape.starts.extend(lengths.into_iter().map(|length| {
                end += length;
                end
            }));
        }
        tape
    }

    /// One product.
    pub fn product(&self, product: usize) -> Shown<'_> {
        let numbers = &self.numbers[self.starts[product]..self.starts[product + 1]];
        Shown {
            place: numbers[0] as usize,
            offers: numbers[1],
            fields: &numbers[2..],
        }
    }

    /// All products, in their order.
    pub fn products(&self) -> impl Iterator<Item = Shown<'_>> {
        (0..self.starts.len() - 1).map(|product| self.product(product))
    }
}

fn lay_out(product: &Evidence, numbers: &mut Vec<u32>) {
    numbers.extend([product.place() as u32, product.offers]);
    for (field, at) in ALL.into_iter().zip(0..) {
        let readings = &product.fields[field as usize];
        if readings.is_empty() {
            continue;
        }
        let head = numbers.len();
        numbers.extend([at, readings.len() as u32, 0]);
        for reading in readings {
            numbers.push(reading.values.len() as u32 * 2 + u32::from(reading.meant == Meant::One));
            numbers.extend(&reading.values);
        }
        numbers[head + 2] = (numbers.len() - head - 3) as u32;
    }
}

impl<'a> Shown<'a> {
    /// Fields in which something is said, in order.
    pub fn fields(self) -> impl Iterator<Item = ShownField<'a>> {
        let mut rest = self.fields;
        std::iter::from_fn(move || {
            let [field, count, length, numbers @ ..] = rest else {
                return None;
            };
            let (readings, behind) = numbers.split_at(*length as usize);
            rest = behind;
            Some(ShownField {
                field: ALL[*field as usize],
                count: *count,
                readings,
            })
        })
    }
}

impl<'a> ShownField<'a> {
    /// Readings in order: what of it holds, and the values.
    pub fn readings(&self) -> impl Iterator<Item = (Meant, &'a [u32])> {
        let mut rest = self.readings;
        std::iter::from_fn(move || {
            let (head, numbers) = rest.split_first()?;
            let (values, behind) = numbers.split_at(*head as usize / 2);
            rest = behind;
            Some((if head % 2 == 1 { Meant::One } else { Meant::Every }, values))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::evidence::Reading;
    use crate::normalise::kind::KindId;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_tape_gives_back_what_was_laid_on_it(
            drawn in prop::collection::vec(
                prop::collection::vec((0..ALL.len(), any::<bool>(), prop::collection::vec(0..9u32, 1..4)), 0..9),
                0..12,
            ),
        ) {
            let product = |readings: &Vec<(usize, bool, Vec<u32>)>| {
                let mut product = Evidence {
                    kind: KindId::SHROUD,
                    kind_probability: 0.9,
                    fields: Default::default(),
                    universal: false,
                    offers: readings.len() as u32,
                };
                for (field, one, values) in readings {
                    product.fields[*field].push(Reading {
                        offer: 0,
                        claim: 0,
                        meant: if *one { Meant::One } else { Meant::Every },
                        values: values.as_slice().into(),
                    });
                }
                product
            };
            let evidence: Vec<Evidence> = drawn.iter().map(product).collect();
            let tape = Tape::of(&evidence);
            prop_assert_eq!(tape.products().count(), evidence.len());
            for (shown, product) in tape.products().zip(&evidence) {
                prop_assert_eq!((shown.place, shown.offers), (product.place(), product.offers));
                let mut back: [Vec<(Meant, Vec<u32>)>; ALL.len()] = Default::default();
                for field in shown.fields() {
                    back[field.field as usize] = field.readings().map(|r| (r.0, r.1.to_vec())).collect();
                    prop_assert_eq!(back[field.field as usize].len(), field.count as usize);
                }
                let plainly = product.fields.each_ref().map(|readings| {
                    readings.iter().map(|r| (r.meant, r.values.to_vec())).collect::<Vec<_>>()
                });
                prop_assert_eq!(back, plainly);
            }
        }
    }
}
