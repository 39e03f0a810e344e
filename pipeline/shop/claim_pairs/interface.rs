//! How two offers bolt on: do their holes, bolt circles and threads go together?

use super::super::judge::Verdict;
use super::super::matching::figure;
use super::super::stated::stated_spacings;
use super::{ClaimPair, ClaimSide, Said, neither, one_sided, said};
use crate::trade::bolt_pattern::{RULER_MM, usual_position_limit_mm};
use crate::trade::interval::Interval;
use compact_str::CompactString;
use std::collections::BTreeSet;

pub(super) fn holes(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
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

pub(super) fn circle(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
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
    let (clearance, rulers) = (usual_position_limit_mm(), 2.0 * RULER_MM);
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
    let reach = usual_position_limit_mm() + 2.0 * RULER_MM;
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

pub(super) fn thread(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
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
