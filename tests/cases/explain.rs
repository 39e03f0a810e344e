//! `samefit explain`: a text claim by claim, an offer of the demo run, two offers side by side.

use crate::helpers::{column, demo, rows, samefit};

const LISTING: &str = "Recoil starter 168F 196cc 3 hole 118mm PCD M6 SF-28400-KR2 grumblewort";

/// `supplier:number` of a row of the cross-reference that is named once.
fn name(row: &csv::StringRecord) -> String {
    let place = |name: &str| column(demo(), "crossref.csv", name);
    format!("{}:{}", &row[place("supplier")], &row[place("supplier_sku")])
}

/// `file:line` of a row.
fn line(row: &csv::StringRecord) -> String {
    let place = |name: &str| column(demo(), "crossref.csv", name);
    format!("{}:{}", &row[place("source_file")], &row[place("source_line")])
}

#[test]
fn a_text_is_told_claim_by_claim() {
    samefit(&["explain", LISTING])
        .with_code(0)
        .printing("Kind: recoil starter")
        .printing("196 cc")
        .printing("118 mm")
        .printing("stated")
        .printing("decoded")
        .printing("SF28400KR2")
        .printing("Not understood: grumblewort");
}

#[test]
fn a_text_is_told_as_json_with_units_and_provenance() {
    let told = samefit(&["explain", LISTING, "--json"]).with_code(0).json();
    assert_eq!(told["kind"]["name"], "recoil-starter");
    let claims = told["claims"].as_array().unwrap();
    let circle = claims.iter().find(|claim| claim["attribute"] == "bolt-circle").unwrap();
    assert_eq!(
        (&circle["unit"], &circle["provenance"]),
        (&"mm".into(), &"stated".into())
    );
    assert_eq!(told["not_understood"][0], "grumblewort");
}

#[test]
fn a_rope_for_a_starter_is_a_rope() {
    let told = samefit(&["explain", "rope for recoil starter 168F", "--json"])
        .with_code(0)
        .json();
    assert_eq!(told["kind"]["name"], "rope");
}

#[test]
fn an_offer_of_a_run_is_told_with_its_evidence() {
    let row = &rows(demo(), "crossref.csv")[0];
    for arguments in [["--offer", &name(row)], ["--line", &line(row)]] {
        samefit(&["explain", "--run", demo(), arguments[0], arguments[1]])
            .with_code(0)
            .printing(&line(row))
            .printing("Fit group")
            .printing("confidence")
            .printing("Evidence");
    }
    let told = samefit(&["explain", "--run", demo(), "--line", &line(row), "--json"])
        .with_code(0)
        .json();
    assert_eq!(told["offers"][0]["offer"]["group_id"], &row[0]);
    assert!(!told["offers"][0]["evidence"].as_array().unwrap().is_empty());
}

#[test]
fn two_offers_of_a_product_are_said_to_be_together() {
    let product = column(demo(), "crossref.csv", "product_id");
    let table = rows(demo(), "crossref.csv");
    let (one, two) = table
        .iter()
        .enumerate()
        .find_map(|(at, row)| {
            Some((
                row,
                table[at + 1..].iter().find(|other| other[product] == row[product])?,
            ))
        })
        .unwrap();
    samefit(&["explain", "--run", demo(), "--line", &line(one), "--with", &line(two)])
        .with_code(0)
        .printing("Together: the very same part");
}

#[test]
fn two_offers_of_different_groups_are_told_apart_by_what_their_groups_say() {
    let place = |name: &str| column(demo(), "crossref.csv", name);
    let (size, family) = (place("size_class"), place("family"));
    let table = rows(demo(), "crossref.csv");
    let of = |class: &str| {
        table
            .iter()
            .find(|row| &row[size] == class && row[family].starts_with("industrial"))
            .unwrap()
    };
    let (small, large) = (of("small"), of("large"));
    samefit(&[
        "explain",
        "--run",
        demo(),
        "--line",
        &line(small),
        "--with",
        &line(large),
    ])
    .with_code(0)
    .printing("Two products")
    .printing("Do not interchange")
    .printing("displacement cc:");
    let told = samefit(&[
        "explain",
        "--run",
        demo(),
        "--line",
        &line(small),
        "--with",
        &line(large),
        "--json",
    ])
    .json();
    assert_eq!(told["same_group"], false);
}

#[test]
fn a_line_set_aside_says_as_what() {
    let row = &rows(demo(), "set-aside.csv")[0];
    let name = format!("{}:{}", &row[0], &row[1]);
    samefit(&["explain", "--run", demo(), "--line", &name])
        .with_code(0)
        .printing("set aside: a ");
}

#[test]
fn a_rejected_line_says_why() {
    let table = rows(demo(), "rejects.csv");
    let row = table.iter().find(|row| !row[1].is_empty()).unwrap();
    let name = format!("{}:{}", &row[0], &row[1]);
    samefit(&["explain", "--run", demo(), "--line", &name])
        .with_code(0)
        .printing("rejected: ")
        .printing(&row[3]);
}

#[test]
fn an_offer_that_is_not_there_is_wrong_usage() {
    samefit(&["explain", "--run", demo(), "--offer", "nobody:1"])
        .with_code(2)
        .saying("nobody:1")
        .saying("hint:");
    samefit(&["explain", "--run", demo(), "--offer", "nobody"])
        .with_code(2)
        .saying("SUPPLIER:NUMBER");
    samefit(&["explain", "--run", demo()])
        .with_code(2)
        .saying("no offer of the run was named");
    samefit(&["explain", " "]).with_code(2).saying("the text is empty");
}
