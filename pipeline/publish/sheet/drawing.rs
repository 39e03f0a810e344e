//! The pattern at full size, as inline SVG whose unit is the millimetre.
//!
//! `width` and `height` are the view box in millimetres, so one unit is one millimetre of paper wherever
//! the page is printed at 100 %. Each hole has its clearance circle, the screw inside it and a cross that
//! can be pricked through. Two scale bars, one along and one across, tell whether the printer kept to it.

use maud::{Markup, html};

use super::layout::{Drawn, FLOOR_MM, HIGH_MM, LEFT_MM, Placed, WIDE_MM};

/// Length of the scale bar along the sheet.
pub const BAR_MM: f64 = 100.0;
/// Length of the scale bar up the sheet.
pub const UPRIGHT_BAR_MM: f64 = 50.0;
/// Longer side of a bank or identity card, ID-1 of ISO/IEC 7810: 85.60 mm (value from memory).
const CARD_MM: f64 = 85.6;

/// What is drawn beside the places of the holes.
#[derive(Debug, Clone, Copy)]
pub struct Figures<'a> {
    /// Names the drawing inside the page.
    pub id: usize,
    /// Bolt circle.
    pub circle_mm: f64,
    /// Half width of what is not known of it.
    pub tolerance_mm: f64,
    /// Clearance hole.
    pub hole_mm: f64,
    /// Screw.
    pub screw_mm: f64,
    /// What it shows, for those who cannot see it.
    pub words: &'a str,
}

/// The drawing.
pub fn full_size(placed: &Placed, figures: Figures<'_>) -> Markup {
    let (x, y) = placed.centre;
    let clip = format!("room-{}", figures.id);
    html! {
        svg .full-size role="img" aria-label=(figures.words) width={ (mm(WIDE_MM)) "mm" } height={ (mm(HIGH_MM)) "mm" }
            viewBox={ "0 0 " (mm(WIDE_MM)) " " (mm(HIGH_MM)) } {
            clipPath id=(clip) { rect x=(mm(LEFT_MM)) y="0" width=(mm(WIDE_MM - LEFT_MM)) height=(mm(FLOOR_MM)) {} }
            g clip-path={ "url(#" (clip) ")" } {
                @if figures.tolerance_mm > 0.0 {
                    circle .tolerance cx=(mm(x)) cy=(mm(y)) r=(mm(figures.circle_mm / 2.0))
                        stroke-width=(mm(2.0 * figures.tolerance_mm)) {}
                }
                circle .circle cx=(mm(x)) cy=(mm(y)) r=(mm(figures.circle_mm / 2.0)) {}
                path .cross d=(cross(x, y, 8.0)) {}
                (chord(placed))
            }
            @for (x, y) in &placed.holes {
                circle .hole cx=(mm(*x)) cy=(mm(*y)) r=(mm(figures.hole_mm / 2.0)) {}
                circle .screw cx=(mm(*x)) cy=(mm(*y)) r=(mm(figures.screw_mm / 2.0)) {}
                path .cross d=(cross(*x, *y, figures.hole_mm / 2.0 + 4.0)) {}
            }
            (scale_bars())
        }
    }
}

/// The straight line between the first two holes, with its length.
fn chord(placed: &Placed) -> Markup {
    let [(ax, ay), (bx, by), ..] = placed.holes[..] else {
        return html! {};
    };
    let length = (bx - ax).hypot(by - ay);
    let mut turn = (by - ay).atan2(bx - ax).to_degrees();
    if !(-90.0..=90.0).contains(&turn) {
        turn += 180.0;
    }
    html! {
        path .chord d={ "M" (mm(ax)) " " (mm(ay)) "L" (mm(bx)) " " (mm(by)) } {}
        text .length transform={ "translate(" (mm((ax + bx) / 2.0)) " " (mm((ay + by) / 2.0)) ") rotate(" (mm(turn)) ")" } dy="-1.5" {
            (format!("{length:.1} mm"))
        }
    }
}

fn cross(x: f64, y: f64, arm: f64) -> String {
    let (left, top, length) = (mm(x - arm), mm(y - arm), mm(2.0 * arm));
    format!("M{left} {}h{length}M{} {top}v{length}", mm(y), mm(x))
}

/// Both bars start at the lower left corner. Ticks every ten millimetres, and the length of a bank card.
fn scale_bars() -> Markup {
    let floor = HIGH_MM - 9.0;
    let corner = 2.0;
    let across: String = (1..10)
        .map(|tick| format!("M{} {}v-2", mm(corner + 10.0 * f64::from(tick)), mm(floor)))
        .collect();
    let up: String = (1..5)
        .map(|tick| format!("M{} {}h1.5", mm(corner), mm(floor - 10.0 * f64::from(tick))))
        .collect();
    html! {
        path .scale #bar-across d={ "M" (mm(corner)) " " (mm(floor)) "h" (mm(BAR_MM)) } {}
        path .scale d={ "M" (mm(corner)) " " (mm(floor)) "v" (mm(-UPRIGHT_BAR_MM)) } {}
        path .tick d={ "M" (mm(corner + BAR_MM)) " " (mm(floor)) "v-4" (across) (up)
            "M" (mm(corner)) " " (mm(floor - UPRIGHT_BAR_MM)) "h2.5" } {}
        path .card d={ "M" (mm(corner)) " " (mm(floor + 2.5)) "v3h" (mm(CARD_MM)) "v-3" } {}
        text .note x=(mm(corner + BAR_MM + 2.0)) y=(mm(floor + 0.5)) {
            "exactly " (BAR_MM) " mm along and " (UPRIGHT_BAR_MM) " mm up"
        }
        text .note x=(mm(corner + CARD_MM + 2.0)) y=(mm(floor + 6.5)) { "a bank card is this long, 85.6 mm" }
    }
}

/// Whether a drawing shows every hole, in words.
pub fn extent(drawn: Drawn) -> &'static str {
    match drawn {
        Drawn::Whole => "Every hole is drawn.",
        Drawn::Neighbours => {
            "The pattern is larger than the sheet: two neighbouring holes are drawn. Turn the sheet from pair to pair."
        }
    }
}

/// Millimetres to the hundredth of what paper can show: a thousandth.
fn mm(value: f64) -> String {
    let text = format!("{:.3}", value + 0.0);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::super::layout::place;
    use super::*;

    fn figures(circle_mm: f64) -> Figures<'static> {
        Figures {
            id: 1,
            circle_mm,
            tolerance_mm: 0.5,
            hole_mm: 6.6,
            screw_mm: 6.0,
            words: "three holes",
        }
    }

    /// The value of an attribute, the first time it stands after a place in the text.
    fn value<'a>(svg: &'a str, from: &str, name: &str) -> &'a str {
        let start = svg.find(from).unwrap();
        let rest = &svg[start..];
        let at = rest.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
        &rest[at..at + rest[at..].find('"').unwrap()]
    }

    #[test]
    fn one_unit_of_the_drawing_is_one_millimetre_of_paper() {
        let svg = full_size(&place(3, 118.0, 6.6).unwrap(), figures(118.0)).into_string();
        let (wide, high) = (value(&svg, "<svg", "width"), value(&svg, "<svg", "height"));
        let wide = wide.strip_suffix("mm").unwrap();
        let high = high.strip_suffix("mm").unwrap();
        assert_eq!(value(&svg, "<svg", "viewBox"), format!("0 0 {wide} {high}"));
    }

    #[test]
    fn the_scale_bar_is_as_long_as_it_says() {
        let svg = full_size(&place(3, 118.0, 6.6).unwrap(), figures(118.0)).into_string();
        assert_eq!(value(&svg, "id=\"bar-across\"", "d"), "M2 187h100");
        assert!(svg.contains("exactly 100 mm along"));
    }

    #[test]
    fn holes_are_drawn_where_they_are_placed() {
        let placed = place(3, 118.0, 6.6).unwrap();
        let svg = full_size(&placed, figures(118.0)).into_string();
        let drawn: Vec<(f64, f64)> = svg
            .split("class=\"hole\"")
            .skip(1)
            .map(|rest| {
                (
                    value(rest, "", "cx").parse().unwrap(),
                    value(rest, "", "cy").parse().unwrap(),
                )
            })
            .collect();
        assert_eq!(drawn.len(), 3);
        let chord = (drawn[0].0 - drawn[1].0).hypot(drawn[0].1 - drawn[1].1);
        assert!((chord - 102.191).abs() < 0.002, "{chord}");
        assert!(svg.contains("102.2 mm"));
    }

    #[test]
    fn a_thousandth_of_a_millimetre_is_enough_and_no_zero_is_negative() {
        assert_eq!(mm(118.0), "118");
        assert_eq!(mm(85.6), "85.6");
        assert_eq!(mm(-0.0), "0");
    }
}
