//! Whose list stands tonight: every supplier's new list, or its last good one in its place.
//!
//! Everything that was found is read; then each supplier is judged as a whole, over all its files. A supplier whose list
//! is missing, cannot be read or fails a gate is stood in for by the files of its last good one, out of the store. A
//! name given with `--accept` passes all gates, and that is recorded. What was found and cannot be used is told among
//! the rejects whatever stands in for it.
//!
//! Order inside the folder, lowest first: `judged` (what is judged, and what comes of it), `tonight` (lists by supplier);
//! `taking` and `standing_in` (the two ways a supplier's lists come into a run).

mod judged;
mod standing_in;
mod taking;
mod tonight;

pub use judged::{FileRead, Judging, Settled};

use super::figures::{figures_of, price_moves};
use super::gates::{Case, failed_gates};
use super::state::{KnownOffer, Ledger, Standing};
use crate::normalise::list_read::{Gathered, ListRead};
use crate::publish::PublishError;
use standing_in::stand_in;
use std::collections::{BTreeMap, BTreeSet};
use taking::{same_content, take};
use tonight::{Tonight, by_supplier};

/// Judges every supplier.
///
/// # Errors
/// The store cannot be read, or a stand-in in it cannot be understood.
pub fn settle(read: Vec<FileRead>, judging: &Judging<'_>) -> Result<Settled, PublishError> {
    let mut settled = Settled::default();
    let mut tonight = by_supplier(read, judging, &mut settled.gathered.failures);
    let names: BTreeSet<String> = tonight.keys().chain(judging.before.keys()).cloned().collect();
    for supplier in names {
        let new = tonight.remove(&supplier);
        one_supplier(&supplier, new, judging, &mut settled)?;
    }
    let Gathered { lists, failures } = std::mem::take(&mut settled.gathered);
    settled.gathered = Gathered::of(lists, failures);
    Ok(settled)
}

/// Takes the new lists of a supplier, or has its last good ones stand in.
fn one_supplier(
    supplier: &str,
    new: Option<Tonight>,
    judging: &Judging<'_>,
    settled: &mut Settled,
) -> Result<(), PublishError> {
    let before = judging.before.get(supplier);
    let accepted = judging.accepted.iter().any(|name| name == supplier);
    let (failed, new) = match new {
        None => (vec!["its list is missing".to_owned()], Tonight::default()),
        Some(new) if !new.failures.is_empty() => (vec![format!("it cannot be read: {}", new.failures.join("; "))], new),
        Some(new) if before.is_some_and(|before| same_content(before, &new.files)) => (Vec::new(), new),
        Some(new) => (gates(supplier, before, &new.lists, judging, settled), new),
    };
    if failed.is_empty() || accepted || before.is_none() {
        take(supplier, new, &failed, accepted, judging, settled);
        return Ok(());
    }
    let Some(before) = before else { return Ok(()) };
    stand_in(supplier, before, &failed.join("; "), judging, settled)
}

/// What the gates say against the new lists.
fn gates(
    supplier: &str,
    before: Option<&Standing>,
    lists: &[ListRead],
    judging: &Judging<'_>,
    settled: &mut Settled,
) -> Vec<String> {
    let now = figures_of(lists);
    for date in now.dates.iter().filter_map(|date| date.parse().ok()) {
        settled.look_again(date, judging.today);
    }
    failed_gates(Case {
        before: before.map(|standing| &standing.figures),
        now: &now,
        moves: price_moves(offers_of(supplier, judging.ledger), lists),
        limits: judging.config.gates_for(supplier),
        today: judging.today,
    })
}

/// The known offers of a supplier; the ledger stands in order of suppliers.
fn offers_of<'a>(supplier: &str, ledger: &'a Ledger) -> &'a [KnownOffer] {
    let start = ledger
        .offers
        .partition_point(|offer| offer.supplier.as_str() < supplier);
    let end = ledger
        .offers
        .partition_point(|offer| offer.supplier.as_str() <= supplier);
    &ledger.offers[start..end]
}

/// Names given for acceptance that no supplier has.
pub fn unknown_names<'a>(
    accepted: &'a [String],
    settled: &Settled,
    before: &BTreeMap<String, Standing>,
) -> Vec<&'a str> {
    let known = |name: &&String| {
        settled.suppliers.contains_key(*name)
            || before.contains_key(*name)
            || settled.told.iter().any(|row| *row.supplier == ***name)
    };
    accepted
        .iter()
        .filter(|name| !known(name))
        .map(String::as_str)
        .collect()
}
