use super::*;
use crate::normalise::kind::KindId;
use crate::trade::threads::ThreadSet;

fn group(codes: &[&str], displacement: Option<Interval>) -> FitGroup {
    FitGroup {
        kind: KindId::RECOIL_STARTER,
        class: Some(0),
        family: "Corvale KV".into(),
        size_class: "".into(),
        name: String::new(),
        displacement,
        holes: None,
        circle_mm: None,
        thread: ThreadSet::empty(),
        codes: codes.iter().map(|code| (*code).into()).collect(),
        products: vec![0],
        confidence: 0.9,
    }
}

#[test]
fn a_band_is_one_figure_where_its_ends_are() {
    assert_eq!(band_words(None), "");
    assert_eq!(band_words(Some(Interval::exact(450.0))), "450 cc");
    assert_eq!(band_words(Some(Interval::between(163.0, 212.0))), "163-212 cc");
}

#[test]
fn a_name_shows_four_codes_each_once_and_says_that_there_are_more() {
    let starter = "Recoil starter, Corvale KV";
    assert_eq!(name(&group(&[], None)), starter);
    let four = ["corvale:KV1", "tembra:KV1", "KV2", "KV3", "KV4"];
    assert_eq!(name(&group(&four, None)), format!("{starter} (KV1, KV2, KV3, KV4)"));
    let five = ["KV1", "KV2", "KV3", "KV4", "KV5", "KV6"];
    assert_eq!(name(&group(&five, None)), format!("{starter} (KV1, KV2, KV3, KV4 ...)"));
}

#[test]
fn a_name_says_of_holes_and_circle_what_is_known() {
    let said = |holes, circle_mm| {
        let group = FitGroup {
            holes,
            circle_mm,
            ..group(&[], Some(Interval::exact(450.0)))
        };
        name(&group).replace("Recoil starter, Corvale KV, 450 cc", "")
    };
    let circle = Some(Interval::around(118.0, 0.5));
    assert_eq!(said(Some(3), circle), ", 3 holes on 118 mm");
    assert_eq!(said(Some(3), None), ", 3 holes");
    assert_eq!(said(None, circle), ", holes on 118 mm");
    assert_eq!(said(None, None), "");
}

#[test]
fn what_is_placed_comes_first_and_the_small_before_the_large() {
    let small = group(&[], Some(Interval::exact(196.0)));
    let large = group(&[], Some(Interval::exact(389.0)));
    let unknown = group(&[], None);
    let alone = FitGroup {
        class: None,
        ..small.clone()
    };
    let standard = FitGroup {
        family: "industrial horizontal".into(),
        ..large.clone()
    };
    let shroud = FitGroup {
        kind: KindId::SHROUD,
        ..standard.clone()
    };
    let sorted = [&standard, &small, &large, &unknown, &shroud, &alone].map(order);
    assert!(sorted.windows(2).all(|pair| pair[0] < pair[1]), "{sorted:?}");
}
