use super::*;

fn row(circle: Option<f64>, holes: Option<u8>, cc: &str) -> CrossrefRow {
    CrossrefRow {
        part_kind: "recoil-starter".into(),
        bolt_circle_mm: circle,
        bolt_holes: holes,
        displacement_cc: cc.into(),
        ..CrossrefRow::default()
    }
}

fn pairs(a: &CrossrefRow, b: &CrossrefRow, group: Option<&GroupRow>) -> Vec<ClaimPair> {
    let side = |row, group| ClaimSide { row, group, codes: &[] };
    claim_pairs(side(a, None), side(b, group))
}

fn of<'a>(pairs: &'a [ClaimPair], attribute: &str) -> &'a ClaimPair {
    pairs.iter().find(|pair| pair.attribute == attribute).unwrap()
}

#[test]
fn circles_are_judged_by_the_play_of_the_holes_and_two_rulers() {
    let verdict = |x: f64, y: f64| {
        of(
            &pairs(&row(Some(x), None, ""), &row(Some(y), None, ""), None),
            "bolt circle",
        )
        .verdict
    };
    // M6 in a 6.6 mm hole (ISO 273 medium): 0.6 mm
    assert_eq!(verdict(118.0, 118.5), Verdict::Agrees);
    assert_eq!(verdict(118.0, 120.0), Verdict::Open);
    assert_eq!(verdict(118.0, 131.0), Verdict::Contradicts);
    let found = pairs(&row(Some(118.0), None, ""), &row(Some(131.0), None, ""), None);
    assert!(of(&found, "bolt circle").words.contains("13 mm apart"), "{found:?}");
}

#[test]
fn a_spacing_that_leaves_open_which_it_is_goes_before_the_circle_of_the_group() {
    let group = GroupRow {
        bolt_circle_mm: Some(106.25),
        ..GroupRow::default()
    };
    let line = |spacing: &str| CrossrefRow {
        evidence: format!("holes 3 stated +0.8; bolt circle {spacing} stated +1.0"),
        ..row(None, Some(3), "")
    };
    let judged = |a: &CrossrefRow, b: &CrossrefRow| {
        let side = |row| ClaimSide {
            row,
            group: Some(&group),
            codes: &[],
        };
        let found = claim_pairs(side(a), side(b));
        (
            of(&found, "bolt circle").verdict,
            of(&found, "bolt circle").words.clone(),
        )
    };
    let (verdict, words) = judged(&line("108"), &line("92"));
    assert!(words.contains("108 mm") && words.contains("92 mm"), "{words}");
    // 92 mm from hole to hole of three holes is a circle of 106.2 mm, and 108 - 106.2 < 2.2
    assert_eq!(verdict, Verdict::Open);
    assert_eq!(judged(&line("108"), &line("70")).0, Verdict::Contradicts);
}

#[test]
fn engine_codes_of_columns_are_read_from_the_evidence() {
    let line = |code: &str| CrossrefRow {
        evidence: format!("engine code {code} stated +2.2"),
        ..row(None, None, "")
    };
    let found = pairs(&line("1P68F"), &line("152F"), None);
    assert_eq!(of(&found, "engine codes").verdict, Verdict::Doubtful);
    let found = pairs(&line("168F"), &line("168F/170F"), None);
    assert_eq!(of(&found, "engine codes").words, "both name 168F");
}

#[test]
fn what_a_line_does_not_say_its_group_says_and_that_is_told() {
    let group = GroupRow {
        bolt_holes: Some(4),
        displacement_cc: "163-212".into(),
        ..GroupRow::default()
    };
    let found = pairs(&row(None, Some(3), "196"), &row(None, None, ""), Some(&group));
    assert_eq!(of(&found, "mounting holes").verdict, Verdict::Contradicts);
    assert!(of(&found, "mounting holes").words.contains("4 (its group)"));
    assert_eq!(of(&found, "displacement").verdict, Verdict::Agrees);
}

#[test]
fn nominal_and_swept_displacement_agree_and_other_sizes_do_not() {
    let verdict = |x: &str, y: &str| of(&pairs(&row(None, None, x), &row(None, None, y), None), "displacement").verdict;
    assert_eq!(verdict("200", "163;196"), Verdict::Agrees);
    assert_eq!(verdict("163-212", "389"), Verdict::Contradicts);
}

#[test]
fn an_assembly_and_a_starter_are_said_to_be_different_parts_one_of_which_covers_the_other() {
    let assembly = CrossrefRow {
        part_kind: "assembly".into(),
        ..CrossrefRow::default()
    };
    let found = pairs(&row(None, None, ""), &assembly, None);
    assert!(of(&found, "part").words.contains("never the other way"));
}
