//! What options say: each about one fact, and louder than the words.

use super::{Need, NeedError, Question, code_key, push_new};
use crate::fit::codes;
use crate::normalise::claim::{Attribute, Value};
use crate::normalise::text::read_text;
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

impl Need {
    pub(super) fn take_options(&mut self, vocabulary: &Vocabulary, question: &Question) -> Result<(), NeedError> {
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

/// Of a spacing, a bare "circle" is the bolt circle.
pub(super) fn in_full(spacing: &str) -> String {
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

pub(super) fn filled(
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

pub(super) fn wrong(option: &'static str, given: &str, example: &'static str) -> NeedError {
    NeedError {
        option,
        given: given.to_string(),
        example,
    }
}
