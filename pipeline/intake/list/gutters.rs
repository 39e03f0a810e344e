//! The blanks between the columns of a print-out, and the rows of dashes in it.

use serde::{Deserialize, Serialize};

/// Columns of a print-out that are told apart; one with more is read as it was before.
const MOST_GUTTERS: usize = 24;

/// The runs of blank columns between the columns of a print-out, counted in letters from 0, from the left.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Gutters {
    starts: [u16; MOST_GUTTERS],
    ends: [u16; MOST_GUTTERS],
    count: u8,
}

impl Gutters {
    /// Adds the run of blanks `start..end`, to the right of the others; false if there is no room for it.
    pub(crate) fn push(&mut self, start: usize, end: usize) -> bool {
        let place = usize::from(self.count);
        let (Ok(start), Ok(end), true) = (u16::try_from(start), u16::try_from(end), place < MOST_GUTTERS) else {
            return false;
        };
        (self.starts[place], self.ends[place]) = (start, end);
        self.count += 1;
        true
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        usize::from(self.count).min(MOST_GUTTERS)
    }

    /// The first column of each, and the column behind it.
    pub fn iter(&self) -> impl Iterator<Item = (usize, usize)> {
        let pairs = self.starts.iter().zip(&self.ends).take(self.count());
        pairs.map(|(start, end)| (usize::from(*start), usize::from(*end)))
    }
}

/// Whether a line is a row of dashes between others: nothing but dashes and the like, in several runs or a long one.
pub(crate) fn is_ruler(line: &[u8]) -> bool {
    let dashes = line.iter().filter(|byte| matches!(byte, b'-' | b'=' | b'_')).count();
    let others = line
        .iter()
        .filter(|byte| !matches!(byte, b'-' | b'=' | b'_' | b'+' | b' '))
        .count();
    dashes >= 6 && others == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gutters_are_kept_in_order_as_far_as_there_is_room() {
        let mut gutters = Gutters::default();
        assert!(gutters.push(4, 6) && gutters.push(9, 10));
        assert_eq!(gutters.iter().collect::<Vec<_>>(), [(4, 6), (9, 10)]);
        while gutters.push(20, 21) {}
        assert_eq!(gutters.count(), MOST_GUTTERS);
        assert!(!Gutters::default().push(100_000, 100_001));
    }

    #[test]
    fn rows_of_dashes_are_told_from_names_and_dates() {
        assert!(is_ruler(b"---------- ------- ---") && is_ruler(b"=======") && is_ruler(b"+-----+-----+"));
        assert!(!is_ruler(b"--") && !is_ruler(b"2026-11-30") && !is_ruler(b"") && !is_ruler(b"A-------"));
    }
}
