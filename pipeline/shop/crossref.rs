//! The finished stages as the rows that are published.
//!
//! Everything that belongs to an offer's own line is put down as the line says it; what the group
//! knows and the line does not say stands in the group's row and is marked in `evidence`.

use super::ids::{Ids, group_prefix, offer_key};
use super::landed::{Landed, landed};
use super::measure::measure_first;
use super::need::code_key;
use super::rates::Rates;
use super::review::Resolved;
use super::review::questions::{Made, Sheet, questions};
use super::terms::{OfferTerms, SupplierTerms};
use crate::fit::possibly::PossiblySame;
use crate::fit::{FitGroup, FitGroups, ledger};
use crate::intake::profile::Profile;
use crate::link::cluster::Parting;
use crate::link::compare::Field as Compared;
use crate::link::{Link, Products};
use crate::normalise::claim::{Attribute, Claim, Provenance, Value};
use crate::normalise::kind::KindId;
use crate::normalise::offer::{Flag, NumberRole, Offer, SetAside};
use crate::publish::{CrossrefRow, GroupRow, LinkRow, ProductRow, SetAsideRow};
use crate::trade::interval::Interval;
use compact_str::{CompactString, ToCompactString};
use rayon::prelude::*;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::{BTreeMap, BTreeSet};

/// Confidence from which an offer may be called the cheapest of its group.
pub const SURE_ENOUGH: f64 = 0.8;
/// One bit in natural logarithms.
const BIT: f64 = std::f64::consts::LN_2;

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

struct Named {
    products: Vec<CompactString>,
    groups: Vec<CompactString>,
}

impl Named {
    fn of(stages: Stages<'_>) -> Named {
        let keys: Vec<String> = stages
            .products
            .members
            .par_iter()
            .map(|members| {
                members
                    .iter()
                    .map(|o| offer_key(&stages.offers[*o as usize]))
                    .min()
                    .unwrap_or_default()
            })
            .collect();
        let mut given = Ids::default();
        let mut products = vec![CompactString::default(); keys.len()];
        let mut order: Vec<usize> = (0..keys.len()).collect();
        order.sort_by(|x, y| keys[*x].cmp(&keys[*y]).then(x.cmp(y)));
        for p in order {
            products[p] = given.give("P", &keys[p], 8);
        }
        let mut given = Ids::default();
        let groups = stages.fit.map_or_else(Vec::new, |fit| {
            let first: Vec<&CompactString> = fit
                .groups
                .iter()
                .map(|g| {
                    g.products
                        .iter()
                        .map(|p| &products[*p as usize])
                        .min()
                        .unwrap_or(&products[0])
                })
                .collect();
            let mut order: Vec<usize> = (0..fit.groups.len()).collect();
            order.sort_by(|x, y| first[*x].cmp(first[*y]));
            let mut ids = vec![CompactString::default(); fit.groups.len()];
            for g in order {
                ids[g] = given.give(group_prefix(fit.groups[g].kind), first[g], 5);
            }
            ids
        });
        Named { products, groups }
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

/// Place of every offer in its group (or product, without groups) by landed price.
fn ranks(stages: Stages<'_>) -> Vec<Option<u32>> {
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

fn crossref_row(
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

fn evidence(stages: Stages<'_>, o: usize, group: Option<&FitGroup>) -> String {
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

fn stated(claims: &[Claim], attribute: Attribute) -> impl Iterator<Item = &Value> {
    // what a line states counts before what follows from a rule; a rule of thumb is not put down as a figure
    let of = move |p: Provenance| {
        claims
            .iter()
            .filter(move |c| c.attribute == attribute && c.provenance == p)
            .map(|c| &c.value)
    };
    let any = of(Provenance::Stated).next().is_some();
    of(if any { Provenance::Stated } else { Provenance::Decoded })
}

fn displacement(claims: &[Claim]) -> CompactString {
    let mut intervals: Vec<Interval> = Vec::new();
    for value in stated(claims, Attribute::Displacement) {
        if let Value::Served(list) | Value::OneOf(list) = value {
            intervals.extend(list);
        }
    }
    intervals.sort_by(|x, y| x.low.total_cmp(&y.low).then(x.high.total_cmp(&y.high)));
    let mut words: Vec<String> = intervals
        .iter()
        .map(|i| {
            if i.width() > 0.06 * i.mid() {
                band_words(*i)
            } else {
                figure(i.mid())
            }
        })
        .collect();
    words.dedup();
    words.join(";").into()
}

fn band_words(band: Interval) -> String {
    if band.width() < 0.5 {
        figure(band.mid())
    } else {
        format!("{}-{}", figure(band.low), figure(band.high))
    }
}

fn figure(value: f64) -> String {
    if (value - value.round()).abs() < 0.05 {
        format!("{value:.0}")
    } else {
        format!("{value:.1}")
    }
}

fn holes(offer: &Offer) -> Option<u8> {
    let mut counts = stated(&offer.claims, Attribute::BoltHoles)
        .filter_map(|v| if let Value::Count(n) = v { Some(*n) } else { None });
    let first = counts.next()?;
    // two counts on one line: neither is put down as the fact
    counts.all(|n| n == first).then_some(first)
}

/// The bolt circle when the line leaves one reading only.
fn circle(offer: &Offer) -> Option<f64> {
    single(offer, Attribute::BoltCircle)
}

fn single(offer: &Offer, attribute: Attribute) -> Option<f64> {
    let mut found: Option<Interval> = None;
    for value in stated(&offer.claims, attribute) {
        let (Value::OneOf(list) | Value::Served(list)) = value else {
            continue;
        };
        let [only] = list.as_slice() else { continue };
        match found {
            Some(before) if !before.overlaps(only) => return None,
            _ => found = Some(*only),
        }
    }
    found.map(|i| (i.mid() * 100.0).round() / 100.0)
}

fn threads(offer: &Offer) -> CompactString {
    let mut sets = stated(&offer.claims, Attribute::Thread)
        .filter_map(|v| if let Value::Threads(s) = v { Some(*s) } else { None });
    let Some(first) = sets.next() else {
        return CompactString::default();
    };
    let common = sets.fold(first, |common, set| {
        let both = common.intersection(set);
        if both.is_empty() { common.union(set) } else { both }
    });
    common.to_compact_string()
}

fn link_row(stages: Stages<'_>, link: &Link) -> LinkRow {
    let (a, b) = (&stages.offers[link.a as usize], &stages.offers[link.b as usize]);
    let bits = |fields: &[Compared]| Some(fields.iter().map(|f| link.parts[*f as usize]).sum::<f64>() / BIT);
    let same = stages.products.of_offer[link.a as usize] == stages.products.of_offer[link.b as usize];
    let odds = (link.probability / (1.0 - link.probability).max(1e-12)).ln();
    LinkRow {
        supplier_a: a.supplier.clone(),
        supplier_sku_a: a.sku.clone(),
        supplier_b: b.supplier.clone(),
        supplier_sku_b: b.sku.clone(),
        probability: link.probability,
        identifiers_bits: bits(&[Compared::Barcode, Compared::Number]),
        wording_bits: bits(&[
            Compared::Words,
            Compared::RareShared,
            Compared::RareMissing,
            Compared::RareMissingMost,
            Compared::Codes,
            Compared::Brand,
            Compared::Extra,
            Compared::Telling,
            Compared::Figures,
        ]),
        claims_bits: bits(&[Compared::Claims, Compared::Kind]),
        price_bits: bits(&[Compared::Price, Compared::Weight]),
        rivals_bits: Some((odds - link.alone) / BIT),
        outcome: if same {
            "one product"
        } else {
            parted_words(stages.products, link)
        }
        .into(),
        source_file_a: a.file.clone(),
        source_line_a: a.line,
        source_file_b: b.file.clone(),
        source_line_b: b.line,
    }
}

/// Why a likely pair is two products all the same.
fn parted_words(products: &Products, link: &Link) -> &'static str {
    let parted = &products.parted;
    let found = parted.binary_search_by(|p| (p.0, p.1).cmp(&(link.a, link.b)));
    match found.map(|at| parted[at].2) {
        Ok(Parting::Barcodes) => "kept apart: two sound barcodes",
        Ok(Parting::Numbers) => "kept apart: two numbers of one maker",
        Ok(Parting::Brands) => "kept apart: two brands with one bare number",
        Ok(Parting::Person) => "kept apart: a person's word",
        Ok(Parting::WeakChain) => "kept apart: the weak point of a chain",
        Err(_) => "two products",
    }
}

fn group_rows(stages: Stages<'_>, fit: &FitGroups, ids: &Named) -> Vec<GroupRow> {
    let beside = Beside::of(fit);
    fit.groups
        .par_iter()
        .enumerate()
        .map(|(g, group)| {
            let offers: Vec<usize> = group
                .products
                .iter()
                .flat_map(|p| &stages.products.members[*p as usize])
                .map(|o| *o as usize)
                .collect();
            let (cheapest_landed, cheapest_supplier) = cheapest(stages, &offers);
            GroupRow {
                group_id: ids.groups[g].clone(),
                name: group.name.clone(),
                part_kind: group.kind.fixed_name().unwrap_or("unclear").into(),
                family: group.family.clone(),
                size_class: group.size_class.clone(),
                displacement_cc: group.displacement.map(|d| band_words(d).into()).unwrap_or_default(),
                bolt_holes: group.holes,
                bolt_circle_mm: group.circle_mm.map(|c| c.mid()),
                bolt_circle_tolerance_mm: group.circle_mm.map(|c| c.half_width()),
                thread: group.thread.to_compact_string(),
                engine_codes: group.codes.join(";"),
                products: group.products.len() as u32,
                offers: offers.len() as u32,
                cheapest_landed,
                cheapest_supplier,
                currency: stages.rates.home.as_str().into(),
                confidence: group.confidence,
                covers_groups: beside.covers(fit, ids, g),
                possibly_same: beside.possibly_same(ids, g),
            }
        })
        .collect()
}

/// What stands beside a group: the groups of its class, and those that may be one with it.
struct Beside<'a> {
    of_class: BTreeMap<u32, Vec<usize>>,
    doubts: Vec<Vec<&'a PossiblySame>>,
}

impl<'a> Beside<'a> {
    fn of(fit: &'a FitGroups) -> Beside<'a> {
        let mut beside = Beside {
            of_class: BTreeMap::new(),
            doubts: vec![Vec::new(); fit.groups.len()],
        };
        for (g, group) in fit.groups.iter().enumerate() {
            if let Some(class) = group.class {
                beside.of_class.entry(class).or_default().push(g);
            }
        }
        for doubt in &fit.possibly_same {
            beside.doubts[doubt.a as usize].push(doubt);
            beside.doubts[doubt.b as usize].push(doubt);
        }
        beside
    }

    /// Groups whose need an assembly answers: starters and shrouds of the same engine class.
    fn covers(&self, fit: &FitGroups, ids: &Named, g: usize) -> String {
        let group = &fit.groups[g];
        let Some(class) = group.class.filter(|_| group.kind == KindId::ASSEMBLY) else {
            return String::new();
        };
        let covered: Vec<&str> = self.of_class[&class]
            .iter()
            .map(|other| (*other, &fit.groups[*other]))
            .filter(|(other, need)| *other != g && group.kind.covers(need.kind) && need.kind != KindId::ASSEMBLY)
            .map(|(other, _)| ids.groups[other].as_str())
            .collect();
        covered.join(";")
    }

    /// Groups that may be one with this, and what would settle it: "SG-01234 (named together by 2 products; ...)".
    fn possibly_same(&self, ids: &Named, g: usize) -> String {
        let mut parts = Vec::new();
        for doubt in &self.doubts[g] {
            let (a, b) = (doubt.a as usize, doubt.b as usize);
            let other = if a == g { b } else { a };
            let products = match doubt.named_together {
                1 => "1 product".to_string(),
                n => format!("{n} products"),
            };
            let settle = doubt.settled_by.words();
            parts.push(format!(
                "{} (named together by {products}; {settle} would settle it)",
                ids.groups[other]
            ));
        }
        parts.join("; ")
    }
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

fn product_row(stages: Stages<'_>, ids: &Named, p: usize) -> ProductRow {
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
fn clearest_title(offers: &[&Offer]) -> String {
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

fn joined(words: impl Iterator<Item = String>) -> String {
    let words: BTreeSet<String> = words.filter(|w| !w.is_empty()).collect();
    words.into_iter().collect::<Vec<_>>().join(";")
}

/// A row of set-aside.csv.
pub fn set_aside_row(aside: &SetAside, profile: Option<&Profile>, rates: &Rates) -> SetAsideRow {
    let terms = OfferTerms::of_line(
        aside.price.as_ref(),
        aside.pack_qty,
        aside.terms.as_deref(),
        profile,
        aside.pack_price_unsure,
    );
    let landed = landed(&terms, &SupplierTerms::of_profile(profile), rates);
    let codes = aside.claims.iter().filter_map(|claim| match &claim.value {
        Value::Code(code) if claim.attribute == Attribute::EngineCode => Some(code_key(code).to_string()),
        _ => None,
    });
    SetAsideRow {
        file: aside.file.clone(),
        line: aside.line,
        supplier: aside.supplier.clone(),
        supplier_sku: aside.sku.clone(),
        what: aside.what.clone(),
        reason: aside.why.to_string(),
        description: aside.title.to_string(),
        unit_price: aside.price.as_ref().map(|p| p.unit_price),
        currency: terms.currency,
        part_number: aside
            .numbers
            .iter()
            .find(|n| n.usable && n.role == NumberRole::Maker)
            .map(|n| n.raw.clone())
            .unwrap_or_default(),
        landed_price: landed.price,
        landed_note: landed.note,
        displacement_cc: displacement(&aside.claims),
        engine_codes: joined(codes),
        stock: terms.stock.map(|stock| stock.to_compact_string()).unwrap_or_default(),
        lead_time_days: terms.lead_time_days,
    }
}
