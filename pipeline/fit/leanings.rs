//! What tells the variants of a class apart beside the interface itself: the numbers a product replaces, its depth, and
//! how readily its sellers state the bolt circle.
//!
//! An original part bolts on to one interface, so what replaces the same original number shares it. Products that state
//! their circle teach which numbers go with which variant; products that do not are then judged by their numbers. By
//! turns of judging and learning, a product's own share taken out before it is judged.

use super::evidence::Evidence;
use super::ratios::ERROR;
use super::scales::Field;
use rustc_hash::FxHashMap;

/// Pseudo-count towards what all variants show together, in products.
const SMOOTHING: f64 = 2.0;
/// Offers that a variant must show before its own habit of stating outweighs that of all.
const STATING: f64 = 10.0;
/// Depths that count as one, mm to both sides: the kernel of the depth field reaches as far.
const NEAR_MM: u32 = 2;
/// Ratios of a single number or depth stay within this, natural logarithm.
const MOST: f64 = 4.0;

/// What one product shows beside its interface.
struct Shown {
    numbers: Vec<u32>,
    depths: Vec<u32>,
    offers: f64,
    circles: f64,
}

/// Mass by variant of one value.
type Masses = Vec<f64>;

/// What the variants of one class and kind show.
pub(super) struct Leanings {
    shown: Vec<Shown>,
    numbers: FxHashMap<u32, Masses>,
    depths: FxHashMap<u32, Masses>,
    number_total: Masses,
    depth_total: Masses,
    offers: Masses,
    circles: Masses,
}

impl Leanings {
    /// Of the products of one class and kind.
    pub fn of<'a>(products: impl Iterator<Item = &'a Evidence>) -> Leanings {
        let values = |product: &Evidence, field: Field| {
            let mut values: Vec<u32> = product.fields[field as usize]
                .iter()
                .flat_map(|r| r.values.iter().copied())
                .collect();
            values.sort_unstable();
            values.dedup();
            values
        };
        let shown = products
            .map(|product| Shown {
                numbers: values(product, Field::Number),
                depths: values(product, Field::Depth),
                offers: f64::from(product.offers),
                circles: product.fields[Field::Circle as usize].len() as f64,
            })
            .collect();
        Leanings {
            shown,
            numbers: FxHashMap::default(),
            depths: FxHashMap::default(),
            number_total: Vec::new(),
            depth_total: Vec::new(),
            offers: Vec::new(),
            circles: Vec::new(),
        }
    }

    /// Learns from where the products stand: the probability of each variant by product.
    pub fn learn(&mut self, posteriors: &[Vec<f64>], variants: usize) {
        let none = vec![0.0; variants];
        (self.numbers, self.depths) = Default::default();
        for totals in [
            &mut self.number_total,
            &mut self.depth_total,
            &mut self.offers,
            &mut self.circles,
        ] {
            totals.clone_from(&none);
        }
        for (shown, posterior) in self.shown.iter().zip(posteriors) {
            for (v, p) in posterior.iter().enumerate() {
                self.offers[v] += p * shown.offers;
                self.circles[v] += p * shown.circles.min(shown.offers);
                for (values, masses, total) in [
                    (&shown.numbers, &mut self.numbers, &mut self.number_total),
                    (&shown.depths, &mut self.depths, &mut self.depth_total),
                ] {
                    for value in values {
                        masses.entry(*value).or_insert_with(|| none.clone())[v] += p;
                    }
                    total[v] += p * values.len() as f64;
                }
            }
        }
    }

    /// Log likelihood ratio of a product for each variant against all of them together.
    pub fn of_product(&self, product: usize, own: &[f64]) -> Vec<f64> {
        let shown = &self.shown[product];
        let all_offers: f64 = self.offers.iter().sum();
        let usual = ((self.circles.iter().sum::<f64>() + 1.0) / (all_offers + 2.0)).clamp(0.01, 0.99);
        (0..own.len())
            .map(|v| {
                let numbers = shown.numbers.iter().map(|n| at(&self.numbers, *n));
                let depths = shown.depths.iter().map(|d| self.near(*d));
                self.field(numbers.collect(), &self.number_total, shown.numbers.len(), v, own)
                    + self.field(depths.collect(), &self.depth_total, shown.depths.len(), v, own)
                    + self.stating(shown, v, own[v], usual)
            })
            .collect()
    }

    fn near(&self, depth: u32) -> Option<Masses> {
        let per_kind = Field::Depth.bins_per_kind() as u32;
        let start = depth / per_kind * per_kind;
        let (low, high) = (
            depth.saturating_sub(NEAR_MM).max(start),
            (depth + NEAR_MM).min(start + per_kind - 1),
        );
        (low..=high)
            .filter_map(|d| at(&self.depths, d))
            .reduce(|mut sum, more| {
                sum.iter_mut().zip(more).for_each(|(s, m)| *s += m);
                sum
            })
    }

    fn field(&self, values: Vec<Option<Masses>>, total: &Masses, own_values: usize, v: usize, own: &[f64]) -> f64 {
        if values.is_empty() {
            return 0.0;
        }
        let own_all: f64 = own.iter().sum();
        let all: f64 = total.iter().sum::<f64>() - own_all * own_values as f64;
        let of_variant = total[v] - own[v] * own_values as f64;
        let count = values.len() as f64;
        let sum: f64 = values
            .into_iter()
            .flatten()
            .map(|masses| {
                let anywhere = (masses.iter().sum::<f64>() - own_all + 0.1).max(0.1) / (all.max(0.0) + 1.0);
                let here = ((masses[v] - own[v]).max(0.0) + SMOOTHING * anywhere) / (of_variant.max(0.0) + SMOOTHING);
                (here / anywhere).ln().clamp(-MOST, MOST)
            })
            .sum();
        ((1.0 - ERROR) * (sum / count.sqrt()).exp() + ERROR).ln()
    }

    fn stating(&self, shown: &Shown, v: usize, own: f64, usual: f64) -> f64 {
        let said = shown.circles.min(shown.offers);
        let spoken = (self.circles[v] - own * said).max(0.0) + STATING * usual;
        let rate = (spoken / ((self.offers[v] - own * shown.offers).max(0.0) + STATING)).clamp(0.01, 0.99);
        let stating = said * (rate / usual).ln() + (shown.offers - said) * ((1.0 - rate) / (1.0 - usual)).ln();
        (stating / shown.offers.max(1.0).sqrt()).clamp(-2.0, 2.0)
    }
}

fn at(masses: &FxHashMap<u32, Masses>, value: u32) -> Option<Masses> {
    masses.get(&value).cloned()
}

#[cfg(test)]
mod tests {
    use super::super::elsewhere::Elsewhere;
    use super::super::stated::Stated;
    use super::super::test_products::stating;
    use super::super::variants;
    use super::*;

    /// A product of two offers that replaces a number and may state a circle, twice.
    fn product(number: Option<u32>, circle: bool) -> Evidence {
        let circle = circle.then_some(236);
        Evidence {
            offers: 2,
            ..stating([
                (Field::Number, number),
                (Field::Circle, circle),
                (Field::Circle, circle),
            ])
        }
    }

    fn says(circle: Option<f64>) -> Stated {
        Stated {
            circle_mm: circle,
            circle_lines: if circle.is_some() { 2 } else { 0 },
            circle_lists: if circle.is_some() { 3 } else { 0 },
            holes: Some(3),
            hole_lines: 1,
            hole_lists: 1,
        }
    }

    #[test]
    fn a_product_that_states_no_circle_goes_where_its_replaced_number_goes() {
        let mut products = Vec::new();
        let mut stated = Vec::new();
        for i in 0..60 {
            let odd = i % 6 == 0;
            let circle = (odd || i % 2 == 1).then_some(if odd { 124.5 } else { 118.0 });
            products.push(product(Some(u32::from(odd)), circle.is_some()));
            stated.push(says(circle));
        }
        for number in [Some(0), Some(1), None] {
            products.push(product(number, false));
            stated.push(says(None));
        }
        let mut found = variants::find(&stated, &Elsewhere::unknown());
        assert_eq!(found.len(), 2);
        let judged = variants::judge(
            &stated,
            &mut found,
            Leanings::of(products.iter()),
            &Elsewhere::unknown(),
        );
        let odd = |at: usize| judged[60 + at][1];
        assert!(odd(0) < 0.05, "{}", odd(0));
        assert!(odd(1) > 0.7, "{}", odd(1));
        assert!(odd(0) < odd(2) && odd(2) < 0.1, "{}", odd(2));
    }
}
