//! The engines of two offers: do their displacements and codes have one in common?

use super::super::judge::{Verdict, displacements};
use super::super::stated::stated_codes;
use super::{ClaimPair, ClaimSide, neither, one_sided, said};
use crate::trade::interval::Interval;
use compact_str::CompactString;
use std::collections::BTreeSet;

/// Share by which two displacements may differ.
const SAME_ENGINE: f64 = 0.02;

pub(super) fn displacement(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
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
    let first: Vec<Interval> = displacements(&x.value).collect();
    let second: Vec<Interval> = displacements(&y.value).collect();
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

pub(super) fn codes(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
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
