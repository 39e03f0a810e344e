//! Properties that every confidence keeps: evidence that the ledger marks as supporting never lowers it by being
//! there, however claims combine.

use super::classes::{Classes, Posterior};
use super::evidence::{Evidence, Meant, Reading};
use super::judging::Judge;
use super::kernels::Kernels;
use super::learning::Anywhere;
use super::ledger::Without;
use super::scales::{self, ALL, CLAIMS, Field};
use super::wordings::Wordings;
use crate::normalise::kind::KindId;
use proptest::prelude::*;

/// Holes, bolt circle and displacement of three invented classes; the second and third differ little.
const CLASSES: [(u8, f64, f64); 3] = [(3, 118.0, 196.0), (3, 140.0, 270.0), (3, 143.0, 300.0)];

fn product(claims: &[(Field, u32)]) -> Evidence {
    let mut evidence = Evidence {
        kind: KindId::RECOIL_STARTER,
        kind_probability: 0.99,
        fields: Default::default(),
        universal: false,
        offers: claims.len().max(1) as u32,
    };
    for (offer, (field, bin)) in (0..).zip(claims) {
        evidence.fields[*field as usize].push(Reading {
            offer,
            claim: 0,
            meant: Meant::One,
            values: vec![*bin].into(),
        });
    }
    evidence
}

fn claim(field: usize, class: usize, off: f64) -> (Field, u32) {
    let (holes, circle, cc) = CLASSES[class];
    match field {
        0 => (Field::Holes, scales::hole_bin(holes + u8::from(off > 3.5), 0)),
        1 => (Field::Circle, scales::circle_bin(circle + off, 0).unwrap_or(0)),
        2 => (Field::Displacement, scales::displacement_bin(cc + off).unwrap_or(0)),
        _ => (Field::Power, scales::power_bin(cc / 40.0 + off * 0.05).unwrap_or(0)),
    }
}

fn known() -> Classes {
    let mut evidence = Vec::new();
    let mut memberships: Vec<Posterior> = Vec::new();
    for i in 0..120usize {
        let class = i % 3;
        let claims: Vec<(Field, u32)> = (0..4)
            .filter(|f| (i + f) % 3 != 0)
            .map(|f| claim(f, class, (i % 4) as f64 * 0.4))
            .collect();
        evidence.push(product(&claims));
        memberships.push(vec![(class as u32, 1.0)]);
    }
    Classes::learn(
        &evidence,
        &Anywhere::of(&evidence, Kernels::learn(&[], &[]), (0, 0)),
        &mut memberships,
        None,
    )
}

/// More classes than are judged all at once, each with a code of its own, some with products enough to be large.
fn many() -> Classes {
    let mut evidence = Vec::new();
    let mut memberships: Vec<Posterior> = Vec::new();
    for class in 0..60u32 {
        for i in 0..if class < 2 { 250 } else { 4 } {
            let field = (i + class as usize) % 4;
            let circle = claim(field, (class % 3) as usize, f64::from(class % 5) * 0.4);
            evidence.push(product(&[(Field::Code, class), circle]));
            memberships.push(vec![(class, 1.0)]);
        }
    }
    Classes::learn(
        &evidence,
        &Anywhere::of(&evidence, Kernels::learn(&[], &[]), (60, 0)),
        &mut memberships,
        None,
    )
}

proptest! {
    #[test]
    fn taking_supporting_evidence_away_never_raises_the_confidence(
        claims in prop::collection::vec((0..4usize, 0..3usize, 0.0..4.0f64), 1..7),
        at in 0..7usize,
    ) {
        let classes = known();
        let whole = product(&claims.iter().map(|(f, c, off)| claim(*f, *c, *off)).collect::<Vec<_>>());
        let none: Vec<Posterior> = vec![Vec::new()];
        let posterior = [classes.posterior_of(&whole, &none[0], &ALL)];
        let Some(&(class, confidence)) = posterior[0].first() else { return Ok(()) };
        let field = ALL.into_iter().filter(|f| !whole.fields[*f as usize].is_empty()).nth(at % 4);
        let Some(field) = field else { return Ok(()) };
        let gone = whole.fields[field as usize][0].offer;
        let ledger = Without {
            classes: &classes,
            evidence: &whole,
            posterior: &posterior[0],
            taught: &none[0],
        };
        if ledger.weight(field, 1, |r| r.offer != gone) <= 0.0 {
            return Ok(());
        }
        let mut less = whole.clone();
        less.fields[field as usize].retain(|r| r.offer != gone);
        let after = [classes.posterior_of(&less, &none[0], &ALL)];
        let left = after[0].iter().find(|p| p.0 == class).map_or(0.0, |p| p.1);
        prop_assert!(left <= confidence + 1e-3, "{} with, {} without", confidence, left);
    }

    #[test]
    fn products_that_say_the_same_are_judged_as_each_is_alone(
        claims in prop::collection::vec(prop::collection::vec((0..4usize, 0..3usize, 0.0..1.5f64), 0..3), 1..12),
        stand in prop::collection::vec(0..2usize, 12),
    ) {
        let classes = known();
        let said = |(f, c, off): &(usize, usize, f64)| claim(*f, *c, off.round());
        let evidence: Vec<Evidence> = claims.iter().map(|c| product(&c.iter().map(said).collect::<Vec<_>>())).collect();
        let own: Vec<Posterior> = evidence.iter().zip(&stand).map(|(_, s)| [vec![(0, 0.9)], vec![]][*s].clone()).collect();
        let wordings = Wordings::of(&evidence);
        for by in [&CLAIMS[..], &ALL] {
            let together = Judge::new(&classes, &evidence, &wordings, by).posteriors(&own);
            for (i, product) in evidence.iter().enumerate() {
                prop_assert_eq!(&together[i], &classes.posterior_of(product, &own[i], by));
            }
        }
    }

    #[test]
    fn many_classes_judge_together_as_each_product_alone(
        said in prop::collection::vec((0..60u32, 0..60u32, 0..4usize, 0.0..1.5f64, 1..6usize), 1..40),
        stand in prop::collection::vec(0..3usize, 40),
    ) {
        let classes = many();
        let evidence: Vec<Evidence> = said
            .iter()
            .map(|(code, other, field, off, times)| {
                let mut claims = vec![claim(*field, (*code % 3) as usize, off.round()); *times];
                claims.extend([(Field::Code, *code), (Field::Code, *other), (Field::Code, *code)]);
                product(&claims)
            })
            .collect();
        let own: Vec<Posterior> = said
            .iter()
            .zip(&stand)
            .map(|(s, stand)| {
                let another = (s.0 + 1 + s.1 % 59) % 60;
                [vec![(s.0, 0.9), (another, 0.05)], vec![(s.1, 0.00005)], vec![]][*stand].clone()
            })
            .collect();
        let wordings = Wordings::of(&evidence);
        for by in [&CLAIMS[..], &ALL] {
            let together = Judge::new(&classes, &evidence, &wordings, by).posteriors(&own);
            for (i, product) in evidence.iter().enumerate() {
                prop_assert_eq!(&together[i], &classes.posterior_of(product, &own[i], by));
            }
        }
    }

    #[test]
    fn a_further_agreeing_claim_never_lowers_the_confidence(
        claims in prop::collection::vec((0..4usize, 0.0..1.0f64), 1..6),
    ) {
        let classes = known();
        let none: Vec<Posterior> = vec![Vec::new()];
        let of = |claims: &[(usize, f64)]| {
            let product = product(&claims.iter().map(|(f, off)| claim(*f, 0, *off)).collect::<Vec<_>>());
            let posterior = [classes.posterior_of(&product, &none[0], &ALL)];
            posterior[0].iter().find(|p| p.0 == 0).map_or(0.0, |p| p.1)
        };
        let mut more = claims.clone();
        more.push((1, 0.0));
        prop_assert!(of(&more) >= of(&claims) - 1e-3, "{} then {}", of(&claims), of(&more));
    }
}
