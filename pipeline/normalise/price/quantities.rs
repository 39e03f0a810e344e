//! What other quantities cost: the price of one piece, breaks, and the smallest order.

use super::pack::quantity;
use super::plan::PricePlan;
use crate::intake::rows::Row;
use crate::normalise::offer::PriceBreak;
use crate::trade::money::{PriceReading, read_price};
use rust_decimal::Decimal;

/// Decimals that a unit price is rounded to when the division does not end.
const UNIT_PRICE_DECIMALS: u32 = 6;

impl PricePlan {
    /// The smallest order of a line, a whole number of multiples; none where one piece may be ordered.
    pub(super) fn minimum_order(&self, row: &Row<'_>, multiple: Option<u32>) -> Option<u32> {
        let minimum = self.minimum.and_then(|index| quantity(row.cell(index)));
        match (minimum, multiple) {
            // The smallest order is a whole number of multiples.
            (Some(minimum), Some(multiple)) => Some(minimum.div_ceil(multiple.max(1)).saturating_mul(multiple)),
            (minimum, multiple) => minimum.or(multiple),
        }
        .filter(|minimum| *minimum > 1)
    }

    /// The prices of larger quantities, per piece, by quantity.
    pub(super) fn price_breaks(&self, row: &Row<'_>, first: &PriceReading, buys: u32) -> Vec<PriceBreak> {
        let mut breaks: Vec<PriceBreak> = Vec::new();
        let mut add = |from: u32, amount: Decimal| {
            if from > 1 && !amount.is_zero() && !breaks.iter().any(|known| known.from == from) {
                breaks.push(PriceBreak {
                    from,
                    unit_price: unit_price(amount, buys),
                });
            }
        };
        for tier in &first.tiers {
            add(tier.from, tier.amount);
        }
        for (index, from) in self.prices.iter().skip(1).chain(&self.breaks) {
            let Some(reading) = read_price(row.cell(*index).trim(), self.decimals) else {
                continue;
            };
            match (reading.amount, from) {
                _ if !reading.tiers.is_empty() => reading.tiers.iter().for_each(|tier| add(tier.from, tier.amount)),
                (Some(amount), Some(from)) => add(*from, amount),
                _ => {}
            }
        }
        breaks.sort_by_key(|price_break| price_break.from);
        breaks
    }
}

/// Price of one piece.
pub(super) fn unit_price(amount: Decimal, pieces: u32) -> Decimal {
    if pieces <= 1 {
        return amount;
    }
    (amount / Decimal::from(pieces))
        .round_dp(UNIT_PRICE_DECIMALS)
        .normalize()
}
