//! The nightly run: every night, unattended, nothing ever half done.
//!
//! A *night* takes the lists that are there, compares them with what the run before knew, holds back what looks like an
//! accident, and leaves one published run with ids that last and an account of what changed. In order:
//!
//!  1. `config`, `gate_limits`, `sources`   what is to be read, and what a list may do from one night to the next
//!  2. `digest`        has anything changed that bears on the result? If not, nothing is touched
//!  3. `store`, `lists` snapshots of lists, and lists as they were understood, so that none is parsed twice
//!  4. `figures`, `gates`, `night`   whose list stands tonight
//!  5. `matching`, `ids`, `ledger`   which offer is which, ids that last, prices and since when they hold
//!  6. `differences`   what changed, and what it is worth
//!  7. `state`         what the next night must know, written before the run is published
//!  8. `monitor`       how the night ended, for machines that watch
//!
//! Linking, fitting and delivered prices are not done here; the command runs them between 4 and 5, as for a build. The
//! same lists give the tables a build gives, but for ids that were carried on.

pub mod config;
pub mod differences;
pub mod digest;
pub mod figures;
pub mod gate_limits;
pub mod gates;
pub mod ids;
pub mod ledger;
pub mod lists;
pub mod matching;
pub mod monitor;
pub mod night;
pub mod sources;
pub mod state;
pub mod store;

#[cfg(test)]
mod ids_tests;
