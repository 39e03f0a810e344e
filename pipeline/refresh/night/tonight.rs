//! The lists of tonight, supplier by supplier.

use super::judged::{FileRead, Judging};
use crate::intake::FileFailure;
use crate::normalise::list_read::ListRead;
use crate::refresh::lists::StoredFile;
use crate::refresh::state::Standing;
use std::collections::BTreeMap;

/// A supplier's lists of tonight.
#[derive(Default)]
pub(super) struct Tonight {
    pub(super) files: Vec<StoredFile>,
    pub(super) lists: Vec<ListRead>,
    pub(super) failures: Vec<String>,
    pub(super) fresh_every_days: Option<u32>,
}

/// Puts every list to its supplier; files that could not be read are told in `failures` too.
pub(super) fn by_supplier(
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
