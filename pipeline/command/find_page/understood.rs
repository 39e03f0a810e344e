//! What was understood of a question, in words.

use crate::command::page::Page;
use crate::normalise::kind::KindId;
use crate::shop::matching::{cc_words, figure};
use crate::shop::need::Need;
use crate::shop::numbers::{NumberFound, Place};

/// What was understood, one fact each.
pub fn understood(need: &Need) -> Vec<String> {
    let mut facts: Vec<String> = Vec::new();
    facts.extend(need.kind.map(|kind| called(kind).to_string()));
    facts.extend(
        need.out_of_scope
            .iter()
            .map(|kind| format!("a part of the kind {kind}")),
    );
    facts.extend(need.groups.iter().map(|group| format!("fit group {group}")));
    facts.extend(need.numbers.iter().map(|number| format!("number {number}")));
    facts.extend(
        need.displacement
            .iter()
            .map(|cc| format!("displacement {}", cc_words(*cc))),
    );
    facts.extend(need.power_kw.iter().map(|kw| format!("power {} kW", figure(kw.mid()))));
    facts.extend(
        need.codes
            .iter()
            .map(|code| format!("engine code {}", code.split_once(':').map_or(code.as_str(), |x| x.1))),
    );
    facts.extend(need.brands.iter().map(|brand| format!("engine of {brand}")));
    facts.extend(need.cues.iter().map(|word| format!("engine: {word}")));
    facts.extend(need.holes.map(|count| format!("{count} holes")));
    if !need.circles_mm.is_empty() {
        let circles: Vec<String> = need.circles_mm.iter().map(|circle| figure(circle.mid())).collect();
        facts.push(format!("bolt circle {} mm", circles.join(" or ")));
    }
    if !need.threads.is_empty() {
        facts.push(format!("thread {}", need.threads.to_string().replace('|', " or ")));
    }
    facts
}

pub(super) fn called(kind: KindId) -> &'static str {
    match kind {
        KindId::RECOIL_STARTER => "recoil starter",
        KindId::SHROUD => "fan shroud",
        KindId::ASSEMBLY => "shroud with starter",
        _ => "part",
    }
}

/// Where a number was found, for people and files.
pub fn place_word(place: Place) -> &'static str {
    match place {
        Place::Number => "numbers",
        Place::Replaced => "replaced numbers",
        Place::Wording => "wording",
    }
}

pub(super) fn number_sentence(page: &mut Page, number: &NumberFound) {
    let asked = &number.asked;
    let products = match number.products.len() {
        1 => "1 product".to_string(),
        count => format!("{count} products"),
    };
    match number.place {
        Some(Place::Number) => page.sentence(0, &format!("Number {asked}: stands on {products}")),
        Some(Place::Replaced) => page.sentence(0, &format!("Number {asked}: replaced by {products}")),
        Some(Place::Wording) => page.sentence(0, &format!("Number {asked}: stands in the wording of {products}")),
        None => {
            page.sentence(
                0,
                &format!("Number {asked}: looked for among suppliers' and makers' numbers, barcodes, replaced numbers and wording; it stands nowhere"),
            );
            if !number.nearest.is_empty() {
                page.sentence(2, &format!("nearest: {}", number.nearest.join(", ")));
            }
        }
    }
}
