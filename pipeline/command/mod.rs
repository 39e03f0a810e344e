//! What was typed -> what it means -> what runs: one file per command.
//!
//! A command returns its `Outcome` or its `Failure`; only `main` turns them into an exit code.
//! stdout is data, stderr is talk.

pub mod build;
pub mod gather;
pub mod outcome;
pub mod talk;

use clap::{Args, Parser, Subcommand};
pub use outcome::{Failure, Outcome};
use std::path::PathBuf;

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
        Command::Build(typed_build) => build::run(&typed_build, &typed.common),
    }
}
