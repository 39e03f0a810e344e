use super::super::scales;
use super::super::test_products::stating;
use super::*;

/// How many starters say so; bolt circle in mm, holes, displacement in cc.
type Said = (usize, Option<f64>, Option<u8>, Option<f64>);

/// The interface of so many starters, each with the given circle, holes and displacement.
fn sketch(products: &[Said]) -> Sketch {
    let mut sketch = Sketch::default();
    for (times, circle, holes, cc) in products {
        let evidence = stating([
            (Field::Circle, circle.and_then(|mm| scales::circle_bin(mm, 0))),
            (Field::Holes, holes.map(|n| scales::hole_bin(n, 0))),
            (Field::Displacement, cc.and_then(scales::displacement_bin)),
        ]);
        (0..*times).for_each(|_| sketch.add(&evidence, 1.0));
    }
    sketch
}

#[test]
fn circles_agree_differ_or_are_too_few() {
    let on = |times, mm| sketch(&[(times, Some(mm), None, None)]);
    assert_eq!(interfaces(&on(2, 118.0), &on(2, 118.4)), Verdict::Agree);
    assert_eq!(interfaces(&on(2, 118.0), &on(2, 124.5)), Verdict::Contradict);
    assert_eq!(interfaces(&on(1, 118.0), &on(9, 124.5)), Verdict::Silent);
}

#[test]
fn a_class_that_shares_two_circles_in_five_neither_agrees_nor_contradicts() {
    let mixed = sketch(&[(4, Some(118.0), None, None), (6, Some(140.0), None, None)]);
    let pure = sketch(&[(10, Some(118.0), None, None)]);
    assert_eq!(interfaces(&mixed, &pure), Verdict::Silent);
    assert_eq!(interfaces(&pure, &mixed), Verdict::Silent);
}

#[test]
fn other_hole_counts_contradict_and_equal_ones_alone_prove_nothing() {
    let with = |times, holes| sketch(&[(times, None, Some(holes), None)]);
    assert_eq!(interfaces(&with(3, 3), &with(3, 4)), Verdict::Contradict);
    assert_eq!(interfaces(&with(2, 3), &with(2, 4)), Verdict::Silent);
    assert_eq!(interfaces(&with(9, 3), &with(9, 3)), Verdict::Silent);
}

#[test]
fn displacements_more_than_half_again_as_large_contradict() {
    let of = |cc| sketch(&[(2, Some(118.0), None, Some(cc))]);
    assert_eq!(interfaces(&of(196.0), &of(270.0)), Verdict::Agree);
    assert_eq!(interfaces(&of(196.0), &of(389.0)), Verdict::Contradict);
    assert_eq!(interfaces(&of(389.0), &of(196.0)), Verdict::Contradict);
    // one line in twenty that states another engine does not stretch the span
    let slips = sketch(&[
        (19, Some(118.0), None, Some(196.0)),
        (1, Some(118.0), None, Some(389.0)),
    ]);
    assert_eq!(interfaces(&slips, &of(389.0)), Verdict::Contradict);
    let both = sketch(&[(6, Some(118.0), None, Some(196.0)), (6, Some(118.0), None, Some(389.0))]);
    assert_eq!(interfaces(&both, &of(389.0)), Verdict::Agree);
}

#[test]
fn a_product_counts_once_however_many_lines_say_it() {
    let evidence = stating(vec![(Field::Circle, scales::circle_bin(124.5, 0)); 9]);
    let mut one = Sketch::default();
    one.add(&evidence, 1.0);
    let many = sketch(&[(9, Some(118.0), None, None)]);
    assert_eq!(interfaces(&one, &many), Verdict::Silent);
    one.absorb(&one.clone());
    assert_eq!(interfaces(&one, &many), Verdict::Contradict, "two products say so");
}

#[test]
fn words_for_other_engines_contradict_where_enough_products_use_them() {
    let called = |times: usize, cue: u32| {
        let evidence = stating([(Field::Cue, Some(cue))]);
        let mut sketch = Sketch::default();
        (0..times).for_each(|_| sketch.add(&evidence, 1.0));
        sketch.absorb(&self::sketch(&[(3, Some(118.0), None, None)]));
        sketch
    };
    assert_eq!(interfaces(&called(3, 0), &called(3, 6)), Verdict::Contradict);
    assert_eq!(interfaces(&called(3, 0), &called(3, 0)), Verdict::Agree);
    assert_eq!(
        interfaces(&called(2, 0), &called(9, 6)),
        Verdict::Agree,
        "two lines are too few"
    );
    let mut often_both = called(9, 0);
    often_both.absorb(&called(1, 6));
    assert_eq!(
        interfaces(&often_both, &called(9, 6)),
        Verdict::Agree,
        "a tenth in common"
    );
}
