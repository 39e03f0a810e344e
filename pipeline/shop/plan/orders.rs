//! The decision as orders: one per supplier, costed again in exact decimals.

use super::line_by_line::line_by_line;
use super::model::Decision;
use super::problem::{Problem, Seller};
use crate::publish::CrossrefRow;
use crate::shop::landed::{OrderCost, OrderLine, order_cost};
use rust_decimal::Decimal;

/// One order at one supplier.
#[derive(Clone, Debug)]
pub struct Order {
    /// the supplier
    pub seller: Seller,
    /// what is ordered, as many as lines of the cost
    pub lines: Vec<Ordered>,
    /// what it costs delivered
    pub cost: OrderCost,
}

/// One line of an order.
#[derive(Clone, Debug)]
pub struct Ordered {
    /// index of the article in the problem
    pub article: usize,
    /// the offer
    pub row: CrossrefRow,
    /// pieces
    pub pieces: u32,
}

/// Pieces of an ordered line that answer a need.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Used {
    /// index of the article in the problem
    pub article: usize,
    /// index of the need among the lines asked
    pub need: usize,
    /// pieces
    pub pieces: u32,
}

/// The same needs bought otherwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// delivered cost of all its orders
    pub total: Decimal,
    /// orders placed
    pub orders: usize,
}

/// The orders that come to so many pieces of each article.
pub fn orders_of(problem: &Problem, pieces: &[u32]) -> Vec<Order> {
    let of_seller = |at: usize| {
        let lines: Vec<Ordered> = problem
            .articles
            .iter()
            .enumerate()
            .filter(|(article, found)| found.supplier == at && pieces[*article] > 0)
            .map(|(article, found)| Ordered {
                article,
                row: found.row.clone(),
                pieces: pieces[article],
            })
            .collect();
        let seller = problem.sellers[at].clone();
        let costed: Vec<OrderLine<'_>> = lines
            .iter()
            .map(|line| OrderLine {
                terms: &problem.articles[line.article].terms,
                pieces: line.pieces,
            })
            .collect();
        // what cannot be costed is no article
        let cost = order_cost(&costed, &seller.terms, &problem.rates).ok()?;
        (!lines.is_empty()).then_some(Order { seller, lines, cost })
    };
    (0..problem.sellers.len()).filter_map(of_seller).collect()
}

/// Which lines answer which needs.
pub fn used(problem: &Problem, decision: &Decision) -> Vec<Used> {
    let of = |(article, need, pieces): &(usize, usize, u32)| Used {
        article: *article,
        need: problem.needs[*need].line,
        pieces: *pieces,
    };
    decision.answers.iter().map(of).collect()
}

/// What the needs that are met cost line by line; `None` where that way cannot meet them.
pub fn compared(problem: &Problem, unmet: &[usize]) -> Option<Comparison> {
    let pieces = line_by_line(problem, unmet)?;
    let orders = orders_of(problem, &pieces);
    Some(Comparison {
        total: orders.iter().map(|order| order.cost.total()).sum(),
        orders: orders.len(),
    })
}
