//! A product's claims pooled over its offers, laid out in bins per field.
//!
//! Offers of one product describe one thing, so a bolt circle stated by one supplier serves all.
//! A *reading* is one claim of one offer in bins: either every value is meant ("163/196/212 cc") or
//! exactly one of them is ("hole distance 102": circle or chord). Nothing is judged here.

use super::keys::Keys;
use super::scales::{self, FIELDS, Field, KINDS};
use crate::link::offers::weight_g;
use crate::normalise::claim::{Attribute, Claim, Provenance, Value, cue};
use crate::normalise::kind::KindId;
use crate::normalise::offer::{Flag, NumberRole, Offer};
use crate::trade::bolt_pattern::circle_from_chord;
use crate::trade::interval::Interval;
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
        if let (Attribute::EngineCode, Value::Code(code)) = (claim.attribute, &claim.value) {
            keys.codes.id(code);
        }
    }
    let keys = &*keys;
    products
        .par_iter()
        .map(|members| pool_one(offers, members, keys))
        .collect()
}

fn pool_one(offers: &[Offer], members: &[u32], keys: &Keys) -> Evidence {
    let (kind, kind_probability) = pooled_kind(offers, members);
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

    /// Numbers the offer replaces, and its own where others replace that: copies stand for their original.
    fn add_numbers(&mut self, offer: &Offer, o: u32, keys: &Keys) {
        let mut replaced: Vec<u32> = offer
            .numbers
            .iter()
            .filter(|n| n.usable && n.role != NumberRole::Sku)
            .filter_map(|n| keys.replaced(&n.canonical))
            .collect();
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

/// Puts a claim into bins. Claims that follow from another claim of the same line are left out:
/// they would count the same fact twice.
fn lay_out(claim: &Claim, place: usize, holes: &[u8]) -> Option<(Field, Meant, Vec<u32>)> {
    if claim.provenance != Provenance::Stated && claim.attribute != Attribute::BoltCircle {
        return None;
    }
    let (field, meant, values) = match (claim.attribute, &claim.value) {
        (Attribute::Displacement, Value::Served(list) | Value::OneOf(list)) => {
            (Field::Displacement, Meant::Every, ends(list, scales::displacement_bin))
        }
        (Attribute::Power, Value::Served(list) | Value::OneOf(list)) => {
            (Field::Power, Meant::Every, ends(list, scales::power_bin))
        }
        (Attribute::BoltCircle, Value::OneOf(list) | Value::Served(list)) => {
            let circles = open_circles(list, place, holes).unwrap_or_else(|| list.iter().map(Interval::mid).collect());
            let bins = circles.iter().filter_map(|mm| scales::circle_bin(*mm, place)).collect();
            (Field::Circle, Meant::One, bins)
        }
        (Attribute::BoltHoles, Value::Count(n)) => (Field::Holes, Meant::One, vec![scales::hole_bin(*n, place)]),
        (Attribute::Thread, Value::Threads(set)) => (
            Field::Thread,
            Meant::One,
            set.iter().map(|t| scales::thread_bin(t.index(), place)).collect(),
        ),
        (Attribute::Depth, Value::OneOf(list) | Value::Served(list)) => {
            let bins = list.iter().filter_map(|i| scales::depth_bin(i.mid(), place)).collect();
            (Field::Depth, Meant::One, bins)
        }
        (Attribute::Pawls, Value::Count(n)) => (Field::Pawls, Meant::One, vec![scales::pawl_bin(*n)]),
        (Attribute::FamilyCue, Value::Word(word)) => (Field::Cue, Meant::One, cue_bin(word)),
        (Attribute::ShaftOrientation, Value::Word(word)) => {
            let cue = if word == "vertical" {
                cue::VERTICAL_SHAFT
            } else {
                cue::HORIZONTAL_SHAFT
            };
            (Field::Cue, Meant::One, cue_bin(cue))
        }
        _ => return None,
    };
    let mut values = values;
    values.sort_unstable();
    values.dedup();
    (!values.is_empty()).then_some((field, meant, values))
}

/// Hole counts that the offers of a product state, ascending.
fn hole_counts(offers: &[Offer], members: &[u32]) -> Vec<u8> {
    let claims = members.iter().flat_map(|o| &offers[*o as usize].claims);
    let mut counts: Vec<u8> = claims
        .filter_map(|claim| match (claim.attribute, claim.provenance, &claim.value) {
            (Attribute::BoltHoles, Provenance::Stated, Value::Count(count)) => Some(*count),
            _ => None,
        })
        .collect();
    counts.sort_unstable();
    counts.dedup();
    counts
}

/// Holes that a part may have whose lines do not count them: a starter two to four, a shroud up to six.
/// Common practice, no source.
const OF_STARTERS: &[u8] = &[2, 3, 4];
const OF_SHROUDS: &[u8] = &[3, 4, 5, 6];

/// The circles that a spacing may mean whose line counts no holes: the reader kept it for three and for four, but the
/// product's other lines may count them, and a shroud may have more. None when the line counts them itself.
fn open_circles(list: &[Interval], place: usize, holes: &[u8]) -> Option<Vec<f64>> {
    let chord_of = |circle: f64, count: u8| circle / circle_from_chord(count, 1.0);
    let (circle, chord) = match list {
        [circle, three, four] => (Some(circle.mid()), [(three, 3), (four, 4)]),
        [three, four] => (None, [(three, 3), (four, 4)]),
        _ => return None,
    };
    let chord = chord.map(|(interval, count)| chord_of(interval.mid(), count));
    let same = |x: f64, y: f64| (x / y - 1.0).abs() < 1e-6;
    if !same(chord[0], chord[1]) || circle.is_some_and(|circle| !same(circle, chord[0])) {
        return None;
    }
    let counts = match holes {
        [] if place == KindId::RECOIL_STARTER.0 as usize => OF_STARTERS,
        [] => OF_SHROUDS,
        stated => stated,
    };
    let of_chord = counts.iter().map(|count| circle_from_chord(*count, chord[0]));
    Some(circle.into_iter().chain(of_chord).collect())
}

fn cue_bin(word: &str) -> Vec<u32> {
    // an all-embracing title is no family
    CUES[..CUES.len() - 1]
        .iter()
        .position(|c| *c == word)
        .map(|at| at as u32)
        .into_iter()
        .collect()
}

/// A narrow interval is one value, a range is its two ends.
fn ends(list: &[Interval], bin: impl Fn(f64) -> Option<u32>) -> Vec<u32> {
    let mut bins = Vec::new();
    for interval in list {
        if interval.width() > 0.06 * interval.mid() {
            bins.extend(bin(interval.low));
            bins.extend(bin(interval.high));
        } else {
            bins.extend(bin(interval.mid()));
        }
    }
    bins
}

/// Kinds read on several lines of one product, multiplied; a kind no line allows keeps a sliver.
fn pooled_kind(offers: &[Offer], members: &[u32]) -> (KindId, f64) {
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
    let in_scope = kinds.iter().zip(&weights).filter(|(k, _)| k.is_in_scope());
    let best = in_scope.max_by(|x, y| x.1.total_cmp(y.1).then(y.0.cmp(x.0)));
    match best {
        Some((kind, weight)) => (*kind, ((weight - top).exp() / total).min(0.9999)),
        None => (KindId::RECOIL_STARTER, 0.0),
    }
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

    fn kept(spacing: &[f64]) -> Vec<Interval> {
        spacing.iter().map(|mm| Interval::around(*mm, 0.5)).collect()
    }

    #[test]
    fn a_spacing_without_a_count_takes_the_count_of_the_product_s_other_lines() {
        // chord 59: circle from three holes 68.13 mm, from four 83.44 mm, from six 118 mm (s = D sin(pi / n))
        let (three, four) = (circle_from_chord(3, 59.0), circle_from_chord(4, 59.0));
        let shroud = KindId::SHROUD.0 as usize;
        let of_six = open_circles(&kept(&[59.0, three, four]), shroud, &[6]);
        assert!(of_six.is_some_and(|circles| circles.len() == 2 && (circles[1] - 118.0).abs() < 0.01));
        let open = open_circles(&kept(&[three, four]), shroud, &[]);
        assert!(open.is_some_and(|circles| circles.iter().any(|mm| (mm - 118.0).abs() < 0.01)));
        assert_eq!(
            open_circles(&kept(&[102.0, 117.8]), shroud, &[]),
            None,
            "the line counts its holes"
        );
    }
}
