//! The suppliers' accounts and the lines that could not be read.

use maud::{Markup, html};

use super::today::POOR_RECORD;
use crate::publish::tables::{RejectRow, SupplierRow};
use crate::publish::terminal::inert;

/// Rejected lines shown; all of them are in rejects.csv.
const MOST_REJECTS: usize = 200;
/// Letters shown of a rejected line.
const MOST_LETTERS: usize = 200;

/// Every list: how its lines add up and how far its claims hold.
pub fn suppliers(lists: &[&SupplierRow]) -> Markup {
    html! {
        section #suppliers aria-labelledby="suppliers-heading" {
            h2 #suppliers-heading { "Suppliers" }
            p { "Lines read = offers + set aside + rejected + layout lines. The track record is the share of claims that other suppliers bear out, where they can check them, as a 95 % interval; the rail under it runs from half to all." }
            div .table role="region" tabindex="0" aria-label="Suppliers' accounts" {
                table {
                    thead {
                        tr {
                            th scope="col" { "Supplier and list" }
                            @for label in ["Read", "Offers", "Set aside", "Rejected", "Layout"] {
                                th scope="col" .number { (label) }
                            }
                            th scope="col" { "Track record" }
                            th scope="col" { "Remarks" }
                        }
                    }
                    tbody { @for list in lists { (supplier_row(list)) } }
                }
            }
        }
    }
}

fn supplier_row(list: &SupplierRow) -> Markup {
    let reading = [list.encoding.as_str(), &list.dialect, &list.profile, &list.notes];
    let reading: Vec<&str> = reading.into_iter().filter(|words| !words.is_empty()).collect();
    html! {
        tr {
            th scope="row" { (inert(&list.supplier)) small { (inert(&list.source_name())) } }
            @for count in [list.read, list.offers, list.set_aside, list.rejected, list.layout()] {
                td .number { (count) }
            }
            td { (track_record(list)) }
            td {
                @if !reading.is_empty() {
                    details {
                        summary { "How it was read" }
                        ul { @for words in reading.iter().flat_map(|words| words.split("; ")) { li { (inert(words)) } } }
                    }
                }
            }
        }
    }
}

/// The 95 % interval of the share of claims that hold, as a bar on a rail from half to all: a supplier of whose
/// claims less than half hold is not told apart further.
fn track_record(list: &SupplierRow) -> Markup {
    let (Some(low), Some(high), 1..) = (list.track_record_low, list.track_record_high, list.checked_claims) else {
        return html! { "nothing to check" };
    };
    let class = if high < POOR_RECORD { "record poor" } else { "record" };
    let along = |share: f64| 200.0 * (share.clamp(0.5, 1.0) - 0.5);
    html! {
        span .figures { (format!("{:.0}–{:.0} % of {}", low * 100.0, high * 100.0, list.checked_claims)) }
        svg class=(class) viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" {
            rect .rail y="4" width="100" height="2" {}
            rect .share x=(format!("{:.1}", along(low).min(98.0))) width=(format!("{:.1}", (along(high) - along(low)).max(2.0))) height="10" {}
        }
    }
}

/// The first rejected lines with what to do about them.
pub fn rejects(rejects: &[&RejectRow]) -> Markup {
    html! {
        section #rejects aria-labelledby="rejects-heading" {
            h2 #rejects-heading { "Lines not read" }
            @if rejects.is_empty() { p { "Every line was read." } } @else {
                div .table role="region" tabindex="0" aria-label="Lines not read" {
                    table {
                        thead {
                            tr {
                                th scope="col" { "List" }
                                th scope="col" .number { "Line" }
                                th scope="col" { "What is wrong" }
                                th scope="col" { "As it stands" }
                            }
                        }
                        tbody { @for row in rejects.iter().take(MOST_REJECTS) { (reject_row(row)) } }
                    }
                }
                @if rejects.len() > MOST_REJECTS {
                    p .rest { (rejects.len() - MOST_REJECTS) " more are in rejects.csv." }
                }
            }
        }
    }
}

fn reject_row(row: &RejectRow) -> Markup {
    let raw: String = row.raw.chars().take(MOST_LETTERS).collect();
    html! {
        tr {
            th scope="row" { (inert(&row.file)) }
            td .number { @if let Some(line) = row.line { (line) } }
            td {
                code { (inert(&row.code)) } " " (inert(&row.message))
                @if !row.hint.is_empty() { small { (inert(&row.hint)) } }
            }
            td .raw { code { (inert(&raw)) } @if raw.len() < row.raw.len() { "…" } }
        }
    }
}
