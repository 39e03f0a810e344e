//! Classes x kind x variant -> fit groups; the fit stage as a whole.
//!
//! Where a product goes is the business of `placing`, how sure that is of `confidence`.

use super::band::displacement_band;
use super::classes::{Classes, Posterior};
use super::codes_served::{self, NamedCode};
use super::confidence::{self, Standing};
use super::decided::{FitWord, Held};
use super::evidence::{self, Evidence};
use super::kernels::Kernels;
use super::keys::Keys;
use super::kinds;
use super::learning::Anywhere;
use super::naming;
use super::number_stems::number_stems;
use super::placing::{InterfaceWeight, Place, Placed, place};
use super::possibly::{self, PossiblySame};
use super::refining::refine;
use super::scales::Field;
use super::start;
use super::stated::{Light, settles, stated};
use super::variants::Variant;
use crate::link::Products;
use crate::link::offers::list_numbers;
use crate::normalise::kind::KindId;
use crate::normalise::offer::Offer;
use crate::trade::interval::Interval;
use crate::trade::threads::{Thread, ThreadSet};
use compact_str::CompactString;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Products that bolt on and work in place of each other on the same engines.
#[derive(Clone, Debug)]
pub struct FitGroup {
    /// part kind
    pub kind: KindId,
    /// engine class, `None` for a product that was not placed
    pub class: Option<u32>,
    /// words for the engine family
    pub family: CompactString,
    /// size class or displacement band, in words
    pub size_class: CompactString,
    /// a name a mechanic would say
    pub name: String,
    /// displacement band served, cc
    pub displacement: Option<Interval>,
    /// mounting holes
    pub holes: Option<u8>,
    /// bolt circle, mm, with its tolerance; `None` where nothing states it or what states it leaves another open
    pub circle_mm: Option<Interval>,
    /// thread of the mounting screws
    pub thread: ThreadSet,
    /// engine codes served, the most named first
    pub codes: Vec<CompactString>,
    /// products, ascending
    pub products: Vec<u32>,
    /// mean confidence of its offers
    pub confidence: f64,
}

/// The fit stage's result.
#[derive(Debug)]
pub struct FitGroups {
    /// groups in the order of kind, family and size
    pub groups: Vec<FitGroup>,
    /// group of each product
    pub of_product: Vec<u32>,
    /// probability that the offer's part belongs to its group
    pub confidence: Vec<f64>,
    /// engine classes
    pub classes: Classes,
    /// pooled claims by product
    pub evidence: Vec<Evidence>,
    /// classes by product, most probable first
    pub posteriors: Vec<Posterior>,
    /// by product: how much circle and hole count each move the log odds of its variant
    pub interface: Vec<InterfaceWeight>,
    /// what readings are numbered by
    pub keys: Keys,
    /// classes joined after the start
    pub merges: usize,
    /// words of a person that contradict each other, each a set of their numbers; none of them was held
    pub contradicted: Vec<Vec<usize>>,
    /// groups that may be one, and what would settle it
    pub possibly_same: Vec<PossiblySame>,
}

/// Sorts products into fit groups; `words` are what a person said fits or does not.
pub fn fit_products(offers: &[Offer], products: &Products, words: &[FitWord]) -> FitGroups {
    let mut held = Held::of(words, products);
    let lists = list_numbers(offers);
    let mut keys = Keys::learn(offers, &lists);
    keys.leave_out(number_stems(offers, &products.members));
    let mut evidence = evidence::pool(offers, &products.members, &mut keys);
    let mut memberships = start::first_memberships(&evidence, &keys.codes, keys.numbers.len());
    held.note_interfaces(&evidence);
    let vocabulary = (keys.codes.texts.len(), keys.numbers.len());
    let anywhere = Anywhere::of(&evidence, Kernels::learn(&lists, &evidence), vocabulary);
    let (classes, merges) = refine(&evidence, &anywhere, &mut memberships, &held);
    let mut placed = place(&evidence, &classes, &memberships, &lists);
    let known = kinds::Known {
        offers,
        lists: &lists,
        products,
        keys: &keys,
        classes: &classes,
        placed: &placed,
        held: &held.products(),
    };
    if kinds::judge(&known, &mut evidence, &mut memberships) > 0 {
        placed = place(&evidence, &classes, &memberships, &lists);
    }
    let contradicted = held.settle(&mut placed.place, &mut placed.variant, &evidence, &memberships);
    let standing: Vec<Standing> = (0..evidence.len()).map(|i| placed.standing(i)).collect();
    let known = confidence::Known {
        classes: &classes,
        evidence: &evidence,
        posteriors: &memberships,
        standing: &standing,
    };
    let confidence = confidence::of_offers(offers, products, known, &mut keys);
    let mut result = FitGroups {
        groups: Vec::new(),
        of_product: Vec::new(),
        confidence,
        classes,
        evidence,
        posteriors: memberships,
        interface: std::mem::take(&mut placed.interface),
        keys,
        merges,
        contradicted,
        possibly_same: Vec::new(),
    };
    held.judge(&placed.place, &mut result.confidence);
    result.describe(offers, products, &placed);
    let doubts = possibly::classes(&result.evidence, &result.classes, &result.posteriors);
    result.possibly_same = possibly::groups(&result.groups, &doubts);
    result
}

impl FitGroups {
    /// Builds the groups, named and in order.
    fn describe(&mut self, offers: &[Offer], products: &Products, placed: &Placed) {
        let mut by_place: BTreeMap<Place, Vec<u32>> = BTreeMap::new();
        for (i, place) in placed.place.iter().enumerate() {
            by_place.entry(*place).or_default().push(i as u32);
        }
        let of_classes = codes_served::codes_of_classes(&self.classes, &self.evidence);
        let by_place: Vec<(Place, Vec<u32>)> = by_place.into_iter().collect();
        let mut groups: Vec<FitGroup> = by_place
            .into_par_iter()
            .map(|(place, list)| {
                let variant = match place {
                    Place::Class { kind, class, variant } => {
                        placed.variants[&(kind, class)].get(variant as usize).cloned()
                    }
                    Place::Alone { .. } => None,
                };
                self.describe_one(place, variant, list, (offers, products), &of_classes)
            })
            .collect();
        groups.sort_by(|x, y| {
            naming::order(x)
                .partial_cmp(&naming::order(y))
                .unwrap_or(std::cmp::Ordering::Equal)
                .then(x.products[0].cmp(&y.products[0]))
        });
        self.of_product = vec![0; self.evidence.len()];
        for (g, group) in groups.iter().enumerate() {
            for &p in &group.products {
                self.of_product[p as usize] = g as u32;
            }
        }
        self.groups = groups;
    }

    fn describe_one(
        &self,
        place: Place,
        variant: Option<Variant>,
        list: Vec<u32>,
        (offers, products): (&[Offer], &Products),
        of_classes: &[Vec<NamedCode>],
    ) -> FitGroup {
        let (kind, class) = match place {
            Place::Class { kind, class, .. } => (kind, Some(class)),
            Place::Alone { kind, .. } => (kind, None),
        };
        let members: Vec<&Evidence> = list.iter().map(|p| &self.evidence[*p as usize]).collect();
        let codes = codes_served::codes_served(self, class, &members, of_classes);
        let displacement = displacement_band(self, offers, class, &members);
        let (family, size_class) = naming::family(self, class, &codes, displacement, &members);
        let known = class
            .and_then(|c| self.classes.list.get(c as usize))
            .map(|c| (c, &self.classes));
        let said = members.iter().map(|m| {
            stated(
                m,
                Light {
                    class: known,
                    ..Light::default()
                },
            )
        });
        let circle = variant
            .as_ref()
            .and_then(|v| v.circle_mm)
            .or_else(|| said.clone().find_map(|s| s.circle_mm))
            .filter(|circle| settles(&members, *circle));
        let holes = variant
            .as_ref()
            .and_then(|v| v.holes)
            .or_else(|| said.clone().find_map(|s| s.holes));
        let offers = list.iter().flat_map(|p| &products.members[*p as usize]);
        let sum: f64 = offers.clone().map(|o| self.confidence[*o as usize]).sum();
        let mut group = FitGroup {
            kind: KindId(kind),
            class,
            family,
            size_class,
            name: String::new(),
            displacement,
            holes,
            circle_mm: circle.map(|c| Interval::around(c, 0.5)),
            thread: common_thread(&members),
            codes,
            confidence: sum / offers.count().max(1) as f64,
            products: list,
        };
        group.name = naming::name(&group);
        group
    }
}

/// The thread most products allow.
fn common_thread(members: &[&Evidence]) -> ThreadSet {
    let mut mass = [0.0f64; 256];
    for product in members {
        let readings = &product.fields[Field::Thread as usize];
        for reading in readings {
            for v in &reading.values {
                let index = *v as usize % Field::Thread.bins_per_kind();
                mass[index] += 1.0 / (reading.values.len() * readings.len()) as f64;
            }
        }
    }
    let best = mass.iter().copied().fold(0.0, f64::max);
    let mut set = ThreadSet::empty();
    if best > 0.0 {
        for (index, m) in mass.iter().enumerate() {
            if let Some(thread) = Thread::from_index(index as u8).filter(|_| *m > 0.6 * best) {
                set.insert(thread);
            }
        }
    }
    set
}

#[cfg(test)]
#[path = "groups_tests.rs"]
mod tests;
