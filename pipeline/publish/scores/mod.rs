//! How good a run is, measured against known answers: pure functions over labels and probabilities, no files.
//!
//! Four questions, one file each:
//! - `grouping`: were rows put together that belong together? (pairwise and B-cubed)
//! - `main_group`: row by row, is it listed in the right group? (plain and strict)
//! - `calibration`: does a confidence of 0.9 mean nine in ten? (reliability, calibration error, Brier, AUC)
//! - `yes_no`: was a yes/no decision right? (scope, kind)
//!
//! A measure that has nothing to divide by is `None`: it is never NaN, and never a flattering 0 or 1. Sums run in a
//! fixed order, so the same labels give the same last digit whatever the order of the rows.

pub mod calibration;
pub mod grouping;
pub mod main_group;
pub mod yes_no;

pub use calibration::{Bin, Forecasts, NotAProbability};
pub use grouping::{Contingency, PairCounts};
pub use main_group::{Strictness, rows_in_main_group};
pub use yes_no::{Decisions, share_right};

use serde::Serialize;

/// Precision, recall and their harmonic mean F1, each in 0..=1, or `None` where the input leaves it undefined.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct PrecisionRecall {
    /// Of what was claimed, the share that is true.
    pub precision: Option<f64>,
    /// Of what is true, the share that was claimed.
    pub recall: Option<f64>,
    /// 2·P·R / (P + R); 0 when nothing claimed is true.
    pub f1: Option<f64>,
}

impl PrecisionRecall {
    /// From counts: claimed and true, claimed in all, true in all. F1 = 2·hits / (claimed + actual), which stays
    /// defined when only one of precision and recall is.
    pub fn from_counts(hits: u64, claimed: u64, actual: u64) -> Self {
        Self {
            precision: share(hits as f64, claimed as f64),
            recall: share(hits as f64, actual as f64),
            f1: share(2.0 * hits as f64, claimed as f64 + actual as f64),
        }
    }

    /// From a precision and a recall that are both defined.
    pub fn from_shares(precision: f64, recall: f64) -> Self {
        Self {
            precision: Some(precision),
            recall: Some(recall),
            f1: Some(share(2.0 * precision * recall, precision + recall).unwrap_or(0.0)),
        }
    }
}

/// `part / whole`, or `None` where the whole is empty.
pub(crate) fn share(part: f64, whole: f64) -> Option<f64> {
    (whole > 0.0).then(|| part / whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_claimed_leaves_precision_undefined_but_not_recall() {
        let scores = PrecisionRecall::from_counts(0, 0, 4);
        assert_eq!(scores.precision, None);
        assert_eq!(scores.recall, Some(0.0));
        assert_eq!(scores.f1, Some(0.0));
    }

    #[test]
    fn nothing_at_all_is_undefined_throughout() {
        assert_eq!(PrecisionRecall::from_counts(0, 0, 0), PrecisionRecall::default());
    }

    #[test]
    fn f1_from_counts_is_the_harmonic_mean() {
        let scores = PrecisionRecall::from_counts(20, 40, 44);
        let same = PrecisionRecall::from_shares(20.0 / 40.0, 20.0 / 44.0);
        assert!((scores.f1.unwrap() - same.f1.unwrap()).abs() < 1e-15);
    }
}
