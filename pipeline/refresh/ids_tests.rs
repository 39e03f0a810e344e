//! Random nights: members come, go and move; ids must keep what they promise.

use super::ids::*;
use compact_str::{CompactString, format_compact};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// What is remembered of a member: the id it last had, and whether it was there last night.
#[derive(Clone, Debug, Default)]
struct Memory {
    of: BTreeMap<u16, CompactString>,
    there: BTreeSet<u16>,
    retired: BTreeSet<CompactString>,
}

impl Memory {
    fn before(&self) -> Before {
        let mut before = Before {
            remembered: self.of.values().cloned().chain(self.retired.iter().cloned()).collect(),
            ..Before::default()
        };
        for member in &self.there {
            *before.living.entry(self.of[member].clone()).or_default() += 1;
        }
        before
    }

    fn clusters(&self, night: &[BTreeSet<u16>]) -> Vec<Cluster> {
        let cluster = |members: &BTreeSet<u16>| {
            let mut cluster = Cluster {
                by_content: format_compact!("G-{:04}", members.first().unwrap()),
                offers: members.len() as u32,
                ..Cluster::default()
            };
            for id in members.iter().filter_map(|member| self.of.get(member)) {
                *cluster.votes.entry(id.clone()).or_default() += 1;
            }
            cluster
        };
        night.iter().map(cluster).collect()
    }

    fn live(&mut self, night: &[BTreeSet<u16>], ids: &[CompactString]) {
        self.retired.extend(self.of.values().cloned());
        self.there.clear();
        for (members, id) in night.iter().zip(ids) {
            for member in members {
                self.of.insert(*member, id.clone());
                self.there.insert(*member);
            }
        }
    }
}

/// A night: for each member there the label of its cluster.
fn night() -> impl Strategy<Value = Vec<BTreeSet<u16>>> {
    prop::collection::btree_map(0u16..40, 0u8..8, 0..40).prop_map(|labels| {
        let mut clusters: BTreeMap<u8, BTreeSet<u16>> = BTreeMap::new();
        for (member, label) in labels {
            clusters.entry(label).or_default().insert(member);
        }
        clusters.into_values().collect()
    })
}

/// Nights that follow each other with few moves: each member keeps its label but for one in ten.
fn quiet_nights() -> impl Strategy<Value = Vec<Vec<BTreeSet<u16>>>> {
    let labels = prop::collection::vec(0u8..6, 40);
    let moves = prop::collection::vec(prop::collection::vec((0usize..40, 0u8..6, any::<bool>()), 0..4), 1..8);
    (labels, moves).prop_map(|(mut labels, moves)| {
        let mut absent = BTreeSet::new();
        let mut nights = Vec::new();
        for night in moves {
            for (member, label, gone) in night {
                labels[member] = label;
                if gone {
                    absent.insert(member);
                } else {
                    absent.remove(&member);
                }
            }
            let mut clusters: BTreeMap<u8, BTreeSet<u16>> = BTreeMap::new();
            for (member, label) in labels.iter().enumerate().filter(|(member, _)| !absent.contains(member)) {
                clusters.entry(*label).or_default().insert(member as u16);
            }
            nights.push(clusters.into_values().collect());
        }
        nights
    })
}

/// Plays nights and checks what must hold on each of them.
fn play(nights: &[Vec<BTreeSet<u16>>]) -> Result<(), TestCaseError> {
    let mut memory = Memory::default();
    for night in nights {
        let (clusters, before) = (memory.clusters(night), memory.before());
        let carried = carry_on(&clusters, &before, "group");
        // every cluster has an id of its own
        prop_assert_eq!(carried.ids.len(), clusters.len());
        let distinct: BTreeSet<&CompactString> = carried.ids.iter().collect();
        prop_assert_eq!(distinct.len(), clusters.len());
        // an id that has most of its living members in one cluster, where they are most of those known, is that cluster's
        for (at, cluster) in clusters.iter().enumerate() {
            let known: u32 = cluster.votes.values().sum();
            for (old, votes) in &cluster.votes {
                let everywhere: u32 = clusters.iter().filter_map(|other| other.votes.get(old)).sum();
                if 2 * votes > everywhere && 2 * votes > known {
                    prop_assert_eq!(&carried.ids[at], old);
                }
            }
        }
        // an id that was ever used goes to nothing but a cluster of its own members
        for (cluster, id) in clusters.iter().zip(&carried.ids) {
            prop_assert!(
                !before.remembered.contains(id) || cluster.votes.contains_key(id),
                "{} has moved on",
                id
            );
        }
        // every id that came or went is recorded
        if !before.living.is_empty() {
            let told: BTreeSet<&CompactString> = carried.events.iter().map(|event| &event.id).collect();
            let came = carried.ids.iter().filter(|id| !before.living.contains_key(*id));
            let went = before.living.keys().filter(|id| !distinct.contains(id));
            let expected: BTreeSet<&CompactString> = came.chain(went).collect();
            prop_assert_eq!(told, expected);
        }
        // the order of the clusters changes nothing
        let mut turned = clusters.clone();
        turned.reverse();
        let mut again = carry_on(&turned, &before, "group");
        again.ids.reverse();
        prop_assert_eq!(&again.ids, &carried.ids);
        memory.live(night, &carried.ids);
        // the same night once more moves nothing
        let same = carry_on(&memory.clusters(night), &memory.before(), "group");
        prop_assert_eq!(&same.ids, &carried.ids);
        prop_assert!(same.events.is_empty());
    }
    Ok(())
}

proptest! {
    #[test]
    fn ids_keep_their_promises_over_wild_nights(nights in prop::collection::vec(night(), 1..8)) {
        play(&nights)?;
    }

    #[test]
    fn ids_keep_their_promises_over_quiet_nights(nights in quiet_nights()) {
        play(&nights)?;
    }
}

fn cluster(by_content: &str, votes: &[(&str, u32)]) -> Cluster {
    Cluster {
        by_content: by_content.into(),
        offers: votes.iter().map(|(_, votes)| votes).sum::<u32>().max(1),
        votes: votes
            .iter()
            .map(|(id, votes)| (CompactString::from(*id), *votes))
            .collect(),
    }
}

fn before(living: &[(&str, u32)]) -> Before {
    Before {
        living: living
            .iter()
            .map(|(id, offers)| (CompactString::from(*id), *offers))
            .collect(),
        remembered: living.iter().map(|(id, _)| CompactString::from(*id)).collect(),
    }
}

#[test]
fn of_a_split_the_larger_part_keeps_the_id_and_the_split_is_told() {
    let clusters = [cluster("RS-A", &[("RS-A", 2)]), cluster("RS-B", &[("RS-A", 5)])];
    let carried = carry_on(&clusters, &before(&[("RS-A", 7)]), "group");
    assert_eq!(carried.ids, ["RS-A.2", "RS-A"]);
    assert_eq!(
        (carried.events[0].event.as_str(), carried.events[0].other_id.as_str()),
        ("split", "RS-A")
    );
}

#[test]
fn of_a_merger_the_larger_id_stays_and_the_other_is_told_to_be_in_it() {
    let clusters = [cluster("RS-A", &[("RS-A", 2), ("RS-B", 5)])];
    let carried = carry_on(&clusters, &before(&[("RS-A", 2), ("RS-B", 5)]), "group");
    assert_eq!(carried.ids, ["RS-B"]);
    let event = &carried.events[0];
    assert_eq!(
        (event.event.as_str(), event.id.as_str(), event.other_id.as_str()),
        ("merged", "RS-A", "RS-B")
    );
}

#[test]
fn a_group_that_became_another_kind_of_part_takes_no_id_of_the_old_kind() {
    let clusters = [cluster("FS-Q", &[("RS-A", 4)])];
    assert_eq!(carry_on(&clusters, &before(&[("RS-A", 4)]), "group").ids, ["FS-Q"]);
}
