//! Swept volumes: what bore and stroke come to, and how the usual engines of each designation
//! are built and sold.
//!
//! A designation names only the bore, so one code covers several volumes (`168F` is sold as 163
//! and as 196 cc), and one volume is sold under rounded names (389 cc as 390). The table below
//! is for the industrial horizontal-shaft family; the same bore and stroke in another family
//! shares none of its parts.

use std::f64::consts::FRAC_PI_4;

/// One way in which engines of a designation are built.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualBuild {
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Swept volume, cc, computed from bore and stroke.
    pub cc: f64,
    /// Displacements it is sold as, cc.
    pub sold_as: &'static [f64],
    /// Usual gross rating, hp, lowest and highest. Common practice, no source.
    pub hp: (f64, f64),
}

/// Swept volume, cc: `π/4 · bore² · stroke · cylinders`, bore and stroke in mm.
pub const fn swept_cc(bore_mm: f64, stroke_mm: f64, cylinders: u8) -> f64 {
    FRAC_PI_4 * bore_mm * bore_mm * stroke_mm * cylinders as f64 / 1000.0
}

const fn build(bore_mm: f64, stroke_mm: f64, sold_as: &'static [f64], hp: (f64, f64)) -> UsualBuild {
    UsualBuild {
        stroke_mm,
        cc: swept_cc(bore_mm, stroke_mm, 1),
        sold_as,
        hp,
    }
}

/// Builds by designation. Sources: 68 × 45 = 163 cc an engine maker's mower manual (the same
/// figures in a vertical engine); 68 × 54 a water pump's specification sheet; 77 × 58 = 270 cc
/// and 389 cc an engine owner's manual; 88 × 64 an engine specification sheet. Bore and stroke
/// of 152F to 160F, 170F, 173F, 182F, 190F and 192F are values from memory; ratings and names
/// are common practice, no source.
static BUILDS: [(&str, &[UsualBuild]); 12] = [
    (
        "152F",
        &[
            build(52.0, 40.0, &[79.0, 85.0], (2.4, 2.8)),
            build(52.0, 46.0, &[97.0, 98.0], (2.4, 2.8)),
        ],
    ),
    ("154F", &[build(54.0, 38.0, &[87.0], (2.4, 3.0))]),
    ("156F", &[build(56.0, 40.0, &[98.0, 99.0], (2.8, 3.0))]),
    ("160F", &[build(60.0, 42.0, &[118.0, 119.0], (4.0, 4.0))]),
    (
        "168F",
        &[
            build(68.0, 45.0, &[163.0], (5.5, 5.5)),
            build(68.0, 54.0, &[196.0, 200.0], (6.5, 6.5)),
        ],
    ),
    (
        "170F",
        &[
            build(70.0, 54.0, &[208.0], (7.0, 7.0)),
            build(70.0, 55.0, &[212.0], (6.5, 7.5)),
            build(70.0, 58.0, &[223.0], (7.5, 7.5)),
        ],
    ),
    (
        "173F",
        &[
            build(73.0, 58.0, &[242.0], (8.0, 8.0)),
            build(73.0, 55.0, &[230.0], (7.0, 7.0)),
        ],
    ),
    ("177F", &[build(77.0, 58.0, &[270.0], (9.0, 9.0))]),
    ("182F", &[build(82.0, 64.0, &[337.0, 338.0, 340.0], (11.0, 11.0))]),
    ("188F", &[build(88.0, 64.0, &[389.0, 390.0], (13.0, 13.0))]),
    ("190F", &[build(90.0, 66.0, &[420.0], (15.0, 15.0))]),
    (
        "192F",
        &[
            build(92.0, 66.0, &[439.0, 440.0], (16.0, 16.0)),
            build(92.0, 69.0, &[459.0, 460.0], (17.0, 18.0)),
        ],
    ),
];

/// The usual builds of a designation's stem (`168F`); empty for a stem that is not of the
/// horizontal-shaft family.
pub fn usual_volumes(stem: &str) -> &'static [UsualBuild] {
    BUILDS
        .iter()
        .find(|(code, _)| *code == stem)
        .map_or(&[], |(_, builds)| builds)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: f64, expected: f64, within: f64) {
        assert!((value - expected).abs() <= within, "{value} is not {expected}");
    }

    #[test]
    fn published_volumes_come_out() {
        // An engine maker's mower manual, a water pump's sheet, an owner's manual, a specification sheet.
        close(swept_cc(68.0, 45.0, 1), 163.43, 0.005);
        close(swept_cc(68.0, 54.0, 1), 196.11, 0.005);
        close(swept_cc(77.0, 58.0, 1), 270.08, 0.005);
        close(swept_cc(88.0, 64.0, 1), 389.26, 0.005);
        // Twins, an operator's manual and a catalogue: printed 480, 570, 688.
        close(swept_cc(68.0, 66.0, 2), 480.0, 1.0);
        close(swept_cc(72.0, 70.0, 2), 570.0, 1.0);
        close(swept_cc(78.0, 72.0, 2), 688.0, 1.0);
    }

    #[test]
    fn published_inch_volumes_come_out() {
        // A side-valve engine manual's table, in³; it truncates, so one in the last digit is allowed.
        let rows = [
            (2.375, 2.0, 8.86),
            (2.938, 2.75, 18.64),
            (3.375, 3.25, 29.07),
            (3.5, 3.25, 31.27),
            (3.75, 3.25, 35.90),
            (2.938, 2.5, 16.94),
            (3.251, 2.875, 23.85),
        ];
        for (bore, stroke, printed) in rows {
            let inches = swept_cc(bore * 25.4, stroke * 25.4, 1) / 16.387_064;
            close((inches * 100.0).floor() / 100.0, printed, 0.011);
        }
    }

    #[test]
    fn a_code_covers_the_volumes_it_is_sold_as() {
        let sold = |stem| {
            usual_volumes(stem)
                .iter()
                .flat_map(|build| build.sold_as)
                .copied()
                .collect::<Vec<f64>>()
        };
        assert_eq!(sold("168F"), [163.0, 196.0, 200.0]);
        assert_eq!(sold("1P70F"), [0.0; 0]);
    }

    #[test]
    fn names_lie_within_two_percent_of_the_volume() {
        for (stem, builds) in BUILDS {
            for build in builds {
                // 79 cc is sold under 152F too, in a stroke of its own.
                for sold in build.sold_as.iter().filter(|sold| **sold > 79.0) {
                    close(*sold, build.cc, build.cc * 0.02);
                }
                assert!(!stem.is_empty());
            }
        }
    }
}
