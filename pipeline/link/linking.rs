//! The link stage as a whole: records in, products and links out.

use super::blocks::{self, Candidates};
use super::cluster::{self, Edge, Word};
use super::compare::Comparison;
use super::pairs::{compare_all, compare_further};
use super::places::Places;
use super::products::{
    KEPT, LinkCounts, LinkSettings, PERSONS_WORD, Products, kept_links, membership, number_products,
};
use super::records::Records;
use super::repeats;
use super::teaching::{Taught, learn};
use super::thirds;

/// Links records into products.
pub fn link_records(records: &Records, settings: &LinkSettings) -> Products {
    let mut candidates = blocks::candidates(records);
    let decided = settings.decisions.iter().map(|&(a, b, _)| (a.min(b), a.max(b)));
    candidates.add(decided.collect(), false);
    let places = Places::of(records);
    let judged = judge(records, &places, &mut candidates, &settings.decisions);
    let Judged {
        taught,
        comparisons,
        told,
        repeats,
    } = judged;
    let (weights, mut probability) =
        taught.map_or((None, Vec::new()), |t| (Some(t.learned.weights), t.learned.probability));
    let edges: Vec<Edge> = candidates
        .pairs
        .iter()
        .zip(&probability)
        .filter(|(_, p)| **p >= KEPT)
        .map(|(&(a, b), &probability)| Edge { a, b, probability })
        .collect();
    let clusters = cluster::cluster(records, &edges, &settings.decisions);
    let (of_offer, members) = number_products(&clusters.of);
    let confidence = membership(&of_offer, &edges);
    thirds::by_third(&candidates.pairs, &mut probability, &of_offer, &members);
    let links = kept_links(&candidates.pairs, &comparisons, &probability, weights.as_ref(), &told);
    Products {
        of_offer,
        members,
        confidence,
        links,
        counts: LinkCounts {
            blocks: candidates.counts,
            forbidden: clusters.forbidden,
            cut: clusters.cut,
        },
        weights,
        repeats,
        contradicted: clusters.contradicted,
        overruled: clusters.overruled,
        parted: clusters.parted,
    }
}

/// All candidate pairs, compared and judged.
struct Judged {
    taught: Option<Taught>,
    comparisons: Vec<Comparison>,
    told: Vec<(u32, f64)>,
    /// share of records, by list, that have a repeat in the same list; empty where nothing was learned
    repeats: Vec<f64>,
}

/// Judges the candidates with every list taken to offer a part once; where lists are seen to repeat themselves, again with
/// their own neighbours as candidates and rivals relaxed as far.
fn judge(records: &Records, places: &Places, candidates: &mut Candidates, decisions: &[(u32, u32, Word)]) -> Judged {
    let opposites = &places.opposites;
    let mut comparisons = compare_all(records, opposites, candidates);
    let mut told = self::told(&candidates.pairs, decisions);
    let once = vec![1.0; records.lists as usize];
    let mut taught = learn(records, places, &candidates.pairs, &mut comparisons, &once, &told, None);
    let rates = |t: &Taught| repeats::rates(records, &candidates.pairs, &comparisons, places, &t.learned, &t.telling);
    let repeats = taught.as_ref().map_or_else(Vec::new, rates);
    if repeats.iter().any(|r| *r > repeats::TOLERATED) {
        let more = blocks::neighbours_in_lists(records, 1, |list| repeats[list as usize] > repeats::TOLERATED);
        let before = candidates.pairs.clone();
        candidates.add(more, true);
        comparisons = compare_further(records, opposites, candidates, &before, &comparisons);
        let once: Vec<f32> = repeats.iter().map(|r| repeats::exclusivity(*r)).collect();
        told = self::told(&candidates.pairs, decisions);
        taught = learn(
            records,
            places,
            &candidates.pairs,
            &mut comparisons,
            &once,
            &told,
            taught,
        );
    }
    Judged {
        taught,
        comparisons,
        told,
        repeats,
    }
}

/// Decided pairs by their index, ascending, each at the probability that a person's word gives it.
fn told(pairs: &[(u32, u32)], decisions: &[(u32, u32, Word)]) -> Vec<(u32, f64)> {
    let mut told: Vec<(u32, f64)> = decisions
        .iter()
        .filter_map(|&(a, b, word)| {
            let pair = pairs.binary_search(&(a.min(b), a.max(b))).ok()?;
            let probability = match word {
                Word::Same => PERSONS_WORD,
                Word::Different => 1.0 - PERSONS_WORD,
            };
            Some((pair as u32, probability))
        })
        .collect();
    told.sort_unstable_by(|x, y| x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)));
    told.dedup_by_key(|t| t.0);
    told
}

#[cfg(test)]
mod tests {
    use super::super::records::NumberPlace;
    use super::*;
    use crate::link::records::RecordText;
    use crate::normalise::kind::KindId;

    fn line<'a>(list: u32, title: &'a str, number: &'a str, brand: &'a str) -> RecordText<'a> {
        let numbers = Some((NumberPlace::Own, number)).filter(|n| !n.1.is_empty());
        RecordText {
            brand,
            numbers: numbers.into_iter().collect(),
            ..RecordText::titled(list, title)
        }
    }

    #[test]
    fn an_equal_maker_number_joins_lists_that_share_no_word() {
        let texts = [
            line(0, "recoil starter", "TV4471A", ""),
            line(1, "lanceur complet", "TV4471A", ""),
        ];
        let products = link_records(&Records::of(&texts), &LinkSettings::default());
        assert_eq!(products.members.len(), 1);
    }

    #[test]
    fn two_lines_of_one_list_are_held_apart_in_lists_of_parts_and_may_be_one_thing_elsewhere() {
        let titles: Vec<String> = (0..60).map(|i| format!("thing w{i} v{}", i * 7 % 60)).collect();
        let prior_inside = |kind: u8| {
            let lines = titles.iter().flat_map(|title| [(0, title), (0, title), (1, title)]);
            let texts: Vec<RecordText<'_>> = lines
                .map(|(list, title)| RecordText {
                    kind,
                    ..line(list, title, "", "")
                })
                .collect();
            let weights = link_records(&Records::of(&texts), &LinkSettings::default()).weights;
            weights.unwrap().0[1].prior_inside
        };
        assert!(prior_inside(KindId::RECOIL_STARTER.0) <= -4.0);
        assert!(prior_inside(KindId::GENERIC.0) > -4.0);
    }

    #[test]
    fn two_numbers_of_one_maker_are_two_products_however_alike_the_titles() {
        let texts = [
            line(0, "recoil starter brunlo red", "TV4471A", "brunlo"),
            line(1, "recoil starter brunlo red", "TV4982C", "brunlo"),
        ];
        let products = link_records(&Records::of(&texts), &LinkSettings::default());
        assert_eq!(products.members.len(), 2);
    }

    #[test]
    fn a_person_calling_two_offers_different_wins_over_an_equal_number() {
        let texts = [
            line(0, "recoil starter", "TV4471A", ""),
            line(1, "recoil starter", "TV4471A", ""),
        ];
        let settings = LinkSettings {
            decisions: vec![(0, 1, Word::Different)],
        };
        let products = link_records(&Records::of(&texts), &settings);
        assert_eq!(products.members.len(), 2);
    }

    #[test]
    fn two_offers_that_a_person_calls_different_are_not_joined_by_way_of_a_third() {
        let texts = [0, 1, 2].map(|list| line(list, "recoil starter", "TV4471A", ""));
        let settings = LinkSettings {
            decisions: vec![(0, 2, Word::Different)],
        };
        let products = link_records(&Records::of(&texts), &settings);
        assert_eq!(products.members.len(), 2);
        assert_ne!(products.of_offer[0], products.of_offer[2]);
    }

    #[test]
    fn a_person_calling_two_offers_the_same_wins_over_two_barcodes_and_that_is_said() {
        let mut texts = [
            line(0, "recoil starter brunlo", "TV4471A", "brunlo"),
            line(1, "lanceur", "PX9982C", "brunlo"),
        ];
        (texts[0].gtin, texts[1].gtin) = (4_006_381_333_931, 9_520_274_002_889);
        let records = Records::of(&texts);
        assert_eq!(link_records(&records, &LinkSettings::default()).members.len(), 2);
        let settings = LinkSettings {
            decisions: vec![(1, 0, Word::Same)],
        };
        let products = link_records(&records, &settings);
        assert_eq!(products.members.len(), 1);
        assert_eq!(products.overruled, [(1, 0)]);
        assert!(
            products.confidence.iter().all(|c| *c > 0.97),
            "{:?}",
            products.confidence
        );
        assert!((products.links[0].probability - PERSONS_WORD).abs() < 1e-9);
    }

    #[test]
    fn a_decided_pair_teaches_the_weights_and_keeps_its_probability() {
        let texts: Vec<RecordText<'_>> = (0..40)
            .map(|i| {
                line(
                    i % 2,
                    if i < 20 {
                        "recoil starter brunlo red"
                    } else {
                        "lanceur drolik bleu"
                    },
                    "",
                    "",
                )
            })
            .collect();
        let records = Records::of(&texts);
        let settings = LinkSettings {
            decisions: vec![(0, 1, Word::Different), (0, 3, Word::Same)],
        };
        let products = link_records(&records, &settings);
        let of = |a: u32, b: u32| {
            products
                .links
                .iter()
                .find(|l| (l.a, l.b) == (a, b))
                .map(|l| l.probability)
        };
        assert!(
            of(0, 1).is_some_and(|p| (p - (1.0 - PERSONS_WORD)).abs() < 1e-9),
            "kept though improbable"
        );
        assert!(of(0, 3).is_some_and(|p| (p - PERSONS_WORD).abs() < 1e-9));
        assert_eq!(products.of_offer[0], products.of_offer[3]);
        assert_ne!(products.of_offer[0], products.of_offer[1]);
    }

    #[test]
    fn nothing_to_compare_leaves_every_offer_its_own_product() {
        let texts = [line(0, "abc", "", ""), line(1, "xyz", "", "")];
        let products = link_records(&Records::of(&texts), &LinkSettings::default());
        assert_eq!(products.members, [vec![0], vec![1]]);
        assert!(products.confidence.iter().all(|c| (c - 1.0).abs() < 1e-9));
    }
}
