//! Where records stand: list and item of each, their like in their own list, and who rivals whom.

use super::compare::{Comparison, Scratch, compare_in};
use super::opposites::Opposites;
use super::records::{NumberPlace, Record, Records};
use super::repeats;
use super::rivals::{Numbering, Rivals};
use crate::normalise::kind::KindId;
use rayon::prelude::*;
use rustc_hash::FxHashMap;

/// List and item of each record, and lines of one list that look alike where there is more than one list.
pub(super) struct Places {
    pub(super) lists: Vec<u32>,
    pub(super) items: Vec<u32>,
    pub(super) neighbours: Vec<(u32, u32)>,
    pub(super) opposites: Opposites,
    pub(super) numbering: Numbering,
    /// pairs of two lists of parts taken at random
    pub(super) strangers: Vec<Comparison>,
}

/// Pairs taken at random, and the distance of their records: a prime, so that every list meets every other.
const STRANGERS: usize = 20_000;
const APART: usize = 7_919;

impl Places {
    pub(super) fn of(records: &Records) -> Places {
        let mut neighbours = repeats::neighbours(records);
        let parts = records.list.iter().all(|r| r.kind != KindId::GENERIC.0);
        // what tells parts apart are claims, and one part may well be listed under two displacements
        let opposites = if parts {
            Opposites::default()
        } else {
            Opposites::learn(records, &neighbours)
        };
        if records.lists == 1 {
            neighbours.clear();
        }
        Places {
            lists: records.list.iter().map(|r: &Record| r.list).collect(),
            items: items(records),
            neighbours,
            opposites,
            strangers: if parts { strangers(records) } else { Vec::new() },
            numbering: if parts {
                Numbering::OnePartOneNumber
            } else {
                Numbering::Unknown
            },
        }
    }
}

/// Pairs of two lists, taken at strides: what two lines look like that have nothing to do with each other.
fn strangers(records: &Records) -> Vec<Comparison> {
    let n = records.len();
    let step = (n / STRANGERS).max(1);
    let pairs = (0..n).step_by(step).map(|a| (a, (a * 31 + APART) % n));
    let strangers: Vec<(usize, usize)> = pairs
        .filter(|(a, b)| records.list[*a].list != records.list[*b].list)
        .collect();
    let opposites = Opposites::default();
    let compared = strangers.par_iter().map_init(Scratch::default, |scratch, &(a, b)| {
        compare_in(scratch, records, &opposites, &records.list[a], &records.list[b])
    });
    compared.collect()
}

/// Records of one list that share a maker number or barcode are one item: another pack or
/// colour of the same part, not a rival for the same place.
fn items(records: &Records) -> Vec<u32> {
    let mut item: Vec<u32> = (0..records.len() as u32).collect();
    let mut first: FxHashMap<(u32, u64), u32> = FxHashMap::default();
    for (i, record) in records.list.iter().enumerate() {
        let own = record
            .numbers
            .iter()
            .filter(|n| n.0 == NumberPlace::Own)
            .map(|n| u64::from(n.1));
        let barcode = (record.gtin != 0).then_some(record.gtin | 1 << 63);
        for key in own.chain(barcode) {
            let leader = *first.entry((record.list, key)).or_insert(item[i]);
            item[i] = item[i].min(leader);
        }
    }
    item
}

pub(super) fn rivals_of(places: &Places, pairs: &[(u32, u32)], once: &[f32]) -> Rivals {
    let list = |record: u32| places.lists[record as usize];
    let strength = pairs
        .iter()
        .map(|&(a, b)| match (list(a), list(b)) {
            (x, y) if x == y => (0.0, 0.0),
            (x, y) => (once[y as usize], once[x as usize]),
        })
        .collect();
    let rivals = Rivals::of(pairs, &places.lists, &places.items, strength).numbered(places.numbering);
    if once.len() < 2 || places.numbering == Numbering::OnePartOneNumber {
        return rivals;
    }
    let inside = |&(a, b): &(u32, u32)| {
        if list(a) == list(b) {
            once[list(a) as usize]
        } else {
            0.0
        }
    };
    rivals.held_inside(pairs.iter().map(inside).collect())
}
