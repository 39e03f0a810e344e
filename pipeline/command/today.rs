//! The day a command counts from, and the warning of exchange rates that are old by then.
//!
//! The day bears on what is said on stderr alone: no table and no answer changes with it.

use super::Common;
use super::talk::Talk;
use crate::shop::rates::{Rates, STALE_DAYS};
use clap::Args;
use jiff::civil::Date;

/// The day to count from.
#[derive(Debug, Clone, Default, Args)]
pub struct Dated {
    /// Day to count the age of exchange rates from, YYYY-MM-DD [default: today]
    #[arg(long, value_name = "DATE")]
    pub date: Option<Date>,
}

impl Dated {
    /// The day.
    pub fn day(&self) -> Date {
        self.date.unwrap_or_else(|| jiff::Zoned::now().date())
    }
}

/// Warns of rates older than [`STALE_DAYS`], unless nothing is to be said.
pub fn warn_of_age(rates: &Rates, dated: &Dated, common: &Common) {
    if common.quiet {
        return;
    }
    if let Some(days) = rates.age_days(dated.day()).filter(|days| *days > STALE_DAYS) {
        Talk::of(common).warn(
            &format!("the exchange rates of {} are {days} days old", rates.date),
            "build with a rates file of today, or read the delivered prices as those of that day",
        );
    }
}
