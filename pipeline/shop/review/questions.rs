//! The review sheet: doubtful links and doubtful offers as questions, the one worth most first.
//!
//! - *Are these the very same part?* of two products whose nearest offers may be one part, asked of those two offers; and
//!   of an offer that may not belong to the product it stands in, beside the offer that holds it there
//! - *Does this part fit this group?* of a product whose place is in doubt, and of one that stands alone while a group may
//!   take it; the group is named by offers that surely stand in it
//!
//! What a person has decided is not asked again. At most [`MOST`] questions are written; the others are counted.

use super::names::{ANY_OF, OfferNames};
use super::resolve::Resolved;
use super::sheet_words::{claim_words, group_words, inert, offer_words, settle_pair};
use super::worth::{saving, spread, worth};
use crate::fit::ledger::{LedgerLine, Source, of_offer};
use crate::link::Link;
use crate::link::cluster::SILENCE;
use crate::publish::{CrossrefRow, GroupRow, LinkRow, ReviewRow};
use crate::shop::crossref::Stages;
use crate::shop::desk::delivered;
use crate::shop::why::items;
use crate::shop::why_link::{link_parts, odds};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

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

impl Asking<'_> {
    fn product(&self, offer: u32) -> u32 {
        self.stages.products.of_offer[offer as usize]
    }

    fn members(&self, product: u32) -> &[u32] {
        &self.stages.products.members[product as usize]
    }

    fn cheapest(&self, offers: &[u32]) -> Option<Decimal> {
        offers
            .iter()
            .filter_map(|o| delivered(&self.made.crossref[*o as usize]))
            .min()
    }

    /// Pairs of products that may be one, each by its likeliest link.
    fn of_links(&self) -> Vec<Draft> {
        let decided: BTreeSet<(u32, u32)> = self.decided.iter().map(|&(a, b)| self.products_of(a, b)).collect();
        let mut between: BTreeMap<(u32, u32), Between> = BTreeMap::new();
        for (at, link) in (0u32..).zip(&self.stages.products.links) {
            let pair = self.products_of(link.a, link.b);
            if pair.0 != pair.1 && !decided.contains(&pair) {
                between.entry(pair).or_insert(Between::NONE).add(at, link.probability);
            }
        }
        let drafts = between.into_iter().map(|((x, y), between)| {
            let (first, second) = (self.members(x), self.members(y));
            let probability = between.probability(first.len() * second.len());
            let spread = spread(self.cheapest(first), self.cheapest(second));
            let link = &self.stages.products.links[between.best.0 as usize];
            Draft {
                worth: worth(probability.min(0.5), first.len().min(second.len()), spread),
                probability,
                subject: Subject::Pair {
                    a: link.a,
                    b: link.b,
                    link: between.best.0,
                },
            }
        });
        drafts.collect()
    }

    fn products_of(&self, a: u32, b: u32) -> (u32, u32) {
        let (x, y) = (self.product(a), self.product(b));
        (x.min(y), x.max(y))
    }

    /// Offers that may not belong to their product, each beside the mate that holds it there most.
    fn of_memberships(&self) -> Vec<Draft> {
        let products = self.stages.products;
        let doubtful =
            |offer: u32| products.confidence[offer as usize] < SURE && self.members(self.product(offer)).len() > 1;
        let mut holds: BTreeMap<u32, (u32, &Link)> = BTreeMap::new();
        for (at, link) in (0u32..).zip(&products.links) {
            if self.product(link.a) != self.product(link.b) {
                continue;
            }
            for offer in [link.a, link.b].into_iter().filter(|offer| doubtful(*offer)) {
                let slot = holds.entry(offer).or_insert((at, link));
                if link.probability > slot.1.probability {
                    *slot = (at, link);
                }
            }
        }
        holds
            .into_iter()
            .filter(|(_, (_, link))| !self.decided.contains(&(link.a, link.b)))
            .map(|(offer, (at, link))| {
                let mate = if link.a == offer { link.b } else { link.a };
                let probability = products.confidence[offer as usize];
                let prices = [offer, mate].map(|o| delivered(&self.made.crossref[o as usize]));
                // asked once of a pair in which both are in doubt
                let subject = Subject::Pair {
                    a: link.a,
                    b: link.b,
                    link: at,
                };
                Draft {
                    worth: worth(1.0 - probability, 1, spread(prices[0], prices[1])),
                    probability,
                    subject,
                }
            })
            .collect()
    }

    /// Products whose fit group is in doubt.
    fn of_fits(&self) -> Vec<Draft> {
        let Some(fit) = self.stages.fit else { return Vec::new() };
        let decided: BTreeSet<u32> = self
            .told
            .fit_words()
            .iter()
            .map(|word| self.product(word.offer))
            .collect();
        let mut largest: BTreeMap<(u8, u32), u32> = BTreeMap::new();
        for (g, group) in (0u32..).zip(&fit.groups) {
            if let Some(class) = group.class {
                let slot = largest.entry((group.kind.0, class)).or_insert(g);
                if self.made.groups[g as usize].offers > self.made.groups[*slot as usize].offers {
                    *slot = g;
                }
            }
        }
        let mut drafts = Vec::new();
        for (product, members) in (0u32..).zip(&self.stages.products.members) {
            if decided.contains(&product) {
                continue;
            }
            let surest = members.iter().copied().max_by(|x, y| {
                let sure = |o: &u32| fit.confidence[*o as usize];
                sure(x).total_cmp(&sure(y)).then(y.cmp(x))
            });
            let Some(offer) = surest else { continue };
            let own = fit.of_product[product as usize];
            let (group, probability, wrong) = if fit.groups[own as usize].class.is_some() {
                let sure = fit.confidence[offer as usize];
                (own, sure, 1.0 - sure)
            } else {
                let evidence = &fit.evidence[product as usize];
                let best = fit.posteriors[product as usize].first();
                let Some((group, p)) = best.and_then(|best| Some((*largest.get(&(evidence.kind.0, best.0))?, best.1)))
                else {
                    continue;
                };
                let p = p * evidence.kind_probability;
                (group, p, p)
            };
            let others = self.made.groups[group as usize].offers as usize > members.len() || group != own;
            if others && (1.0 - SURE..SURE).contains(&probability) {
                let best = self.made.groups[group as usize].cheapest_landed;
                drafts.push(Draft {
                    worth: worth(wrong, members.len(), saving(self.cheapest(members), best)),
                    probability,
                    subject: Subject::Group { offer, group },
                });
            }
        }
        drafts
    }

    fn row(&self, draft: &Draft) -> ReviewRow {
        let (worth, probability) = (draft.worth, draft.probability);
        match draft.subject {
            Subject::Pair { a, b, link } => self.pair_row(a, b, link, worth, probability),
            Subject::Group { offer, group } => self.group_row(offer, group, worth, probability),
        }
    }

    fn pair_row(&self, a: u32, b: u32, link: u32, worth: f64, probability: f64) -> ReviewRow {
        let (one, two) = (&self.made.crossref[a as usize], &self.made.crossref[b as usize]);
        let parts = link_parts(one, two, &self.made.links[link as usize]);
        let side = |sign: f64| {
            let mut kept: Vec<_> = parts.iter().filter(|part| part.bits * sign > 0.3).collect();
            kept.sort_by(|x, y| y.bits.abs().total_cmp(&x.bits.abs()));
            let words = kept.iter().map(|part| {
                format!(
                    "{}: {} ({})",
                    part.compared,
                    part.words,
                    odds(part.bits * std::f64::consts::LN_2)
                )
            });
            words.collect::<Vec<_>>().join("; ")
        };
        ReviewRow {
            worth,
            asked: SAME_PART.into(),
            this_offer: inert(offer_words(one, &self.stages.rates.home)),
            that: inert(offer_words(two, &self.stages.rates.home)),
            probability,
            speaks_for: side(1.0),
            speaks_against: side(-1.0),
            measure_first: settle_pair(one, two),
            offer_a: inert(self.told.name(&self.names, a)),
            offer_b: inert(self.told.name(&self.names, b)),
            source_file: one.source_file.clone(),
            source_line: one.source_line,
            ..ReviewRow::default()
        }
    }

    fn group_row(&self, offer: u32, group: u32, worth: f64, probability: f64) -> ReviewRow {
        let (row, of) = (&self.made.crossref[offer as usize], &self.made.groups[group as usize]);
        let side = |sign: f64| {
            let mut kept: Vec<(f64, &str)> = items(&row.evidence)
                .iter()
                .filter_map(|item| Some((item.weight? * sign, item.words)))
                .filter(|item| item.0 > WORTH_SAYING)
                .collect();
            kept.sort_by(|x, y| y.0.total_cmp(&x.0));
            kept.dedup();
            let words = kept
                .iter()
                .take(MOST_ITEMS)
                .map(|(weight, words)| format!("{words} ({})", odds(*weight)));
            words.collect::<Vec<_>>().join("; ")
        };
        ReviewRow {
            worth,
            asked: FITS_GROUP.into(),
            this_offer: inert(offer_words(row, &self.stages.rates.home)),
            that: group_words(of),
            probability,
            speaks_for: side(1.0),
            speaks_against: side(-1.0),
            measure_first: row.measure_first.to_string(),
            claim: self.worst_claim(offer),
            offer_a: inert(self.told.name(&self.names, offer)),
            offer_b: inert(self.anchors(offer, group).join(ANY_OF)),
            group_id: of.group_id.clone(),
            source_file: row.source_file.clone(),
            source_line: row.source_line,
            ..ReviewRow::default()
        }
    }

    /// Offers that surely stand in a group, of other products and different ones, by which it is named.
    fn anchors(&self, offer: u32, group: u32) -> Vec<String> {
        let Some(fit) = self.stages.fit else { return Vec::new() };
        let own = self.product(offer);
        let others = fit.groups[group as usize]
            .products
            .iter()
            .filter(|product| **product != own);
        let mut surest: Vec<u32> = others
            .filter_map(|product| {
                let sure = |o: &u32| fit.confidence[*o as usize];
                self.members(*product)
                    .iter()
                    .copied()
                    .max_by(|x, y| sure(x).total_cmp(&sure(y)).then(y.cmp(x)))
            })
            .collect();
        let key = |o: u32| {
            (
                fit.confidence[o as usize],
                self.stages.offers[o as usize].sku.is_empty(),
            )
        };
        surest.sort_by(|x, y| {
            let ((p, unnumbered_x), (q, unnumbered_y)) = (key(*x), key(*y));
            q.total_cmp(&p).then(unnumbered_x.cmp(&unnumbered_y)).then(x.cmp(y))
        });
        surest
            .iter()
            .take(ANCHORS)
            .map(|o| self.told.name(&self.names, *o))
            .collect()
    }

    /// The claim of the line that speaks most against its place, as `wrong claim` takes it.
    fn worst_claim(&self, offer: u32) -> String {
        let Some(fit) = self.stages.fit else {
            return String::new();
        };
        let lines = of_offer(fit, self.stages.offers, self.stages.products, offer);
        let against = |line: &&LedgerLine| matches!(line.source, Source::Own(_)) && line.weight < -WORTH_SAYING;
        let worst = lines
            .iter()
            .filter(against)
            .min_by(|x, y| x.weight.total_cmp(&y.weight));
        worst.and_then(claim_words).unwrap_or_default()
    }
}

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
