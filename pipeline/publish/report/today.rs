//! What to do today: the few things in a run that are worth someone's minute.
//!
//! In this order, each cut to the most that helps: what changed since the run before; doubtful offers that
//! would be the cheapest if they fit; questions for a person; offers between yes and no; groups where the same
//! thing costs very different sums; lists with lines that could not be read; suppliers whose claims the rest often
//! contradicts.

use std::collections::BTreeMap;

use maud::{Markup, html};
use rust_decimal::Decimal;

use super::view::{GroupView, LIKELY, SURE, Standing};
use super::words::{amount, confidence, counted, group_link, offer_name};
use super::{MOST_TASKS, changes};
use crate::publish::facts::RunFacts;
use crate::publish::order::Ordered;
use crate::publish::tables::{CrossrefRow, RejectRow, ReviewRow, SupplierRow};
use crate::publish::terminal::inert;

/// A supplier is named when even the friendly end of its track record is below this.
pub const POOR_RECORD: f64 = 0.9;

/// Questions for a person that are listed one by one.
const MOST_QUESTIONS: usize = 5;
/// Offers between yes and no that are listed one by one.
const MOST_UNDECIDED: usize = 5;

/// The section at the top of the page.
pub fn section(views: &[GroupView<'_>], rows: &Ordered<'_>, facts: &RunFacts) -> Markup {
    let currency = facts.home_currency.as_str();
    let mut lists = changes::lists(&rows.changes, views, currency);
    let standing = [
        measuring_list(&worth_measuring(views), currency),
        question_list(&rows.review),
        undecided_list(&undecided(views)),
        spread_list(&spreads(views), currency),
        reject_list(&reject_counts(&rows.rejects)),
        record_list(&poor_records(&rows.suppliers)),
    ];
    lists.extend(standing.into_iter().flatten());
    html! {
        section #today aria-labelledby="today-heading" {
            h2 #today-heading { "Today" }
            @if let Some(sentence) = changes::sentence(&rows.changes, &facts.chain) { (sentence) }
            @if lists.is_empty() { p { "Nothing stands out." } }
            div .columns { @for list in &lists { (list) } }
        }
    }
}

/// One list of what to do; nothing where there is nothing to do.
pub fn tasks(heading: &str, about: &str, entries: Vec<Markup>) -> Option<Markup> {
    (!entries.is_empty()).then(|| {
        html! {
            div .tasks {
                h3 { (heading) }
                p .about { (about) }
                ul { @for entry in &entries { li { (entry) } } }
            }
        }
    })
}

/// A task that starts with the figure that makes it worth reading.
pub fn task(figure: &str, text: &Markup) -> Markup {
    html! { span .figure { (figure) } " " span .text { (text) } }
}

fn find_out(offer: &CrossrefRow) -> Markup {
    html! { @if !offer.measure_first.is_empty() { span .measure { "Find out: " (inert(&offer.measure_first)) } } }
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

fn measuring_list(found: &[Measuring<'_>], currency: &str) -> Option<Markup> {
    let entry = |Measuring { view, offer, saving }: &Measuring<'_>| {
        let text = html! {
            (offer_name(offer)) ", " (confidence(offer.confidence)) " sure, would be the cheapest " (group_link(view))
            (find_out(offer))
        };
        task(&format!("Saves {}", amount(*saving, currency)), &text)
    };
    tasks(
        "Worth measuring",
        "Doubtful offers that would be the cheapest of their group, if they fit",
        found.iter().map(entry).collect(),
    )
}

/// The questions of review.csv that are worth most.
fn question_list(questions: &[&ReviewRow]) -> Option<Markup> {
    let entry = |row: &&ReviewRow| {
        let text = html! {
            strong { (inert(&row.asked)) }
            span .side { (inert(&row.this_offer)) }
            span .side { (inert(&row.that)) }
            @if !row.measure_first.is_empty() { span .measure { "Find out: " (inert(&row.measure_first)) } }
        };
        task(&format!("{} yes", confidence(row.probability)), &text)
    };
    let mut entries: Vec<Markup> = questions.iter().take(MOST_QUESTIONS).map(entry).collect();
    if questions.len() > MOST_QUESTIONS {
        entries.push(task(
            "",
            &html! { (questions.len() - MOST_QUESTIONS) " more are in review.csv" },
        ));
    }
    let heading = format!("To decide: {}", counted(questions.len(), "question", "questions"));
    let about = "Fill in review.csv, or the workbook's sheet, and give it back: a decision holds in every later run";
    tasks(&heading, about, entries)
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

fn undecided_list(found: &[(&GroupView<'_>, &CrossrefRow)]) -> Option<Markup> {
    let entry = |(view, offer): &(&GroupView<'_>, &CrossrefRow)| {
        let text = html! { (offer_name(offer)) " in " (group_link(view)) (find_out(offer)) };
        task(&format!("{} sure", confidence(offer.confidence)), &text)
    };
    let mut entries: Vec<Markup> = found.iter().take(MOST_UNDECIDED).map(entry).collect();
    if found.len() > MOST_UNDECIDED {
        entries.push(task(
            "",
            &html! { (found.len() - MOST_UNDECIDED) " more are in crossref.csv" },
        ));
    }
    let heading = format!("Between yes and no: {}", counted(found.len(), "offer", "offers"));
    tasks(&heading, "One measurement settles each of them", entries)
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

fn spread_list(found: &[Spread<'_>], currency: &str) -> Option<Markup> {
    let entry = |Spread {
                     view,
                     low,
                     middle,
                     high,
                 }: &Spread<'_>| {
        let text = html! {
            (group_link(view)) ": half of the offers cost " (amount(*middle, currency)) " or more, the dearest "
            (amount(*high, currency)) "; cheapest at " strong { (inert(&view.group.cheapest_supplier)) }
        };
        task(&format!("From {}", amount(*low, currency)), &text)
    };
    tasks(
        "Same fit, very different price",
        "Sure offers only, delivered",
        found.iter().map(entry).collect(),
    )
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

fn reject_list(counts: &[(&str, &str, &str, usize)]) -> Option<Markup> {
    let entry = |(file, code, hint, count): &(&str, &str, &str, usize)| {
        let text = html! {
            strong { (inert(file)) } ": " code { (inert(code)) }
            @if !hint.is_empty() { span .measure { (inert(hint)) } }
        };
        task(&counted(*count, "line", "lines"), &text)
    };
    tasks(
        "Lists to mend",
        "Lines that could not be read, by what is wrong with them",
        counts.iter().map(entry).collect(),
    )
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

fn record_list(found: &[&SupplierRow]) -> Option<Markup> {
    let entry = |list: &&SupplierRow| {
        let text = html! {
            strong { (inert(&list.supplier)) } ": the rest contradicts " (list.contradicted_claims) " of "
            (list.checked_claims) " claims that can be checked"
        };
        let high = list.track_record_high.unwrap_or(1.0);
        task(&format!("At most {} hold", confidence(high)), &text)
    };
    tasks(
        "Suppliers to read with care",
        "What they say of a part is borne out less often than what others say",
        found.iter().map(entry).collect(),
    )
}
