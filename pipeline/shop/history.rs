//! What an offer cost when: the prices that a nightly run keeps, asked by any number the offer carries.
//!
//! A price row stands where a price began to hold; between two rows nothing changed. Offers that are gone are found by
//! the supplier's number only, since a run says no more of them.

use super::numbers::Place;
use crate::publish::read::{Condition, with_number};
use crate::publish::{FinishedRun, PriceRow, ReadError};
use crate::trade::identifier::canonical_number;
use std::collections::BTreeSet;

/// The prices of every offer that carries the number, whatever its dashes and spaces, in order of supplier and date.
///
/// # Errors
/// The run cannot be read, or keeps no prices: only nightly runs do.
pub fn price_history(run: &FinishedRun, asked: &str) -> Result<Vec<PriceRow>, ReadError> {
    let wanted = canonical_number(asked);
    let is = |number: &str| !number.is_empty() && canonical_number(number) == wanted;
    let mut spelled = run.numbers_called(&[&wanted])?;
    spelled.retain(|entry| entry.place == Place::Number.name());
    let carrying = with_number(spelled.iter().map(|entry| &entry.number));
    let offers = run.offer_columns(&["supplier", "supplier_sku"], &carrying)?;
    let (supplier, sku) = (offers.texts("supplier"), offers.texts("supplier_sku"));
    let carrying: BTreeSet<(&str, &str)> = (0..offers.height()).map(|at| (supplier.get(at), sku.get(at))).collect();
    let mut prices = run.prices(&Condition::none())?;
    prices.retain(|row| is(&row.supplier_sku) || carrying.contains(&(&*row.supplier, row.supplier_sku.as_str())));
    Ok(prices)
}
