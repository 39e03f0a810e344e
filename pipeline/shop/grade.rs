//! The measures of a run, as they are printed and written as JSON; `grading` takes them and says how.

use super::link_recall::LinkRecall;
use crate::publish::scores::{Bin, PrecisionRecall};
use serde::Serialize;
use std::collections::BTreeMap;

/// Confidence above which a look-alike in the cross-reference is a fault.
pub const LOOK_ALIKE_LIMIT: f64 = 0.5;
/// Confidence from which rows are called sure.
pub const SURE: f64 = 0.9;

/// The measures of a run.
#[derive(Debug, Clone, Serialize)]
pub struct Grade {
    /// lines with a known answer
    pub lines: u64,
    /// rows of the run whose line has no known answer
    pub rows_without_answer: u64,
    /// counts by what a line truly is, then by what it was taken for (`layout` also stands for "in no table")
    pub confusion: BTreeMap<&'static str, BTreeMap<&'static str, u64>>,
    /// whether a line is an offer
    pub scope: PrecisionRecall,
    /// share of offers found whose kind of part is right
    pub kind_accuracy: Option<f64>,
    /// true kind and kind found of the offers, where they differ, counted
    pub kind_mistakes: BTreeMap<String, u64>,
    /// lines set aside in truth that stand in the cross-reference above [`LOOK_ALIKE_LIMIT`]
    pub look_alikes: Vec<LookAlike>,
    /// other lines there that are no offers: broken ones and layout
    pub other_intruders: Vec<LookAlike>,
    /// the very same part
    pub products: Grouping,
    /// the same among lines that show an identifier: no other line states enough to tell its product
    pub products_identified: Grouping,
    /// true pairs among these that the link stage compared
    pub link_recall: LinkRecall,
    /// what interchanges
    pub groups: Grouping,
    /// the same among lines that state enough
    pub groups_stating_enough: Grouping,
    /// the same among rows at confidence [`SURE`] or more
    pub groups_sure: Grouping,
    /// share of the rows of the cross-reference at confidence [`SURE`] or more
    pub share_sure: Option<f64>,
    /// confidence against outcome
    pub plain: Calibration,
    /// the same, strictly
    pub strict: Calibration,
}

/// A line let in that is no offer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LookAlike {
    /// list
    pub file: String,
    /// line
    pub line: u32,
    /// what it truly is
    pub truly: String,
    /// what it was taken for
    pub taken_for: String,
    /// the confidence stated
    pub confidence: f64,
    /// the supplier's wording
    pub description: String,
}

/// How well rows were put together.
#[derive(Debug, Clone, Copy, Default, Serialize)]
pub struct Grouping {
    /// rows measured
    pub rows: u64,
    /// true groups among them
    pub true_groups: u64,
    /// groups found among them
    pub found_groups: u64,
    /// over pairs
    pub pairwise: PrecisionRecall,
    /// over rows
    pub b_cubed: PrecisionRecall,
}

/// How true the confidence is.
#[derive(Debug, Clone, Serialize)]
pub struct Calibration {
    /// by stated confidence
    pub reliability: Vec<Bin>,
    /// expected calibration error
    pub expected_calibration_error: Option<f64>,
    /// Brier score
    pub brier: Option<f64>,
    /// area under the receiver operating characteristic
    pub area_under_curve: Option<f64>,
}
