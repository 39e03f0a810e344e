//! A pair seen through a third record: if a is c and c is b, then a is b.
//!
//! Pairs are judged one by one, so two records of one product may look little alike although both look like a
//! third. Inside a cluster that stands, a pair is at least as likely as its best way round: the product of
//! the two probabilities. Pairs between clusters are left as they are; nothing is ever made less likely.

use rustc_hash::FxHashMap;

/// Members of a cluster up to which its ways round are looked at; larger ones are few and their pairs many.
const MOST_MEMBERS: usize = 64;
/// A way round is worth looking at when both its halves are at least this likely.
const WORTHWHILE: f64 = 0.5;

/// Raises `probability` of the pairs inside `clusters` (members each); `pairs` ascending by both records.
pub fn by_third(pairs: &[(u32, u32)], probability: &mut [f64], cluster_of: &[u32], clusters: &[Vec<u32>]) {
    let mut beside: FxHashMap<u32, Vec<(u32, f64)>> = FxHashMap::default();
    let inside = |a: u32, b: u32| {
        let cluster = cluster_of[a as usize];
        let members = clusters[cluster as usize].len();
        cluster == cluster_of[b as usize] && (3..=MOST_MEMBERS).contains(&members)
    };
    for (&(a, b), &p) in pairs.iter().zip(probability.iter()) {
        if p >= WORTHWHILE && inside(a, b) {
            beside.entry(a).or_default().push((b, p));
            beside.entry(b).or_default().push((a, p));
        }
    }
    for (&(a, b), p) in pairs.iter().zip(probability.iter_mut()) {
        if *p < 1.0 && inside(a, b) {
            let best = way_round(beside.get(&a), beside.get(&b));
            *p = p.max(best);
        }
    }
}

fn way_round(a: Option<&Vec<(u32, f64)>>, b: Option<&Vec<(u32, f64)>>) -> f64 {
    let (Some(a), Some(b)) = (a, b) else { return 0.0 };
    let ways = a
        .iter()
        .filter_map(|(c, p)| b.iter().find(|(d, _)| c == d).map(|(_, q)| p * q));
    ways.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_unlike_records_of_one_product_are_joined_by_the_third() {
        let pairs = [(0, 1), (0, 2), (1, 2)];
        let mut probability = [0.1, 0.9, 0.95];
        by_third(&pairs, &mut probability, &[0, 0, 0], &[vec![0, 1, 2]]);
        assert!((probability[0] - 0.855).abs() < 1e-12);
        assert_eq!(probability[1..], [0.9, 0.95]);
    }

    #[test]
    fn pairs_between_clusters_keep_what_they_have() {
        let pairs = [(0, 1), (0, 2), (1, 2)];
        let mut probability = [0.1, 0.9, 0.95];
        by_third(&pairs, &mut probability, &[0, 1, 0], &[vec![0, 2], vec![1]]);
        assert_eq!(probability, [0.1, 0.9, 0.95]);
    }
}
