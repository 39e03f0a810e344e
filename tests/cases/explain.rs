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

/// A question of the demo's review sheet about two offers of two products, both named by supplier and number.
fn doubtful_pair() -> (String, String) {
    let place = |name: &str| column(demo(), "review.csv", name);
    let offers = rows(demo(), "crossref.csv");
    let product = column(demo(), "crossref.csv", "product_id");
    let product_of = |named: &str| {
        offers
            .iter()
            .find(|row| name(row) == named)
            .map(|row| row[product].to_string())
    };
    let table = rows(demo(), "review.csv");
    let pairs = table.iter().filter(|row| row[place("asked")].starts_with("Are"));
    let mut named = pairs.map(|row| (row[place("offer_a")].to_string(), row[place("offer_b")].to_string()));
    named
        .find(|(a, b)| {
            let both = (product_of(a), product_of(b));
            both.0.is_some() && both.1.is_some() && both.0 != both.1
        })
        .unwrap()
}

#[test]
fn two_offers_are_named_one_after_the_other_and_told_apart_part_by_part() {
    let (a, b) = doubtful_pair();
    samefit(&["explain", "--run", demo(), &a, &b])
        .with_code(0)
        .printing("Two products")
        .printing("Held against each other")
        .printing("numbers")
        .printing("wording")
        .printing("rivals")
        .printing("to 1)")
        .printing("Claim by claim:");
    let told = samefit(&["explain", "--run", demo(), &a, &b, "--json"])
        .with_code(0)
        .json();
    assert_eq!(told["relation"]["how"], "two products");
    let parts = told["parts"].as_array().unwrap();
    assert_eq!(parts.len(), 5);
    assert!(parts.iter().all(|part| !part["words"].as_str().unwrap().is_empty()));
    assert!(
        told["claims"]
            .as_array()
            .unwrap()
            .iter()
            .any(|claim| claim["attribute"] == "part")
    );
}

#[test]
fn claims_of_two_offers_agree_or_contradict_with_figures() {
    let place = |name: &str| column(demo(), "crossref.csv", name);
    let circle = |row: &csv::StringRecord| row[place("bolt_circle_mm")].parse::<f64>().ok();
    let table = rows(demo(), "crossref.csv");
    let starters = || table.iter().filter(|row| &row[place("part_kind")] == "recoil-starter");
    let one = starters().find(|row| circle(row).is_some()).unwrap();
    let far = |row: &&csv::StringRecord| circle(row).is_some_and(|mm| (mm - circle(one).unwrap()).abs() > 5.0);
    let two = starters().find(far).unwrap();
    let told = samefit(&["explain", "--run", demo(), &line(one), &line(two), "--json"])
        .with_code(0)
        .json();
    let claims = told["claims"].as_array().unwrap();
    let claim = claims.iter().find(|claim| claim["attribute"] == "bolt circle").unwrap();
    assert_eq!(claim["verdict"], "differs");
    let words = claim["words"].as_str().unwrap();
    assert!(words.contains("mm apart") && words.contains("0.6 mm"), "{words}");
}

#[test]
fn offers_of_a_product_that_were_not_linked_are_joined_by_a_chain() {
    let product = column(demo(), "crossref.csv", "product_id");
    let table = rows(demo(), "crossref.csv");
    let mut members: std::collections::BTreeMap<&str, Vec<&csv::StringRecord>> = std::collections::BTreeMap::new();
    for row in &table {
        members.entry(&row[product]).or_default().push(row);
    }
    let largest = members.values().max_by_key(|rows| rows.len()).unwrap();
    let pairs = (0..largest.len()).flat_map(|i| (i + 1..largest.len()).map(move |j| (i, j)));
    for (i, j) in pairs.take(40) {
        let (a, b) = (line(largest[i]), line(largest[j]));
        let told = samefit(&["explain", "--run", demo(), &a, &b, "--json"])
            .with_code(0)
            .json();
        assert_eq!(told["same_product"], true);
        let Some(chain) = told["relation"]["chain"].as_array() else {
            continue;
        };
        assert!(chain.len() >= 2, "{chain:?}");
        assert!(
            chain.windows(2).all(|hops| hops[0]["to"] == hops[1]["from"]),
            "{chain:?}"
        );
        samefit(&["explain", "--run", demo(), &a, &b])
            .printing("other offers of the product join them")
            .printing("as strong as its weakest link");
        return;
    }
}

#[test]
fn an_offer_is_found_by_its_makers_number_and_one_line_is_no_pair() {
    let place = |name: &str| column(demo(), "crossref.csv", name);
    let table = rows(demo(), "crossref.csv");
    let row = table.iter().find(|row| !row[place("mpn")].is_empty()).unwrap();
    let number = row[place("mpn")].to_string();
    let ended = samefit(&["explain", "--run", demo(), &number]);
    if ended.code == 0 {
        ended.printing("Fit group");
    } else {
        ended.with_code(2).saying("stands for");
    }
    samefit(&["explain", "--run", demo(), &line(row), &line(row)])
        .with_code(2)
        .saying("both names lead to one line");
    samefit(&["explain", "--run", demo(), "a:1", "b:2", "c:3"])
        .with_code(2)
        .saying("more than two");
}

#[test]
fn what_to_measure_names_the_tool_and_a_bolt_circle_says_how() {
    let measure = column(demo(), "crossref.csv", "measure_first");
    let holes = column(demo(), "crossref.csv", "bolt_holes");
    let table = rows(demo(), "crossref.csv");
    let mut seen = std::collections::BTreeSet::new();
    for row in table.iter().filter(|row| !row[measure].is_empty()) {
        let words = &row[measure];
        let named = ["count", "plate", "callipers", "gauge", "picture"]
            .iter()
            .any(|tool| words.contains(tool));
        assert!(named, "{words}");
        assert!(!(words.contains("count them") && !row[holes].is_empty() && words.contains("callipers")));
        seen.insert(words.to_string());
    }
    assert!(seen.len() >= 2, "{seen:?}");
}
