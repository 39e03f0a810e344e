//! What was typed -> what it means -> what runs: one file per command.
//!
//! A command returns its `Outcome` or its `Failure`; only `main` turns them into an exit code.
//! stdout is data, stderr is talk.

pub mod build;
mod cost_words;
mod decided;
mod doubts;
pub mod explain;
mod explain_json;
mod explain_page;
mod explain_pair;
mod explain_reading;
pub mod find;
mod find_history;
mod find_json;
mod find_page;
mod find_typed;
pub mod gather;
pub mod grade;
mod grade_page;
pub mod limits_file;
mod list_rows;
mod machine;
mod night_keep;
mod night_log;
mod night_look;
mod night_run;
mod offer_list;
pub mod onboard;
mod one_list;
pub mod outcome;
pub mod page;
pub mod plan;
mod plan_page;
pub mod refresh;
mod rejects_sink;
pub mod run;
pub mod sheet;
mod stop;
pub mod talk;
pub mod tidy;
pub mod today;

use crate::publish::{FinishedRun, open_run, standing_run};
use clap::{Args, Parser, Subcommand};
pub use outcome::{Failure, Outcome};
use std::path::{Path, PathBuf};

/// From a folder of vendor lists to one cross-reference: the same part, what interchanges, how sure, what it costs.
#[derive(Debug, Parser)]
#[command(name = "samefit", version, max_term_width = 100)]
pub struct Typed {
    /// What to do
    #[command(subcommand)]
    pub command: Command,
    /// How to run
    #[command(flatten)]
    pub common: Common,
}

/// Options of every command.
#[derive(Debug, Clone, Args)]
pub struct Common {
    /// Threads to use; the result is the same whatever the number [default: all processors]
    #[arg(long, global = true, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,
    /// Say nothing on stderr but errors
    #[arg(long, short, global = true)]
    pub quiet: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read vendor lists and publish the cross-reference
    Build(build::BuildTyped),
    /// Build again what changed since the last night, unattended, and say what that is
    Refresh(refresh::RefreshTyped),
    /// Find what fits in a finished run, cheapest delivered first
    Find(find::FindTyped),
    /// Plan what to order where for a list of needs, at the least cost delivered
    Plan(plan::PlanTyped),
    /// Say what was understood of a text, or why an offer of a run stands where it stands
    Explain(explain::ExplainTyped),
    /// Write a page to print at full size: a group's bolt pattern, to hold against the old part
    Sheet(sheet::SheetTyped),
    /// Show how a list would be read, and write a profile to correct
    Onboard(onboard::OnboardTyped),
    /// Write one messy list as plain CSV (RFC 4180, UTF-8)
    Tidy(tidy::TidyTyped),
    /// Measure a run against known answers
    Grade(grade::GradeTyped),
}

/// Where supplier profiles lie.
#[derive(Debug, Clone, Args)]
pub struct ProfileFolder {
    /// Folder of supplier profiles [default: schemas/suppliers, when there is one here]
    #[arg(long, value_name = "DIR")]
    pub profiles: Option<PathBuf>,
}

/// Parses, then runs.
///
/// # Errors
/// See [`Failure`].
pub fn run(typed: Typed) -> Result<Outcome, Failure> {
    if let Some(threads) = typed.common.threads {
        rayon::ThreadPoolBuilder::new()
            .num_threads(usize::from(threads))
            .build_global()
            .map_err(|e| Failure::failed(format!("could not start {threads} threads: {e}")))?;
    }
    match typed.command {
        Command::Build(build) => build::run(&build, &typed.common),
        Command::Refresh(refresh) => refresh::run(&refresh, &typed.common),
        Command::Find(find) => find::run(&find, &typed.common),
        Command::Plan(plan) => plan::run(&plan, &typed.common),
        Command::Explain(explain) => explain::run(&explain, &typed.common),
        Command::Sheet(sheet) => sheet::run(&sheet, &typed.common),
        Command::Onboard(onboard) => onboard::run(&onboard, &typed.common),
        Command::Tidy(tidy) => tidy::run(&tidy, &typed.common),
        Command::Grade(grade) => grade::run(&grade, &typed.common),
    }
}

/// Opens a finished run that was named on the command line.
///
/// # Errors
/// The folder does not exist or holds no run.
pub fn open(folder: &Path) -> Result<FinishedRun, Failure> {
    // a run whose swap was cut short stands beside its place
    if !standing_run(folder).exists() {
        return Err(
            Failure::usage(format!("the run folder {} does not exist", folder.display()))
                .hint("give the folder that a build was told to write with --out"),
        );
    }
    Ok(open_run(folder)?)
}
