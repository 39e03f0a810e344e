//! The fit sheet: one fit group on paper, its bolt pattern at full size, to hold against the old part.
//!
//! A *reading* is one bolt circle that the lists' words may mean; where the circle is not settled every
//! reading is drawn, each on a page of its own, and the old part decides. The sheet is one HTML page without
//! script that loads nothing. It says how to check the printer before it is trusted. Nothing is scaled to
//! fit: what is too large for a page is drawn by two neighbouring holes, or only said.

mod compare;
mod drawing;
mod layout;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::policy::policy_without_script;
use super::tables::GroupRow;
use super::terminal::inert;
use crate::trade::bolt_pattern::chord_from_circle;
use crate::trade::clearances::clearance_mm;
use crate::trade::threads::Thread;
use drawing::{Figures, extent, full_size};
use layout::{Placed, place};

const STYLE: &str = include_str!("sheet.css");
/// Drawn where no thread is known, and said to be a guess: the usual screw of these parts (common practice,
/// no source).
const USUAL_THREAD: &str = "M6";
/// Holes of a pattern that is believed.
const HOLES: std::ops::RangeInclusive<u8> = 2..=12;

/// A fit group with what is known of it beyond its row.
#[derive(Debug, Clone)]
pub struct FitSheet {
    /// The group.
    pub group: GroupRow,
    /// What the bolt circle may be, the likeliest first: one entry where it is settled, none where nothing is known.
    pub readings: Vec<CircleReading>,
    /// Other figures that offers of the group state.
    pub stated: Vec<Stated>,
}

/// One bolt circle that the lists may mean.
#[derive(Debug, Clone, PartialEq)]
pub struct CircleReading {
    /// Diameter.
    pub circle_mm: f64,
    /// Half width of what is not known of it.
    pub tolerance_mm: f64,
    /// What has to be true for it, in words; empty where it is settled.
    pub provided: String,
}

/// Something that offers of the group state, such as a depth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stated {
    /// What it is about.
    pub about: About,
    /// The value, in words.
    pub value: String,
    /// Offers that state it.
    pub offers: usize,
}

/// What a stated figure is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// Depth from the flange.
    Depth,
    /// Count or material of the pawls.
    Pawls,
    /// Side on which the rope comes out.
    PullSide,
    /// Diameter of the mounting holes.
    HoleDiameter,
}

/// The sheet as a page.
pub fn page(sheet: &FitSheet) -> String {
    let name = inert(&sheet.group.name);
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy_without_script(STYLE));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light";
                title { "Fit sheet " (inert(&sheet.group.group_id)) ": " (name) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    h1 { (name) }
                    @for (at, reading) in sheet.readings.iter().enumerate() { (pattern_page(sheet, at, reading)) }
                    @if sheet.readings.is_empty() { (no_pattern(sheet)) }
                    (compare::page(sheet))
                }
            }
        }
    };
    markup.into_string()
}

/// One reading of the circle at full size.
fn pattern_page(sheet: &FitSheet, at: usize, reading: &CircleReading) -> Markup {
    let group = &sheet.group;
    let holes = group.bolt_holes.filter(|holes| HOLES.contains(holes)).unwrap_or(0);
    let (screw_mm, hole_mm) = sizes(screws(group).first().copied());
    let words = pattern_words(holes, reading);
    let figures = |id| Figures {
        id,
        circle_mm: reading.circle_mm,
        tolerance_mm: reading.tolerance_mm,
        hole_mm,
        screw_mm,
        words: &words,
    };
    let placed = place(holes, reading.circle_mm, hole_mm);
    html! {
        section .sheet-page {
            (heading(sheet, at, &words, reading))
            p .how {
                "Print at 100 % (actual size), never fitted to the page. Lay a ruler on both bars, or a bank card on its "
                "line: if they are off, do not use the sheet. "
                @match &placed {
                    Some(Placed { drawn, .. }) => (extent(*drawn)),
                    None => "The pattern is larger than the sheet and not drawn: measure from hole to hole.",
                }
                @if group.thread.is_empty() { " No screw is stated: holes are drawn for " (USUAL_THREAD) ", which is a guess." }
            }
            @if let Some(placed) = &placed { (full_size(placed, figures(at + 1))) }
        }
    }
}

fn heading(sheet: &FitSheet, at: usize, words: &str, reading: &CircleReading) -> Markup {
    let count = sheet.readings.len();
    html! {
        h2 { (words) }
        @if count > 1 {
            p .doubt {
                "The lists do not settle the bolt circle. Reading " (at + 1) " of " (count) ": " (inert(&reading.provided))
                ". The old part decides which sheet holds."
            }
        } @else if !reading.provided.is_empty() {
            p .doubt { (inert(&reading.provided)) ". Compare before you rely on it." }
        }
    }
}

fn no_pattern(sheet: &FitSheet) -> Markup {
    let holes = sheet.group.bolt_holes.map(|holes| format!("{holes} holes, but "));
    html! {
        section .sheet-page {
            h2 { "No bolt circle is known" }
            p .doubt {
                "The lists state " (holes.unwrap_or_default()) "no spacing for this group, so there is nothing to draw. "
                "Measure the old part: from hole edge to hole edge, plus one hole diameter."
            }
        }
    }
}

/// The pattern in one line.
fn pattern_words(holes: u8, reading: &CircleReading) -> String {
    let circle = with_tolerance(reading.circle_mm, reading.tolerance_mm);
    match holes {
        0 => format!("Holes on a circle of {circle}; their count is not stated"),
        _ => format!(
            "{holes} holes on a circle of {circle}, {:.1} mm from hole to hole",
            chord_from_circle(holes, reading.circle_mm)
        ),
    }
}

/// `117.8 ± 0.5 mm`.
fn with_tolerance(value_mm: f64, tolerance_mm: f64) -> String {
    if tolerance_mm >= 0.05 {
        format!("{value_mm:.1} ± {tolerance_mm:.1} mm")
    } else {
        format!("{value_mm:.1} mm")
    }
}

/// The screws that the group may take.
fn screws(group: &GroupRow) -> Vec<Thread> {
    group.thread.split('|').filter_map(Thread::parse).collect()
}

/// Screw and medium clearance hole, mm.
fn sizes(thread: Option<Thread>) -> (f64, f64) {
    let usual = || Thread::parse(USUAL_THREAD);
    thread
        .or_else(usual)
        .map_or((6.0, 6.6), |thread| (thread.diameter_mm(), clearance_mm(thread).normal))
}

#[cfg(test)]
mod tests;
