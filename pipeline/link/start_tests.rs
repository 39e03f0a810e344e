//! What labels start with, and which of them are held.
use super::*;

fn pair(cosine: f32, figures: u8) -> Comparison {
    let words = 1 + (cosine * 10.0) as u8;
    Comparison {
        cosine,
        likeness: cosine,
        lies: Lies::Inside,
        ..Comparison::showing(&[(Field::Words, words), (Field::Figures, figures)])
    }
}

#[test]
fn where_nothing_excludes_opposed_pairs_tell_how_many_of_the_others_are_not_one_part() {
    // of pairs little alike nine in ten oppose each other; of those much alike half do, so that five in nine of the
    // others are one part ... whatever the heaps of the cosine say
    let mut pairs = Vec::new();
    for i in 0..900u16 {
        let cosine = 0.05 + 0.5 * f32::from(i) / 900.0;
        pairs.push(pair(cosine, if i % 10 == 0 { 0 } else { 4 }));
    }
    for i in 0..400u16 {
        let cosine = 0.4 + 0.5 * f32::from(i) / 400.0;
        pairs.push(pair(cosine, if i % 2 == 0 { 0 } else { 4 }));
    }
    let start = Start::of(&pairs);
    assert!(start.alone(&pair(0.8, 0)) > 0.8, "{}", start.alone(&pair(0.8, 0)));
    assert!(start.alone(&pair(0.8, 4)) < 0.2);
    assert!(start.alone(&pair(0.2, 0)) < 0.2);
}

#[test]
fn shares_rise_from_step_to_step() {
    let shares = rising(&[(1.0, 10.0), (0.0, 10.0), (9.0, 10.0), (8.0, 10.0), (10.0, 10.0)]);
    assert!(shares.is_sorted(), "{shares:?}");
    assert_eq!(shares[0], shares[1]);
    assert_eq!(shares[2], shares[3]);
}

#[test]
fn mutual_best_pairs_by_a_wide_margin_are_held() {
    let between = |cosine: f32, figures: u8| Comparison {
        lies: Lies::Between,
        ..pair(cosine, figures)
    };
    let rivals = Rivals::of(
        &[(0, 2), (0, 3), (1, 4)],
        &[0, 0, 1, 1, 1],
        &[0, 1, 2, 3, 4],
        vec![(1.0, 1.0); 3],
    );
    let held = |first: Comparison| {
        let pairs = [first, between(0.5, 0), between(0.55, 0)];
        sure(&pairs, &rivals).iter().map(|s| s.0).collect::<Vec<u32>>()
    };
    assert_eq!(held(between(0.9, 0)), [0]);
    assert!(held(between(0.62, 0)).is_empty(), "too close to its rival");
    assert!(held(between(0.9, 4)).is_empty(), "its words oppose each other");
}

#[test]
fn the_start_is_held_to_only_where_hardly_anything_excludes() {
    let least_of = |strength: f32| {
        let rivals = Rivals::of(&[(0, 1)], &[0, 1], &[0, 1], vec![(strength, strength)]);
        least(&[pair(0.95, 0)], &rivals)
    };
    assert!(least_of(0.1) > 0.0);
    assert!(least_of(0.9) == 0.0);
}
