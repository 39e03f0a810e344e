//! `report.html`: the run as one page to read at the desk or at the bench.
//!
//! One file that needs nothing else: no request leaves it, and its content policy forbids any. Wording
//! that suppliers wrote is shown as words; it cannot become markup, script or a change of direction.
//! Without script the page is complete up to its limits; the script adds the search and the longer lists.
//!
//! Limits, so that the file opens at once on a telephone:
//! - [`SHOWN_PER_GROUP`] offers of a group stand open, more wait behind a button
//! - [`MOST_OFFERS`] offers and [`MOST_GROUPS`] groups in all; what is left out is said, and lies in
//!   crossref.csv
//! - at most [`MOST_TASKS`] entries under each heading of what to do today

mod accounts;
mod data;
mod drawing;
mod group;
mod policy;
mod today;
mod view;

use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::path::Path;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::error::PublishError;
use super::facts::RunFacts;
use super::fresh::write_fresh;
use super::manifest::Settled;
use super::order::Ordered;
use super::terminal::inert;
use crate::trade::cautions;
use group::Covers;
use view::{GroupView, group_views};

/// Offers of a group that stand open in the page.
const SHOWN_PER_GROUP: usize = 12;
/// Offers the page carries in all.
const MOST_OFFERS: usize = 20_000;
/// Groups the page carries.
const MOST_GROUPS: usize = 2_000;
/// Entries under each heading of what to do today.
const MOST_TASKS: usize = 10;

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// Writes the report.
pub fn write_report(
    path: &Path,
    rows: &Ordered<'_>,
    settled: &Settled<'_>,
    facts: &RunFacts,
) -> Result<(), PublishError> {
    let data = |views: &[GroupView<'_>]| data::embedded(views).map_err(PublishError::format(path));
    let mut views = group_views(rows);
    let left_out = limit(&mut views);
    let page = page(&views, &left_out, &data(&views)?, rows, settled, facts);
    write_fresh(path, page.into_string().as_bytes())
}

/// What the page does not carry.
#[derive(Debug, Default, PartialEq, Eq)]
struct LeftOut {
    groups: usize,
    offers: usize,
}

/// Cuts the views to what the page carries: the groups with most offers stay, and of each group its
/// cheapest.
fn limit(views: &mut Vec<GroupView<'_>>) -> LeftOut {
    let mut left_out = keep_largest(views, MOST_GROUPS);
    let total: usize = views.iter().map(|view| view.offers.len()).sum();
    let share = per_group_share(views, total);
    for view in views.iter_mut() {
        view.carried = view.offers.len().min(share);
        left_out.offers += view.offers.len() - view.carried;
    }
    left_out
}

/// Keeps so many groups, those with most offers, in their order.
fn keep_largest(views: &mut Vec<GroupView<'_>>, most: usize) -> LeftOut {
    let mut by_size: Vec<usize> = (0..views.len()).collect();
    by_size.sort_by_key(|at| (Reverse(views[*at].offers.len()), *at));
    let cut: BTreeSet<usize> = by_size.into_iter().skip(most).collect();
    let offers = cut.iter().map(|at| views[*at].offers.len()).sum();
    let mut at = 0..;
    views.retain(|_| at.next().is_none_or(|at| !cut.contains(&at)));
    LeftOut {
        groups: cut.len(),
        offers,
    }
}

/// The greatest count of offers per group that keeps the page within [`MOST_OFFERS`].
fn per_group_share(views: &[GroupView<'_>], total: usize) -> usize {
    if total <= MOST_OFFERS {
        return usize::MAX;
    }
    let mut share = MOST_OFFERS / views.len().max(1);
    let carried = |share: usize| views.iter().map(|view| view.offers.len().min(share)).sum::<usize>();
    while carried(share + 1) <= MOST_OFFERS {
        share += 1;
    }
    share
}

fn page(
    views: &[GroupView<'_>],
    left_out: &LeftOut,
    data: &str,
    rows: &Ordered<'_>,
    settled: &Settled<'_>,
    facts: &RunFacts,
) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy::content_policy(STYLE, SCRIPT));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                meta name="color-scheme" content="light dark";
                title { "samefit: what fits, what it costs" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a .skip href="#groups" { "Skip to the fit groups" }
                (heading(settled, facts))
                main {
                    (today::section(views, rows, facts))
                    (groups(views, left_out, rows))
                    (safety())
                    (accounts::suppliers(&rows.suppliers))
                    (accounts::rejects(&rows.rejects))
                    (notes(facts))
                }
                footer { p { "samefit " (facts.version) ". The tables beside this page hold every row." } }
                script type="application/json" id="data" { (PreEscaped(data)) }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    }
}

fn heading(settled: &Settled<'_>, facts: &RunFacts) -> Markup {
    let figures = [
        ("offers", "offers"),
        ("fit_groups", "fit groups"),
        ("products", "products"),
        ("lists", "lists"),
        ("set_aside", "set aside"),
        ("rejected", "rejected"),
    ];
    html! {
        header {
            h1 { "What fits, and what it costs" }
            p .limit { (cautions::LIMIT) }
            dl .figures {
                @for (name, label) in figures {
                    div { dt { (label) } dd { (settled.count(name)) } }
                }
            }
            @if !facts.home_currency.is_empty() {
                p { "Delivered prices are in " (facts.home_currency) ", for one piece, from what the lists say." }
            }
            nav aria-label="Sections" {
                a href="#today" { "To do today" }
                a href="#groups" { "Fit groups" }
                a href="#safety" { "Cautions" }
                a href="#suppliers" { "Suppliers" }
                a href="#rejects" { "Lines not read" }
            }
        }
    }
}

fn groups(views: &[GroupView<'_>], left_out: &LeftOut, rows: &Ordered<'_>) -> Markup {
    let covers = Covers::of(views);
    let ungrouped = rows.crossref.iter().filter(|row| row.group_id.is_empty()).count();
    html! {
        section #groups aria-labelledby="groups-heading" {
            h2 #groups-heading { "Fit groups" }
            p { "Parts in one group bolt on and work in place of each other. All bolt patterns are drawn at one scale." }
            form #search role="search" hidden {
                label for="query" { "Part number, engine code, size, wording" }
                input #query type="search" autocomplete="off" spellcheck="false";
                p #found role="status" {}
            }
            @if *left_out != LeftOut::default() {
                p .notice {
                    "Not on this page: " (left_out.groups) " groups and " (left_out.offers)
                    " offers. All of them are in crossref.csv."
                }
            }
            @if ungrouped > 0 {
                p .notice { (ungrouped) " offers belong to no fit group; they are in crossref.csv." }
            }
            @if views.is_empty() { p { "No fit group came out of these lists." } }
            @for view in views { (group::article(view, &covers)) }
        }
    }
}

fn safety() -> Markup {
    html! {
        section #safety aria-labelledby="safety-heading" {
            h2 #safety-heading { "Before ordering, and before the work" }
            @if !cautions::BEFORE_ORDERING.is_empty() {
                h3 { "It may not be the starter" }
                ul { @for wording in cautions::BEFORE_ORDERING { li { (wording) } } }
            }
            h3 { "At the engine" }
            dl .cautions {
                @for caution in cautions::SAFETY {
                    div { dt { (caution.cue) } dd { (caution.wording) } }
                }
            }
            p .limit { (cautions::LIMIT) }
        }
    }
}

fn notes(facts: &RunFacts) -> Markup {
    html! {
        @if !facts.notes.is_empty() {
            section #notes aria-labelledby="notes-heading" {
                h2 #notes-heading { "Remarks on the run" }
                ul { @for note in &facts.notes { li { (inert(note)) } } }
            }
        }
    }
}

#[cfg(test)]
mod tests;
