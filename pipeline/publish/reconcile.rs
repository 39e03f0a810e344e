//! The last look at the tables before anything is written: do they add up?
//!
//! What must hold, or nothing is published:
//! 1. per list, lines read = offers + set aside + rejected + layout lines
//! 2. per list, the rows in the tables are as many as its account says
//! 3. no line stands in the cross-reference twice
//! 4. confidences lie in [0, 1]
//! 5. every group and product named in a row has its row in `groups` and `products`
//!
//! Offers without a fit group (a generic build) are no contradiction.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use super::error::PublishError;
use super::tables::RunTables;

/// Rows found in the tables for one list.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
struct Found {
    offers: u64,
    set_aside: u64,
    rejected: u64,
}

/// Checks the rules of this module.
pub fn reconcile(tables: &RunTables) -> Result<(), PublishError> {
    lines_are_accounted_for(tables)?;
    lines_stand_once(tables)?;
    confidences_are_probabilities(tables)?;
    names_have_their_rows(tables)
}

fn wrong(what: String) -> Result<(), PublishError> {
    Err(PublishError::DoesNotAddUp { what })
}

fn lines_are_accounted_for(tables: &RunTables) -> Result<(), PublishError> {
    let mut found = rows_per_list(tables);
    for account in &tables.suppliers {
        let list = account.source_name();
        let accounted = account.offers + account.set_aside + account.rejected + account.layout();
        if account.read != accounted {
            return wrong(format!(
                "{list}: {} lines read, but {} offers + {} set aside + {} rejected + {} layout lines = {accounted}",
                account.read,
                account.offers,
                account.set_aside,
                account.rejected,
                account.layout()
            ));
        }
        let promised = Found {
            offers: account.offers,
            set_aside: account.set_aside,
            rejected: account.rejected,
        };
        let present = found.remove(&list).unwrap_or_default();
        if present != promised {
            return wrong(format!(
                "{list}: the account says {promised:?}, the tables hold {present:?}"
            ));
        }
    }
    match found.into_iter().next() {
        Some((list, present)) => wrong(format!(
            "{list}: rows {present:?} in the tables, but no account of the list"
        )),
        None => Ok(()),
    }
}

fn rows_per_list(tables: &RunTables) -> BTreeMap<Arc<str>, Found> {
    let mut found: BTreeMap<Arc<str>, Found> = BTreeMap::new();
    let mut at = |list: &Arc<str>, count: fn(&mut Found) -> &mut u64| {
        if let Some(list) = found.get_mut(list) {
            *count(list) += 1;
        } else {
            *count(found.entry(Arc::clone(list)).or_default()) += 1;
        }
    };
    for row in &tables.crossref {
        at(&row.source_file, |list| &mut list.offers);
    }
    for row in &tables.set_aside {
        at(&row.file, |list| &mut list.set_aside);
    }
    // A reject without a line speaks of the whole file and stands for no line of it.
    for row in tables.rejects.iter().filter(|row| row.line.is_some()) {
        at(&row.file, |list| &mut list.rejected);
    }
    found
}

fn lines_stand_once(tables: &RunTables) -> Result<(), PublishError> {
    let files: BTreeSet<&str> = tables.crossref.iter().map(|row| &*row.source_file).collect();
    let number_of: FxHashMap<&str, u32> = files.iter().copied().zip(0..).collect();
    let mut lines: Vec<(u32, u32)> = tables
        .crossref
        .iter()
        .map(|row| (number_of[&*row.source_file], row.source_line))
        .collect();
    lines.par_sort_unstable();
    match lines.windows(2).find(|pair| pair[0] == pair[1]) {
        Some(pair) => wrong(format!(
            "{} line {} stands in the cross-reference twice",
            files.iter().nth(pair[0].0 as usize).copied().unwrap_or_default(),
            pair[0].1
        )),
        None => Ok(()),
    }
}

fn confidences_are_probabilities(tables: &RunTables) -> Result<(), PublishError> {
    let sound = |probability: f64| (0.0..=1.0).contains(&probability);
    let unsound = tables
        .crossref
        .iter()
        .find(|row| !sound(row.confidence) || !sound(row.product_confidence));
    if let Some(row) = unsound {
        return wrong(format!(
            "{} line {}: confidence {} and product confidence {} must lie between 0 and 1",
            row.source_file, row.source_line, row.confidence, row.product_confidence
        ));
    }
    if let Some(link) = tables.links.iter().find(|link| !sound(link.probability)) {
        return wrong(format!(
            "link {} - {}: probability {}",
            link.supplier_sku_a, link.supplier_sku_b, link.probability
        ));
    }
    if let Some(group) = tables.groups.iter().find(|group| !sound(group.confidence)) {
        return wrong(format!("group {}: confidence {}", group.group_id, group.confidence));
    }
    match tables.products.iter().find(|product| !sound(product.confidence)) {
        Some(product) => wrong(format!(
            "product {}: confidence {}",
            product.product_id, product.confidence
        )),
        None => Ok(()),
    }
}

fn names_have_their_rows(tables: &RunTables) -> Result<(), PublishError> {
    let groups: FxHashSet<&str> = tables.groups.iter().map(|row| row.group_id.as_str()).collect();
    let products: FxHashSet<&str> = tables.products.iter().map(|row| row.product_id.as_str()).collect();
    if groups.len() != tables.groups.len() || products.len() != tables.products.len() {
        return wrong("two groups or two products share an id".to_owned());
    }
    let is_group = |id: &str| id.is_empty() || groups.contains(id);
    for row in &tables.crossref {
        if !is_group(&row.group_id) {
            return wrong(format!(
                "{} line {}: no such group {}",
                row.source_file, row.source_line, row.group_id
            ));
        }
        if !products.contains(row.product_id.as_str()) {
            return wrong(format!(
                "{} line {}: no such product {}",
                row.source_file, row.source_line, row.product_id
            ));
        }
    }
    match tables.products.iter().find(|row| !is_group(&row.group_id)) {
        Some(row) => wrong(format!("product {}: no such group {}", row.product_id, row.group_id)),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::sample::small_run;

    fn complaint(tables: &RunTables) -> String {
        reconcile(tables).unwrap_err().to_string()
    }

    #[test]
    fn a_sound_run_adds_up() {
        reconcile(&small_run()).unwrap();
    }

    #[test]
    fn a_line_that_vanished_is_noticed_by_its_file() {
        let mut tables = small_run();
        tables.suppliers[0].read += 1;
        assert!(complaint(&tables).contains("north.csv"), "{}", complaint(&tables));
    }

    #[test]
    fn a_row_missing_from_the_tables_is_noticed() {
        let mut tables = small_run();
        tables.set_aside.clear();
        assert!(
            complaint(&tables).contains("the account says"),
            "{}",
            complaint(&tables)
        );
    }

    #[test]
    fn a_list_without_an_account_is_noticed() {
        let mut tables = small_run();
        tables.suppliers.pop();
        assert!(complaint(&tables).contains("no account"), "{}", complaint(&tables));
    }

    #[test]
    fn a_confidence_above_one_is_noticed() {
        let mut tables = small_run();
        tables.crossref[0].confidence = 1.01;
        assert!(complaint(&tables).contains("between 0 and 1"));
    }

    #[test]
    fn a_line_listed_twice_is_noticed() {
        let mut tables = small_run();
        let twice = tables.crossref[0].clone();
        tables.crossref[1] = twice;
        assert!(reconcile(&tables).is_err());
    }

    #[test]
    fn a_group_that_does_not_exist_is_noticed() {
        let mut tables = small_run();
        tables.crossref[0].group_id = "G-none".into();
        assert!(complaint(&tables).contains("no such group"));
    }
}
