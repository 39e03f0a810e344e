//! Rare variants: another bolt circle or hole count inside a class is a group of its own.
//!
//! Inside one class and part kind most products share an interface. Products whose stated bolt circle lies off the common
//! one by more than the clearance of the holes plus the roundings, or whose hole count differs, found a *variant*, when
//! lines of two lists at least say so and slips alone would hardly bring so many lines together. A product of which
//! another line states the common interface founds none. Else it may be a slip: the product stays, and the doubt goes
//! into its probability (`interface`).
//!
//! Two circles agree within H - F of the fixed-fastener rule (ASME Y14.5 appendix B): 0.6 mm for M6
//! in a medium hole of ISO 273, and what two rulers add, 0.8 mm each.

use super::elsewhere::Elsewhere;
use super::interface::{posterior, weighed};
use super::leanings::Leanings;
use super::ratios::ERROR;
use super::stated::Stated;
use crate::trade::bolt_pattern::{RULER_MM, usual_position_limit_mm};

/// Lists that must agree before a variant is founded.
const LEAST_LISTS: u32 = 2;
/// Probability that slips alone bring so many lines together, above which no variant is founded.
const BY_CHANCE: f64 = 0.005;

/// One interface inside a class and kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Variant {
    /// bolt circle in mm, when stated
    pub circle_mm: Option<f64>,
    /// hole count, when stated
    pub holes: Option<u8>,
    /// products that show it, the silent ones counted to the common variant
    pub products: f64,
}

/// Finds the variants among the products of one class and kind; the first is the common one.
pub(super) fn find(stated: &[Stated], elsewhere: &Elsewhere) -> Vec<Variant> {
    let mut variants = vec![common(stated)];
    let (common_circle, common_holes) = (variants[0].circle_mm, variants[0].holes);
    let whole = |s: &Stated| Stated {
        circle_mm: s.circle_mm.or(common_circle),
        holes: s.holes.or(common_holes),
        ..*s
    };
    let off = stated
        .iter()
        .filter(|s| lines_off(s, &variants[0]) > 0)
        .map(whole)
        .collect();
    let clusters = gathered(off, &variants[0]);
    let chance = Chance::of(stated, &variants[0], elsewhere);
    for cluster in clusters {
        let lists = cluster
            .iter()
            .map(|s| lists_off(s, &variants[0]))
            .fold(0, |all, some| all | some);
        if lists.count_ones() >= LEAST_LISTS && chance.of_cluster(&cluster, &variants[0]) < BY_CHANCE {
            let circle_mm = median(cluster.iter().filter_map(|s| s.circle_mm).collect()).or(common_circle);
            let holes = most_frequent(cluster.iter().filter_map(|s| s.holes)).or(common_holes);
            variants.push(Variant {
                circle_mm,
                holes,
                products: 0.0,
            });
        }
    }
    for s in stated {
        let best = posterior(s, &variants, elsewhere);
        for (v, p) in best.iter().enumerate() {
            variants[v].products += p;
        }
    }
    variants
}

/// The interface that most products of a class and kind share.
pub(super) fn common(stated: &[Stated]) -> Variant {
    Variant {
        circle_mm: median(stated.iter().filter_map(|s| s.circle_mm).collect()),
        holes: most_frequent(stated.iter().filter_map(|s| s.holes)),
        products: 0.0,
    }
}

/// Interfaces off the common one, gathered by hole count and circle, the circle that most lines state first: it takes
/// everything that roundings put beside it, so that no tail of it founds a second.
fn gathered(mut off: Vec<Stated>, common: &Variant) -> Vec<Vec<Stated>> {
    let circle = |s: &Stated| s.circle_mm.unwrap_or(0.0);
    let limit = limit_mm();
    off.sort_by(|x, y| x.holes.cmp(&y.holes).then(circle(x).total_cmp(&circle(y))));
    let mut clusters = Vec::new();
    while !off.is_empty() {
        let window = |from: usize| -> &[Stated] {
            let first = &off[from];
            let beyond = |s: &Stated| s.holes != first.holes || circle(s) - circle(first) > limit;
            let until = off[from..].iter().position(beyond).unwrap_or(off.len() - from);
            &off[from..from + until]
        };
        let lines = |from: usize| -> usize { window(from).iter().map(|s| lines_off(s, common)).sum() };
        let densest = (0..off.len()).max_by_key(|from| (lines(*from), off.len() - from));
        let found: Vec<f64> = densest.into_iter().flat_map(window).map(circle).collect();
        let holes = densest.and_then(|from| off[from].holes);
        let middle = median(found).unwrap_or(0.0);
        let (cluster, rest) = off
            .into_iter()
            .partition(|s| s.holes == holes && (circle(s) - middle).abs() <= limit);
        clusters.push(cluster);
        off = rest;
    }
    clusters
}

/// Turns of judging and learning what the variants show beside their interface.
const TURNS: usize = 4;

/// Probability of each variant by product, from the interface it states and from what it shows beside.
pub(super) fn judge(
    stated: &[Stated],
    variants: &mut [Variant],
    mut beside: Leanings,
    elsewhere: &Elsewhere,
) -> Vec<Vec<f64>> {
    let mut posteriors: Vec<Vec<f64>> = stated.iter().map(|s| posterior(s, variants, elsewhere)).collect();
    if variants.len() < 2 {
        return posteriors;
    }
    for _ in 0..TURNS {
        beside.learn(&posteriors, variants.len());
        for (at, s) in stated.iter().enumerate() {
            let leaning = beside.of_product(at, &posteriors[at]);
            posteriors[at] = weighed(s, variants, &leaning, elsewhere);
        }
        for (v, variant) in variants.iter_mut().enumerate() {
            variant.products = posteriors.iter().map(|p| p[v]).sum();
        }
    }
    posteriors
}

/// How likely slips alone bring lines together. In a large class a few per cent of wrong figures are many lines, and some
/// of them fall side by side.
struct Chance<'a> {
    circles_off: usize,
    circles_said: usize,
    holes_said: usize,
    elsewhere: &'a Elsewhere,
}

impl<'a> Chance<'a> {
    fn of(stated: &[Stated], common: &Variant, elsewhere: &'a Elsewhere) -> Chance<'a> {
        let off = stated.iter().filter(|s| circle_off(s, common));
        Chance {
            circles_off: off.map(|s| s.circle_lines).sum(),
            circles_said: stated.iter().map(|s| s.circle_lines).sum(),
            holes_said: stated.iter().map(|s| s.hole_lines).sum(),
            elsewhere,
        }
    }

    /// Probability of as many lines as a cluster has, were all of them slips.
    fn of_cluster(&self, cluster: &[Stated], common: &Variant) -> f64 {
        let lines: usize = cluster.iter().map(|s| lines_off(s, common)).sum();
        let off: Vec<&Stated> = cluster.iter().filter(|s| circle_off(s, common)).collect();
        let expected = match median(off.iter().filter_map(|s| s.circle_mm).collect()) {
            Some(middle) => {
                let others = self.circles_off - off.iter().map(|s| s.circle_lines).sum::<usize>();
                let slips = (others as f64).max(ERROR * self.circles_said as f64);
                slips * self.elsewhere.share(middle, limit_mm())
            }
            None => self.holes_said as f64 * ERROR,
        };
        at_least(lines, expected)
    }
}

/// Probability of a Poisson count of `least` or more.
fn at_least(least: usize, expected: f64) -> f64 {
    let mut term = (-expected).exp();
    let mut below = 0.0;
    for n in 0..least {
        below += term;
        term *= expected / (n as f64 + 1.0);
    }
    (1.0 - below).max(0.0)
}

/// Whether two interfaces differ as far as both are known; two of which nothing common is known do.
pub(super) fn is_off(a: &Variant, b: &Variant) -> bool {
    let circles = a.circle_mm.zip(b.circle_mm).map(|(x, y)| (x - y).abs() > limit_mm());
    let holes = a.holes.zip(b.holes).map(|(x, y)| x != y);
    circles.unwrap_or(true) || holes.unwrap_or(false)
}

fn circle_off(s: &Stated, variant: &Variant) -> bool {
    matches!((s.circle_mm, variant.circle_mm), (Some(x), Some(y)) if (x - y).abs() > limit_mm())
}

/// Lines that put a product off a variant.
fn lines_off(s: &Stated, variant: &Variant) -> usize {
    let circle = circle_off(s, variant);
    let holes = matches!((s.holes, variant.holes), (Some(x), Some(y)) if x != y);
    match (circle, holes) {
        (true, true) => s.circle_lines.max(s.hole_lines),
        (true, false) => s.circle_lines,
        (false, true) => s.hole_lines,
        (false, false) => 0,
    }
}

/// Lists, as [`Stated`] keeps them, that put a product off a variant.
fn lists_off(s: &Stated, variant: &Variant) -> u64 {
    let circle = if circle_off(s, variant) { s.circle_lists } else { 0 };
    let holes = matches!((s.holes, variant.holes), (Some(x), Some(y)) if x != y);
    circle | if holes { s.hole_lists } else { 0 }
}

/// Two circles further apart than this, mm, are two.
pub(super) fn limit_mm() -> f64 {
    usual_position_limit_mm() + 2.0 * RULER_MM
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_unstable_by(f64::total_cmp);
    (!values.is_empty()).then(|| values[(values.len() - 1) / 2])
}

fn most_frequent(values: impl Iterator<Item = u8>) -> Option<u8> {
    let mut counts = [0u32; 256];
    values.for_each(|v| counts[v as usize] += 1);
    (0..256usize)
        .filter(|v| counts[*v] > 0)
        .max_by_key(|v| (counts[*v], 256 - v))
        .map(|v| v as u8)
}

#[cfg(test)]
#[path = "variants_tests.rs"]
mod tests;
