//! The same lists give the same bytes, whatever the threads, the order and the names of the files.

use crate::helpers::{bench, build_demo, demo, demo_lists, differences, samefit, text};
use std::fs;
use std::path::Path;

#[test]
fn one_thread_and_four_give_the_same_bytes() {
    let home = bench();
    for threads in ["1", "4"] {
        let out = home.path().join(threads);
        build_demo(&demo_lists(), &out, &["--quiet", "--threads", threads]);
        assert_eq!(differences(Path::new(demo()), &out), "", "{threads} threads");
    }
}

#[test]
fn the_order_in_which_files_are_named_changes_nothing() {
    let home = bench();
    let out = home.path().join("run");
    let mut files: Vec<String> = fs::read_dir(demo_lists())
        .unwrap()
        .map(|entry| entry.unwrap().path().to_str().unwrap().to_string())
        .collect();
    files.sort();
    files.reverse();
    let mut arguments = vec![
        "build",
        "--quiet",
        "--rates",
        "input-samples/exchange-rates.toml",
        "--out",
        text(&out),
    ];
    arguments.extend(files.iter().map(String::as_str));
    samefit(&arguments);
    assert_eq!(differences(Path::new(demo()), &out), "");
}

#[test]
fn another_locale_and_time_zone_change_nothing() {
    let home = bench();
    let out = home.path().join("run");
    let rates = "input-samples/exchange-rates.toml";
    let lists = demo_lists();
    let arguments = ["build", text(&lists), "--rates", rates, "--out", text(&out), "--quiet"];
    let ended = crate::helpers::command(&arguments)
        .env("LC_ALL", "de_DE.UTF-8")
        .env("TZ", "Asia/Tokyo")
        .output()
        .unwrap();
    assert!(matches!(ended.status.code(), Some(0 | 3)));
    assert_eq!(differences(Path::new(demo()), &out), "");
}
