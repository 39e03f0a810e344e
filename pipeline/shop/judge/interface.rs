//! Facts of the interface: mounting holes, bolt circle and thread.

use super::{Judged, USUAL_THREAD, Verdict, fact, figure};
use crate::publish::GroupRow;
use crate::shop::need::Need;
use crate::trade::bolt_pattern::{Agreement, Joint, compare_circles, position_limit_mm};
use crate::trade::clearances::ClearanceSeries;
use crate::trade::interval::Interval;
use crate::trade::threads::{Thread, ThreadSet};

pub(super) fn by_holes(asked: u8, stated: Option<u8>) -> Judged {
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

pub(super) fn by_circle(need: &Need, group: &GroupRow) -> Judged {
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

pub(super) fn threads(cell: &str) -> ThreadSet {
    cell.split('|').filter_map(Thread::parse).collect()
}

pub(super) fn by_thread(asked: ThreadSet, group: &GroupRow) -> Judged {
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
