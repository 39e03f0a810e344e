//! The plan as a mixed-integer programme, solved by HiGHS.
//!
//! Per article and price tier: whole packs, and whether the tier is used. Per need and article: pieces of it that answer
//! the need. Per supplier: whether it is ordered from, whether the order travels free, and its shipping by weight.
//! Figures are hundredths of the home currency.
//!
//! Solved with one thread and a fixed seed, so that the same problem gives the same plan: first, where stock may run out,
//! for as few unmet needs as possible, the later of the list first; then, at that, for least cost. Of plans that cost the
//! same the one with fewer orders, fewer lines, and articles that come first is preferred by a charge far below the
//! smallest coin ([`ORDER_CHARGE`], [`LINE_CHARGE`]).

mod goods;
mod shipping;
mod solving;

use super::Status;
use super::line_by_line::line_by_line;
use super::problem::{Article, Problem};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::time::Duration;

/// Hundredths of the home currency in one.
const CENTS: f64 = 100.0;

/// Hundredths that an order, and a line of it, are charged to settle which of equal plans is taken.
const ORDER_CHARGE: f64 = 2e-3;
const LINE_CHARGE: f64 = 1e-4;

/// What was decided.
#[derive(Clone, Debug)]
pub struct Decision {
    /// pieces ordered, by article
    pub pieces: Vec<u32>,
    /// pieces that answer a need, by article and need
    pub answers: Vec<(usize, usize, u32)>,
    /// needs that are not met
    pub unmet: Vec<usize>,
    /// how the solver ended
    pub status: Status,
    /// how far above the best possible the cost may be, as a fraction
    pub gap: f64,
}

/// Decides a problem.
///
/// # Errors
/// The solver fails, which it should not: every problem has the solution that meets nothing.
pub fn solve(problem: &Problem, time_limit: Duration) -> Result<Decision, String> {
    let mut decision = Decision {
        pieces: vec![0; problem.articles.len()],
        answers: Vec::new(),
        unmet: Vec::new(),
        status: Status::Empty,
        gap: 0.0,
    };
    if problem.needs.is_empty() {
        return Ok(decision);
    }
    let mut programme = Programme::of(problem);
    // where buying line by line finds enough, all can be met
    let all_met = line_by_line(problem, &[]).is_some();
    if !all_met {
        let count = problem.needs.len() as f64;
        let weights = programme.costs_of(&programme.unmet, |at| count + 1.0 - at as f64 / count);
        let first = programme.run(&weights, time_limit)?;
        let is_unmet = |need: &usize| first.values[programme.unmet[*need]] > 0.5;
        decision.unmet = (0..problem.needs.len()).filter(is_unmet).collect();
    }
    for (need, column) in programme.unmet.clone().into_iter().enumerate() {
        let fixed = f64::from(u8::from(decision.unmet.contains(&need)));
        programme.columns[column].bounds = (fixed, fixed);
    }
    let solved = programme.run(&programme.charged(), time_limit)?;
    decision.status = solved.status;
    decision.gap = solved.gap;
    programme.read(problem, &solved.values, &mut decision);
    Ok(decision)
}

struct Column {
    bounds: (f64, f64),
    whole: bool,
}

struct Row {
    bounds: (f64, f64),
    factors: Vec<(usize, f64)>,
}

/// A price tier of an article.
struct Tier {
    /// packs
    packs: usize,
    /// whether it is used; none where any number of packs may be ordered at one price
    used: Option<usize>,
    /// fewest pieces
    pieces: u32,
}

struct Solved {
    values: Vec<f64>,
    status: Status,
    gap: f64,
}

/// The programme, apart from what is minimised.
#[derive(Default)]
struct Programme {
    columns: Vec<Column>,
    costs: Vec<f64>,
    rows: Vec<Row>,
    /// by need
    unmet: Vec<usize>,
    /// by article
    tiers: Vec<Vec<Tier>>,
    /// (article, need, column)
    answers: Vec<(usize, usize, usize)>,
    /// by supplier
    open: Vec<usize>,
}

impl Programme {
    fn of(problem: &Problem) -> Programme {
        let mut programme = Programme::default();
        programme.unmet = problem
            .needs
            .iter()
            .map(|_| programme.column(0.0, (0.0, 1.0), true))
            .collect();
        programme.open = problem
            .sellers
            .iter()
            .map(|_| programme.column(0.0, (0.0, 1.0), true))
            .collect();
        for article in &problem.articles {
            let tiers = programme.tiers_of(problem, article);
            programme.tiers.push(tiers);
        }
        programme.answer_needs(problem);
        for seller in 0..problem.sellers.len() {
            programme.ship(problem, seller);
        }
        programme
    }

    fn column(&mut self, cost: f64, bounds: (f64, f64), whole: bool) -> usize {
        self.columns.push(Column { bounds, whole });
        self.costs.push(cost);
        self.columns.len() - 1
    }

    fn row(&mut self, low: f64, high: f64, factors: Vec<(usize, f64)>) {
        self.rows.push(Row {
            bounds: (low, high),
            factors,
        });
    }
}

/// The packs that each price holds for: from the smallest order to the first break, from break to break, to the most.
fn ranges(problem: &Problem, article: &Article) -> Vec<(u32, u32)> {
    let terms = &article.terms;
    let most = problem.most_packs(article);
    let least = terms.order_of(1) / terms.multiple;
    let mut starts: Vec<u32> = vec![1];
    starts.extend(terms.breaks.iter().map(|price_break| price_break.from));
    let before = |next: &u32| next.saturating_sub(1) / terms.multiple;
    let range = |(at, from): (usize, &u32)| {
        let first = from.div_ceil(terms.multiple).max(least);
        let last = starts.get(at + 1).map_or(most, before).min(most);
        (first, last)
    };
    starts
        .iter()
        .enumerate()
        .map(range)
        .filter(|(first, last)| first <= last)
        .collect()
}

fn figure(amount: Decimal) -> f64 {
    amount.to_f64().unwrap_or(f64::MAX)
}
