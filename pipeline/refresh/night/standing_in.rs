//! The last good list of a supplier stands in for tonight's.

use super::judged::{Judging, Settled, told};
use crate::intake::Note as Remark;
use crate::publish::PublishError;
use crate::refresh::lists::StoredFile;
use crate::refresh::state::{HeldNote, Standing};

/// Lets the last good list stand in.
pub(super) fn stand_in(
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
