//! The filters of a search: what an offer must promise, and what stops the one that does not. What a list does not say
//! never passes a filter in silence.

use super::answer::{LeftOut, Limits, StockWanted};
use super::shelf::Shelf;
use crate::publish::read::narrow::{Texts, Wholes};
use crate::trade::availability::Stock;
use rayon::prelude::*;

/// Offers that one thread looks at before another could help.
const OFFERS_AT_ONCE: usize = 4096;

/// What stops an offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stop {
    OtherSupplier,
    Late,
    TimeUnknown,
    NotThere,
    StockUnknown,
}

/// What the offers of a shelf say of what filters ask.
struct Said<'a> {
    supplier: Texts<'a>,
    lead_time_days: Wholes<'a>,
    stock: Texts<'a>,
}

/// The offers of a shelf that pass the filters, in published order; what does not is counted under the first filter that
/// stops it.
pub(super) fn passing(shelf: &Shelf, limits: &Limits, left_out: &mut LeftOut) -> Vec<usize> {
    if limits.supplier.is_none() && limits.deliver_within.is_none() && limits.stock == StockWanted::Any {
        return shelf.offers().collect();
    }
    let said = Said {
        supplier: shelf.texts("supplier"),
        lead_time_days: shelf.wholes("lead_time_days"),
        stock: shelf.texts("stock"),
    };
    let wanted = limits.supplier.as_ref().map(|name| name.to_lowercase());
    let stops: Vec<Option<Stop>> = shelf
        .offers()
        .into_par_iter()
        .with_min_len(OFFERS_AT_ONCE)
        .map(|at| stop(limits, wanted.as_deref(), &said, at))
        .collect();
    let mut passing = Vec::new();
    for (at, stop) in stops.into_iter().enumerate() {
        match stop {
            None => passing.push(at),
            Some(Stop::OtherSupplier) => left_out.supplier += 1,
            Some(Stop::Late) => left_out.late += 1,
            Some(Stop::TimeUnknown) => left_out.time_unknown += 1,
            Some(Stop::NotThere) => left_out.not_there += 1,
            Some(Stop::StockUnknown) => left_out.stock_unknown += 1,
        }
    }
    passing
}

/// The first filter that stops an offer. The supplier wanted is in lower case.
fn stop(limits: &Limits, wanted: Option<&str>, said: &Said<'_>, at: usize) -> Option<Stop> {
    if wanted.is_some_and(|wanted| !said.supplier.get(at).to_lowercase().contains(wanted)) {
        return Some(Stop::OtherSupplier);
    }
    if let Some(within) = limits.deliver_within {
        match said.lead_time_days.get(at) {
            None => return Some(Stop::TimeUnknown),
            Some(days) if days > u32::from(within) => return Some(Stop::Late),
            Some(_) => {}
        }
    }
    if limits.stock == StockWanted::InStock {
        match Stock::parse(said.stock.get(at)) {
            None => return Some(Stop::StockUnknown),
            Some(stock) if !has_enough(stock, limits.quantity) => return Some(Stop::NotThere),
            Some(_) => {}
        }
    }
    None
}

/// Whether a stock holds so many pieces, as far as it says.
fn has_enough(stock: Stock, wanted: u32) -> bool {
    stock.is_there() && stock.counted_on().is_none_or(|pieces| pieces >= wanted)
}
