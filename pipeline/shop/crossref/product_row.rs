//! Rows of the products: what the offers of one made part say together.

use super::ids_given::Named;
use super::stated::displacement;
use super::{Stages, cheapest, confidence, group_of, joined};
use crate::normalise::offer::{NumberRole, Offer};
use crate::publish::ProductRow;
use compact_str::CompactString;
use std::collections::BTreeSet;

pub(super) fn product_row(stages: Stages<'_>, ids: &Named, p: usize) -> ProductRow {
    let members = &stages.products.members[p];
    let offers: Vec<&Offer> = members.iter().map(|o| &stages.offers[*o as usize]).collect();
    let indices: Vec<usize> = members.iter().map(|o| *o as usize).collect();
    let group = group_of(stages, indices[0]);
    let numbers = |role: NumberRole| {
        joined(
            offers
                .iter()
                .flat_map(|o| &o.numbers)
                .filter(|n| n.usable && n.role == role)
                .map(|n| n.raw.to_string()),
        )
    };
    let (cheapest_landed, cheapest_supplier) = cheapest(stages, &indices);
    let suppliers: BTreeSet<&str> = offers.iter().map(|o| o.supplier.as_ref()).collect();
    let sum: f64 = indices.iter().map(|o| confidence(stages, *o)).sum();
    let mut displacements: Vec<CompactString> = offers
        .iter()
        .map(|o| displacement(&o.claims))
        .filter(|d| !d.is_empty())
        .collect();
    displacements.sort_unstable_by(|x, y| x.len().cmp(&y.len()).then(x.cmp(y)));
    ProductRow {
        product_id: ids.products[p].clone(),
        group_id: group.map(|g| ids.groups[g.0 as usize].clone()).unwrap_or_default(),
        part_kind: group
            .map_or(offers[0].kind.kind, |g| g.1.kind)
            .fixed_name()
            .unwrap_or("unclear")
            .into(),
        name: clearest_title(&offers),
        brands: joined(offers.iter().map(|o| o.brand.to_string())),
        mpns: numbers(NumberRole::Maker),
        gtins: joined(offers.iter().filter_map(|o| o.gtin()).map(|g| g.to_string())),
        replaces: numbers(NumberRole::Replaces),
        displacement_cc: displacements.pop().unwrap_or_default(),
        offers: offers.len() as u32,
        suppliers: suppliers.len() as u32,
        cheapest_landed,
        cheapest_supplier,
        currency: stages.rates.home.as_str().into(),
        confidence: sum / indices.len() as f64,
    }
}

/// The wording of the offer that claims most, the shorter of equals.
pub(super) fn clearest_title(offers: &[&Offer]) -> String {
    offers
        .iter()
        .max_by(|x, y| {
            x.claims
                .len()
                .cmp(&y.claims.len())
                .then(y.title.len().cmp(&x.title.len()))
                .then(y.title.cmp(&x.title))
        })
        .map(|o| o.title.to_string())
        .unwrap_or_default()
}
