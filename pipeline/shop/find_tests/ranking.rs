//! Which group leads, and in which order its offers stand.

use super::{answer_from, answer_within, lead, no_limits, skus, starters, tables, words};
use crate::normalise::kind::KindId;
use crate::shop::answer::Limits;
use crate::shop::need::Question;
use rust_decimal::Decimal;

#[test]
fn sure_offers_come_cheapest_first_and_doubtful_ones_apart() {
    let answer = words("212cc pull starter 3 hole");
    assert_eq!(answer.sections.len(), 1);
    let section = &answer.sections[0];
    assert_eq!(lead(&answer, section), "RS-A");
    assert_eq!(skus(&section.sure), ["N-003", "N-002", "N-005"]);
    assert_eq!(skus(&section.doubtful), ["N-004"]);
}

#[test]
fn a_band_that_owes_its_end_to_one_line_does_not_lead() {
    let mut tables = tables();
    tables.groups[1].displacement_cc = "200-420".into();
    for (row, cell) in tables
        .crossref
        .iter_mut()
        .zip(["163;212", "196;212", "212", "212", "390"])
    {
        row.displacement_cc = cell.into();
    }
    let answer = answer_from(
        &tables,
        Question {
            words: "212cc pull starter".into(),
            ..Question::default()
        },
    );
    let section = &answer.sections[0];
    assert_eq!(lead(&answer, section), "RS-A");
    assert!(section.lead.as_ref().unwrap().share > 0.9);
}

#[test]
fn a_price_of_zero_is_not_the_cheapest() {
    let mut tables = tables();
    tables.crossref[1].landed_price = Some(Decimal::ZERO);
    let answer = answer_from(
        &tables,
        Question {
            words: "212cc pull starter".into(),
            ..Question::default()
        },
    );
    assert_eq!(skus(&answer.sections[0].sure)[0], "N-002");
}

#[test]
fn a_quantity_is_ranked_by_what_ordering_it_costs() {
    let mut tables = tables();
    // 5 USD a piece everywhere; one comes in tens, one has a break
    tables.crossref[1].order_multiple = Some(10);
    tables.crossref[1].landed_price = "4".parse().ok();
    tables.crossref[3].price_breaks = "3:2.00".into();
    tables.crossref[3].landed_price = "4".parse().ok();
    let limits = Limits {
        quantity: 3,
        ..no_limits()
    };
    let section = &answer_within(&tables, starters(), &limits).sections[0];
    assert_eq!(skus(&section.sure), ["N-005", "N-002", "N-003"]);
    let costs: Vec<String> = section
        .sure
        .shown
        .iter()
        .map(|offered| offered.delivered.unwrap().normalize().to_string())
        .collect();
    assert_eq!(costs, ["4.8", "12", "40"]);
}

#[test]
fn an_engine_that_no_group_serves_is_answered_with_the_nearest_band() {
    let answer = words("pull starter 260cc");
    let section = &answer.sections[0];
    assert!(section.lead.is_none() && section.sure.in_all == 0);
    assert_eq!(answer.groups[section.nearest.as_ref().unwrap().group].group_id, "RS-A");
}

#[test]
fn without_a_kind_every_kind_of_the_run_is_answered_for() {
    let answer = words("for engine 188F");
    let kinds: Vec<KindId> = answer.sections.iter().map(|section| section.kind).collect();
    assert_eq!(kinds, [KindId::RECOIL_STARTER, KindId::SHROUD, KindId::ASSEMBLY]);
}

#[test]
fn only_as_many_as_are_shown_are_read_in_full() {
    let limits = Limits { most: 1, ..no_limits() };
    let section = &answer_within(&tables(), starters(), &limits).sections[0];
    assert_eq!((section.sure.shown.len(), section.sure.in_all), (1, 3));
    assert_eq!(section.sure.shown[0].row.description, "Starter 168F");
}
