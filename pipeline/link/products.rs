//! The link stage as a whole: offers in, products and links out.

use super::blocks::{self, BlockCounts};
use super::cluster::{self, Edge, Parting, Word};
use super::compare::{Comparison, FIELDS, Field, Scratch, Sides, compare_in};
use super::learning::{self, Learned};
use super::opposites::Opposites;
use super::records::{NumberPlace, Record, Records};
use super::repeats;
use super::rivals::{Numbering, Rivals};
use super::sample;
use super::telling::Telling;
use super::thirds;
use super::weights::PathWeights;
use crate::normalise::kind::KindId;
use rayon::prelude::*;
use rustc_hash::FxHashMap;

/// Links below this probability are not kept.
pub const KEPT: f64 = 0.05;

/// Pairs compared as one piece of parallel work.
const COMPARED_AT_ONCE: usize = 4096;

/// Times that what words tell is learned anew, and rounds of learning the weights after each.
const TELLING_ROUNDS: usize = 3;
const FURTHER_ROUNDS: usize = 2;

/// Probability that a person's word on two offers is right. People slip too: one time in a hundred (value from memory).
pub const PERSONS_WORD: f64 = 0.99;

/// What a person may set.
#[derive(Clone, Debug, Default)]
pub struct LinkSettings {
    /// pairs of offers a person has judged
    pub decisions: Vec<(u32, u32, Word)>,
}

/// One pair of offers compared and kept.
#[derive(Clone, Copy, Debug)]
pub struct Link {
    /// smaller offer index
    pub a: u32,
    /// larger offer index
    pub b: u32,
    /// probability that both are the very same part
    pub probability: f64,
    /// log odds of the pair alone, before its rivals
    pub alone: f64,
    /// what each field added to the log odds, by [`super::compare::Field`]
    pub parts: [f64; FIELDS],
}

/// What the stage did, for the run's account.
#[derive(Clone, Copy, Debug, Default)]
pub struct LinkCounts {
    /// candidate pairs and dropped keys
    pub blocks: BlockCounts,
    /// likely links that a constraint forbade
    pub forbidden: u64,
    /// likely links cut as the weak point of a chain
    pub cut: u64,
}

/// Offers sorted into products.
#[derive(Debug)]
pub struct Products {
    /// product of each offer, an index into `members`
    pub of_offer: Vec<u32>,
    /// offers of each product, ascending; products in the order of their first offer
    pub members: Vec<Vec<u32>>,
    /// probability that an offer belongs to its product
    pub confidence: Vec<f64>,
    /// links kept, ascending by pair
    pub links: Vec<Link>,
    /// counts of the stage
    pub counts: LinkCounts,
    /// learned weights, `None` when there was nothing to compare
    pub weights: Option<PathWeights>,
    /// by list: share of records with a repeat of the same part in that list
    pub repeats: Vec<f64>,
    /// decisions of a person that contradict each other
    pub contradicted: Vec<(u32, u32)>,
    /// pairs a person called the same although their identifiers forbid it
    pub overruled: Vec<(u32, u32)>,
    /// links more likely than not that did not become one product, ascending by pair, with the reason
    pub parted: Vec<(u32, u32, Parting)>,
}

#[cfg(test)]
impl Products {
    /// Every one of these offers alone, numbered from 0.
    pub fn one_each(offers: &[u32]) -> Products {
        Products {
            of_offer: (0..offers.len() as u32).collect(),
            members: (0..offers.len() as u32).map(|o| vec![o]).collect(),
            confidence: vec![1.0; offers.len()],
            links: Vec::new(),
            counts: LinkCounts::default(),
            weights: None,
            repeats: Vec::new(),
            contradicted: Vec::new(),
            overruled: Vec::new(),
            parted: Vec::new(),
        }
    }
}

/// Links records into products.
pub fn link_records(records: &Records, settings: &LinkSettings) -> Products {
    let mut candidates = blocks::candidates(records);
    candidates.add(
        settings
            .decisions
            .iter()
            .map(|&(a, b, _)| (a.min(b), a.max(b)))
            .collect(),
    );
    let places = Places::of(records);
    let mut comparisons = compare_all(records, &places.opposites, &candidates.pairs);
    let mut told = told(&candidates.pairs, &settings.decisions);
    let mut first = learn(
        records,
        &places,
        &candidates.pairs,
        &mut comparisons,
        &vec![1.0; records.lists as usize],
        &told,
        None,
    );
    let repeats = first.as_ref().map_or_else(Vec::new, |t| {
        repeats::rates(
            records,
            &candidates.pairs,
            &comparisons,
            &places.neighbours,
            &places.opposites,
            &t.learned,
            &t.telling,
        )
    });
    if repeats.iter().any(|r| *r > repeats::TOLERATED) {
        let more = blocks::neighbours_in_lists(records, 1, |list| repeats[list as usize] > repeats::TOLERATED);
        let before = candidates.pairs.clone();
        candidates.add(more);
        comparisons = compare_further(records, &places.opposites, &candidates.pairs, &before, &comparisons);
        let once: Vec<f32> = repeats.iter().map(|r| repeats::exclusivity(*r)).collect();
        told = self::told(&candidates.pairs, &settings.decisions);
        first = learn(
            records,
            &places,
            &candidates.pairs,
            &mut comparisons,
            &once,
            &told,
            first,
        );
    }
    let (weights, mut probability) =
        first.map_or((None, Vec::new()), |t| (Some(t.learned.weights), t.learned.probability));
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

fn compare_all(records: &Records, opposites: &Opposites, pairs: &[(u32, u32)]) -> Vec<Comparison> {
    pairs
        .par_iter()
        .map_init(Scratch::default, |scratch, &pair| {
            compare_pair(scratch, records, opposites, pair)
        })
        .collect()
}

fn compare_pair(scratch: &mut Scratch, records: &Records, opposites: &Opposites, (a, b): (u32, u32)) -> Comparison {
    compare_in(
        scratch,
        records,
        opposites,
        &records.list[a as usize],
        &records.list[b as usize],
    )
}

/// The same where some pairs were compared before; both lists of pairs ascend.
fn compare_further(
    records: &Records,
    opposites: &Opposites,
    pairs: &[(u32, u32)],
    before: &[(u32, u32)],
    compared: &[Comparison],
) -> Vec<Comparison> {
    pairs
        .par_chunks(COMPARED_AT_ONCE)
        .flat_map_iter(|pairs| {
            let first = before.partition_point(|pair| *pair < pairs[0]);
            let mut known = before[first..].iter().zip(&compared[first..]).peekable();
            let mut scratch = Scratch::default();
            pairs.iter().map(move |pair| match known.next_if(|k| k.0 == pair) {
                Some((_, comparison)) => *comparison,
                None => compare_pair(&mut scratch, records, opposites, *pair),
            })
        })
        .collect()
}

/// What was learned, and what single words tell.
struct Taught {
    learned: Learned,
    telling: Telling,
}

/// Learns weights; `once` tells by list how far it offers one part once only. Where there are more
/// pairs than learning needs, weights come from a sample of whole neighbourhoods and are applied to all. What single
/// words tell is learned from the first probabilities, and the weights anew with it.
fn learn(
    records: &Records,
    places: &Places,
    pairs: &[(u32, u32)],
    comparisons: &mut [Comparison],
    once: &[f32],
    told: &[(u32, f64)],
    before: Option<Taught>,
) -> Option<Taught> {
    if comparisons.is_empty() {
        return None;
    }
    let all_pairs = records.len() as f64 * (records.len() as f64 - 1.0) / 2.0;
    let sample = sample::neighbourhoods(pairs, records.len());
    let taken: Vec<u32> = sample.clone().unwrap_or_else(|| (0..pairs.len() as u32).collect());
    let some_pairs: Vec<(u32, u32)> = taken.iter().map(|e| pairs[*e as usize]).collect();
    let mut some: Vec<Comparison> = taken.iter().map(|e| comparisons[*e as usize]).collect();
    let some_told: Vec<(u32, f64)> = told
        .iter()
        .filter_map(|(pair, p)| Some((taken.binary_search(pair).ok()? as u32, *p)))
        .collect();
    let rivals = rivals_of(places, &some_pairs, once);
    let all_pairs = all_pairs * some.len() as f64 / comparisons.len() as f64;
    let mut telling = before.as_ref().map_or_else(Telling::default, |t| t.telling.clone());
    let sides = sides_of(records, &some_pairs);
    let neighbours = sides_of(records, &places.neighbours);
    tell(&telling, &sides, &mut some, |_| None);
    let mut learned = match before {
        None => learning::learn(&some, &rivals, all_pairs, &some_told),
        Some(t) => learning::relax(&some, &rivals, all_pairs, &some_told, t.learned.weights),
    };
    for _ in 0..TELLING_ROUNDS {
        telling = Telling::learn(records, &sides, &learned.probability, &neighbours);
        let own = &learned.probability;
        tell(&telling, &sides, &mut some, |at| Some(own[at]));
        learned = learning::learn_further(
            &some,
            &rivals,
            all_pairs,
            &some_told,
            learned.probability,
            FURTHER_ROUNDS,
        );
    }
    if sample.is_none() {
        comparisons.copy_from_slice(&some);
    } else {
        let own = |at: usize| taken.binary_search(&(at as u32)).ok().map(|k| learned.probability[k]);
        comparisons
            .par_iter_mut()
            .zip(pairs)
            .enumerate()
            .for_each(|(at, (comparison, &(a, b)))| {
                let sides = Sides::of(records, &records.list[a as usize], &records.list[b as usize]);
                comparison.levels[Field::Telling as usize] = telling.level(&sides, own(at));
            });
        learned = learning::apply(comparisons, &rivals_of(places, pairs, once), learned.weights, told);
    }
    Some(Taught { learned, telling })
}

fn sides_of(records: &Records, pairs: &[(u32, u32)]) -> Vec<Sides> {
    let of = |&(a, b): &(u32, u32)| Sides::of(records, &records.list[a as usize], &records.list[b as usize]);
    pairs.par_iter().map(of).collect()
}

/// Sets what words tell on all pairs; `own` gives the probability with which a pair was counted, if it was.
fn tell(telling: &Telling, sides: &[Sides], comparisons: &mut [Comparison], own: impl Fn(usize) -> Option<f64> + Sync) {
    comparisons
        .par_iter_mut()
        .zip(sides)
        .enumerate()
        .for_each(|(at, (comparison, sides))| {
            comparison.levels[Field::Telling as usize] = telling.level(sides, own(at));
        });
}

/// List and item of each record, and lines of one list that look alike where there is more than one list.
struct Places {
    lists: Vec<u32>,
    items: Vec<u32>,
    neighbours: Vec<(u32, u32)>,
    opposites: Opposites,
    numbering: Numbering,
}

impl Places {
    fn of(records: &Records) -> Places {
        let mut neighbours = repeats::neighbours(records);
        let opposites = Opposites::learn(records, &neighbours);
        if records.lists == 1 {
            neighbours.clear();
        }
        Places {
            lists: records.list.iter().map(|r: &Record| r.list).collect(),
            items: items(records),
            neighbours,
            opposites,
            numbering: if records.list.iter().any(|r| r.kind == KindId::GENERIC.0) {
                Numbering::Unknown
            } else {
                Numbering::OnePartOneNumber
            },
        }
    }
}

fn rivals_of(places: &Places, pairs: &[(u32, u32)], once: &[f32]) -> Rivals {
    let list = |record: u32| places.lists[record as usize];
    let strength = pairs
        .iter()
        .map(|&(a, b)| match (list(a), list(b)) {
            (x, y) if x == y => (0.0, 0.0),
            (x, y) => (once[y as usize], once[x as usize]),
        })
        .collect();
    let once_inside = pairs.iter().map(|&(a, b)| {
        if list(a) == list(b) && once.len() > 1 && places.numbering == Numbering::Unknown {
            once[list(a) as usize]
        } else {
            0.0
        }
    });
    Rivals::of(pairs, &places.lists, &places.items, strength)
        .numbered(places.numbering)
        .held_inside(once_inside.collect())
}

fn number_products(cluster_of: &[u32]) -> (Vec<u32>, Vec<Vec<u32>>) {
    let mut of_offer = vec![0u32; cluster_of.len()];
    let mut members: Vec<Vec<u32>> = Vec::new();
    for (i, &first) in cluster_of.iter().enumerate() {
        // the cluster is named by its smallest member, so that member has been seen before
        let product = if first as usize == i {
            members.push(Vec::new());
            members.len() as u32 - 1
        } else {
            of_offer[first as usize]
        };
        of_offer[i] = product;
        members[product as usize].push(i as u32);
    }
    (of_offer, members)
}

/// Odds of an offer being in its product against being elsewhere or alone: the links into the
/// product, the links out of it and, as one, no link at all.
fn membership(of_offer: &[u32], edges: &[Edge]) -> Vec<f64> {
    let mut inside = vec![0.0f64; of_offer.len()];
    let mut outside = vec![0.0f64; of_offer.len()];
    for e in edges {
        let odds = (e.probability / (1.0 - e.probability).max(1e-6)).min(1e4);
        let side = if of_offer[e.a as usize] == of_offer[e.b as usize] {
            &mut inside
        } else {
            &mut outside
        };
        side[e.a as usize] += odds;
        side[e.b as usize] += odds;
    }
    inside
        .iter()
        .zip(&outside)
        .map(|(inside, outside)| {
            if *inside > 0.0 {
                inside / (1.0 + inside + outside)
            } else {
                1.0 / (1.0 + outside)
            }
        })
        .collect()
}

fn kept_links(
    pairs: &[(u32, u32)],
    comparisons: &[Comparison],
    probability: &[f64],
    weights: Option<&PathWeights>,
    told: &[(u32, f64)],
) -> Vec<Link> {
    let Some(weights) = weights else { return Vec::new() };
    let is_told = |at: usize| told.binary_search_by_key(&(at as u32), |t| t.0).is_ok();
    pairs
        .iter()
        .zip(comparisons)
        .zip(probability)
        .enumerate()
        .filter(|(at, (_, p))| **p >= KEPT || is_told(*at))
        .map(|(_, ((&(a, b), c), &probability))| Link {
            a,
            b,
            probability,
            parts: weights.of(c).parts(c),
            alone: weights.log_odds(c),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::link::records::RecordText;

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
