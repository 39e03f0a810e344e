use super::*;
use proptest::prelude::*;

#[test]
fn a_bolt_circle_is_measured_by_what_the_holes_allow() {
    assert!(words(Field::Circle, Some(3)).contains("times 1.155"));
    assert!(words(Field::Circle, Some(4)).contains("across opposite holes"));
    for holes in [None, Some(3), Some(4), Some(5)] {
        let words = words(Field::Circle, holes);
        assert!(words.starts_with("bolt circle, with callipers: "));
        assert!(words.contains("hole edge to hole edge plus one hole diameter"));
    }
    // 1.155 = 1 / sin 60 degrees, what the chord of three equal holes is to their circle
    assert!((crate::trade::bolt_pattern::circle_from_chord(3, 1.0) - 1.155).abs() < 5e-4);
}

#[test]
fn every_question_names_what_to_look_at_or_the_tool() {
    for field in QUESTIONS {
        let words = words(field, None);
        let named = ["count", "plate", "callipers", "gauge"]
            .iter()
            .any(|tool| words.contains(tool));
        assert!(named, "{words}");
    }
}

/// The gain by its definition, outcome by outcome.
fn plain_gain(prior: &[f64], chances: &[BTreeMap<u32, f64>]) -> f64 {
    let bins: std::collections::BTreeSet<u32> = chances.iter().flat_map(|c| c.keys().copied()).collect();
    if bins.is_empty() || chances.iter().any(BTreeMap::is_empty) {
        return 0.0;
    }
    let mut after = 0.0;
    for bin in bins {
        let chance = |c: &BTreeMap<u32, f64>| c.get(&bin).copied().unwrap_or(UNSEEN);
        let joint: Vec<f64> = prior.iter().zip(chances).map(|(p, c)| p * chance(c)).collect();
        let sum: f64 = joint.iter().sum();
        after += sum * entropy(&joint.iter().map(|j| j / sum).collect::<Vec<_>>());
    }
    (entropy(prior) - after).max(0.0)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_gain_is_what_its_definition_gives(
        groups in proptest::collection::vec((0.01f64..1.0, proptest::collection::btree_map(0u32..9, 0.05f64..1.0, 0..6)), 1..6),
    ) {
        let (prior, maps): (Vec<f64>, Vec<BTreeMap<u32, f64>>) = groups.into_iter().unzip();
        let chances: Vec<Rc<[(u32, f64)]>> = maps.iter().map(|map| map.clone().into_iter().collect()).collect();
        prop_assert_eq!(expected_gain(&prior, &chances).to_bits(), plain_gain(&prior, &maps).to_bits());
    }
}

#[test]
fn entropy_of_two_equal_chances_is_one_bit() {
    assert!((entropy(&[0.5, 0.5]) - 1.0).abs() < 1e-12);
    assert_eq!(entropy(&[1.0, 0.0]), 0.0);
}
