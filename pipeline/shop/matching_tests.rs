use super::super::judge::engine::band;
use super::*;
use crate::trade::interval::Interval;

fn group(cc: &str, holes: u8, circle: f64, codes: &str, offers: u32) -> GroupRow {
    GroupRow {
        group_id: "RS-1".into(),
        family: "industrial horizontal".into(),
        displacement_cc: cc.into(),
        bolt_holes: Some(holes),
        bolt_circle_mm: Some(circle),
        bolt_circle_tolerance_mm: Some(0.1),
        thread: "M6".into(),
        engine_codes: codes.into(),
        offers,
        ..GroupRow::default()
    }
}

fn world() -> Vec<GroupRow> {
    vec![
        group("163-212", 3, 118.0, "168F;170F", 40),
        group("337-420", 3, 140.0, "188F;190F", 30),
        group("163-190", 4, 102.0, "corvale:KR190", 10),
    ]
}

fn held(need: &Need) -> Vec<Match> {
    let groups = world();
    matches(need, &groups.iter().enumerate().collect::<Vec<_>>(), &[])
}

fn around(value: f64) -> Vec<Interval> {
    vec![Interval::around(value, 0.5)]
}

#[test]
fn a_displacement_inside_one_band_settles_it() {
    let found = held(&Need {
        displacement: around(212.0),
        ..Need::default()
    });
    assert_eq!(found[0].group, 0);
    assert!(found[0].share > 0.9, "{}", found[0].share);
    assert!(found.iter().filter(|found| found.group != 0).all(Match::is_excluded));
}

#[test]
fn a_displacement_in_two_bands_leaves_both_and_the_more_listed_leads() {
    let found = held(&Need {
        displacement: around(163.0),
        ..Need::default()
    });
    assert_eq!((found[0].group, found[1].group), (0, 2));
    assert!(found[1].share > 0.1 && !found[1].is_excluded());
}

#[test]
fn another_hole_count_never_fits() {
    let found = held(&Need {
        displacement: around(163.0),
        holes: Some(4),
        ..Need::default()
    });
    assert_eq!(found[0].group, 2);
    assert!(found.iter().find(|found| found.group == 0).unwrap().is_excluded());
}

#[test]
fn two_circles_agree_within_the_play_of_the_screws_only() {
    // ISO 273 medium holes, M6: 6.6 - 6.0 = 0.6 mm of play by the fixed-fastener rule of ASME Y14.5 appendix B.
    let verdict = |mm: f64| {
        let need = Need {
            circles_mm: vec![Interval::exact(mm)],
            ..Need::default()
        };
        held(&need).iter().find(|found| found.group == 0).unwrap().judged[0].verdict
    };
    assert_eq!(verdict(118.4), Verdict::Agrees);
    assert_eq!(verdict(119.0), Verdict::Contradicts);
}

#[test]
fn of_two_readings_of_a_spacing_the_one_that_fits_counts() {
    let need = Need {
        circles_mm: vec![Interval::around(102.2, 0.1), Interval::around(118.0, 0.1)],
        ..Need::default()
    };
    let found = held(&need);
    assert_eq!(
        found.iter().find(|found| found.group == 0).unwrap().judged[0].verdict,
        Verdict::Agrees
    );
}

#[test]
fn a_bare_code_meets_the_code_of_any_maker_and_a_made_one_only_its_own() {
    let groups = world();
    assert!(serves(&groups[2], "KR190"));
    assert!(serves(&groups[2], "corvale:KR190"));
    assert!(!serves(&groups[2], "tembra:KR190"));
    assert!(!serves(&groups[0], "KR190"));
}

#[test]
fn a_code_that_no_group_serves_is_left_out_of_the_judgement() {
    let found = held(&Need {
        codes: vec!["ZZ999".into()],
        displacement: around(390.0),
        ..Need::default()
    });
    assert_eq!(found[0].group, 1);
    assert_eq!(found[0].judged.len(), 1);
}

#[test]
fn a_power_suggests_a_class_and_excludes_none() {
    // 13 hp, about 28 to 32 cc per hp: common practice, no source.
    let found = held(&Need {
        power_kw: vec![Interval::exact(9.69)],
        ..Need::default()
    });
    assert_eq!(found[0].group, 1);
    assert!(!found.iter().any(Match::is_excluded));
}

#[test]
fn what_none_of_the_groups_says_leaves_a_share_for_none_of_them() {
    let found = held(&Need {
        displacement: around(95.0),
        ..Need::default()
    });
    assert!(found.iter().map(|found| found.share).sum::<f64>() < 0.8);
    assert!(found.iter().all(Match::is_excluded));
}

#[test]
fn possible_groups_are_told_apart_by_what_differs() {
    let groups = world();
    let told = tells_apart(&[&groups[0], &groups[2]]);
    assert!(told[0].starts_with("number of mounting holes: 3 or 4"), "{told:?}");
    assert!(tells_apart(&[&groups[0]]).is_empty());
}

#[test]
fn a_band_is_read_from_its_cell() {
    assert_eq!(band("163-212"), Some(Interval::between(163.0, 212.0)));
    assert_eq!(band("163;196"), Some(Interval::between(163.0, 196.0)));
    assert_eq!(band(""), None);
}
