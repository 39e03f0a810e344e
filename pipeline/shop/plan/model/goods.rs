//! Columns and rows for the goods: packs of each price tier, and the pieces that answer a need.

use super::{CENTS, Programme, Tier, figure, ranges};
use crate::shop::plan::problem::{Article, Place, Problem};

impl Programme {
    pub(super) fn tiers_of(&mut self, problem: &Problem, article: &Article) -> Vec<Tier> {
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

    pub(super) fn pieces_of(&self, problem: &Problem, article: usize, factor: f64) -> Vec<(usize, f64)> {
        let multiple = f64::from(problem.articles[article].terms.multiple);
        let tiers = self.tiers[article].iter();
        tiers.map(|tier| (tier.packs, multiple * factor)).collect()
    }

    /// Every need is met or given up, and no piece answers two needs for the same place.
    pub(super) fn answer_needs(&mut self, problem: &Problem) {
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
}
