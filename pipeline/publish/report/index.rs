//! The fit groups as a plain table, for readers whose browser runs no script.
//!
//! With script the groups are drawn, searched and opened; without, this table says what there is, and
//! crossref.csv has the offers. Limit: [`MOST_ROWS`] groups, those listed first.

use maud::{Markup, html};

use super::view::GroupView;
use super::words::{amount, confidence};
use crate::publish::terminal::inert;

/// Groups in the table.
const MOST_ROWS: usize = 500;

/// The table, which a browser shows only where script does not run.
pub fn without_script(views: &[GroupView<'_>]) -> Markup {
    html! {
        noscript {
            p .notice { "Search, drawings and offers need script, which does not run here. Every offer is in crossref.csv." }
            table {
                thead {
                    tr {
                        th scope="col" { "Fit group" }
                        th scope="col" { "Id" }
                        th scope="col" .number { "Offers" }
                        th scope="col" .number { "Cheapest delivered" }
                        th scope="col" .number { "Sure" }
                    }
                }
                tbody { @for view in views.iter().take(MOST_ROWS) { (row(view)) } }
            }
            @if views.len() > MOST_ROWS { p { (views.len() - MOST_ROWS) " more groups are in groups.csv." } }
        }
    }
}

fn row(view: &GroupView<'_>) -> Markup {
    let group = view.group;
    html! {
        tr id=(view.anchor) {
            th scope="row" { (inert(&group.name)) }
            td { (inert(&group.group_id)) }
            td .number { (group.offers) }
            td .number { @if let Some(price) = group.cheapest_landed { (amount(price, &group.currency)) } }
            td .number { (confidence(group.confidence)) }
        }
    }
}
