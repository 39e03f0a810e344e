//! What a run knows about itself besides its tables.
//!
//! Facts come in two sorts. *Settled* facts (version, settings, inputs by hash, counts) follow from the
//! lists and the settings alone and may be written into tables. *Passing* facts (timings, notes, where
//! the inputs lay) differ from run to run and go into `run.json` only, or nowhere.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::time::Duration;

use compact_str::CompactString;

/// One input file as read.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct InputFact {
    /// Name shown, relative to the folder given.
    pub file: String,
    /// SHA-256 of its bytes.
    pub sha256: [u8; 32],
    /// Its size on disk.
    pub bytes: u64,
}

/// How long one stage took.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageTime {
    pub stage: String,
    pub wall: Duration,
}

/// Whether a run stands alone or in a chain of nightly runs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Chain {
    /// It stands alone, as `build` leaves it: no changes are told.
    #[default]
    Alone,
    /// It is one of a chain; `before` is the date of the run published before, none for the first.
    Nightly { before: Option<String> },
}

/// Facts of a run.
#[derive(Debug, Clone, Default)]
pub struct RunFacts {
    /// Version of samefit.
    pub version: String,
    /// ISO 4217 code that landed prices are in.
    pub home_currency: CompactString,
    /// Settings that bear on the result, by name. Thread counts and paths do not belong here.
    pub settings: BTreeMap<String, String>,
    /// The files read.
    pub inputs: Vec<InputFact>,
    /// Files and folders given to the run; the output may not touch them. Never written anywhere.
    pub input_paths: Vec<PathBuf>,
    /// Counts worth keeping that no table holds, such as pairs compared or blocks capped.
    pub counts: BTreeMap<String, u64>,
    /// Wall time per stage, in the order they ran; `run.json` only.
    pub timings: Vec<StageTime>,
    /// Whether the run follows earlier ones and says what changed.
    pub chain: Chain,
    /// Remarks for the reader of `run.json` and the report.
    pub notes: Vec<String>,
}

impl RunFacts {
    /// The inputs in an order that does not depend on how they were given.
    pub fn sorted_inputs(&self) -> Vec<&InputFact> {
        let mut inputs: Vec<&InputFact> = self.inputs.iter().collect();
        inputs.sort();
        inputs
    }
}

/// Bytes as lower-case hexadecimal digits.
pub fn hexadecimal(bytes: &[u8]) -> String {
    bytes
        .iter()
        .fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        })
}
