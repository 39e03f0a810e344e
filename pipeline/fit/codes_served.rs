//! Engine codes that a group serves: those of which its class holds most.

use super::classes::Classes;
use super::evidence::Evidence;
use super::groups::FitGroups;
use super::scales::Field;
use compact_str::CompactString;

/// Codes listed of a group.
const MOST_CODES: usize = 14;
/// Share of a code's sightings that must fall into a class before the class is said to serve it.
const SERVED: f32 = 0.5;
/// Products that must name a code before a class is said to serve it: one alone may have misread a number.
const SEVERAL: u32 = 2;

/// Codes a group serves, most named first.
pub(super) fn codes_served(
    fit: &FitGroups,
    class: Option<u32>,
    members: &[&Evidence],
    of_classes: &[Vec<NamedCode>],
) -> Vec<CompactString> {
    let mut mass: Vec<(u32, f32)> = match class {
        Some(class) => of_class(&of_classes[class as usize]),
        None => members
            .iter()
            .flat_map(|m| &m.fields[Field::Code as usize])
            .flat_map(|r| r.values.iter())
            .map(|v| (*v, 1.0))
            .collect(),
    };
    mass.sort_unstable_by(|x, y| y.1.total_cmp(&x.1).then_with(|| text(fit, x.0).cmp(text(fit, y.0))));
    mass.dedup_by_key(|m| m.0);
    mass.truncate(MOST_CODES);
    mass.iter().map(|m| text(fit, m.0).clone()).collect()
}

/// A code that products of a class name.
#[derive(Clone, Copy, Debug)]
pub(super) struct NamedCode {
    code: u32,
    /// mass of the code in the class, and in all classes
    here: f32,
    total: f32,
    /// products that name it, in whatever class
    products: u32,
}

/// Codes named in each class, ascending.
pub(super) fn codes_of_classes(classes: &Classes, evidence: &[Evidence]) -> Vec<Vec<NamedCode>> {
    let mut of_classes = vec![Vec::new(); classes.list.len()];
    let mut products = vec![0u32; classes.codes.len()];
    for readings in evidence.iter().map(|product| &product.fields[Field::Code as usize]) {
        let mut named: Vec<u32> = readings.iter().flat_map(|r| r.values.iter().copied()).collect();
        named.sort_unstable();
        named.dedup();
        named.iter().for_each(|code| products[*code as usize] += 1);
    }
    for ((list, products), code) in classes.codes.iter().zip(products).zip(0..) {
        let total: f32 = list.iter().map(|c| c.1).sum();
        for &(class, here) in list {
            of_classes[class as usize].push(NamedCode {
                code,
                here,
                total,
                products,
            });
        }
    }
    of_classes
}

/// Codes of which the class holds most, named by several products where there are such; a class without any (a rare
/// variant) has those it names itself.
fn of_class(codes: &[NamedCode]) -> Vec<(u32, f32)> {
    let named = |share: f32| -> Vec<(u32, f32)> {
        let held = codes.iter().filter(|c| c.here >= share * c.total && c.here >= 0.5);
        let (several, one): (Vec<&NamedCode>, Vec<&NamedCode>) = held.partition(|c| c.products >= SEVERAL);
        let best = if several.is_empty() { one } else { several };
        best.into_iter().map(|c| (c.code, c.here)).collect()
    };
    let own = named(SERVED);
    if !own.is_empty() {
        return own;
    }
    let all = named(0.0);
    let most = all.iter().map(|c| c.1).fold(0.0, f32::max);
    all.into_iter().filter(|c| c.1 >= 0.25 * most).collect()
}

fn text(fit: &FitGroups, code: u32) -> &CompactString {
    &fit.keys.codes.texts[code as usize]
}
