//! The answer of `samefit find` for machines.

use super::cost_words::cost_json;
use super::find_page;
use super::machine::row_json;
use crate::publish::column::{money, rounded};
use crate::shop::answer::{Answer, OfferList, Section};
use crate::shop::matching::Match;
use crate::shop::need::Need;
use crate::shop::shelf::Offered;
use crate::trade::cautions::{BEFORE_ORDERING, LIMIT, SAFETY};
use compact_str::CompactString;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// The whole answer: what was understood, the numbers found, a section for each kind, and the cautions.
pub(super) fn answer_json(need: &Need, answer: &Answer, quantity: u32) -> Value {
    let numbers: Vec<Value> = answer
        .numbers
        .iter()
        .map(|number| {
            json!({
                "asked": number.asked.as_str(), "spelled": words(&number.spelled), "products": words(&number.products),
                "groups": words(&number.groups), "nearest": number.nearest,
                "found_in": number.place.map(find_page::understood::place_word),
            })
        })
        .collect();
    let sections: Vec<Value> = answer
        .sections
        .iter()
        .map(|section| section_json(section, answer, quantity))
        .collect();
    let cautions: Vec<Value> = SAFETY
        .iter()
        .map(|caution| json!({"cue": caution.cue, "wording": caution.wording}))
        .collect();
    json!({
        "understood": find_page::understood::understood(need),
        "not_understood": need.leftover.iter().map(|word| word.as_str()).collect::<Vec<_>>(),
        "codes_not_in_run": answer.unknown_codes.iter().map(|code| code.as_str()).collect::<Vec<_>>(),
        "numbers": numbers, "quantity": quantity, "answers": sections,
        "before_ordering": BEFORE_ORDERING, "cautions": cautions, "limit": LIMIT,
    })
}

/// The answer for one kind of part.
fn section_json(section: &Section, answer: &Answer, quantity: u32) -> Value {
    let matched = |found: &Match| {
        let facts: Vec<Value> = found
            .judged
            .iter()
            .map(|fact| json!({"fact": fact.fact, "verdict": fact.verdict.word(), "words": fact.words}))
            .collect();
        json!({"group": row_json(&answer.groups[found.group]), "share": rounded(found.share, 4), "facts": facts})
    };
    let rows = |list: &OfferList| {
        let shown = list.shown.iter().map(|offered| offered_json(offered, answer, quantity));
        shown.collect::<Vec<_>>()
    };
    json!({
        "asked_for": section.kind.fixed_name(),
        "group": section.lead.as_ref().map(matched),
        "also_possible": section.possible.iter().map(matched).collect::<Vec<_>>(),
        "tells_apart": section.tells_apart,
        "nearest": section.nearest.as_ref().map(matched),
        "very_part": rows(&section.very), "very_part_in_all": section.very.in_all,
        "equivalents": rows(&section.sure), "equivalents_in_all": section.sure.in_all,
        "doubtful": rows(&section.doubtful), "doubtful_in_all": section.doubtful.in_all,
        "left_out": find_page::left_out_words(section.left_out),
        "covered_by_assembly": section.covering.as_ref().map(|covering| json!({
            "groups": covering.groups.iter().map(|group| group.as_str()).collect::<Vec<_>>(),
            "price": find_page::compared_word(covering.price), "offers": rows(&covering.offers),
            "offers_in_all": covering.offers.in_all,
        })),
        "repair_instead": section.repair.as_ref().map(|repair| json!({
            "lines": repair.lines.iter().map(|line| json!({
                "line": row_json(&line.row), "probability": rounded(line.probability, 4),
                "saves": line.saves.map(money),
            })).collect::<Vec<_>>(),
            "lines_that_name_no_engine": repair.unsaid,
        })),
    })
}

/// A row, with what it costs part by part.
fn offered_json(offered: &Offered, answer: &Answer, quantity: u32) -> Value {
    let mut value = row_json(&offered.row);
    let cost = answer.counter.cost(&offered.row, quantity);
    if let Value::Object(cells) = &mut value {
        cells.insert("delivered".into(), json!(offered.delivered.map(money)));
        let rates = &answer.counter.rates;
        let parts = cost.map(|cost| cost_json(&cost, &offered.row.currency, rates));
        cells.insert("cost".into(), json!(parts));
    }
    value
}

fn words(set: &BTreeSet<CompactString>) -> Vec<&str> {
    set.iter().map(CompactString::as_str).collect()
}
