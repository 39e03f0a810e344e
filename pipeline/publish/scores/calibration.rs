//! Does a stated probability come true as often as it says? A forecast is one probability and its outcome.
//!
//! Plain and strict calibration differ only in the outcomes passed in (see `main_group::rows_in_main_group`).
//! Refuses a number that is not a probability instead of letting it spoil every sum after it.

use std::fmt;

use serde::Serialize;

use super::share;

/// Bins of the reliability table, of equal width. The measure is published with ten and with fifteen (Guo et al. 2017);
/// ten read as "nine in ten".
pub const BINS: usize = 10;

/// Probabilities with what became of them, checked on the way in and sorted by probability.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecasts {
    sorted: Vec<(f64, bool)>,
}

/// One row of the reliability table: forecasts with `low <= probability < high` (the last bin includes 1).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bin {
    /// Lower edge, inside the bin.
    pub low: f64,
    /// Upper edge, outside the bin but for the last.
    pub high: f64,
    /// Forecasts in the bin.
    pub forecasts: u64,
    /// Of these, how many came true.
    pub came_true: u64,
    /// Mean stated probability; `None` for an empty bin.
    pub mean_probability: Option<f64>,
    /// Share that came true; `None` for an empty bin.
    pub share_true: Option<f64>,
}

/// A stated probability outside 0..=1, or not a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotAProbability {
    /// Its place in the input, from 0.
    pub position: usize,
    /// What stood there.
    pub value: f64,
}

impl fmt::Display for NotAProbability {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            formatter,
            "{} at position {} is no probability between 0 and 1",
            self.value, self.position
        )
    }
}

impl std::error::Error for NotAProbability {}

impl Forecasts {
    /// Takes (probability, came true), one per row.
    pub fn of(forecasts: impl IntoIterator<Item = (f64, bool)>) -> Result<Self, NotAProbability> {
        let mut sorted = Vec::new();
        for (position, (value, came_true)) in forecasts.into_iter().enumerate() {
            if !(0.0..=1.0).contains(&value) {
                return Err(NotAProbability { position, value });
            }
            sorted.push((value, came_true));
        }
        sorted.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        Ok(Self { sorted })
    }

    /// How many forecasts there are.
    pub fn len(&self) -> usize {
        self.sorted.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.sorted.is_empty()
    }

    /// The forecasts by stated probability in ten bins of equal width, empty ones included.
    pub fn reliability(&self) -> [Bin; BINS] {
        let mut sums = [(0_u64, 0_u64, 0.0_f64); BINS];
        for &(probability, came_true) in &self.sorted {
            let (forecasts, hits, total) = &mut sums[bin_of(probability)];
            *forecasts += 1;
            *hits += u64::from(came_true);
            *total += probability;
        }
        std::array::from_fn(|place| {
            let (forecasts, came_true, total) = sums[place];
            Bin {
                low: place as f64 / BINS as f64,
                high: (place + 1) as f64 / BINS as f64,
                forecasts,
                came_true,
                mean_probability: share(total, forecasts as f64),
                share_true: share(came_true as f64, forecasts as f64),
            }
        })
    }

    /// Expected calibration error: the gap between stated and observed share per bin, weighed by the bin's size.
    pub fn expected_calibration_error(&self) -> Option<f64> {
        let weighed = |bin: &Bin| match (bin.mean_probability, bin.share_true) {
            (Some(stated), Some(observed)) => (stated - observed).abs() * bin.forecasts as f64,
            _ => 0.0,
        };
        let total: f64 = self.reliability().iter().map(weighed).sum();
        share(total, self.len() as f64)
    }

    /// Brier score (1950, two-class form): mean squared difference of probability and outcome; 0 is perfect.
    pub fn brier(&self) -> Option<f64> {
        let squared = |&(probability, came_true): &(f64, bool)| (probability - f64::from(came_true)).powi(2);
        share(self.sorted.iter().map(squared).sum(), self.len() as f64)
    }

    /// Area under the receiver operating characteristic: the chance that a forecast that came true was stated
    /// higher than one that did not, ties counting half. `None` unless both outcomes occur.
    pub fn area_under_curve(&self) -> Option<f64> {
        let hits = self.sorted.iter().filter(|(_, came_true)| *came_true).count() as f64;
        let misses = self.len() as f64 - hits;
        let mut wins = 0.0;
        let mut misses_below = 0.0;
        for tied in self.sorted.chunk_by(|a, b| a.0 == b.0) {
            let hits_here = tied.iter().filter(|(_, came_true)| *came_true).count() as f64;
            let misses_here = tied.len() as f64 - hits_here;
            wins += hits_here * (misses_below + misses_here / 2.0);
            misses_below += misses_here;
        }
        share(wins, hits * misses)
    }
}

/// The bin whose lower edge is the last one not above the probability. Edges are compared as they are printed
/// (0.3, not 3 x 0.1), so 0.3 opens the bin 0.3-0.4.
fn bin_of(probability: f64) -> usize {
    (1..BINS)
        .take_while(|&edge| probability >= edge as f64 / BINS as f64)
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn forecasts(probabilities: &[f64], outcomes: &[u8]) -> Forecasts {
        let outcomes = outcomes.iter().map(|&outcome| outcome == 1);
        Forecasts::of(probabilities.iter().copied().zip(outcomes)).unwrap()
    }

    fn close(value: Option<f64>, expected: f64) {
        let value = value.expect("the measure is defined");
        assert!((value - expected).abs() < 1e-12, "{value} is not {expected}");
    }

    /// scikit-learn's documentation of `brier_score_loss`: 0.0375.
    #[test]
    fn brier_agrees_with_a_published_example() {
        close(forecasts(&[0.1, 0.9, 0.8, 0.3], &[0, 1, 1, 0]).brier(), 0.0375);
    }

    /// scikit-learn's documentation of `roc_curve`: 0.75.
    #[test]
    fn area_under_curve_agrees_with_a_published_example() {
        close(
            forecasts(&[0.1, 0.4, 0.35, 0.8], &[0, 0, 1, 1]).area_under_curve(),
            0.75,
        );
    }

    #[test]
    fn ties_count_half() {
        close(forecasts(&[0.5, 0.5, 0.5], &[0, 1, 1]).area_under_curve(), 0.5);
        // By hand: pairs (0.4 hit; 0.4 miss) half, (0.4; 0.9) lost, (0.7; 0.4) won, (0.7; 0.9) lost = 1.5 of 4.
        close(
            forecasts(&[0.4, 0.4, 0.7, 0.9], &[1, 0, 1, 0]).area_under_curve(),
            0.375,
        );
    }

    /// By hand: bin 0.2 holds 0.2 and 0.28 (mean 0.24, half true), bin 0.9 holds 0.9 and 1.0 (mean 0.95, all true):
    /// (2 x 0.26 + 2 x 0.05) / 4.
    #[test]
    fn calibration_error_weighs_the_gap_of_each_bin() {
        let some = forecasts(&[0.2, 0.28, 0.9, 1.0], &[0, 1, 1, 1]);
        close(some.expected_calibration_error(), 0.155);
        let bins = some.reliability();
        assert_eq!((bins[2].forecasts, bins[2].came_true), (2, 1));
        close(bins[9].mean_probability, 0.95);
        assert_eq!(bins[5].share_true, None);
    }

    #[test]
    fn every_edge_opens_its_own_bin() {
        for edge in 0..BINS {
            let written: f64 = format!("0.{edge}").parse().unwrap();
            assert_eq!(bin_of(written), edge);
        }
        assert_eq!(bin_of(1.0), 9);
        assert_eq!(bin_of(0.0), 0);
    }

    #[test]
    fn nothing_forecast_is_undefined_throughout() {
        let none = forecasts(&[], &[]);
        assert!(none.is_empty());
        assert_eq!(none.brier(), None);
        assert_eq!(none.expected_calibration_error(), None);
        assert_eq!(none.area_under_curve(), None);
        assert!(none.reliability().iter().all(|bin| bin.mean_probability.is_none()));
    }

    #[test]
    fn one_outcome_alone_has_no_ranking() {
        assert_eq!(forecasts(&[0.2, 0.7], &[1, 1]).area_under_curve(), None);
    }

    #[test]
    fn what_is_no_probability_is_refused_with_its_place() {
        let refused = Forecasts::of([(0.5, true), (1.01, false)]).unwrap_err();
        assert_eq!(
            refused,
            NotAProbability {
                position: 1,
                value: 1.01
            }
        );
        assert_eq!(Forecasts::of([(f64::NAN, true)]).unwrap_err().position, 0);
    }
}
