//! What buying line by line comes to: for each need by itself the offer that costs least delivered, then the orders put
//! together at each supplier. It is what a careful buyer does without a plan, and what a plan is measured against.

use super::problem::{Article, Problem};
use crate::shop::landed::{OrderLine, order_cost};
use rust_decimal::Decimal;

/// Pieces of each article; `None` where the stock runs out this way.
pub fn line_by_line(problem: &Problem, unmet: &[usize]) -> Option<Vec<u32>> {
    let mut wanted = vec![0u32; problem.articles.len()];
    for (need, asked) in problem
        .needs
        .iter()
        .enumerate()
        .filter(|(need, _)| !unmet.contains(need))
    {
        let mut left = asked.pieces;
        while left > 0 {
            let (article, pieces) = cheapest(problem, need, left, &wanted)?;
            wanted[article] += pieces;
            left -= pieces;
        }
    }
    let ordered = wanted
        .iter()
        .zip(&problem.articles)
        .map(|(pieces, article)| match pieces {
            0 => 0,
            pieces => article.terms.order_of(*pieces),
        });
    Some(ordered.collect())
}

/// The offer that meets what is left of a need alone at the least cost; else the one that meets most of it.
fn cheapest(problem: &Problem, need: usize, left: u32, wanted: &[u32]) -> Option<(usize, u32)> {
    let serving = problem
        .articles
        .iter()
        .enumerate()
        .filter(|(_, article)| article.serves.contains(&need));
    let offers: Vec<(usize, u32, Decimal)> = serving
        .filter_map(|(at, article)| {
            let there = room(article).saturating_sub(wanted[at]);
            let pieces = left.min(there);
            let cost = cost(problem, article, pieces).filter(|_| pieces > 0)?;
            Some((at, pieces, cost))
        })
        .collect();
    let most = offers.iter().map(|(_, pieces, _)| *pieces).max()?;
    let best = offers
        .into_iter()
        .filter(|(_, pieces, _)| *pieces == most)
        .min_by(|x, y| x.2.cmp(&y.2).then(x.0.cmp(&y.0)))?;
    Some((best.0, best.1))
}

/// Pieces that can be had of an article, in whole packs and not below its smallest order.
fn room(article: &Article) -> u32 {
    let Some(stock) = article.stock else { return u32::MAX };
    let packs = stock / article.terms.multiple * article.terms.multiple;
    if packs < article.terms.order_of(1) { 0 } else { packs }
}

fn cost(problem: &Problem, article: &Article, pieces: u32) -> Option<Decimal> {
    let line = OrderLine {
        terms: &article.terms,
        pieces: article.terms.order_of(pieces),
    };
    let seller = &problem.sellers[article.supplier].terms;
    order_cost(&[line], seller, &problem.rates)
        .ok()
        .map(|cost| cost.total())
}
