//! The review sheet: doubtful links and doubtful offers as questions, the one worth most first.
//!
//! - *Are these the very same part?* of two products whose nearest offers may be one part, asked of those two offers; and
//!   of an offer that may not belong to the product it stands in, beside the offer that holds it there
//! - *Does this part fit this group?* of a product whose place is in doubt, and of one that stands alone while a group may
//!   take it; the group is named by offers that surely stand in it
//!
//! What a person has decided is not asked again. At most [`MOST`] questions are written; the others are counted.

mod drafts;
mod rows;

use super::names::OfferNames;
use super::resolve::Resolved;
use crate::link::cluster::SILENCE;
use crate::publish::{CrossrefRow, GroupRow, LinkRow, ReviewRow};
use crate::shop::crossref::Stages;
use std::collections::BTreeSet;

/// Questions written.
pub const MOST: usize = 1000;

/// Worth below which nobody should be asked.
const LEAST_WORTH: f64 = 0.05;

/// Log odds of one link are heard up to here, as when products are made.
const MOST_EVIDENCE: f64 = 7.0;

/// Probability above which, and below one less which, nothing is in doubt.
const SURE: f64 = 0.95;

/// Offers that name a group.
const ANCHORS: usize = 3;

/// Weight, in natural logarithms, below which an item of evidence is not worth reading.
const WORTH_SAYING: f64 = 0.3;

/// Items of evidence shown a side.
const MOST_ITEMS: usize = 4;

/// The question about two offers.
pub const SAME_PART: &str = "Are these the very same part?";

/// The question about an offer and a fit group.
pub const FITS_GROUP: &str = "Does this part fit this group?";

/// The sheet, and how many questions were left out of it.
#[derive(Debug, Default)]
pub struct Sheet {
    /// the questions, the one worth most first
    pub rows: Vec<ReviewRow>,
    /// questions worth less than those
    pub left_out: u64,
}

/// Rows that are already made, beside the stages they come from.
#[derive(Clone, Copy)]
pub struct Made<'a> {
    /// rows of the cross-reference, by offer
    pub crossref: &'a [CrossrefRow],
    /// rows of links, by link
    pub links: &'a [LinkRow],
    /// rows of groups, by fit group
    pub groups: &'a [GroupRow],
}

/// Asks what is worth asking.
pub fn questions(stages: Stages<'_>, made: Made<'_>, told: &Resolved) -> Sheet {
    let asking = Asking {
        stages,
        made,
        told,
        names: OfferNames::of(stages.offers),
        decided: told.decided_pairs(),
    };
    let mut drafts = asking.of_links();
    drafts.extend(asking.of_memberships());
    drafts.extend(asking.of_fits());
    drafts.retain(|draft| draft.worth >= LEAST_WORTH);
    drafts.sort_by(|x, y| y.worth.total_cmp(&x.worth).then(x.subject.cmp(&y.subject)));
    let left_out = drafts.len().saturating_sub(MOST) as u64;
    drafts.truncate(MOST);
    let mut seen = BTreeSet::new();
    drafts.retain(|draft| seen.insert(draft.subject));
    Sheet {
        rows: drafts.iter().map(|draft| asking.row(draft)).collect(),
        left_out,
    }
}

/// A question before it is worded.
#[derive(Clone, Copy, Debug)]
struct Draft {
    worth: f64,
    probability: f64,
    subject: Subject,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Subject {
    /// two offers and, when they were compared, the index of their link
    Pair { a: u32, b: u32, link: u32 },
    /// an offer and a fit group
    Group { offer: u32, group: u32 },
}

/// All links between two products.
#[derive(Clone, Copy, Debug)]
struct Between {
    /// the likeliest link and its probability
    best: (u32, f64),
    /// log odds of all of them
    evidence: f64,
    links: usize,
}

impl Between {
    const NONE: Between = Between {
        best: (0, -1.0),
        evidence: 0.0,
        links: 0,
    };

    fn add(&mut self, link: u32, probability: f64) {
        let odds = (probability / (1.0 - probability).max(1e-12)).ln();
        self.evidence += odds.clamp(-MOST_EVIDENCE, MOST_EVIDENCE);
        self.links += 1;
        if probability > self.best.1 {
            self.best = (link, probability);
        }
    }

    /// Probability that both products are one: the likeliest of many links is a chosen one, so all pairs of members are
    /// heard, as they are when products are made; those never compared speak a little against.
    fn probability(&self, pairs: usize) -> f64 {
        let evidence = self.evidence - SILENCE * pairs.saturating_sub(self.links) as f64;
        self.best.1.min(1.0 / (1.0 + (-evidence).exp()))
    }
}

struct Asking<'a> {
    stages: Stages<'a>,
    made: Made<'a>,
    told: &'a Resolved,
    names: OfferNames<'a>,
    decided: BTreeSet<(u32, u32)>,
}

impl Asking<'_> {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_likely_link_between_two_large_products_is_no_likely_merger() {
        let mut between = Between::NONE;
        between.add(3, 0.6);
        assert_eq!(between.best, (3, 0.6));
        assert!((between.probability(1) - 0.6).abs() < 1e-9);
        assert!(between.probability(25) < 0.01);
    }
}
