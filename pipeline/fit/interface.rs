//! How likely a product's stated interface is under each variant of its class, one error event included.
//!
//! A circle or a hole count may be wrong, at the rate of all claims ([`ERROR`]). Where both are, it is mostly one error:
//! who miscounts the holes also converts the hole distance wrongly, and who takes a figure from another line takes both.
//! A wrong circle is mostly one of another class (`elsewhere`). Against this stands the variant that nobody has described:
//! its circle may be any, its hole count mostly the usual one.

use super::elsewhere::{ANYWHERE_MM, Elsewhere};
use super::ratios::ERROR;
use super::stated::Stated;
use super::variants::Variant;
use crate::trade::bolt_pattern::{RULER_MM, circle_from_chord};

/// Share of products assumed to be of a variant nobody has described.
const UNSEEN: f64 = 0.01;
/// Of such products, those that have the usual hole count, and those that have any one other. Values from memory.
const UNSEEN_SAME_HOLES: f64 = 0.7;
const UNSEEN_OTHER_HOLES: f64 = 0.1;
/// Share of the errors that spoil both circle and hole count. A value from memory.
const BOTH: f64 = 0.25;
/// Share of the circles that are listed as hole distances. A value from memory.
const CHORDS: f64 = 0.4;
/// Probability of one hole count when any may be meant.
const ANY_HOLES: f64 = 0.2;

/// Probability of each variant for a product; what is missing to 1 is a variant nobody described.
pub(super) fn posterior(s: &Stated, variants: &[Variant], elsewhere: &Elsewhere) -> Vec<f64> {
    weighed(s, variants, &[], elsewhere)
}

/// The same, each variant multiplied by what the product shows beside its interface; `leaning` are log ratios.
pub(super) fn weighed(s: &Stated, variants: &[Variant], leaning: &[f64], elsewhere: &Elsewhere) -> Vec<f64> {
    let mut weight = weights(s, variants, leaning, elsewhere);
    let sum: f64 = weight.iter().sum::<f64>() + unseen(s, variants.first());
    weight.iter_mut().for_each(|w| *w /= sum);
    weight
}

/// How much the circle and the hole count of a product move the natural log odds of one of the variants, each: the mean of
/// coming first and coming second, so that together they make up what both do.
pub(super) fn weights_of(s: &Stated, variants: &[Variant], variant: usize, elsewhere: &Elsewhere) -> [f32; 2] {
    let odds = |s: &Stated| {
        let p = posterior(s, variants, elsewhere).get(variant).copied().unwrap_or(1.0);
        (p.max(1e-9) / (1.0 - p).max(1e-9)).ln()
    };
    let circle = Stated { holes: None, ..*s };
    let holes = Stated { circle_mm: None, ..*s };
    let nothing = Stated { holes: None, ..holes };
    let [both, circle, holes, nothing] = [s, &circle, &holes, &nothing].map(odds);
    let mean = |first: f64, second: f64| ((first + second) / 2.0) as f32;
    [
        mean(both - holes, circle - nothing),
        mean(both - circle, holes - nothing),
    ]
}

/// Chance of what a product states, whatever its variant.
pub(super) fn total(s: &Stated, variants: &[Variant], elsewhere: &Elsewhere) -> f64 {
    weights(s, variants, &[], elsewhere).iter().sum::<f64>() + unseen(s, variants.first())
}

fn weights(s: &Stated, variants: &[Variant], leaning: &[f64], elsewhere: &Elsewhere) -> Vec<f64> {
    let total: f64 = variants.iter().map(|v| v.products).sum();
    let n = variants.len() as f64;
    let wrong_mm = s.circle_mm.map_or(1.0, |mm| elsewhere.density(mm));
    let weighed = |(i, v): (usize, &Variant)| {
        let first = if i == 0 { 1.0 } else { 0.05 };
        let prior = (v.products + first) / (total + 1.0 + 0.05 * (n - 1.0));
        prior * chance(s, v, wrong_mm) * leaning.get(i).map_or(1.0, |l| l.exp())
    };
    variants.iter().enumerate().map(weighed).collect()
}

/// Chance of what a product states, were it of a variant nobody described.
fn unseen(s: &Stated, common: Option<&Variant>) -> f64 {
    let usual = common.and_then(|v| v.holes);
    let holes = s.holes.map_or(1.0, |holes| match usual {
        Some(usual) if usual != holes => UNSEEN_OTHER_HOLES,
        _ => UNSEEN_SAME_HOLES,
    });
    UNSEEN * s.circle_mm.map_or(1.0, |_| 1.0 / ANYWHERE_MM) * holes
}

/// Chance of what a product states under a variant; `wrong_mm` is the density of wrong circles there.
fn chance(s: &Stated, v: &Variant, wrong_mm: f64) -> f64 {
    let wrong = |lines: usize| ERROR.powf((lines.max(1) as f64).sqrt());
    let circle = s.circle_mm.map(|x| match v.circle_mm {
        Some(y) => (near(x - y), wrong(s.circle_lines)),
        None => (1.0 / ANYWHERE_MM, 0.0),
    });
    let holes = s.holes.map(|x| match v.holes {
        Some(y) => (f64::from(u8::from(x == y)), wrong(s.hole_lines)),
        None => (ANY_HOLES, 0.0),
    });
    match (circle, holes) {
        (Some((circle, off)), Some((holes, miscounted))) => {
            let apart = ((1.0 - off) * circle + off * wrong_mm) * ((1.0 - miscounted) * holes + miscounted * ANY_HOLES);
            let converted: f64 = recounted(s, v).iter().map(|x| CHORDS * near(*x)).sum();
            apart + off.min(miscounted) * ANY_HOLES * (BOTH * wrong_mm + converted)
        }
        (Some((circle, off)), None) => (1.0 - off) * circle + off * wrong_mm,
        (None, Some((holes, miscounted))) => (1.0 - miscounted) * holes + miscounted * ANY_HOLES,
        (None, None) => 1.0,
    }
}

/// How far the circle that a product states would be off that of a variant, mm, had it been converted from a hole distance
/// by the wrong count, or been that distance itself.
fn recounted(s: &Stated, v: &Variant) -> Vec<f64> {
    match (s.circle_mm, s.holes, v.circle_mm, v.holes) {
        (Some(x), Some(counted), Some(y), Some(count)) if counted != count && counted.min(count) >= 2 => {
            let distance = x / circle_from_chord(counted, 1.0);
            [distance, x].map(|chord| circle_from_chord(count, chord) - y).to_vec()
        }
        _ => Vec::new(),
    }
}

/// Density of a listed circle so far off the true one, 1/mm.
fn near(off_mm: f64) -> f64 {
    (-0.5 * (off_mm / RULER_MM).powi(2)).exp() / (RULER_MM * (2.0 * std::f64::consts::PI).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    const COMMON: Variant = Variant {
        circle_mm: Some(118.0),
        holes: Some(3),
        products: 100.0,
    };

    /// Probability of the common variant for a product of one line.
    fn common(circle_mm: Option<f64>, holes: Option<u8>) -> f64 {
        let said = Stated {
            circle_mm,
            circle_lines: usize::from(circle_mm.is_some()),
            holes,
            hole_lines: usize::from(holes.is_some()),
            ..Stated::default()
        };
        let elsewhere = Elsewhere::stating(&[(102.5, 60.0), (140.0, 140.0)]);
        posterior(&said, &[COMMON], &elsewhere)[0]
    }

    #[test]
    fn one_wrong_claim_is_a_doubt_and_no_more() {
        assert!(
            (0.8..0.95).contains(&common(None, Some(4))),
            "{}",
            common(None, Some(4))
        );
        assert!(common(Some(118.4), Some(4)) > 0.95);
        assert!(
            (0.85..0.99).contains(&common(Some(102.5), Some(3))),
            "{}",
            common(Some(102.5), Some(3))
        );
    }

    #[test]
    fn a_miscount_that_spoils_the_circle_too_is_one_error() {
        let both = common(Some(140.0), Some(5));
        assert!(both > 0.8 && both < common(Some(140.0), Some(3)), "{both}");
    }

    #[test]
    fn what_is_shown_of_a_contradicting_count_is_what_it_costs() {
        let said = Stated {
            circle_mm: Some(118.0),
            circle_lines: 1,
            holes: Some(4),
            hole_lines: 1,
            ..Stated::default()
        };
        let [circle, holes] = weights_of(&said, &[COMMON], 0, &Elsewhere::unknown());
        assert!(circle > 1.0 && holes < -1.0, "{circle} {holes}");
    }

    #[test]
    fn a_hole_distance_converted_by_a_wrong_count_is_one_error_wherever_its_circle_falls() {
        // chord 102.2 mm is the circle 118 of three holes, 144.5 of four
        let four = 118.0 * circle_from_chord(4, 1.0) / circle_from_chord(3, 1.0);
        assert!(common(Some(four), Some(4)) > common(Some(four + 8.0), Some(4)) + 0.2);
        assert!(common(Some(four), Some(4)) > 0.9);
    }

    #[test]
    fn a_circle_that_no_other_class_has_is_the_greater_doubt() {
        assert!(common(Some(75.0), Some(3)) < common(Some(102.5), Some(3)) - 0.2);
    }
}
