//! Finding a part again: a need, answered from a finished run with the offers that meet it.
//!
//! Per kind of part that may be meant: the fit group that answers best leads, the others that are still
//! possible stand beside it with what tells them apart. Of the leading group the offers that are sure
//! enough come cheapest first, the doubtful ones apart. An assembly answers a need for a starter or a
//! shroud too; a starter never answers a need for a shroud. What a filter takes away is counted, and what a
//! list does not say never passes a filter in silence.

use super::answer::{Answer, Limits};
use super::desk::Desk;
use super::matching::serves;
use super::need::Need;
use super::numbers::{NumberFound, Reach, look_up};
use super::run_tables::rows_of;
use super::shelf::Counter;
use crate::publish::read::Condition;
use crate::publish::{FinishedRun, GroupRow, ReadError};
use compact_str::CompactString;
use std::collections::BTreeSet;

/// Answers a need.
///
/// # Errors
/// The run cannot be read.
pub fn find(run: &FinishedRun, need: &Need, limits: &Limits) -> Result<Answer, ReadError> {
    let groups: Vec<GroupRow> = rows_of(run)?;
    let counter = Counter::of(run)?;
    let numbers = look_up_all(run, need)?;
    let carrying: BTreeSet<&CompactString> = numbers.iter().flat_map(|number| &number.groups).collect();
    let named: Vec<usize> = (0..groups.len())
        .filter(|at| carrying.contains(&groups[*at].group_id) || need.groups.contains(&groups[*at].group_id))
        .collect();
    let desk = Desk {
        run,
        need,
        limits,
        groups: &groups,
        named: &named,
        products: numbers
            .iter()
            .flat_map(|number| number.products.iter().map(CompactString::as_str))
            .collect(),
        counter: &counter,
    };
    let mut sections = Vec::new();
    if !named.is_empty() || need.states_engine_or_interface() || need.kind.is_some() {
        for kind in desk.kinds() {
            sections.push(desk.section(kind)?);
        }
    }
    if need.kind.is_none() && sections.iter().any(|section| section.lead.is_some()) {
        sections.retain(|section| section.lead.is_some());
    }
    let unknown = |code: &&CompactString| !groups.iter().any(|group| serves(group, code));
    let unknown_codes = need.codes.iter().filter(unknown).cloned().collect();
    Ok(Answer {
        numbers,
        unknown_codes,
        sections,
        groups,
        counter,
    })
}

/// Numbers named as such everywhere; words that were not understood among the numbers only.
fn look_up_all(run: &FinishedRun, need: &Need) -> Result<Vec<NumberFound>, ReadError> {
    let mut found = Vec::new();
    for number in &need.numbers {
        found.push(look_up(run, number, Reach::Everywhere)?);
    }
    for word in &need.perhaps_numbers {
        let tried = look_up(run, word, Reach::NumbersOnly)?;
        if tried.place.is_some() {
            found.push(tried);
        }
    }
    Ok(found)
}

/// Offers of one supplier's number.
pub fn of_supplier(supplier: &str, sku: &str) -> Condition {
    Condition::text("supplier", [supplier]).and(Condition::text("supplier_sku", [sku]))
}

#[cfg(test)]
#[path = "find_tests/mod.rs"]
mod tests;
