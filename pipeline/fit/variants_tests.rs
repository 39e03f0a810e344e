use super::*;

/// A product of which so many lines, each of another list, state a circle and three holes.
fn says(circle: f64, lines: usize) -> Stated {
    let lists = (1 << lines) - 1;
    Stated {
        circle_mm: Some(circle),
        circle_lines: lines,
        circle_lists: lists,
        holes: Some(3),
        hole_lines: lines,
        hole_lists: lists,
    }
}

fn find(stated: &[Stated]) -> Vec<Variant> {
    super::find(stated, &Elsewhere::unknown())
}

fn posterior(s: &Stated, variants: &[Variant]) -> Vec<f64> {
    super::posterior(s, variants, &Elsewhere::unknown())
}

#[test]
fn roundings_do_not_found_a_variant() {
    assert_eq!(
        find(&[says(118.0, 3), says(118.6, 1), says(117.5, 2), says(119.5, 2)]).len(),
        1
    );
}

#[test]
fn another_circle_on_two_lines_is_a_variant() {
    let variants = find(&[says(118.0, 3), says(118.2, 3), says(118.0, 1), says(131.0, 2)]);
    assert_eq!(variants.len(), 2);
    assert!(variants[1].circle_mm.is_some_and(|c| (c - 131.0).abs() < 0.1));
}

#[test]
fn another_circle_on_one_line_is_doubt_not_a_variant() {
    let all = [says(118.0, 3), says(118.2, 3), says(118.0, 1), says(131.0, 1)];
    let variants = find(&all);
    assert_eq!(variants.len(), 1);
    assert!(posterior(&all[3], &variants)[0] < 0.85);
    assert!(posterior(&all[0], &variants)[0] > 0.98);
}

#[test]
fn another_circle_that_one_list_alone_states_is_no_variant() {
    let mut copied = says(131.0, 4);
    (copied.circle_lists, copied.hole_lists) = (1, 1);
    assert_eq!(find(&[says(118.0, 3), says(118.2, 3), says(118.0, 1), copied]).len(), 1);
    copied.circle_lists = 3;
    assert_eq!(find(&[says(118.0, 3), says(118.2, 3), says(118.0, 1), copied]).len(), 2);
}

#[test]
fn slips_that_take_the_circle_of_another_class_found_no_variant() {
    let mut all = vec![says(118.0, 1); 200];
    all.extend([
        says(102.5, 1),
        says(102.5, 1),
        says(103.0, 1),
        says(149.0, 1),
        says(62.0, 1),
    ]);
    for list in 0..3 {
        all[200 + list].circle_lists = 1 << list;
    }
    assert_eq!(
        super::find(&all, &Elsewhere::stating(&[(102.5, 100.0), (140.0, 100.0)])).len(),
        1
    );
    assert_eq!(super::find(&all, &Elsewhere::unknown()).len(), 2);
}

#[test]
fn slips_of_a_large_class_that_fall_side_by_side_found_no_variant() {
    let mut all = vec![says(118.0, 2); 1000];
    all.extend((0..40).map(|i| says(50.0 + 4.0 * f64::from(i), 1)));
    all.extend([says(131.0, 1), says(131.4, 1), says(132.0, 1)]);
    assert_eq!(find(&all).len(), 1, "{:?}", find(&all));
    all.extend(vec![says(126.0, 2); 12]);
    assert_eq!(find(&all).len(), 2);
}

#[test]
fn another_hole_count_is_never_the_same_group() {
    let mut four = says(118.0, 3);
    four.holes = Some(4);
    assert_eq!(find(&[says(118.0, 3), says(118.0, 2), four]).len(), 2);
}

#[test]
fn lines_that_count_the_holes_and_lines_that_do_not_found_one_variant() {
    let mut uncounted = says(124.5, 2);
    (uncounted.holes, uncounted.hole_lines, uncounted.hole_lists) = (None, 0, 0);
    let all = [
        says(118.0, 3),
        says(118.0, 3),
        says(118.0, 3),
        says(124.5, 2),
        uncounted,
    ];
    assert_eq!(find(&all).len(), 2, "{:?}", find(&all));
}

#[test]
fn figures_of_one_circle_that_scatter_found_one_variant_whatever_lies_below_them() {
    let mut all = vec![says(118.0, 3); 60];
    all.push(says(122.4, 1));
    all.extend([123.8, 124.2, 124.5, 124.5, 124.7, 125.0, 125.4].map(|circle| says(circle, 2)));
    let variants = find(&all);
    assert_eq!(variants.len(), 2, "{variants:?}");
    assert!(posterior(&says(124.5, 2), &variants)[1] > 0.9);
}

#[test]
fn a_silent_product_is_most_likely_the_common_one() {
    let variants = find(&[says(118.0, 3), says(118.0, 3), says(118.0, 2), says(131.0, 2)]);
    let p = posterior(&Stated::default(), &variants);
    assert!(p[0] > 0.6 && p[0] < 0.9, "{p:?}");
}
