//! Clearance holes: how much larger than its screw a through hole is drilled.
//!
//! The difference is what two bolt patterns may disagree by and still go together, see
//! `bolt_pattern`. Metric series of ISO 273 (fine H12, medium H13, coarse H14), seen alike in
//! PyPI bd_warehouse 0.4.0 `clearance_hole_sizes.csv` for M3 to M10 and in JIS B 1001; M12 as in
//! JIS B 1001, because bd_warehouse differs from the standard there. Inch series of
//! ASME B18.2.8, through the same package.

use super::threads::{Thread, ThreadSet};

/// Hole diameters for one screw, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// ISO 273 fine, ASME close.
    pub close: f64,
    /// ISO 273 medium, ASME normal.
    pub normal: f64,
    /// ISO 273 coarse, ASME loose.
    pub loose: f64,
}

/// Which of the three holes is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClearanceSeries {
    /// Fine (close) fit.
    Close,
    /// Medium (normal) fit, the usual one for stamped and die-cast covers.
    Normal,
    /// Coarse (loose) fit.
    Loose,
}

impl Clearance {
    const fn mm(close: f64, normal: f64, loose: f64) -> Self {
        Clearance { close, normal, loose }
    }

    const fn sixty_fourths(close: f64, normal: f64, loose: f64) -> Self {
        let mm = 25.4 / 64.0;
        Clearance {
            close: close * mm,
            normal: normal * mm,
            loose: loose * mm,
        }
    }

    /// The hole of one series, mm.
    pub fn of(&self, series: ClearanceSeries) -> f64 {
        match series {
            ClearanceSeries::Close => self.close,
            ClearanceSeries::Normal => self.normal,
            ClearanceSeries::Loose => self.loose,
        }
    }

    /// How far a hole diameter is from the nearest of the three, mm.
    fn distance_mm(&self, hole_mm: f64) -> f64 {
        let off = |of_mm: f64| (of_mm - hole_mm).abs();
        off(self.close).min(off(self.normal)).min(off(self.loose))
    }
}

/// The clearance holes of a screw. Depends on the diameter only; fine threads share the hole.
pub fn clearance_mm(thread: Thread) -> Clearance {
    // Rounded to a tenth of a millimetre every diameter of the table is distinct.
    let tenths = (thread.diameter_mm() * 10.0).round();
    match (thread.is_inch(), tenths as u32) {
        (false, 30) => Clearance::mm(3.2, 3.4, 3.6),
        (false, 40) => Clearance::mm(4.3, 4.5, 4.8),
        (false, 50) => Clearance::mm(5.3, 5.5, 5.8),
        (false, 60) => Clearance::mm(6.4, 6.6, 7.0),
        (false, 70) => Clearance::mm(7.4, 7.6, 8.0),
        (false, 80) => Clearance::mm(8.4, 9.0, 10.0),
        (false, 100) => Clearance::mm(10.5, 11.0, 12.0),
        (false, _) => Clearance::mm(13.0, 13.5, 14.5),
        (true, 64) => Clearance::sixty_fourths(17.0, 18.0, 19.0),
        (true, 79) => Clearance::sixty_fourths(21.0, 22.0, 23.0),
        (true, _) => Clearance::sixty_fourths(25.0, 26.0, 27.0),
    }
}

/// A hole further than this from every tabulated one is no clearance hole, mm.
const FARTHEST_MM: f64 = 0.75;
/// Holes this much farther than the nearest are still thought of, mm.
const NEARLY_AS_NEAR_MM: f64 = 0.25;

/// The coarse metric threads a plain hole of this diameter, mm, is drilled for: the nearest
/// ISO 273 entry and any nearly as near. M7 is left out, being rare, so an 8 mm hole reads as
/// M8 drilled tight; a 10 mm hole reads as M8 coarse and never as M10.
pub fn threads_for_hole_mm(hole_mm: f64) -> ThreadSet {
    nearest(hole_mm, |thread| {
        thread.series() == super::threads::ThreadSeries::MetricCoarse && thread.name() != "M7"
    })
}

/// The inch threads a hole stated in inches is drilled for; the diameter is given in mm.
pub fn inch_threads_for_hole_mm(hole_mm: f64) -> ThreadSet {
    nearest(hole_mm, Thread::is_inch)
}

fn nearest(hole_mm: f64, wanted: impl Fn(Thread) -> bool + Copy) -> ThreadSet {
    let candidates = || Thread::ALL.into_iter().filter(move |thread| wanted(*thread));
    let off = |thread: Thread| clearance_mm(thread).distance_mm(hole_mm);
    let best = candidates().map(off).fold(f64::INFINITY, f64::min);
    if best > FARTHEST_MM {
        return ThreadSet::empty();
    }
    candidates()
        .filter(|thread| off(*thread) <= best + NEARLY_AS_NEAR_MM)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(hole_mm: f64) -> String {
        threads_for_hole_mm(hole_mm).to_string()
    }

    #[test]
    fn holes_lead_to_the_nearest_entry_of_iso_273() {
        assert_eq!(names(6.6), "M6");
        assert_eq!(names(6.5), "M6");
        assert_eq!(names(7.0), "M6");
        assert_eq!(names(9.0), "M8");
        assert_eq!(names(5.5), "M5");
        assert_eq!(names(10.0), "M8");
        assert_eq!(names(8.0), "M8");
        assert_eq!(names(118.0), "");
    }

    #[test]
    fn a_hole_between_two_entries_keeps_both() {
        assert_eq!(names(6.0), "M5|M6");
    }

    #[test]
    fn an_inch_hole_leads_to_inch_threads() {
        assert_eq!(inch_threads_for_hole_mm(9.0 / 32.0 * 25.4).to_string(), "1/4-20|1/4-28");
    }

    #[test]
    fn twelve_millimetre_screws_follow_the_standard() {
        // ISO 273 as in JIS B 1001: 13 / 13.5 / 14.5.
        let thread = Thread::parse("M12").expect("M12 is in the table");
        assert_eq!(
            clearance_mm(thread),
            Clearance {
                close: 13.0,
                normal: 13.5,
                loose: 14.5
            }
        );
    }

    #[test]
    fn inch_holes_are_given_in_sixty_fourths() {
        // ASME B18.2.8: 1/4 close 17/64, normal 9/32, loose 19/64; 3/8 normal 13/32
        let quarter = Thread::parse("1/4-20")
            .map(clearance_mm)
            .expect("1/4-20 is in the table");
        assert!((quarter.close - 6.746875).abs() < 1e-9, "{quarter:?}");
        assert!((quarter.normal - 7.14375).abs() < 1e-9, "{quarter:?}");
        assert!((quarter.loose - 7.540625).abs() < 1e-9, "{quarter:?}");
        let three_eighths = Thread::parse("3/8-16")
            .map(clearance_mm)
            .expect("3/8-16 is in the table");
        assert!((three_eighths.normal - 10.31875).abs() < 1e-9, "{three_eighths:?}");
    }
}
