use super::*;

fn group(circle_mm: Option<f64>) -> GroupRow {
    GroupRow {
        bolt_holes: Some(3),
        bolt_circle_mm: circle_mm,
        bolt_circle_tolerance_mm: circle_mm.map(|_| 0.5),
        ..GroupRow::default()
    }
}

fn offer(evidence: &str, description: &str) -> CrossrefRow {
    CrossrefRow {
        evidence: evidence.into(),
        description: description.into(),
        ..CrossrefRow::default()
    }
}

#[test]
fn a_settled_circle_is_the_only_reading() {
    let offers = [offer("bolt circle 102 mm stated +1.0", "")];
    let found = readings(&group(Some(118.0)), &offers);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].circle_mm, found[0].provided.as_str()), (118.0, ""));
}

#[test]
fn a_figure_that_may_be_chord_or_circle_gives_both_readings() {
    let found = readings(
        &group(None),
        &[offer("holes 3 stated +0.8; bolt circle 102 stated +1.0", "")],
    );
    let circles: Vec<f64> = found.iter().map(|reading| reading.circle_mm).collect();
    assert_eq!(circles.len(), 2, "{found:?}");
    assert!((circles[0] - 102.0).abs() < 0.01, "{circles:?}");
    // D = s / sin(60 degrees): 102 mm from hole to hole is a circle of 117.78 mm.
    assert!((circles[1] - 117.78).abs() < 0.01, "{circles:?}");
    assert!(found[1].provided.ends_with("102 mm is from hole to hole"), "{found:?}");
}

#[test]
fn the_reading_that_most_offers_allow_comes_first_and_rare_ones_are_left_out() {
    let often = || offer("bolt circle 118 mm pcd stated +1.0", "");
    let mut offers: Vec<CrossrefRow> = (0..5).map(|_| often()).collect();
    offers.push(offer("bolt circle 140 mm pcd stated +1.0", ""));
    let found = readings(&group(None), &offers);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!((found[0].circle_mm - 118.0).abs() < 0.01);
    assert!(found[0].provided.starts_with("5 offers state"));
}

#[test]
fn depths_and_pawls_are_counted_by_the_offers_that_state_them() {
    let vocabulary = Vocabulary::built_in().unwrap();
    let offers = [
        offer("", "Recoil starter 2 steel pawls depth 45 mm"),
        offer("", "Recoil starter depth 45 mm"),
        offer("", "Recoil starter depth 52 mm"),
    ];
    let depths: Vec<(String, usize)> = stated(&vocabulary, &offers)
        .into_iter()
        .filter(|stated| stated.about == About::Depth)
        .map(|stated| (stated.value, stated.offers))
        .collect();
    assert_eq!(depths, [("45 mm".to_string(), 2), ("52 mm".to_string(), 1)]);
}
