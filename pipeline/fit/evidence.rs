//! A product's claims pooled over its offers, laid out in bins per field.
//!
//! Offers of one product describe one thing, so a bolt circle stated by one supplier serves all.
//! A *reading* is one claim of one offer in bins: either every value is meant ("163/196/212 cc") or
//! exactly one of them is ("hole distance 102": circle or chord). Nothing is judged here.

use super::claim_bins::{hole_counts, lay_out};
use super::keys::Keys;
use super::number_stems::{codes, word_of};
use super::scales::{self, FIELDS, Field, KINDS};
use crate::link::offers::weight_g;
use crate::normalise::claim::{Attribute, Value, cue};
use crate::normalise::kind::KindId;
use crate::normalise::offer::{Flag, NumberRole, Offer};
use compact_str::CompactString;
use rayon::prelude::*;

/// What of a reading holds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Meant {
    /// every value is served
    Every,
    /// exactly one value is meant
    One,
}

/// A number, price, weight or brand, not a claim, gave the reading.
pub const FROM_NUMBER: u16 = u16::MAX;

/// One claim in bins.
#[derive(Clone, Debug)]
pub struct Reading {
    /// offer that says so
    pub offer: u32,
    /// index of the claim in the offer, or [`FROM_NUMBER`]
    pub claim: u16,
    /// how the values go together
    pub meant: Meant,
    /// bins, or ids of the open vocabulary
    pub values: Box<[u32]>,
}

/// All that is known of one product.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// most probable kind in scope, pooled
    pub kind: KindId,
    /// its probability, pooled
    pub kind_probability: f64,
    /// readings by [`Field`]
    pub fields: [Vec<Reading>; FIELDS],
    /// an all-embracing title ("168F-190F universal") stands among the offers
    pub universal: bool,
    /// number of offers
    pub offers: u32,
}

/// Cue words in the order of their bins.
pub const CUES: [&str; 11] = [
    cue::VERTICAL_SHAFT,
    cue::HORIZONTAL_SHAFT,
    cue::MOWER,
    cue::OVERHEAD_CAM,
    cue::SIDE_VALVE,
    cue::TWIN,
    cue::DIESEL,
    cue::TWO_STROKE,
    cue::INVERTER,
    cue::SNOW,
    cue::UNIVERSAL,
];

/// Pools the claims of every product, given by its offers.
pub fn pool(offers: &[Offer], products: &[Vec<u32>], keys: &mut Keys) -> Vec<Evidence> {
    for claim in products.iter().flatten().flat_map(|o| &offers[*o as usize].claims) {
        let (Attribute::EngineCode, Value::Code(code)) = (claim.attribute, &claim.value) else {
            continue;
        };
        if keys.is_code(code) {
            keys.codes.id(code);
        }
    }
    let keys = &*keys;
    products
        .par_iter()
        .map(|members| pool_as(offers, members, keys, likeliest(&pooled_kinds(offers, members))))
        .collect()
}

/// The claims of one product, as of a part of this kind, of which it is with this probability.
pub(super) fn pool_as(offers: &[Offer], members: &[u32], keys: &Keys, kind: (KindId, f64)) -> Evidence {
    let (kind, kind_probability) = kind;
    let mut evidence = Evidence {
        kind,
        kind_probability,
        fields: Default::default(),
        universal: false,
        offers: members.len() as u32,
    };
    let holes = hole_counts(offers, members);
    for &o in members {
        evidence.universal |= offers[o as usize].has(Flag::Universal);
        evidence.add_claims(&offers[o as usize], o, &holes, keys);
        evidence.add_numbers(&offers[o as usize], o, keys);
        evidence.add_trade(&offers[o as usize], o, keys);
    }
    // most fields hold one reading or two, and room for more is never needed
    evidence.fields.iter_mut().for_each(Vec::shrink_to_fit);
    evidence
}

fn every(offer: u32, claim: u16, values: Vec<u32>) -> Reading {
    Reading {
        offer,
        claim,
        meant: Meant::Every,
        values: values.into(),
    }
}

impl Evidence {
    fn add_claims(&mut self, offer: &Offer, o: u32, holes: &[u8], keys: &Keys) {
        let place = self.place();
        let mut line_codes: Vec<u32> = Vec::new();
        let mut first_code = FROM_NUMBER;
        for (c, claim) in offer.claims.iter().enumerate() {
            if let (Attribute::EngineCode, Value::Code(code)) = (claim.attribute, &claim.value) {
                line_codes.extend(keys.codes.known(code));
                first_code = first_code.min(c as u16);
            } else if let Some((field, meant, values)) = lay_out(claim, place, holes) {
                let values = values.into();
                self.add(
                    field,
                    Reading {
                        offer: o,
                        claim: c as u16,
                        meant,
                        values,
                    },
                );
            }
        }
        line_codes.sort_unstable();
        line_codes.dedup();
        if !line_codes.is_empty() {
            self.add(Field::Code, every(o, first_code, line_codes));
        }
    }

    /// Numbers the offer replaces, and its own where others replace that: copies stand for their original. Numbers that
    /// were read as engine codes count too.
    fn add_numbers(&mut self, offer: &Offer, o: u32, keys: &Keys) {
        let read = offer.numbers.iter().filter(|n| n.usable && n.role != NumberRole::Sku);
        let misread = codes(offer).filter(|(_, code)| !keys.is_code(code));
        let mut replaced: Vec<u32> = read.filter_map(|n| keys.replaced(&n.canonical)).collect();
        replaced.extend(misread.filter_map(|(claim, _)| keys.replaced(&word_of(offer, claim)?)));
        replaced.sort_unstable();
        replaced.dedup();
        if !replaced.is_empty() {
            self.add(Field::Number, every(o, FROM_NUMBER, replaced));
        }
    }

    /// What the trade says beside the claims: weight, price, brand.
    fn add_trade(&mut self, offer: &Offer, o: u32, keys: &Keys) {
        let place = self.place();
        let one = |bin: Option<u32>| bin.map(|bin| vec![bin]);
        for (field, bin) in [
            (Field::Weight, one(scales::weight_bin(weight_g(offer), place))),
            (Field::Price, one(scales::price_bin(keys.relative_price(o), place))),
            (Field::Brand, one(keys.brand(offer))),
        ] {
            if let Some(values) = bin {
                self.add(
                    field,
                    Reading {
                        offer: o,
                        claim: FROM_NUMBER,
                        meant: Meant::One,
                        values: values.into(),
                    },
                );
            }
        }
    }

    fn add(&mut self, field: Field, reading: Reading) {
        self.fields[field as usize].push(reading);
    }

    /// Index of the kind among those with an interface.
    pub fn place(&self) -> usize {
        (self.kind.0 as usize).min(KINDS - 1)
    }
}

/// Kinds read on several lines of one product with their probabilities, multiplied; a kind no line allows keeps a sliver.
pub(super) fn pooled_kinds(offers: &[Offer], members: &[u32]) -> Vec<(KindId, f64)> {
    const SLIVER: f64 = 0.004;
    let mut kinds: Vec<KindId> = Vec::new();
    for &o in members {
        let reading = &offers[o as usize].kind;
        for kind in std::iter::once(reading.kind).chain(reading.alternatives.iter().map(|a| a.0)) {
            if !kinds.contains(&kind) {
                kinds.push(kind);
            }
        }
    }
    kinds.sort_unstable();
    let weights: Vec<f64> = kinds
        .iter()
        .map(|k| {
            members
                .iter()
                .map(|o| f64::from(offers[*o as usize].kind.probability_of(*k)).max(SLIVER).ln())
                .sum()
        })
        .collect();
    let top = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = weights.iter().map(|w| (w - top).exp()).sum();
    let shares = weights.iter().map(|w| (w - top).exp() / total);
    kinds.into_iter().zip(shares).collect()
}

/// The likeliest kind in scope and its probability, which nothing makes certain.
pub(super) fn likeliest(kinds: &[(KindId, f64)]) -> (KindId, f64) {
    let in_scope = kinds.iter().filter(|k| k.0.is_in_scope());
    let best = in_scope.max_by(|x, y| x.1.total_cmp(&y.1).then(y.0.cmp(&x.0)));
    best.map_or((KindId::RECOIL_STARTER, 0.0), |(kind, p)| (*kind, p.min(0.9999)))
}

/// The words of a claim, for people.
pub fn words_of(offers: &[Offer], reading: &Reading) -> CompactString {
    let offer = &offers[reading.offer as usize];
    match offer.claims.get(reading.claim as usize) {
        Some(claim) => claim.text.clone(),
        None => CompactString::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normalise::test_rows::offer;

    #[test]
    fn two_lines_that_doubt_the_kind_are_surer_together() {
        let mut line = offer(&[]);
        line.kind.probability = 0.7;
        line.kind.alternatives = vec![(KindId::SHROUD, 0.3)];
        let mut shroud = line.clone();
        (shroud.kind.kind, shroud.kind.alternatives) = (KindId::SHROUD, vec![(line.kind.kind, 0.3)]);
        let starter = line.kind.kind;
        let offers = [line.clone(), line, shroud];
        let pooled = |members: &[u32], kind: KindId, probability: f64| {
            let (found, sure) = likeliest(&pooled_kinds(&offers, members));
            assert_eq!(found, kind, "{members:?}");
            assert!(
                (sure - probability).abs() < 1e-6,
                "{members:?}: {sure} is not {probability}"
            );
        };
        pooled(&[0], starter, 0.7);
        pooled(&[0, 1], starter, 0.49 / (0.49 + 0.09));
        pooled(&[2], KindId::SHROUD, 0.7);
        pooled(&[0, 1, 2], starter, 0.7);
    }
}
