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

use super::Status;
use super::line_by_line::line_by_line;
use super::problem::{Article, Place, Problem};
use crate::shop::rates::TaxCounted;
use highs::{Col, HighsModelStatus, RowProblem, Sense};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::num::NonZeroU32;
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

    fn tiers_of(&mut self, problem: &Problem, article: &Article) -> Vec<Tier> {
        let multiple = article.terms.multiple;
        let mut tiers = Vec::new();
        let ranges = ranges(problem, article);
        let is_plain = matches!(ranges.as_slice(), [(1, _)]);
        for (first, last) in ranges {
            let pieces = first * multiple;
            let Some(cost) = problem.piece_cost(article, pieces) else {
                continue;
            };
            let cost = figure(cost) * CENTS * f64::from(multiple);
            let packs = self.column(cost, (0.0, f64::from(last)), true);
            let used = (!is_plain).then(|| self.column(0.0, (0.0, 1.0), true));
            let switch = used.unwrap_or(self.open[article.supplier]);
            if !is_plain {
                self.row(0.0, f64::INFINITY, vec![(packs, 1.0), (switch, -f64::from(first))]);
            }
            self.row(f64::NEG_INFINITY, 0.0, vec![(packs, 1.0), (switch, -f64::from(last))]);
            tiers.push(Tier { packs, used, pieces });
        }
        let mut one_tier: Vec<(usize, f64)> = tiers
            .iter()
            .filter_map(|tier| tier.used)
            .map(|used| (used, 1.0))
            .collect();
        if !one_tier.is_empty() {
            one_tier.push((self.open[article.supplier], -1.0));
            self.row(f64::NEG_INFINITY, 0.0, one_tier);
        }
        tiers
    }

    fn pieces_of(&self, problem: &Problem, article: usize, factor: f64) -> Vec<(usize, f64)> {
        let multiple = f64::from(problem.articles[article].terms.multiple);
        let tiers = self.tiers[article].iter();
        tiers.map(|tier| (tier.packs, multiple * factor)).collect()
    }

    /// Every need is met or given up, and no piece answers two needs for the same place.
    fn answer_needs(&mut self, problem: &Problem) {
        for (at, article) in problem.articles.iter().enumerate() {
            for need in &article.serves {
                let most = f64::from(problem.needs[*need].pieces);
                let column = self.column(0.0, (0.0, most), true);
                self.answers.push((at, *need, column));
            }
            for place in [Place::Starter, Place::Shroud] {
                let mut factors = self.pieces_of(problem, at, -1.0);
                let here = self.answers.iter().filter(|(article, ..)| *article == at);
                let of_place = here.filter(|(_, need, _)| problem.needs[*need].places.contains(&place));
                let asked: Vec<(usize, f64)> = of_place.map(|(.., column)| (*column, 1.0)).collect();
                if !asked.is_empty() {
                    factors.extend(asked);
                    self.row(f64::NEG_INFINITY, 0.0, factors);
                }
            }
        }
        for (need, wanted) in problem.needs.iter().enumerate() {
            let pieces = f64::from(wanted.pieces);
            let answering = self.answers.iter().filter(|(_, answered, _)| *answered == need);
            let mut factors: Vec<(usize, f64)> = answering.map(|(.., column)| (*column, 1.0)).collect();
            factors.push((self.unmet[need], pieces));
            self.row(pieces, f64::INFINITY, factors);
            // nothing answers a need from a supplier that is not ordered from: true of whole plans already, and it tells
            // the solver what an order costs long before the packs do
            for (seller, open) in self.open.clone().into_iter().enumerate() {
                let of_seller = self.answers.iter().filter(|(article, answered, _)| {
                    *answered == need && problem.articles[*article].supplier == seller
                });
                let mut factors: Vec<(usize, f64)> = of_seller.map(|(.., column)| (*column, 1.0)).collect();
                if !factors.is_empty() {
                    factors.push((open, -pieces));
                    self.row(f64::NEG_INFINITY, 0.0, factors);
                }
            }
        }
    }

    /// Shipping of one supplier.
    fn ship(&mut self, problem: &Problem, seller: usize) {
        let terms = &problem.sellers[seller].terms;
        let Some(shipping) = &terms.shipping else { return };
        let articles: Vec<usize> = (0..problem.articles.len())
            .filter(|at| problem.articles[*at].supplier == seller)
            .collect();
        let Some(first) = articles.first().map(|at| &problem.articles[*at].terms) else {
            return;
        };
        let own = shipping.currency.is_empty();
        let currency = if own { &first.currency } else { &shipping.currency };
        let taxed = match (
            problem.rates.tax_counted,
            terms.tax_rate.or_else(|| problem.rates.tax(&terms.country)),
        ) {
            (TaxCounted::Counted, Some(rate)) => 1.0 + figure(rate),
            _ => 1.0,
        };
        let home = |amount: Decimal| {
            problem
                .rates
                .to_home(amount, currency)
                .map(|amount| figure(amount) * CENTS * taxed)
        };
        let (Some(flat), Some(per_kg)) = (home(shipping.flat), home(shipping.per_kg.unwrap_or_default())) else {
            return;
        };
        let free = shipping
            .free_above
            .map(|limit| self.free(problem, seller, &articles, limit, currency));
        self.costs[self.open[seller]] += flat;
        if let Some(free) = free {
            self.costs[free] -= flat;
        }
        if per_kg > 0.0 {
            self.ship_by_weight(problem, &articles, per_kg, free);
        }
    }

    /// Whether the order travels free: only when it is placed, and its goods as listed reach the limit.
    fn free(&mut self, problem: &Problem, seller: usize, articles: &[usize], limit: Decimal, currency: &str) -> usize {
        let free = self.column(0.0, (0.0, 1.0), true);
        self.row(f64::NEG_INFINITY, 0.0, vec![(free, 1.0), (self.open[seller], -1.0)]);
        let all_in_it = articles
            .iter()
            .all(|at| problem.articles[*at].terms.currency == currency);
        let value = |amount: Decimal, of: &str| {
            let amount = if all_in_it {
                Some(amount)
            } else {
                problem.rates.to_home(amount, of)
            };
            amount.map_or(0.0, figure)
        };
        let mut factors = vec![(free, -value(limit, currency))];
        for at in articles {
            let article = &problem.articles[*at];
            let multiple = f64::from(article.terms.multiple);
            for tier in &self.tiers[*at] {
                let unit = article
                    .terms
                    .price_at(tier.pieces)
                    .map_or(Decimal::ZERO, |price| price.0);
                factors.push((tier.packs, value(unit, &article.terms.currency) * multiple));
            }
        }
        self.row(0.0, f64::INFINITY, factors);
        free
    }

    fn ship_by_weight(&mut self, problem: &Problem, articles: &[usize], per_kg: f64, free: Option<usize>) {
        let kilograms = |at: usize| problem.articles[at].terms.weight_g.map_or(0.0, figure) / 1000.0;
        let most: f64 = articles
            .iter()
            .map(|at| {
                let article = &problem.articles[*at];
                per_kg * kilograms(*at) * f64::from(problem.most_packs(article) * article.terms.multiple)
            })
            .sum();
        let charged = self.column(1.0, (0.0, most), false);
        let mut factors = vec![(charged, 1.0)];
        for at in articles {
            factors.extend(self.pieces_of(problem, *at, -per_kg * kilograms(*at)));
        }
        if let Some(free) = free {
            factors.push((free, most));
        }
        self.row(0.0, f64::INFINITY, factors);
    }

    fn costs_of(&self, columns: &[usize], weight: impl Fn(usize) -> f64) -> Vec<f64> {
        let mut costs = vec![0.0; self.columns.len()];
        for (at, column) in columns.iter().enumerate() {
            costs[*column] = weight(at);
        }
        costs
    }

    /// The costs, with the charges that settle which of equal plans is taken.
    fn charged(&self) -> Vec<f64> {
        let mut costs = self.costs.clone();
        for open in &self.open {
            costs[*open] += ORDER_CHARGE;
        }
        let count = self.tiers.len().max(1) as f64;
        for (at, tiers) in self.tiers.iter().enumerate() {
            for tier in tiers {
                costs[tier.used.unwrap_or(tier.packs)] += LINE_CHARGE * (1.0 + at as f64 / count);
            }
        }
        costs
    }

    fn run(&self, costs: &[f64], time_limit: Duration) -> Result<Solved, String> {
        let mut rows = RowProblem::default();
        let columns: Vec<Col> = self
            .columns
            .iter()
            .zip(costs)
            .map(|(column, cost)| {
                rows.add_column_with_integrality(*cost, column.bounds.0..=column.bounds.1, column.whole)
            })
            .collect();
        for row in &self.rows {
            let factors: Vec<(Col, f64)> = row.factors.iter().map(|(at, factor)| (columns[*at], *factor)).collect();
            rows.add_row(row.bounds.0..=row.bounds.1, factors);
        }
        let failed = |what: &str| format!("the solver could not take the plan: {what}");
        let mut model = rows
            .try_optimise(Sense::Minimise)
            .map_err(|status| failed(&format!("{status:?}")))?;
        model.make_quiet();
        model.set_threads(NonZeroU32::MIN);
        for option in ["mip_rel_gap", "mip_abs_gap"] {
            model.try_set_option(option, 0.0).map_err(|_| failed(option))?;
        }
        let fixed = model
            .try_set_option("random_seed", 1)
            .and_then(|()| model.try_set_option("mip_feasibility_tolerance", 1e-9))
            .and_then(|()| model.try_set_option("primal_feasibility_tolerance", 1e-9))
            .and_then(|()| model.try_set_option("time_limit", time_limit.as_secs_f64()));
        fixed.map_err(|_| failed("an option"))?;
        let solved = model.try_solve().map_err(|status| failed(&format!("{status:?}")))?;
        let status = match solved.status() {
            HighsModelStatus::Optimal => Status::Optimal,
            HighsModelStatus::ReachedTimeLimit => Status::TimeUp,
            other => return Err(failed(&format!("{other:?}"))),
        };
        let values = solved.get_solution().columns().to_vec();
        if values.iter().any(|value| !value.is_finite()) {
            return Err("the time was up before any plan was found".into());
        }
        Ok(Solved {
            values,
            status,
            gap: if status == Status::Optimal {
                0.0
            } else {
                solved.mip_gap()
            },
        })
    }

    fn read(&self, problem: &Problem, values: &[f64], decision: &mut Decision) {
        let whole = |column: usize| values[column].round().max(0.0).to_u32().unwrap_or(0);
        for (at, tiers) in self.tiers.iter().enumerate() {
            let packs: u32 = tiers.iter().map(|tier| whole(tier.packs)).sum();
            decision.pieces[at] = packs * problem.articles[at].terms.multiple;
        }
        for (article, need, column) in &self.answers {
            let pieces = whole(*column);
            if pieces > 0 {
                decision.answers.push((*article, *need, pieces));
            }
        }
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
