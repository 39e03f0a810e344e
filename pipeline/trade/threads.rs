//! The screw threads that small-engine covers and starters are held with: a closed table.
//!
//! A [`Thread`] is an index into that table, so a set of threads is one machine word
//! ([`super::thread_set::ThreadSet`]). Metric coarse and fine pitches M3 to M12 and the inch
//! threads 1/4, 5/16 and 3/8; larger ones (the flywheel nut's, the spark plug's) are left out on
//! purpose: nothing in this trade is mounted with them.
//!
//! Sources: coarse pitches and the selected fine ones ISO 262 (through FreeCAD_FastenersWB
//! `FsData/iso262def.csv`); further fine pitches of ISO 261 are values from memory; UNC and UNF
//! ASME B1.1 (through PyPI bd_warehouse 0.4.0 `tap_hole_sizes.csv`).

use std::fmt;

pub use super::thread_set::ThreadSet;

/// Millimetres in an inch, exact by definition (ISO 80000-3).
const MM_PER_INCH: f64 = 25.4;

/// The system a thread belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ThreadSeries {
    /// ISO metric, coarse pitch.
    MetricCoarse,
    /// ISO metric, one of the fine pitches.
    MetricFine,
    /// Unified coarse.
    Unc,
    /// Unified fine.
    Unf,
}

struct ThreadFacts {
    name: &'static str,
    series: ThreadSeries,
    diameter_mm: f64,
    pitch_mm: f64,
    /// Threads per inch; 0 for metric threads.
    tpi: u8,
}

const fn metric(name: &'static str, series: ThreadSeries, diameter_mm: f64, pitch_mm: f64) -> ThreadFacts {
    ThreadFacts {
        name,
        series,
        diameter_mm,
        pitch_mm,
        tpi: 0,
    }
}

const fn inch(name: &'static str, series: ThreadSeries, sixteenths: u8, tpi: u8) -> ThreadFacts {
    let diameter_mm = sixteenths as f64 * MM_PER_INCH / 16.0;
    ThreadFacts {
        name,
        series,
        diameter_mm,
        pitch_mm: MM_PER_INCH / tpi as f64,
        tpi,
    }
}

use ThreadSeries::{MetricCoarse as Coarse, MetricFine as Fine, Unc, Unf};

/// Ordered by diameter, coarse before fine; the order is that of printed sets.
static TABLE: [ThreadFacts; 27] = [
    metric("M3", Coarse, 3.0, 0.5),
    metric("M3x0.35", Fine, 3.0, 0.35), // value from memory
    metric("M4", Coarse, 4.0, 0.7),
    metric("M4x0.5", Fine, 4.0, 0.5), // value from memory
    metric("M5", Coarse, 5.0, 0.8),
    metric("M5x0.5", Fine, 5.0, 0.5), // value from memory
    metric("M6", Coarse, 6.0, 1.0),
    metric("M6x0.75", Fine, 6.0, 0.75), // value from memory
    inch("1/4-20", Unc, 4, 20),
    inch("1/4-28", Unf, 4, 28),
    metric("M7", Coarse, 7.0, 1.0),
    metric("M7x0.75", Fine, 7.0, 0.75), // value from memory
    inch("5/16-18", Unc, 5, 18),
    inch("5/16-24", Unf, 5, 24),
    metric("M8", Coarse, 8.0, 1.25),
    metric("M8x1", Fine, 8.0, 1.0),
    metric("M8x0.75", Fine, 8.0, 0.75), // value from memory
    inch("3/8-16", Unc, 6, 16),
    inch("3/8-24", Unf, 6, 24),
    metric("M10", Coarse, 10.0, 1.5),
    metric("M10x1.25", Fine, 10.0, 1.25),
    metric("M10x1", Fine, 10.0, 1.0),
    metric("M10x0.75", Fine, 10.0, 0.75), // value from memory
    metric("M12", Coarse, 12.0, 1.75),
    metric("M12x1.5", Fine, 12.0, 1.5),
    metric("M12x1.25", Fine, 12.0, 1.25),
    metric("M12x1", Fine, 12.0, 1.0), // value from memory
];

/// One thread of the table.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Thread(u8);

impl Thread {
    /// Every thread of the table, smallest first.
    pub const ALL: [Thread; TABLE.len()] = {
        let mut all = [Thread(0); TABLE.len()];
        let mut index = 0;
        while index < all.len() {
            all[index] = Thread(index as u8);
            index += 1;
        }
        all
    };

    /// Position in the table, below 64.
    pub const fn index(self) -> u8 {
        self.0
    }

    /// The thread at a position of the table.
    pub fn from_index(index: u8) -> Option<Thread> {
        (usize::from(index) < TABLE.len()).then_some(Thread(index))
    }

    fn facts(self) -> &'static ThreadFacts {
        &TABLE[usize::from(self.0)]
    }

    /// The name as published: `M6`, `M8x1`, `1/4-20`.
    pub fn name(self) -> &'static str {
        self.facts().name
    }

    /// The system the thread belongs to.
    pub fn series(self) -> ThreadSeries {
        self.facts().series
    }

    /// Nominal (largest) diameter of the screw, mm.
    pub fn diameter_mm(self) -> f64 {
        self.facts().diameter_mm
    }

    /// Pitch, mm.
    pub fn pitch_mm(self) -> f64 {
        self.facts().pitch_mm
    }

    /// Threads per inch, for inch threads.
    pub fn tpi(self) -> Option<u8> {
        (self.facts().tpi > 0).then_some(self.facts().tpi)
    }

    /// Whether the thread is one of the inch systems.
    pub fn is_inch(self) -> bool {
        self.facts().tpi > 0
    }

    /// The coarse metric thread of a nominal diameter, mm.
    pub fn metric_coarse(diameter_mm: f64) -> Option<Thread> {
        Self::metric_with_pitch(diameter_mm, None)
    }

    /// The metric thread of a diameter and pitch, both mm; no pitch means coarse.
    pub fn metric_with_pitch(diameter_mm: f64, pitch_mm: Option<f64>) -> Option<Thread> {
        Thread::ALL.into_iter().find(|thread| {
            let facts = thread.facts();
            let pitch_fits = match pitch_mm {
                Some(pitch) => (facts.pitch_mm - pitch).abs() < 1e-6,
                None => facts.series == Coarse,
            };
            !thread.is_inch() && (facts.diameter_mm - diameter_mm).abs() < 1e-6 && pitch_fits
        })
    }

    /// The inch thread of a diameter in inches and its threads per inch; both must match.
    pub fn inch_with_tpi(diameter_inch: f64, tpi: f64) -> Option<Thread> {
        Thread::ALL.into_iter().find(|thread| {
            let facts = thread.facts();
            thread.is_inch()
                && (facts.diameter_mm - diameter_inch * MM_PER_INCH).abs() < 1e-6
                && (f64::from(facts.tpi) - tpi).abs() < 1e-6
        })
    }

    /// Reads a thread written alone: `M6`, `m6x1.0`, `M8 x 1,25`, `1/4-20`, `5/16"-18 UNC`.
    /// The second number of a metric thread must be one of its pitches.
    pub fn parse(text: &str) -> Option<Thread> {
        let text = super::folding::fold(text);
        let mut rest = text.trim();
        for ending in ["unc", "unf", "un"] {
            rest = rest.strip_suffix(ending).unwrap_or(rest).trim_end();
        }
        match rest.strip_prefix('m') {
            Some(metric) => parse_metric(metric),
            None => parse_inch(rest),
        }
    }
}

fn parse_metric(rest: &str) -> Option<Thread> {
    let number = |text: &str| text.trim().replace(',', ".").parse::<f64>().ok();
    match rest.split_once(['x', '*', '-']) {
        Some((diameter, pitch)) => {
            Thread::metric_with_pitch(number(diameter)?, Some(number(pitch.trim_end_matches("mm"))?))
        }
        None => Thread::metric_coarse(number(rest)?),
    }
}

fn parse_inch(rest: &str) -> Option<Thread> {
    let (diameter, tpi) = rest.rsplit_once(['-', 'x', ' '])?;
    let diameter = diameter.trim().trim_end_matches(['"', '-', ' ']);
    let (over, under) = diameter.split_once('/')?;
    let (over, under) = (over.trim().parse::<f64>().ok()?, under.trim().parse::<f64>().ok()?);
    (under > 0.0).then(|| Thread::inch_with_tpi(over / under, tpi.trim().parse().ok()?))?
}

impl fmt::Debug for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_coarse_pitches_are_those_of_iso_262() {
        let coarse = [
            (3.0, 0.5),
            (4.0, 0.7),
            (5.0, 0.8),
            (6.0, 1.0),
            (8.0, 1.25),
            (10.0, 1.5),
            (12.0, 1.75),
        ];
        for (diameter, pitch) in coarse {
            assert_eq!(Thread::metric_coarse(diameter).map(Thread::pitch_mm), Some(pitch));
        }
    }

    #[test]
    fn inch_threads_need_their_own_number_of_threads() {
        assert_eq!(Thread::parse("1/4-20").map(Thread::name), Some("1/4-20"));
        assert_eq!(Thread::parse("5/16\"-18 UNC").map(Thread::name), Some("5/16-18"));
        assert_eq!(Thread::parse("1/4-18"), None);
        assert_eq!(Thread::parse("1/4-20").map(Thread::diameter_mm), Some(6.35));
        assert_eq!(Thread::parse("1/4-20").map(Thread::pitch_mm), Some(1.27));
        assert_eq!(Thread::parse("1/4-20").and_then(Thread::tpi), Some(20));
        assert_eq!(Thread::parse("M6").and_then(Thread::tpi), None);
    }

    #[test]
    fn metric_threads_are_read_with_and_without_pitch() {
        assert_eq!(Thread::parse("M6").map(Thread::name), Some("M6"));
        assert_eq!(Thread::parse("m6x1.0").map(Thread::name), Some("M6"));
        assert_eq!(Thread::parse("M8 × 1,25").map(Thread::name), Some("M8"));
        assert_eq!(Thread::parse("M10x1.25").map(Thread::name), Some("M10x1.25"));
        assert_eq!(Thread::parse("M6x12"), None);
        assert_eq!(Thread::parse("M14x1.5"), None);
    }

    #[test]
    fn names_read_back_as_themselves_and_are_in_order() {
        for thread in Thread::ALL {
            assert_eq!(Thread::parse(thread.name()), Some(thread));
            assert_eq!(Thread::from_index(thread.index()), Some(thread));
        }
        assert!(
            Thread::ALL
                .windows(2)
                .all(|pair| pair[0].diameter_mm() <= pair[1].diameter_mm())
        );
    }
}
