//! The worst inputs for linking: chains, one key for all, one title for all, nothing to compare. Each must end in
//! time about linear in its lines, with what was capped counted.

use super::blocks::{self, NUMBER_CAP};
use super::cluster::{Edge, cluster};
use super::linking::link_records;
use super::products::LinkSettings;
use super::records::{NumberPlace, RecordText, Records};

fn text<'a>(list: u32, title: &'a str, number: &'a str) -> RecordText<'a> {
    let numbers = Some((NumberPlace::Own, number)).filter(|n| !n.1.is_empty());
    RecordText {
        numbers: numbers.into_iter().collect(),
        ..RecordText::titled(list, title)
    }
}

#[test]
fn a_chain_of_500_weak_links_is_cut_and_the_cuts_are_counted() {
    let titles: Vec<String> = (0..501).map(|i| format!("part{i}")).collect();
    let texts: Vec<RecordText<'_>> = titles
        .iter()
        .enumerate()
        .map(|(i, t)| text(i as u32 % 7, t, ""))
        .collect();
    let edges: Vec<Edge> = (0..500)
        .map(|i| Edge {
            a: i,
            b: i + 1,
            probability: 0.55 + 0.001 * f64::from(i % 40),
        })
        .collect();
    let clusters = cluster(&Records::of(&texts), &edges, &[]);
    let mut sizes = vec![0; 501];
    clusters.of.iter().for_each(|c| sizes[*c as usize] += 1);
    assert!(sizes.iter().all(|s| *s <= 3), "largest {:?}", sizes.iter().max());
    assert!(clusters.cut > 100, "{}", clusters.cut);
}

#[test]
fn one_number_on_200_000_lines_blocks_nothing_and_is_counted() {
    let titles: Vec<String> = (0..200_000).map(|i| format!("w{}", i % 70_000)).collect();
    let texts: Vec<RecordText<'_>> = titles
        .iter()
        .enumerate()
        .map(|(i, t)| text(i as u32 % 40, t, "N0000001"))
        .collect();
    let candidates = blocks::candidates(&Records::of(&texts));
    assert_eq!(candidates.counts.numbers_too_common, 1);
    assert_eq!(candidates.counts.by_number, 0);
    assert!(candidates.pairs.len() < 200_000 * 6, "{}", candidates.pairs.len());
}

#[test]
fn a_number_just_under_the_cap_still_blocks() {
    let texts: Vec<RecordText<'_>> = (0..NUMBER_CAP as u32).map(|i| text(i, "starter", "N0000001")).collect();
    let candidates = blocks::candidates(&Records::of(&texts));
    assert_eq!(candidates.counts.by_number as usize, NUMBER_CAP * (NUMBER_CAP - 1) / 2);
}

#[test]
fn every_title_alike_leaves_each_line_its_own_product() {
    let texts: Vec<RecordText<'_>> = (0..3000).map(|i| text(i % 10, "recoil starter", "")).collect();
    let products = link_records(&Records::of(&texts), &LinkSettings::default());
    assert_eq!(
        products.counts.blocks.words_too_common, 2,
        "both words stand everywhere"
    );
    assert_eq!(products.members.len(), 3000);
}

#[test]
fn lines_without_any_attribute_are_not_compared() {
    let texts: Vec<RecordText<'_>> = (0..1000).map(|i| text(i % 10, "", "")).collect();
    let products = link_records(&Records::of(&texts), &LinkSettings::default());
    assert_eq!((products.members.len(), products.links.len()), (1000, 0));
    assert!(products.weights.is_none());
}
