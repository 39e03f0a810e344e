//! Two offers claim by claim: what of one agrees with the other, what contradicts it, and by how much.
//!
//! A line that says nothing of an attribute is represented by its fit group, and that is said. Rules, as elsewhere in
//! the house: different hole counts never agree; two bolt circles agree within the clearance that M6 leaves in a medium
//! hole (ISO 273, fixed fastener of ASME Y14.5 appendix B) and are open within what two rulers add; displacements agree
//! within 2 % (trade names are rounded: 196 cc is sold as 200; common practice, no source).

use super::judge::Verdict;
use super::matching::figure;
use super::stated::{stated_codes, stated_spacings};
use crate::publish::{CrossrefRow, GroupRow};
use crate::trade::bolt_pattern::{Joint, position_limit_mm};
use crate::trade::clearances::ClearanceSeries;
use crate::trade::interval::Interval;
use crate::trade::threads::Thread;
use compact_str::CompactString;
use std::collections::BTreeSet;

/// Rounding and ruler of one listing, mm (common practice, no source).
const RULER_MM: f64 = 0.8;
/// Share by which two displacements may differ.
const SAME_ENGINE: f64 = 0.02;

/// One attribute of both offers.
#[derive(Clone, Debug, PartialEq)]
pub struct ClaimPair {
    /// attribute, in words
    pub attribute: &'static str,
    /// how the two stand to each other
    pub verdict: Verdict,
    /// both values, and the reason with its figures
    pub words: String,
}

/// One side of the comparison.
#[derive(Clone, Copy, Debug)]
pub struct ClaimSide<'a> {
    /// the offer
    pub row: &'a CrossrefRow,
    /// its fit group
    pub group: Option<&'a GroupRow>,
    /// engine codes its wording names
    pub codes: &'a [CompactString],
}

/// A value with the word for where it comes from.
struct Said<T> {
    value: T,
    from: &'static str,
}

fn said<T>(own: Option<T>, group: Option<T>) -> Option<Said<T>> {
    match (own, group) {
        (Some(value), _) => Some(Said { value, from: "" }),
        (None, Some(value)) => Some(Said {
            value,
            from: " (its group)",
        }),
        (None, None) => None,
    }
}

/// Neither line says anything, and their groups say the same.
fn neither<T: PartialEq>(
    attribute: &'static str,
    x: &Said<T>,
    y: &Said<T>,
    words: impl Fn(&T) -> String,
) -> Option<ClaimPair> {
    (!x.from.is_empty() && !y.from.is_empty() && x.value == y.value).then(|| ClaimPair {
        attribute,
        verdict: Verdict::Agrees,
        words: format!("neither line says; their groups say {}", words(&x.value)),
    })
}

/// Compares two offers attribute by attribute; an attribute that neither knows is left out.
pub fn claim_pairs(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Vec<ClaimPair> {
    [
        kind(a, b),
        displacement(a, b),
        codes(a, b),
        holes(a, b),
        circle(a, b),
        thread(a, b),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn one_sided(attribute: &'static str, first: Option<String>, second: Option<String>) -> Option<ClaimPair> {
    let words = match (first, second) {
        (Some(value), None) => format!("{value}; the second does not say"),
        (None, Some(value)) => format!("the first does not say; {value}"),
        _ => return None,
    };
    Some(ClaimPair {
        attribute,
        verdict: Verdict::Unknown,
        words,
    })
}

fn kind(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let (x, y) = (&a.row.part_kind, &b.row.part_kind);
    let (verdict, words) = if x == y {
        (Verdict::Agrees, format!("both {x}"))
    } else {
        let note = match (x.as_str(), y.as_str()) {
            ("assembly", _) | (_, "assembly") => "an assembly answers a need for either, never the other way",
            _ => "different parts of the engine",
        };
        (Verdict::Contradicts, format!("{x} and {y}: {note}"))
    };
    Some(ClaimPair {
        attribute: "part",
        verdict,
        words,
    })
}

fn displacement(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let of = |side: ClaimSide<'_>| {
        let cell = |text: &str| (!text.is_empty()).then(|| text.to_string());
        said(
            cell(&side.row.displacement_cc),
            side.group.and_then(|group| cell(&group.displacement_cc)),
        )
    };
    let (Some(x), Some(y)) = (of(a), of(b)) else {
        return one_sided(
            "displacement",
            of(a).map(|s| s.value + " cc"),
            of(b).map(|s| s.value + " cc"),
        );
    };
    if let Some(pair) = neither("displacement", &x, &y, |cc| format!("{cc} cc")) {
        return Some(pair);
    }
    let (first, second) = (bands(&x.value), bands(&y.value));
    let near = |p: &Interval, q: &Interval| p.gap(q) <= SAME_ENGINE * p.mid().max(q.mid()) + 1e-9;
    let common = first.iter().any(|p| second.iter().any(|q| near(p, q)));
    let shown = format!("{} cc{} and {} cc{}", x.value, x.from, y.value, y.from);
    let (verdict, words) = if common {
        (Verdict::Agrees, format!("{shown} have an engine size in common"))
    } else {
        (Verdict::Contradicts, format!("{shown} have no engine size in common"))
    };
    Some(ClaimPair {
        attribute: "displacement",
        verdict,
        words,
    })
}

/// `163;196` or `163-212` as intervals.
fn bands(cell: &str) -> Vec<Interval> {
    let value = |part: &str| part.trim().parse::<f64>().ok();
    cell.split(';')
        .filter_map(|part| match part.split_once('-') {
            Some((low, high)) => Some(Interval::between(value(low)?, value(high)?)),
            None => Some(Interval::between(value(part)?, value(part)?)),
        })
        .collect()
}

fn codes(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let bare = |code: &str| code.rsplit(':').next().unwrap_or(code).to_uppercase();
    let of = |side: ClaimSide<'_>| -> BTreeSet<String> {
        let of_columns = stated_codes(&side.row.evidence);
        let worded = side.codes.iter().map(CompactString::as_str);
        worded.chain(of_columns).map(bare).collect()
    };
    let served = |side: ClaimSide<'_>, code: &String| {
        side.group
            .is_some_and(|group| group.engine_codes.split(';').any(|listed| bare(listed) == *code))
    };
    let (x, y) = (of(a), of(b));
    let list = |codes: &BTreeSet<String>| codes.iter().cloned().collect::<Vec<_>>().join("/");
    if x.is_empty() || y.is_empty() {
        let shown = |codes: &BTreeSet<String>| (!codes.is_empty()).then(|| list(codes));
        return one_sided("engine codes", shown(&x), shown(&y));
    }
    let common: BTreeSet<String> = x.intersection(&y).cloned().collect();
    let crosswise = x.iter().any(|code| served(b, code)) || y.iter().any(|code| served(a, code));
    let (verdict, words) = if !common.is_empty() {
        (Verdict::Agrees, format!("both name {}", list(&common)))
    } else if crosswise {
        let words = format!(
            "{} and {}: not the same, but listed together by the group",
            list(&x),
            list(&y)
        );
        (Verdict::Agrees, words)
    } else {
        (
            Verdict::Doubtful,
            format!(
                "{} and {}: no engine in common, nor in their groups",
                list(&x),
                list(&y)
            ),
        )
    };
    Some(ClaimPair {
        attribute: "engine codes",
        verdict,
        words,
    })
}

fn holes(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let of = |side: ClaimSide<'_>| said(side.row.bolt_holes, side.group.and_then(|group| group.bolt_holes));
    let shown = |side: Option<Said<u8>>| side.map(|s| format!("{} holes{}", s.value, s.from));
    let (Some(x), Some(y)) = (of(a), of(b)) else {
        return one_sided("mounting holes", shown(of(a)), shown(of(b)));
    };
    let (verdict, words) = if x.value == y.value {
        (Verdict::Agrees, format!("both {}", x.value))
    } else {
        let words = format!(
            "{}{} and {}{}: different counts never go together",
            x.value, x.from, y.value, y.from
        );
        (Verdict::Contradicts, words)
    };
    Some(ClaimPair {
        attribute: "mounting holes",
        verdict,
        words,
    })
}

/// What the clearance of the holes allows two circles to differ, mm.
fn clearance_mm() -> f64 {
    Thread::metric_coarse(6.0).map_or(0.0, |m6| position_limit_mm(Joint::Fixed, m6, ClearanceSeries::Normal))
}

fn circle(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let of = |side: ClaimSide<'_>| {
        said(
            side.row.bolt_circle_mm,
            side.group.and_then(|group| group.bolt_circle_mm),
        )
    };
    if let Some(pair) = unsettled_circles(a, b) {
        return Some(pair);
    }
    let shown = |side: Option<Said<f64>>| side.map(|s| format!("{} mm{}", figure(s.value), s.from));
    let (Some(x), Some(y)) = (of(a), of(b)) else {
        return one_sided("bolt circle", shown(of(a)), shown(of(b)));
    };
    if let Some(pair) = neither("bolt circle", &x, &y, |mm| format!("{} mm", figure(*mm))) {
        return Some(pair);
    }
    let apart = (x.value - y.value).abs();
    let (clearance, rulers) = (clearance_mm(), 2.0 * RULER_MM);
    let both = format!("{} mm{} and {} mm{}", figure(x.value), x.from, figure(y.value), y.from);
    let (verdict, reason) = if apart <= clearance {
        (
            Verdict::Agrees,
            format!("within the {clearance:.1} mm that M6 screws leave in their holes"),
        )
    } else if apart <= clearance + rulers {
        let reason = format!("more than the {clearance:.1} mm of play, but two rulers may differ by {rulers:.1} mm");
        (Verdict::Open, reason)
    } else {
        let reason = format!("the holes give {clearance:.1} mm and two rulers {rulers:.1} mm, so it will not go on");
        (Verdict::Contradicts, reason)
    };
    Some(ClaimPair {
        attribute: "bolt circle",
        verdict,
        words: format!("{both}, {} mm apart: {reason}", figure(apart)),
    })
}

/// Two lines that both give a distance of holes, at least one of which does not say which distance it is. The groups are
/// not asked: the lines do say.
fn unsettled_circles(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let of = |side: ClaimSide<'_>| -> Option<(String, Vec<Interval>)> {
        if let Some(circle) = side.row.bolt_circle_mm {
            return Some((
                format!("a circle of {} mm", figure(circle)),
                vec![Interval::exact(circle)],
            ));
        }
        let spacings = stated_spacings(&side.row.evidence, side.row.bolt_holes);
        let written = spacings.first()?.written_mm.mid();
        let meant = spacings.iter().flat_map(|spacing| &spacing.meant);
        let words = format!("{} mm, circle or hole to hole", figure(written));
        Some((words, meant.map(|(_, circle)| *circle).collect()))
    };
    if a.row.bolt_circle_mm.is_some() && b.row.bolt_circle_mm.is_some() {
        return None;
    }
    let ((x, first), (y, second)) = (of(a)?, of(b)?);
    let reach = clearance_mm() + 2.0 * RULER_MM;
    let meet = first.iter().any(|p| second.iter().any(|q| p.gap(q) <= reach));
    let (verdict, reason) = if meet {
        (Verdict::Open, "they may come to the same circle")
    } else {
        (Verdict::Contradicts, "however they are meant, the circles differ")
    };
    Some(ClaimPair {
        attribute: "bolt circle",
        verdict,
        words: format!("{x}, and {y}: {reason}"),
    })
}

fn thread(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let of = |side: ClaimSide<'_>| {
        let cell = |text: &CompactString| (!text.is_empty()).then(|| text.replace('|', " or "));
        said(cell(&side.row.thread), side.group.and_then(|group| cell(&group.thread)))
    };
    let shown = |side: Option<Said<String>>| side.map(|s| format!("{}{}", s.value, s.from));
    let (Some(x), Some(y)) = (of(a), of(b)) else {
        return one_sided("thread", shown(of(a)), shown(of(b)));
    };
    let set = |text: &str| text.split(" or ").map(str::to_string).collect::<BTreeSet<String>>();
    let common: Vec<String> = set(&x.value).intersection(&set(&y.value)).cloned().collect();
    let (verdict, words) = if common.is_empty() {
        let words = format!("{}{} and {}{}: different screws", x.value, x.from, y.value, y.from);
        (Verdict::Contradicts, words)
    } else if x.value == y.value && common.len() == 1 {
        (Verdict::Agrees, format!("both {}", common[0]))
    } else {
        (
            Verdict::Open,
            format!(
                "{}{} and {}{}: {} would suit both",
                x.value,
                x.from,
                y.value,
                y.from,
                common.join(" or ")
            ),
        )
    };
    Some(ClaimPair {
        attribute: "thread",
        verdict,
        words,
    })
}

#[cfg(test)]
#[path = "claim_pairs_tests.rs"]
mod tests;
