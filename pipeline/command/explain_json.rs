//! The explanations of `samefit explain` for machines: what was understood, an offer, two offers side by side.

use super::explain::{Told, named, unit};
use super::machine::row_json;
use crate::normalise::claim::{Claim, Value as Stated};
use crate::normalise::text::Reading;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::column::rounded;
use crate::shop::claim_pairs::ClaimPair;
use crate::shop::dossier::differences;
use crate::shop::pair::{Pair, Relation};
use crate::shop::why::{self, Item};
use crate::trade::interval::Interval;
use serde_json::{Value, json};

pub(super) fn reading_json(vocabulary: &Vocabulary, reading: &Reading) -> Value {
    let alternatives: Vec<Value> = reading
        .kind
        .alternatives
        .iter()
        .map(|(kind, probability)| json!({"kind": vocabulary.kind_name(*kind), "probability": rounded(f64::from(*probability), 4)}))
        .collect();
    let numbers: Vec<Value> = reading
        .numbers
        .iter()
        .map(|number| json!({"number": number.raw.as_str(), "canonical": number.canonical.as_str(), "role": number.role.name(), "usable": number.usable}))
        .collect();
    json!({
        "kind": {
            "name": vocabulary.kind_name(reading.kind.kind), "probability": rounded(f64::from(reading.kind.probability), 4),
            "why": reading.kind.why.as_str(), "alternatives": alternatives,
        },
        "claims": reading.claims.iter().map(claim_json).collect::<Vec<_>>(),
        "numbers": numbers,
        "remarks": reading.flags.iter().map(|flag| flag.name()).collect::<Vec<_>>(),
        "not_understood": reading.leftover_words.iter().map(|word| word.as_str()).collect::<Vec<_>>(),
    })
}

fn claim_json(claim: &Claim) -> Value {
    let interval = |list: &[Interval]| {
        list.iter()
            .map(|i| json!([rounded3(i.low), rounded3(i.high)]))
            .collect::<Vec<_>>()
    };
    let (how, value) = match &claim.value {
        Stated::Served(list) => ("every one", json!(interval(list))),
        Stated::OneOf(list) => ("one of", json!(interval(list))),
        Stated::Threads(threads) => (
            "one of",
            json!(threads.iter().map(|thread| thread.name()).collect::<Vec<_>>()),
        ),
        Stated::Count(count) => ("is", json!(count)),
        Stated::Code(word) | Stated::Word(word) => ("is", json!(word.as_str())),
    };
    json!({
        "attribute": claim.attribute.name(), "meant": how, "value": value, "unit": unit(claim.attribute),
        "provenance": claim.provenance.name(), "words": claim.text.as_str(),
    })
}

fn rounded3(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

pub(super) fn told_json(vocabulary: &Vocabulary, told: &Told) -> Value {
    let dossier = &told.dossier;
    let evidence: Vec<Value> = why::items(&dossier.row.evidence)
        .into_iter()
        .map(|Item { words, weight }| json!({"words": words, "weight": weight}))
        .collect();
    json!({
        "offer": row_json(&dossier.row), "understood": reading_json(vocabulary, &told.reading),
        "group": dossier.group.as_ref().map(row_json), "evidence": evidence,
        "cost": told.price.as_ref().map(|price| price.1.clone()),
        "same_product": dossier.mates.iter().map(row_json).collect::<Vec<_>>(),
        "rivals": dossier.rivals.iter().map(row_json).collect::<Vec<_>>(),
    })
}

pub(super) fn pair_json(a: &Told, b: &Told, pair: &Pair, claims: &[ClaimPair]) -> Value {
    let (one, two) = (&a.dossier.row, &b.dossier.row);
    let differ = match &pair.groups {
        [Some(x), Some(y)] => differences(x, y),
        _ => Vec::new(),
    };
    let parts: Vec<Value> = pair
        .parts
        .iter()
        .map(|part| json!({"compared": part.compared, "words": part.words, "bits": rounded3(part.bits), "speaks": part.strength()}))
        .collect();
    let claims: Vec<Value> = claims
        .iter()
        .map(|claim| json!({"attribute": claim.attribute, "verdict": claim.verdict.word(), "words": claim.words}))
        .collect();
    json!({
        "offers": [row_json(one), row_json(two)], "link": pair.link.as_ref().map(row_json), "parts": parts,
        "same_product": one.product_id == two.product_id, "relation": relation_json(&pair.relation),
        "same_group": !one.group_id.is_empty() && one.group_id == two.group_id,
        "groups": pair.groups.iter().map(|group| group.as_ref().map(row_json)).collect::<Vec<_>>(),
        "groups_differ": differ, "claims": claims,
        "decisions": [why::decisions(&one.evidence), why::decisions(&two.evidence)],
    })
}

fn relation_json(relation: &Relation) -> Value {
    match relation {
        Relation::Joined => json!({"how": "linked"}),
        Relation::Chained(hops) => {
            let hops: Vec<Value> = hops
                .iter()
                .map(|hop| json!({"from": named(&hop.from), "to": named(&hop.to), "probability": hop.probability}))
                .collect();
            json!({"how": "over other offers", "chain": hops})
        }
        Relation::Parted(parting) => json!({
            "how": "two products", "outcome": parting.outcome, "nearest": parting.nearest.as_ref().map(row_json),
            "partners": parting.partners.iter().map(|link| link.as_ref().map(row_json)).collect::<Vec<_>>(),
        }),
    }
}
