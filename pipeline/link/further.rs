//! Titles and further texts of two records taken together.
//!
//! Where a title alone does not tell things apart (a house of many branches, a common name), what stands beside it does:
//! an address, an author, a year. Words are compared wherever they stand on either side.

use super::records::{Record, Records};
use super::words::rarity;

/// What two records have in common beside their titles.
pub(super) struct Further {
    /// cosine of all words in idf units, 0 to 1
    pub(super) cosine: f32,
    /// how rare the rarest common word is that is not in both titles; 1 where there is none
    pub(super) rarest: u8,
}

impl Further {
    /// Nothing unless both have further words.
    pub(super) fn of(records: &Records, a: &Record, b: &Record) -> Option<Further> {
        if a.everything.is_empty() || b.everything.is_empty() {
            return None;
        }
        let top = (1.0 + records.len() as f32).ln();
        let (mut dot, mut rarest) = (0.0f32, 1);
        let (mut i, mut j) = (0, 0);
        while i < a.everything.len() && j < b.everything.len() {
            let (x, y) = (a.everything[i], b.everything[j]);
            if x == y {
                let idf = records.whole_idf[x as usize];
                dot += idf.powi(2);
                let in_title = |r: &Record| r.words.binary_search(&x).is_ok();
                if !(in_title(a) && in_title(b)) {
                    rarest = rarest.max(rarity(idf, top));
                }
            }
            i += usize::from(x <= y);
            j += usize::from(y <= x);
        }
        Some(Further {
            cosine: (dot / (a.whole_length * b.whole_length).max(1e-6)).min(1.0),
            rarest,
        })
    }
}
