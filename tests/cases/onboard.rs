//! `samefit onboard`: the guess is shown, the profile is one that a build reads, and nothing is written over.

use crate::helpers::{SMALL_LIST, bench, demo_lists, names_in, rows, samefit, text, write};
use std::fs;

#[test]
fn the_guess_is_shown_column_by_column_with_samples() {
    let list = demo_lists().join("zaunholt-preisliste-2026-09.csv");
    samefit(&["onboard", text(&list)])
        .with_code(0)
        .printing("windows-1252")
        .printing("Art.-Nr.")
        .printing("sku")
        .printing("displacement")
        .printing("ZH-")
        .saying("nothing was written");
}

#[test]
fn the_guess_is_printed_as_json_when_asked_for() {
    let home = bench();
    let list = write(home.path(), "small.csv", SMALL_LIST);
    let guess = samefit(&["onboard", text(&list), "--json", "--quiet"])
        .with_code(0)
        .json();
    assert_eq!(guess["columns"].as_array().unwrap().len(), 4);
    assert_eq!(guess["columns"][0]["field"], "sku");
    assert_eq!(guess["columns"][3]["samples"][0], "12,50");
}

#[test]
fn the_profile_written_is_one_that_a_build_reads() {
    let home = bench();
    let list = write(home.path(), "lists/small.csv", SMALL_LIST);
    let profiles = home.path().join("profiles");
    fs::create_dir(&profiles).unwrap();
    samefit(&["onboard", text(&list), "--write", text(&profiles)])
        .with_code(0)
        .saying("small.toml");
    assert_eq!(names_in(&profiles), ["small.toml"]);
    let out = home.path().join("run");
    let arguments = [
        "build",
        text(&list),
        "--profiles",
        text(&profiles),
        "--out",
        text(&out),
        "--quiet",
    ];
    samefit(&arguments).with_code(0);
    let suppliers = fs::read_to_string(out.join("suppliers.csv")).unwrap();
    assert!(
        suppliers.lines().nth(1).unwrap().contains(",small,"),
        "the profile is used: {suppliers}"
    );
}

#[test]
fn a_profile_is_never_written_over_unless_asked_to() {
    let home = bench();
    let list = write(home.path(), "small.csv", SMALL_LIST);
    let profile = write(home.path(), "profiles/small.toml", "# mine\n");
    let folder = home.path().join("profiles");
    samefit(&["onboard", text(&list), "--write", text(&folder)])
        .with_code(2)
        .saying("small.toml")
        .saying("--replace");
    assert_eq!(fs::read_to_string(&profile).unwrap(), "# mine\n");
    samefit(&["onboard", text(&list), "--write", text(&folder), "--replace"]).with_code(0);
    assert!(fs::read_to_string(&profile).unwrap().contains("[columns]"));
    assert_eq!(names_in(&folder), ["small.toml"]);
}

#[test]
fn the_profile_can_be_printed() {
    let home = bench();
    let list = write(home.path(), "small.csv", SMALL_LIST);
    let ended = samefit(&["onboard", text(&list), "--write", "-"]).with_code(0);
    assert!(ended.stdout.starts_with('#') && ended.stdout.contains("[columns]"));
}

#[test]
fn a_list_that_cannot_be_read_and_a_folder_that_is_not_there_are_named() {
    let home = bench();
    samefit(&["onboard", "no-such-list.csv"])
        .with_code(1)
        .saying("no-such-list.csv")
        .saying("hint:");
    let list = write(home.path(), "small.csv", SMALL_LIST);
    samefit(&["onboard", text(&list), "--write", "no/such/folder"])
        .with_code(2)
        .saying("no/such/folder");
}

#[test]
fn a_print_out_reads_the_same_under_the_profile_written_for_it() {
    let home = bench();
    let mut page = String::from("STOCK NO   DESCRIPTION              ENGINE   PRICE GBP\n");
    for row in 0..20 {
        let name = ["Recoil starter", "Fan shroud, black, long"][row % 2];
        page.push_str(&format!(
            "HM{:04}     {name:<24} {:<8} {:>7}.50\n",
            4100 + row * 7,
            "168F",
            6 + row
        ));
    }
    let list = write(home.path(), "lists/counter.txt", page);
    let (out, profiles) = (home.path().join("run"), home.path().join("profiles"));
    fs::create_dir(&profiles).unwrap();
    samefit(&["onboard", text(&list), "--write", text(&profiles)]).with_code(0);
    let built = ["build", text(&list), "--out", text(&out)];
    samefit(&built).with_code(0);
    let (plain, row) = (rows(text(&out), "crossref.csv"), rows(text(&out), "suppliers.csv"));
    assert_eq!(plain.len(), 20, "{row:?}");
    samefit(&[&built[..], &["--profiles", text(&profiles)]].concat()).with_code(0);
    let under = rows(text(&out), "crossref.csv");
    let shown = |rows: &[csv::StringRecord]| rows.iter().map(|row| row[6].to_string()).collect::<Vec<_>>();
    assert_eq!(shown(&under), shown(&plain));
}
