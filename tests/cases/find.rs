//! `samefit find` on the demo run: what a person types, and what they get.

use crate::helpers::{bench, column, command, demo, rows, samefit};
use serde_json::Value;
use std::process::Stdio;

/// A maker's number that stands on several offers of the demo, with one of the offers.
fn a_shared_number() -> (String, String) {
    let at = column(demo(), "crossref.csv", "mpn");
    let group = column(demo(), "crossref.csv", "group_id");
    let table = rows(demo(), "crossref.csv");
    let shared = table.iter().find(|row| {
        row[at].contains('-')
            && table
                .iter()
                .filter(|other| other[at] == row[at] && other[group] == row[group])
                .count()
                > 1
    });
    let row = shared.expect("the demo has a number with a dash on two offers of a group");
    (row[at].to_string(), row[group].to_string())
}

/// The answer to a question as JSON.
pub(super) fn answers(arguments: &[&str]) -> Value {
    let mut all = vec!["find", demo()];
    all.extend(arguments);
    all.push("--json");
    samefit(&all).with_code(0).json()
}

#[test]
fn plain_words_are_understood_and_answered() {
    samefit(&["find", demo(), "212cc", "pull", "starter", "3", "hole"])
        .with_code(0)
        .printing("Understood: recoil starter; displacement 212 cc; 3 holes")
        .printing("RECOIL STARTER")
        .printing("Cheapest delivered")
        .printing("why:")
        .printing("A cross-reference is no release");
}

#[test]
fn words_that_were_not_understood_are_shown() {
    samefit(&["find", demo(), "212cc pull starter grumblewort"])
        .with_code(0)
        .printing("Not understood: grumblewort");
}

#[test]
fn the_answer_is_in_the_order_of_delivered_prices_and_sure_enough() {
    let answer = answers(&["212cc pull starter", "--limit", "50"]);
    let offers = answer["answers"][0]["equivalents"].as_array().unwrap();
    assert!(offers.len() > 3);
    let prices: Vec<f64> = offers
        .iter()
        .filter_map(|offer| offer["delivered"].as_str())
        .map(|price| price.parse().unwrap())
        .collect();
    assert!(prices.is_sorted(), "{prices:?}");
    assert!(offers.iter().all(|offer| offer["confidence"].as_f64().unwrap() >= 0.8));
    assert!(offers.iter().all(|offer| offer["part_kind"] == "recoil-starter"));
}

#[test]
fn a_number_is_found_with_and_without_its_dashes() {
    let (number, group) = a_shared_number();
    let bare: String = number.chars().filter(|sign| sign.is_alphanumeric()).collect();
    for spelled in [number.as_str(), &bare, &bare.to_lowercase()] {
        let answer = answers(&["--number", spelled]);
        assert_eq!(answer["numbers"][0]["found_in"], "numbers", "{spelled}");
        assert_eq!(
            answer["answers"][0]["group"]["group"]["group_id"],
            group.as_str(),
            "{spelled}"
        );
    }
}

#[test]
fn a_suppliers_number_among_the_words_is_found() {
    let at = column(demo(), "crossref.csv", "supplier_sku");
    let row = &rows(demo(), "crossref.csv")[5];
    let answer = answers(&["--number", &row[at]]);
    assert_eq!(answer["numbers"][0]["found_in"], "numbers");
    assert!(!answer["answers"].as_array().unwrap().is_empty());
}

#[test]
fn a_number_that_stands_nowhere_is_said_and_the_nearest_is_named() {
    let (number, _) = a_shared_number();
    let wrong = format!("{number}Q");
    samefit(&["find", demo(), "--number", &wrong])
        .with_code(0)
        .printing("it stands nowhere")
        .printing("nearest: ")
        .printing(&number);
}

#[test]
fn options_and_words_ask_the_same() {
    let words = answers(&["recoil starter for 168F, 118 mm bolt circle, 3 holes"]);
    let options = answers(&[
        "--kind",
        "starter",
        "--code",
        "168F",
        "--spacing",
        "118 mm circle",
        "--holes",
        "3",
    ]);
    assert_eq!(words["answers"], options["answers"]);
}

#[test]
fn no_starter_is_ever_offered_for_a_shroud() {
    let answer = answers(&[
        "--kind",
        "shroud",
        "--code",
        "188F",
        "--limit",
        "100",
        "--min-confidence",
        "0",
    ]);
    let section = &answer["answers"][0];
    assert_eq!(section["asked_for"], "shroud");
    let kinds: Vec<&Value> = ["equivalents", "doubtful"]
        .iter()
        .flat_map(|list| section[list].as_array().unwrap())
        .chain(
            section["covered_by_assembly"]["offers"]
                .as_array()
                .into_iter()
                .flatten(),
        )
        .map(|offer| &offer["part_kind"])
        .collect();
    assert!(!kinds.is_empty());
    assert!(
        kinds.iter().all(|kind| **kind == "shroud" || **kind == "assembly"),
        "{kinds:?}"
    );
}

#[test]
fn an_engine_that_nothing_fits_is_answered_honestly() {
    samefit(&["find", demo(), "pull starter", "--cc", "1450"])
        .with_code(0)
        .printing("No fit group of this run answers all that was asked")
        .printing("nearest:");
}

#[test]
fn a_question_that_says_nothing_is_wrong_usage_with_a_hint() {
    samefit(&["find", demo(), "something", "blue"])
        .with_code(2)
        .saying("nothing to search by")
        .saying("hint:");
    samefit(&["find", demo()]).with_code(2).saying("nothing was asked");
}

#[test]
fn an_option_that_cannot_be_read_is_named() {
    samefit(&["find", demo(), "--cc", "blue"])
        .with_code(2)
        .saying("--cc: `blue` could not be read")
        .saying("hint:");
    samefit(&["find", demo(), "--spacing", "wide"])
        .with_code(2)
        .saying("--spacing");
    samefit(&["find", demo(), "--min-confidence", "7", "212cc"])
        .with_code(2)
        .saying("from 0 to 1");
}

#[test]
fn a_folder_that_is_no_run_is_named() {
    let home = bench();
    let folder = home.path().to_str().unwrap();
    samefit(&["find", folder, "212cc"])
        .with_code(2)
        .saying(folder)
        .saying("is not a samefit run")
        .saying("hint:");
    samefit(&["find", "no/such/run", "212cc"])
        .with_code(2)
        .saying("no/such/run")
        .saying("does not exist");
}

#[test]
fn csv_carries_the_columns_of_the_cross_reference() {
    let ended = samefit(&["find", demo(), "212cc pull starter", "--csv"]).with_code(0);
    let mut reader = csv::Reader::from_reader(ended.stdout.as_bytes());
    let heading = reader.headers().unwrap().clone();
    assert_eq!(&heading[0], "asked_for");
    assert!(heading.iter().any(|name| name == "landed_price"));
    assert!(reader.records().count() > 3);
}

#[test]
fn a_page_keeps_to_eighty_columns_but_for_the_tables_and_holds_no_escape() {
    let ended = samefit(&[
        "find",
        demo(),
        "212cc pull starter",
        "--cautions",
        "--date",
        "2026-09-15",
    ])
    .with_code(0)
    .printing("Before ordering");
    assert!(ended.stdout.lines().all(|line| line.chars().count() <= 110));
    assert!(!ended.stdout.contains('\u{1b}'));
    assert!(ended.stderr.is_empty());
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let mut child = command(&[
        "find",
        demo(),
        "212cc pull starter",
        "--limit",
        "60",
        "--date",
        "2026-09-15",
    ])
    .stdout(Stdio::piped())
    .stderr(Stdio::piped())
    .spawn()
    .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn a_kind_alone_is_answered_with_its_groups_and_no_offers() {
    let ended = samefit(&["find", demo(), "--kind", "shroud"])
        .with_code(0)
        .printing("Say more of the engine");
    assert!(!ended.stdout.contains("delivered"));
}

#[test]
fn a_part_that_is_not_cross_referenced_is_said_to_be_set_aside() {
    samefit(&["find", demo(), "starter rope 168F"])
        .with_code(0)
        .printing("`rope` are not cross-referenced");
    samefit(&["find", demo(), "starter rope"])
        .with_code(2)
        .saying("`rope`, which is not cross-referenced");
}

#[test]
fn a_fit_group_is_asked_for_by_its_id() {
    let answer = answers(&["212cc pull starter 3 hole"]);
    let group = answer["answers"][0]["group"]["group"]["group_id"].as_str().unwrap();
    let by_id = answers(&[&group.to_lowercase()]);
    assert_eq!(by_id["answers"][0]["group"]["group"]["group_id"], group);
    assert_eq!(by_id["answers"].as_array().unwrap().len(), 1);
}
