//! Which kind of part a product is, by its interface as well as by its words.
//!
//! "Starter with cover" in a short title may be a starter or the whole assembly. Both bolt on differently: once the
//! classes stand, the circle and the hole count that a product states are held against those of each kind its words allow,
//! in its own class. A variant that only looks like the common interface of another kind is no witness: it may be made of
//! just such misread lines.

use super::classes::{Classes, Posterior};
use super::elsewhere::Elsewhere;
use super::evidence::{Evidence, likeliest, pool_as, pooled_kinds};
use super::interface::total;
use super::keys::Keys;
use super::placing::{Place, Placed};
use super::scales::ALL;
use super::stated::{Light, Stated, stated};
use super::variants::{Variant, is_off};
use crate::link::Products;
use crate::normalise::kind::KindId;
use crate::normalise::offer::Offer;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Probability of the kind read from which the interface is not asked.
const SURE: f64 = 0.9995;

/// What the kinds are judged by.
pub(super) struct Known<'a> {
    /// offers of the run
    pub offers: &'a [Offer],
    /// list of each offer
    pub lists: &'a [u32],
    /// products of the run
    pub products: &'a Products,
    /// what readings are numbered by
    pub keys: &'a Keys,
    /// engine classes
    pub classes: &'a Classes,
    /// where the products stand by their words
    pub placed: &'a Placed,
    /// products that a person placed; these keep their kinds
    pub held: &'a BTreeSet<u32>,
}

/// Judges the kinds again; products that prove to be of another are pooled and judged as such. Returns how many were.
pub(super) fn judge(known: &Known<'_>, evidence: &mut [Evidence], memberships: &mut [Posterior]) -> usize {
    let judged: Vec<(usize, KindId, f64)> = evidence
        .par_iter()
        .enumerate()
        .filter_map(|(i, product)| known.judge_one(i, product).map(|(kind, p)| (i, kind, p)))
        .collect();
    let mut moved = 0;
    for (i, kind, probability) in judged {
        if kind == evidence[i].kind {
            evidence[i].kind_probability = probability;
            continue;
        }
        let members = &known.products.members[i];
        evidence[i] = pool_as(known.offers, members, known.keys, (kind, probability));
        memberships[i] = known.classes.posterior_of(&evidence[i], &Vec::new(), &ALL);
        moved += 1;
    }
    moved
}

impl Known<'_> {
    /// The likeliest kind of a product and its probability; none where its words or its silence leave nothing to judge.
    fn judge_one(&self, i: usize, product: &Evidence) -> Option<(KindId, f64)> {
        let Place::Class { class, .. } = self.placed.place[i] else {
            return None;
        };
        if product.kind_probability >= SURE || self.held.contains(&(i as u32)) {
            return None;
        }
        let light = Light {
            class: self.classes.list.get(class as usize).map(|c| (c, self.classes)),
            lists: self.lists,
            ..Light::default()
        };
        let said = stated(product, light);
        if said.circle_mm.is_none() && said.holes.is_none() {
            return None;
        }
        let mut kinds = pooled_kinds(self.offers, &self.products.members[i]);
        for (kind, p) in &mut kinds {
            *p *= self.chance(&said, *kind, class);
        }
        let sum: f64 = kinds.iter().map(|k| k.1).sum();
        kinds.iter_mut().for_each(|k| k.1 /= sum.max(1e-300));
        Some(likeliest(&kinds)).filter(|best| best.1 > 0.0)
    }

    /// Chance of an interface under one kind of the class; what has no such interface may have any.
    fn chance(&self, said: &Stated, kind: KindId, class: u32) -> f64 {
        let elsewhere = Elsewhere::of(self.classes, class, kind.0);
        let of_kind = |kind: u8| self.placed.variants.get(&(kind, class)).map(Vec::as_slice);
        let own = of_kind(kind.0).unwrap_or_default();
        let others: Vec<&Variant> = (0..super::scales::KINDS as u8)
            .filter(|other| *other != kind.0)
            .filter_map(|other| of_kind(other)?.first())
            .collect();
        let witness = |v: &&Variant| !others.iter().any(|other| !is_off(v, other));
        let variants: Vec<Variant> = own
            .iter()
            .take(1)
            .chain(own.iter().skip(1).filter(witness))
            .cloned()
            .collect();
        total(said, &variants, &elsewhere)
    }
}
