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
