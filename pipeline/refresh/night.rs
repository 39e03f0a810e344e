//! Whose list stands tonight: every supplier's new list, or its last good one in its place.
//!
//! Everything that was found is read; then each supplier is judged as a whole, over all its files. A supplier whose list
//! is missing, cannot be read or fails a gate is stood in for by the files of its last good one, out of the store. A
//! name given with `--accept` passes all gates, and that is recorded. What was found and cannot be used is told among
//! the rejects whatever stands in for it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::Date;

use super::config::Config;
use super::figures::{figures_of, price_moves};
use super::gates::{Case, failed_gates};
use super::lists::{Readings, StoredFile};
use super::state::{HeldNote, KnownOffer, Ledger, Standing};
use crate::intake::{FileFailure, Note as Remark};
use crate::normalise::list_read::{Gathered, ListRead};
use crate::publish::facts::hexadecimal;
use crate::publish::{ChangeRow, PublishError};

/// One file found tonight, read.
pub struct FileRead {
    /// The file as the store has it; none if it could not be taken.
    pub file: Option<StoredFile>,
    /// Name shown.
    pub shown: Arc<str>,
    /// What its source calls its supplier.
    pub called: Option<Arc<str>>,
    /// Days after which its source promised a new list.
    pub fresh_every_days: Option<u32>,
    /// Its lists, or why there are none.
    pub lists: Result<Vec<ListRead>, FileFailure>,
}

/// What tonight is judged against.
pub struct Judging<'a> {
    /// The configuration.
    pub config: &'a Config,
    /// What the run before knew of suppliers.
    pub before: &'a BTreeMap<String, Standing>,
    /// What it knew of offers.
    pub ledger: &'a Ledger,
    /// The date of the night.
    pub today: Date,
    /// Suppliers whose lists are taken whatever the gates say.
    pub accepted: &'a [String],
    /// How lists of the store are read.
    pub readings: &'a Readings<'a>,
}

/// Who stands for whom.
#[derive(Debug, Default)]
pub struct Settled {
    /// The lists of the run.
    pub gathered: Gathered,
    /// Suppliers and what stands for them.
    pub suppliers: BTreeMap<String, Standing>,
    /// What the change report says of suppliers.
    pub told: Vec<ChangeRow>,
    /// One sentence per warning.
    pub warnings: Vec<String>,
    /// First date on which the same lists might be judged otherwise.
    pub judge_again: Option<Date>,
    /// Offers that come from stand-ins.
    pub offers_held: u64,
    /// Offers in all.
    pub offers: u64,
}

impl Settled {
    /// Has the same lists judged again on a date, if that is still to come.
    pub fn look_again(&mut self, date: Date, today: Date) {
        if date > today && self.judge_again.is_none_or(|earlier| date < earlier) {
            self.judge_again = Some(date);
        }
    }
}

/// A supplier's lists of tonight.
#[derive(Default)]
struct Tonight {
    files: Vec<StoredFile>,
    lists: Vec<ListRead>,
    failures: Vec<String>,
    fresh_every_days: Option<u32>,
}

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

fn by_supplier(
    read: Vec<FileRead>,
    judging: &Judging<'_>,
    failures: &mut Vec<FileFailure>,
) -> BTreeMap<String, Tonight> {
    let mut tonight: BTreeMap<String, Tonight> = BTreeMap::new();
    for file in read {
        match file.lists {
            Ok(lists) => {
                for list in lists {
                    let of = tonight.entry(list.head.supplier.to_string()).or_default();
                    of.lists.push(list);
                    of.fresh_every_days = of.fresh_every_days.or(file.fresh_every_days);
                    if let Some(stored) = &file.file
                        && !of.files.contains(stored)
                    {
                        of.files.push(stored.clone());
                    }
                }
            }
            Err(failure) => {
                let supplier = supplier_of(&file.shown, file.called.as_deref(), judging.before);
                tonight.entry(supplier).or_default().failures.push(failure.to_string());
                failures.push(failure);
            }
        }
    }
    tonight
}

/// Whose list a file is that could not be read: as its source says, as it was before, or by its stem.
fn supplier_of(shown: &str, called: Option<&str>, before: &BTreeMap<String, Standing>) -> String {
    if let Some(called) = called {
        return called.to_owned();
    }
    let was = before
        .iter()
        .find(|(_, standing)| standing.files.iter().any(|file| file.shown == *shown));
    let stem = || {
        let name = shown.rsplit('/').next().unwrap_or(shown);
        name.split('.').next().unwrap_or(name).to_owned()
    };
    was.map_or_else(stem, |(supplier, _)| supplier.clone())
}

fn one_supplier(
    supplier: &str,
    new: Option<Tonight>,
    judging: &Judging<'_>,
    settled: &mut Settled,
) -> Result<(), PublishError> {
    let before = judging.before.get(supplier);
    let accepted = judging.accepted.iter().any(|name| name == supplier);
    let (failed, new) = match new {
        None => (
            vec!["its list is missing; the limit is none".to_owned()],
            Tonight::default(),
        ),
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

/// Takes the new list.
fn take(supplier: &str, new: Tonight, failed: &[String], accepted: bool, judging: &Judging<'_>, settled: &mut Settled) {
    let before = judging.before.get(supplier);
    let today = judging.today.to_string();
    if !failed.is_empty() {
        let why = failed.join("; ");
        let (kind, words) = if accepted {
            ("accepted", format!("{supplier} was accepted by name although {why}"))
        } else {
            (
                "held",
                format!("{supplier} has no earlier list to stand in, so its list was taken although {why}"),
            )
        };
        settled.told.push(told(kind, supplier, why, words.clone()));
        if !accepted {
            settled.warnings.push(words);
        }
    }
    if new.lists.is_empty() {
        // nothing of it to take: a list that is gone for good, or a new one that cannot be read
        return;
    }
    let files = new.files.iter().map(StoredFile::standing);
    let mut standing = Standing {
        files: files.collect(),
        figures: figures_of(&new.lists),
        since: today.clone(),
        held: None,
        accepted: (accepted && !failed.is_empty()).then_some(today),
    };
    if let Some(before) = before
        && same_content(before, &new.files)
    {
        standing.since.clone_from(&before.since);
        standing.accepted = standing.accepted.or_else(|| before.accepted.clone());
    }
    if let Some(due) = new.fresh_every_days.and_then(|promised| due(&standing, promised)) {
        settled.look_again(due, judging.today);
    }
    if let Some(words) = overdue(&standing, new.fresh_every_days, judging.today) {
        let words = format!("{supplier} {words}");
        settled.told.push(told("held", supplier, String::new(), words.clone()));
        settled.warnings.push(words);
    }
    settled.offers += standing.figures.offers;
    settled.suppliers.insert(supplier.to_owned(), standing);
    settled.gathered.lists.extend(new.lists);
}

/// Whether the files are the very same, whatever they are called.
fn same_content(before: &Standing, now: &[StoredFile]) -> bool {
    let old: BTreeSet<&str> = before.files.iter().map(|file| file.sha256.as_str()).collect();
    let new: Vec<String> = now.iter().map(|file| hexadecimal(&file.sha256)).collect();
    old == new.iter().map(String::as_str).collect()
}

/// Says so when a list is still the same although a new one was promised by now.
fn overdue(standing: &Standing, promised: Option<u32>, today: Date) -> Option<String> {
    let due = due(standing, promised?)?;
    (today >= due).then(|| {
        format!(
            "sent the same list again: it has not changed since {}; the limit is {} days",
            standing.since,
            promised.unwrap_or_default()
        )
    })
}

/// The date from which a list that has not changed is overdue.
fn due(standing: &Standing, promised: u32) -> Option<Date> {
    let since: Date = standing.since.parse().ok()?;
    since.checked_add(jiff::Span::new().days(i64::from(promised) + 1)).ok()
}

/// Lets the last good list stand in.
fn stand_in(
    supplier: &str,
    before: &Standing,
    why: &str,
    judging: &Judging<'_>,
    settled: &mut Settled,
) -> Result<(), PublishError> {
    let mut lists = Vec::new();
    for file in &before.files {
        let damaged = || PublishError::Unreadable {
            path: file.shown.clone().into(),
            message: "the store holds no such list".to_owned(),
        };
        let stored = StoredFile::remembered(file).ok_or_else(damaged)?;
        let read = judging
            .readings
            .read(&stored)?
            .map_err(|failure| PublishError::Unreadable {
                path: file.shown.clone().into(),
                message: failure.to_string(),
            })?;
        lists.extend(read.into_iter().filter(|list| &*list.head.supplier == supplier));
    }
    let words = format!("{supplier} is held back: {why}; its list of {} stands in", before.since);
    for list in &mut lists {
        list.head.notes.push(Remark::new(words.clone()));
    }
    let since = before
        .held
        .as_ref()
        .map_or_else(|| judging.today.to_string(), |held| held.since.clone());
    settled.told.push(told("held", supplier, why.to_owned(), words.clone()));
    settled.warnings.push(words.clone());
    settled.offers += before.figures.offers;
    settled.offers_held += before.figures.offers;
    let standing = Standing {
        held: Some(HeldNote { since, words }),
        ..before.clone()
    };
    settled.suppliers.insert(supplier.to_owned(), standing);
    settled.gathered.lists.extend(lists);
    Ok(())
}

fn told(change: &str, supplier: &str, why: String, words: String) -> ChangeRow {
    ChangeRow {
        change: change.into(),
        supplier: supplier.into(),
        after: why.into(),
        words,
        ..ChangeRow::default()
    }
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
