//! Handing the programme to the solver, and reading its answer.

use super::{Decision, LINE_CHARGE, ORDER_CHARGE, Programme, Solved};
use crate::shop::plan::Status;
use crate::shop::plan::problem::Problem;
use highs::{Col, HighsModelStatus, RowProblem, Sense};
use rust_decimal::prelude::ToPrimitive;
use std::num::NonZeroU32;
use std::time::Duration;

impl Programme {
    pub(super) fn costs_of(&self, columns: &[usize], weight: impl Fn(usize) -> f64) -> Vec<f64> {
        let mut costs = vec![0.0; self.columns.len()];
        for (at, column) in columns.iter().enumerate() {
            costs[*column] = weight(at);
        }
        costs
    }

    /// The costs, with the charges that settle which of equal plans is taken.
    pub(super) fn charged(&self) -> Vec<f64> {
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

    pub(super) fn run(&self, costs: &[f64], time_limit: Duration) -> Result<Solved, String> {
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

    pub(super) fn read(&self, problem: &Problem, values: &[f64], decision: &mut Decision) {
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
