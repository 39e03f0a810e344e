//! Claims of columns, cell by cell. All names and codes are invented.

use super::claim::{Attribute, Provenance, Value};
use super::test_rows::*;
use crate::intake::field::Field;
use crate::trade::interval::Interval;
use crate::trade::numerals::Decimals;

#[test]
fn the_unit_of_a_column_comes_from_its_heading() {
    let offer = offer_with(
        Decimals::Comma,
        &[
            ("Hubraum (ccm)", Field::Displacement, "163/196"),
            ("Leistung [PS]", Field::Power, "6,5"),
            ("Lochzahl", Field::BoltHoles, "3"),
            ("Lochkreis mm", Field::BoltSpacing, "118"),
            ("Tiefe mm", Field::Depth, "45"),
        ],
    );
    let volumes = vec![Interval::around(163.0, 0.5), Interval::around(196.0, 0.5)];
    assert_eq!(
        values(&offer, Attribute::Displacement, Field::Displacement),
        [Value::Served(volumes)]
    );
    assert_eq!(
        values(&offer, Attribute::BoltHoles, Field::BoltHoles),
        [Value::Count(3)]
    );
    assert_eq!(
        values(&offer, Attribute::Depth, Field::Depth),
        [Value::OneOf(vec![Interval::around(45.0, 0.5)])]
    );
    let [Value::Served(powers)] = &values(&offer, Attribute::Power, Field::Power)[..] else {
        panic!()
    };
    // 6.5 PS = 4.7807 kW (1 PS = 735.49875 W exactly).
    assert!((powers[0].mid() - 4.7807).abs() < 0.0001, "{powers:?}");
}

#[test]
fn a_spacing_that_does_not_say_which_distance_keeps_all_its_readings() {
    let offer = offer(&[
        ("Holes", Field::BoltHoles, "3"),
        ("Hole distance mm", Field::BoltSpacing, "102"),
    ]);
    let [Value::OneOf(circles)] = &values(&offer, Attribute::BoltCircle, Field::BoltSpacing)[..] else {
        panic!()
    };
    // Chord 102 of three holes: circle 102 x 1.154701 = 117.8.
    assert!(circles.iter().any(|circle| circle.contains(102.0)), "{circles:?}");
    assert!(circles.iter().any(|circle| circle.contains(117.78)), "{circles:?}");
}

/// The bolt circles that a cell under a heading may mean, for three holes.
fn circles_under(heading: &str, cell: &str) -> Vec<Interval> {
    let offer = offer(&[("Holes", Field::BoltHoles, "3"), (heading, Field::BoltSpacing, cell)]);
    match &values(&offer, Attribute::BoltCircle, Field::BoltSpacing)[..] {
        [Value::OneOf(circles)] => circles.clone(),
        other => panic!("{heading}, {cell}: {other:?}"),
    }
}

#[test]
fn a_heading_that_says_which_distance_settles_the_figures_under_it() {
    for heading in ["PCD mm", "Lochkreis", "Ø hole distance mm"] {
        let circles = circles_under(heading, "118");
        assert!(
            circles.len() == 1 && circles[0].contains(118.0),
            "{heading}: {circles:?}"
        );
    }
    // a chord of 102 between three holes lies on a circle of 102 x 1.154701 = 117.8
    let chord = circles_under("Hole distance c/c mm", "102");
    assert!(chord.len() == 1 && chord[0].contains(117.78), "{chord:?}");
    // the cell's own word goes before the heading's
    let own = circles_under("PCD mm", "102 c/c");
    assert!(own.len() == 1 && own[0].contains(117.78), "{own:?}");
    assert_eq!(circles_under("Hole distance mm", "118").len(), 2);
}

#[test]
fn a_count_of_holes_is_claimed_where_it_stands_and_not_again_beside_the_spacing() {
    let under = |cell: &str| {
        let offer = offer(&[
            ("Holes", Field::BoltHoles, "3"),
            ("Hole distance", Field::BoltSpacing, cell),
        ]);
        let of = |field: Field| values(&offer, Attribute::BoltHoles, field);
        (of(Field::BoltHoles), of(Field::BoltSpacing))
    };
    assert_eq!(under("136 mm"), (vec![Value::Count(3)], vec![]));
    assert_eq!(under("3 holes, 136 mm"), (vec![Value::Count(3)], vec![Value::Count(3)]));
}

#[test]
fn whole_inches_under_a_heading_of_inches_are_lengths() {
    for heading in ["Hole centres (in)", "Lochabstand (Zoll)"] {
        let circles = circles_under(heading, "4");
        assert!(
            circles.iter().any(|circle| circle.contains(101.6)),
            "{heading}: {circles:?}"
        );
    }
    let depth = offer(&[("Depth (in)", Field::Depth, "2")]);
    let [Value::OneOf(lengths)] = &values(&depth, Attribute::Depth, Field::Depth)[..] else {
        panic!()
    };
    assert!(lengths[0].contains(50.8), "{lengths:?}");
}

#[test]
fn an_ambiguous_fastener_stays_a_set() {
    let offer = offer(&[("Bolt", Field::Fastener, "8mm")]);
    let [Value::Threads(threads)] = values(&offer, Attribute::Thread, Field::Fastener)[..] else {
        panic!()
    };
    assert!(threads.len() > 1, "{threads}");
}

#[test]
fn a_stated_column_beats_nothing_and_both_are_kept() {
    let offer = offer(&[
        ("cc", Field::Displacement, "196"),
        ("Text", Field::Description, "fits 163cc engines"),
    ]);
    assert_eq!(values(&offer, Attribute::Displacement, Field::Displacement).len(), 1);
    assert_eq!(values(&offer, Attribute::Displacement, Field::Description).len(), 1);
}

#[test]
fn a_column_of_engines_gives_codes_with_their_brands() {
    let offer = offer(&[("Fits", Field::Fits, "Kestrel KR200, KR240/270; Borealis B65; 168F-2")]);
    let codes: Vec<String> = offer
        .claims
        .iter()
        .filter(|claim| claim.attribute == Attribute::EngineCode)
        .map(|claim| match &claim.value {
            Value::Code(code) => code.to_string(),
            other => panic!("{other:?}"),
        })
        .collect();
    for code in [
        "kestrel:KR200",
        "kestrel:KR240",
        "kestrel:KR270",
        "borealis:B65",
        "168F-2",
    ] {
        assert!(codes.iter().any(|known| known == code), "{code} in {codes:?}");
    }
    let decoded = offer
        .claims
        .iter()
        .find(|claim| claim.provenance == Provenance::Decoded)
        .unwrap();
    assert_eq!(decoded.attribute, Attribute::Displacement);
}

#[test]
fn a_mark_under_an_engine_says_that_the_part_fits_it() {
    let offer = offer(&[
        ("152F", Field::Fits, ""),
        ("168F", Field::Fits, "X"),
        ("1P70F", Field::Fits, "✓"),
        ("188F", Field::Fits, "-"),
        ("Engine", Field::Fits, "x"),
    ]);
    let codes = values(&offer, Attribute::EngineCode, Field::Fits);
    assert_eq!(codes, [Value::Code("168F".into()), Value::Code("1P70F".into())]);
}

#[test]
fn a_colon_behind_a_brand_and_codes_of_digits_alone_are_read() {
    let offer = offer(&[(
        "Fits",
        Field::Fits,
        "Kestrel: KR388X, KR160UT2; Borealis 130202, 62330 / Tembra CV130",
    )]);
    let codes: Vec<String> = offer
        .claims
        .iter()
        .filter_map(|claim| match &claim.value {
            Value::Code(code) => Some(code.to_string()),
            _ => None,
        })
        .collect();
    assert_eq!(
        codes,
        [
            "kestrel:KR388X",
            "kestrel:KR160UT2",
            "tembra:CV130",
            "borealis:130202",
            "borealis:62330"
        ]
    );
}

#[test]
fn remarks_state_facts_too() {
    let offer = offer(&[
        ("Title", Field::Title, "Recoil starter"),
        ("Notes", Field::Remark, "3 holes, 196 cc"),
    ]);
    assert_eq!(values(&offer, Attribute::BoltHoles, Field::Remark), [Value::Count(3)]);
    assert_eq!(values(&offer, Attribute::Displacement, Field::Remark).len(), 1);
}
