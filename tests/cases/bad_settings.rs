//! Bad settings: a profile, a rates file or a home currency that cannot be used is named, and nothing is published.

use crate::helpers::{Ended, SMALL_LIST, bench, samefit, text, write};
use std::fs;
use std::path::Path;

fn with_profile(home: &Path, profile: &str) -> Ended {
    write(home, "lists/good.csv", SMALL_LIST);
    write(home, "profiles/good.toml", profile);
    let (lists, profiles, out) = (home.join("lists"), home.join("profiles"), home.join("run"));
    samefit(&[
        "build",
        text(&lists),
        "--profiles",
        text(&profiles),
        "--out",
        text(&out),
    ])
}

#[test]
fn an_unknown_key_of_a_profile_is_named_with_what_was_meant() {
    let home = bench();
    with_profile(home.path(), "supplier = \"good\"\n[dialect]\ndelimitr = \";\"\n")
        .with_code(2)
        .saying("good.toml")
        .saying("delimitr")
        .saying("delimiter");
    assert!(!home.path().join("run").exists());
}

#[test]
fn a_column_that_a_profile_names_and_the_file_lacks_is_named() {
    let home = bench();
    with_profile(
        home.path(),
        "supplier = \"good\"\n[columns]\nsku = \"Artcle no\"\ntitle = \"Title\"\n",
    )
    .saying("good.csv")
    .saying("Artcle no")
    .saying("Article no");
}

#[test]
fn a_profile_folder_that_is_not_there_is_wrong_usage() {
    let home = bench();
    let good = write(home.path(), "good.csv", SMALL_LIST);
    let out = home.path().join("run");
    samefit(&[
        "build",
        text(&good),
        "--profiles",
        "no/such/folder",
        "--out",
        text(&out),
    ])
    .with_code(2)
    .saying("no/such/folder");
}

#[test]
fn rates_that_cannot_be_used_are_named() {
    let home = bench();
    let good = write(home.path(), "good.csv", SMALL_LIST);
    let rates = write(
        home.path(),
        "rates.toml",
        "home = \"EUR\"\ndate = 2026-09-01\n[rates]\nUSD = 0\n",
    );
    let out = home.path().join("run");
    samefit(&["build", text(&good), "--rates", text(&rates), "--out", text(&out)])
        .with_code(2)
        .saying("rates.toml")
        .saying("USD");
    samefit(&["build", text(&good), "--rates", "no-rates.toml", "--out", text(&out)])
        .with_code(2)
        .saying("no-rates.toml");
    assert!(!out.exists());
}

#[test]
fn a_home_currency_that_does_not_exist_is_refused() {
    let home = bench();
    let (list, out) = (write(home.path(), "good.csv", SMALL_LIST), home.path().join("run"));
    samefit(&["build", text(&list), "--out", text(&out), "--home-currency", "XYZ"])
        .with_code(2)
        .saying("`XYZ` is no currency");
}

#[test]
fn the_readme_names_every_limit_with_its_default() {
    let readme = fs::read_to_string("README.md").unwrap();
    let limits = format!("{:?}", samefit::intake::Limits::default());
    for key in samefit::intake::Limits::KEYS {
        let value = limits.split(&format!("{key}: ")).nth(1).unwrap();
        let value: String = value.chars().take_while(char::is_ascii_digit).collect();
        let row = readme.lines().find(|line| line.starts_with(&format!("| `{key}` |")));
        let row = row.unwrap_or_else(|| panic!("no row for {key}"));
        assert!(row.ends_with(&format!("| {value} |")), "{row}");
    }
}
