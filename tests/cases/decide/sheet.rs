//! The sheet of the demo: what it asks, and what comes of answers to it.

use super::{by_name, cell, count};
use crate::helpers::{bench, build_demo, column, demo, demo_lists, differences, rows, samefit, text, write};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

#[test]
fn the_sheet_asks_in_words_the_question_worth_most_first_and_leaves_room_for_the_answer() {
    let place = |name: &str| column(demo(), "review.csv", name);
    let table = rows(demo(), "review.csv");
    assert!(table.len() > 10, "only {} questions", table.len());
    let worth: Vec<f64> = table.iter().map(|row| row[place("worth")].parse().unwrap()).collect();
    assert!(worth.windows(2).all(|pair| pair[0] >= pair[1]));
    for row in &table {
        assert!(["Are these the very same part?", "Does this part fit this group?"].contains(&&row[place("asked")]));
        for name in ["decision", "note", "decided_on"] {
            assert!(row[place(name)].is_empty());
        }
        for name in ["this_offer", "that", "offer_a", "offer_b"] {
            assert!(!row[place(name)].is_empty(), "{name} in {row:?}");
        }
        let probability: f64 = row[place("probability")].parse().unwrap();
        assert!((0.0..=1.0).contains(&probability));
    }
    let package = std::fs::read_to_string(Path::new(demo()).join("datapackage.json")).unwrap();
    assert!(package.contains("\"review.csv\"") && package.contains("\"track-records.csv\""));
    assert_eq!(count(demo(), "review_questions"), table.len() as u64);
}

#[test]
fn an_unfilled_sheet_given_back_changes_nothing() {
    let home = bench();
    let out = home.path().join("again");
    let sheet = Path::new(demo()).join("review.csv");
    build_demo(&demo_lists(), &out, &["--quiet", "--decisions", text(&sheet)]);
    assert_eq!(differences(Path::new(demo()), &out), "");
}

/// Questions of the demo answered: the first pair put together, the next kept apart, one part that fits, one that does not.
fn answered_sheet() -> (String, [csv::StringRecord; 4]) {
    let place = |name: &str| column(demo(), "review.csv", name);
    let table = rows(demo(), "review.csv");
    let offers = by_name(demo(), "crossref.csv", ["supplier", "supplier_sku"]);
    let at = column(demo(), "crossref.csv", "product_id");
    let product = |name: &str| {
        offers
            .get(name.split(" | ").next().unwrap())
            .map(|row| row[at].to_string())
    };
    let apart = |row: &&csv::StringRecord| {
        let (a, b) = (product(&row[place("offer_a")]), product(&row[place("offer_b")]));
        a.is_some() && b.is_some() && a != b
    };
    let mut pairs = table
        .iter()
        .filter(|row| row[place("asked")].starts_with("Are"))
        .filter(apart);
    let mut fits = table
        .iter()
        .filter(|row| row[place("asked")].starts_with("Does"))
        .filter(apart);
    let mut next = || {
        [
            pairs.next().unwrap(),
            pairs.next().unwrap(),
            fits.next().unwrap(),
            fits.next().unwrap(),
        ]
    };
    let asked = next().map(Clone::clone);
    // as a spreadsheet in another country may save it: semicolons, a mark, columns dropped and moved
    let mut sheet = String::from("\u{feff}note;decision;offer_b;offer_a;decided_on;probability\r\n");
    for (row, answer) in asked.iter().zip(["same", "Different", "fits", "does not fit"]) {
        let probability = row[place("probability")].replace('.', ",");
        let _ = write!(
            sheet,
            "\"held side by side; bench 2\";{answer};{};{};2026-11-20;{probability}\r\n",
            &row[place("offer_b")],
            &row[place("offer_a")]
        );
    }
    (sheet, asked)
}

#[test]
fn answers_come_back_win_over_the_model_and_are_not_asked_again() {
    let home = bench();
    let (sheet, asked) = answered_sheet();
    let file = write(home.path(), "answers.csv", sheet);
    let out = home.path().join("run");
    build_demo(&demo_lists(), &out, &["--decisions", text(&file)]).with_code(0);
    let run = text(&out);
    assert_eq!((count(run, "decisions"), count(run, "decisions_applied")), (4, 4));
    let place = |name: &str| column(demo(), "review.csv", name);
    let names = |row: &csv::StringRecord| {
        let other = row[place("offer_b")].split(" | ").next().unwrap().to_string();
        (row[place("offer_a")].to_string(), other)
    };
    let both = |row: &csv::StringRecord, name: &str| {
        let (a, b) = names(row);
        (cell(run, &a, name), cell(run, &b, name))
    };
    let (a, b) = both(&asked[0], "product_id");
    assert_eq!(a, b, "same");
    let (a, b) = both(&asked[1], "product_id");
    assert_ne!(a, b, "different");
    let (a, b) = both(&asked[2], "group_id");
    assert_eq!(a, b, "fits");
    let (a, b) = both(&asked[2], "confidence");
    let (a, b): (f64, f64) = (a.parse().unwrap(), b.parse().unwrap());
    let before: f64 = cell(demo(), &names(&asked[2]).0, "confidence").parse().unwrap();
    assert!(
        a >= 0.98 * b && a > before,
        "confidence {a} beside {b}, {before} before"
    );
    let (a, b) = both(&asked[3], "group_id");
    assert_ne!(a, b, "does not fit");
    for row in &asked {
        let evidence = cell(run, &names(row).0, "evidence");
        assert!(evidence.contains("decided by a person on 2026-11-20: "), "{evidence}");
        assert!(evidence.contains("(held side by side, bench 2)"), "{evidence}");
    }
    let open = rows(run, "review.csv");
    for row in &asked {
        let same = |other: &&csv::StringRecord| {
            ["asked", "offer_a", "offer_b"]
                .iter()
                .all(|name| other[place(name)] == row[place(name)])
        };
        assert!(!open.iter().any(|other| same(&other)), "asked again: {row:?}");
    }
    samefit(&["explain", "--run", run, &names(&asked[0]).0, &names(&asked[0]).1])
        .with_code(0)
        .printing("Together: the very same part")
        .printing("decided by a person on 2026-11-20");
}

#[test]
fn grade_tells_how_true_the_probabilities_were_that_a_person_decided_on() {
    let home = bench();
    let file = write(home.path(), "answers.csv", answered_sheet().0);
    let told = samefit(&["grade", "--decisions", text(&file), demo(), "--json"])
        .with_code(0)
        .json();
    let told = &told["decisions"];
    assert_eq!((&told["judged"], &told["in_the_run"]), (&4.into(), &4.into()));
    assert!(
        told["followed"].as_u64().unwrap() < 4,
        "the demo was built without these decisions"
    );
    assert_eq!(told["decisions"]["does not fit"], 1);
    samefit(&["grade", "--decisions", text(&file), demo()])
        .with_code(0)
        .printing("The probability before the decision")
        .printing("Brier score");
    samefit(&["grade", demo()]).with_code(2).saying("--truth");
}

#[test]
fn answering_the_sheet_truthfully_makes_the_whole_run_better() {
    let home = bench();
    let truth = truth_of_offers();
    let place = |name: &str| column(demo(), "review.csv", name);
    let mut sheet = String::from("decision,offer_a,offer_b\n");
    for row in rows(demo(), "review.csv").iter().take(60) {
        let other = row[place("offer_b")].split(" | ").next().unwrap().to_string();
        let (Some(a), Some(b)) = (truth.get(&row[place("offer_a")]), truth.get(&other)) else {
            continue;
        };
        let answer = match (row[place("asked")].starts_with("Are"), a.0 == b.0, a.1 == b.1) {
            (true, true, _) => "same",
            (true, false, _) => "different",
            (false, _, true) => "fits",
            (false, _, false) => "does not fit",
        };
        let _ = writeln!(sheet, "{answer},\"{}\",\"{other}\"", &row[place("offer_a")]);
    }
    let file = write(home.path(), "answers.csv", sheet);
    let out = home.path().join("run");
    build_demo(&demo_lists(), &out, &["--quiet", "--decisions", text(&file)]).with_code(0);
    let figures = |run: &str| {
        let known = "input-samples/known-answers.csv";
        let grade = samefit(&["grade", "--truth", known, run, "--json"]).with_code(0).json();
        [
            "/products/b_cubed/f1",
            "/groups/pairwise/f1",
            "/groups/b_cubed/f1",
            "/plain/brier",
        ]
        .map(|path| grade.pointer(path).and_then(serde_json::Value::as_f64).unwrap())
    };
    let (before, after) = (figures(demo()), figures(text(&out)));
    for figure in 0..3 {
        assert!(after[figure] >= before[figure], "{before:?} became {after:?}");
    }
    // squared errors stay where they were: a few dozen answers also move what the model learns of other lines
    assert!(after[3] < before[3] * 1.02, "{before:?} became {after:?}");
}

/// True product and fit group of the demo's offers that are named by supplier and number alone.
fn truth_of_offers() -> BTreeMap<String, (String, String)> {
    let mut reader = csv::Reader::from_path("input-samples/known-answers.csv").unwrap();
    let known: BTreeMap<(String, String), (String, String)> = reader
        .records()
        .map(|row| row.unwrap())
        .map(|row| {
            (
                (row[0].to_string(), row[1].to_string()),
                (row[4].to_string(), row[5].to_string()),
            )
        })
        .collect();
    let place = |name: &str| column(demo(), "crossref.csv", name);
    let offers = by_name(demo(), "crossref.csv", ["supplier", "supplier_sku"]);
    let of = |row: &csv::StringRecord| {
        (
            row[place("source_file")].to_string(),
            row[place("source_line")].to_string(),
        )
    };
    offers
        .into_iter()
        .filter_map(|(name, row)| Some((name, known.get(&of(&row))?.clone())))
        .collect()
}
