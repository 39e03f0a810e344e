//! One fact of a need judged against one fit group: does the group agree, and how likely is it that somebody
//! who needs this group would have said so?
//!
//! Hard facts (displacement out of the band, another hole count, another bolt circle by the fixed-fastener
//! rule) contradict; what rests on a rule of thumb or on what happens to be listed can only be doubtful.
//! The likelihoods are estimates, no measured source.

use super::need::Need;
use crate::normalise::claim::cue;
use crate::publish::GroupRow;
use crate::trade::bolt_pattern::{Agreement, Joint, compare_circles, position_limit_mm};
use crate::trade::clearances::ClearanceSeries;
use crate::trade::folding::fold;
use crate::trade::interval::Interval;
use crate::trade::power::displacement_from_power;
use crate::trade::threads::{Thread, ThreadSet};
use compact_str::CompactString;

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

fn by_code(code: &str, group: &GroupRow) -> Judged {
    let shown = split_code(code).1;
    let (verdict, likelihood, words) = if serves(group, code) {
        (Verdict::Agrees, 1.0, format!("engine code {shown} served"))
    } else if group.engine_codes.is_empty() {
        (
            Verdict::Unknown,
            0.1,
            format!("engine code {shown}: the group names no codes"),
        )
    } else {
        (
            Verdict::Doubtful,
            0.002,
            format!("engine code {shown} not among those served"),
        )
    };
    fact("engine code", verdict, likelihood, words)
}

/// The band of displacements of a published cell, cc: `163-212`, `196`, `163;196`.
pub fn band(cell: &str) -> Option<Interval> {
    let mut figures = cell
        .split(['-', ';'])
        .filter_map(|figure| figure.trim().parse::<f64>().ok());
    let first = figures.next()?;
    Some(figures.fold(Interval::between(first, first), |band, cc| {
        band.hull(&Interval::between(cc, cc))
    }))
}

fn by_displacement(asked: Interval, band: Option<Interval>) -> Judged {
    let shown = cc_words(asked);
    let Some(band) = band else {
        return fact(
            "displacement",
            Verdict::Unknown,
            0.1,
            format!("{shown}: the group states no displacement"),
        );
    };
    let wide = band.grown(BAND_SLACK * band.mid());
    let (verdict, likelihood, relation) = if band.grown(0.5).covers(&asked) {
        (Verdict::Agrees, 1.0, "inside")
    } else if wide.overlaps(&asked) {
        (Verdict::Agrees, 0.6, "at the edge of")
    } else {
        let far = band.gap(&asked) / asked.mid();
        (Verdict::Contradicts, (0.1 * (-far / 0.05).exp()).max(1e-4), "outside")
    };
    fact(
        "displacement",
        verdict,
        likelihood,
        format!("{shown} {relation} {}", cc_words(band)),
    )
}

fn by_power(kw: Interval, band: Option<Interval>) -> Judged {
    let usual = displacement_from_power(kw);
    let asked = format!("{} kW, usually {}", figure(kw.mid()), cc_words(usual));
    match band {
        None => fact(
            "power",
            Verdict::Unknown,
            0.2,
            format!("{asked}: the group states no displacement"),
        ),
        Some(band) if band.overlaps(&usual) => fact(
            "power",
            Verdict::Agrees,
            1.0,
            format!("{asked}: meets {}", cc_words(band)),
        ),
        // a rule of thumb excludes nothing
        Some(band) => {
            let far = band.gap(&usual) / usual.mid();
            fact(
                "power",
                Verdict::Doubtful,
                (0.5 * (-far / 0.1).exp()).max(0.01),
                format!("{asked}: misses {}", cc_words(band)),
            )
        }
    }
}

fn by_cue(word: &str, group: &GroupRow) -> Judged {
    let family = fold(&group.family).into_owned();
    let horizontal = word == cue::HORIZONTAL_SHAFT && family.contains("industrial");
    if horizontal || family.contains(word) {
        fact("family", Verdict::Agrees, 1.0, format!("{word}: {}", group.family))
    } else {
        fact(
            "family",
            Verdict::Doubtful,
            0.1,
            format!("{word}: not said of {}", group.family),
        )
    }
}

fn by_brand(brand: &str, group: &GroupRow) -> Judged {
    let makers: Vec<&str> = group
        .engine_codes
        .split(';')
        .map(|code| split_code(code).0)
        .filter(|m| !m.is_empty())
        .collect();
    if makers.contains(&brand) || fold(&group.family).contains(brand) {
        fact(
            "engine maker",
            Verdict::Agrees,
            1.0,
            format!("engines of {brand} among those served"),
        )
    } else if makers.is_empty() {
        fact(
            "engine maker",
            Verdict::Unknown,
            0.5,
            format!("{brand}: the group names no makers"),
        )
    } else {
        fact(
            "engine maker",
            Verdict::Doubtful,
            0.1,
            format!("engines of {brand} not among those served"),
        )
    }
}

fn by_holes(asked: u8, stated: Option<u8>) -> Judged {
    match stated {
        None => fact(
            "holes",
            Verdict::Unknown,
            0.4,
            format!("{asked} holes: the group states no count"),
        ),
        Some(count) if count == asked => fact("holes", Verdict::Agrees, 1.0, format!("{asked} holes")),
        Some(count) => fact(
            "holes",
            Verdict::Contradicts,
            0.01,
            format!("{asked} holes asked, {count} stated"),
        ),
    }
}

fn by_circle(need: &Need, group: &GroupRow) -> Judged {
    let asked: Vec<String> = need.circles_mm.iter().map(|circle| figure(circle.mid())).collect();
    let asked = format!("bolt circle {} mm", asked.join(" or "));
    let Some(centre) = group.bolt_circle_mm else {
        return fact(
            "bolt circle",
            Verdict::Unknown,
            0.4,
            format!("{asked}: the group states none"),
        );
    };
    let stated = Interval::around(centre, group.bolt_circle_tolerance_mm.unwrap_or(0.0));
    let limit = circle_limit_mm(need.threads, &group.thread);
    let best = need.circles_mm.iter().map(|circle| {
        let nominal = (circle.mid() - centre).abs() <= limit;
        match compare_circles(*circle, stated, limit) {
            Agreement::Fit => (Verdict::Agrees, 1.0),
            Agreement::Undecided if nominal => (Verdict::Agrees, 0.9),
            Agreement::Undecided => (Verdict::Open, 0.4),
            Agreement::NoFit => (Verdict::Contradicts, 0.005),
        }
    });
    let (verdict, likelihood) = best.min_by_key(|found| found.0).unwrap_or((Verdict::Unknown, 0.4));
    let words = format!("{asked} against {} mm, play {} mm", figure(centre), figure(limit));
    fact("bolt circle", verdict, likelihood, words)
}

/// Play of the screws by the fixed-fastener rule, mm; the largest of the threads that may be meant.
fn circle_limit_mm(asked: ThreadSet, stated: &str) -> f64 {
    let of_group = threads(stated);
    let common = asked.intersection(of_group);
    let set = if !common.is_empty() {
        common
    } else if !of_group.is_empty() {
        of_group
    } else {
        asked
    };
    let usual = Thread::parse(USUAL_THREAD);
    let play = |thread: Thread| position_limit_mm(Joint::Fixed, thread, ClearanceSeries::Normal);
    set.iter()
        .chain(usual.filter(|_| set.is_empty()))
        .map(play)
        .fold(0.0, f64::max)
}

fn threads(cell: &str) -> ThreadSet {
    cell.split('|').filter_map(Thread::parse).collect()
}

fn by_thread(asked: ThreadSet, group: &GroupRow) -> Judged {
    let stated = threads(&group.thread);
    let words = format!("thread {asked}");
    if stated.is_empty() {
        fact(
            "thread",
            Verdict::Unknown,
            0.4,
            format!("{words}: the group states none"),
        )
    } else if asked.intersection(stated).is_empty() {
        fact(
            "thread",
            Verdict::Doubtful,
            0.1,
            format!("{words} asked, {stated} stated"),
        )
    } else {
        fact("thread", Verdict::Agrees, 1.0, words)
    }
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

/// Whether a published cell of displacements states one, cc: a figure within the rounding of trade names, or a range
/// around it.
pub(super) fn states(cell: &str, asked: Interval) -> bool {
    cell.split(';')
        .filter_map(band)
        .any(|stated| stated.grown(0.5 + BAND_SLACK * stated.mid()).overlaps(&asked))
}
