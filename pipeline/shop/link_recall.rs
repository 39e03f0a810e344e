//! How many true pairs of one product the link stage ever looked at: the recall of its blocking.
//!
//! A run keeps the pairs that it compared and found not hopeless (probability 0.05 and above), so what is
//! counted here is a lower bound of what blocking brought together. Two readings: a true pair *compared*,
//! and a true pair that compared pairs *connect* through other lines of the same product, which is
//! all that clusters need: one line shows the number, another number and barcode, a third the barcode.

use super::truth::{LineScope, TrueLine, YesNo};
use crate::publish::LinkRow;
use crate::publish::scores::share_right;
use serde::Serialize;
use std::collections::BTreeMap;

/// Recall of the pairs that were compared and kept.
#[derive(Debug, Clone, Copy, Default, Serialize)]
pub struct LinkRecall {
    /// pairs of lines that truly are one product, both showing an identifier
    pub true_pairs: u64,
    /// share of them compared and kept
    pub compared: Option<f64>,
    /// share of them that compared pairs connect
    pub connected: Option<f64>,
}

/// Counts over the lines that show an identifier.
pub fn link_recall(truth: &[TrueLine], links: &[LinkRow]) -> LinkRecall {
    let shows = |t: &&TrueLine| t.scope == LineScope::Offer && t.shows_identifier == YesNo::Yes;
    let product_of: BTreeMap<(&str, u32), &str> = truth
        .iter()
        .filter(shows)
        .map(|t| ((t.file.as_str(), t.line), t.product.as_str()))
        .collect();
    let mut true_links: BTreeMap<&str, Vec<[(&str, u32); 2]>> = BTreeMap::new();
    for link in links {
        let (a, b) = (
            (&*link.source_file_a, link.source_line_a),
            (&*link.source_file_b, link.source_line_b),
        );
        if let (Some(x), Some(y)) = (product_of.get(&a), product_of.get(&b))
            && x == y
        {
            true_links.entry(x).or_default().push([a, b]);
        }
    }
    let mut members: BTreeMap<&str, u64> = BTreeMap::new();
    for product in product_of.values() {
        *members.entry(product).or_default() += 1;
    }
    let pairs = |n: u64| n * n.saturating_sub(1) / 2;
    let true_pairs: u64 = members.values().map(|n| pairs(*n)).sum();
    let compared: u64 = true_links.values().map(|l| l.len() as u64).sum();
    let connected: u64 = true_links.values().flat_map(|l| components(l)).map(pairs).sum();
    let share = |part: u64| share_right((0..true_pairs).map(|n| n < part));
    LinkRecall {
        true_pairs,
        compared: share(compared),
        connected: share(connected),
    }
}

/// Sizes of the connected components of some links.
fn components(links: &[[(&str, u32); 2]]) -> Vec<u64> {
    let mut label: BTreeMap<(&str, u32), usize> = BTreeMap::new();
    for (n, [a, b]) in links.iter().enumerate() {
        let x = *label.entry(*a).or_insert(2 * n);
        let y = *label.entry(*b).or_insert(2 * n + 1);
        if x != y {
            label.values_mut().filter(|l| **l == y).for_each(|l| *l = x);
        }
    }
    let mut sizes: BTreeMap<usize, u64> = BTreeMap::new();
    for component in label.into_values() {
        *sizes.entry(component).or_default() += 1;
    }
    sizes.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(line: u32) -> TrueLine {
        TrueLine {
            file: "a.csv".into(),
            line,
            scope: LineScope::Offer,
            part_kind: "starter".into(),
            product: "P".into(),
            fit_group: "G".into(),
            shows_identifier: YesNo::Yes,
            states_enough: YesNo::Yes,
        }
    }

    fn link(a: u32, b: u32) -> LinkRow {
        LinkRow {
            source_file_a: "a.csv".into(),
            source_line_a: a,
            source_file_b: "a.csv".into(),
            source_line_b: b,
            ..LinkRow::default()
        }
    }

    #[test]
    fn a_pair_joined_through_a_third_line_is_connected_though_never_compared() {
        let recall = link_recall(&[line(1), line(2), line(3)], &[link(1, 2), link(2, 3)]);
        assert_eq!((recall.true_pairs, recall.connected), (3, Some(1.0)));
        assert!(recall.compared.is_some_and(|c| (c - 2.0 / 3.0).abs() < 1e-9));
    }

    #[test]
    fn a_line_nobody_compared_is_missing_from_both() {
        let recall = link_recall(&[line(1), line(2), line(3)], &[link(1, 2)]);
        assert!(recall.connected.is_some_and(|c| (c - 1.0 / 3.0).abs() < 1e-9));
    }
}
