//! A whole list read: every line of it an offer, set aside, rejected or layout, and the lists of a run together.
//!
//! Rows of a list are normalised side by side; afterwards its lines stand in file order, and the lists of a run in the
//! order of supplier, content hash, sheet and name, so that neither threads nor file names reach the result.

use serde::{Deserialize, Serialize};
use std::cmp::Ordering;
use std::sync::Arc;

use rayon::prelude::*;

use super::normaliser::{Normaliser, Scope};
use super::offer::{Line, Offer, SetAside};
use super::vocabulary::Vocabulary;
use crate::intake::{FileFailure, ListAccount, ListHead, ListReader, Profile, Reject};

/// Rows handled as one piece of parallel work.
const ROWS_AT_ONCE: usize = 256;

/// One list with everything that became of its lines.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct ListRead {
    /// What was known before reading.
    pub head: ListHead,
    /// What became of the lines in intake.
    pub account: ListAccount,
    /// Rejects of both stages, in file order.
    pub rejects: Vec<Reject>,
    /// Offers, in file order.
    pub offers: Vec<Offer>,
    /// Lines set aside, in file order.
    pub set_aside: Vec<SetAside>,
}

/// All lists of a run.
#[derive(Debug, Default)]
pub struct Gathered {
    /// Lists in canonical order.
    pub lists: Vec<ListRead>,
    /// Files of which nothing was used.
    pub failures: Vec<FileFailure>,
}

impl Gathered {
    /// Lists and failures in their canonical order, whatever order they arrived in.
    pub fn of(lists: Vec<ListRead>, failures: Vec<FileFailure>) -> Gathered {
        let mut gathered = Gathered { lists, failures };
        gathered.lists.sort_by(|x, y| place(&x.head).cmp(&place(&y.head)));
        gathered.failures.sort_by(|x, y| x.file.cmp(&y.file));
        gathered
    }

    /// Takes the offers out of the lists, each with the profile of its list and what the list states of its prices, in
    /// an order that depends on what the lines say: neither file names nor the order of lines in a file reach the result.
    pub fn take_offers(&mut self) -> (Vec<Offer>, Vec<Option<Arc<Profile>>>) {
        let mut offers = Vec::with_capacity(self.lists.iter().map(|list| list.offers.len()).sum());
        let mut list_of: Vec<u32> = Vec::with_capacity(offers.capacity());
        let mut profiles = Vec::with_capacity(self.lists.len());
        for (number, list) in (0u32..).zip(&mut self.lists) {
            profiles.push(list.head.profile_with_terms());
            list_of.resize(list_of.len() + list.offers.len(), number);
            offers.append(&mut std::mem::take(&mut list.offers));
        }
        // an offer is large and there may be millions: their numbers are sorted, and each is moved once
        let mut order: Vec<u32> = (0..offers.len() as u32).collect();
        order.par_sort_by(|x, y| by_content(&offers[*x as usize], &offers[*y as usize]));
        let profile_of = |at: &u32| profiles[list_of[*at as usize] as usize].clone();
        let profile_of_offer = order.iter().map(profile_of).collect();
        put_in_order(&mut offers, order);
        (offers, profile_of_offer)
    }
}

/// Puts at every place what stands where `order` says, along the cycles of the order.
fn put_in_order<T>(items: &mut [T], mut order: Vec<u32>) {
    for start in 0..items.len() {
        let mut at = start;
        loop {
            let from = order[at] as usize;
            order[at] = at as u32;
            if from == start {
                break;
            }
            items.swap(at, from);
            at = from;
        }
    }
}

fn place(head: &ListHead) -> (&str, [u8; 32], &Option<String>, &str) {
    (&head.supplier, head.sha256, &head.sheet, &head.file)
}

fn by_content(x: &Offer, y: &Offer) -> Ordering {
    let price = |o: &Offer| o.price.as_ref().map(|p| p.unit_price);
    x.supplier
        .cmp(&y.supplier)
        .then_with(|| x.sku.cmp(&y.sku))
        .then_with(|| x.title.cmp(&y.title))
        .then_with(|| x.brand.cmp(&y.brand))
        .then_with(|| x.description.cmp(&y.description))
        .then_with(|| price(x).cmp(&price(y)))
        .then_with(|| x.numbers.iter().map(|n| &n.raw).cmp(y.numbers.iter().map(|n| &n.raw)))
        .then_with(|| x.line.cmp(&y.line))
}

/// Reads a list to its end. `supplier` is the name to go by instead of the list's own.
pub fn read_list(mut list: ListReader, supplier: Option<&Arc<str>>, vocabulary: &Vocabulary, scope: Scope) -> ListRead {
    let mut head = list.head().clone();
    if let Some(supplier) = supplier {
        head.supplier = supplier.clone();
    }
    let normaliser = Normaliser::new(vocabulary, &head, scope);
    let mut offers = Vec::new();
    let mut set_aside = Vec::new();
    let mut rejects = Vec::new();
    while let Some(batch) = list.next_batch() {
        let lines: Vec<Line> = (0..batch.len())
            .into_par_iter()
            .with_min_len(ROWS_AT_ONCE)
            .map(|i| normaliser.line(&batch.row(i)))
            .collect();
        for line in lines {
            match line {
                Line::Offer(offer) => offers.push(offer),
                Line::SetAside(aside) => set_aside.push(aside),
                Line::Reject(reject) => rejects.push(reject),
            }
        }
    }
    offers.shrink_to_fit();
    set_aside.shrink_to_fit();
    let mut account = list.finish();
    rejects.append(&mut account.rejects);
    rejects.sort_by_key(|reject| (reject.line, reject.column));
    ListRead {
        head,
        account,
        rejects,
        offers,
        set_aside,
    }
}

#[cfg(test)]
mod tests {
    use super::put_in_order;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn everything_comes_to_stand_where_its_order_says(keys in proptest::collection::vec(0u8..20, 0..60)) {
            let mut order: Vec<u32> = (0..keys.len() as u32).collect();
            order.sort_by_key(|at| keys[*at as usize]);
            let copied: Vec<(u8, u32)> = order.iter().map(|at| (keys[*at as usize], *at)).collect();
            let mut moved: Vec<(u8, u32)> = keys.iter().copied().zip(0..).collect();
            put_in_order(&mut moved, order);
            prop_assert_eq!(moved, copied);
        }
    }
}
