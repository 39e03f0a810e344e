//! The same lists give the same bytes, whatever the threads, the order and the names of the files.

use crate::helpers::{bench, build_demo, column, demo, demo_lists, differences, rows, samefit, text, write};
use std::fs;
use std::path::{Path, PathBuf};

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

/// A table without some columns, its rows in order of what is left.
fn table_without(run: &Path, table: &str, left_out: &[&str]) -> Vec<String> {
    let run = text(run);
    let places: Vec<usize> = left_out.iter().map(|name| column(run, table, name)).collect();
    let kept = |row: &csv::StringRecord| {
        let cells = row.iter().enumerate().filter(|(place, _)| !places.contains(place));
        cells.map(|(_, cell)| cell).collect::<Vec<_>>().join("\u{1f}")
    };
    let mut lines: Vec<String> = rows(run, table).iter().map(kept).collect();
    lines.sort();
    lines
}

/// Two lists whose records are single lines, under one line of header.
const PLAIN_LISTS: [&str; 2] = ["kettelbarn-genuine-parts.csv", "zelenohor-export.csv"];

fn build_of(folder: &Path, out: &Path, further: &[&str]) {
    let mut arguments = vec!["build", text(folder), "--out", text(out), "--quiet"];
    arguments.extend(further);
    let ended = samefit(&arguments);
    assert!(matches!(ended.code, 0 | 3), "{}", ended.stderr);
}

#[track_caller]
fn same_but_for(one: &Path, two: &Path, left_out: &[&str]) {
    let (before, after) = (
        table_without(one, "crossref.csv", left_out),
        table_without(two, "crossref.csv", left_out),
    );
    let differ = before.iter().zip(&after).find(|(a, b)| a != b);
    assert!(before == after, "crossref.csv differs first in {differ:?}");
    for table in ["groups.csv", "products.csv"] {
        let left_out: &[&str] = match left_out.contains(&"confidence") {
            true => &["confidence"],
            false => &[],
        };
        let (before, after) = (table_without(one, table, left_out), table_without(two, table, left_out));
        let differ = before.iter().zip(&after).find(|(a, b)| a != b);
        assert!(before == after, "{table} differs first in {differ:?}");
    }
}

/// Builds lists as they are and with their rows shuffled.
fn shuffled(home: &Path) -> (PathBuf, PathBuf) {
    for name in PLAIN_LISTS {
        let list = fs::read(demo_lists().join(name)).unwrap();
        write(home, &format!("lists/{name}"), &list);
        let mut lines: Vec<&[u8]> = list.split_inclusive(|byte| *byte == b'\n').collect();
        let mut state = 20_261u64;
        for place in (2..lines.len()).rev() {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            lines.swap(place, 1 + (state >> 33) as usize % place);
        }
        write(home, &format!("shuffled/{name}"), lines.concat());
    }
    let (one, two) = (home.join("one"), home.join("two"));
    build_of(&home.join("lists"), &one, &[]);
    build_of(&home.join("shuffled"), &two, &[]);
    (one, two)
}

#[test]
fn the_order_of_a_lists_rows_changes_no_product_group_or_price() {
    let home = bench();
    let (one, two) = shuffled(home.path());
    same_but_for(&one, &two, &["source_line", "evidence", "confidence"]);
}

#[test]
fn the_order_of_a_lists_rows_changes_no_table_but_the_lines_named() {
    let home = bench();
    let (one, two) = shuffled(home.path());
    same_but_for(&one, &two, &["source_line"]);
}

#[test]
fn the_names_of_files_change_nothing_where_profiles_name_the_suppliers() {
    let home = bench();
    let profiles = home.path().join("profiles");
    for (place, name) in PLAIN_LISTS.into_iter().enumerate() {
        let list = fs::read(demo_lists().join(name)).unwrap();
        write(home.path(), &format!("lists/{name}"), &list);
        let renamed = ["zz-new-name.csv", "aa-new-name.csv"][place];
        write(home.path(), &format!("renamed/{renamed}"), &list);
        let profile = format!("supplier = \"{place}\"\nfiles = [\"{name}\", \"{renamed}\"]\n");
        write(home.path(), &format!("profiles/{place}.toml"), profile);
    }
    let (one, two) = (home.path().join("one"), home.path().join("two"));
    build_of(&home.path().join("lists"), &one, &["--profiles", text(&profiles)]);
    build_of(&home.path().join("renamed"), &two, &["--profiles", text(&profiles)]);
    same_but_for(&one, &two, &["source_file"]);
}
