//! Any bytes as a list: reading never panics, and the account of every list balances.
//!
//! The first byte picks the file's extension, small limits or the usual ones, and the use; the rest is the file.

#![no_main]

use libfuzzer_sys::fuzz_target;
use samefit_fuzz::intake::{InputFile, Limits, Profiles, Use, read_file};
use std::sync::OnceLock;
use tempfile::TempDir;

fn folder() -> &'static TempDir {
    static FOLDER: OnceLock<TempDir> = OnceLock::new();
    FOLDER.get_or_init(|| TempDir::new().expect("a temporary folder"))
}

fuzz_target!(|data: &[u8]| {
    let Some((choice, bytes)) = data.split_first() else {
        return;
    };
    let name = if choice & 1 == 0 { "list.csv" } else { "list.csv.gz" };
    let path = folder().path().join(name);
    std::fs::write(&path, bytes).expect("a file");
    let limits = if choice & 2 == 0 {
        Limits::default()
    } else {
        Limits {
            decompressed_bytes: 1 << 20,
            line_bytes: 64,
            columns: 12,
            sheet_cells: 1000,
            ..Limits::default()
        }
    };
    let purpose = if choice & 4 == 0 { Use::Build } else { Use::Tidy };
    let lists = read_file(&InputFile::named(&path), &Profiles::none(), &limits, purpose);
    for mut list in lists.into_iter().flatten() {
        let mut rows = 0;
        let mut last_line = 0;
        while let Some(batch) = list.next_batch() {
            for row in batch.iter() {
                assert!(row.line() > last_line, "lines come in order");
                last_line = row.line();
                let letters: usize = row.iter().map(str::len).sum();
                assert!(letters <= 4 * bytes.len().max(1 << 20), "cells hold what the file held");
                std::hint::black_box(row.raw());
                rows += 1;
            }
        }
        let account = list.finish();
        assert!(account.balances(), "read = rows + rejects + layout: {account:?}");
        assert_eq!(account.rows, rows);
    }
});
