//! A need -> its fit group, and the offers that may answer it; or why none may.
//!
//! A need is read as `find` reads it. Its group must be settled: a plan orders nothing on a guess. What the limits leave
//! out is counted by its reason, and the counts are the reason when nothing is left.

use super::PlanLimits;
use super::needs::NeedLine;
use crate::normalise::kind::KindId;
use crate::normalise::vocabulary::Vocabulary;
use crate::publish::{CrossrefRow, FinishedRun, GroupRow, ReadError};
use crate::shop::answer::{Answer, Limits, SETTLED, Section, StockWanted};
use crate::shop::desk::covering_groups;
use crate::shop::find::find;
use crate::shop::need::{Need, Question};
use crate::shop::shelf::{Counter, rows_in};
use crate::shop::terms::{OfferTerms, SupplierTerms};
use compact_str::CompactString;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// What a need was taken to be.
#[derive(Clone, Debug)]
pub struct Chosen {
    /// kind of part
    pub kind: KindId,
    /// its fit group, empty when none was settled
    pub group_id: CompactString,
    /// the name of the group
    pub name: String,
    /// words that were not understood
    pub not_understood: Vec<CompactString>,
    /// offers that may be ordered for it, assemblies that cover it among them
    pub offers: Vec<CrossrefRow>,
    /// offers left out, by reason
    pub left_out: BTreeMap<&'static str, u32>,
    /// why it cannot be planned, where it cannot
    pub reason: Option<String>,
}

impl Chosen {
    fn none(need: &Need, reason: String) -> Chosen {
        Chosen {
            kind: need.kind.unwrap_or(KindId::UNCLEAR),
            group_id: CompactString::default(),
            name: String::new(),
            not_understood: need.leftover.clone(),
            offers: Vec::new(),
            left_out: BTreeMap::new(),
            reason: Some(reason),
        }
    }
}

/// Finds what may answer a need.
///
/// # Errors
/// The run cannot be read.
pub fn choose(
    run: &FinishedRun,
    counter: &Counter,
    vocabulary: &Vocabulary,
    asked: &NeedLine,
    limits: &PlanLimits,
) -> Result<Chosen, ReadError> {
    let question = Question {
        words: asked.words.clone(),
        ..Question::default()
    };
    let need = match Need::of(vocabulary, &question) {
        Ok(need) if !need.is_empty() => need,
        Ok(need) => return Ok(Chosen::none(&need, "nothing to search by was understood".into())),
        Err(error) => return Ok(Chosen::none(&Need::default(), error.to_string())),
    };
    if let Some(kind) = &need.out_of_scope {
        let reason = format!("asks for a part of the kind `{kind}`, which is not cross-referenced");
        return Ok(Chosen::none(&need, reason));
    }
    // what is shown does not matter here
    let nothing_shown = Limits {
        min_confidence: asked.min_confidence.unwrap_or(limits.min_confidence),
        supplier: None,
        deliver_within: None,
        stock: StockWanted::Any,
        quantity: 1,
        most: 0,
    };
    let answer = find(run, &need, &nothing_shown)?;
    let (section, group) = match settled(&need, &answer) {
        Ok(settled) => settled,
        Err(reason) => return Ok(Chosen::none(&need, reason)),
    };
    let mut chosen = Chosen {
        kind: section.kind,
        group_id: group.group_id.clone(),
        name: group.name.clone(),
        not_understood: need.leftover.clone(),
        offers: Vec::new(),
        left_out: BTreeMap::new(),
        reason: None,
    };
    let mut ids = vec![group.group_id.as_str()];
    let covering = covering_groups(&answer.groups, &group.group_id);
    ids.extend(covering.iter().map(|group| group.group_id.as_str()));
    for row in rows_in(run, &ids)? {
        match obstacle(&row, asked, counter, limits) {
            None => chosen.offers.push(row),
            Some(obstacle) => *chosen.left_out.entry(obstacle).or_default() += 1,
        }
    }
    if chosen.offers.is_empty() {
        chosen.reason = Some(nothing_left(&chosen.left_out));
    }
    Ok(chosen)
}

/// The group that is meant, when that is settled.
fn settled<'a>(need: &Need, answer: &'a Answer) -> Result<(&'a Section, &'a GroupRow), String> {
    if let Some(number) = answer.numbers.iter().find(|number| number.place.is_none()) {
        let near = match number.nearest.as_slice() {
            [] => String::new(),
            near => format!("; the nearest are {}", near.join(", ")),
        };
        return Err(format!("the number {} stands nowhere{near}", number.asked));
    }
    let led: Vec<&Section> = answer
        .sections
        .iter()
        .filter(|section| section.lead.is_some())
        .collect();
    let section = match led.as_slice() {
        [only] => *only,
        [] => {
            let nearest = answer.sections.iter().find_map(|section| section.nearest.as_ref());
            let near = nearest.map_or(String::new(), |found| {
                format!("; the nearest is {}", answer.groups[found.group].name)
            });
            return Err(format!("no fit group of this run answers it{near}"));
        }
        _ => return Err("may be a starter, a shroud or both: say which".into()),
    };
    let Some(lead) = &section.lead else {
        return Err("no fit group of this run answers it".into());
    };
    let group = &answer.groups[lead.group];
    let is_vague = lead.judged.is_empty() && need.groups.is_empty();
    if !section.possible.is_empty() && (lead.share < SETTLED || is_vague) {
        let apart = match section.tells_apart.as_slice() {
            [] => String::new(),
            facts => format!("; to tell them apart: {}", facts.join("; ")),
        };
        return Err(format!(
            "not settled: {} fit groups are possible, the first with a probability of {:.2}{apart}",
            section.possible.len() + 1,
            lead.share
        ));
    }
    Ok((section, group))
}

/// What keeps an offer out of the plan; the first thing that does.
fn obstacle(row: &CrossrefRow, asked: &NeedLine, counter: &Counter, limits: &PlanLimits) -> Option<&'static str> {
    let terms = OfferTerms::of_row(row);
    let within = asked.deliver_within.or(limits.deliver_within);
    if row.confidence < asked.min_confidence.unwrap_or(limits.min_confidence) {
        return Some("not sure enough");
    }
    match (within, terms.lead_time_days) {
        (Some(within), Some(days)) if days > within => return Some("delivered too late"),
        (Some(_), None) => return Some("without a time of delivery"),
        _ => {}
    }
    if terms.stock.is_some_and(|stock| !stock.is_there()) {
        return Some("not in stock");
    }
    let priced = counter.cost(row, 1).is_some_and(|cost| cost.total() > Decimal::ZERO);
    if !priced {
        return Some("without a price that can be converted");
    }
    if terms.pack_unsure.is_some() {
        return Some("not said whether priced by the piece or by the pack");
    }
    shipping_obstacle(&terms, &counter.of_supplier(&row.supplier), counter, limits)
}

fn shipping_obstacle(
    terms: &OfferTerms,
    supplier: &SupplierTerms,
    counter: &Counter,
    limits: &PlanLimits,
) -> Option<&'static str> {
    match &supplier.shipping {
        None if limits.assume_shipping.is_none() => Some("of suppliers whose shipping is not known"),
        None => None,
        Some(shipping) => {
            let by_weight = shipping.per_kg.is_some_and(|per_kg| !per_kg.is_zero());
            let convertible = shipping.currency.is_empty() || counter.rates.rate(&shipping.currency).is_some();
            if by_weight && terms.weight_g.is_none() {
                Some("shipped by a weight that is not known")
            } else if !convertible {
                Some("of suppliers whose shipping has no rate")
            } else {
                None
            }
        }
    }
}

fn nothing_left(left_out: &BTreeMap<&'static str, u32>) -> String {
    if left_out.is_empty() {
        return "its fit group has no offers".into();
    }
    format!("no offer may be ordered: {}", counts(left_out))
}

/// `12 not sure enough, 3 delivered too late`.
pub fn counts(left_out: &BTreeMap<&'static str, u32>) -> String {
    let counted: Vec<String> = left_out
        .iter()
        .map(|(reason, count)| format!("{count} {reason}"))
        .collect();
    counted.join(", ")
}
