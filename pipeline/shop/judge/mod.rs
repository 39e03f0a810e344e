//! One fact of a need judged against one fit group: does the group agree, and how likely is it that somebody
//! who needs this group would have said so?
//!
//! Hard facts (displacement out of the band, another hole count, another bolt circle by the fixed-fastener
//! rule) contradict; what rests on a rule of thumb or on what happens to be listed can only be doubtful.
//! The likelihoods are estimates, no measured source.

pub(super) mod engine;
mod interface;

use super::need::Need;
use crate::publish::GroupRow;
use crate::trade::interval::Interval;
use compact_str::CompactString;
use engine::{band, by_brand, by_code, by_cue, by_displacement, by_power};
use interface::{by_circle, by_holes, by_thread};

/// Half the width by which a band of displacements is taken to be wider than what was stated, as a share:
/// trade names are rounded (196 cc is sold as 200). Common practice, no source.
const BAND_SLACK: f64 = 0.02;

/// Position of the holes where no thread is known: M6 in medium holes, the usual case. Common practice, no source.
const USUAL_THREAD: &str = "M6";

/// How a fact of the need stands to a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// the group agrees
    Agrees,
    /// the way the figures were rounded leaves it open
    Open,
    /// the group says nothing about it
    Unknown,
    /// the group speaks against it, and may yet be wrong about it
    Doubtful,
    /// a part of the group will not bolt on, or serves another engine
    Contradicts,
}

impl Verdict {
    /// One word for people and files.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Agrees => "agrees",
            Verdict::Open => "open",
            Verdict::Unknown => "not known",
            Verdict::Doubtful => "doubtful",
            Verdict::Contradicts => "differs",
        }
    }
}

/// One fact of the need judged against one group.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// name of the fact
    pub fact: &'static str,
    /// verdict
    pub verdict: Verdict,
    /// what was asked and what the group says
    pub words: String,
    /// likelihood of the fact for somebody who needs this group
    pub(super) likelihood: f64,
}

/// Whether a group lists an engine code; a maker counts only when both name one.
pub fn serves(group: &GroupRow, code: &str) -> bool {
    let (maker, bare) = split_code(code);
    group.engine_codes.split(';').any(|listed| {
        let (listed_maker, listed) = split_code(listed);
        let same_maker = maker.is_empty() || listed_maker.is_empty() || maker == listed_maker;
        same_maker && !listed.is_empty() && listed.eq_ignore_ascii_case(bare)
    })
}

fn split_code(code: &str) -> (&str, &str) {
    code.split_once(':').unwrap_or(("", code))
}

/// Judges every fact of the need; of its codes only those that some group of the run serves.
pub(super) fn judge(need: &Need, known_codes: &[&CompactString], group: &GroupRow) -> Vec<Judged> {
    let mut judged = Vec::new();
    let band = band(&group.displacement_cc);
    judged.extend(known_codes.iter().map(|code| by_code(code, group)));
    judged.extend(need.displacement.iter().map(|cc| by_displacement(*cc, band)));
    if need.displacement.is_empty() {
        judged.extend(need.power_kw.iter().map(|kw| by_power(*kw, band)));
    }
    judged.extend(need.cues.iter().map(|word| by_cue(word, group)));
    judged.extend(need.brands.iter().map(|brand| by_brand(brand, group)));
    judged.extend(need.holes.map(|holes| by_holes(holes, group.bolt_holes)));
    if !need.circles_mm.is_empty() {
        judged.push(by_circle(need, group));
    }
    if !need.threads.is_empty() {
        judged.push(by_thread(need.threads, group));
    }
    judged
}

fn fact(fact: &'static str, verdict: Verdict, likelihood: f64, words: String) -> Judged {
    Judged {
        fact,
        verdict,
        words,
        likelihood,
    }
}

/// Judges a group, or the number of a part in it, that was asked for.
pub(super) fn by_name(need: &Need, named: bool) -> Judged {
    let of_group = !need.groups.is_empty();
    let (verdict, likelihood, words) = match (named, of_group) {
        (true, true) => (Verdict::Agrees, 1.0, "the group asked for"),
        (true, false) => (Verdict::Agrees, 1.0, "the part with this number stands in the group"),
        (false, true) => (Verdict::Contradicts, 1e-6, "not the group asked for"),
        (false, false) => (
            Verdict::Contradicts,
            1e-6,
            "the part with this number stands in another group",
        ),
    };
    fact(
        if of_group { "group" } else { "number" },
        verdict,
        likelihood,
        words.into(),
    )
}

/// `163-212 cc`, `196 cc`; what lies within the rounding of one figure is that figure.
pub fn cc_words(cc: Interval) -> String {
    if cc.width() <= 1.0 + 1e-9 {
        format!("{} cc", figure(cc.mid()))
    } else {
        format!("{}-{} cc", figure(cc.low), figure(cc.high))
    }
}

/// A figure with as many decimals as it needs, two at most.
pub fn figure(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The figures and ranges of a published cell of displacements, cc: `163;196`, `163-212`.
pub(super) fn displacements(cell: &str) -> impl Iterator<Item = Interval> {
    cell.split(';').filter_map(band)
}

/// Whether a published cell of displacements states one, cc: a figure within the rounding of trade names, or a range
/// around it.
pub(super) fn states(cell: &str, asked: Interval) -> bool {
    displacements(cell).any(|stated| stated.grown(0.5 + BAND_SLACK * stated.mid()).overlaps(&asked))
}
