//! `samefit tidy`: one messy list as plain CSV, its broken lines apart.

use crate::helpers::{bench, command, demo_lists, names_in, samefit, text, write};
use std::fs;
use std::process::Stdio;

#[test]
fn a_messy_list_becomes_plain_csv() {
    let home = bench();
    let (out, rejects) = (home.path().join("plain.csv"), home.path().join("rejects.csv"));
    let list = demo_lists().join("zaunholt-preisliste-2026-09.csv");
    let ended = samefit(&["tidy", text(&list), "--out", text(&out), "--rejects", text(&rejects)]);
    assert!(matches!(ended.code, 0 | 3), "{}", ended.stderr);
    assert!(ended.stdout.is_empty());
    let bytes = fs::read(&out).unwrap();
    let plain = std::str::from_utf8(&bytes).expect("UTF-8");
    assert!(!plain.starts_with('\u{feff}') && plain.ends_with("\r\n"));
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(plain.as_bytes());
    let columns = reader.headers().unwrap().len();
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a record")).collect();
    let count = rows.len();
    assert!(columns > 5 && count > 400, "{columns} columns, {count} rows");
    let odd = rows.iter().filter(|row| row.len() != columns).count();
    let told = ended.stderr.matches("kept as found").count();
    assert!(odd <= told, "every row of another width is told of: {odd}, {told}");
    assert!(
        csv::Reader::from_path(&rejects)
            .unwrap()
            .headers()
            .unwrap()
            .iter()
            .any(|name| name == "code")
    );
    assert_eq!(names_in(home.path()), ["plain.csv", "rejects.csv"]);
}

#[test]
fn tidying_a_tidy_list_changes_nothing() {
    let home = bench();
    let (once, twice) = (home.path().join("once.csv"), home.path().join("twice.csv"));
    let list = demo_lists().join("fenwarden_trade_stock.csv");
    samefit(&["tidy", text(&list), "--out", text(&once), "--quiet"]);
    samefit(&["tidy", text(&once), "--out", text(&twice), "--quiet"]);
    assert_eq!(fs::read(&once).unwrap(), fs::read(&twice).unwrap());
}

#[test]
fn a_row_too_long_is_kept_as_found_and_told_of() {
    let home = bench();
    let list = "sku;title;price\n1;abc;2,50\n2;def;3,50\n3;a;b;c;d\n4;ghi;4,50\n5;jkl;5,50\n";
    let list = write(home.path(), "list.csv", list);
    let ended = samefit(&["tidy", text(&list), "--out", "-"]);
    assert!(ended.stdout.contains("3,a,b,c,d\r\n"), "{}", ended.stdout);
    ended.saying("5 cells found, 3 expected; kept as found");
}

#[test]
fn standard_output_carries_the_list_and_nothing_else() {
    let home = bench();
    let list = write(home.path(), "list.csv", "sku;title\n1;\"a; b\"\n2;c\n");
    let ended = samefit(&["tidy", text(&list), "--out", "-"]).with_code(0);
    assert_eq!(ended.stdout, "sku,title\r\n1,a; b\r\n2,c\r\n");
}

#[test]
fn a_list_is_never_written_over() {
    let home = bench();
    let list = write(home.path(), "list.csv", "sku;title\n1;a\n");
    for option in ["--out", "--rejects"] {
        let mut arguments = vec!["tidy", text(&list), option, text(&list)];
        if option == "--rejects" {
            arguments.extend(["--out", "-"]);
        }
        samefit(&arguments)
            .with_code(2)
            .saying("the list itself")
            .saying("hint:");
    }
    assert_eq!(fs::read_to_string(&list).unwrap(), "sku;title\n1;a\n");
}

#[test]
fn an_output_that_cannot_be_written_leaves_nothing() {
    let home = bench();
    let list = write(home.path(), "list.csv", "sku;title\n1;a\n");
    let out = home.path().join("no such folder/plain.csv");
    samefit(&["tidy", text(&list), "--out", text(&out)])
        .with_code(1)
        .saying("no such folder");
    assert_eq!(names_in(home.path()), ["list.csv"]);
}

#[test]
fn a_list_that_is_not_there_is_named() {
    samefit(&["tidy", "no-such-list.csv", "--out", "-"])
        .with_code(1)
        .saying("no-such-list.csv")
        .saying("hint:");
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let list = demo_lists().join("vaubrisel_tarif_2026.csv");
    let mut child = command(&["tidy", text(&list), "--out", "-", "--quiet"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(matches!(output.status.code(), Some(0 | 3)));
    assert!(!String::from_utf8_lossy(&output.stderr).contains("error"));
}

#[test]
fn limits_are_set_by_a_file_and_a_wrong_one_is_named() {
    let home = bench();
    let list = format!("sku;title\n1;a\n2;{}\n3;c\n", "long ".repeat(30));
    let list = write(home.path(), "list.csv", list);
    let limits = write(home.path(), "limits.toml", "line_bytes = 64\n");
    for command in ["tidy", "onboard"] {
        let mut arguments = vec![command, text(&list), "--limits", text(&limits)];
        if command == "tidy" {
            arguments.extend(["--out", "-"]);
            let ended = samefit(&arguments).with_code(3).saying("`line_bytes`");
            assert_eq!(ended.stdout, "sku,title\r\n1,a\r\n3,c\r\n");
        } else {
            samefit(&arguments).with_code(0);
        }
        let narrow = write(home.path(), "narrow.toml", "columns = 1\n");
        arguments[3] = text(&narrow);
        samefit(&arguments).with_code(1).saying("`columns`").saying("list.csv");
        let mistyped = write(home.path(), "mistyped.toml", "line_byte = 64\n");
        arguments[3] = text(&mistyped);
        samefit(&arguments)
            .with_code(2)
            .saying("mistyped.toml")
            .saying("line 1")
            .saying("did you mean `line_bytes`?");
        let none = write(home.path(), "none.toml", "columns = 0\n");
        arguments[3] = text(&none);
        samefit(&arguments).with_code(2).saying("`columns` is 0");
    }
}

#[test]
fn rejects_are_written_whole() {
    let home = bench();
    let mut list = String::from("sku;title;price\n");
    for line in 0..40 {
        list.push_str(&format!("A{line};Lüfterhaube {line};{line},50\n"));
    }
    let mut list = list.into_bytes();
    list.extend(b"A99;Griff \xFF;1,00\n".repeat(12));
    let list = write(home.path(), "list.csv", list);
    let rejects = home.path().join("rejects.csv");
    samefit(&["tidy", text(&list), "--out", "-", "--rejects", text(&rejects)]).with_code(3);
    let rows: Vec<csv::StringRecord> = csv::Reader::from_path(&rejects)
        .unwrap()
        .records()
        .map(|row| row.unwrap())
        .collect();
    assert_eq!(rows.len(), 12);
    assert!(rows.iter().all(|row| &row[3] == "invalid-bytes"));
    samefit(&["tidy", text(&list), "--out", "-"]).saying("7 more lines could not be read");
}

#[test]
fn a_further_table_is_left_out_and_told_and_does_not_spoil_the_first() {
    let home = bench();
    let mut list = String::from("sku,title,price\n");
    for line in 0..9 {
        list.push_str(&format!("A{line},Starter {line},{line}.50\n"));
    }
    list.push_str("\nsku,title,price,stock\n");
    for line in 0..9 {
        list.push_str(&format!("B{line},Haube {line},{line}.50,{line}\n"));
    }
    let list = write(home.path(), "list.csv", list);
    let ended = samefit(&["tidy", text(&list), "--out", "-"]).with_code(0);
    assert!(
        ended.stdout.contains("A8,") && !ended.stdout.contains("B8,"),
        "{}",
        ended.stdout
    );
    ended.saying("cells of a further table").saying("10 rejected");
}

#[cfg(unix)]
#[test]
fn a_pipe_with_a_name_is_written_into_and_stays_a_pipe() {
    use std::os::unix::fs::FileTypeExt;
    let home = bench();
    let list = write(home.path(), "list.csv", "sku;title\n1;a\n2;b\n");
    let pipe = home.path().join("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
    assert!(made.success());
    let reader = std::thread::spawn({
        let pipe = pipe.clone();
        move || fs::read_to_string(pipe)
    });
    samefit(&["tidy", text(&list), "--out", text(&pipe)]).with_code(0);
    assert_eq!(reader.join().unwrap().unwrap(), "sku,title\r\n1,a\r\n2,b\r\n");
    assert!(fs::metadata(&pipe).unwrap().file_type().is_fifo());
    assert_eq!(names_in(home.path()), ["list.csv", "pipe"]);
}
