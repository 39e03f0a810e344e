//! What changed since the run before: the first thing someone with a minute should read.
//!
//! Changes come worth most first. Lists held back stand before all, because tonight's figures rest on
//! yesterday's lines; then what got cheaper and what got dearer; the rest is counted, and lies in
//! changes.csv. A run that stands alone says nothing here.

use std::collections::BTreeMap;

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::MOST_TASKS;
use super::today::{task, tasks};
use super::view::GroupView;
use super::words::{amount, counted, group_link};
use crate::publish::ChangeRow;
use crate::publish::facts::Chain;
use crate::publish::terminal::inert;

/// Changes that concern a whole list.
const OF_A_LIST: [&str; 2] = ["held", "accepted"];

/// One sentence: what was compared, and how many changes of each kind there are.
pub fn sentence(changes: &[&ChangeRow], chain: &Chain) -> Option<Markup> {
    let Chain::Nightly { before } = chain else { return None };
    let Some(before) = before else {
        return Some(html! { p { "The first run of its chain: there is nothing to compare it with yet." } });
    };
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for change in changes {
        *counts.entry(&change.change).or_default() += 1;
    }
    let counts: Vec<String> = counts.iter().map(|(kind, count)| format!("{count} {kind}")).collect();
    Some(html! {
        p {
            "Since the run of " (inert(before)) ": "
            @if counts.is_empty() { "nothing changed." } @else { (inert(&counts.join(", "))) ". All of it is in changes.csv." }
        }
    })
}

/// The lists of changes, in the order in which they matter.
pub fn lists(changes: &[&ChangeRow], views: &[GroupView<'_>], currency: &str) -> Vec<Markup> {
    let views: BTreeMap<&str, &GroupView<'_>> = views.iter().map(|view| (&*view.group.group_id, view)).collect();
    let of_a_list = |change: &ChangeRow| OF_A_LIST.contains(&change.change.as_str());
    let worth = |change: &ChangeRow| change.worth.unwrap_or(Decimal::ZERO);
    let some = |keep: &dyn Fn(&ChangeRow) -> bool| -> Vec<&ChangeRow> {
        changes.iter().copied().filter(|change| keep(change)).collect()
    };
    let held = some(&of_a_list);
    let cheaper = some(&|change| !of_a_list(change) && worth(change) > Decimal::ZERO);
    let dearer = some(&|change| !of_a_list(change) && worth(change) < Decimal::ZERO);
    let others = some(&|change| !of_a_list(change) && worth(change).is_zero());
    let kind = |change: &ChangeRow| inert(&change.change).into_owned();
    let saving = |change: &ChangeRow| format!("Saves {}", amount(worth(change), currency));
    let loss = |change: &ChangeRow| format!("Costs {} more", amount(-worth(change), currency));
    [
        list(
            "Lists held back",
            "Yesterday's lines stand in for them",
            &held,
            &views,
            &kind,
        ),
        list(
            "What got cheaper",
            "The cheapest delivered price of a group fell",
            &cheaper,
            &views,
            &saving,
        ),
        list(
            "What got dearer",
            "The cheapest delivered price of a group rose",
            &dearer,
            &views,
            &loss,
        ),
        list(
            "What else changed",
            "No group's cheapest price moved for it",
            &others,
            &views,
            &kind,
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn list(
    heading: &str,
    about: &str,
    changes: &[&ChangeRow],
    views: &BTreeMap<&str, &GroupView<'_>>,
    figure: &dyn Fn(&ChangeRow) -> String,
) -> Option<Markup> {
    let entry = |change: &&ChangeRow| {
        let text = html! {
            @if !change.supplier.is_empty() { strong { (inert(&change.supplier)) } " " }
            @if !change.supplier_sku.is_empty() { span .code { (inert(&change.supplier_sku)) } " " }
            (inert(&change.words))
            @if let Some(view) = views.get(change.group_id.as_str()) { span .measure { (group_link(view)) } }
        };
        task(&figure(change), &text)
    };
    let mut entries: Vec<Markup> = changes.iter().take(MOST_TASKS).map(entry).collect();
    if changes.len() > MOST_TASKS {
        entries.push(task(
            "",
            &html! { (changes.len() - MOST_TASKS) " more are in changes.csv" },
        ));
    }
    let heading = format!("{heading}: {}", counted(changes.len(), "change", "changes"));
    tasks(&heading, about, entries)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(kind: &str, worth: Option<&str>) -> ChangeRow {
        ChangeRow {
            change: kind.into(),
            supplier: "north".into(),
            worth: worth.and_then(|worth| worth.parse().ok()),
            words: format!("words of {kind}"),
            ..ChangeRow::default()
        }
    }

    #[test]
    fn lists_held_back_come_first_and_worth_decides_the_rest() {
        let rows = [
            change("repriced", Some("-2.5")),
            change("new", Some("1.2")),
            change("gone", None),
            change("held", None),
        ];
        let rows: Vec<&ChangeRow> = rows.iter().collect();
        let page: String = lists(&rows, &[], "EUR").into_iter().map(Markup::into_string).collect();
        let places = [
            "words of held",
            "Saves 1.20 EUR",
            "Costs 2.50 EUR more",
            "words of gone",
        ]
        .map(|words| page.find(words));
        assert!(
            places.iter().all(Option::is_some) && places.is_sorted(),
            "{places:?}\n{page}"
        );
    }

    #[test]
    fn a_run_that_stands_alone_tells_no_changes() {
        assert!(sentence(&[], &Chain::Alone).is_none());
        let after = Chain::Nightly {
            before: Some("2026-09-01".into()),
        };
        assert!(sentence(&[], &after).unwrap().into_string().contains("nothing changed"));
        let counted = sentence(&[&change("gone", None)], &after).unwrap().into_string();
        assert!(counted.contains("1 gone"), "{counted}");
    }
}
