//! Two labellings of the same rows compared: the true groups and the groups found.
//!
//! A contingency table counts, for each true group and found group, the rows they share. Every measure is read off
//! that table, so cost is that of sorting the rows; no loop over pairs of rows. A row that belongs to no group must
//! carry a label of its own: a shared "none" label would count as one big group.

use super::{PrecisionRecall, share};

/// Rows shared by each (true group, found group), with the size of both groups beside it. Sorted by labels.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contingency {
    cells: Vec<Cell>,
    rows: u64,
    together_in_truth: u64,
    together_in_found: u64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Cell {
    shared: u64,
    truth_size: u64,
    found_size: u64,
}

/// Unordered pairs of rows, counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct PairCounts {
    /// Pairs in one group in the truth and in what was found.
    pub in_both: u64,
    /// Pairs in one true group.
    pub in_truth: u64,
    /// Pairs in one found group.
    pub in_found: u64,
    /// All pairs.
    pub all: u64,
}

impl Contingency {
    /// The table over (true label, found label), one item per row. To score a subset, filter the rows first: then
    /// only pairs with both rows inside the subset count.
    pub fn of<Truth: Ord, Found: Ord>(labels: impl IntoIterator<Item = (Truth, Found)>) -> Self {
        let mut labels: Vec<(Truth, Found)> = labels.into_iter().collect();
        labels.sort_unstable();
        let mut found: Vec<&Found> = labels.iter().map(|(_, found)| found).collect();
        found.sort_unstable();

        let mut cells = Vec::new();
        let mut together_in_truth = 0;
        for true_group in labels.chunk_by(|a, b| a.0 == b.0) {
            together_in_truth += pairs_of(true_group.len() as u64);
            for cell in true_group.chunk_by(|a, b| a.1 == b.1) {
                let label = &cell[0].1;
                let first = found.partition_point(|other| *other < label);
                let after = found.partition_point(|other| *other <= label);
                cells.push(Cell {
                    shared: cell.len() as u64,
                    truth_size: true_group.len() as u64,
                    found_size: (after - first) as u64,
                });
            }
        }
        let together_in_found = found
            .chunk_by(|a, b| a == b)
            .map(|group| pairs_of(group.len() as u64))
            .sum();
        Self {
            cells,
            rows: labels.len() as u64,
            together_in_truth,
            together_in_found,
        }
    }

    /// The table over two slices, row by row; with a mask only the rows marked `true`. `None` if lengths differ.
    pub fn of_slices<Truth: Ord, Found: Ord>(
        truth: &[Truth],
        found: &[Found],
        subset: Option<&[bool]>,
    ) -> Option<Self> {
        if truth.len() != found.len() || subset.is_some_and(|mask| mask.len() != truth.len()) {
            return None;
        }
        let inside = |row: usize| subset.is_none_or(|mask| mask[row]);
        Some(Self::of(
            truth
                .iter()
                .zip(found)
                .enumerate()
                .filter(|(row, _)| inside(*row))
                .map(|(_, labels)| labels),
        ))
    }

    /// Rows in the table.
    pub fn rows(&self) -> u64 {
        self.rows
    }

    /// How many pairs of rows stand together in the truth, in what was found, and in both.
    pub fn pair_counts(&self) -> PairCounts {
        PairCounts {
            in_both: self.cells.iter().map(|cell| pairs_of(cell.shared)).sum(),
            in_truth: self.together_in_truth,
            in_found: self.together_in_found,
            all: pairs_of(self.rows),
        }
    }

    /// Precision, recall and F1 over pairs of rows put together. Large groups weigh with their square.
    pub fn pairwise(&self) -> PrecisionRecall {
        let pairs = self.pair_counts();
        PrecisionRecall::from_counts(pairs.in_both, pairs.in_found, pairs.in_truth)
    }

    /// B-cubed precision, recall and F1 (Bagga and Baldwin 1998, every row weighing alike): per row, the share of
    /// its found group that truly belongs with it, and the share of its true group found with it; then the mean.
    pub fn b_cubed(&self) -> PrecisionRecall {
        let rows = self.rows as f64;
        let sum = |size: fn(&Cell) -> u64| -> f64 {
            self.cells
                .iter()
                .map(|cell| (cell.shared as f64).powi(2) / size(cell) as f64)
                .sum()
        };
        match (
            share(sum(|cell| cell.found_size), rows),
            share(sum(|cell| cell.truth_size), rows),
        ) {
            (Some(precision), Some(recall)) => PrecisionRecall::from_shares(precision, recall),
            _ => PrecisionRecall::default(),
        }
    }
}

/// Unordered pairs among `rows` rows.
fn pairs_of(rows: u64) -> u64 {
    rows * rows.saturating_sub(1) / 2
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: Option<f64>, expected: f64) {
        let value = value.expect("the measure is defined");
        assert!((value - expected).abs() < 1e-12, "{value} is not {expected}");
    }

    fn table(truth: &str, found: &str) -> Contingency {
        assert_eq!(truth.len(), found.len());
        Contingency::of(truth.chars().zip(found.chars()))
    }

    /// Manning, Raghavan, Schütze, "Introduction to Information Retrieval" (2008), section 16.3, figure 16.4:
    /// TP + FP = 40, TP = 20, FN = 24, TN = 72.
    #[test]
    fn pairs_agree_with_the_textbook_example_of_seventeen_points() {
        let scores = table("xxxxxoxooooddddxx", "11111122222233333");
        let pairs = scores.pair_counts();
        assert_eq!(
            (pairs.in_both, pairs.in_found, pairs.in_truth, pairs.all),
            (20, 40, 44, 136)
        );
        close(scores.pairwise().precision, 0.5);
        close(scores.pairwise().recall, 20.0 / 44.0);
        close(scores.pairwise().f1, 40.0 / 84.0);
    }

    /// Bagga and Baldwin, "Entity-Based Cross-Document Coreferencing" (1998): precision 76 % and 58 %, recall 100 %.
    #[test]
    fn b_cubed_agrees_with_its_authors_two_responses() {
        let truth = "aaaaabbccccc";
        let first = table(truth, "111112222222").b_cubed();
        close(first.precision, (5.0 + 29.0 / 7.0) / 12.0);
        close(first.recall, 1.0);
        let second = table(truth, "111112211111").b_cubed();
        close(second.precision, 7.0 / 12.0);
        close(second.recall, 1.0);
    }

    #[test]
    fn swapping_truth_and_found_swaps_precision_and_recall() {
        let there = table("aabbbc", "112233");
        let back = table("112233", "aabbbc");
        assert_eq!(there.pairwise().precision, back.pairwise().recall);
        assert_eq!(there.b_cubed().precision, back.b_cubed().recall);
    }

    #[test]
    fn the_order_of_rows_changes_no_digit() {
        let rows = [(1, 'a'), (1, 'b'), (2, 'b'), (2, 'c'), (2, 'c'), (3, 'a'), (3, 'd')];
        let backwards: Vec<_> = rows.iter().rev().copied().collect();
        assert_eq!(Contingency::of(rows).b_cubed(), Contingency::of(backwards).b_cubed());
    }

    #[test]
    fn a_subset_counts_only_pairs_with_both_rows_inside() {
        let truth = [1, 1, 1, 2];
        let found = ['a', 'a', 'b', 'b'];
        let inside = [true, true, false, true];
        let all = Contingency::of_slices(&truth, &found, None).unwrap();
        let some = Contingency::of_slices(&truth, &found, Some(&inside)).unwrap();
        assert_eq!(
            all.pair_counts(),
            PairCounts {
                in_both: 1,
                in_truth: 3,
                in_found: 2,
                all: 6
            }
        );
        assert_eq!(
            some.pair_counts(),
            PairCounts {
                in_both: 1,
                in_truth: 1,
                in_found: 1,
                all: 3
            }
        );
    }

    #[test]
    fn slices_of_unequal_length_are_refused() {
        assert_eq!(Contingency::of_slices(&[1, 2], &[1], None), None);
        assert_eq!(Contingency::of_slices(&[1, 2], &[1, 2], Some(&[true])), None);
    }

    #[test]
    fn no_rows_and_lone_rows_leave_the_pairs_undefined() {
        let empty = Contingency::of(Vec::<(u8, u8)>::new());
        assert_eq!(empty.pairwise(), PrecisionRecall::default());
        assert_eq!(empty.b_cubed(), PrecisionRecall::default());
        let alone = table("abc", "123");
        assert_eq!(alone.pairwise(), PrecisionRecall::default());
        close(alone.b_cubed().f1, 1.0);
    }
}
