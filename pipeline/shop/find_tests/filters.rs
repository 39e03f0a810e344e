//! Offers that are left out by what was asked of supplier, time and stock.

use super::{answer_within, no_limits, skus, starters, tables};
use crate::shop::answer::{Limits, StockWanted};

#[test]
fn only_offers_of_the_supplier_asked_for_are_shown() {
    let limits = Limits {
        supplier: Some("NOR".into()),
        ..no_limits()
    };
    let answer = answer_within(&tables(), starters(), &limits);
    assert_eq!(skus(&answer.sections[0].sure), ["N-002"]);
    assert_eq!(answer.sections[0].left_out.supplier, 2);
}

#[test]
fn what_a_list_does_not_say_passes_no_filter_and_is_counted() {
    let mut tables = tables();
    tables.crossref[0].lead_time_days = Some(3);
    tables.crossref[1].lead_time_days = Some(9);
    tables.crossref[0].stock = "yes".into();
    tables.crossref[1].stock = "4".into();
    let within = Limits {
        deliver_within: Some(5),
        ..no_limits()
    };
    let section = &answer_within(&tables, starters(), &within).sections[0];
    assert_eq!(skus(&section.sure), ["N-002"]);
    assert_eq!((section.left_out.late, section.left_out.time_unknown), (1, 2));
    let five_in_stock = Limits {
        stock: StockWanted::InStock,
        quantity: 5,
        ..no_limits()
    };
    let section = &answer_within(&tables, starters(), &five_in_stock).sections[0];
    assert_eq!(
        skus(&section.sure),
        ["N-002"],
        "some is taken for enough, four is not five"
    );
    assert_eq!((section.left_out.not_there, section.left_out.stock_unknown), (1, 2));
}
