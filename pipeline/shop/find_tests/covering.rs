//! Assemblies answer for starters and shrouds; a starter answers for no shroud.

use super::{answered, skus, words};
use crate::normalise::kind::KindId;
use crate::shop::answer::Compared;
use crate::shop::need::Question;

#[test]
fn an_assembly_that_covers_the_starter_and_costs_less_is_said() {
    let answer = words("212cc pull starter");
    let covering = answer.sections[0].covering.as_ref().unwrap();
    assert_eq!(covering.price, Compared::Cheaper);
    assert_eq!(skus(&covering.offers), ["N-007"]);
}

#[test]
fn a_dearer_assembly_is_said_to_be_no_cheaper() {
    let answer = words("390cc pull starter");
    assert_eq!(
        answer.sections[0].covering.as_ref().unwrap().price,
        Compared::NotCheaper
    );
}

#[test]
fn an_assembly_answers_for_a_shroud_that_nobody_surely_sells() {
    let answer = answered(Question {
        kind: Some(KindId::SHROUD),
        code: Some("188F".into()),
        ..Question::default()
    });
    let section = &answer.sections[0];
    assert_eq!(section.sure.in_all, 0);
    let covering = section.covering.as_ref().unwrap();
    assert_eq!(
        (covering.price, skus(&covering.offers)),
        (Compared::NothingElse, vec!["N-009"])
    );
}

#[test]
fn a_starter_never_answers_for_a_shroud() {
    let answer = answered(Question {
        kind: Some(KindId::SHROUD),
        cc: Some("196".into()),
        ..Question::default()
    });
    let section = &answer.sections[0];
    assert!(section.lead.is_none());
    let offered = section
        .sure
        .shown
        .iter()
        .chain(section.covering.iter().flat_map(|covering| &covering.offers.shown));
    assert!(
        offered
            .map(|offered| offered.row.part_kind.as_str())
            .all(|kind| kind != "recoil-starter")
    );
    assert!(section.nearest.is_some());
}

/// A need for each kind, by the facts of some group or by words.
fn any_need() -> impl proptest::strategy::Strategy<Value = Question> {
    use proptest::prelude::*;
    let kind = proptest::sample::select(KindId::IN_SCOPE.to_vec());
    let cc = proptest::option::of(proptest::sample::select(vec![
        "163", "196cc", "212", "389", "420", "250",
    ]));
    let code = proptest::option::of(proptest::sample::select(vec!["168F", "188F", "170F-2"]));
    let holes = proptest::option::of(proptest::sample::select(vec![3u8, 4]));
    (kind, cc, code, holes).prop_map(|(kind, cc, code, holes)| Question {
        kind: Some(kind),
        cc: cc.map(str::to_string),
        code: code.map(str::to_string),
        holes,
        ..Question::default()
    })
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
    #[test]
    fn an_assembly_answers_for_starter_and_shroud_and_never_the_other_way(question in any_need()) {
        let kind = question.kind;
        let answer = answered(question);
        for section in &answer.sections {
            proptest::prop_assert_eq!(Some(section.kind), kind);
            let asked = section.kind.fixed_name();
            for offered in section.sure.shown.iter().chain(&section.doubtful.shown) {
                proptest::prop_assert_eq!(Some(offered.row.part_kind.as_str()), asked);
            }
            let covering = section.covering.iter().flat_map(|covering| &covering.offers.shown);
            for offered in covering {
                proptest::prop_assert_eq!(offered.row.part_kind.as_str(), "assembly");
                proptest::prop_assert!(section.kind != KindId::ASSEMBLY);
            }
        }
    }
}
