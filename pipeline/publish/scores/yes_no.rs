//! Yes/no decisions against the truth: is the line in scope, does the pair match, is the kind right.

use serde::Serialize;

use super::{PrecisionRecall, share};

/// Decisions counted by truth and by what was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Decisions {
    /// Said yes, truly yes.
    pub right_yes: u64,
    /// Said yes, truly no.
    pub wrong_yes: u64,
    /// Said no, truly yes.
    pub wrong_no: u64,
    /// Said no, truly no.
    pub right_no: u64,
}

impl Decisions {
    /// Counts (truth, said), one per row.
    pub fn of(decisions: impl IntoIterator<Item = (bool, bool)>) -> Self {
        let mut counts = Self::default();
        for decision in decisions {
            match decision {
                (true, true) => counts.right_yes += 1,
                (false, true) => counts.wrong_yes += 1,
                (true, false) => counts.wrong_no += 1,
                (false, false) => counts.right_no += 1,
            }
        }
        counts
    }

    /// Rows decided.
    pub fn rows(&self) -> u64 {
        self.right_yes + self.wrong_yes + self.wrong_no + self.right_no
    }

    /// Precision, recall and F1 of saying yes.
    pub fn scores(&self) -> PrecisionRecall {
        PrecisionRecall::from_counts(
            self.right_yes,
            self.right_yes + self.wrong_yes,
            self.right_yes + self.wrong_no,
        )
    }

    /// Share of rows decided rightly, yes or no.
    pub fn accuracy(&self) -> Option<f64> {
        share((self.right_yes + self.right_no) as f64, self.rows() as f64)
    }
}

/// Share of rows that are right, for decisions among more than two answers; `None` without rows.
pub fn share_right(outcomes: impl IntoIterator<Item = bool>) -> Option<f64> {
    let (mut right, mut rows) = (0_u64, 0_u64);
    for outcome in outcomes {
        right += u64::from(outcome);
        rows += 1;
    }
    share(right as f64, rows as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 3 right yes, 1 wrong yes, 2 wrong no, 4 right no.
    #[test]
    fn a_small_table_by_hand() {
        let truth = [true, true, true, false, true, true, false, false, false, false];
        let said = [true, true, true, true, false, false, false, false, false, false];
        let counts = Decisions::of(truth.into_iter().zip(said));
        assert_eq!(
            counts,
            Decisions {
                right_yes: 3,
                wrong_yes: 1,
                wrong_no: 2,
                right_no: 4
            }
        );
        assert_eq!(counts.scores().precision, Some(0.75));
        assert_eq!(counts.scores().recall, Some(0.6));
        assert!((counts.scores().f1.unwrap() - 2.0 / 3.0).abs() < 1e-15);
        assert_eq!(counts.accuracy(), Some(0.7));
    }

    #[test]
    fn without_rows_nothing_is_defined() {
        let none = Decisions::of([]);
        assert_eq!(none.scores(), PrecisionRecall::default());
        assert_eq!(none.accuracy(), None);
        assert_eq!(share_right([]), None);
    }

    #[test]
    fn all_no_has_no_precision() {
        let counts = Decisions::of([(true, false), (false, false)]);
        assert_eq!(counts.scores().precision, None);
        assert_eq!(counts.scores().recall, Some(0.0));
        assert_eq!(share_right([true, false]), Some(0.5));
    }
}
