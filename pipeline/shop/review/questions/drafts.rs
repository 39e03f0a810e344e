//! What may be asked: every link, membership and placement in doubt, with what an answer is worth.

use super::{Asking, Between, Draft, SURE, Subject};
use crate::link::Link;
use crate::shop::desk::delivered;
use crate::shop::review::worth::{saving, spread, worth};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

impl Asking<'_> {
    pub(super) fn product(&self, offer: u32) -> u32 {
        self.stages.products.of_offer[offer as usize]
    }

    pub(super) fn members(&self, product: u32) -> &[u32] {
        &self.stages.products.members[product as usize]
    }

    pub(super) fn cheapest(&self, offers: &[u32]) -> Option<Decimal> {
        offers
            .iter()
            .filter_map(|o| delivered(&self.made.crossref[*o as usize]))
            .min()
    }

    /// Pairs of products that may be one, each by its likeliest link.
    pub(super) fn of_links(&self) -> Vec<Draft> {
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
    pub(super) fn of_memberships(&self) -> Vec<Draft> {
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
    pub(super) fn of_fits(&self) -> Vec<Draft> {
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
}
