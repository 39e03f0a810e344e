//! `samefit grade`: the demo run against its known answers.

use crate::helpers::{bench, demo, samefit, text, write};

const TRUTH: &str = "input-samples/known-answers.csv";

#[test]
fn the_demo_reaches_its_figures() {
    let grade = samefit(&["grade", "--truth", TRUTH, demo(), "--json"])
        .with_code(0)
        .json();
    let figure = |path: &str| {
        let value = grade.pointer(path).unwrap_or_else(|| panic!("no {path}"));
        value.as_f64().unwrap_or_else(|| panic!("{path} is {value}"))
    };
    // what is enough: an identifier to tell a product, what settles the family to tell a fit group
    for grouping in ["products_identified", "groups_stating_enough"] {
        for scores in ["pairwise", "b_cubed"] {
            let f1 = figure(&format!("/{grouping}/{scores}/f1"));
            assert!(f1 >= 0.95, "{grouping} {scores}: F1 {f1}");
        }
    }
    let kinds = figure("/kind_accuracy");
    assert!(kinds >= 0.98, "kind accuracy {kinds}");
    let look_alikes = grade["look_alikes"].as_array().unwrap();
    assert!(
        look_alikes.is_empty(),
        "look-alikes above confidence 0.5: {look_alikes:#?}"
    );
}

#[test]
fn the_measures_are_printed_as_tables() {
    samefit(&["grade", "--truth", TRUTH, demo(), "--list"])
        .with_code(0)
        .printing("What became of the lines")
        .printing("fit groups")
        .printing("Calibration of the confidence")
        .printing("expected calibration error")
        .printing("Look-alikes:");
}

#[test]
fn answers_of_another_run_are_refused() {
    let home = bench();
    let head = "file,line,scope,part_kind,product,fit_group,shows_identifier,states_enough\n";
    let truth = write(
        home.path(),
        "truth.csv",
        format!("{head}other.csv,2,offer,shroud,P1,G1,yes,yes\n"),
    );
    samefit(&["grade", "--truth", text(&truth), demo()])
        .with_code(2)
        .saying("says nothing of the lines")
        .saying("hint:");
}

#[test]
fn answers_that_cannot_be_read_are_named_with_their_line() {
    let home = bench();
    let head = "file,line,scope,part_kind,product,fit_group,shows_identifier,states_enough\n";
    let truth = write(
        home.path(),
        "truth.csv",
        format!("{head}a.csv,2,perhaps,shroud,P1,G1,yes,yes\n"),
    );
    samefit(&["grade", "--truth", text(&truth), demo()])
        .with_code(2)
        .saying("truth.csv")
        .saying("line: 2");
    samefit(&["grade", "--truth", "no-truth.csv", demo()])
        .with_code(2)
        .saying("no-truth.csv");
}
