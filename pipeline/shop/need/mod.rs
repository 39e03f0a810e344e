//! A need: what is known of the part that is wanted and of the engine it must go on.
//!
//! A person says it in their own words, in options, or in both. Words are read as a supplier's title is
//! read (`normalise::text`); an option that says something about the same fact wins over the words. What
//! was not understood is kept and shown, never dropped in silence.

mod options;
mod wording;

use crate::fit::codes;
use crate::normalise::kind::KindId;
use crate::normalise::text::read_text;
use crate::normalise::vocabulary::Vocabulary;
use crate::trade::interval::Interval;
use crate::trade::threads::ThreadSet;
use compact_str::CompactString;
use std::fmt;
use wording::{is_group_id, perhaps_numbers};

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

fn push_new(list: &mut Vec<CompactString>, word: CompactString) {
    if !list.contains(&word) {
        list.push(word);
    }
}

#[cfg(test)]
mod tests;
