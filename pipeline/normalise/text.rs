//! Free text: what a person types or pastes (`explain "TEXT"`, `find "TEXT"`), understood in the same way as a title.

use compact_str::CompactString;

use super::claim::Claim;
use super::engine_claims::About;
use super::kind::KindReading;
use super::kind_model::KindScores;
use super::line_reading::LineReading;
use super::numbers::read_title_numbers;
use super::offer::{FREE_TEXT, Flag, PartNumber};
use super::scan::Scan;
use super::sizes::{embraces_several_sizes, forget_petrol_builds, power_against_displacement};
use super::text_claims::read_text_claims;
use super::tokens::Class;
use super::vocabulary::Vocabulary;

/// What a text says.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What it sells or asks for.
    pub kind: KindReading,
    /// What it claims.
    pub claims: Vec<Claim>,
    /// Its part numbers.
    pub numbers: Vec<PartNumber>,
    /// Remarks.
    pub flags: Vec<Flag>,
    /// Words that were not understood, folded, in their order, each once.
    pub leftover_words: Vec<CompactString>,
}

/// Reads a free text.
pub fn read_text(vocabulary: &Vocabulary, text: &str) -> Reading {
    let scan = Scan::of(vocabulary, text);
    let mut scores = KindScores::new(vocabulary);
    scores.title(&scan);
    let mut reading = LineReading::default();
    let used = read_text_claims(vocabulary, &scan, About::Part, FREE_TEXT, &mut reading);
    read_title_numbers(vocabulary, &scan, &used, &mut reading);
    forget_petrol_builds(&mut reading.claims);
    if embraces_several_sizes(&mut reading) {
        reading.flag(Flag::Universal);
    }
    if power_against_displacement(&reading.claims) {
        reading.flag(Flag::PowerAgainstDisplacement);
    }
    let kind = scores.settle(&reading.claims);
    let leftover_words = leftover_words(&scan, &used, &reading);
    reading.flags.sort_unstable();
    Reading {
        kind,
        claims: reading.claims,
        numbers: reading.numbers,
        flags: reading.flags,
        leftover_words,
    }
}

fn leftover_words(scan: &Scan, used: &[std::ops::Range<usize>], reading: &LineReading) -> Vec<CompactString> {
    let mut leftover: Vec<CompactString> = Vec::new();
    for (at, token) in scan.tokens.iter().enumerate() {
        let word = token.text(&scan.folded);
        let known = !scan.words[at].is_unknown()
            || scan
                .things
                .iter()
                .any(|found| (found.first as usize..found.end as usize).contains(&at))
            || used.iter().any(|span| token.overlaps(span))
            || reading.claims.iter().any(|claim| claim.text == word)
            || reading
                .numbers
                .iter()
                .any(|number| number.raw.to_lowercase().contains(word));
        if token.class != Class::Symbol && !known && !leftover.iter().any(|other| other == word) {
            leftover.push(CompactString::from(word));
        }
    }
    leftover
}
