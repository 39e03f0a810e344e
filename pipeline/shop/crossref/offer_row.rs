//! Rows of the cross-reference: one offer, what its own line says, and the evidence behind its place.

use super::ids_given::Named;
use super::stated::{band_words, circle, displacement, holes, single, threads};
use super::{Stages, confidence, group_of};
use crate::fit::{FitGroup, ledger};
use crate::normalise::claim::Attribute;
use crate::publish::CrossrefRow;
use compact_str::ToCompactString;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// Place of every offer in its group (or product, without groups) by landed price.
pub(super) fn ranks(stages: Stages<'_>) -> Vec<Option<u32>> {
    let place = |o: usize| group_of(stages, o).map_or(stages.products.of_offer[o], |g| g.0);
    let mut order: Vec<(u32, Decimal, usize)> = (0..stages.offers.len())
        .filter_map(|o| stages.priced[o].landed.price.map(|p| (place(o), p, o)))
        .collect();
    order.sort_unstable();
    let mut ranks = vec![None; stages.offers.len()];
    let mut last = (u32::MAX, 0);
    for (group, _, o) in order {
        last = if last.0 == group {
            (group, last.1 + 1)
        } else {
            (group, 1)
        };
        ranks[o] = Some(last.1);
    }
    ranks
}

pub(super) fn crossref_row(
    stages: Stages<'_>,
    ids: &Named,
    ranks: &[Option<u32>],
    measures: &[&'static str],
    o: usize,
) -> CrossrefRow {
    let offer = &stages.offers[o];
    let terms = &stages.priced[o].terms;
    let product = stages.products.of_offer[o] as usize;
    let group = group_of(stages, o);
    let kind = group.map_or(offer.kind.kind, |g| g.1.kind);
    CrossrefRow {
        group_id: group.map(|g| ids.groups[g.0 as usize].clone()).unwrap_or_default(),
        product_id: ids.products[product].clone(),
        part_kind: kind.fixed_name().unwrap_or("unclear").into(),
        family: group.map(|g| g.1.family.clone()).unwrap_or_default(),
        size_class: group.map(|g| g.1.size_class.clone()).unwrap_or_default(),
        supplier: offer.supplier.clone(),
        supplier_sku: offer.sku.clone(),
        brand: offer.brand.clone(),
        mpn: offer.maker_number().map(|n| n.raw.clone()).unwrap_or_default(),
        gtin: offer.gtin().map(|g| g.to_compact_string()).unwrap_or_default(),
        description: offer.title.to_string(),
        displacement_cc: displacement(&offer.claims),
        bolt_holes: holes(offer),
        bolt_circle_mm: circle(offer),
        thread: threads(offer),
        head_af_mm: single(offer, Attribute::HeadAf),
        pack_qty: Some(offer.pack_qty),
        unit_price: offer.price.as_ref().map(|p| p.unit_price),
        currency: offer
            .price
            .as_ref()
            .and_then(|p| p.currency)
            .map(|c| c.to_compact_string())
            .unwrap_or_default(),
        landed_price: stages.priced[o].landed.price,
        landed_note: stages.priced[o].landed.note.clone(),
        rank_in_group: ranks[o],
        confidence: confidence(stages, o),
        product_confidence: stages.products.confidence[o],
        evidence: evidence(stages, o, group.map(|g| g.1)),
        measure_first: measures.get(product).copied().unwrap_or_default().into(),
        source_file: offer.file.clone(),
        source_line: offer.line,
        minimum_order: Some(terms.minimum).filter(|minimum| *minimum > 1),
        order_multiple: Some(terms.multiple).filter(|multiple| *multiple > 1),
        price_breaks: terms.breaks_text(),
        price_basis: terms.basis_text().into(),
        stock: terms.stock.map(|stock| stock.to_compact_string()).unwrap_or_default(),
        lead_time_days: terms.lead_time_days,
        weight_g: terms.weight_g.and_then(|grams| grams.to_f64()),
        origin: terms.origin.clone(),
    }
}

pub(super) fn evidence(stages: Stages<'_>, o: usize, group: Option<&FitGroup>) -> String {
    let Some(fit) = stages.fit else { return String::new() };
    let offer = &stages.offers[o];
    let mut words = format!("kind {} {:.2}", offer.kind.why, offer.kind.probability);
    let lines = ledger::of_offer(fit, stages.offers, stages.products, o as u32);
    if !lines.is_empty() {
        words.push_str("; ");
        words.push_str(&ledger::in_words(&lines));
    }
    let Some(group) = group else { return words };
    let own = |a: Attribute| offer.claims.iter().any(|c| c.attribute == a);
    let mut of_group: Vec<String> = Vec::new();
    if let (Some(band), false) = (group.displacement, own(Attribute::Displacement)) {
        of_group.push(format!("displacement {}", band_words(band)));
    }
    if let (Some(n), false) = (group.holes, own(Attribute::BoltHoles)) {
        of_group.push(format!("{n} holes"));
    }
    if let (Some(c), false) = (group.circle_mm, own(Attribute::BoltCircle)) {
        of_group.push(format!("bolt circle {:.1} mm", c.mid()));
    }
    if !of_group.is_empty() {
        words.push_str("; from the group, not stated here: ");
        words.push_str(&of_group.join(", "));
    }
    words
}
