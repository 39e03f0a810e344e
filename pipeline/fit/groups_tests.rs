//! The whole stage on few lines whose groups a mechanic would know.

use super::*;
use crate::fit::possibly::SettledBy;
use crate::intake::field::Field as Cell;
use crate::link::Products;
use crate::normalise::test_rows::offer;

/// What is said; engines, cc, holes, bolt circle, screws.
fn line(says: &str, cells: [&str; 5]) -> Offer {
    offer(&[
        ("Description", Cell::Description, says),
        ("Engine", Cell::EngineCode, cells[0]),
        ("cc", Cell::Displacement, cells[1]),
        ("Holes", Cell::BoltHoles, cells[2]),
        ("PCD", Cell::BoltSpacing, cells[3]),
        ("Screws", Cell::Fastener, cells[4]),
    ])
}

fn grouped(offers: &[Offer]) -> FitGroups {
    let each: Vec<u32> = (0..offers.len() as u32).collect();
    fit_products(offers, &Products::one_each(&each), &[])
}

/// A small and a large engine of the standard and one of a maker, in turns; the last line says nothing.
fn three_engines() -> Vec<Offer> {
    let mut lines = Vec::new();
    for i in 0..12 {
        let maker = ["Corvale KV450", "450", "4", "PCD 170 mm", "6 mm bolts"];
        lines.push(line("vertical shaft mower", maker));
        let (large, cc) = [("188F", "389"), ("188F/190F", "389/420"), ("188F", "389")][i % 3];
        lines.push(line("", [large, cc, "3", "PCD 140 mm", "M8"]));
        let (small, cc) = [("168F", "196"), ("168F/170F", "196/212"), ("168F", "196")][i % 3];
        lines.push(line(
            "",
            [small, cc, "3", "PCD 118 mm", if i < 8 { "M6" } else { "8 mm bolts" }],
        ));
    }
    lines.push(line("", [""; 5]));
    lines
}

#[test]
fn three_engines_are_three_groups_in_the_order_of_people() {
    let fit = grouped(&three_engines());
    let families: Vec<(&str, &str)> = fit
        .groups
        .iter()
        .map(|g| (g.family.as_str(), g.size_class.as_str()))
        .collect();
    assert_eq!(
        families[..2],
        [("industrial horizontal", "small"), ("industrial horizontal", "large")]
    );
    assert_eq!((families.len(), families[2].0), (3, "vertical-shaft Corvale KV"));
    let of_line: Vec<u32> = fit.of_product[..36].to_vec();
    assert!(of_line.chunks(3).all(|line| line == [2, 1, 0]), "{of_line:?}");
}

#[test]
fn a_group_says_what_most_of_its_lines_say() {
    let fit = grouped(&three_engines());
    let (small, large, maker) = (&fit.groups[0], &fit.groups[1], &fit.groups[2]);
    assert_eq!(small.codes, ["168F", "170F"], "the most named first");
    assert_eq!(large.codes, ["188F", "190F"]);
    assert_eq!(maker.codes, ["corvale:KV450"]);
    for (group, low, high) in [(small, 196.0, 212.0), (large, 389.0, 420.0), (maker, 450.0, 450.0)] {
        let band = group.displacement.expect("all lines state it");
        assert_eq!((band.low, band.high), (low, high), "as the lines write it");
    }
    for (group, holes, circle, thread) in [
        (small, 3, 118.0, "M6"),
        (large, 3, 140.0, "M8"),
        (maker, 4, 170.0, "M6"),
    ] {
        assert_eq!(group.holes, Some(holes));
        assert!(
            group.circle_mm.is_some_and(|c| c.contains(circle)),
            "{:?}",
            group.circle_mm
        );
        assert_eq!(group.thread.to_string(), thread);
    }
    assert_eq!(
        small.name,
        "Recoil starter, industrial horizontal small, 196-212 cc (168F, 170F), 3 holes on 118 mm, M6"
    );
}

#[test]
fn a_slip_of_one_line_does_not_widen_the_band_of_a_group() {
    let mut lines = three_engines();
    lines.push(line("", ["168F", "619", "3", "PCD 118 mm", "M6"]));
    let fit = grouped(&lines);
    let band = fit.groups[0].displacement.expect("all lines state it");
    assert_eq!((band.low, band.high), (196.0, 212.0));
}

#[test]
fn a_line_that_says_nothing_is_placed_without_confidence() {
    let fit = grouped(&three_engines());
    assert!(fit.confidence[..36].iter().all(|c| *c > 0.95), "{:?}", fit.confidence);
    assert!(fit.confidence[36] < 0.5, "{}", fit.confidence[36]);
}

/// Lines for each of two engines of a maker, by the circles they state, and lines that name both.
fn two_engines(circles: [&str; 2], each: usize, both: usize) -> Vec<Offer> {
    let mut lines = Vec::new();
    for _ in 0..each {
        lines.push(line("", ["Corvale KV200", "200", "", circles[0], ""]));
        lines.push(line("", ["Corvale KV260", "260", "", circles[1], ""]));
    }
    lines.extend((0..both).map(|_| line("", ["Corvale KV200/Corvale KV260", "", "", "", ""])));
    lines
}

#[test]
fn engines_named_together_become_one_class_when_their_circles_agree() {
    let fit = grouped(&two_engines(["PCD 118 mm", "PCD 118 mm"], 20, 4));
    assert_eq!((fit.groups.len(), fit.merges), (1, 1));
    assert_eq!(fit.groups[0].codes.len(), 2);
}

#[test]
fn engines_named_together_stay_apart_when_their_circles_differ_or_are_unknown() {
    for circles in [["PCD 118 mm", "PCD 140 mm"], ["", ""], ["PCD 118 mm", ""]] {
        let fit = grouped(&two_engines(circles, 20, 4));
        assert!(
            fit.groups.len() >= 2 && fit.merges == 0,
            "{circles:?}: {:?}",
            fit.groups
        );
        assert_ne!(fit.of_product[0], fit.of_product[1], "{circles:?}");
    }
}

#[test]
fn groups_that_may_be_one_are_reported_with_what_would_settle_it() {
    let doubts = |circles: [&str; 2]| grouped(&two_engines(circles, 20, 2)).possibly_same;
    let open = doubts(["PCD 118 mm", ""]);
    assert_eq!(open.len(), 1, "{open:?}");
    assert_eq!((open[0].named_together, open[0].settled_by), (2, SettledBy::BoltCircle));
    assert!(doubts(["PCD 118 mm", "PCD 140 mm"]).is_empty());
    let never_together = grouped(&two_engines(["PCD 118 mm", ""], 20, 0));
    assert!(
        never_together.possibly_same.is_empty(),
        "{:?}",
        never_together.possibly_same
    );
}

#[test]
fn parts_that_replace_one_number_are_one_group_though_no_engine_is_named() {
    let replaces = |number: &str, circle: &str| {
        offer(&[
            ("Replaces", Cell::Replaces, number),
            ("PCD", Cell::BoltSpacing, circle),
            ("Holes", Cell::BoltHoles, "3"),
        ])
    };
    let lines: Vec<Offer> = (0..6)
        .flat_map(|_| {
            [
                replaces("28400-KR2-003", "PCD 118 mm"),
                replaces("61170-TB9-100", "PCD 140 mm"),
            ]
        })
        .collect();
    let fit = grouped(&lines);
    assert_eq!(fit.groups.len(), 2, "{:?}", fit.groups);
    assert_eq!(fit.groups[fit.of_product[0] as usize].products, [0, 2, 4, 6, 8, 10]);
}

#[test]
fn an_offer_whose_place_in_its_product_is_doubted_answers_for_its_own_claims() {
    let mut lines = three_engines();
    lines.truncate(36);
    lines.push(line("", ["188F", "389", "3", "PCD 140 mm", "M8"]));
    let each: Vec<u32> = (0..36).collect();
    let mut products = Products::one_each(&each);
    // the last line was linked to the small starter of line 2, half sure
    products.of_offer.push(2);
    products.members[2].push(36);
    products.confidence.push(0.5);
    let fit = fit_products(&lines, &products, &[]);
    assert!(fit.confidence[36] < fit.confidence[2] - 0.2, "{:?}", fit.confidence);
}

#[test]
fn a_part_that_may_be_of_two_kinds_is_of_that_whose_interface_it_states() {
    let (starter, assembly) = (KindId::RECOIL_STARTER, KindId::ASSEMBLY);
    let said = |kind: KindId, doubt: f32, holes: &str, circle: &str| {
        let mut line = line("", ["168F", "196", holes, circle, "M6"]);
        (line.kind.kind, line.kind.probability) = (kind, 1.0 - doubt);
        line.kind.alternatives = if doubt > 0.0 {
            vec![(assembly, doubt)]
        } else {
            Vec::new()
        };
        line
    };
    let mut lines = Vec::new();
    for _ in 0..12 {
        lines.push(said(starter, 0.0, "3", "PCD 118 mm"));
        lines.push(said(assembly, 0.0, "4", "PCD 180 mm"));
    }
    lines.extend([
        said(starter, 0.2, "4", "PCD 180 mm"),
        said(starter, 0.2, "3", "PCD 118 mm"),
        said(starter, 0.2, "", ""),
    ]);
    let fit = grouped(&lines);
    let of = |product: usize| fit.of_product[product];
    assert_eq!((of(24), of(25), of(26)), (of(1), of(0), of(0)));
    assert!(
        fit.confidence[24] > 0.9 && fit.confidence[25] > 0.9,
        "{:?}",
        &fit.confidence[24..]
    );
    assert!(fit.confidence[26] < 0.85, "{}", fit.confidence[26]);
}
