//! What one product says of its interface, and whether a circle that several products may mean is settled.

use super::classes::{Class, Classes};
use super::evidence::{Evidence, Reading};
use super::scales::{self, Field};
use super::variants::limit_mm;
use crate::trade::bolt_pattern::RULER_MM;

/// What one product says of its interface.
#[derive(Clone, Copy, Debug, Default)]
pub struct Stated {
    /// median of the stated circles in mm
    pub circle_mm: Option<f64>,
    /// lines behind the circle
    pub circle_lines: usize,
    /// lists behind the circle: a bit for each, by its number modulo 64
    pub circle_lists: u64,
    /// most frequent hole count
    pub holes: Option<u8>,
    /// lines behind the hole count
    pub hole_lines: usize,
    /// lists behind the hole count
    pub hole_lists: u64,
}

/// How a product is read: what is known of its class, the number of each offer's list, and the circle and hole count
/// that are usual in its class and kind.
#[derive(Clone, Copy, Default)]
pub struct Light<'a> {
    /// the product's class
    pub class: Option<(&'a Class, &'a Classes)>,
    /// list of each offer; without it all lines are of one list
    pub lists: &'a [u32],
    /// usual bolt circle in mm
    pub circle_mm: Option<f64>,
    /// usual hole count
    pub holes: Option<u8>,
}

/// Reads the interface a product states: of several values that one reading may mean the one its class knows best, of
/// several readings the usual interface where one states it, else their median.
pub fn stated(product: &Evidence, light: Light<'_>) -> Stated {
    let bit = |offer: u32| 1u64 << (light.lists.get(offer as usize).copied().unwrap_or(0) % 64);
    let mut circles: Vec<(f64, u64)> = product.fields[Field::Circle as usize]
        .iter()
        .filter_map(|reading| Some((reading.offer, best_value(reading, light.class)?)))
        .map(|(offer, bin)| (scales::circle_of(bin as usize), bit(offer)))
        .collect();
    circles.sort_unstable_by(|x, y| x.0.total_cmp(&y.0));
    let usual = |circle: &&(f64, u64)| light.circle_mm.is_some_and(|mm| (circle.0 - mm).abs() <= limit_mm());
    let as_usual: Vec<&(f64, u64)> = circles.iter().filter(usual).collect();
    let middle = match as_usual.len() {
        0 => circles.get(circles.len().saturating_sub(1) / 2),
        many => as_usual.get((many - 1) / 2).copied(),
    };
    let circle_mm = middle.map(|middle| middle.0);
    let behind = |circle: &&(f64, u64)| circle_mm.is_some_and(|mm| (circle.0 - mm).abs() <= 2.0 * RULER_MM);
    let (mut counts, mut lists) = ([0usize; 16], [0u64; 16]);
    for reading in &product.fields[Field::Holes as usize] {
        for v in &reading.values {
            let count = *v as usize % Field::Holes.bins_per_kind();
            counts[count] += 1;
            lists[count] |= bit(reading.offer);
        }
    }
    let usual = light
        .holes
        .map(usize::from)
        .filter(|h| counts.get(*h).is_some_and(|n| *n > 0));
    let most = (1..counts.len())
        .filter(|h| counts[*h] > 0)
        .max_by_key(|h| (counts[*h], usize::MAX - h));
    let holes = usual.or(most);
    Stated {
        circle_mm,
        circle_lines: circles.iter().filter(behind).count(),
        circle_lists: circles.iter().filter(behind).fold(0, |lists, circle| lists | circle.1),
        holes: holes.map(|h| h as u8),
        hole_lines: holes.map_or(0, |h| counts[h]),
        hole_lists: holes.map_or(0, |h| lists[h]),
    }
}

fn best_value(reading: &Reading, class: Option<(&Class, &Classes)>) -> Option<u32> {
    let weight = |v: u32| class.map_or(0.0, |(c, _)| c.bins(Field::Circle)[v as usize]);
    reading
        .values
        .iter()
        .copied()
        .max_by(|x, y| weight(*x).total_cmp(&weight(*y)).then(y.cmp(x)))
}

/// Whether two products state interfaces that differ: other hole counts, or circles of which none that the one may mean is
/// one that the other may mean.
pub(super) fn differ(a: &Evidence, b: &Evidence, limit_mm: f64) -> bool {
    let values = |product: &Evidence, field: Field| -> Vec<u32> {
        let readings = &product.fields[field as usize];
        readings.iter().flat_map(|r| r.values.iter().copied()).collect()
    };
    let apart = |field: Field, alike: &dyn Fn(u32, u32) -> bool| {
        let (x, y) = (values(a, field), values(b, field));
        !x.is_empty() && !y.is_empty() && !x.iter().any(|x| y.iter().any(|y| alike(*x, *y)))
    };
    let near = |x: u32, y: u32| (scales::circle_of(x as usize) - scales::circle_of(y as usize)).abs() <= limit_mm;
    a.kind == b.kind && (apart(Field::Circle, &near) || apart(Field::Holes, &|x, y| x == y))
}

/// Whether the readings that may mean a circle leave no other one that all of them may mean as well: lists that name a hole
/// distance and no circle ("102 mm") leave it open, however many they are.
pub(super) fn settles(members: &[&Evidence], circle_mm: f64) -> bool {
    let near = |bin: u32, mm: f64| (scales::circle_of(bin as usize) - mm).abs() <= 2.0 * RULER_MM;
    let means = |reading: &&Reading, mm: f64| reading.values.iter().any(|bin| near(*bin, mm));
    let readings = members.iter().flat_map(|m| &m.fields[Field::Circle as usize]);
    let holding: Vec<&Reading> = readings.filter(|r| means(r, circle_mm)).collect();
    let Some(first) = holding.first() else { return true };
    let mut others = first.values.iter().filter(|bin| !near(**bin, circle_mm));
    !others.any(|bin| holding.iter().all(|r| means(r, scales::circle_of(*bin as usize))))
}

#[cfg(test)]
mod tests {
    use super::super::evidence::Meant;
    use super::super::test_products::silent;
    use super::*;

    fn product(circles: &[&[f64]]) -> Evidence {
        let mut evidence = silent();
        let bins = |circles: &[f64]| circles.iter().filter_map(|mm| scales::circle_bin(*mm, 0)).collect();
        evidence.fields[Field::Circle as usize] = circles
            .iter()
            .map(|circles| Reading {
                offer: 0,
                claim: 0,
                meant: Meant::One,
                values: bins(circles),
            })
            .collect();
        evidence
    }

    #[test]
    fn an_unnamed_distance_leaves_the_circle_open_however_many_lists_give_it() {
        let open = product(&[&[102.0, 117.8], &[102.5, 118.3]]);
        let again = product(&[&[102.0, 117.8]]);
        assert!(!settles(&[&open, &again], 118.0));
        assert!(!settles(&[&open, &again], 102.0));
    }

    #[test]
    fn of_several_circles_a_product_states_the_usual_one_counts() {
        let all = product(&[&[118.3], &[131.0], &[131.0]]);
        let read = |usual: Option<f64>| {
            let light = Light {
                lists: &[0],
                circle_mm: usual,
                ..Light::default()
            };
            stated(&all, light)
        };
        assert_eq!((read(None).circle_lines, read(None).circle_mm), (2, Some(131.25)));
        assert_eq!(
            (read(Some(118.0)).circle_lines, read(Some(118.0)).circle_mm),
            (1, Some(118.25))
        );
        assert_eq!(read(Some(140.0)).circle_mm, Some(131.25), "none of them is usual");
    }

    #[test]
    fn circles_differ_only_where_no_meaning_of_both_agrees() {
        let (open, named, other) = (product(&[&[102.0, 117.8]]), product(&[&[118.0]]), product(&[&[124.5]]));
        assert!(!differ(&open, &named, 2.2));
        assert!(differ(&named, &other, 2.2));
        assert!(!differ(&named, &product(&[]), 2.2), "silence contradicts nothing");
    }

    #[test]
    fn one_named_circle_settles_what_others_leave_open() {
        let (open, named) = (product(&[&[102.0, 117.8]]), product(&[&[118.0]]));
        assert!(settles(&[&open, &named], 118.0));
        assert!(settles(&[&named], 118.0));
    }
}
