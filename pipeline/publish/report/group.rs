//! One fit group in the page: what it is, its drawing, its offers and what stands behind them.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::SHOWN_PER_GROUP;
use super::data::{confidence, delivered_price, list_price, why};
use super::drawing::{bolt_pattern, displacement_band, price_strip};
use super::view::{GroupView, Standing};
use crate::publish::tables::{CrossrefRow, GroupRow};
use crate::publish::terminal::inert;

/// The group as an article.
pub fn article(view: &GroupView<'_>, all_covers: &Covers<'_>) -> Markup {
    let group = view.group;
    html! {
        article id=(view.anchor) aria-labelledby={ (view.anchor) "-name" } {
            h3 id={ (view.anchor) "-name" } { (inert(&group.name)) }
            div .facts {
                @if let Some(drawn) = bolt_pattern(group) { figure { (drawn) } }
                div {
                    (facts(group))
                    @if let Some(band) = displacement_band(&group.displacement_cc) { (band) }
                    (covers(group, all_covers))
                    (measure_first(view))
                }
            }
            @if let Some(strip) = price_strip(view, &group.currency) {
                figure .strip { (strip) figcaption { "Delivered price per offer; filled: sure, hollow: not" } }
            }
            (offers(view))
            (rest(view))
        }
    }
}

fn facts(group: &GroupRow) -> Markup {
    let holes = group.bolt_holes.map(|holes| holes.to_string()).unwrap_or_default();
    let circle = group.bolt_circle_mm.map(|circle| match group.bolt_circle_tolerance_mm {
        Some(tolerance) => format!("{circle:.1} ± {tolerance:.1} mm"),
        None => format!("{circle:.1} mm"),
    });
    let displacement = if group.displacement_cc.is_empty() {
        String::new()
    } else {
        format!("{} cc", group.displacement_cc.replace(';', ", "))
    };
    let codes = group.engine_codes.replace(';', ", ");
    let entries = [
        ("Kind", group.part_kind.to_string()),
        ("Family", group.family.to_string()),
        ("Size class", group.size_class.to_string()),
        ("Displacement", displacement),
        ("Holes", holes),
        ("Bolt circle", circle.unwrap_or_default()),
        ("Thread", group.thread.replace('|', " or ")),
        ("Engine codes", codes),
        ("Products, offers", format!("{}, {}", group.products, group.offers)),
        ("Confidence", confidence(group.confidence)),
        ("Id", group.group_id.to_string()),
    ];
    html! {
        dl {
            @for (label, value) in entries {
                @if !value.is_empty() { div { dt { (label) } dd { (inert(&value)) } } }
            }
        }
    }
}

/// Which groups on the page answer the need of which others.
#[derive(Debug)]
pub struct Covers<'a> {
    by_id: BTreeMap<&'a str, &'a GroupView<'a>>,
    answered_by: BTreeMap<&'a str, Vec<&'a GroupView<'a>>>,
}

impl<'a> Covers<'a> {
    /// From the groups' own columns.
    pub fn of(views: &'a [GroupView<'a>]) -> Self {
        let by_id = views.iter().map(|view| (view.group.group_id.as_str(), view)).collect();
        let mut answered_by: BTreeMap<&str, Vec<&GroupView<'_>>> = BTreeMap::new();
        for view in views {
            for id in covered_ids(view.group) {
                answered_by.entry(id).or_default().push(view);
            }
        }
        Self { by_id, answered_by }
    }
}

fn covered_ids(group: &GroupRow) -> impl Iterator<Item = &str> {
    group.covers_groups.split(';').filter(|id| !id.is_empty())
}

/// Needs this group also answers, and groups that also answer this need.
fn covers(group: &GroupRow, covers: &Covers<'_>) -> Markup {
    let answers: Vec<_> = covered_ids(group)
        .filter_map(|id| covers.by_id.get(id).copied())
        .collect();
    let answered_by = covers
        .answered_by
        .get(group.group_id.as_str())
        .cloned()
        .unwrap_or_default();
    html! {
        @for (label, views) in [("Also answers: ", answers), ("Also answered by: ", answered_by)] {
            @if !views.is_empty() {
                p .covers {
                    (label)
                    @for (at, view) in views.iter().enumerate() {
                        @if at > 0 { ", " }
                        a href={ "#" (view.anchor) } { (inert(&view.group.name)) }
                    }
                }
            }
        }
    }
}

/// What to measure for the first offer that is not sure.
fn measure_first(view: &GroupView<'_>) -> Markup {
    let unsure = view
        .offers
        .iter()
        .filter(|offer| Standing::of(offer.confidence) != Standing::Sure);
    let wording = unsure
        .map(|offer| offer.measure_first.as_str())
        .find(|wording| !wording.is_empty());
    html! {
        @if let Some(wording) = wording { p .measure { strong { "Measure first: " } (inert(wording)) } }
    }
}

fn offers(view: &GroupView<'_>) -> Markup {
    html! {
        div .table role="region" tabindex="0" aria-label={ "Offers: " (inert(&view.group.name)) } {
            table {
                thead {
                    tr {
                        th scope="col" { "Supplier" }
                        th scope="col" { "Wording" }
                        th scope="col" { "Maker's number" }
                        th scope="col" .number { "List price" }
                        th scope="col" .number { "Delivered" }
                        th scope="col" .number { "Sure?" }
                    }
                }
                tbody {
                    @for offer in view.offers.iter().take(view.carried.min(SHOWN_PER_GROUP)) { (offer_row(offer)) }
                }
            }
        }
    }
}

fn offer_row(offer: &CrossrefRow) -> Markup {
    let standing = Standing::of(offer.confidence).word();
    html! {
        tr {
            th scope="row" { (inert(&offer.supplier)) @if !offer.supplier_sku.is_empty() { small { (inert(&offer.supplier_sku)) } } }
            td {
                (inert(&offer.description))
                details { summary { "Why" } @for line in why(offer) { p { (line) } } }
            }
            td { (inert(&offer.mpn)) }
            td .number { (list_price(offer)) }
            td .number { (delivered_price(offer)) }
            td .number { (confidence(offer.confidence)) small class=(standing) { (standing) } }
        }
    }
}

/// The offers beyond those shown: behind a button where the page carries them, else in the tables.
fn rest(view: &GroupView<'_>) -> Markup {
    let waiting = view.carried.saturating_sub(SHOWN_PER_GROUP);
    let elsewhere = view.offers.len() - view.carried;
    html! {
        @if waiting > 0 {
            p .rest {
                button type="button" hidden data-more=(view.anchor) { "Show " (waiting) " more offers" }
                noscript { (waiting) " more offers are in crossref.csv." }
            }
        }
        @if elsewhere > 0 { p .rest { "The rest, " (elsewhere) " offers, is in crossref.csv." } }
    }
}
