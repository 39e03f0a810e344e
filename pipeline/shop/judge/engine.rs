//! Facts of the engine: its codes, displacement, power, family and maker.

use super::{BAND_SLACK, Judged, Verdict, cc_words, fact, figure, serves, split_code};
use crate::normalise::claim::cue;
use crate::publish::GroupRow;
use crate::trade::folding::fold;
use crate::trade::interval::Interval;
use crate::trade::power::displacement_from_power;

pub(super) fn by_code(code: &str, group: &GroupRow) -> Judged {
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

pub(super) fn by_displacement(asked: Interval, band: Option<Interval>) -> Judged {
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

pub(super) fn by_power(kw: Interval, band: Option<Interval>) -> Judged {
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

pub(super) fn by_cue(word: &str, group: &GroupRow) -> Judged {
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

pub(super) fn by_brand(brand: &str, group: &GroupRow) -> Judged {
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
