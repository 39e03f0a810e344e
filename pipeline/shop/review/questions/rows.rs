//! A question in words, with what speaks for and against.

use super::{ANCHORS, Asking, Draft, FITS_GROUP, MOST_ITEMS, SAME_PART, Subject, WORTH_SAYING};
use crate::fit::ledger::{LedgerLine, Source, of_offer};
use crate::publish::ReviewRow;
use crate::shop::review::names::ANY_OF;
use crate::shop::review::sheet_words::{claim_words, group_words, inert, offer_words, settle_pair};
use crate::shop::why::items;
use crate::shop::why_link::{link_parts, odds};

impl Asking<'_> {
    pub(super) fn row(&self, draft: &Draft) -> ReviewRow {
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

    pub(super) fn group_row(&self, offer: u32, group: u32, worth: f64, probability: f64) -> ReviewRow {
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
    pub(super) fn anchors(&self, offer: u32, group: u32) -> Vec<String> {
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
