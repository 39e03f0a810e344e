//! Geometry of bolt patterns and the rule by which two of them go together.
//!
//! The *bolt circle* is the diameter of the circle through the hole centres; a *chord* is the
//! straight distance between neighbouring holes. `n` equally spaced holes on diameter `D` have
//! chords `D·sin(π/n)`; two holes have their distance for a diameter. Lengths are mm.
//!
//! Different hole counts never agree, and whoever compares must check them first: this module
//! compares diameters only.

use super::clearances::{ClearanceSeries, clearance_mm};
use super::interval::Interval;
use super::threads::Thread;
use std::f64::consts::PI;

pub use super::spacing::{Distance, SpacingReading, read_spacing};

/// How a fastener holds the two parts together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Joint {
    /// The screw is threaded into one part, with clearance in the other only: a starter
    /// screwed onto a shroud.
    Fixed,
    /// Clearance in both parts: bolt and nut.
    Floating,
}

/// Whether two spacings go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Agreement {
    /// Every pair of values within the two intervals goes together.
    Fit,
    /// The way they were rounded leaves it open.
    Undecided,
    /// No pair of values goes together.
    NoFit,
}

/// Bolt circle of `holes` equally spaced holes whose neighbours are `chord_mm` apart.
/// For fewer than two holes there is no pattern and the chord comes back unchanged.
pub fn circle_from_chord(holes: u8, chord_mm: f64) -> f64 {
    if holes < 2 {
        chord_mm
    } else {
        chord_mm / (PI / f64::from(holes)).sin()
    }
}

/// Distance between neighbours of `holes` equally spaced holes on a circle of `circle_mm`.
pub fn chord_from_circle(holes: u8, circle_mm: f64) -> f64 {
    if holes < 2 {
        circle_mm
    } else {
        circle_mm * (PI / f64::from(holes)).sin()
    }
}

/// Circle through three holes that stand `a`, `b` and `c` apart (mm): `abc / (2·area)`, the area
/// by Heron. None where no triangle has these sides.
pub fn circle_from_triangle(a: f64, b: f64, c: f64) -> Option<f64> {
    let half = (a + b + c) / 2.0;
    let squared = half * (half - a) * (half - b) * (half - c);
    (squared > 0.0).then(|| a * b * c / (2.0 * squared.sqrt()))
}

/// Diagonal of a rectangle of holes, which is the diameter of the circle through its corners.
pub fn rectangle_diagonal(a: f64, b: f64) -> f64 {
    a.hypot(b)
}

/// By how much two nominal bolt circles (or two-hole distances, or the corner of a rectangle)
/// may differ and still bolt together, mm, holes otherwise being perfect.
///
/// `H − F` for a fixed fastener, twice that for a floating one, where `H` is the clearance hole
/// and `F` the screw: ASME Y14.5 appendix B.
pub fn position_limit_mm(joint: Joint, thread: Thread, series: ClearanceSeries) -> f64 {
    let play_mm = clearance_mm(thread).of(series) - thread.diameter_mm();
    match joint {
        Joint::Fixed => play_mm,
        Joint::Floating => 2.0 * play_mm,
    }
}

/// What rounding and ruler of one listing may put a spacing off by, mm. Common practice, no source.
pub const RULER_MM: f64 = 0.8;

/// The limit of the usual joint, mm: an M6 screw, threaded into one part, in a medium hole of the other. That this is the
/// usual one is common practice, no source.
pub fn usual_position_limit_mm() -> f64 {
    Thread::metric_coarse(6.0).map_or(0.0, |m6| position_limit_mm(Joint::Fixed, m6, ClearanceSeries::Normal))
}

/// Compares two bolt circles known within intervals, mm, against a limit from
/// [`position_limit_mm`]. Values that can only agree or disagree by the rounding are undecided.
pub fn compare_circles(a: Interval, b: Interval, limit_mm: f64) -> Agreement {
    // The figures are sums of decimals, so the bounds are compared with room for that.
    const ROOM_MM: f64 = 1e-9;
    let farthest = (a.high - b.low).max(b.high - a.low);
    if farthest <= limit_mm + ROOM_MM {
        Agreement::Fit
    } else if a.gap(&b) <= limit_mm + ROOM_MM {
        Agreement::Undecided
    } else {
        Agreement::NoFit
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: f64, expected: f64) {
        assert!((value - expected).abs() < 6e-4, "{value} is not {expected}");
    }

    fn thread(name: &str) -> Thread {
        Thread::parse(name).expect("a thread of the table")
    }

    #[test]
    fn chords_of_equal_holes() {
        // s = D·sin(π/n), computed.
        let rows = [
            (3, [86.603, 102.191, 121.244]),
            (4, [70.711, 83.439, 98.995]),
            (5, [58.779, 69.359, 82.290]),
            (6, [50.0, 59.0, 70.0]),
        ];
        for (holes, chords) in rows {
            for (circle_mm, chord_mm) in [100.0, 118.0, 140.0].into_iter().zip(chords) {
                close(chord_from_circle(holes, circle_mm), chord_mm);
                close(circle_from_chord(holes, chord_from_circle(holes, circle_mm)), circle_mm);
            }
        }
        close(circle_from_chord(3, 1.0), 1.154_701);
        close(circle_from_chord(2, 77.0), 77.0);
    }

    #[test]
    fn unequal_holes_and_rectangles() {
        close(circle_from_triangle(90.0, 100.0, 110.0).unwrap_or(0.0), 116.673);
        close(circle_from_triangle(96.660, 104.667, 104.667).unwrap_or(0.0), 118.0);
        assert_eq!(circle_from_triangle(10.0, 20.0, 30.0), None);
        close(rectangle_diagonal(60.0, 80.0), 100.0);
        close(rectangle_diagonal(70.0, 52.0), 87.201);
    }

    #[test]
    fn play_of_the_standard_holes() {
        // ISO 273 holes by the fixed- and floating-fastener rules of ASME Y14.5 appendix B.
        let rows = [
            ("M5", [0.3, 0.5, 0.8], [0.260, 0.433, 0.693], [0.212, 0.354, 0.566]),
            ("M6", [0.4, 0.6, 1.0], [0.346, 0.520, 0.866], [0.283, 0.424, 0.707]),
            ("M8", [0.4, 1.0, 2.0], [0.346, 0.866, 1.732], [0.283, 0.707, 1.414]),
        ];
        let series = [ClearanceSeries::Close, ClearanceSeries::Normal, ClearanceSeries::Loose];
        for (name, limits, three, four) in rows {
            for (at, series) in series.into_iter().enumerate() {
                let fixed = position_limit_mm(Joint::Fixed, thread(name), series);
                close(fixed, limits[at]);
                close(
                    position_limit_mm(Joint::Floating, thread(name), series),
                    2.0 * limits[at],
                );
                close(chord_from_circle(3, fixed), three[at]);
                close(chord_from_circle(4, fixed), four[at]);
            }
        }
    }

    #[test]
    fn two_circles_fit_up_to_the_limit() {
        let limit = position_limit_mm(Joint::Fixed, thread("M6"), ClearanceSeries::Normal);
        let compare = |a: f64, b: f64| compare_circles(Interval::exact(a), Interval::exact(b), limit);
        assert_eq!(compare(118.0, 118.4), Agreement::Fit);
        assert_eq!(compare(118.0, 118.6), Agreement::Fit);
        assert_eq!(compare(118.0, 118.8), Agreement::NoFit);
    }

    #[test]
    fn rounded_figures_may_leave_it_open() {
        let ruler = |mm: f64| Interval::around(mm, 0.5);
        assert_eq!(compare_circles(ruler(118.0), ruler(118.0), 0.6), Agreement::Undecided);
        assert_eq!(compare_circles(ruler(118.0), ruler(118.0), 1.0), Agreement::Fit);
        assert_eq!(compare_circles(ruler(118.0), ruler(119.0), 0.6), Agreement::Undecided);
        assert_eq!(compare_circles(ruler(118.0), ruler(122.0), 0.6), Agreement::NoFit);
    }

    #[test]
    fn the_limit_agrees_with_three_holes_laid_out() {
        // Screws of M6 on a circle of 118, holes of 6.6 on another circle: each screw is off centre
        // by half the difference and must stay within half the play.
        let limit = position_limit_mm(Joint::Fixed, thread("M6"), ClearanceSeries::Normal);
        for (circle_mm, fits) in [(118.4, true), (118.59, true), (118.8, false)] {
            let angles = [0.0, 2.0 * PI / 3.0, 4.0 * PI / 3.0];
            let off = |angle: f64| {
                let (x, y) = (
                    (circle_mm - 118.0) / 2.0 * angle.cos(),
                    (circle_mm - 118.0) / 2.0 * angle.sin(),
                );
                x.hypot(y)
            };
            assert_eq!(
                angles.into_iter().all(|angle| off(angle) <= limit / 2.0),
                fits,
                "{circle_mm}"
            );
        }
        // Rectangle 70 x 52 against 70.4 x 52.4: corners are off by 0.283 of the 0.3 allowed.
        close(rectangle_diagonal(0.4, 0.4) / 2.0, 0.283);
        assert!(rectangle_diagonal(0.4, 0.4) <= limit);
    }
}
