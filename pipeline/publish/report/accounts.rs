//! The suppliers' accounts and the lines that could not be read.

use maud::{Markup, html};

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
            p { "Lines read = offers + set aside + rejected + layout lines. The track record is the share of claims that other suppliers bear out, where they can check them." }
            div .table role="region" tabindex="0" aria-label="Suppliers' accounts" {
                table {
                    thead {
                        tr {
                            th scope="col" { "Supplier" }
                            th scope="col" { "List" }
                            @for label in ["Read", "Offers", "Set aside", "Rejected", "Layout", "Track record"] {
                                th scope="col" .number { (label) }
                            }
                            th scope="col" { "How it was read" }
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
            th scope="row" { (inert(&list.supplier)) }
            td { (inert(&list.source_name())) }
            @for count in [list.read, list.offers, list.set_aside, list.rejected, list.layout()] {
                td .number { (count) }
            }
            td .number { (track_record(list)) }
            td { (inert(&reading.join("; "))) }
        }
    }
}

fn track_record(list: &SupplierRow) -> String {
    match (list.track_record_low, list.track_record_high) {
        (Some(low), Some(high)) if list.checked_claims > 0 => {
            format!("{:.0}–{:.0} % of {}", low * 100.0, high * 100.0, list.checked_claims)
        }
        _ => "–".to_owned(),
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
            td { code { (inert(&raw)) } @if raw.len() < row.raw.len() { "…" } }
        }
    }
}
