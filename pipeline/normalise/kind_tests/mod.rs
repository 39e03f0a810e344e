//! What a title sells, sentence by sentence. Titles are invented; the rules are common practice, no source.
//!
//! Here: how a sentence is asserted, and what holds for any text. The sentences stand in a file for each subject.

mod assemblies;
mod beside;
mod contents;
mod heads;
mod languages;
mod misspelt;
mod ways_of_starting;

use super::test_rows::vocabulary;
use super::text::{Reading, read_text};
use proptest::prelude::*;

fn read(title: &str) -> Reading {
    read_text(vocabulary(), title)
}

/// Asserts that each title is read as this kind, with at least this probability.
fn all_are(kind: &str, least: f32, titles: &[&str]) {
    for title in titles {
        let reading = read(title);
        let name = vocabulary().kind_name(reading.kind.kind);
        assert_eq!(name, kind, "{title}: {:?}", reading.kind);
        assert!(reading.kind.probability >= least, "{title}: {:?}", reading.kind);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn any_text_is_read_without_panic_and_with_sound_probabilities(text in "(\\PC|recoil|starter|168F|mit|ohne|拉盘| |,|3 holes|102 mm|KR200/240){0,40}") {
        let reading = read(&text);
        let total: f32 = reading.kind.probability + reading.kind.alternatives.iter().map(|(_, p)| p).sum::<f32>();
        prop_assert!((0.0..=1.0001).contains(&total), "{total}");
        prop_assert!(reading.kind.probability > 0.0);
    }
}
