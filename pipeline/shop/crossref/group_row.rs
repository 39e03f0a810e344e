//! Rows of the fit groups, with the groups that stand beside each.

use super::ids_given::Named;
use super::stated::band_words;
use super::{Stages, cheapest};
use crate::fit::FitGroups;
use crate::fit::possibly::PossiblySame;
use crate::normalise::kind::KindId;
use crate::publish::GroupRow;
use compact_str::ToCompactString;
use rayon::prelude::*;
use std::collections::BTreeMap;

pub(super) fn group_rows(stages: Stages<'_>, fit: &FitGroups, ids: &Named) -> Vec<GroupRow> {
    let beside = Beside::of(fit);
    fit.groups
        .par_iter()
        .enumerate()
        .map(|(g, group)| {
            let offers: Vec<usize> = group
                .products
                .iter()
                .flat_map(|p| &stages.products.members[*p as usize])
                .map(|o| *o as usize)
                .collect();
            let (cheapest_landed, cheapest_supplier) = cheapest(stages, &offers);
            GroupRow {
                group_id: ids.groups[g].clone(),
                name: group.name.clone(),
                part_kind: group.kind.fixed_name().unwrap_or("unclear").into(),
                family: group.family.clone(),
                size_class: group.size_class.clone(),
                displacement_cc: group.displacement.map(|d| band_words(d).into()).unwrap_or_default(),
                bolt_holes: group.holes,
                bolt_circle_mm: group.circle_mm.map(|c| c.mid()),
                bolt_circle_tolerance_mm: group.circle_mm.map(|c| c.half_width()),
                thread: group.thread.to_compact_string(),
                engine_codes: group.codes.join(";"),
                products: group.products.len() as u32,
                offers: offers.len() as u32,
                cheapest_landed,
                cheapest_supplier,
                currency: stages.rates.home.as_str().into(),
                confidence: group.confidence,
                covers_groups: beside.covers(fit, ids, g),
                possibly_same: beside.possibly_same(ids, g),
            }
        })
        .collect()
}

/// What stands beside a group: the groups of its class, and those that may be one with it.
pub(super) struct Beside<'a> {
    of_class: BTreeMap<u32, Vec<usize>>,
    doubts: Vec<Vec<&'a PossiblySame>>,
}

impl<'a> Beside<'a> {
    fn of(fit: &'a FitGroups) -> Beside<'a> {
        let mut beside = Beside {
            of_class: BTreeMap::new(),
            doubts: vec![Vec::new(); fit.groups.len()],
        };
        for (g, group) in fit.groups.iter().enumerate() {
            if let Some(class) = group.class {
                beside.of_class.entry(class).or_default().push(g);
            }
        }
        for doubt in &fit.possibly_same {
            beside.doubts[doubt.a as usize].push(doubt);
            beside.doubts[doubt.b as usize].push(doubt);
        }
        beside
    }

    /// Groups whose need an assembly answers: starters and shrouds of the same engine class.
    fn covers(&self, fit: &FitGroups, ids: &Named, g: usize) -> String {
        let group = &fit.groups[g];
        let Some(class) = group.class.filter(|_| group.kind == KindId::ASSEMBLY) else {
            return String::new();
        };
        let covered: Vec<&str> = self.of_class[&class]
            .iter()
            .map(|other| (*other, &fit.groups[*other]))
            .filter(|(other, need)| *other != g && group.kind.covers(need.kind) && need.kind != KindId::ASSEMBLY)
            .map(|(other, _)| ids.groups[other].as_str())
            .collect();
        covered.join(";")
    }

    /// Groups that may be one with this, and what would settle it: "SG-01234 (named together by 2 products; ...)".
    fn possibly_same(&self, ids: &Named, g: usize) -> String {
        let mut parts = Vec::new();
        for doubt in &self.doubts[g] {
            let (a, b) = (doubt.a as usize, doubt.b as usize);
            let other = if a == g { b } else { a };
            let products = match doubt.named_together {
                1 => "1 product".to_string(),
                n => format!("{n} products"),
            };
            let settle = doubt.settled_by.words();
            parts.push(format!(
                "{} (named together by {products}; {settle} would settle it)",
                ids.groups[other]
            ));
        }
        parts.join("; ")
    }
}
