//! The data the page's script works on: what each group is found by, and its offers beyond those shown.
//!
//! It lies in the page as JSON in a block that browsers do not run. The script puts it into the page as
//! text only.

use std::collections::BTreeSet;

use serde::Serialize;

use super::SHOWN_PER_GROUP;
use super::policy::for_script_block;
use super::view::{GroupView, Standing};
use crate::publish::column::money;
use crate::publish::tables::CrossrefRow;
use crate::publish::terminal::inert;

#[derive(Debug, Serialize)]
struct GroupData<'a> {
    anchor: &'a str,
    /// Words in lower case, each once, with spaces between.
    words: String,
    /// Offers beyond those shown, cell by cell as the table's columns go.
    more: Vec<OfferData>,
}

/// Supplier, its number, wording, maker's number, list price, delivered price, confidence, its word, why.
type OfferData = [String; 9];

/// The data as JSON that may stand in a script element.
pub fn embedded(views: &[GroupView<'_>]) -> Result<String, serde_json::Error> {
    let groups: Vec<GroupData<'_>> = views.iter().map(group_data).collect();
    Ok(for_script_block(&serde_json::to_string(&groups)?))
}

fn group_data<'a>(view: &'a GroupView<'_>) -> GroupData<'a> {
    let more = view.offers.iter().take(view.carried).skip(SHOWN_PER_GROUP);
    GroupData {
        anchor: &view.anchor,
        words: words(view),
        more: more.map(|offer| offer_data(offer)).collect(),
    }
}

fn words(view: &GroupView<'_>) -> String {
    let group = view.group;
    let mut words = BTreeSet::new();
    for text in [
        group.group_id.as_str(),
        &group.name,
        &group.part_kind,
        &group.family,
        &group.size_class,
        &group.displacement_cc,
        &group.thread,
        &group.engine_codes,
    ] {
        add_words(&mut words, text);
    }
    for offer in view.offers.iter().take(view.carried) {
        for text in [
            &*offer.supplier,
            &offer.brand,
            &offer.gtin,
            &offer.description,
            &offer.product_id,
        ] {
            add_words(&mut words, text);
        }
        for number in [&offer.supplier_sku, &offer.mpn] {
            add_words(&mut words, number);
            words.insert(bare(number));
        }
    }
    words.remove("");
    words.into_iter().collect::<Vec<_>>().join(" ")
}

fn add_words(words: &mut BTreeSet<String>, text: &str) {
    let separate = |letter: char| letter.is_whitespace() || ";,()[]{}\"'".contains(letter);
    words.extend(inert(text).to_lowercase().split(separate).map(str::to_owned));
}

/// A number without the dashes, dots and spaces that come and go between lists.
fn bare(number: &str) -> String {
    number
        .chars()
        .filter(|letter| letter.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

fn offer_data(offer: &CrossrefRow) -> OfferData {
    let shown = |text: &str| inert(text).into_owned();
    [
        shown(&offer.supplier),
        shown(&offer.supplier_sku),
        shown(&offer.description),
        shown(&offer.mpn),
        list_price(offer),
        delivered_price(offer),
        confidence(offer.confidence),
        Standing::of(offer.confidence).word().to_owned(),
        why(offer).join("\n"),
    ]
}

/// The list price of one piece with its currency, or nothing.
pub fn list_price(offer: &CrossrefRow) -> String {
    offer
        .unit_price
        .map(|price| format!("{} {}", money(price), inert(&offer.currency)))
        .unwrap_or_default()
}

/// The delivered price of one piece in the home currency, or nothing.
pub fn delivered_price(offer: &CrossrefRow) -> String {
    offer
        .landed_price
        .map(|price| money(price.round_dp(2)))
        .unwrap_or_default()
}

/// A confidence as a percentage, rounded down so that nothing short of certain reads 100 %.
pub fn confidence(confidence: f64) -> String {
    format!("{:.0} %", (confidence * 100.0).floor())
}

/// What stands behind an offer, line by line.
pub fn why(offer: &CrossrefRow) -> Vec<String> {
    let mut lines: Vec<String> = offer
        .evidence
        .lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| inert(line).into_owned())
        .collect();
    if !offer.measure_first.is_empty() {
        lines.push(format!("Measure first: {}", inert(&offer.measure_first)));
    }
    if !offer.landed_note.is_empty() {
        lines.push(format!("Delivered price: {}", inert(&offer.landed_note)));
    }
    if let Some(pack) = offer.pack_qty.filter(|pack| *pack > 1) {
        lines.push(format!("Sold in packs of {pack}"));
    }
    lines.push(format!("{}, line {}", inert(&offer.source_file), offer.source_line));
    lines
}
