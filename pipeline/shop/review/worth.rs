//! What a decision is worth, so that a person's hour goes where it changes most.
//!
//! `worth = c * n * (1 + s)`
//! - `c`  chance that what is published now is wrong: `p` for two products, all pairs of their offers heard (at most a
//!   half, where a constraint keeps them apart), `1 - p` for a pair put together and for an offer in its group, `p` for one that
//!   stands alone and may belong to the group asked about
//! - `n`  offers that change their product or group with the answer: those of the smaller product of a pair put
//!   together, one where an offer leaves its product, all offers of a product that changes its group
//! - `s`  how far the prices at stake lie apart, (dearer - cheaper) / cheaper by delivered price, at most
//!   [`MOST_SPREAD`]; for a group only what the doubtful part would save against its cheapest sure offer; 0 where a
//!   price is not known
//!
//! So one is one row expected to be put right where no money hangs on it. What the answer teaches about other offers is
//! not counted.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// A price four times another is more likely a pack or a slip than a saving (value from memory).
const MOST_SPREAD: f64 = 3.0;

/// The worth of a decision.
pub fn worth(chance_wrong: f64, offers: usize, spread: f64) -> f64 {
    chance_wrong * offers as f64 * (1.0 + spread.clamp(0.0, MOST_SPREAD))
}

/// How far two prices lie apart.
pub fn spread(one: Option<Decimal>, other: Option<Decimal>) -> f64 {
    let (Some(one), Some(other)) = (one, other) else {
        return 0.0;
    };
    saving(Some(one.min(other)), Some(one.max(other)))
}

/// What `part` saves against `best`, as a share of its own price; nothing when it is dearer.
pub fn saving(part: Option<Decimal>, best: Option<Decimal>) -> f64 {
    let figure = |price: Option<Decimal>| price.and_then(|price| price.to_f64()).filter(|price| *price > 0.0);
    match (figure(part), figure(best)) {
        (Some(part), Some(best)) => ((best - part) / part).clamp(0.0, MOST_SPREAD),
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn price(text: &str) -> Option<Decimal> {
        text.parse().ok()
    }

    #[test]
    fn doubt_offers_and_money_each_raise_the_worth() {
        let plain = worth(0.5, 1, 0.0);
        assert!((plain - 0.5).abs() < 1e-12);
        assert!(worth(0.6, 1, 0.0) > plain && worth(0.5, 2, 0.0) > plain && worth(0.5, 1, 0.3) > plain);
        assert_eq!(worth(0.0, 50, 3.0), 0.0, "what is certain need not be asked");
    }

    #[test]
    fn prices_count_only_where_both_are_known_and_never_without_bound() {
        assert!((spread(price("10"), price("15")) - 0.5).abs() < 1e-12);
        assert_eq!(spread(price("15"), None), 0.0);
        assert_eq!(spread(price("0.01"), price("500")), MOST_SPREAD);
        assert_eq!(saving(price("15"), price("10")), 0.0);
    }
}
