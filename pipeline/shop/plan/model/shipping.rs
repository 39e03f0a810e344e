//! Columns and rows for shipping: an order that is placed, travels free, or pays by weight.

use super::{CENTS, Programme, figure};
use crate::shop::plan::problem::Problem;
use crate::shop::rates::TaxCounted;
use rust_decimal::Decimal;

impl Programme {
    /// Shipping of one supplier.
    pub(super) fn ship(&mut self, problem: &Problem, seller: usize) {
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
    pub(super) fn free(
        &mut self,
        problem: &Problem,
        seller: usize,
        articles: &[usize],
        limit: Decimal,
        currency: &str,
    ) -> usize {
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
}
