//! The finished stages as the rows that are published.
//!
//! Everything that belongs to an offer's own line is put down as the line says it; what the group
//! knows and the line does not say stands in the group's row and is marked in `evidence`.

mod group_row;
mod ids_given;
mod link_row;
mod offer_row;
mod product_row;
mod set_aside_row;
mod stated;

use super::landed::{Landed, landed};
use super::measure::measure_first;
use super::rates::Rates;
use super::review::Resolved;
use super::review::questions::{Made, Sheet, questions};
use super::terms::{OfferTerms, SupplierTerms};
use crate::fit::{FitGroup, FitGroups};
use crate::intake::profile::Profile;
use crate::link::Products;
use crate::normalise::offer::{Flag, Offer};
use crate::publish::{CrossrefRow, GroupRow, LinkRow, ProductRow};
use compact_str::CompactString;
use group_row::group_rows;
use ids_given::Named;
use link_row::link_row;
use offer_row::{crossref_row, ranks};
use product_row::product_row;
use rayon::prelude::*;
use rust_decimal::Decimal;
use std::collections::BTreeSet;

pub use set_aside_row::set_aside_row;

/// Confidence from which an offer may be called the cheapest of its group.
pub const SURE_ENOUGH: f64 = 0.8;

/// What the stages left, borrowed together.
#[derive(Clone, Copy)]
pub struct Stages<'a> {
    /// offers in canonical order
    pub offers: &'a [Offer],
    /// products
    pub products: &'a Products,
    /// fit groups; none in a build of generic kind
    pub fit: Option<&'a FitGroups>,
    /// terms and landed prices by offer
    pub priced: &'a [Priced],
    /// exchange rates, duty and tax
    pub rates: &'a Rates,
    /// what a person decided
    pub told: &'a Resolved,
}

/// The terms of an offer, and what one piece of it costs delivered.
#[derive(Clone, Debug)]
pub struct Priced {
    /// terms
    pub terms: OfferTerms,
    /// delivered price of one piece
    pub landed: Landed,
}

impl Priced {
    /// Prices an offer under its supplier's profile.
    pub fn of(offer: &Offer, profile: Option<&Profile>, rates: &Rates) -> Priced {
        let terms = OfferTerms::of_line(
            offer.price.as_ref(),
            offer.pack_qty,
            offer.terms.as_deref(),
            profile,
            offer.has(Flag::PackPriceUnsure),
        );
        Priced {
            landed: landed(&terms, &SupplierTerms::of_profile(profile), rates),
            terms,
        }
    }
}

/// The tables that come from offers.
pub struct OfferTables {
    /// one row per offer
    pub crossref: Vec<CrossrefRow>,
    /// one row per kept pair
    pub links: Vec<LinkRow>,
    /// one row per fit group
    pub groups: Vec<GroupRow>,
    /// one row per product
    pub products: Vec<ProductRow>,
    /// questions for a person
    pub review: Sheet,
}

/// Makes the rows.
pub fn tables(stages: Stages<'_>) -> OfferTables {
    let ids = Named::of(stages);
    let ranks = ranks(stages);
    let measures = stages.fit.map(measure_first).unwrap_or_default();
    let decided = stages.told.evidence(stages.offers);
    let crossref: Vec<CrossrefRow> = (0..stages.offers.len())
        .into_par_iter()
        .map(|o| {
            let mut row = crossref_row(stages, &ids, &ranks, &measures, o);
            for words in decided.get(&(o as u32)).into_iter().flatten() {
                let gap = if row.evidence.is_empty() { "" } else { "; " };
                row.evidence.push_str(gap);
                row.evidence.push_str(words);
            }
            row.evidence.shrink_to_fit();
            row
        })
        .collect();
    let links: Vec<LinkRow> = stages.products.links.par_iter().map(|l| link_row(stages, l)).collect();
    let groups = stages.fit.map(|fit| group_rows(stages, fit, &ids)).unwrap_or_default();
    let made = Made {
        crossref: &crossref,
        links: &links,
        groups: &groups,
    };
    OfferTables {
        review: questions(stages, made, stages.told),
        crossref,
        links,
        groups,
        products: (0..stages.products.members.len())
            .into_par_iter()
            .map(|p| product_row(stages, &ids, p))
            .collect(),
    }
}

fn group_of(stages: Stages<'_>, offer: usize) -> Option<(u32, &FitGroup)> {
    let fit = stages.fit?;
    let g = fit.of_product[stages.products.of_offer[offer] as usize];
    Some((g, &fit.groups[g as usize]))
}

fn confidence(stages: Stages<'_>, offer: usize) -> f64 {
    stages
        .fit
        .map_or(stages.products.confidence[offer], |fit| fit.confidence[offer])
}

/// Cheapest offer that is sure enough.
fn cheapest(stages: Stages<'_>, offers: &[usize]) -> (Option<Decimal>, CompactString) {
    let sure = offers.iter().filter(|o| confidence(stages, **o) >= SURE_ENOUGH);
    let best = sure
        .filter_map(|o| stages.priced[*o].landed.price.map(|p| (p, *o)))
        .min();
    match best {
        Some((price, o)) => (Some(price), stages.offers[o].supplier.as_ref().into()),
        None => (None, CompactString::default()),
    }
}

fn joined(words: impl Iterator<Item = String>) -> String {
    let words: BTreeSet<String> = words.filter(|w| !w.is_empty()).collect();
    words.into_iter().collect::<Vec<_>>().join(";")
}
