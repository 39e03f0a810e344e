//! `samefit build` on the demo scenario: every line accounted for, every table there; and what a list says of tax.

use crate::helpers::{SMALL_LIST, bench, build_demo, column, demo, demo_lists, names_in, rows, samefit, text, write};
use crate::nights::TABLES;
use std::path::Path;

#[test]
fn the_demo_builds_and_every_table_is_there() {
    let names = names_in(Path::new(demo()));
    for name in TABLES
        .into_iter()
        .chain(["report.html", "datapackage.json", "run.json"])
    {
        assert!(
            names.iter().any(|found| found == name),
            "{name} is missing from {names:?}"
        );
    }
}

#[test]
fn every_line_of_every_list_is_accounted_for() {
    let lists = rows(demo(), "suppliers.csv");
    assert!(lists.len() >= 12, "{} lists", lists.len());
    let place = |name: &str| column(demo(), "suppliers.csv", name);
    let layout = place("layout_preamble")..=place("layout_blank");
    let mut read_in_all = 0;
    for list in &lists {
        let count = |at: usize| list[at].parse::<u64>().unwrap();
        let layout: u64 = layout.clone().map(count).sum();
        let read = count(place("read"));
        assert_eq!(
            read,
            count(place("offers")) + count(place("set_aside")) + count(place("rejected")) + layout,
            "{list:?}"
        );
        read_in_all += read;
    }
    let known = std::fs::read_to_string("input-samples/known-answers.csv").unwrap();
    assert_eq!(
        read_in_all,
        known.lines().count() as u64 - 1,
        "every record has a known answer"
    );
    assert!(read_in_all > 3000);
}

#[test]
fn the_account_is_printed_as_json_when_asked_for() {
    let home = bench();
    let ended = build_demo(&demo_lists(), &home.path().join("run"), &["--json", "--quiet"]);
    let account = ended.json();
    assert_eq!(
        account["lists"].as_array().unwrap().len(),
        rows(demo(), "suppliers.csv").len()
    );
    assert_eq!(account["offers"], rows(demo(), "crossref.csv").len());
}

#[test]
fn confidence_is_a_probability_and_no_constant() {
    let at = column(demo(), "crossref.csv", "confidence");
    let mut values: Vec<f64> = rows(demo(), "crossref.csv")
        .iter()
        .map(|row| row[at].parse().unwrap())
        .collect();
    assert!(values.iter().all(|value| (0.0..=1.0).contains(value)));
    values.sort_by(f64::total_cmp);
    values.dedup();
    assert!(values.len() > 50, "{} different values", values.len());
}

#[test]
fn products_of_any_kind_can_be_linked_without_fit_groups() {
    let home = bench();
    let out = home.path().join("run");
    let ended = samefit(&[
        "build",
        text(&demo_lists()),
        "--kind",
        "generic",
        "--out",
        text(&out),
        "--quiet",
    ]);
    assert!(matches!(ended.code, 0 | 3), "{}", ended.stderr);
    assert!(rows(text(&out), "groups.csv").is_empty());
    assert!(!rows(text(&out), "products.csv").is_empty());
}

#[test]
fn what_a_list_states_of_tax_reaches_its_landed_prices() {
    let home = bench();
    let out = home.path().join("run");
    let note = |preamble: &str| {
        let list = write(home.path(), "good.csv", format!("{preamble};;;\n;;;\n{SMALL_LIST}"));
        samefit(&["build", text(&list), "--out", text(&out), "--quiet"]).with_code(0);
        let column = crate::helpers::column(text(&out), "crossref.csv", "landed_note");
        rows(text(&out), "crossref.csv")[0][column].to_string()
    };
    assert!(note("Price list").contains("net or gross not known"));
    assert!(!note("All prices net, excluding VAT").contains("net or gross not known"));
    assert!(note("All prices gross, including VAT").contains("tax included"));
}
