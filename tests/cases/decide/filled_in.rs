//! Files that a person filled in: never written over, taken in any form, refused where they are none.

use super::{cell, decided};
use crate::helpers::{bench, samefit, text};
use std::path::Path;

#[test]
fn a_sheet_that_was_filled_in_is_never_written_over() {
    let home = bench();
    let (run, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(0);
    let sheet = Path::new(&run).join("review.csv");
    std::fs::write(&sheet, "decision,offer_a,offer_b\nsame,north:A-2,south:8\n").unwrap();
    let (_, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(2).saying("was filled in").saying("--decisions");
    assert!(std::fs::read_to_string(&sheet).unwrap().contains("south:8"));
    let lists = home.path().join("lists");
    samefit(&["build", text(&lists), "--out", &run, "--decisions", text(&sheet)])
        .with_code(2)
        .saying("move it out");
}

#[test]
fn a_workbook_that_was_filled_in_is_never_written_over_either() {
    let home = bench();
    let (run, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(0);
    decided(home.path(), "run", "", &[]).1.with_code(0);
    workbook(&Path::new(&run).join("crossref.xlsx"));
    let (_, ended) = decided(home.path(), "run", "", &[]);
    ended.with_code(2).saying("crossref.xlsx was filled in");
}

#[test]
fn a_filled_in_sheet_of_the_workbook_is_taken_as_well() {
    let home = bench();
    let book = home.path().join("answers.xlsx");
    workbook(&book);
    decided(home.path(), "plain", "", &[]).1.with_code(0);
    let (lists, out) = (home.path().join("lists"), home.path().join("run"));
    samefit(&["build", text(&lists), "--out", text(&out), "--decisions", text(&book)]).with_code(0);
    let run = text(&out);
    assert_eq!(cell(run, "north:A-2", "product_id"), cell(run, "south:8", "product_id"));
}

#[test]
fn what_cannot_be_read_of_decisions_is_told_and_what_is_no_decisions_file_is_refused() {
    let home = bench();
    let (_, ended) = decided(
        home.path(),
        "run",
        "same, north:A-2, south:8\nmaybe, north:A-1, south:7\n",
        &[],
    );
    ended
        .with_code(3)
        .saying("run-answers.csv:2: `maybe` is no decision")
        .saying("hint:");
    let (_, ended) = decided(home.path(), "none", "Article,Price\nA-1,2.50\n", &[]);
    ended.with_code(2).saying("no table of decisions");
}

/// A workbook with a cover sheet and a filled-in sheet of questions.
fn workbook(path: &Path) {
    let mut workbook = rust_xlsxwriter::Workbook::new();
    workbook
        .add_worksheet()
        .set_name("Read first")
        .unwrap()
        .write(0, 0, "a cover sheet")
        .unwrap();
    let sheet = workbook.add_worksheet().set_name("Review").unwrap();
    for (at, cell) in ["decision", "offer_a", "offer_b", "note"].iter().enumerate() {
        sheet.write(0, at as u16, *cell).unwrap();
    }
    for (at, cell) in ["same", "north:A-2", "south:8", "bench"].iter().enumerate() {
        sheet.write(1, at as u16, *cell).unwrap();
    }
    workbook.save(path).unwrap();
}
