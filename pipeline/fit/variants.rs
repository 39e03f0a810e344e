//! Rare variants: another bolt circle or hole count inside a class is a group of its own.
//!
//! Inside one class and part kind most products share an interface. A product whose stated bolt
//! circle lies off the common one by more than the clearance of the holes plus the roundings, or
//! whose hole count differs, and that at least two lines say so, founds a *variant*. One line alone
//! may be a slip: the product stays, and the doubt goes into its probability (`variant_odds`).
//!
//! Two circles agree within H - F of the fixed-fastener rule (ASME Y14.5 appendix B): 0.6 mm for M6
//! in a medium hole of ISO 273, and what two rulers add, 0.8 mm each.

use super::ratios::ERROR;
use super::stated::Stated;
use super::variant_odds::posterior;
use crate::trade::bolt_pattern::{RULER_MM, usual_position_limit_mm};

/// Lines that must agree before a variant is founded.
const LEAST_LINES: usize = 2;
/// Width over which a wrong circle may fall, mm.
pub(super) const ANYWHERE_MM: f64 = 150.0;

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
pub fn find(stated: &[Stated]) -> Vec<Variant> {
    let common_circle = median(stated.iter().filter_map(|s| s.circle_mm).collect());
    let common_holes = most_frequent(stated.iter().filter_map(|s| s.holes));
    let common = Variant {
        circle_mm: common_circle,
        holes: common_holes,
        products: 0.0,
    };
    let mut variants = vec![common];
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
    let chance = Chance::of(stated, &variants[0]);
    for cluster in clusters {
        let lines: usize = cluster.iter().map(|s| lines_off(s, &variants[0])).sum();
        let circle_off = cluster.iter().any(|s| circle_off(s, &variants[0]));
        if lines >= LEAST_LINES && lines as f64 > chance.limit(circle_off) {
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
        let best = posterior(s, &variants);
        for (v, p) in best.iter().enumerate() {
            variants[v].products += p;
        }
    }
    variants
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

/// How many lines slips alone would bring together. In a large class a few per cent of wrong figures
/// are many lines, and some of them fall side by side.
struct Chance {
    circles_off: f64,
    holes_said: f64,
}

impl Chance {
    fn of(stated: &[Stated], common: &Variant) -> Chance {
        let off = stated
            .iter()
            .filter(|s| circle_off(s, common))
            .map(|s| s.circle_lines)
            .sum::<usize>();
        let said = stated.iter().map(|s| s.hole_lines).sum::<usize>();
        Chance {
            circles_off: off as f64,
            holes_said: said as f64,
        }
    }

    /// Expected lines of slips in one window, and three standard deviations of a Poisson count above.
    fn limit(&self, circle: bool) -> f64 {
        let expected = if circle {
            self.circles_off * 2.0 * limit_mm() / ANYWHERE_MM
        } else {
            self.holes_said * ERROR
        };
        expected + 3.0 * expected.sqrt()
    }
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
mod tests {
    use super::*;

    fn says(circle: f64, lines: usize) -> Stated {
        Stated {
            circle_mm: Some(circle),
            circle_lines: lines,
            holes: Some(3),
            hole_lines: lines,
        }
    }

    #[test]
    fn roundings_do_not_found_a_variant() {
        assert_eq!(
            find(&[says(118.0, 3), says(118.6, 1), says(117.5, 2), says(119.5, 2)]).len(),
            1
        );
    }

    #[test]
    fn another_circle_on_two_lines_is_a_variant() {
        let variants = find(&[says(118.0, 3), says(118.2, 3), says(118.0, 1), says(131.0, 2)]);
        assert_eq!(variants.len(), 2);
        assert!(variants[1].circle_mm.is_some_and(|c| (c - 131.0).abs() < 0.1));
    }

    #[test]
    fn another_circle_on_one_line_is_doubt_not_a_variant() {
        let all = [says(118.0, 3), says(118.2, 3), says(118.0, 1), says(131.0, 1)];
        let variants = find(&all);
        assert_eq!(variants.len(), 1);
        assert!(posterior(&all[3], &variants)[0] < 0.85);
        assert!(posterior(&all[0], &variants)[0] > 0.98);
    }

    #[test]
    fn slips_of_a_large_class_that_fall_side_by_side_found_no_variant() {
        let mut all = vec![says(118.0, 2); 1000];
        all.extend((0..40).map(|i| says(50.0 + 4.0 * f64::from(i), 1)));
        all.extend([says(131.0, 1), says(131.4, 1), says(132.0, 1)]);
        assert_eq!(find(&all).len(), 1, "{:?}", find(&all));
        all.extend(vec![says(126.0, 2); 12]);
        assert_eq!(find(&all).len(), 2);
    }

    #[test]
    fn another_hole_count_is_never_the_same_group() {
        let mut four = says(118.0, 2);
        four.holes = Some(4);
        assert_eq!(find(&[says(118.0, 3), says(118.0, 2), four]).len(), 2);
    }

    #[test]
    fn lines_that_count_the_holes_and_lines_that_do_not_found_one_variant() {
        let mut uncounted = says(124.5, 2);
        (uncounted.holes, uncounted.hole_lines) = (None, 0);
        let all = [
            says(118.0, 3),
            says(118.0, 3),
            says(118.0, 3),
            says(124.5, 2),
            uncounted,
        ];
        assert_eq!(find(&all).len(), 2, "{:?}", find(&all));
    }

    #[test]
    fn figures_of_one_circle_that_scatter_found_one_variant_whatever_lies_below_them() {
        let mut all = vec![says(118.0, 3); 60];
        all.push(says(122.4, 1));
        all.extend([123.8, 124.2, 124.5, 124.5, 124.7, 125.0, 125.4].map(|circle| says(circle, 2)));
        let variants = find(&all);
        assert_eq!(variants.len(), 2, "{variants:?}");
        assert!(posterior(&says(124.5, 2), &variants)[1] > 0.9);
    }

    #[test]
    fn a_silent_product_is_most_likely_the_common_one() {
        let variants = find(&[says(118.0, 3), says(118.0, 3), says(118.0, 2), says(131.0, 2)]);
        let p = posterior(&Stated::default(), &variants);
        assert!(p[0] > 0.6 && p[0] < 0.9, "{p:?}");
    }
}
