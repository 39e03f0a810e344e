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

#[cfg(test)]
mod tests {
    use super::super::records::RecordText;
    use super::*;
    use crate::normalise::kind::KindId;

    fn further(kind: KindId, a: [&str; 2], b: [&str; 2]) -> Option<Further> {
        let text = |list: u32, [title, extra]: [&'static str; 2]| RecordText {
            kind: kind.0,
            extra,
            ..RecordText::titled(list, title)
        };
        let leak = |t: [&str; 2]| t.map(|t| -> &'static str { Box::leak(t.to_string().into_boxed_str()) });
        let others = (0..30).map(|i| text(0, leak([&format!("brunlo w{i}"), &format!("street v{i}")])));
        let texts: Vec<RecordText<'_>> = others.chain([text(0, leak(a)), text(1, leak(b))]).collect();
        let records = Records::of(&texts);
        Further::of(&records, &records.list[30], &records.list[31])
    }

    #[test]
    fn one_name_at_two_addresses_is_told_apart_and_a_word_counts_wherever_it_stands() {
        let generic = |a, b| further(KindId::GENERIC, a, b).unwrap();
        let here = generic(["brunlo", "street tarnhill"], ["brunlo", "tarnhill street"]);
        let there = generic(["brunlo", "street tarnhill"], ["brunlo", "street gorsefold"]);
        assert!(
            here.cosine > 0.99 && there.cosine < here.cosine / 2.0,
            "{} {}",
            here.cosine,
            there.cosine
        );
        assert!(here.rarest > there.rarest);
        let crossed = generic(["brunlo tarnhill", "street"], ["brunlo", "street tarnhill"]);
        assert!((crossed.cosine - here.cosine).abs() < 1e-5 && crossed.rarest == here.rarest);
    }

    #[test]
    fn nothing_is_compared_where_one_side_says_no_more_or_in_lists_of_parts() {
        assert!(further(KindId::GENERIC, ["brunlo", "street tarnhill"], ["brunlo", ""]).is_none());
        let part = further(
            KindId::RECOIL_STARTER,
            ["brunlo", "street tarnhill"],
            ["brunlo", "street tarnhill"],
        );
        assert!(part.is_none());
    }
}
