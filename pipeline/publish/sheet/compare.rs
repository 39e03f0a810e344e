//! The second page: what to compare with the old part, the refit, and the cautions.

use maud::{Markup, html};

use super::{About, CircleReading, FitSheet, screws, with_tolerance};
use crate::publish::terminal::inert;
use crate::trade::bolt_pattern::chord_from_circle;
use crate::trade::cautions::{BEFORE_ORDERING, Caution, LIMIT, SAFETY};
use crate::trade::clearances::clearance_mm;

/// Cautions that are steps of the refit, in their order; the others stand apart.
const REFIT_CUES: [&str; 2] = ["refit", "check"];

/// The page.
pub fn page(sheet: &FitSheet) -> Markup {
    let is_step = |caution: &&Caution| REFIT_CUES.contains(&caution.cue);
    html! {
        section .sheet-page {
            h2 { "Compare with the old part" }
            (table(sheet))
            (served(sheet))
            div .two {
                div {
                    h2 { "It may not be the starter" }
                    ul { @for wording in BEFORE_ORDERING { li { (wording) } } }
                    h2 { "Refit" }
                    ol {
                        li { "Lay the new part on the old one: hole on hole, same depth, same cup." }
                        @for caution in SAFETY.iter().filter(is_step) { li { (caution.wording) } }
                    }
                }
                div {
                    h2 { "Cautions" }
                    dl {
                        @for caution in SAFETY.iter().filter(|caution| !is_step(caution)) {
                            div { dt { (caution.cue) } dd { (caution.wording) } }
                        }
                    }
                }
            }
            p .limit { (LIMIT) ". The engine's manual and local rules go before this sheet." }
        }
    }
}

/// One thing to compare: what it is, how it is measured, and what the lists say of it, empty when nothing.
type Compared = (&'static str, &'static str, String);

/// What a person can measure, and what the lists say of it: the interface first, then what is seen at a glance.
fn things_to_compare(sheet: &FitSheet) -> [Compared; 10] {
    let group = &sheet.group;
    let count = group.bolt_holes.map(|holes| holes.to_string()).unwrap_or_default();
    let each = |of: &dyn Fn(&CircleReading) -> String| {
        let values: Vec<String> = sheet.readings.iter().map(of).collect();
        values.join(" or ")
    };
    let chord = match group.bolt_holes {
        Some(holes @ 2..) => each(&|reading| format!("{:.1} mm", chord_from_circle(holes, reading.circle_mm))),
        _ => String::new(),
    };
    let screws = screws(group);
    let names: Vec<&str> = screws.iter().map(|screw| screw.name()).collect();
    let holes: Vec<String> = screws
        .iter()
        .map(|screw| format!("{:.1} mm for {}", clearance_mm(*screw).normal, screw.name()))
        .collect();
    [
        ("Mounting holes", "count", count),
        ("Hole to next hole", "edge to edge, plus one hole diameter", chord),
        (
            "Bolt circle",
            "through the centres of the holes",
            each(&|reading| with_tolerance(reading.circle_mm, reading.tolerance_mm)),
        ),
        (
            "Hole diameter",
            "medium clearance, ISO 273 or ASME B18.2.8",
            either(&[holes.join(" or "), stated(sheet, About::HoleDiameter)]),
        ),
        ("Screw", "thread gauge; the head does not tell", names.join(" or ")),
        (
            "Depth",
            "from flange to pawl tip, pawls drawn in",
            stated(sheet, About::Depth),
        ),
        ("Pawls", "count; steel or plastic", stated(sheet, About::Pawls)),
        ("Cup", "round holes, slots or teeth; their count", String::new()),
        ("Flange", "outer diameter; drops into the shroud", String::new()),
        (
            "Pull",
            "side of the rope; way the reel turns",
            stated(sheet, About::PullSide),
        ),
    ]
}

/// The things to compare, with room to write.
fn table(sheet: &FitSheet) -> Markup {
    html! {
        table {
            thead { tr { th scope="col" { "What" } th scope="col" { "How" } th scope="col" { "The lists say" } th scope="col" { "Old part" } } }
            tbody {
                @for (what, how, value) in things_to_compare(sheet) {
                    tr {
                        th scope="row" { (what) }
                        td { (how) }
                        td { @if value.is_empty() { span .none { "not stated" } } @else { (inert(&value)) } }
                        td .blank {}
                    }
                }
            }
        }
    }
}

fn either(values: &[String]) -> String {
    let known: Vec<&str> = values
        .iter()
        .map(String::as_str)
        .filter(|value| !value.is_empty())
        .collect();
    known.join("; ")
}

/// `48 mm (3 offers), 52 mm (1 offer)`.
fn stated(sheet: &FitSheet, about: About) -> String {
    let of_it = sheet.stated.iter().filter(|stated| stated.about == about);
    let words: Vec<String> = of_it
        .map(|stated| {
            let offers = if stated.offers == 1 { "offer" } else { "offers" };
            format!("{} ({} {offers})", stated.value, stated.offers)
        })
        .collect();
    words.join(", ")
}

/// What the group is for.
fn served(sheet: &FitSheet) -> Markup {
    let group = &sheet.group;
    let codes = group
        .engine_codes
        .split(';')
        .map(|code| code.split_once(':').map_or(code, |named| named.1));
    let codes: Vec<&str> = codes.filter(|code| !code.is_empty()).collect();
    html! {
        p .served {
            "Fit group " strong { (inert(&group.group_id)) }
            @if !group.family.is_empty() { "; " (inert(&group.family)) }
            @if !group.displacement_cc.is_empty() { "; " (inert(&group.displacement_cc.replace(';', ", "))) " cc" }
            @if !codes.is_empty() { "; engine codes " (inert(&codes.join(", "))) }
            "; " (group.offers) " offers, " (format!("{:.0}", (group.confidence * 100.0).floor())) " % sure on average."
        }
    }
}
