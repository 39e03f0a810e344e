//! A list, or its start, pasted in twice: after a repeated header the first rows come again, one by one. A copy's lines
//! are no offers; a line that is broken or corrected in the copy does not end it at once.

use std::hash::Hasher;

use rustc_hash::FxHasher;

/// Rows from the start of a list that are remembered to know a copy of it.
const MOST_COPIED: usize = 4_096;

/// Rows that come again after a repeated header: the list, or its start, pasted in twice.
#[derive(Default)]
pub(super) struct Copies {
    first_rows: Vec<u64>,
    /// Next of the first rows that would have to come for the copy to go on.
    next: Option<usize>,
    missed: usize,
}

impl Copies {
    /// Whether further rows are neither remembered nor compared.
    pub(super) fn is_settled(&self) -> bool {
        self.next.is_none() && self.first_rows.len() >= MOST_COPIED
    }

    /// Whether the next row must be compared.
    pub(super) fn is_watching(&self) -> bool {
        self.next.is_some()
    }

    /// Whether a copy is well under way.
    pub(super) fn is_under_way(&self) -> bool {
        self.next.is_some_and(|next| next >= 3)
    }

    /// A header came again: the next row may be the first one's copy.
    pub(super) fn start(&mut self) {
        self.next = Some(0);
        self.missed = 0;
    }

    /// Takes a row; whether it goes on a copy of the first ones.
    pub(super) fn take(&mut self, cells: &[&str]) -> bool {
        if self.next.is_none() && self.first_rows.len() >= MOST_COPIED {
            return false;
        }
        let mut hash = FxHasher::default();
        for cell in cells {
            hash.write(cell.as_bytes());
            hash.write_u8(0xFF);
        }
        let hash = hash.finish();
        match self.next {
            None => self.first_rows.push(hash),
            Some(place) if self.first_rows.get(place) == Some(&hash) => {
                self.next = Some(place + 1);
                return true;
            }
            // a line may be broken or corrected in the copy; a second one among few ends it
            Some(place) => {
                self.missed += 1;
                self.next = (place >= 3 && self.missed * 4 <= place).then_some(place + 1);
            }
        }
        false
    }
}
