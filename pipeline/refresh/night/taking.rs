//! The new list of a supplier is taken, with what is to be said of it.

use super::judged::{Judging, Settled, told};
use super::tonight::Tonight;
use crate::publish::facts::hexadecimal;
use crate::refresh::figures::figures_of;
use crate::refresh::lists::StoredFile;
use crate::refresh::state::Standing;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Takes the new list.
pub(super) fn take(
    supplier: &str,
    new: Tonight,
    failed: &[String],
    accepted: bool,
    judging: &Judging<'_>,
    settled: &mut Settled,
) {
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
pub(super) fn same_content(before: &Standing, now: &[StoredFile]) -> bool {
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
