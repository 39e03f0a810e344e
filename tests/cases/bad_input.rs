//! Bad input: the file and the cause are named, the other files are still processed, nothing is left half-written.

use crate::helpers::{Ended, SMALL_LIST, bench, names_in, rows, samefit, text, write};
use std::fs;

/// Builds one good list and a bad one; the good one must come through.
fn beside_a_good_list(bad: &str, content: &[u8]) -> (Ended, Vec<csv::StringRecord>) {
    let home = bench();
    write(home.path(), "lists/good.csv", SMALL_LIST);
    write(home.path(), &format!("lists/{bad}"), content);
    let out = home.path().join("run");
    let ended = samefit(&["build", text(&home.path().join("lists")), "--out", text(&out)]);
    let crossref = rows(text(&out), "crossref.csv");
    assert_eq!(crossref.len(), 3, "the good list is processed: {}", ended.stderr);
    (ended, rows(text(&out), "rejects.csv"))
}

#[track_caller]
fn is_named(bad: &str, content: &[u8], code: &str) {
    let (ended, rejects) = beside_a_good_list(bad, content);
    let ended = ended.with_code(3).saying(bad).saying("hint:");
    let of_file = rejects
        .iter()
        .find(|row| row[0].contains(bad))
        .unwrap_or_else(|| panic!("{bad} is in rejects.csv"));
    assert_eq!(&of_file[3], code, "{}", ended.stderr);
}

#[test]
fn an_empty_file_is_named() {
    is_named("empty.csv", b"", "empty-file");
    is_named("blank.csv", b"\n\n  \n", "blank-file");
}

#[test]
fn a_file_with_a_header_only_is_named() {
    is_named("header.csv", b"Article no;Title;Price EUR\n", "header-only");
}

#[test]
fn a_binary_file_is_named() {
    let noise: Vec<u8> = (0..40_000u32)
        .map(|n| (n.wrapping_mul(2_654_435_761) >> 13) as u8)
        .collect();
    is_named("noise.csv", &noise, "binary-file");
}

#[test]
fn a_web_page_and_json_are_named_whatever_they_are_called() {
    let page = b"<html><body><table><tr><th>Item</th></tr><tr><td>H0</td></tr></table></body></html>";
    is_named("prices.xls", page, "other-format");
    is_named(
        "prices.csv",
        b"{\"sku\": \"J0\", \"price\": 9.2}\n{\"sku\": \"J1\", \"price\": 8}\n",
        "other-format",
    );
}

#[test]
fn a_file_without_a_recognisable_column_is_named() {
    let mut list = String::from("when;how far;mood\n");
    for day in 1..30 {
        list.push_str(&format!("2026-01-{day:02};{};fair\n", day * 7));
    }
    is_named("diary.csv", list.as_bytes(), "no-recognisable-column");
}

#[test]
fn a_missing_file_is_named_and_the_others_are_processed() {
    let home = bench();
    let good = write(home.path(), "good.csv", SMALL_LIST);
    let (missing, out) = (home.path().join("missing.csv"), home.path().join("run"));
    samefit(&["build", text(&good), text(&missing), "--out", text(&out)])
        .with_code(3)
        .saying("missing.csv");
    assert_eq!(rows(text(&out), "crossref.csv").len(), 3);
}

#[test]
fn a_damaged_workbook_is_called_a_workbook() {
    let (ended, _) = beside_a_good_list("bad.xlsx", b"PK\x03\x04 cut short");
    ended.with_code(3).saying("bad.xlsx: the workbook is damaged");
}

#[test]
fn a_folder_without_a_list_is_told_from_lists_that_cannot_be_read() {
    let home = bench();
    write(home.path(), "lists/notes.md", "no list");
    let (lists, out) = (home.path().join("lists"), home.path().join("run"));
    samefit(&["build", text(&lists), "--out", text(&out)])
        .with_code(1)
        .saying("no list was found")
        .saying(".xlsx");
    write(home.path(), "lists/empty.csv", "");
    samefit(&["build", text(&lists), "--out", text(&out)])
        .with_code(1)
        .saying("no list could be read");
    assert!(!out.exists());
}

#[test]
fn a_list_much_of_which_was_rejected_is_named_beside_a_good_one() {
    let mut list = String::from("Article no;Title;EAN;Price EUR\n");
    for row in 10..50 {
        list.push_str(&match row % 3 {
            0 => "#REF!;#N/A;;#N/A\n".to_string(),
            _ => format!("A-{row};Recoil starter 168F;;{row},50\n"),
        });
    }
    let home = bench();
    write(home.path(), "lists/good.csv", SMALL_LIST);
    write(home.path(), "lists/ragged.csv", list);
    let (lists, out) = (home.path().join("lists"), home.path().join("run"));
    samefit(&["build", text(&lists), "--out", text(&out), "--reject-limit", "0.4"]).with_code(0);
    samefit(&["build", text(&lists), "--out", text(&out)])
        .with_code(3)
        .saying("lines of ragged.csv were rejected");
}

#[test]
fn nothing_usable_at_all_publishes_nothing() {
    let home = bench();
    let (missing, out) = (home.path().join("missing.csv"), home.path().join("run"));
    samefit(&["build", text(&missing), "--out", text(&out)])
        .with_code(1)
        .saying("missing.csv")
        .saying("nothing was published");
    assert!(!out.exists());
}

#[test]
fn a_failed_run_leaves_the_earlier_one_standing() {
    let home = bench();
    let good = write(home.path(), "good.csv", SMALL_LIST);
    let out = home.path().join("run");
    samefit(&["build", text(&good), "--out", text(&out)]).with_code(0);
    let before = fs::read(out.join("crossref.csv")).unwrap();
    samefit(&["build", text(&home.path().join("missing.csv")), "--out", text(&out)]).with_code(1);
    assert_eq!(fs::read(out.join("crossref.csv")).unwrap(), before);
}

#[test]
fn an_output_that_cannot_be_written_is_named_and_nothing_is_left() {
    let home = bench();
    let good = write(home.path(), "good.csv", SMALL_LIST);
    let file = write(home.path(), "taken", "a file");
    samefit(&["build", text(&good), "--out", text(&file)])
        .with_code(2)
        .saying("taken");
    let inside_a_file = file.join("run");
    let ended = samefit(&["build", text(&good), "--out", text(&inside_a_file)]);
    assert!(matches!(ended.code, 1 | 2), "{}", ended.code);
    let ended = ended.saying("taken");
    assert!(ended.stdout.is_empty());
    assert_eq!(
        names_in(home.path())
            .iter()
            .filter(|name| !name.ends_with(".lock"))
            .count(),
        2
    );
}

#[test]
fn a_folder_that_holds_something_else_is_not_touched() {
    let home = bench();
    let good = write(home.path(), "good.csv", SMALL_LIST);
    let out = home.path().join("letters");
    write(&out, "letter.txt", "dear");
    samefit(&["build", text(&good), "--out", text(&out)])
        .with_code(2)
        .saying("letters")
        .saying("hint:");
    assert_eq!(names_in(&out), ["letter.txt"]);
}

#[test]
fn the_output_may_not_be_the_input() {
    let home = bench();
    write(home.path(), "lists/good.csv", SMALL_LIST);
    let lists = home.path().join("lists");
    samefit(&["build", text(&lists), "--out", text(&lists)])
        .with_code(2)
        .saying("lists");
    samefit(&["build", text(&lists), "--out", text(&lists.join("run"))]).with_code(2);
    assert_eq!(names_in(&lists), ["good.csv"]);
}

#[test]
fn a_bad_member_of_an_archive_is_named_and_the_others_are_processed() {
    let home = bench();
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, content) in [
        ("good.csv", SMALL_LIST),
        ("empty.csv", ""),
        ("odd.csv", "when;mood\n1;fair\n"),
    ] {
        archive
            .start_file(name, zip::write::SimpleFileOptions::default())
            .unwrap();
        std::io::Write::write_all(&mut archive, content.as_bytes()).unwrap();
    }
    let packed = archive.finish().unwrap().into_inner();
    let lists = write(home.path(), "lists.zip", packed);
    let out = home.path().join("run");
    samefit(&["build", text(&lists), "--out", text(&out)])
        .with_code(3)
        .saying("lists.zip!/empty.csv");
    assert_eq!(rows(text(&out), "crossref.csv").len(), 3);
    let codes: Vec<String> = rows(text(&out), "rejects.csv")
        .iter()
        .map(|row| format!("{} {}", &row[0], &row[3]))
        .collect();
    assert_eq!(
        codes,
        [
            "lists.zip!/empty.csv empty-file",
            "lists.zip!/odd.csv no-recognisable-column"
        ]
    );
}
