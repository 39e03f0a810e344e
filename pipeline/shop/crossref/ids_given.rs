//! The ids that products and fit groups of a run are published under.

use super::Stages;
use crate::shop::ids::{Ids, group_prefix, offer_key};
use compact_str::CompactString;
use rayon::prelude::*;

pub(super) struct Named {
    /// by product
    pub(super) products: Vec<CompactString>,
    /// by group
    pub(super) groups: Vec<CompactString>,
}

impl Named {
    pub(super) fn of(stages: Stages<'_>) -> Named {
        let keys: Vec<String> = stages
            .products
            .members
            .par_iter()
            .map(|members| {
                members
                    .iter()
                    .map(|o| offer_key(&stages.offers[*o as usize]))
                    .min()
                    .unwrap_or_default()
            })
            .collect();
        let mut given = Ids::default();
        let mut products = vec![CompactString::default(); keys.len()];
        let mut order: Vec<usize> = (0..keys.len()).collect();
        order.sort_by(|x, y| keys[*x].cmp(&keys[*y]).then(x.cmp(y)));
        for p in order {
            products[p] = given.give("P", &keys[p], 8);
        }
        let mut given = Ids::default();
        let groups = stages.fit.map_or_else(Vec::new, |fit| {
            let first: Vec<&CompactString> = fit
                .groups
                .iter()
                .map(|g| {
                    g.products
                        .iter()
                        .map(|p| &products[*p as usize])
                        .min()
                        .unwrap_or(&products[0])
                })
                .collect();
            let mut order: Vec<usize> = (0..fit.groups.len()).collect();
            order.sort_by(|x, y| first[*x].cmp(first[*y]));
            let mut ids = vec![CompactString::default(); fit.groups.len()];
            for g in order {
                ids[g] = given.give(group_prefix(fit.groups[g].kind), first[g], 5);
            }
            ids
        });
        Named { products, groups }
    }
}
