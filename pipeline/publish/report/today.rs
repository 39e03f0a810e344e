//! What to do today: the few things in a run that are worth someone's minute.
//!
//! In this order, each cut to the most that helps: doubtful offers that would be the cheapest if they
//! fit; offers between yes and no; groups where the same thing costs very different sums; lists with
//! lines that could not be read; suppliers whose claims the rest often contradicts.

use std::collections::BTreeMap;

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::MOST_TASKS;
use super::data::confidence;
use super::view::{GroupView, LIKELY, SURE, Standing};
use crate::publish::column::money;
use crate::publish::facts::RunFacts;
use crate::publish::order::Ordered;
use crate::publish::tables::{CrossrefRow, RejectRow, SupplierRow};
use crate::publish::terminal::inert;

/// A supplier is named when even the friendly end of its track record is below this.
const POOR_RECORD: f64 = 0.9;

/// Offers between yes and no that are listed one by one.
const MOST_UNDECIDED: usize = 5;

/// The section at the top of the page.
pub fn section(views: &[GroupView<'_>], rows: &Ordered<'_>, facts: &RunFacts) -> Markup {
    let currency = facts.home_currency.as_str();
    let measuring = worth_measuring(views);
    let undecided = undecided(views);
    let spreads = spreads(views);
    let rejects = reject_counts(&rows.rejects);
    let poor = poor_records(&rows.suppliers);
    let nothing =
        measuring.is_empty() && undecided.is_empty() && spreads.is_empty() && rejects.is_empty() && poor.is_empty();
    html! {
        section #today aria-labelledby="today-heading" {
            h2 #today-heading { "To do today" }
            @if nothing { p { "Nothing stands out." } }
            (measuring_list(&measuring, currency))
            (undecided_list(&undecided))
            (spread_list(&spreads, currency))
            (reject_list(&rejects))
            (record_list(&poor))
        }
    }
}

/// An offer that is not sure and would be the cheapest of its group, with what that would save.
struct Measuring<'a> {
    view: &'a GroupView<'a>,
    offer: &'a CrossrefRow,
    saving: Decimal,
}

fn worth_measuring<'a>(views: &'a [GroupView<'a>]) -> Vec<Measuring<'a>> {
    let mut found = Vec::new();
    for view in views {
        let Some(cheapest) = view.cheapest_sure() else { continue };
        let unsure = view
            .offers
            .iter()
            .filter(|offer| Standing::of(offer.confidence) != Standing::Sure);
        let cheaper = unsure.filter_map(|offer| Some((offer, cheapest - offer.landed_price?)));
        let best = cheaper
            .filter(|(_, saving)| *saving > Decimal::ZERO)
            .max_by_key(|(_, saving)| *saving);
        found.extend(best.map(|(offer, saving)| Measuring { view, offer, saving }));
    }
    found.sort_by(|a, b| {
        b.saving
            .cmp(&a.saving)
            .then(a.view.group.group_id.cmp(&b.view.group.group_id))
    });
    found.truncate(MOST_TASKS);
    found
}

fn measuring_list(found: &[Measuring<'_>], currency: &str) -> Markup {
    html! {
        @if !found.is_empty() {
            h3 { "Worth measuring: the cheapest, if it fits" }
            ul {
                @for Measuring { view, offer, saving } in found {
                    li {
                        (offer_words(offer)) " for " (group_link(view)) ": " (confidence(offer.confidence)) " sure, would save "
                        (money(saving.round_dp(2))) " " (currency) "."
                        @if !offer.measure_first.is_empty() { " Find out first: " (inert(&offer.measure_first)) "." }
                    }
                }
            }
        }
    }
}

/// Offers nearest to an even chance, and how many are not sure in all.
fn undecided<'a>(views: &'a [GroupView<'a>]) -> Vec<(&'a GroupView<'a>, &'a CrossrefRow)> {
    let offers = views
        .iter()
        .flat_map(|view| view.offers.iter().map(move |offer| (view, *offer)));
    let mut found: Vec<_> = offers
        .filter(|(_, offer)| (1.0 - SURE..SURE).contains(&offer.confidence))
        .collect();
    found.sort_by(|(_, a), (_, b)| {
        let distance = |offer: &CrossrefRow| (offer.confidence - LIKELY).abs();
        distance(a)
            .total_cmp(&distance(b))
            .then_with(|| (&a.source_file, a.source_line).cmp(&(&b.source_file, b.source_line)))
    });
    found
}

fn undecided_list(found: &[(&GroupView<'_>, &CrossrefRow)]) -> Markup {
    html! {
        @if !found.is_empty() {
            h3 { "Between yes and no: " (found.len()) " offers" }
            ul {
                @for (view, offer) in found.iter().take(MOST_UNDECIDED) {
                    li {
                        (offer_words(offer)) " in " (group_link(view)) ": " (confidence(offer.confidence)) " sure."
                        @if !offer.measure_first.is_empty() { " Find out first: " (inert(&offer.measure_first)) "." }
                    }
                }
                @if found.len() > MOST_UNDECIDED { li { (found.len() - MOST_UNDECIDED) " more are in crossref.csv." } }
            }
        }
    }
}

/// What the sure offers of a group cost: cheapest, middle and dearest.
struct Spread<'a> {
    view: &'a GroupView<'a>,
    low: Decimal,
    middle: Decimal,
    high: Decimal,
}

fn spreads<'a>(views: &'a [GroupView<'a>]) -> Vec<Spread<'a>> {
    let spread = |view: &'a GroupView<'a>| {
        let sure = view
            .offers
            .iter()
            .filter(|offer| Standing::of(offer.confidence) == Standing::Sure);
        let mut prices: Vec<Decimal> = sure.filter_map(|offer| offer.landed_price).collect();
        prices.sort_unstable();
        let (low, high) = (*prices.first()?, *prices.last()?);
        let middle = prices[prices.len() / 2];
        (low < high).then_some(Spread {
            view,
            low,
            middle,
            high,
        })
    };
    let mut found: Vec<Spread<'a>> = views.iter().filter_map(spread).collect();
    found.sort_by(|a, b| {
        (b.middle - b.low)
            .cmp(&(a.middle - a.low))
            .then(a.view.group.group_id.cmp(&b.view.group.group_id))
    });
    found.truncate(MOST_TASKS);
    found
}

fn spread_list(found: &[Spread<'_>], currency: &str) -> Markup {
    html! {
        @if !found.is_empty() {
            h3 { "Same fit, very different price" }
            ul {
                @for Spread { view, low, middle, high } in found {
                    li {
                        (group_link(view)) ": " (money(low.round_dp(2))) " to " (money(high.round_dp(2))) " " (currency)
                        ", middle " (money(middle.round_dp(2))) "; cheapest at " (inert(&view.group.cheapest_supplier)) "."
                    }
                }
            }
        }
    }
}

/// Rejects per file and code, most first, with the hint that goes with the code.
fn reject_counts<'a>(rejects: &[&'a RejectRow]) -> Vec<(&'a str, &'a str, &'a str, usize)> {
    let mut counts: BTreeMap<(&str, &str), (&str, usize)> = BTreeMap::new();
    for row in rejects {
        let (hint, count) = counts.entry((&row.file, &row.code)).or_default();
        *hint = &row.hint;
        *count += 1;
    }
    let mut counts: Vec<_> = counts
        .into_iter()
        .map(|((file, code), (hint, count))| (file, code, hint, count))
        .collect();
    counts.sort_by(|a, b| b.3.cmp(&a.3).then((a.0, a.1).cmp(&(b.0, b.1))));
    counts.truncate(MOST_TASKS);
    counts
}

fn reject_list(counts: &[(&str, &str, &str, usize)]) -> Markup {
    html! {
        @if !counts.is_empty() {
            h3 { "Lists to mend" }
            ul {
                @for (file, code, hint, count) in counts {
                    li {
                        (inert(file)) ": " (count) " × " code { (inert(code)) }
                        @if !hint.is_empty() { " – " (inert(hint)) }
                    }
                }
            }
        }
    }
}

fn poor_records<'a>(suppliers: &[&'a SupplierRow]) -> Vec<&'a SupplierRow> {
    let poor = |list: &&&SupplierRow| list.track_record_high.is_some_and(|high| high < POOR_RECORD);
    let mut found: Vec<&SupplierRow> = suppliers.iter().filter(poor).copied().collect();
    found.sort_by(|a, b| {
        let high = |list: &SupplierRow| list.track_record_high.unwrap_or(1.0);
        high(a)
            .total_cmp(&high(b))
            .then((&a.supplier, &a.file).cmp(&(&b.supplier, &b.file)))
    });
    found.truncate(MOST_TASKS);
    found
}

fn record_list(found: &[&SupplierRow]) -> Markup {
    html! {
        @if !found.is_empty() {
            h3 { "Suppliers to read with care" }
            ul {
                @for list in found {
                    li {
                        (inert(&list.supplier)) ": the rest contradicts " (list.contradicted_claims) " of "
                        (list.checked_claims) " claims that can be checked."
                    }
                }
            }
        }
    }
}

fn offer_words(offer: &CrossrefRow) -> Markup {
    html! {
        strong { (inert(&offer.supplier)) }
        @if !offer.supplier_sku.is_empty() { " " (inert(&offer.supplier_sku)) }
    }
}

fn group_link(view: &GroupView<'_>) -> Markup {
    html! { a href={ "#" (view.anchor) } { (inert(&view.group.name)) } }
}
