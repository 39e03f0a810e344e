use super::super::scales::{self, Field};
use super::super::test_products::{silent, stating};
use super::*;
use crate::normalise::kind::KindId;

fn word(offer: u32, like: u32, fits: Fits) -> FitWord {
    FitWord {
        offer,
        like,
        fits,
        word: offer as usize,
    }
}

fn held(words: &[FitWord], offers: u32) -> Held {
    Held::of(words, &Products::one_each(&(0..offers).collect::<Vec<_>>()))
}

#[test]
fn a_product_follows_the_offer_it_fits_like_whatever_it_claims() {
    let mut memberships = vec![vec![(1, 0.95), (2, 0.04)], vec![(2, 0.9), (1, 0.1)]];
    held(&[word(0, 1, Fits::Like)], 2).hold(&mut memberships);
    assert_eq!(memberships[0][0].0, 2);
    assert!((memberships[0][0].1 - 0.8914).abs() < 1e-9, "{memberships:?}");
    assert_eq!(
        memberships[1],
        [(2, 0.9), (1, 0.1)],
        "the group is not moved by whom it takes in"
    );
}

#[test]
fn a_product_that_does_not_fit_leaves_the_class_even_when_it_had_no_other() {
    let mut memberships = vec![vec![(1, 0.999)], vec![(1, 0.98)]];
    held(&[word(0, 1, Fits::Not)], 2).hold(&mut memberships);
    let left: f64 = memberships[0].iter().map(|p| p.1).sum();
    assert!((left - 0.01).abs() < 1e-9, "{memberships:?}");
    let mut memberships = vec![vec![(1, 0.7), (3, 0.3)], vec![(1, 0.98)]];
    held(&[word(0, 1, Fits::Not)], 2).hold(&mut memberships);
    assert_eq!(memberships[0][0].0, 3);
    assert!(memberships[0][0].1 > 0.98);
}

#[test]
fn a_product_that_does_not_fit_for_its_bolt_circle_keeps_the_engine_class() {
    let product = |circle: f64| stating([(Field::Circle, scales::circle_bin(circle, 0))]);
    let before = vec![vec![(1, 0.99)], vec![(1, 0.98)]];
    let after = |evidence: [Evidence; 2]| {
        let mut held = held(&[word(0, 1, Fits::Not)], 2);
        held.note_interfaces(&evidence);
        let mut memberships = before.clone();
        held.hold(&mut memberships);
        memberships
    };
    assert_eq!(
        after([product(124.5), product(118.0)]),
        before,
        "another variant of the class"
    );
    assert!(
        after([product(118.2), product(118.0)])[0]
            .iter()
            .map(|p| p.1)
            .sum::<f64>()
            < 0.02
    );
}

#[test]
fn in_a_chain_all_follow_the_one_that_follows_nobody() {
    let mut memberships = vec![vec![(1, 1.0)], vec![(2, 1.0)], vec![(3, 0.6)]];
    held(&[word(0, 1, Fits::Like), word(1, 2, Fits::Like)], 3).hold(&mut memberships);
    assert!(memberships.iter().all(|p| p[0].0 == 3), "{memberships:?}");
}

#[test]
fn without_words_nothing_moves() {
    let before = vec![vec![(1, 0.6), (2, 0.4)]];
    let mut memberships = before.clone();
    held(&[], 1).hold(&mut memberships);
    assert_eq!(memberships, before);
}

#[test]
fn a_part_of_another_kind_is_not_put_into_the_place_of_the_one_it_fits_like() {
    let of_kind = |kind: KindId| Evidence { kind, ..silent() };
    let settled = |kinds: [KindId; 2]| {
        let evidence = kinds.map(of_kind);
        let at = |class| Place::Class {
            kind: KindId::RECOIL_STARTER.0,
            class,
            variant: 0,
        };
        let mut places = [at(1), at(2)];
        let memberships = vec![vec![(1, 0.9)], vec![(2, 0.9)]];
        let held = held(&[word(0, 1, Fits::Like)], 2);
        let contradicted = held.settle(&mut places, &mut [1.0, 1.0], &evidence, &memberships);
        assert!(contradicted.is_empty());
        places[0] == places[1]
    };
    assert!(settled([KindId::RECOIL_STARTER; 2]), "the same kind follows");
    assert!(
        !settled([KindId::SHROUD, KindId::RECOIL_STARTER]),
        "a shroud is no starter"
    );
}

#[test]
fn a_person_s_word_lends_the_confidence_of_the_other_offer_and_never_lowers_it() {
    let alone = |product| Place::Alone { kind: 0, product };
    let held = held(&[word(0, 1, Fits::Like)], 2);
    let judged = |mut confidence: [f64; 2], places: [Place; 2]| {
        held.judge(&places, &mut confidence);
        confidence
    };
    let together = [alone(7), alone(7)];
    assert_eq!(judged([0.3, 0.8], together), [PERSONS_WORD * 0.8, 0.8]);
    assert_eq!(judged([0.9, 0.8], together), [0.9, 0.8]);
    assert_eq!(
        judged([0.3, 0.8], [alone(7), alone(8)]),
        [0.3, 0.8],
        "it was not placed there"
    );
}
