//! How roughly figures are listed: the kernel of each field, learned from products that two lists state the same figure of.
//!
//! Sellers copy nominal figures, so the very same displacement says more than one a little off; but 196 cc is also sold as
//! 200, and rulers differ. A kernel is therefore a peak on the figure itself and a bell as wide as listings are rough. How
//! much lies in the peak is not set but seen: of the figures of one product in two lists that lie within the bell's reach
//! of each other, how many more are equal than the bell alone would have.

use super::evidence::{Evidence, Reading};
use super::scales::{self, ALL, FIELDS, Field};

/// Fields whose figure is nominal and copied. A bolt circle is measured, and every ruler differs.
const COPIED: [Field; 2] = [Field::Displacement, Field::Power];
/// Pairs of figures that the bell alone is worth before any are seen.
const PAIRS: f64 = 20.0;
/// The most that may lie in the peak: nobody copies without fail. A value from memory.
const MOST: f64 = 0.9;
/// Readings of one product that are compared.
const COMPARED: usize = 6;

/// The kernel of each field: weights at 0, 1, 2 ... bins away; they sum to 1 over both sides.
#[derive(Clone, Debug)]
pub(super) struct Kernels([Vec<f32>; FIELDS]);

impl Kernels {
    /// Learns how much of each kernel lies in its peak; `lists` numbers the list of every offer.
    pub fn learn(lists: &[u32], evidence: &[Evidence]) -> Kernels {
        let mut kernels = Kernels(ALL.map(scales::kernel_of));
        for field in COPIED {
            let bell = &mut kernels.0[field as usize];
            let peak = peak(lists, evidence, field, bell);
            bell.iter_mut().for_each(|weight| *weight *= 1.0 - peak);
            bell[0] += peak;
        }
        kernels
    }

    /// Kernel of a field.
    pub fn of(&self, field: Field) -> &[f32] {
        &self.0[field as usize]
    }
}

/// Share of figures that are copied rather than measured or rounded anew.
fn peak(lists: &[u32], evidence: &[Evidence], field: Field, bell: &[f32]) -> f32 {
    let (mut equal, mut near) = (0.0, 0.0);
    for product in evidence {
        let single = |reading: &&Reading| reading.values.len() == 1;
        let readings: Vec<&Reading> = product.fields[field as usize]
            .iter()
            .filter(single)
            .take(COMPARED)
            .collect();
        for (at, x) in readings.iter().enumerate() {
            for y in &readings[at + 1..] {
                let apart = x.values[0].abs_diff(y.values[0]) as usize;
                if apart < bell.len() && lists[x.offer as usize] != lists[y.offer as usize] {
                    near += 1.0;
                    equal += f64::from(u8::from(apart == 0));
                }
            }
        }
    }
    let by_bell = f64::from(bell[0]);
    let share = (equal + PAIRS * by_bell) / (near + PAIRS);
    ((share - by_bell) / (1.0 - by_bell)).clamp(0.0, MOST) as f32
}

#[cfg(test)]
mod tests {
    use super::super::test_products::{reading, silent};
    use super::*;

    /// Products offered by two lists each, with the bins of the displacement that the two state.
    fn stating(pairs: &[(u32, u32)]) -> Kernels {
        let lists: Vec<u32> = pairs.iter().flat_map(|_| [0, 1]).collect();
        let evidence: Vec<Evidence> = pairs.iter().zip(0..).map(|(pair, i)| stated_by(2 * i, *pair)).collect();
        Kernels::learn(&lists, &evidence)
    }

    fn stated_by(first: u32, pair: (u32, u32)) -> Evidence {
        let mut evidence = silent();
        evidence.fields[Field::Displacement as usize] = vec![reading(first, pair.0), reading(first + 1, pair.1)];
        evidence
    }

    fn peak_of(kernels: &Kernels) -> f32 {
        kernels.of(Field::Displacement)[0]
    }

    #[test]
    fn figures_that_lists_copy_sharpen_the_kernel_and_rough_ones_do_not() {
        let bell = scales::kernel_of(Field::Displacement)[0];
        let copied = peak_of(&stating(&vec![(210, 210); 300]));
        let rough = peak_of(&stating(&(0..300).map(|i| (210, 206 + i % 9)).collect::<Vec<_>>()));
        assert!(copied > 0.8, "{copied}");
        assert!(rough < bell + 0.05, "{rough}");
        assert_eq!(peak_of(&stating(&[])), bell, "nothing seen, nothing learned");
    }

    #[test]
    fn figures_far_apart_are_of_two_engines_and_teach_nothing() {
        assert_eq!(
            peak_of(&stating(&vec![(210, 240); 300])),
            scales::kernel_of(Field::Displacement)[0]
        );
    }

    #[test]
    fn a_sharpened_kernel_still_sums_to_one() {
        let kernels = stating(&vec![(210, 210); 300]);
        let kernel = kernels.of(Field::Displacement);
        assert!((kernel[0] + 2.0 * kernel[1..].iter().sum::<f32>() - 1.0).abs() < 1e-5);
    }
}
