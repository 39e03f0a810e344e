//! `samefit plan` on the demo run: a list of needs, and the orders that it comes to.

use crate::helpers::{bench, demo, names_in, samefit, text, write};
use serde_json::Value;

const NEEDS: &str = "input-samples/needs.csv";

fn planned(needs: &str, further: &[&str]) -> Value {
    let home = bench();
    let file = write(home.path(), "needs.csv", needs);
    let mut arguments = vec!["plan", demo(), text(&file), "--json"];
    arguments.extend(further);
    samefit(&arguments).with_code(0).json()
}

fn amount(value: &Value) -> f64 {
    value.as_str().unwrap().parse().unwrap()
}

#[test]
fn the_sample_needs_are_planned_and_what_cannot_be_is_named() {
    samefit(&["plan", demo(), NEEDS])
        .with_code(0)
        .printing("6 of 8 needs planned")
        .printing("optimal, gap 0.00 %: nothing is cheaper")
        .printing("cheapest line by line")
        .printing("Not planned:")
        .printing("asks for a part of the kind `rope`")
        .printing("no fit group of this run answers it")
        .printing("Before ordering");
}

#[test]
fn the_plan_costs_no_more_than_buying_line_by_line_and_its_parts_make_its_sum() {
    let plan = samefit(&["plan", demo(), NEEDS, "--json"]).with_code(0).json();
    assert_eq!(plan["status"], "optimal");
    assert!(amount(&plan["total"]) <= amount(&plan["line_by_line"]["total"]));
    let orders = plan["orders"].as_array().unwrap();
    let sum: f64 = orders.iter().map(|order| amount(&order["cost"]["total"])).sum();
    assert!((sum - amount(&plan["total"])).abs() < 1e-6);
    for order in orders {
        assert_eq!(order["shipping_assumed"], false);
        for line in order["lines"].as_array().unwrap() {
            assert!(line["confidence"].as_f64().unwrap() >= 0.8, "{line}");
            assert!(
                !line["answers"].as_array().unwrap().is_empty(),
                "{line} answers nothing"
            );
        }
    }
}

#[test]
fn the_same_needs_give_the_same_plan() {
    let once = samefit(&["plan", demo(), NEEDS, "--json"]).with_code(0);
    let again = samefit(&["plan", demo(), NEEDS, "--json", "--threads", "1"]).with_code(0);
    assert_eq!(once.stdout, again.stdout);
}

#[test]
fn order_lists_are_written_whole_one_per_supplier() {
    let home = bench();
    let out = home.path().join("order");
    samefit(&["plan", demo(), NEEDS, "--out", text(&out)])
        .with_code(0)
        .printing("Order lists written to");
    let names = names_in(&out);
    assert!(
        names
            .iter()
            .any(|name| name.starts_with("order-") && name.ends_with(".csv")),
        "{names:?}"
    );
    let mut all = csv::Reader::from_path(out.join("plan.csv")).unwrap();
    let lines = all.records().count();
    let orders = names.iter().filter(|name| name.starts_with("order-"));
    let apart: usize = orders
        .map(|name| csv::Reader::from_path(out.join(name)).unwrap().records().count())
        .sum();
    assert_eq!(lines, apart);
    // the next plan takes its place, and nothing of the user's is ever in the way
    samefit(&["plan", demo(), NEEDS, "--out", text(&out)]).with_code(0);
    write(&out, "mine.txt", "x");
    samefit(&["plan", demo(), NEEDS, "--out", text(&out)])
        .with_code(2)
        .saying("mine.txt");
    assert!(out.join("mine.txt").exists());
    samefit(&["plan", demo(), NEEDS, "--out", demo()]).with_code(2);
}

#[test]
fn limits_of_a_line_go_before_those_of_the_command() {
    let plan = planned(
        "need,quantity,deliver_within\npull starter 168F 3 holes 118 mm bolt circle,2,2\n",
        &["--deliver-within", "30"],
    );
    let lines: Vec<&Value> = plan["orders"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|order| order["lines"].as_array().unwrap())
        .collect();
    assert!(!lines.is_empty());
    assert!(plan["needs"][0]["left_out"]["delivered too late"].as_u64().unwrap() > 0);
}

#[test]
fn a_supplier_whose_shipping_is_not_known_is_left_out_and_counted_unless_a_sum_is_assumed() {
    let needs = "need,quantity\npull starter 168F 3 holes 118 mm bolt circle,1\n";
    let left_out = "of suppliers whose shipping is not known";
    let strict = planned(needs, &[]);
    assert!(strict["needs"][0]["left_out"][left_out].as_u64().unwrap() > 0);
    let assumed = planned(needs, &["--assume-shipping", "0"]);
    assert_eq!(assumed["needs"][0]["left_out"][left_out], Value::Null);
    assert!(amount(&assumed["total"]) <= amount(&strict["total"]));
}

#[test]
fn a_quantity_that_no_stock_holds_is_named_and_the_rest_is_planned() {
    let group = "pull starter 168F 3 holes 118 mm bolt circle";
    let plan = planned(
        &format!("need,quantity,min_confidence\n{group},1,\n{group},90000,0.9999\n"),
        &[],
    );
    let reason = plan["needs"][1]["not_planned"].as_str();
    // a supplier that only says it has some may have as many
    let said = ["stock", "not sure enough"];
    assert!(
        reason.is_none_or(|reason| said.iter().any(|word| reason.contains(word))),
        "{reason:?}"
    );
    assert_eq!(plan["needs"][0]["not_planned"], Value::Null);
}

#[test]
fn a_vague_need_is_not_ordered_on_a_guess() {
    let plan = planned("need\npull starter\nblue thing\n212cc\n", &[]);
    let reason = |at: usize| plan["needs"][at]["not_planned"].as_str().unwrap().to_string();
    assert!(reason(0).contains("not settled"), "{}", reason(0));
    assert!(reason(1).contains("nothing to search by"), "{}", reason(1));
    assert!(reason(2).contains("say which"), "{}", reason(2));
    assert_eq!(plan["status"], "nothing to plan");
    assert_eq!(plan["total"], "0.00");
}

#[test]
fn a_slip_in_the_list_of_needs_is_named_with_its_line() {
    let home = bench();
    let wrong = |content: &str| {
        let file = write(home.path(), "needs.csv", content);
        samefit(&["plan", demo(), text(&file)])
            .with_code(2)
            .saying("hint:")
            .stderr
    };
    assert!(wrong("need,quantity\nx,none\n").contains("line 2: the quantity is `none`"));
    assert!(wrong("need,quantiy\nx,1\n").contains("unknown column `quantiy`"));
    samefit(&["plan", demo(), "no/such/needs.csv"])
        .with_code(2)
        .saying("no/such/needs.csv");
}
