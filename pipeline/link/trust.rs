//! How far each field counts beside the others.
//!
//! Fields that say the same thing twice would be counted twice, so each has a *trust* between 0 and 1, learned together by
//! a bounded logistic on the soft labels. Identifiers stand as they are: they do not say again what words say.

use super::compare::{ALL_FIELDS, Comparison, FIELDS, Field};
use super::logistic::logistic;
use super::weights::{Weights, level_is_missing};

/// Fields whose weight stands as it is.
const STANDING: [Field; 4] = [Field::Barcode, Field::Number, Field::Brand, Field::Kind];
/// Pairs of a path that the trusts are learned on.
const LEARN_ON: usize = 60_000;
const NEWTON_STEPS: usize = 10;
/// Strength of the pull towards trust 0.7, in pairs.
const PULL: f64 = 4.0;

/// Bounded logistic regression of the soft labels on the weights, an intercept beside them, a pull
/// towards trust 0.7. Newton steps; inside each, the quadratic is minimised by coordinates, which keeps
/// every trust in [0, 1].
pub(super) fn trust<'a>(
    pairs: impl Iterator<Item = (&'a Comparison, f64)> + Clone,
    weights: &Weights,
) -> ([f64; FIELDS], f64) {
    let step = (pairs.clone().count() / LEARN_ON).max(1);
    let rows: Vec<([f64; FIELDS], f64)> = pairs.step_by(step).map(|(c, y)| (features(c, weights), y)).collect();
    let mut trust = [0.7; FIELDS];
    // an identifier does not say again what words say
    for f in STANDING {
        trust[f as usize] = 1.0;
    }
    let mut intercept = weights.prior;
    let mut likelihood = agreement(&rows, &trust, intercept);
    for _ in 0..NEWTON_STEPS {
        let step = Slope::of(&rows, &trust, intercept).step(&trust);
        let Some(better) = shortened(&rows, &trust, intercept, &step, likelihood) else {
            break;
        };
        (trust, intercept, likelihood) = better;
    }
    let mean = rows.iter().map(|r| r.1).sum::<f64>() / rows.len().max(1) as f64;
    let mean = mean.clamp(1e-6, 1.0 - 1e-6);
    (trust, intercept - (mean / (1.0 - mean)).ln())
}

/// The longest of a few shortened steps that really improves the fit; a full Newton step may overshoot.
fn shortened(
    rows: &[([f64; FIELDS], f64)],
    trust: &[f64; FIELDS],
    intercept: f64,
    step: &[f64; FIELDS + 1],
    likelihood: f64,
) -> Option<([f64; FIELDS], f64, f64)> {
    for share in [1.0, 0.5, 0.25, 0.1] {
        let mut next = *trust;
        for f in 0..FIELDS {
            next[f] = (next[f] + share * step[f]).clamp(0.0, 1.0);
        }
        let offset = intercept + share * step[FIELDS];
        let reached = agreement(rows, &next, offset);
        if reached > likelihood + 1e-9 * likelihood.abs() {
            return Some((next, offset, reached));
        }
    }
    None
}

/// Log likelihood of the soft labels, less the pull.
fn agreement(rows: &[([f64; FIELDS], f64)], trust: &[f64; FIELDS], intercept: f64) -> f64 {
    let labels: f64 = rows
        .iter()
        .map(|(x, y)| {
            let s = intercept + dot(x, trust);
            // y ln p + (1 - y) ln(1 - p), written so that it never overflows
            y * s - s.max(0.0) - (-s.abs()).exp().ln_1p()
        })
        .sum();
    labels - PULL / 2.0 * trust.iter().map(|t| (t - 0.7).powi(2)).sum::<f64>()
}

/// Gradient and curvature of the log likelihood in the trusts and, last, the intercept.
struct Slope {
    gradient: [f64; FIELDS + 1],
    curvature: [[f64; FIELDS + 1]; FIELDS + 1],
}

impl Slope {
    fn of(rows: &[([f64; FIELDS], f64)], trust: &[f64; FIELDS], intercept: f64) -> Slope {
        let mut slope = Slope {
            gradient: [0.0; FIELDS + 1],
            curvature: [[0.0; FIELDS + 1]; FIELDS + 1],
        };
        let mut x = [1.0; FIELDS + 1];
        for (row, y) in rows {
            x[..FIELDS].copy_from_slice(row);
            let p = logistic(intercept + dot(row, trust));
            let bend = p * (1.0 - p);
            for i in 0..=FIELDS {
                slope.gradient[i] += (y - p) * x[i];
                let scaled = bend * x[i];
                for (bent, other) in slope.curvature[i][..=i].iter_mut().zip(&x) {
                    *bent += scaled * other;
                }
            }
        }
        for i in 0..=FIELDS {
            for j in i + 1..=FIELDS {
                slope.curvature[i][j] = slope.curvature[j][i];
            }
        }
        slope
    }

    /// The bounded step that maximises the quadratic; standing fields do not move.
    fn step(&self, trust: &[f64; FIELDS]) -> [f64; FIELDS + 1] {
        let mut step = [0.0; FIELDS + 1];
        for _ in 0..30 {
            for i in 0..=FIELDS {
                if i < FIELDS && STANDING.contains(&ALL_FIELDS[i]) {
                    continue;
                }
                let pull = if i < FIELDS { PULL } else { 0.0 };
                let bent: f64 = (0..=FIELDS).map(|j| self.curvature[i][j] * step[j]).sum();
                let mut slope = self.gradient[i] - bent;
                if i < FIELDS {
                    slope -= pull * (trust[i] + step[i] - 0.7);
                }
                let mut next = step[i] + slope / (self.curvature[i][i] + pull).max(1e-9);
                if i < FIELDS {
                    next = next.clamp(-trust[i], 1.0 - trust[i]);
                }
                step[i] = next;
            }
        }
        step
    }
}

fn features(c: &Comparison, weights: &Weights) -> [f64; FIELDS] {
    ALL_FIELDS.map(|f| {
        let level = c.levels[f as usize];
        if level_is_missing(level) {
            0.0
        } else {
            weights.weight[f as usize][level as usize]
        }
    })
}

fn dot(x: &[f64; FIELDS], y: &[f64; FIELDS]) -> f64 {
    x.iter().zip(y).map(|(p, q)| p * q).sum()
}
