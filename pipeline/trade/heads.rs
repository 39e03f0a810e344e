//! Widths across flats of hexagon heads: what spanner turns which screw.
//!
//! A head width does not name a thread. The same M6 screw has a 10 mm head as a plain hexagon
//! and an 8 mm head as a small flange screw, and 10 mm is also the small flange head of M8, so
//! [`threads_for_head_mm`] answers with a set. Fine pitches share the head of their diameter.
//!
//! Sources stand beside each standard in [`HeadStandard`].

use super::threads::{Thread, ThreadSet};

/// The standards whose heads are met on small engines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HeadStandard {
    /// ISO 4014/4017 screws and ISO 4032 nuts (widths of ISO 272); FreeCAD_FastenersWB
    /// `iso4014head.csv`, `iso4017head.csv`, PyPI bd_warehouse 0.4.0 `hex_head_parameters.csv`.
    Iso4017,
    /// DIN 931/933, withdrawn but in the drawers; FreeCAD_FastenersWB `din933def.csv`.
    Din933,
    /// Flange screws, heavy series, EN 1665; FreeCAD_FastenersWB `en1665def.csv`.
    En1665,
    /// Flange screws of DIN 6921:1983 and ISO 4162:1990. M10 15 mm from the national foreword of
    /// EN 1665:1997; the other rows are values from memory, M12 is left out because tables differ.
    Din6921,
    /// Flange screws, small series, EN 1662; FreeCAD_FastenersWB `en1662def.csv`.
    En1662,
    /// Flange screws, small series, ISO 4162:2012 and ISO 15071; FreeCAD_FastenersWB
    /// `iso4162def.csv`, `iso15071def.csv`; same figures in JIS B 1189.
    Iso15071,
    /// Heads of JIS before its change to the ISO widths; a vehicle service manual's bolt table
    /// (M6-M12), M3-M5 values from memory.
    JisPrevious,
    /// Inch hex cap screws, ASME B18.2.1 table 6; FreeCAD_FastenersWB `asmeb18.2.1.6def.csv`.
    AsmeHex,
    /// Inch hex flange screws, ASME B18.2.1 table 8; FreeCAD_FastenersWB `asmeb18.2.1.8def.csv`.
    AsmeFlange,
    /// Inch square nuts, ASME B18.2.2; FreeCAD_FastenersWB `asmeb18.2.2.2def.csv`.
    AsmeSquareNut,
}

use HeadStandard::{
    AsmeFlange, AsmeHex, AsmeSquareNut, Din933, Din6921, En1662, En1665, Iso4017, Iso15071, JisPrevious,
};

type Widths = &'static [(HeadStandard, f64)];

/// Width across flats by nominal diameter, both mm.
static METRIC: [(f64, Widths); 7] = [
    (3.0, &[(Iso4017, 5.5), (Din933, 5.5), (JisPrevious, 5.5)]),
    (4.0, &[(Iso4017, 7.0), (Din933, 7.0), (JisPrevious, 7.0)]),
    (
        5.0,
        &[
            (Iso4017, 8.0),
            (Din933, 8.0),
            (En1665, 8.0),
            (Din6921, 8.0),
            (En1662, 7.0),
            (Iso15071, 7.0),
            (JisPrevious, 8.0),
        ],
    ),
    (
        6.0,
        &[
            (Iso4017, 10.0),
            (Din933, 10.0),
            (En1665, 10.0),
            (Din6921, 10.0),
            (En1662, 8.0),
            (Iso15071, 8.0),
            (JisPrevious, 10.0),
        ],
    ),
    (
        8.0,
        &[
            (Iso4017, 13.0),
            (Din933, 13.0),
            (En1665, 13.0),
            (Din6921, 13.0),
            (En1662, 10.0),
            (Iso15071, 10.0),
            (JisPrevious, 12.0),
        ],
    ),
    (
        10.0,
        &[
            (Iso4017, 16.0),
            (Din933, 17.0),
            (En1665, 16.0),
            (Din6921, 15.0),
            (En1662, 13.0),
            (Iso15071, 13.0),
            (JisPrevious, 14.0),
        ],
    ),
    (
        12.0,
        &[
            (Iso4017, 18.0),
            (Din933, 19.0),
            (En1665, 18.0),
            (En1662, 16.0),
            (Iso15071, 15.0),
            (JisPrevious, 17.0),
        ],
    ),
];

const INCH: f64 = 25.4;

/// Width across flats, mm, by nominal diameter in sixteenths of an inch.
static INCHES: [(u8, Widths); 3] = [
    (
        4,
        &[
            (AsmeHex, 7.0 / 16.0 * INCH),
            (AsmeFlange, 3.0 / 8.0 * INCH),
            (AsmeSquareNut, 7.0 / 16.0 * INCH),
        ],
    ),
    (
        5,
        &[
            (AsmeHex, 0.5 * INCH),
            (AsmeFlange, 0.5 * INCH),
            (AsmeSquareNut, 9.0 / 16.0 * INCH),
        ],
    ),
    (
        6,
        &[
            (AsmeHex, 9.0 / 16.0 * INCH),
            (AsmeFlange, 9.0 / 16.0 * INCH),
            (AsmeSquareNut, 5.0 / 8.0 * INCH),
        ],
    ),
];

/// A head width as stated is taken for a tabulated one within this many mm; the closest two
/// different widths of the tables, 12.7 and 13, are 0.3 apart.
const SAME_WIDTH_MM: f64 = 0.14;

/// The widths across flats, mm, that screws and nuts of this thread have, with their standard.
pub fn widths_across_flats(thread: Thread) -> &'static [(HeadStandard, f64)] {
    let diameter_mm = thread.diameter_mm();
    if thread.is_inch() {
        let same = |sixteenths: u8| (f64::from(sixteenths) * INCH / 16.0 - diameter_mm).abs() < 1e-6;
        INCHES
            .iter()
            .find(|(sixteenths, _)| same(*sixteenths))
            .map_or(&[], |(_, widths)| widths)
    } else {
        let same = |of_mm: f64| (of_mm - diameter_mm).abs() < 1e-6;
        METRIC
            .iter()
            .find(|(of_mm, _)| same(*of_mm))
            .map_or(&[], |(_, widths)| widths)
    }
}

/// The threads that come with a head of this width across flats, mm: coarse and inch threads.
/// Square nuts are left out, a bolt head being meant.
pub fn threads_for_head_mm(across_flats_mm: f64) -> ThreadSet {
    Thread::ALL
        .into_iter()
        .filter(|thread| thread.series() != super::threads::ThreadSeries::MetricFine)
        .filter(|thread| {
            widths_across_flats(*thread).iter().any(|(standard, width_mm)| {
                *standard != AsmeSquareNut && (width_mm - across_flats_mm).abs() <= SAME_WIDTH_MM
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(across_flats_mm: f64) -> String {
        threads_for_head_mm(across_flats_mm).to_string()
    }

    #[test]
    fn a_head_width_leaves_a_set_of_threads() {
        assert_eq!(names(5.5), "M3");
        assert_eq!(names(7.0), "M4|M5");
        assert_eq!(names(8.0), "M5|M6");
        assert_eq!(names(10.0), "M6|M8");
        assert_eq!(names(12.0), "M8");
        assert_eq!(names(13.0), "M8|M10");
        assert_eq!(names(14.0), "M10");
        assert_eq!(names(15.0), "M10|M12");
        assert_eq!(names(16.0), "M10|M12");
        assert_eq!(names(17.0), "M10|M12");
        assert_eq!(names(19.0), "M12");
        assert_eq!(names(11.0), "1/4-20|1/4-28");
        assert_eq!(names(9.0), "");
    }

    #[test]
    fn inch_heads_stay_apart_from_metric_ones() {
        assert_eq!(names(9.525), "1/4-20|1/4-28");
        assert_eq!(names(11.1125), "1/4-20|1/4-28");
        assert_eq!(names(12.7), "5/16-18|5/16-24");
        assert_eq!(names(14.2875), "3/8-16|3/8-24");
    }

    #[test]
    fn the_m6_row_is_that_of_the_standards() {
        // ISO 4017 10, EN 1665 10, EN 1662 8: PyPI bd_warehouse 0.4.0, FreeCAD_FastenersWB.
        let thread = Thread::parse("M6").expect("M6 is in the table");
        let width = |standard| {
            widths_across_flats(thread)
                .iter()
                .find(|(s, _)| *s == standard)
                .map(|(_, w)| *w)
        };
        assert_eq!(width(Iso4017), Some(10.0));
        assert_eq!(width(En1665), Some(10.0));
        assert_eq!(width(En1662), Some(8.0));
    }

    #[test]
    fn the_inch_rows_are_those_of_the_standards() {
        // ASME B18.2.1 hex, B18.2.1 flange, B18.2.2 square nut; sixteenths of an inch
        for (name, hex, flange, square) in [("1/4-20", 7, 6, 7), ("5/16-18", 8, 8, 9), ("3/8-16", 9, 9, 10)] {
            let thread = Thread::parse(name).expect("it is in the table");
            for (standard, sixteenths) in [(AsmeHex, hex), (AsmeFlange, flange), (AsmeSquareNut, square)] {
                let width = widths_across_flats(thread)
                    .iter()
                    .find(|(s, _)| *s == standard)
                    .map(|(_, w)| *w);
                let expected = f64::from(sixteenths) / 16.0 * 25.4;
                assert!(
                    width.is_some_and(|w| (w - expected).abs() < 1e-9),
                    "{name} {standard:?}: {width:?}"
                );
            }
        }
    }
}
