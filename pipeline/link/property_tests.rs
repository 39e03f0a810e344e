//! Properties that every link keeps: symmetric, and never likelier for lack of an agreeing identifier.

use super::compare::{Comparison, FIELDS, Field, Lies, Path, compare};
use super::learning;
use super::learning::Known;
use super::records::{HardClaims, KindSure, NumberPlace, RecordText, Records};
use super::rivals::Rivals;
use super::weights::PathWeights;
use proptest::prelude::*;
use std::sync::OnceLock;

const NUMBERS: [&str; 5] = ["TV4471A", "TV4417A", "28400", "KR552910", "28400ZA"];
const WORDS: [&str; 8] = [
    "recoil", "starter", "brunlo", "kr200", "red", "heavy", "196", "complete",
];

/// A line as a handful of choices.
type Line = (u32, Vec<usize>, Vec<(u8, usize)>, u64, Option<f64>);

fn line() -> impl Strategy<Value = Line> {
    (
        0..3u32,
        prop::collection::vec(0..WORDS.len(), 1..6),
        prop::collection::vec((0..3u8, 0..NUMBERS.len()), 0..3),
        prop::sample::select(vec![0u64, 0, 952_000_000_017, 952_000_000_024]),
        prop::option::of(5.0..40.0f64),
    )
}

fn records(lines: &[Line]) -> Records {
    let titles: Vec<String> = lines
        .iter()
        .map(|l| l.1.iter().map(|w| WORDS[*w]).collect::<Vec<_>>().join(" "))
        .collect();
    let texts: Vec<RecordText<'_>> = lines
        .iter()
        .zip(&titles)
        .map(|(line, title)| RecordText {
            list: line.0,
            kind: 0,
            kind_sure: KindSure::QuiteCertain,
            title,
            extra: "",
            brand: "",
            numbers: line
                .2
                .iter()
                .map(|(place, n)| {
                    let places = [NumberPlace::Own, NumberPlace::Title, NumberPlace::Replaces];
                    (places[*place as usize], NUMBERS[*n])
                })
                .collect(),
            gtin: line.3,
            pack: 1,
            price: line.4.unwrap_or(f64::NAN),
            relative_price: f64::NAN,
            weight_g: f64::NAN,
            currency: 0,
            hard: HardClaims::default(),
        })
        .collect();
    Records::of(&texts)
}

/// Weights learned on pairs of which some agree by words, some by number and most by neither.
fn learned() -> &'static PathWeights {
    static LEARNED: OnceLock<PathWeights> = OnceLock::new();
    LEARNED.get_or_init(|| {
        let mut comparisons = Vec::new();
        for i in 0..400u32 {
            let mut levels = [0u8; FIELDS];
            let by_number = i % 3 == 0;
            levels[Field::Words as usize] = 1 + (i * 7 % 10) as u8;
            levels[Field::RareShared as usize] = 1 + (i * 3 % 5) as u8;
            levels[Field::Price as usize] = 1 + (i % 6) as u8;
            if by_number {
                levels[Field::Number as usize] = 1 + (i / 3 % 10) as u8;
                levels[Field::Barcode as usize] = (i / 30 % 3) as u8;
            }
            comparisons.push(Comparison {
                levels,
                cosine: (i * 7 % 10) as f32 / 10.0,
                likeness: (i * 7 % 10) as f32 / 10.0,
                path: if by_number { Path::Identifier } else { Path::Words },
                lies: Lies::Between,
                by_words: true,
                number_records: if by_number { 2 } else { 0 },
            });
        }
        let pairs: Vec<(u32, u32)> = (0..400).map(|i| (i, 400 + i)).collect();
        let lists: Vec<u32> = (0..800).map(|i| u32::from(i >= 400)).collect();
        let items: Vec<u32> = (0..800).collect();
        let rivals = Rivals::of(&pairs, &lists, &items, vec![(1.0, 1.0); 400]);
        let known = Known {
            all_pairs: 160_000.0,
            told: &[],
            least: 0.0,
            sure: &[],
            strangers: &[],
        };
        learning::learn(&comparisons, &rivals, known).weights
    })
}

proptest! {
    #[test]
    fn a_pair_is_as_likely_seen_from_either_side(lines in prop::collection::vec(line(), 2..6)) {
        let records = records(&lines);
        let (a, b) = (&records.list[0], &records.list[1]);
        let (here, there) = (compare(&records, a, b), compare(&records, b, a));
        prop_assert_eq!(here.levels, there.levels);
        prop_assert_eq!(here.path, there.path);
        prop_assert!((learned().log_odds(&here) - learned().log_odds(&there)).abs() < 1e-9);
    }

    #[test]
    fn taking_an_agreeing_identifier_away_never_makes_a_pair_likelier(lines in prop::collection::vec(line(), 2..6)) {
        let records = records(&lines);
        let with = compare(&records, &records.list[0], &records.list[1]);
        if let Some(without) = with.without_agreeing_identifier() {
            prop_assert!(learned().log_odds(&without) <= learned().log_odds(&with) + 1e-12);
        }
    }

    #[test]
    fn taking_the_barcode_off_a_line_never_makes_a_pair_with_that_barcode_likelier(
        mut lines in prop::collection::vec(line(), 2..6),
    ) {
        // lines without numbers: what is left after the barcode are words
        lines.iter_mut().for_each(|l| l.2.clear());
        lines[0].3 = 952_000_000_017;
        lines[1].3 = 952_000_000_017;
        let with = records(&lines);
        let likely = learned().log_odds(&compare(&with, &with.list[0], &with.list[1]));
        lines[0].3 = 0;
        let without = records(&lines);
        prop_assert!(learned().log_odds(&compare(&without, &without.list[0], &without.list[1])) <= likely + 1e-9);
    }
}
