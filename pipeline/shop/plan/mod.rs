//! The order plan: offers and suppliers for a whole list of needs, so that everything together costs least delivered.
//!
//! 1. `needs`         NEEDS.csv -> needs with quantities and limits
//! 2. `choice`        a need -> its fit group, and the offers that may answer it; or why none may
//! 3. `problem`       offers, needs and terms as the figures that are decided on
//! 4. `model`         that problem as a mixed-integer programme, solved by HiGHS
//! 5. `line_by_line`  what buying the cheapest offer for each need alone would come to
//! 6. `orders`        the decision as one order per supplier, costed again in exact decimals
//!
//! What may answer a need: sure offers of its fit group, and of assemblies that cover it; one assembly may answer a need
//! for a starter and one for a shroud. Offers are ordered in whole packs, at least in their smallest order, at the price
//! of the quantity reached, and never beyond the stock that is counted on. More than is needed is ordered where that
//! makes the whole cheaper, and said.
//!
//! A supplier whose shipping is not known would look cheaper than it is: its offers are left out, and counted, unless the
//! buyer gives a sum to assume (`--assume-shipping`).

#[cfg(test)]
mod brute_tests;
pub mod choice;
pub mod line_by_line;
mod model;
pub mod needs;
pub mod orders;
pub mod problem;

use super::shelf::Counter;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::{FinishedRun, ReadError};
use choice::{Chosen, choose};
use needs::NeedLine;
use orders::{Comparison, Order, Used, compared, orders_of};
use problem::Problem;
use rust_decimal::Decimal;
use std::time::Duration;

/// What restricts a plan, where a line of needs says nothing else.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanLimits {
    /// confidence from which an offer is sure enough
    pub min_confidence: f64,
    /// days until delivery at the latest
    pub deliver_within: Option<u16>,
    /// shipping per order to assume of suppliers whose terms are not known, home currency
    pub assume_shipping: Option<Decimal>,
    /// how long the solver may take
    pub time_limit: Duration,
}

/// How the solver ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// nothing is cheaper
    Optimal,
    /// the time was up; the plan stands, and something cheaper may exist within the gap
    TimeUp,
    /// there was nothing to plan
    Empty,
}

/// A need that is not planned, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Unplanned {
    /// index of the need
    pub need: usize,
    /// why, in words
    pub reason: String,
}

/// A finished plan.
#[derive(Debug)]
pub struct Plan {
    /// the needs, as asked
    pub needs: Vec<NeedLine>,
    /// what each need was taken to be
    pub chosen: Vec<Chosen>,
    /// one order per supplier, by its name
    pub orders: Vec<Order>,
    /// needs that are not planned
    pub unplanned: Vec<Unplanned>,
    /// which lines answer which needs
    pub used: Vec<Used>,
    /// delivered cost of all orders, home currency, exact
    pub total: Decimal,
    /// how the solver ended
    pub status: Status,
    /// how far above the best possible the plan may be, as a fraction of it
    pub gap: f64,
    /// the same needs bought line by line
    pub line_by_line: Option<Comparison>,
    /// the terms of the run
    pub counter: Counter,
}

/// Why no plan could be made.
#[derive(Debug)]
pub enum PlanError {
    /// the run cannot be read
    Read(ReadError),
    /// the solver failed, which it should not
    Solver(String),
}

impl From<ReadError> for PlanError {
    fn from(error: ReadError) -> PlanError {
        PlanError::Read(error)
    }
}

/// Plans a list of needs.
///
/// # Errors
/// The run cannot be read, or the solver failed.
pub fn plan(
    run: &FinishedRun,
    vocabulary: &Vocabulary,
    needs: Vec<NeedLine>,
    limits: &PlanLimits,
) -> Result<Plan, PlanError> {
    let counter = Counter::of(run)?;
    let mut chosen = Vec::with_capacity(needs.len());
    for need in &needs {
        chosen.push(choose(run, &counter, vocabulary, need, limits)?);
    }
    let problem = Problem::of(&needs, &chosen, &counter, limits);
    let decision = model::solve(&problem, limits.time_limit).map_err(PlanError::Solver)?;
    let orders = orders_of(&problem, &decision.pieces);
    let mut unplanned: Vec<Unplanned> = chosen
        .iter()
        .enumerate()
        .filter_map(|(need, chosen)| chosen.reason.clone().map(|reason| Unplanned { need, reason }))
        .collect();
    unplanned.extend(decision.unmet.iter().map(|at| {
        let need = problem.needs[*at].line;
        Unplanned {
            need,
            reason: problem.shortage(*at),
        }
    }));
    unplanned.sort_by_key(|unplanned| unplanned.need);
    let total = orders.iter().map(|order| order.cost.total()).sum();
    Ok(Plan {
        line_by_line: compared(&problem, &decision.unmet),
        used: orders::used(&problem, &decision),
        needs,
        chosen,
        unplanned,
        orders,
        total,
        status: decision.status,
        gap: decision.gap,
        counter,
    })
}
