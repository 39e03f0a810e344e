//! What sellers do beside what they claim: which kind of part they list for a class, and how readily they state its bolt
//! circle. It tells a class from another where the claims are few.

use super::classes::Classes;
use super::evidence::Evidence;
use super::scales::Field;

/// Offers, and products, that a class must show before its own habits outweigh those of all.
const STATING: f64 = 10.0;
const OF_KIND: f64 = 5.0;
/// What of a product's sellers is judged beside its claims.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Habit {
    /// index of the kind among those with an interface
    pub place: usize,
    /// offers
    pub offers: u32,
    /// offers that state a bolt circle
    pub circles: usize,
}

impl Habit {
    /// The habits of a product's sellers.
    pub fn of(product: &Evidence) -> Habit {
        Habit {
            place: product.place(),
            offers: product.offers,
            circles: product.fields[Field::Circle as usize].len(),
        }
    }
}

impl Classes {
    /// Log ratio of the part kind in the class, and of how many of the product's offers state a bolt circle. Sellers of an
    /// odd variant say its circle more readily, so that silence speaks for the common one.
    pub fn habit_ratio(&self, habit: Habit, class: u32, own: f64) -> f64 {
        let (class, all) = (&self.list[class as usize], &self.background);
        let (here, anywhere) = (class.kinds[habit.place], all.kinds[habit.place]);
        let offers = f64::from(habit.offers);
        let said = (habit.circles as f64).min(offers);
        let usual = (anywhere.state_circle + 1.0) / (anywhere.offers + 2.0);
        let spoken = (here.state_circle - own * said).max(0.0) + STATING * usual;
        let rate = (spoken / ((here.offers - own * offers).max(0.0) + STATING)).clamp(0.01, 0.99);
        let usual = usual.clamp(0.01, 0.99);
        let stating = said * (rate / usual).ln() + (offers - said) * ((1.0 - rate) / (1.0 - usual)).ln();
        let share = anywhere.products / all.weight.max(1.0);
        let kinds = ((here.products - own).max(0.0) + OF_KIND * share) / ((class.weight - own).max(0.0) + OF_KIND);
        (kinds / share.max(1e-6)).ln() + (stating / offers.max(1.0).sqrt()).clamp(-2.0, 2.0)
    }
}

#[cfg(test)]
mod tests {
    use super::super::classes::Posterior;
    use super::super::kernels::Kernels;
    use super::super::learning::Anywhere;
    use super::super::scales;
    use super::super::test_products::stating;
    use super::*;

    fn product(circle: bool) -> Evidence {
        stating([(Field::Circle, scales::circle_bin(118.0, 0).filter(|_| circle))])
    }

    #[test]
    fn silence_about_the_circle_speaks_for_the_class_whose_sellers_are_silent() {
        // twenty products of class 0 state a circle, twenty of class 1 state none
        let evidence: Vec<Evidence> = (0..40).map(|i| product(i < 20)).collect();
        let mut memberships: Vec<Posterior> = (0..40).map(|i| vec![(u32::from(i >= 20), 1.0)]).collect();
        let anywhere = Anywhere::of(&evidence, Kernels::learn(&[], &[]), (0, 0));
        let classes = Classes::learn(&evidence, &anywhere, &mut memberships, None);
        let ratio = |circle, class, own| classes.habit_ratio(Habit::of(&product(circle)), class, own);
        // usual rate (20 + 1) / (40 + 2); in class 0 (20 + 10 / 2) / (20 + 10), in class 1 (0 + 10 / 2) / (20 + 10)
        let (often, seldom) = ((25.0 / 30.0 / 0.5f64).ln(), (5.0 / 30.0 / 0.5f64).ln());
        for (circle, class, expected) in [
            (true, 0, often),
            (true, 1, seldom),
            (false, 0, seldom),
            (false, 1, often),
        ] {
            let found = ratio(circle, class, 0.0);
            assert!(
                (found - expected).abs() < 1e-3,
                "{circle} in {class}: {found} is not {expected}"
            );
        }
        let without_itself = (24.0 / 29.0 / 0.5f64).ln();
        assert!(
            (ratio(true, 0, 1.0) - without_itself).abs() < 1e-3,
            "a product does not count for itself"
        );
    }
}
