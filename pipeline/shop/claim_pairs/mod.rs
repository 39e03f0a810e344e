//! Two offers claim by claim: what of one agrees with the other, what contradicts it, and by how much.
//!
//! A line that says nothing of an attribute is represented by its fit group, and that is said. Rules, as elsewhere in
//! the house: different hole counts never agree; two bolt circles agree within the clearance that M6 leaves in a medium
//! hole (ISO 273, fixed fastener of ASME Y14.5 appendix B) and are open within what two rulers add; displacements agree
//! within 2 % (trade names are rounded: 196 cc is sold as 200; common practice, no source).
//!
//! - `engine`    displacement and engine codes
//! - `interface` holes, bolt circle and thread

mod engine;
mod interface;

use super::judge::Verdict;
use crate::publish::{CrossrefRow, GroupRow};
use compact_str::CompactString;
use engine::{codes, displacement};
use interface::{circle, holes, thread};

/// One attribute of both offers.
#[derive(Clone, Debug, PartialEq)]
pub struct ClaimPair {
    /// attribute, in words
    pub attribute: &'static str,
    /// how the two stand to each other
    pub verdict: Verdict,
    /// both values, and the reason with its figures
    pub words: String,
}

/// One side of the comparison.
#[derive(Clone, Copy, Debug)]
pub struct ClaimSide<'a> {
    /// the offer
    pub row: &'a CrossrefRow,
    /// its fit group
    pub group: Option<&'a GroupRow>,
    /// engine codes its wording names
    pub codes: &'a [CompactString],
}

/// A value with the word for where it comes from.
struct Said<T> {
    value: T,
    from: &'static str,
}

fn said<T>(own: Option<T>, group: Option<T>) -> Option<Said<T>> {
    match (own, group) {
        (Some(value), _) => Some(Said { value, from: "" }),
        (None, Some(value)) => Some(Said {
            value,
            from: " (its group)",
        }),
        (None, None) => None,
    }
}

/// Neither line says anything, and their groups say the same.
fn neither<T: PartialEq>(
    attribute: &'static str,
    x: &Said<T>,
    y: &Said<T>,
    words: impl Fn(&T) -> String,
) -> Option<ClaimPair> {
    (!x.from.is_empty() && !y.from.is_empty() && x.value == y.value).then(|| ClaimPair {
        attribute,
        verdict: Verdict::Agrees,
        words: format!("neither line says; their groups say {}", words(&x.value)),
    })
}

/// Compares two offers attribute by attribute; an attribute that neither knows is left out.
pub fn claim_pairs(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Vec<ClaimPair> {
    [
        kind(a, b),
        displacement(a, b),
        codes(a, b),
        holes(a, b),
        circle(a, b),
        thread(a, b),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn one_sided(attribute: &'static str, first: Option<String>, second: Option<String>) -> Option<ClaimPair> {
    let words = match (first, second) {
        (Some(value), None) => format!("{value}; the second does not say"),
        (None, Some(value)) => format!("the first does not say; {value}"),
        _ => return None,
    };
    Some(ClaimPair {
        attribute,
        verdict: Verdict::Unknown,
        words,
    })
}

fn kind(a: ClaimSide<'_>, b: ClaimSide<'_>) -> Option<ClaimPair> {
    let (x, y) = (&a.row.part_kind, &b.row.part_kind);
    let (verdict, words) = if x == y {
        (Verdict::Agrees, format!("both {x}"))
    } else {
        let note = match (x.as_str(), y.as_str()) {
            ("assembly", _) | (_, "assembly") => "an assembly answers a need for either, never the other way",
            _ => "different parts of the engine",
        };
        (Verdict::Contradicts, format!("{x} and {y}: {note}"))
    };
    Some(ClaimPair {
        attribute: "part",
        verdict,
        words,
    })
}

#[cfg(test)]
mod tests;
