//! Faults and bad inputs, read through the whole of intake from real files. Each test is one way in which a list has
//! gone wrong.

mod columns;
mod encodings;
mod files;
mod layout;
mod lines;
mod packed;
mod stretches;
mod workbooks;

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::*;

/// What reading a file gave.
#[derive(Debug, PartialEq)]
struct Outcome {
    header: Vec<String>,
    rows: Vec<(u32, Vec<String>)>,
    rejects: Vec<(u32, Problem, String)>,
    layout: LayoutCounts,
    read: u64,
    notes: Vec<Note>,
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn put(folder: &Path, name: &str, bytes: &[u8]) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, bytes).unwrap();
    path
}

fn open(path: &Path, profiles: &Profiles, limits: &Limits, purpose: Use) -> Result<Vec<ListReader>, FileFailure> {
    read_file(&InputFile::named(path), profiles, limits, purpose)
        .into_iter()
        .collect()
}

fn outcome(mut list: ListReader) -> Outcome {
    let header = list.head().header.clone();
    let mut rows = Vec::new();
    while let Some(batch) = list.next_batch() {
        rows.extend(
            batch
                .iter()
                .map(|row| (row.line(), row.iter().map(str::to_string).collect::<Vec<_>>())),
        );
    }
    let account = list.finish();
    assert!(account.balances(), "{account:?}");
    assert_eq!(account.rows, rows.len() as u64);
    let rejects = account
        .rejects
        .into_iter()
        .map(|reject| (reject.line, reject.problem, reject.raw))
        .collect();
    Outcome {
        header,
        rows,
        rejects,
        layout: account.layout,
        read: account.read,
        notes: account.notes,
    }
}

fn read_bytes(name: &str, bytes: &[u8]) -> Outcome {
    let folder = folder();
    let path = put(folder.path(), name, bytes);
    let mut lists = open(&path, &Profiles::none(), &Limits::default(), Use::Build).unwrap();
    outcome(lists.remove(0))
}

fn failure(name: &str, bytes: &[u8], limits: &Limits) -> FileFailure {
    let folder = folder();
    let path = put(folder.path(), name, bytes);
    match open(&path, &Profiles::none(), limits, Use::Build) {
        Err(failure) => failure,
        Ok(_) => panic!("{name} was read"),
    }
}

fn rows_of(outcome: &Outcome) -> Vec<Vec<&str>> {
    outcome
        .rows
        .iter()
        .map(|(_, row)| row.iter().map(String::as_str).collect())
        .collect()
}

/// A sound list of `count` rows, semicolons between cells.
fn sound_list(count: usize) -> String {
    let mut text = String::from("Art.-Nr.;Bezeichnung;Preis EUR;Lochabstand mm\n");
    for row in 0..count {
        let names = [
            "Seilzugstarter rot",
            "Lüfterhaube",
            "Starter komplett mit Seil",
            "Startergriff",
        ];
        text.push_str(&format!(
            "RS-{};{};{},{:02};{}\n",
            1000 + row,
            names[row % 4],
            5 + row % 40,
            row * 7 % 100,
            60 + row % 70
        ));
    }
    text
}

fn gzipped(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(bytes).unwrap();
    encoder.finish().unwrap()
}

/// A list tidied in stretches of another size.
fn at_stretch(path: &Path, stretch: usize, limits: &Limits) -> Option<Outcome> {
    let mut lists = open(path, &Profiles::none(), limits, Use::Tidy).ok()?;
    Some(outcome(lists.remove(0).in_stretches(stretch)))
}
