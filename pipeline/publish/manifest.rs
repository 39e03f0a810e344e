//! `run.json`: what the run was, and the mark by which samefit knows a folder as its own.
//!
//! The *settled* part follows from lists and settings alone and also lies inside the Parquet files; the
//! *passing* part (timings, files with their hashes) is in `run.json` only.

use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::error::PublishError;
use super::facts::{RunFacts, StageTime, hexadecimal};
use super::fresh::write_fresh;
use super::tables::RunTables;

/// Name of the manifest in a run's folder.
pub const RUN_FILE: &str = "run.json";
/// What `tool` says in a run that samefit wrote.
pub const TOOL: &str = "samefit";
/// Raised when a reader of older runs would be misled.
const FORMAT: u32 = 1;

/// The settled facts of a run.
#[derive(Debug, Clone, Serialize)]
pub struct Settled<'a> {
    tool: &'static str,
    format: u32,
    version: &'a str,
    home_currency: &'a str,
    settings: &'a BTreeMap<String, String>,
    inputs: Vec<InputEntry<'a>>,
    counts: BTreeMap<String, u64>,
}

#[derive(Debug, Clone, Serialize)]
struct InputEntry<'a> {
    file: &'a str,
    sha256: String,
    bytes: u64,
}

/// One file of a run.
#[derive(Debug, Clone, Serialize, PartialEq, Eq)]
pub struct FileEntry {
    pub file: String,
    pub bytes: u64,
    pub sha256: String,
}

#[derive(Debug, Serialize)]
struct RunFile<'a> {
    #[serde(flatten)]
    settled: &'a Settled<'a>,
    notes: &'a [String],
    timings_seconds: Vec<(&'a str, f64)>,
    files: &'a [FileEntry],
}

/// The settled facts of a run, with the counts of its tables.
pub fn settled<'a>(tables: &RunTables, facts: &'a RunFacts) -> Settled<'a> {
    let inputs = facts.sorted_inputs().into_iter().map(|input| InputEntry {
        file: &input.file,
        sha256: hexadecimal(&input.sha256),
        bytes: input.bytes,
    });
    Settled {
        tool: TOOL,
        format: FORMAT,
        version: &facts.version,
        home_currency: &facts.home_currency,
        settings: &facts.settings,
        inputs: inputs.collect(),
        counts: counts(tables, facts),
    }
}

fn counts(tables: &RunTables, facts: &RunFacts) -> BTreeMap<String, u64> {
    let mut counts = facts.counts.clone();
    let read = tables.suppliers.iter().map(|list| list.read).sum();
    let layout = tables.suppliers.iter().map(super::tables::SupplierRow::layout).sum();
    let rejected = tables.suppliers.iter().map(|list| list.rejected).sum();
    let failed_files = tables.rejects.iter().filter(|row| row.line.is_none()).count() as u64;
    for (name, count) in [
        ("lines_read", read),
        ("offers", tables.crossref.len() as u64),
        ("set_aside", tables.set_aside.len() as u64),
        ("rejected", rejected),
        ("failed_files", failed_files),
        ("layout_lines", layout),
        ("lists", tables.suppliers.len() as u64),
        ("fit_groups", tables.groups.len() as u64),
        ("products", tables.products.len() as u64),
        ("links", tables.links.len() as u64),
    ] {
        counts.insert(name.to_owned(), count);
    }
    counts
}

impl Settled<'_> {
    /// The settled facts on one line, for a Parquet file's metadata.
    pub fn to_json(&self, path: &Path) -> Result<String, PublishError> {
        serde_json::to_string(self).map_err(PublishError::format(path))
    }

    /// A count by name; 0 when nothing was counted under it.
    pub fn count(&self, name: &str) -> u64 {
        self.counts.get(name).copied().unwrap_or(0)
    }
}

/// Writes `run.json` over the files already in the folder.
pub fn write_run_file(
    folder: &Path,
    settled: &Settled<'_>,
    timings: &[&StageTime],
    notes: &[String],
    files: &[FileEntry],
) -> Result<(), PublishError> {
    let path = folder.join(RUN_FILE);
    let content = RunFile {
        settled,
        notes,
        timings_seconds: timings
            .iter()
            .map(|time| (time.stage.as_str(), time.wall.as_secs_f64()))
            .collect(),
        files,
    };
    write_json(&path, &content)
}

/// Writes a value as indented JSON with a line end after it.
pub fn write_json(path: &Path, value: &impl Serialize) -> Result<(), PublishError> {
    let mut text = serde_json::to_string_pretty(value).map_err(PublishError::format(path))?;
    text.push('\n');
    write_fresh(path, text.as_bytes())
}

/// Size and hash of a file that was just written.
pub fn file_entry(folder: &Path, name: &str) -> Result<FileEntry, PublishError> {
    let path = folder.join(name);
    let mut file = File::open(&path).map_err(PublishError::io("read back", &path))?;
    let mut hash = Sha256::new();
    let bytes = std::io::copy(&mut file, &mut HashWriter(&mut hash)).map_err(PublishError::io("read back", &path))?;
    Ok(FileEntry {
        file: name.to_owned(),
        bytes,
        sha256: hexadecimal(&hash.finalize()),
    })
}

struct HashWriter<'a>(&'a mut Sha256);

impl std::io::Write for HashWriter<'_> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.update(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// What is read back of an earlier run to know it as ours.
#[derive(Debug, Deserialize)]
struct Mark {
    tool: String,
    #[serde(default)]
    files: Vec<MarkedFile>,
}

#[derive(Debug, Deserialize)]
struct MarkedFile {
    file: String,
}

/// What is read back of an earlier run to ask it again on its own terms.
#[derive(Debug, Deserialize)]
struct Asked {
    home_currency: String,
    settings: BTreeMap<String, String>,
}

/// The home currency and the settings of an earlier run.
pub fn settings_of_run(folder: &Path) -> Option<(String, BTreeMap<String, String>)> {
    let text = std::fs::read(folder.join(RUN_FILE)).ok()?;
    let asked: Asked = serde_json::from_slice(&text).ok()?;
    Some((asked.home_currency, asked.settings))
}

/// The names of the files an earlier run wrote into a folder; none if the folder is not such a run.
pub fn files_of_run(folder: &Path) -> Option<Vec<String>> {
    files_marked(folder, RUN_FILE)
}

/// The names of the files in a folder that bears a mark of ours; none if it does not.
pub fn files_marked(folder: &Path, mark_file: &str) -> Option<Vec<String>> {
    let text = std::fs::read(folder.join(mark_file)).ok()?;
    let mark: Mark = serde_json::from_slice(&text).ok()?;
    if mark.tool != TOOL {
        return None;
    }
    let mut names: Vec<String> = mark.files.into_iter().map(|file| file.file).collect();
    names.push(mark_file.to_owned());
    Some(names)
}
