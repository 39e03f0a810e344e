use super::super::classes::{Classes, Posterior};
use super::super::evidence::Evidence;
use super::super::kernels::Kernels;
use super::super::learning::Anywhere;
use super::super::scales;
use super::super::test_products::stating;
use super::*;

/// Two classes of 20 starters each: code 0, three holes, 196 cc; and code 1, four holes, 389 cc.
fn two_classes() -> Classes {
    let product = |class: u32| {
        let cc = [196.0, 389.0][class as usize];
        stating([
            (Field::Code, Some(class)),
            (Field::Holes, Some(scales::hole_bin(3 + class as u8, 0))),
            (Field::Displacement, scales::displacement_bin(cc)),
        ])
    };
    let evidence: Vec<Evidence> = (0..40).map(|i| product(i % 2)).collect();
    let mut memberships: Vec<Posterior> = (0..40).map(|i| vec![(i % 2, 1.0)]).collect();
    let anywhere = Anywhere::of(&evidence, Kernels::learn(&[], &[]), (2, 0));
    Classes::learn(&evidence, &anywhere, &mut memberships, None)
}

#[test]
fn the_chances_of_all_bins_in_a_class_sum_to_one() {
    let classes = two_classes();
    for field in DENSE {
        for class in 0..2 {
            let bins = 0..field.bins() as u32;
            let sum: f32 = bins.map(|bin| classes.chances.here(field, bin, class)).sum();
            assert!((sum - 1.0).abs() < 0.01, "{field:?} in {class}: {sum}");
        }
    }
}

#[test]
fn a_class_makes_likely_what_its_products_say_and_unlikely_what_the_others_say() {
    let classes = two_classes();
    for (field, bins) in [
        (Field::Holes, [scales::hole_bin(3, 0), scales::hole_bin(4, 0)]),
        (
            Field::Displacement,
            [196.0, 389.0].map(|cc| scales::displacement_bin(cc).unwrap_or(0)),
        ),
        (Field::Code, [0, 1]),
    ] {
        for class in 0..2u32 {
            let log = |of: usize| classes.chances.log_ratio(field, Meant::One, &bins[of..=of], class);
            let (own, other) = (log(class as usize), log(1 - class as usize));
            // half of all lines say it: no class can make it more than twice as likely
            assert!(own > 0.5 && own < 0.75, "{field:?}: {own}");
            assert!(other < -1.5, "{field:?}: {other}");
        }
    }
}

#[test]
fn a_code_never_shown_is_as_rare_as_the_class_is_well_known() {
    let log = two_classes().chances.log_ratio(Field::Code, Meant::One, &[1], 0);
    let expected = f64::from(SMOOTHING / (20.0 + SMOOTHING)).ln();
    assert!((log - expected).abs() < 1e-3, "{log} is not {expected}");
}

#[test]
fn of_two_values_every_one_counts_less_than_twice_and_either_is_no_worse_than_the_better_shared_out() {
    let classes = two_classes();
    let (three, four) = (scales::hole_bin(3, 0), scales::hole_bin(4, 0));
    let log = |meant, values: &[u32]| classes.chances.log_ratio(Field::Holes, meant, values, 0);
    let both = (log(Meant::One, &[three]) + log(Meant::One, &[four])) / 2f64.sqrt();
    assert!((log(Meant::Every, &[three, four]) - both).abs() < 1e-9);
    // the two together are nearly all there is, here and anywhere
    assert!(
        log(Meant::One, &[three, four]).abs() < 0.05,
        "{}",
        log(Meant::One, &[three, four])
    );
}
