//! What tonight is judged against, and what comes of it: who stands for whom.

use crate::intake::FileFailure;
use crate::normalise::list_read::{Gathered, ListRead};
use crate::publish::ChangeRow;
use crate::refresh::config::Config;
use crate::refresh::lists::{Readings, StoredFile};
use crate::refresh::state::{Ledger, Standing};
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::sync::Arc;

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

/// A sentence of the change report about a supplier.
pub(super) fn told(change: &str, supplier: &str, why: String, words: String) -> ChangeRow {
    ChangeRow {
        change: change.into(),
        supplier: supplier.into(),
        after: why.into(),
        words,
        ..ChangeRow::default()
    }
}
