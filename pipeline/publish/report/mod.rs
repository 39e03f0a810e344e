//! `report.html`: the run as one page to read at the desk or at the bench.
//!
//! One file that needs nothing else: no request leaves it, and its content policy forbids any. Wording
//! that suppliers wrote is shown as words; it cannot become markup, script or a change of direction.
//! What to do today, the suppliers' accounts and the cautions are there without script. Groups and offers
//! lie in packed blocks (`blocks`) which the page's own script inflates, draws and searches on demand.
//!
//! Limits, so that the file opens at once on a telephone:
//! - [`MOST_OFFERS`] offers and [`MOST_GROUPS`] groups in all; what is left out is said, and lies in
//!   crossref.csv
//! - at most [`MOST_TASKS`] entries under each heading of what to do today

mod accounts;
mod blocks;
mod changes;
mod index;
mod limit;
mod offers;
mod overview;
mod today;
mod view;
mod words;

use std::path::Path;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::error::PublishError;
use super::facts::RunFacts;
use super::fresh::write_fresh;
use super::manifest::Settled;
use super::order::Ordered;
use super::policy::content_policy;
use super::terminal::inert;
use crate::trade::cautions;
use limit::LeftOut;
use view::{GroupView, group_views};
use words::counted;

/// Offers the page carries in all.
const MOST_OFFERS: usize = 100_000;
/// Groups the page carries.
const MOST_GROUPS: usize = 10_000;
/// Entries under each heading of what to do today.
const MOST_TASKS: usize = 8;

const STYLE: &str = concat!(
    include_str!("page/base.css"),
    include_str!("page/groups.css"),
    include_str!("page/print.css")
);

/// The page's script: small files that share one scope, closed to the outside.
const SCRIPT: &str = concat!(
    "\"use strict\";\n(() => {\n",
    include_str!("page/elements.js"),
    include_str!("page/blocks.js"),
    include_str!("page/pattern.js"),
    include_str!("page/charts.js"),
    include_str!("page/offers.js"),
    include_str!("page/group.js"),
    include_str!("page/understand.js"),
    include_str!("page/search.js"),
    include_str!("page/browse.js"),
    "})();\n"
);

/// Writes the report.
pub fn write_report(
    path: &Path,
    rows: &Ordered<'_>,
    settled: &Settled<'_>,
    facts: &RunFacts,
) -> Result<(), PublishError> {
    let mut views = group_views(rows);
    let left_out = limit::limit(&mut views);
    let blocks = blocks::blocks(&views, &facts.home_currency).map_err(PublishError::format(path))?;
    let page = page(&views, &left_out, &blocks, rows, settled, facts);
    write_fresh(path, page.into_string().as_bytes())
}

fn page(
    views: &[GroupView<'_>],
    left_out: &LeftOut,
    blocks: &Markup,
    rows: &Ordered<'_>,
    settled: &Settled<'_>,
    facts: &RunFacts,
) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(content_policy(STYLE, SCRIPT));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                meta name="color-scheme" content="light dark";
                title { "samefit: what fits, and what it costs" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a .skip href="#groups" { "Skip to the search" }
                (masthead(settled, facts))
                main {
                    (today::section(views, rows, facts))
                    (groups(views, left_out, rows))
                    (cautions())
                    (accounts::suppliers(&rows.suppliers))
                    (accounts::rejects(&rows.rejects))
                    (notes(facts))
                }
                footer { p { "samefit " (facts.version) ". The tables beside this page hold every row of the run." } }
                (blocks)
                script { (PreEscaped(SCRIPT)) }
            }
        }
    }
}

fn masthead(settled: &Settled<'_>, facts: &RunFacts) -> Markup {
    let count = |name: &str, one, several| counted(usize::try_from(settled.count(name)).unwrap_or(0), one, several);
    html! {
        header .masthead {
            h1 { "What fits, and what it costs" }
            p .account {
                strong { (count("offers", "offer", "offers")) } " in " (count("lists", "list", "lists")) " are "
                strong { (count("products", "product", "products")) } " in "
                strong { (count("fit_groups", "fit group", "fit groups")) } ". "
                (count("set_aside", "line was", "lines were")) " set aside, "
                (count("rejected", "line", "lines")) " could not be read. "
                @if !facts.home_currency.is_empty() {
                    "Delivered prices are in " (facts.home_currency) ", for one piece, from what the lists say."
                }
            }
            p .limit { (cautions::LIMIT) }
            nav aria-label="Sections" {
                a href="#today" { "Today" }
                a href="#groups" { "Find a part" }
                a href="#cautions" { "Cautions" }
                a href="#suppliers" { "Suppliers" }
                a href="#rejects" { "Lines not read" }
            }
        }
    }
}

fn groups(views: &[GroupView<'_>], left_out: &LeftOut, rows: &Ordered<'_>) -> Markup {
    let ungrouped = rows.crossref.iter().filter(|row| row.group_id.is_empty()).count();
    html! {
        section #groups aria-labelledby="groups-heading" {
            h2 #groups-heading { "Find a part" }
            p .lead {
                "A fit group is all parts that bolt on and work in place of each other. Bolt patterns are drawn at one "
                "scale, so that two groups can be told apart by eye."
            }
            @if *left_out != LeftOut::default() {
                p .notice {
                    "Not on this page: " (counted(left_out.groups, "group", "groups")) " and "
                    (counted(left_out.offers, "offer", "offers")) ". All of them are in crossref.csv."
                }
            }
            @if ungrouped > 0 {
                p .notice { (counted(ungrouped, "offer belongs", "offers belong")) " to no fit group; see crossref.csv." }
            }
            @if views.is_empty() { p { "No fit group came out of these lists." } } @else {
                (search_form())
                (index::without_script(views))
            }
        }
    }
}

/// What the script fills; hidden where it does not run.
fn search_form() -> Markup {
    html! {
        p #unable .notice hidden {
            "This browser cannot unpack the offers: it lacks DecompressionStream, which browsers have had since 2023. "
            "Every offer is in crossref.csv."
        }
        div #browse hidden {
            form #search role="search" {
                div .field .wide {
                    label for="query" { "Part number, engine code, size or wording" }
                    input #query type="search" autocomplete="off" autocapitalize="none" spellcheck="false"
                        aria-describedby="understood";
                }
                div .field {
                    label for="kind" { "Kind of part" }
                    select #kind { option value="" { "every kind" } }
                }
                div .field {
                    label for="order" { "Order" }
                    select #order {
                        option value="kind" { "kind and size" }
                        option value="offers" { "most offers" }
                        option value="price" { "cheapest" }
                    }
                }
                p #understood { "For example 212cc 3 holes, 168F, M8 118 mm, or a number with or without its dashes" }
                p #found role="status" {}
            }
            ol #list {}
            p { button #more type="button" hidden { "Show more groups" } }
        }
    }
}

fn cautions() -> Markup {
    html! {
        section #cautions aria-labelledby="cautions-heading" {
            h2 #cautions-heading { "Before ordering, and before the work" }
            div .columns {
                div {
                    h3 { "It may not be the starter" }
                    ul { @for wording in cautions::BEFORE_ORDERING { li { (wording) } } }
                    p .limit { (cautions::LIMIT) }
                }
                div {
                    h3 { "At the engine" }
                    dl .cautions {
                        @for caution in cautions::SAFETY {
                            div { dt { (caution.cue) } dd { (caution.wording) } }
                        }
                    }
                }
            }
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
