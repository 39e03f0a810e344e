//! Row by row: does it stand in the right group? The outcomes that a confidence is measured against.
//!
//! A found group stands for the true group most of its rows belong to. Plainly, a row is right when that is its own
//! true group; splitting then costs nothing, which is why the strict reading exists as well.

/// When a row counts as listed in the right group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Strictness {
    /// Its true group is the most frequent one in the group it is listed in. Splitting a true group costs nothing.
    Plain,
    /// Besides, that found group is the one holding most of the true group: each true group has one right place.
    Strict,
}

/// Row by row: is it in the right group? These are the outcomes a confidence is measured against. Ties go to the
/// smaller label, so the answer depends on nothing else.
pub fn rows_in_main_group<Truth: Ord, Found: Ord>(labels: &[(Truth, Found)], strictness: Strictness) -> Vec<bool> {
    let truth_of_found = main_partner(labels.iter().map(|(truth, found)| (found, truth)));
    let found_of_truth = main_partner(labels.iter().map(|(truth, found)| (truth, found)));
    let right = |(truth, found): &(Truth, Found)| {
        let plain = partner(&truth_of_found, &found).is_some_and(|main| **main == *truth);
        match strictness {
            Strictness::Plain => plain,
            Strictness::Strict => plain && partner(&found_of_truth, &truth).is_some_and(|main| **main == *found),
        }
    };
    labels.iter().map(right).collect()
}

/// For each left label the right label it shares most rows with; sorted by left label.
fn main_partner<Left: Ord + Copy, Right: Ord + Copy>(
    labels: impl Iterator<Item = (Left, Right)>,
) -> Vec<(Left, Right)> {
    let mut labels: Vec<(Left, Right)> = labels.collect();
    labels.sort_unstable();
    let mut mains = Vec::new();
    for group in labels.chunk_by(|a, b| a.0 == b.0) {
        let mut largest = 0;
        let mut main = group[0];
        for cell in group.chunk_by(|a, b| a.1 == b.1) {
            if cell.len() > largest {
                largest = cell.len();
                main = cell[0];
            }
        }
        mains.push(main);
    }
    mains
}

fn partner<'a, Left: Ord, Right>(mains: &'a [(Left, Right)], left: &Left) -> Option<&'a Right> {
    let place = mains.binary_search_by(|(other, _)| other.cmp(left)).ok()?;
    Some(&mains[place].1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn splitting_a_true_group_is_right_plainly_but_not_strictly() {
        let rows: Vec<(char, char)> = "aaaaab".chars().zip("111221".chars()).collect();
        assert_eq!(
            rows_in_main_group(&rows, Strictness::Plain),
            [true, true, true, true, true, false]
        );
        assert_eq!(
            rows_in_main_group(&rows, Strictness::Strict),
            [true, true, true, false, false, false]
        );
    }

    #[test]
    fn a_tie_goes_to_the_smaller_label() {
        let rows = [('b', 1), ('a', 1)];
        assert_eq!(rows_in_main_group(&rows, Strictness::Plain), [false, true]);
    }
}
