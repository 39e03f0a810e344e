//! Ids that last: a group or a product keeps its id for as long as most of its members keep together.
//!
//! Tonight's clusters come with ids made of their members' words. Each offer that was known votes for the id it had. An
//! id goes to the cluster most of its offers are in, a cluster takes the id most of its offers had, the larger vote
//! before the smaller, older spelling before newer among equals; so the outcome depends on clusters and votes alone.
//! What then is without an id gets the one of its members' words, or, where that names something else or did once, the
//! same with a number behind it: no id ever comes to mean another thing.
//!
//! What became of every id is recorded: `born`, `split` from another, `merged` into another, `ended`.

use std::collections::{BTreeMap, BTreeSet};

use compact_str::{CompactString, format_compact};

use super::state::IdEvent;

/// A cluster of tonight: a group or a product.
#[derive(Debug, Clone, Default)]
pub struct Cluster {
    /// Its id by content.
    pub by_content: CompactString,
    /// Offers in it.
    pub offers: u32,
    /// The ids its known offers had, with how many had each.
    pub votes: BTreeMap<CompactString, u32>,
}

/// What was known of ids before tonight.
#[derive(Debug, Default)]
pub struct Before {
    /// Ids in use last night, with their offers then.
    pub living: BTreeMap<CompactString, u32>,
    /// Every id that is remembered, living or not.
    pub remembered: BTreeSet<CompactString>,
}

/// The ids of tonight's clusters, in their order, and what became of ids.
#[derive(Debug, Default, PartialEq)]
pub struct Carried {
    /// One id per cluster, all distinct.
    pub ids: Vec<CompactString>,
    /// Events, without their date.
    pub events: Vec<IdEvent>,
}

/// Carries ids on. `names` is what they name: group or product.
pub fn carry_on(clusters: &[Cluster], before: &Before, names: &str) -> Carried {
    let mut ids: Vec<Option<CompactString>> = vec![None; clusters.len()];
    let mut used: BTreeSet<CompactString> = BTreeSet::new();
    for (_, old, cluster) in ballots(clusters) {
        if ids[cluster].is_none() && !used.contains(old) {
            used.insert(old.clone());
            ids[cluster] = Some(old.clone());
        }
    }
    let mut nameless: Vec<usize> = (0..clusters.len()).filter(|cluster| ids[*cluster].is_none()).collect();
    nameless.sort_by(|a, b| clusters[*a].by_content.cmp(&clusters[*b].by_content));
    for cluster in nameless {
        let id = fresh(&clusters[cluster].by_content, |id| {
            used.contains(id) || before.remembered.contains(id) || before.living.contains_key(id)
        });
        used.insert(id.clone());
        ids[cluster] = Some(id);
    }
    let ids: Vec<CompactString> = ids.into_iter().flatten().collect();
    let events = if before.living.is_empty() {
        Vec::new()
    } else {
        events(clusters, &ids, before, names)
    };
    Carried { ids, events }
}

/// All votes for an id of the cluster's own sort, the largest first.
fn ballots(clusters: &[Cluster]) -> Vec<(u32, &CompactString, usize)> {
    let mut ballots: Vec<(u32, &CompactString, usize)> = Vec::new();
    for (at, cluster) in clusters.iter().enumerate() {
        let of_its_sort = cluster
            .votes
            .iter()
            .filter(|(old, _)| sort_of(old) == sort_of(&cluster.by_content));
        ballots.extend(of_its_sort.map(|(old, votes)| (*votes, old, at)));
    }
    ballots.sort_by(|a, b| {
        let content = |cluster: usize| &clusters[cluster].by_content;
        b.0.cmp(&a.0)
            .then_with(|| a.1.cmp(b.1))
            .then_with(|| content(a.2).cmp(content(b.2)))
    });
    ballots
}

/// The letters before the dash, which say what sort of thing an id names.
fn sort_of(id: &str) -> &str {
    id.split('-').next().unwrap_or(id)
}

/// The id itself, or with the first number behind it that nothing else has.
fn fresh(by_content: &CompactString, taken: impl Fn(&CompactString) -> bool) -> CompactString {
    let mut id = by_content.clone();
    let mut number = 2;
    while taken(&id) {
        id = format_compact!("{by_content}.{number}");
        number += 1;
    }
    id
}

/// What became of ids: those that begin tonight, in the order of their clusters, then those that stand for nothing any
/// more, in their own order.
fn events(clusters: &[Cluster], ids: &[CompactString], before: &Before, names: &str) -> Vec<IdEvent> {
    // where the offers of every old id went
    let mut went: BTreeMap<&CompactString, Vec<(u32, &CompactString)>> = BTreeMap::new();
    for (cluster, id) in clusters.iter().zip(ids) {
        for (old, votes) in &cluster.votes {
            went.entry(old).or_default().push((*votes, id));
        }
    }
    let standing: BTreeSet<&CompactString> = ids.iter().collect();
    let begun = clusters
        .iter()
        .zip(ids)
        .filter(|(_, id)| !before.living.contains_key(*id))
        .map(|(cluster, id)| began(cluster, id, names));
    let over = before
        .living
        .iter()
        .filter(|(old, _)| !standing.contains(old))
        .map(|(old, offers)| ended(old, *offers, went.get(old).map_or(&[], Vec::as_slice), names));
    begun.chain(over).collect()
}

/// An id that no cluster had last night: born, or split from the id that most of its offers had.
fn began(cluster: &Cluster, id: &CompactString, names: &str) -> IdEvent {
    let none = CompactString::default();
    let offers = cluster.offers;
    let from = cluster
        .votes
        .iter()
        .max_by_key(|(old, votes)| (**votes, std::cmp::Reverse(*old)));
    match from {
        Some((old, _)) if old == id => {
            let reason = "offers that had this id are listed again".to_owned();
            event("born", names, (id, &none), offers, reason)
        }
        Some((old, votes)) => {
            let reason = format!("{votes} of its {offers} offers had the id {old}, which went with more of them");
            event("split", names, (id, old), *votes, reason)
        }
        None => {
            let reason = format!("none of its {offers} offers was known");
            event("born", names, (id, &none), offers, reason)
        }
    }
}

/// An id that no cluster has any more: merged into the one that most of its offers went to, or ended. `went` says how many
/// of its offers are in which id now.
fn ended(old: &CompactString, offers: u32, went: &[(u32, &CompactString)], names: &str) -> IdEvent {
    let heir = went.iter().max_by_key(|(votes, id)| (*votes, std::cmp::Reverse(*id)));
    match heir {
        Some((votes, heir)) => {
            let reason = format!("{votes} of its {offers} offers are now in {heir}, which has more of its own");
            event("merged", names, (old, heir), *votes, reason)
        }
        None => {
            let reason = format!("none of its {offers} offers is listed any more");
            event("ended", names, (old, &CompactString::default()), offers, reason)
        }
    }
}

/// The event of an id, with the other id that it concerns.
fn event(
    event: &str,
    names: &str,
    (id, other): (&CompactString, &CompactString),
    offers: u32,
    reason: String,
) -> IdEvent {
    IdEvent {
        date: CompactString::default(),
        names: names.into(),
        event: event.into(),
        id: id.clone(),
        other_id: other.clone(),
        offers,
        reason,
    }
}
