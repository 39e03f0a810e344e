//! A need: what is known of the part that is wanted and of the engine it must go on.
//!
//! A person says it in their own words, in options, or in both. Words are read as a supplier's title is
//! read (`normalise::text`); an option that says something about the same fact wins over the words. What
//! was not understood is kept and shown, never dropped in silence.

use crate::fit::codes;
use crate::normalise::claim::{Attribute, Claim, Provenance, Value, cue};
use crate::normalise::kind::KindId;
use crate::normalise::text::{Reading, read_text};
use crate::normalise::vocabulary::Vocabulary;
use crate::trade::Context;
use crate::trade::bolt_pattern::read_spacing;
use crate::trade::displacement::read_displacement;
use crate::trade::fastener::read_fastener;
use crate::trade::folding::fold;
use crate::trade::identifier::canonical_number;
use crate::trade::interval::Interval;
use crate::trade::power::read_power;
use crate::trade::threads::{Thread, ThreadSet};
use compact_str::CompactString;
use std::fmt;

/// Probability from which the words are taken to ask for a kind of part.
const KIND_MEANT: f32 = 0.5;
/// Fewest signs of a word that is tried as a number.
const FEWEST_SIGNS: usize = 3;

/// What was asked, in the asker's own spelling.
#[derive(Clone, Debug, Default)]
pub struct Question {
    /// free words
    pub words: String,
    /// part number of a maker or supplier, or a barcode
    pub number: Option<String>,
    /// name of a part kind in scope
    pub kind: Option<KindId>,
    /// displacement, such as `212` or `163/196cc`
    pub cc: Option<String>,
    /// engine code, such as `168F-2`
    pub code: Option<String>,
    /// power, such as `6.5 hp`
    pub power: Option<String>,
    /// number of mounting holes
    pub holes: Option<u8>,
    /// spacing of the holes, such as `118 mm circle`
    pub spacing: Option<String>,
    /// thread of the mounting screws, such as `M6`
    pub thread: Option<String>,
}

/// What is wanted, as far as it is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Need {
    /// kind in scope that is asked for
    pub kind: Option<KindId>,
    /// kind that is asked for and is not in scope, as a name of files
    pub out_of_scope: Option<CompactString>,
    /// displacements to be served, cc
    pub displacement: Vec<Interval>,
    /// engine powers to be served, kW
    pub power_kw: Vec<Interval>,
    /// stems of engine codes to be served, `maker:` in front where it was said
    pub codes: Vec<CompactString>,
    /// makers of the engine, folded
    pub brands: Vec<CompactString>,
    /// words for the engine family
    pub cues: Vec<CompactString>,
    /// mounting holes
    pub holes: Option<u8>,
    /// bolt circles, mm; one of them is meant
    pub circles_mm: Vec<Interval>,
    /// threads, one of which is meant
    pub threads: ThreadSet,
    /// part numbers, as written
    pub numbers: Vec<CompactString>,
    /// fit groups named by their id
    pub groups: Vec<CompactString>,
    /// words that were not understood
    pub leftover: Vec<CompactString>,
    /// of the words as typed, those that may be a number that does not look like one; tried, never relied on
    pub perhaps_numbers: Vec<CompactString>,
}

/// An option that could not be read: wrong usage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeedError {
    /// the option
    pub option: &'static str,
    /// what was given
    pub given: String,
    /// an example of what can be read
    pub example: &'static str,
}

impl fmt::Display for NeedError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: `{}` could not be read", self.option, self.given)
    }
}

impl std::error::Error for NeedError {}

impl Need {
    /// Reads a question.
    ///
    /// # Errors
    /// An option holds something that is no value of it.
    pub fn of(vocabulary: &Vocabulary, question: &Question) -> Result<Need, NeedError> {
        let mut need = Need::default();
        let is_group = |word: &&str| is_group_id(word);
        let groups = question.words.split_whitespace().filter(is_group);
        need.groups = groups.map(|word| word.to_ascii_uppercase().into()).collect();
        let words: Vec<&str> = question
            .words
            .split_whitespace()
            .filter(|word| !is_group(word))
            .collect();
        if !words.is_empty() {
            let words = words.join(" ");
            need.take_words(vocabulary, read_text(vocabulary, &words));
            need.take_bare_lengths();
            need.perhaps_numbers = perhaps_numbers(&words, &need.leftover);
        }
        need.take_options(vocabulary, question)?;
        Ok(need)
    }

    /// Whether it says anything to search by.
    pub fn is_empty(&self) -> bool {
        self.numbers.is_empty()
            && self.groups.is_empty()
            && self.kind.is_none()
            && !self.states_engine_or_interface()
            && self.perhaps_numbers.is_empty()
    }

    /// Whether it says anything about the engine or the holes.
    pub fn states_engine_or_interface(&self) -> bool {
        !(self.displacement.is_empty()
            && self.power_kw.is_empty()
            && self.codes.is_empty()
            && self.brands.is_empty()
            && self.cues.is_empty()
            && self.circles_mm.is_empty()
            && self.threads.is_empty())
            || self.holes.is_some()
    }

    fn take_words(&mut self, vocabulary: &Vocabulary, reading: Reading) {
        if reading.kind.probability >= KIND_MEANT && reading.kind.kind != KindId::UNCLEAR {
            if KindId::IN_SCOPE.contains(&reading.kind.kind) {
                self.kind = Some(reading.kind.kind);
            } else {
                self.out_of_scope = Some(vocabulary.kind_name(reading.kind.kind).into());
            }
        }
        for claim in &reading.claims {
            self.take_claim(claim);
        }
        self.numbers = reading.numbers.iter().map(|number| number.raw.clone()).collect();
        self.leftover = reading.leftover_words;
    }

    /// A bare `118mm` means nothing in a list, but a person who asks has measured something: the spacing.
    fn take_bare_lengths(&mut self) {
        if !self.circles_mm.is_empty() {
            return;
        }
        let bare = self.leftover.iter().position(|word| {
            let written = word
                .strip_suffix("mm")
                .filter(|digits| digits.starts_with(|sign: char| sign.is_ascii_digit()));
            written.is_some() && !read_spacing(word, self.holes, Context::Column).is_empty()
        });
        if let Some(at) = bare {
            let word = self.leftover.remove(at);
            let readings = read_spacing(&word, self.holes, Context::Column);
            self.circles_mm.extend(
                readings
                    .iter()
                    .flat_map(|reading| &reading.meant)
                    .map(|meaning| meaning.1),
            );
        }
    }

    fn take_claim(&mut self, claim: &Claim) {
        match (claim.attribute, &claim.value) {
            // what follows from a code or a power is judged by the code or the power itself
            (Attribute::Displacement, Value::Served(list) | Value::OneOf(list))
                if claim.provenance == Provenance::Stated =>
            {
                self.displacement.extend(list);
            }
            (Attribute::Power, Value::Served(list) | Value::OneOf(list)) => self.power_kw.extend(list),
            (Attribute::EngineCode, Value::Code(code)) => push_new(&mut self.codes, code_key(code)),
            (Attribute::Brand, Value::Word(brand)) => push_new(&mut self.brands, brand.clone()),
            (Attribute::FamilyCue, Value::Word(word)) if word != cue::UNIVERSAL => {
                push_new(&mut self.cues, word.clone());
            }
            (Attribute::BoltHoles, Value::Count(count)) => self.holes = self.holes.or(Some(*count)),
            (Attribute::BoltCircle, Value::OneOf(list) | Value::Served(list)) => self.circles_mm.extend(list),
            (Attribute::Thread, Value::Threads(threads)) => self.threads = self.threads.union(*threads),
            _ => {}
        }
    }

    fn take_options(&mut self, vocabulary: &Vocabulary, question: &Question) -> Result<(), NeedError> {
        if let Some(number) = &question.number {
            if canonical_number(number).is_empty() {
                return Err(wrong("--number", number, "--number SF-28400"));
            }
            self.numbers = vec![number.as_str().into()];
        }
        if let Some(kind) = question.kind {
            self.kind = Some(kind);
            self.out_of_scope = None;
        }
        if let Some(cc) = &question.cc {
            let served = read_displacement(&fold(cc), Context::Column)
                .into_iter()
                .flat_map(|reading| reading.served);
            self.displacement = filled(served, "--cc", cc, "--cc 212, --cc 163/196")?;
        }
        if let Some(power) = &question.power {
            let served = read_power(&fold(power), Context::Column)
                .into_iter()
                .flat_map(|reading| reading.served);
            self.power_kw = filled(served, "--power", power, "--power \"6.5 hp\", --power \"4.8 kW\"")?;
        }
        if let Some(code) = &question.code {
            self.codes = option_codes(vocabulary, code)?;
        }
        self.holes = question.holes.or(self.holes);
        if let Some(spacing) = &question.spacing {
            let readings = read_spacing(&in_full(spacing), self.holes, Context::Column);
            let meant = readings
                .iter()
                .flat_map(|reading| &reading.meant)
                .map(|meaning| meaning.1);
            self.circles_mm = filled(meant, "--spacing", spacing, "--spacing \"118 mm circle\"")?;
            self.holes = self.holes.or_else(|| readings.iter().find_map(|reading| reading.holes));
        }
        if let Some(thread) = &question.thread {
            self.threads = option_threads(thread)?;
        }
        Ok(())
    }
}

/// Whether a word is shaped like the id of a fit group: `RS-ZYVCQ`.
fn is_group_id(word: &str) -> bool {
    let upper = word.to_ascii_uppercase();
    let Some((prefix, signs)) = upper.split_once('-') else {
        return false;
    };
    ["RS", "FS", "SS", "PT"].contains(&prefix)
        && (5..=12).contains(&signs.len())
        && signs.bytes().all(|sign| sign.is_ascii_alphanumeric() || sign == b'.')
        && signs.bytes().any(|sign| sign.is_ascii_alphabetic())
}

/// Words with a digit of which some part was not understood, alone and behind the word before (`ZN 4471`).
fn perhaps_numbers(words: &str, leftover: &[CompactString]) -> Vec<CompactString> {
    let typed: Vec<&str> = words.split_whitespace().collect();
    let is_left = |word: &str| {
        let folded = fold(word).into_owned();
        folded
            .split(|sign: char| !sign.is_alphanumeric())
            .any(|part| leftover.iter().any(|left| left == part))
    };
    let mut perhaps = Vec::new();
    for (at, word) in typed.iter().enumerate() {
        if word.chars().count() < FEWEST_SIGNS || !word.bytes().any(|sign| sign.is_ascii_digit()) || !is_left(word) {
            continue;
        }
        push_new(&mut perhaps, (*word).into());
        if let Some(before) = at
            .checked_sub(1)
            .and_then(|before| typed.get(before))
            .filter(|before| is_left(before))
        {
            push_new(&mut perhaps, compact_str::format_compact!("{before} {word}"));
        }
    }
    perhaps
}

/// The key under which groups list an engine code: the stem, with its maker in front where one is named.
pub fn code_key(code: &str) -> CompactString {
    match code.split_once(':') {
        Some((maker, bare)) if !codes::is_standard(&codes::stem(bare)) => {
            compact_str::format_compact!("{maker}:{}", codes::stem(bare))
        }
        Some((_, bare)) => codes::stem(bare),
        None => codes::stem(code),
    }
}

/// Of a spacing, a bare "circle" is the bolt circle.
fn in_full(spacing: &str) -> String {
    let folded = fold(spacing).into_owned();
    let is_full = ["bolt", "hole", "pitch"]
        .iter()
        .any(|word| folded.contains(&format!("{word} circle")));
    if is_full {
        folded
    } else {
        folded.replace("circle", "bolt circle")
    }
}

fn option_codes(vocabulary: &Vocabulary, given: &str) -> Result<Vec<CompactString>, NeedError> {
    let mut found: Vec<CompactString> = Vec::new();
    // "for" in front makes the reader expect an engine
    for claim in read_text(vocabulary, &format!("for {given}")).claims {
        if let (Attribute::EngineCode, Value::Code(code)) = (claim.attribute, &claim.value) {
            push_new(&mut found, code_key(code));
        }
    }
    if found.is_empty() && given.bytes().any(|byte| byte.is_ascii_digit()) {
        found.push(codes::stem(&fold(given)));
    }
    if found.is_empty() {
        Err(wrong("--code", given, "--code 168F-2"))
    } else {
        Ok(found)
    }
}

fn option_threads(given: &str) -> Result<ThreadSet, NeedError> {
    if let Some(thread) = Thread::parse(given) {
        return Ok(ThreadSet::of(&[thread]));
    }
    let readings = read_fastener(&fold(given), Context::Column);
    let threads = readings
        .iter()
        .fold(ThreadSet::empty(), |set, reading| set.union(reading.threads));
    if threads.is_empty() {
        Err(wrong("--thread", given, "--thread M6, --thread 1/4-20"))
    } else {
        Ok(threads)
    }
}

fn filled(
    values: impl Iterator<Item = Interval>,
    option: &'static str,
    given: &str,
    example: &'static str,
) -> Result<Vec<Interval>, NeedError> {
    let values: Vec<Interval> = values.collect();
    if values.is_empty() {
        Err(wrong(option, given, example))
    } else {
        Ok(values)
    }
}

fn wrong(option: &'static str, given: &str, example: &'static str) -> NeedError {
    NeedError {
        option,
        given: given.to_string(),
        example,
    }
}

fn push_new(list: &mut Vec<CompactString>, word: CompactString) {
    if !list.contains(&word) {
        list.push(word);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn need(question: Question) -> Need {
        Need::of(&Vocabulary::built_in().unwrap(), &question).unwrap()
    }

    fn words(words: &str) -> Need {
        need(Question {
            words: words.into(),
            ..Question::default()
        })
    }

    #[test]
    fn plain_words_become_a_kind_a_displacement_and_holes() {
        let need = words("212cc pull starter 3 hole");
        assert_eq!(need.kind, Some(KindId::RECOIL_STARTER));
        assert!(need.displacement.iter().any(|cc| cc.contains(212.0)));
        assert_eq!(need.holes, Some(3));
        assert!(need.leftover.is_empty(), "{:?}", need.leftover);
    }

    #[test]
    fn the_id_of_a_group_is_no_number_of_a_part() {
        let need = words("rs-zyvcq 212cc");
        assert_eq!(need.groups, ["RS-ZYVCQ"]);
        assert!(need.numbers.is_empty() && need.leftover.is_empty(), "{need:?}");
        assert!(words("RS-28400").groups.is_empty());
    }

    #[test]
    fn a_circle_among_spacings_is_the_bolt_circle() {
        let need = need(Question {
            spacing: Some("118 mm circle".into()),
            holes: Some(3),
            ..Question::default()
        });
        assert_eq!(need.circles_mm.len(), 1);
        assert!(need.circles_mm[0].contains(118.0));
    }

    #[test]
    fn a_bare_length_of_a_person_is_a_spacing_in_both_readings() {
        let need = words("3 hole pull starter 118mm");
        assert!(need.circles_mm.iter().any(|circle| circle.contains(118.0)));
        assert_eq!(need.circles_mm.len(), 2);
        assert!(need.leftover.is_empty());
    }

    #[test]
    fn an_option_wins_over_the_words() {
        let need = need(Question {
            words: "recoil starter 163cc".into(),
            cc: Some("212".into()),
            ..Question::default()
        });
        assert_eq!(need.displacement.len(), 1);
        assert!(need.displacement[0].contains(212.0));
    }

    #[test]
    fn a_spacing_whose_meaning_is_unsaid_keeps_both_readings() {
        let need = need(Question {
            spacing: Some("102 mm".into()),
            holes: Some(3),
            ..Question::default()
        });
        assert_eq!(need.circles_mm.len(), 2);
        assert!(need.circles_mm.iter().any(|circle| circle.contains(102.0)));
        // Chord of three holes to circle, D = s / sin(60 degrees), computed.
        assert!(need.circles_mm.iter().any(|circle| circle.contains(117.78)));
    }

    #[test]
    fn an_engine_code_is_asked_for_by_its_stem() {
        let need = need(Question {
            code: Some("168F-2".into()),
            ..Question::default()
        });
        assert_eq!(need.codes, ["168F"]);
    }

    #[test]
    fn an_option_that_cannot_be_read_is_named_with_an_example() {
        let question = Question {
            cc: Some("blue".into()),
            ..Question::default()
        };
        let error = Need::of(&Vocabulary::built_in().unwrap(), &question).unwrap_err();
        assert_eq!(error.to_string(), "--cc: `blue` could not be read");
        assert!(error.example.starts_with("--cc"));
    }

    #[test]
    fn words_that_say_nothing_make_an_empty_need() {
        let need = words("something blue please");
        assert!(need.is_empty());
    }

    #[test]
    fn a_word_that_may_be_an_article_number_is_kept_to_be_tried() {
        assert_eq!(words("N-006").perhaps_numbers, ["N-006"]);
        assert_eq!(words("ZN 4471").perhaps_numbers, ["4471", "ZN 4471"]);
        assert!(words("212cc pull starter").perhaps_numbers.is_empty());
    }

    #[test]
    fn a_part_out_of_scope_is_named() {
        let need = words("starter rope 3 mm for recoil starter");
        assert_eq!(need.kind, None);
        assert_eq!(need.out_of_scope.as_deref(), Some("rope"));
    }
}
