//! First classes: engine codes and replaced numbers that products name together.
//!
//! Codes are joined step by step, the pair named together most first, as long as their interfaces do
//! not contradict each other. The result is meant to be too fine: splitting what belongs together is
//! mended by `merge`, joining what does not belong together is not mended by anything.
//!
//! The national standard's designations start from the common practice that 168F and 170F share a
//! starter, 173F and 177F, and 182F to 192F (common practice, no source): these are joined first.

use super::classes::Posterior;
use super::codes::{Codes, is_industrial};
use super::evidence::Evidence;
use super::merge::{Sketch, Verdict, interfaces};
use super::scales::Field;
use crate::trade::size_class::{SizeClass, class_of_code};
use rustc_hash::FxHashMap;
use std::collections::BinaryHeap;

/// Share of the rarer code's products that must name the other too.
const NAMED_TOGETHER: f64 = 0.2;
/// The same where nothing is known of either interface.
const NAMED_TOGETHER_BLIND: f64 = 0.34;
/// Products with more codes than this are catalogues of everything; they join nothing.
const MOST_CODES: usize = 9;

struct Node {
    products: f64,
    shape: Sketch,
    beside: FxHashMap<u32, f64>,
    parent: u32,
    version: u32,
}

/// Classes of the products by their codes; products that name none stay without.
pub fn first_memberships(evidence: &[Evidence], codes: &Codes, numbers: usize) -> Vec<Posterior> {
    let mut nodes = named_together(evidence, codes.texts.len(), numbers);
    join_standard(&mut nodes, codes);
    join_by_naming(&mut nodes);
    let roots: Vec<u32> = (0..nodes.len() as u32).map(|i| root(&nodes, i)).collect();
    let mut number_of: FxHashMap<u32, u32> = FxHashMap::default();
    evidence
        .iter()
        .map(|product| {
            let mut posterior: Posterior = Vec::new();
            for node in nodes_of(product, codes.texts.len()) {
                let next = number_of.len() as u32;
                let class = *number_of.entry(roots[node as usize]).or_insert(next);
                match posterior.iter_mut().find(|p| p.0 == class) {
                    Some(p) => p.1 += 1.0,
                    None => posterior.push((class, 1.0)),
                }
            }
            let total: f64 = posterior.iter().map(|p| p.1).sum();
            posterior.iter_mut().for_each(|p| p.1 /= total);
            posterior
        })
        .collect()
}

fn nodes_of(product: &Evidence, codes: usize) -> Vec<u32> {
    let values = |f: Field| product.fields[f as usize].iter().flat_map(|r| r.values.iter().copied());
    let mut nodes: Vec<u32> = values(Field::Code)
        .chain(values(Field::Number).map(|n| n + codes as u32))
        .collect();
    nodes.sort_unstable();
    nodes.dedup();
    nodes
}

fn named_together(evidence: &[Evidence], codes: usize, numbers: usize) -> Vec<Node> {
    let mut nodes: Vec<Node> = (0..(codes + numbers) as u32)
        .map(|i| Node {
            products: 0.0,
            shape: Sketch::default(),
            beside: FxHashMap::default(),
            parent: i,
            version: 0,
        })
        .collect();
    for product in evidence {
        let here = nodes_of(product, codes);
        if product.universal || here.len() > MOST_CODES {
            continue;
        }
        for (k, &x) in here.iter().enumerate() {
            nodes[x as usize].products += 1.0;
            nodes[x as usize].shape.add(product, 1.0);
            for &y in &here[k + 1..] {
                *nodes[x as usize].beside.entry(y).or_default() += 1.0;
                *nodes[y as usize].beside.entry(x).or_default() += 1.0;
            }
        }
    }
    nodes
}

fn join_standard(nodes: &mut [Node], codes: &Codes) {
    let mut first: Vec<(SizeClass, u32)> = Vec::new();
    for (id, text) in codes.texts.iter().enumerate() {
        if !is_industrial(text) {
            continue;
        }
        let Some(class) = class_of_code(text) else { continue };
        // nothing says that the mini engines share one among each other
        if !matches!(class, SizeClass::Small | SizeClass::Medium | SizeClass::Large) {
            continue;
        }
        match first.iter().find(|f| f.0 == class) {
            Some(&(_, leader)) => {
                let (x, y) = (root(nodes, leader), root(nodes, id as u32));
                if x != y {
                    join(nodes, x, y);
                }
            }
            None => first.push((class, id as u32)),
        }
    }
}

/// A pair of clusters by how often they are named together; ties by their numbers.
#[derive(PartialEq)]
struct Nomination(f64, u32, u32, u32, u32);

impl Eq for Nomination {}
impl PartialOrd for Nomination {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Nomination {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0
            .total_cmp(&other.0)
            .then((other.1, other.2).cmp(&(self.1, self.2)))
            .then((other.3, other.4).cmp(&(self.3, self.4)))
    }
}

fn join_by_naming(nodes: &mut [Node]) {
    let mut heap = BinaryHeap::new();
    for x in 0..nodes.len() as u32 {
        offer_neighbours(nodes, x, &mut heap, true);
    }
    while let Some(Nomination(_, x, y, version_x, version_y)) = heap.pop() {
        let stale = |i: u32, version: u32| nodes[i as usize].parent != i || nodes[i as usize].version != version;
        if stale(x, version_x) || stale(y, version_y) {
            continue;
        }
        let rate = rate(nodes, x, y);
        let fits = match interfaces(&nodes[x as usize].shape, &nodes[y as usize].shape) {
            Verdict::Agree => rate >= NAMED_TOGETHER,
            Verdict::Silent => rate >= NAMED_TOGETHER_BLIND,
            Verdict::Contradict => false,
        };
        if fits {
            join(nodes, x, y);
            offer_neighbours(nodes, root(nodes, x), &mut heap, false);
        }
    }
}

fn offer_neighbours(nodes: &[Node], x: u32, heap: &mut BinaryHeap<Nomination>, once: bool) {
    if nodes[x as usize].parent != x {
        return;
    }
    let mut beside: Vec<u32> = nodes[x as usize]
        .beside
        .keys()
        .map(|y| root(nodes, *y))
        .filter(|y| *y != x)
        .collect();
    beside.sort_unstable();
    beside.dedup();
    for y in beside {
        if once && y < x {
            continue;
        }
        let rate = rate(nodes, x, y);
        if rate >= NAMED_TOGETHER {
            let (low, high) = (x.min(y), x.max(y));
            heap.push(Nomination(
                rate,
                low,
                high,
                nodes[low as usize].version,
                nodes[high as usize].version,
            ));
        }
    }
}

/// Products that name both, shrunk, over the products of the rarer one.
fn rate(nodes: &[Node], x: u32, y: u32) -> f64 {
    let (small, large) = if nodes[x as usize].beside.len() <= nodes[y as usize].beside.len() {
        (x, y)
    } else {
        (y, x)
    };
    let mut both: Vec<(u32, f64)> = nodes[small as usize].beside.iter().map(|(k, n)| (*k, *n)).collect();
    both.sort_unstable_by_key(|b| b.0);
    let both: f64 = both.iter().filter(|b| root(nodes, b.0) == large).map(|b| b.1).sum();
    let rarer = nodes[x as usize].products.min(nodes[y as usize].products);
    (both.min(rarer) - 0.5).max(0.0) / (rarer + 1.0)
}

fn root(nodes: &[Node], mut i: u32) -> u32 {
    while nodes[i as usize].parent != i {
        i = nodes[i as usize].parent;
    }
    i
}

fn join(nodes: &mut [Node], x: u32, y: u32) {
    let (into, from) = if nodes[x as usize].beside.len() >= nodes[y as usize].beside.len() {
        (x, y)
    } else {
        (y, x)
    };
    let moved = std::mem::take(&mut nodes[from as usize].beside);
    let shape = std::mem::take(&mut nodes[from as usize].shape);
    let products = nodes[from as usize].products;
    nodes[from as usize].parent = into;
    let target = &mut nodes[into as usize];
    target.version += 1;
    target.products += products;
    target.shape.absorb(&shape);
    let mut moved: Vec<(u32, f64)> = moved.into_iter().collect();
    moved.sort_unstable_by_key(|m| m.0);
    for (k, n) in moved {
        *target.beside.entry(k).or_default() += n;
    }
}
