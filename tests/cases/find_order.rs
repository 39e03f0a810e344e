//! `samefit find` as a buyer uses it: what filters leave out, what a quantity costs, what may mend the old part instead, and
//! how old the rates are.

use super::find::answers;
use crate::helpers::{demo, samefit};
use serde_json::Value;

#[test]
fn filters_leave_out_what_does_not_say_and_count_it() {
    let answer = answers(&[
        "212cc pull starter",
        "--deliver-within",
        "4",
        "--in-stock",
        "--limit",
        "200",
    ]);
    let section = &answer["answers"][0];
    let offers = section["equivalents"].as_array().unwrap();
    assert!(!offers.is_empty());
    for offer in offers {
        assert!(offer["lead_time_days"].as_u64().unwrap() <= 4, "{offer}");
        let stock = offer["stock"].as_str().unwrap();
        assert!(stock != "no" && stock != "0", "{offer}");
    }
    let left_out = section["left_out"].to_string();
    assert!(left_out.contains("without a time of delivery"), "{left_out}");
    samefit(&["find", demo(), "212cc pull starter", "--deliver-within", "4"])
        .with_code(0)
        .printing("Left out by what was asked:");
}

#[test]
fn a_quantity_costs_what_its_smallest_order_costs_part_by_part() {
    let answer = answers(&["212cc pull starter", "--quantity", "7", "--limit", "60"]);
    let offers = answer["answers"][0]["equivalents"].as_array().unwrap();
    let amount = |value: &Value| value.as_str().unwrap().parse::<f64>().unwrap();
    let totals: Vec<f64> = offers.iter().map(|offer| amount(&offer["cost"]["total"])).collect();
    assert!(totals.is_sorted(), "{totals:?}");
    for offer in offers {
        let line = &offer["cost"]["lines"][0];
        let pieces = line["pieces"].as_u64().unwrap();
        let multiple = offer["order_multiple"].as_u64().unwrap_or(1);
        assert!(
            pieces >= 7 && pieces >= offer["minimum_order"].as_u64().unwrap_or(1),
            "{offer}"
        );
        assert_eq!(pieces % multiple, 0, "{offer}");
        let parts = amount(&line["goods"]) + amount(&line["duty"]) + amount(&line["tax"]);
        let parts = parts + amount(&offer["cost"]["shipping"]);
        assert!((parts - amount(&offer["cost"]["total"])).abs() < 1e-6, "{offer}");
    }
    let kinds = |key: &str| offers.iter().filter(|offer| amount(&offer["cost"][key]) > 0.0).count();
    assert!(kinds("shipping") > 0, "no offer of a supplier with shipping terms");
}

#[test]
fn what_may_be_wrong_besides_the_starter_and_what_mends_it_stand_before_an_order() {
    let ended = samefit(&["find", demo(), "212cc pull starter 3 hole"])
        .with_code(0)
        .printing("Before ordering: a stuck starter may not be the fault")
        .printing("Repair instead, from the lines set aside:");
    let answer = answers(&["212cc pull starter 3 hole", "--limit", "300"]);
    let section = &answer["answers"][0];
    let mending: Vec<&Value> = section["repair_instead"]["lines"].as_array().unwrap().iter().collect();
    assert!(!mending.is_empty(), "{}", ended.stdout);
    for line in mending {
        assert!(line["probability"].as_f64().unwrap() >= 0.5);
        let text = line["line"]["description"].as_str().unwrap();
        let among = section["equivalents"].as_array().unwrap();
        assert!(among.iter().all(|offer| offer["description"] != text), "{text}");
    }
    let shroud = answers(&["--kind", "shroud", "--code", "188F"]);
    assert_eq!(
        shroud["answers"][0]["repair_instead"],
        Value::Null,
        "a rope mends no shroud"
    );
}

#[test]
fn old_exchange_rates_are_warned_of_and_change_no_answer() {
    let fresh = samefit(&["find", demo(), "212cc pull starter", "--date", "2026-09-15"]).with_code(0);
    let stale = samefit(&["find", demo(), "212cc pull starter", "--date", "2026-12-01"])
        .with_code(0)
        .saying("the exchange rates of 2026-09-01 are 91 days old")
        .saying("hint:");
    assert_eq!(fresh.stdout, stale.stdout);
    assert_eq!(fresh.stderr, "");
}
