//! Drawings in the page: bolt patterns, displacement bands and price strips, as inline SVG.
//!
//! Bolt patterns are drawn to one scale, [`PIXELS_PER_MM`], with a bar of [`BAR_MM`] beside them, so that
//! two groups can be told apart by eye. They are drawn evenly spaced with a hole at the top, because
//! lists say how many holes and on which circle, not at which angles. Every drawing says in words what
//! it shows.

use std::f64::consts::TAU;

use maud::{Markup, html};
use rust_decimal::prelude::ToPrimitive;

use super::view::{GroupView, Standing, spans};
use crate::publish::column::money;
use crate::publish::tables::GroupRow;

/// Scale of the bolt patterns.
const PIXELS_PER_MM: f64 = 1.0;
/// Length of the scale bar.
const BAR_MM: f64 = 50.0;
/// Room around the pattern, in millimetres.
const MARGIN_MM: f64 = 12.0;
/// Circles beyond this are not believed to be a pull starter's and are not drawn.
const WIDEST_MM: f64 = 400.0;
/// Ends of the displacement axis in cubic centimetres; a wider band runs off the end.
const AXIS_CC: (f64, f64) = (40.0, 1000.0);
const STRIP: (f64, f64) = (300.0, 34.0);

/// The bolt pattern of a group, or nothing where its circle is not known.
pub fn bolt_pattern(group: &GroupRow) -> Option<Markup> {
    let circle_mm = group
        .bolt_circle_mm
        .filter(|circle| *circle > 0.0 && *circle <= WIDEST_MM)?;
    let half_mm = circle_mm / 2.0;
    let side_mm = circle_mm + 2.0 * MARGIN_MM;
    let height_mm = side_mm + 14.0;
    let centre = side_mm / 2.0;
    let tolerance_mm = group.bolt_circle_tolerance_mm.unwrap_or(0.0).clamp(0.0, half_mm);
    let hole_mm = thread_diameter_mm(&group.thread).unwrap_or(6.0);
    let bar_y = side_mm + 4.0;
    Some(html! {
        svg .pattern role="img" aria-label=(pattern_words(group, circle_mm))
            viewBox={ "0 0 " (figure(side_mm)) " " (figure(height_mm)) }
            width=(figure(side_mm * PIXELS_PER_MM)) height=(figure(height_mm * PIXELS_PER_MM)) {
            @if tolerance_mm > 0.0 {
                circle .tolerance cx=(figure(centre)) cy=(figure(centre)) r=(figure(half_mm))
                    stroke-width=(figure(2.0 * tolerance_mm)) {}
            }
            circle .circle cx=(figure(centre)) cy=(figure(centre)) r=(figure(half_mm)) {}
            path .centre d={
                "M" (figure(centre - 4.0)) " " (figure(centre)) "h8M" (figure(centre)) " " (figure(centre - 4.0)) "v8"
            } {}
            @for (x, y) in hole_places(group.bolt_holes.unwrap_or(0), half_mm, centre) {
                circle .hole cx=(figure(x)) cy=(figure(y)) r=(figure(hole_mm / 2.0)) {}
            }
            path .bar d={ "M2 " (figure(bar_y)) "v4h" (figure(BAR_MM)) "v-4" } {}
            text .label x=(figure(BAR_MM + 6.0)) y=(figure(bar_y + 5.0)) { (figure(BAR_MM)) " mm" }
        }
    })
}

fn pattern_words(group: &GroupRow, circle_mm: f64) -> String {
    let holes = group
        .bolt_holes
        .map_or("an unknown count of holes".to_owned(), |holes| format!("{holes} holes"));
    let tolerance = group
        .bolt_circle_tolerance_mm
        .map(|tolerance| format!(" plus or minus {tolerance:.1}"));
    format!(
        "Bolt pattern: {holes} on a circle of {circle_mm:.1}{} mm",
        tolerance.unwrap_or_default()
    )
}

/// Centres of the holes, evenly spaced from the top clockwise.
fn hole_places(holes: u8, half_mm: f64, centre: f64) -> Vec<(f64, f64)> {
    let place = |hole: u8| {
        let angle = TAU * f64::from(hole) / f64::from(holes) - TAU / 4.0;
        (centre + half_mm * angle.cos(), centre + half_mm * angle.sin())
    };
    (0..holes).map(place).collect()
}

/// Nominal diameter of the first thread named: `M6` is 6 mm, `1/4-20` is 6.35 mm (1 in = 25.4 mm).
fn thread_diameter_mm(thread: &str) -> Option<f64> {
    let first = thread.split('|').next()?;
    if let Some(metric) = first.strip_prefix('M') {
        return metric.split(['x', '×']).next()?.parse().ok();
    }
    let (over, under) = first.split('-').next()?.split_once('/')?;
    let (over, under): (f64, f64) = (over.parse().ok()?, under.parse().ok()?);
    (under > 0.0).then_some(25.4 * over / under)
}

/// The displacements served, on an axis that all groups share.
pub fn displacement_band(displacement_cc: &str) -> Option<Markup> {
    let spans = spans(displacement_cc);
    if spans.is_empty() {
        return None;
    }
    let (width, height) = STRIP;
    let ticks = [50.0, 100.0, 200.0, 400.0, 800.0];
    Some(html! {
        svg .band role="img" aria-label={ "Displacement " (displacement_cc) " cc" }
            viewBox={ "0 0 " (figure(width)) " " (figure(height)) } {
            path .axis d={ "M0 16h" (figure(width)) } {}
            @for cc in ticks {
                path .axis d={ "M" (figure(along(cc))) " 13v6" } {}
                text .tick x=(figure(along(cc))) y="31" { (figure(cc)) }
            }
            @for (low, high) in spans {
                rect .span x=(figure(along(low) - 1.5)) y="8" height="16" rx="2"
                    width=(figure(along(high) - along(low) + 3.0)) {}
            }
        }
    })
}

/// Place on the displacement axis, which is logarithmic: sizes double rather than add.
fn along(cc: f64) -> f64 {
    let (low, high) = AXIS_CC;
    STRIP.0 * ((cc.clamp(low, high) / low).ln() / (high / low).ln())
}

/// Delivered prices of the offers carried, cheapest left; sure offers filled, others hollow.
pub fn price_strip(view: &GroupView<'_>, currency: &str) -> Option<Markup> {
    let offers = view.offers.iter().take(view.carried);
    let priced: Vec<_> = offers
        .filter_map(|offer| Some((offer.landed_price?, offer.confidence)))
        .collect();
    let low = priced.iter().map(|(price, _)| *price).min()?;
    let high = priced.iter().map(|(price, _)| *price).max()?;
    let (start, width) = (low.to_f64()?, (high - low).to_f64()?);
    if width <= 0.0 {
        return None;
    }
    let place = |price: &rust_decimal::Decimal| {
        price
            .to_f64()
            .map(|price| 6.0 + (STRIP.0 - 12.0) * (price - start) / width)
    };
    let (low, high) = (money(low.round_dp(2)), money(high.round_dp(2)));
    Some(html! {
        svg .prices role="img"
            aria-label={ "Delivered prices of " (priced.len()) " offers, from " (low) " to " (high) " " (currency) }
            viewBox={ "0 0 " (figure(STRIP.0)) " " (figure(STRIP.1)) } {
            path .axis d={ "M0 12h" (figure(STRIP.0)) } {}
            @for (price, confidence) in &priced {
                @if let Some(x) = place(price) {
                    circle class={ "price " (Standing::of(*confidence).word()) } cx=(figure(x)) cy="12" r="4.5" {}
                }
            }
            text .tick .first x="0" y="31" { (low) }
            text .tick .last x=(figure(STRIP.0)) y="31" { (high) }
        }
    })
}

/// A coordinate with at most two decimals.
fn figure(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(holes: u8, circle_mm: f64) -> GroupRow {
        GroupRow {
            bolt_holes: Some(holes),
            bolt_circle_mm: Some(circle_mm),
            thread: "M6".into(),
            ..GroupRow::default()
        }
    }

    #[test]
    fn neighbouring_holes_stand_a_chord_apart() {
        // Computed: three holes on 118 mm are 118 x sin(60 degrees) = 102.191 mm apart.
        let places = hole_places(3, 59.0, 100.0);
        let (a, b) = (places[0], places[1]);
        let chord = (a.0 - b.0).hypot(a.1 - b.1);
        assert!((chord - 102.191).abs() < 0.001, "{chord}");
    }

    #[test]
    fn the_drawing_has_its_holes_and_its_words() {
        let drawn = bolt_pattern(&group(4, 100.0)).unwrap().into_string();
        assert_eq!(drawn.matches("class=\"hole\"").count(), 4);
        assert!(drawn.contains("4 holes on a circle of 100.0 mm"), "{drawn}");
    }

    #[test]
    fn a_circle_that_is_unknown_or_absurd_is_not_drawn() {
        assert!(bolt_pattern(&GroupRow::default()).is_none());
        assert!(bolt_pattern(&group(3, 9000.0)).is_none());
        assert!(bolt_pattern(&group(3, f64::NAN)).is_none());
    }

    #[test]
    fn thread_sizes_are_read_in_both_systems() {
        assert_eq!(thread_diameter_mm("M6|M8"), Some(6.0));
        assert_eq!(thread_diameter_mm("M8x1.25"), Some(8.0));
        assert_eq!(thread_diameter_mm("1/4-20"), Some(6.35));
        assert_eq!(thread_diameter_mm(""), None);
    }

    #[test]
    fn equal_ratios_of_displacement_are_equal_lengths() {
        assert!(((along(200.0) - along(100.0)) - (along(400.0) - along(200.0))).abs() < 1e-9);
    }
}
