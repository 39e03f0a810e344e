//! Intake alone, for `reading.py`: reads lists to their end and says what became of their lines, as one JSON object. No
//! command of samefit does only this, and none needs to; time and memory are taken from outside.
//!
//!     read_list intake FILE...      rows with their fields, rejects and the account, in samefit
//!     read_list csv-crate FILE...   records of the csv crate, flexible, nothing decided; the yardstick
//!
//! `SAMEFIT_THREADS` sets the number of threads.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a benchmark of its own, no part of the program"
)]

use std::path::Path;
use std::process::ExitCode;

use samefit::intake::{InputFile, Limits, ListReader, Profiles, Use, read_file};
use serde_json::json;

#[derive(Default)]
struct Count {
    rows: u64,
    cells: u64,
    /// Letters of the cells that have a field.
    letters: u64,
    rejects: u64,
    reject_letters: u64,
    repaired: u64,
    layout: u64,
    failed: Vec<String>,
}

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let how = arguments.next().unwrap_or_default();
    if let Some(threads) = std::env::var("SAMEFIT_THREADS").ok().and_then(|text| text.parse().ok())
        && let Err(error) = rayon::ThreadPoolBuilder::new().num_threads(threads).build_global()
    {
        eprintln!("{error}");
        return ExitCode::FAILURE;
    }
    let mut count = Count::default();
    for file in arguments {
        match how.as_str() {
            // on a thread of the pool, as a build reads
            "intake" => rayon::scope(|_| count.with_intake(Path::new(&file))),
            "csv-crate" => count.with_csv_crate(Path::new(&file)),
            _ => {
                eprintln!("read_list intake|csv-crate FILE...");
                return ExitCode::FAILURE;
            }
        }
    }
    let said = json!({
        "rows": count.rows, "cells": count.cells, "letters": count.letters, "rejects": count.rejects,
        "reject_letters": count.reject_letters, "repaired": count.repaired, "layout": count.layout,
        "failed": count.failed,
    });
    println!("{said}");
    ExitCode::SUCCESS
}

impl Count {
    fn with_intake(&mut self, file: &Path) {
        let limits = Limits {
            decompressed_bytes: 1 << 40,
            ..Limits::default()
        };
        for list in read_file(&InputFile::named(file), &Profiles::none(), &limits, Use::Build) {
            match list {
                Ok(list) => self.read(list),
                Err(failure) => self.failed.push(failure.to_string()),
            }
        }
    }

    fn read(&mut self, mut list: ListReader) {
        let fields: Vec<usize> = list.head().columns.iter().map(|column| column.index).collect();
        while let Some(batch) = list.next_batch() {
            for row in batch.iter() {
                self.rows += 1;
                self.cells += row.len() as u64;
                self.letters += fields.iter().map(|index| row.cell(*index).len() as u64).sum::<u64>();
            }
            self.take_rejects(&mut list);
        }
        self.take_rejects(&mut list);
        let account = list.finish();
        self.repaired += account.repaired;
        self.layout += account.layout.sum();
        if !account.balances() {
            self.failed.push("the account does not balance".to_string());
        }
    }

    fn take_rejects(&mut self, list: &mut ListReader) {
        for reject in list.take_rejects() {
            self.rejects += 1;
            self.reject_letters += reject.raw.len() as u64;
        }
    }

    fn with_csv_crate(&mut self, file: &Path) {
        let reader = csv::ReaderBuilder::new().flexible(true).delimiter(b';').from_path(file);
        let mut record = csv::ByteRecord::new();
        let mut reader = match reader {
            Ok(reader) => reader,
            Err(error) => return self.failed.push(error.to_string()),
        };
        loop {
            match reader.read_byte_record(&mut record) {
                Ok(true) => {
                    self.rows += 1;
                    self.cells += record.len() as u64;
                    self.letters += record.iter().map(|cell| cell.len() as u64).sum::<u64>();
                }
                Ok(false) => return,
                Err(error) => return self.failed.push(error.to_string()),
            }
        }
    }
}
