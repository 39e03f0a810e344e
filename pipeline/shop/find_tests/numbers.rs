//! Numbers asked for, in any spelling: of parts, of what they replace, of groups.

use super::{answer_from, lead, number, skus, tables, words};
use crate::shop::need::Question;
use crate::shop::numbers::Place;

#[test]
fn a_number_is_found_whatever_its_spelling() {
    for spelled in ["SF-28400-KR2", "sf28400kr2", "SF 284OO KR2"] {
        let answer = number(spelled);
        assert_eq!(answer.numbers[0].place, Some(Place::Number), "{spelled}");
        assert_eq!(lead(&answer, &answer.sections[0]), "RS-A");
        assert_eq!(skus(&answer.sections[0].sure).len(), 3);
    }
}

#[test]
fn a_suppliers_own_number_is_found_among_the_words() {
    let answer = words("N-006");
    assert_eq!(lead(&answer, &answer.sections[0]), "RS-B");
}

#[test]
fn a_replaced_number_leads_to_the_part_that_replaces_it() {
    let answer = number("old 7771");
    assert_eq!(answer.numbers[0].place, Some(Place::Replaced));
    assert_eq!(lead(&answer, &answer.sections[0]), "RS-B");
}

#[test]
fn a_number_that_stands_nowhere_is_answered_with_the_nearest() {
    let answer = number("SF-28400-KR9");
    assert_eq!(answer.numbers[0].place, None);
    assert_eq!(answer.numbers[0].nearest, ["SF-28400-KR2"]);
    assert!(answer.sections.is_empty());
}

#[test]
fn a_group_is_found_by_its_id() {
    let mut tables = tables();
    for group in &mut tables.groups {
        group.group_id = format!("{}BCDE", group.group_id).into();
        group.covers_groups = String::new();
    }
    for row in &mut tables.crossref {
        row.group_id = format!("{}BCDE", row.group_id).into();
    }
    for row in &mut tables.products {
        row.group_id = format!("{}BCDE", row.group_id).into();
    }
    let question = Question {
        words: "rs-bbcde".into(),
        ..Question::default()
    };
    let answer = answer_from(&tables, question);
    assert_eq!(lead(&answer, &answer.sections[0]), "RS-BBCDE");
}
