use super::*;
use crate::normalise::claim::Attribute;
use crate::normalise::claim::{Provenance, Value};
use crate::normalise::kind::KindId;
use crate::shop::review::decision::FilePlace;
use crate::shop::review::decision::WarningSort;
use crate::shop::review::test_offers::{Line, offers};
use crate::trade::interval::Interval;

fn decisions(rows: &[(Answer, &str, &str)]) -> Decisions {
    let list = rows.iter().zip(1u64..).map(|((answer, offer, other), line)| Decision {
        answer: *answer,
        offer: (*offer).to_string(),
        others: if *answer == Answer::WrongClaim {
            Vec::new()
        } else {
            other.split(super::super::names::ANY_OF).map(str::to_string).collect()
        },
        claim: if *answer == Answer::WrongClaim {
            (*other).to_string()
        } else {
            String::new()
        },
        note: String::new(),
        date: String::new(),
        stated: None,
        place: FilePlace {
            file: "answers.csv".into(),
            line,
        },
    });
    Decisions { list: list.collect() }
}

fn three() -> Vec<Offer> {
    offers(&[Line::of("north", "A-1"), Line::of("south", "7"), Line::of("east", "9")])
}

fn sorts(resolved: &Resolved) -> Vec<(WarningSort, u64)> {
    resolved
        .warnings
        .iter()
        .map(|warning| (warning.sort, warning.place.line))
        .collect()
}

#[test]
fn decisions_stand_on_the_offers_they_name() {
    let given = decisions(&[
        (Answer::Same, "north:A-1", "south:7"),
        (Answer::DoesNotFit, "east:9", "south:7"),
        (Answer::Same, "south:7", "north:A-1"),
    ]);
    let resolved = given.resolve(&three());
    assert_eq!(resolved.link_words(), [(0, 1, Word::Same)], "said twice counts once");
    let placed = resolved.fit_words();
    assert_eq!(
        (placed.len(), placed[0].offer, placed[0].like, placed[0].fits),
        (1, 2, 1, Fits::Not)
    );
    assert!(resolved.warnings.is_empty());
    assert_eq!(resolved.counts()["decisions_applied"], 2);
}

#[test]
fn a_decision_on_an_offer_that_is_gone_is_kept_and_reported_and_no_fault() {
    let given = decisions(&[
        (Answer::Same, "north:A-1", "west:1"),
        (Answer::Fits, "north:A-1", "west:1 | south:7"),
    ]);
    let resolved = given.resolve(&three());
    assert_eq!(sorts(&resolved), [(WarningSort::Gone, 1)]);
    assert!(!WarningSort::Gone.is_fault());
    assert_eq!(
        resolved.fit_words()[0].like,
        1,
        "of several names the one that is found counts"
    );
    assert_eq!(resolved.decisions.len(), 2);
}

#[test]
fn contradictions_are_told_with_their_lines_and_none_of_them_is_applied() {
    let given = decisions(&[
        (Answer::Same, "north:A-1", "south:7"),
        (Answer::Same, "south:7", "east:9"),
        (Answer::Different, "north:A-1", "east:9"),
    ]);
    let resolved = given.resolve(&three());
    assert!(resolved.link_words().is_empty());
    let expected: Vec<_> = (1..=3).map(|line| (WarningSort::Contradictory, line)).collect();
    assert_eq!(sorts(&resolved), expected);
    let first = &resolved.warnings[0];
    assert!(
        first.message.contains("answers.csv:2") && first.message.contains("answers.csv:3"),
        "{first}"
    );
    assert!(first.to_string().starts_with("answers.csv:1: "));
}

#[test]
fn one_offer_with_two_answers_and_a_part_that_does_not_fit_like_itself_are_contradictions() {
    let given = decisions(&[
        (Answer::Fits, "north:A-1", "south:7"),
        (Answer::DoesNotFit, "north:A-1", "south:7"),
    ]);
    assert!(given.resolve(&three()).standing.is_empty());
    let given = decisions(&[
        (Answer::Same, "north:A-1", "south:7"),
        (Answer::DoesNotFit, "south:7", "north:A-1"),
    ]);
    assert!(given.resolve(&three()).standing.is_empty());
    let given = decisions(&[
        (Answer::Different, "north:A-1", "south:7"),
        (Answer::Fits, "south:7", "north:A-1"),
    ]);
    assert_eq!(
        given.resolve(&three()).standing.len(),
        2,
        "two parts may well interchange"
    );
}

#[test]
fn a_name_that_fits_several_offers_is_not_guessed_between() {
    let lines = offers(&[
        Line::of("north", "A-1").mpn("TV4471A"),
        Line::of("north", "A-1").mpn("TV4472B"),
        Line::of("south", "7"),
    ]);
    let resolved = decisions(&[(Answer::Same, "north:A-1", "south:7")]).resolve(&lines);
    assert_eq!(sorts(&resolved), [(WarningSort::Ambiguous, 1)]);
    assert!(resolved.warnings[0].hint.contains("north:A-1#TV4472B"));
    assert!(resolved.standing.is_empty());
}

#[test]
fn a_wrong_claim_is_left_out_with_what_follows_from_it_and_nothing_else() {
    let cc = |cc: f64| Value::Served(vec![Interval::around(cc, 0.5)]);
    let mut lines = offers(&[
        Line::of("north", "A-1")
            .circle(131.0, "131 mm")
            .claim(
                Attribute::EngineCode,
                Value::Code("168F".into()),
                Provenance::Stated,
                "168f",
            )
            .claim(Attribute::Displacement, cc(163.0), Provenance::Decoded, "168f")
            .claim(Attribute::Displacement, cc(389.0), Provenance::Stated, "389cc"),
        Line::of("south", "7").circle(131.0, "131 mm"),
    ]);
    let given = decisions(&[
        (Answer::WrongClaim, "north:A-1", "bolt-circle 131 MM"),
        (Answer::WrongClaim, "north:A-1", "engine-code 168F"),
    ]);
    given.resolve(&lines).apply(&mut lines);
    let left: Vec<&str> = lines[0].claims.iter().map(|claim| claim.text.as_str()).collect();
    assert_eq!(left, ["389cc"]);
    assert_eq!(lines[1].claims.len(), 1);
}

#[test]
fn a_claim_that_the_supplier_has_mended_since_is_not_left_out() {
    let mut lines = offers(&[Line::of("north", "A-1").circle(118.0, "118 mm")]);
    let resolved = decisions(&[(Answer::WrongClaim, "north:A-1", "bolt-circle 131 mm")]).resolve(&lines);
    resolved.apply(&mut lines);
    assert_eq!(lines[0].claims.len(), 1);
    assert_eq!(sorts(&resolved), [(WarningSort::Gone, 1)]);
    let resolved = decisions(&[(Answer::WrongClaim, "north:A-1", "circumference 9")]).resolve(&lines);
    assert_eq!(sorts(&resolved), [(WarningSort::Unreadable, 1)]);
}

#[test]
fn a_wrong_barcode_or_number_takes_no_part_any_more() {
    let mut lines = offers(&[Line::of("north", "").mpn("TV-4471A").barcode("4006381333931")]);
    let given = decisions(&[
        (Answer::WrongClaim, "north:#TV-4471A", "barcode"),
        (Answer::WrongClaim, "north:#TV-4471A", "number TV 4471 A"),
    ]);
    let resolved = given.resolve(&lines);
    assert!(resolved.warnings.is_empty(), "{:?}", resolved.warnings);
    resolved.apply(&mut lines);
    assert!(lines[0].barcode.is_none() && lines[0].numbers.is_empty());
    // the offer keeps the name under which it was decided on
    assert_eq!(resolved.name(&OfferNames::of(&lines), 0), resolved.named_before[&0]);
}

#[test]
fn an_offer_that_fits_like_another_is_of_its_kind() {
    let mut lines = offers(&[
        Line::of("north", "A-1").kind(KindId::SHROUD, 0.6),
        Line::of("south", "7"),
    ]);
    let resolved = decisions(&[(Answer::Fits, "north:A-1", "south:7")]).resolve(&lines);
    resolved.apply(&mut lines);
    assert_eq!(lines[0].kind.kind, KindId::RECOIL_STARTER);
    assert!(lines[0].kind.probability > 0.98);
}

#[test]
fn the_evidence_names_the_other_offer_on_both_sides() {
    let lines = three();
    let evidence = decisions(&[(Answer::Different, "north:A-1", "south:7")])
        .resolve(&lines)
        .evidence(&lines);
    assert_eq!(evidence[&0], ["decided by a person: not the same part as south:7"]);
    assert_eq!(evidence[&1], ["decided by a person: not the same part as north:A-1"]);
}
