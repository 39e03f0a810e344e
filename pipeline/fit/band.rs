//! The band of displacements that a group serves, in the figures that its lists write.

use super::claim_bins::ends;
use super::classes::Classes;
use super::evidence::Evidence;
use super::groups::FitGroups;
use super::scales::{self, Field};
use crate::normalise::claim::Value;
use crate::normalise::offer::Offer;
use crate::trade::interval::Interval;
use std::collections::BTreeMap;

/// Products of a class that must show a displacement beside the product itself: less is a slip.
const OTHERS: f32 = 0.05;
/// Products that state a displacement up to which a class has no others.
const FEW: f32 = 2.0;

/// Displacements served, as the lists write them: those that others of the class show too, all where there are no others.
pub fn displacement_band(
    fit: &FitGroups,
    offers: &[Offer],
    class: Option<u32>,
    members: &[&Evidence],
) -> Option<Interval> {
    let mut bins = vec![0.0f32; Field::Displacement.bins()];
    for member in members {
        let readings = &member.fields[Field::Displacement as usize];
        for reading in readings {
            let each = 1.0 / (readings.len() * reading.values.len()) as f32;
            for v in &reading.values {
                if class.is_none_or(|k| others_show(&fit.classes, k, *v, member)) {
                    bins[*v as usize] += each;
                }
            }
        }
    }
    let total: f32 = bins.iter().sum();
    if total <= 0.0 {
        return None;
    }
    let at = |share: f32| {
        let mut sum = 0.0;
        bins.iter().position(|b| {
            sum += b;
            sum >= share * total
        })
    };
    let (low, high) = (at(0.03)?, at(0.97).unwrap_or(bins.len() - 1));
    let written = |bin: usize| figure_in(offers, members, bin).unwrap_or_else(|| scales::displacement_of(bin));
    Some(Interval::between(written(low).round(), written(high).round()))
}

/// The figure of a bin of displacements that most lines write, the smallest of several, cc.
fn figure_in(offers: &[Offer], members: &[&Evidence], bin: usize) -> Option<f64> {
    let readings = members.iter().flat_map(|m| &m.fields[Field::Displacement as usize]);
    let mut written: BTreeMap<u64, usize> = BTreeMap::new();
    for reading in readings.filter(|r| r.values.contains(&(bin as u32))) {
        let claim = offers[reading.offer as usize].claims.get(reading.claim as usize);
        let Some(Value::Served(list) | Value::OneOf(list)) = claim.map(|claim| &claim.value) else {
            continue;
        };
        let here = ends(list, Some).into_iter();
        for cc in here.filter(|cc| scales::displacement_bin(*cc) == Some(bin as u32)) {
            *written.entry(cc.round() as u64).or_default() += 1;
        }
    }
    let most = written.iter().max_by(|x, y| x.1.cmp(y.1).then(y.0.cmp(x.0)));
    most.map(|(cc, _)| *cc as f64)
}

/// Whether a class shows a displacement without what the product itself says.
fn others_show(classes: &Classes, class: u32, bin: u32, product: &Evidence) -> bool {
    let class = &classes.list[class as usize];
    let readings = &product.fields[Field::Displacement as usize];
    let each = classes.kernel_peak[Field::Displacement as usize] / (readings.len() as f32).sqrt();
    let holding = readings.iter().filter(|r| r.values.contains(&bin));
    let own: f32 = holding.map(|r| each / r.values.len() as f32).sum();
    class.total[Field::Displacement as usize] <= FEW || class.bins(Field::Displacement)[bin as usize] - own >= OTHERS
}
