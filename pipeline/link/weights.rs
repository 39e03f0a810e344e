//! What a level is worth: Fellegi-Sunter weights.
//!
//! For a field and a level, `m` is the share of true pairs that show it and `u` the share of candidate pairs that are not
//! the same part; the *weight* is ln(m / u). Identifiers and words are weighed apart, see [`Path`].
//!
//! Limits: a weight in [-7, 7]; a level seen in fewer than about [`PRIOR_COUNT`] pairs stays near weight 0; what agrees
//! never speaks against a pair.

use super::compare::{ALL_FIELDS, Comparison, FIELDS, Field, LEVELS, Lies, Path};

const PRIOR_COUNT: f64 = 2.0;
const WEIGHT_CAP: f64 = 7.0;
/// The most that words which oppose each other may be worth, as ln odds: one pair of one part to twenty others
/// (value from memory).
const CONTRARY_WORDS: f64 = -3.0;

/// The most that two sound barcodes of one pack are worth, as ln odds: one part in twenty carries two (value from memory).
const TWO_BARCODES: f64 = -3.0;

/// The learned weights.
#[derive(Clone, Debug)]
pub struct Weights {
    /// share of true pairs by field and level
    pub m: [[f64; LEVELS]; FIELDS],
    /// share of other candidate pairs by field and level
    pub u: [[f64; LEVELS]; FIELDS],
    /// ln(m / u), 0 for "nothing to compare"
    pub weight: [[f64; LEVELS]; FIELDS],
    /// how far a field counts beside the others, 0 to 1
    pub trust: [f64; FIELDS],
    /// what is added where rivals do not exclude each other, so that all fields together stay a likelihood ratio though
    /// each counts in part only; see [`trust`]
    pub offset: f64,
    /// ln odds that a candidate pair between two lists is true before looking at it
    pub prior: f64,
    /// the same for a pair inside one list
    pub prior_inside: f64,
}

/// One set of weights for each way in which pairs come together.
#[derive(Clone, Debug)]
pub struct PathWeights(pub [Weights; 2]);

impl PathWeights {
    /// The weights for a pair.
    pub fn of(&self, comparison: &Comparison) -> &Weights {
        &self.0[comparison.path as usize]
    }

    /// Log odds of a pair, alone. An identifier that agrees never makes a pair less likely than its words alone do.
    pub fn log_odds(&self, comparison: &Comparison) -> f64 {
        self.with_priors(comparison, &self.fields(comparison))
    }

    /// What the fields of a pair add up to as ln odds, before any prior.
    pub fn evidence(&self, comparison: &Comparison) -> f64 {
        let fields = self.fields(comparison);
        fields.all.max(fields.words)
    }

    /// What the fields of a pair add up to, whatever the priors are.
    pub(super) fn fields(&self, comparison: &Comparison) -> Fields {
        let sum = |c: &Comparison| self.of(c).fields(c);
        Fields {
            all: sum(comparison),
            words: comparison
                .without_agreeing_identifier()
                .map_or(f64::NEG_INFINITY, |words| sum(&words)),
        }
    }

    pub(super) fn with_priors(&self, comparison: &Comparison, fields: &Fields) -> f64 {
        let prior = |path: Path| match comparison.lies {
            Lies::Between => self.0[path as usize].prior,
            Lies::Inside => self.0[path as usize].prior_inside,
        };
        (prior(comparison.path) + fields.all).max(prior(Path::Words) + fields.words)
    }
}

/// Sums of the fields of a pair.
pub(super) struct Fields {
    pub(super) all: f64,
    /// the same pair as if no identifier stood on it; minus infinity where none agrees
    pub(super) words: f64,
}

/// Levels that a field uses for "nothing to compare".
pub(super) fn level_is_missing(level: u8) -> bool {
    level == 0
}

impl Weights {
    /// Log odds of a pair, alone.
    pub fn log_odds(&self, comparison: &Comparison) -> f64 {
        self.prior + self.fields(comparison)
    }

    /// What the fields add up to.
    fn fields(&self, comparison: &Comparison) -> f64 {
        self.offset + self.parts(comparison).iter().sum::<f64>()
    }

    /// What all fields but barcode and number add up to.
    pub(super) fn without_identifiers(&self, comparison: &Comparison) -> f64 {
        let parts = self.parts(comparison);
        self.offset + parts.iter().sum::<f64>() - parts[Field::Barcode as usize] - parts[Field::Number as usize]
    }

    /// The contribution of every field to the log odds.
    pub fn parts(&self, comparison: &Comparison) -> [f64; FIELDS] {
        let mut parts: [f64; FIELDS] = std::array::from_fn(|f| match comparison.levels[f] {
            0 => 0.0,
            level => self.trust[f] * self.weight[f][level as usize],
        });
        parts[Field::Number as usize] += number_rarity(comparison);
        parts
    }
}

/// Term frequency: an equal number that many records carry (a machine, a house number) is worth
/// less than one carried by a handful. Zero up to four records, then minus ln of the excess.
fn number_rarity(comparison: &Comparison) -> f64 {
    if comparison.number_records <= 4 {
        return 0.0;
    }
    -(f64::from(comparison.number_records) / 4.0).ln()
}

/// What agrees never speaks against a pair and what contradicts never for it, whatever a handful of
/// odd pairs teach. Two kinds that were each read beyond doubt (0.97) and differ come from one product
/// at most one time in twenty, and from two products about three times in five (three kinds):
/// ln(0.05 / 0.6) = -2.5 at the most; read with 0.995, at most one time in a hundred: ln(0.01 / 0.6) = -4.1.
fn signed(field: Field, level: usize, weight: f64) -> f64 {
    match (field, level) {
        (Field::Kind, 2) => weight.min(-2.5),
        (Field::Kind, 3) => weight.min(-4.1),
        (Field::Barcode, 2) => weight.min(TWO_BARCODES),
        (Field::Brand | Field::Claims, 2) | (Field::Number, 6 | 7 | 9) => weight.min(0.0),
        // what an equal identifier is worth at the least, however little there is to learn from: two parts
        // share a sound barcode or a lettered number less than one time in a hundred or fifty, bare
        // digits about one time in twelve, and one's own number stands in the other's title one time in thirty
        // (values from memory)
        (Field::Barcode, 1) => weight.max(4.6),
        (Field::Number, 1) => weight.max(3.9),
        (Field::Number, 2) => weight.max(2.5),
        (Field::Number, 3 | 4) => weight.max(3.5),
        (Field::Figures, 3) | (Field::Codes, 4) => weight.min(0.0),
        (Field::Figures, 4) => weight.min(CONTRARY_WORDS),
        (Field::Brand | Field::Claims | Field::Figures | Field::Codes, 1) | (Field::Number, 5) => weight.max(0.0),
        _ => weight,
    }
}

/// m, u and weights from soft labels; `all_pairs` is the number of pairs there are, compared or not.
pub fn estimate<'a>(pairs: impl Iterator<Item = (&'a Comparison, f64)>, all_pairs: f64) -> Weights {
    let mut m = [[0.0; LEVELS]; FIELDS];
    let mut u = [[0.0; LEVELS]; FIELDS];
    let (mut count, mut expected) = (0usize, 0.0);
    for (c, p) in pairs {
        count += 1;
        expected += p;
        for f in 0..FIELDS {
            m[f][c.levels[f] as usize] += p;
            u[f][c.levels[f] as usize] += 1.0 - p;
        }
    }
    let mut weight = [[0.0; LEVELS]; FIELDS];
    for f in 0..FIELDS {
        let (known_m, known_u) = (m[f][1..].iter().sum::<f64>(), u[f][1..].iter().sum::<f64>());
        let identifies = |level: usize| matches!((ALL_FIELDS[f], level), (Field::Barcode, 1) | (Field::Number, 1));
        for level in 1..LEVELS {
            let both = (m[f][level] + u[f][level]) / (known_m + known_u).max(1e-9);
            m[f][level] = (m[f][level] + PRIOR_COUNT * both) / (known_m + PRIOR_COUNT);
            u[f][level] = (u[f][level] + PRIOR_COUNT * both) / (known_u + PRIOR_COUNT);
            if identifies(level) {
                // candidates are chosen by equal identifiers; the chance of one without a match is seen over all pairs
                u[f][level] *= (count as f64 / all_pairs).min(1.0);
            }
            if both > 0.0 {
                weight[f][level] = (m[f][level] / u[f][level]).ln().clamp(-WEIGHT_CAP, WEIGHT_CAP);
                weight[f][level] = signed(ALL_FIELDS[f], level, weight[f][level]);
                if matches!(ALL_FIELDS[f], Field::Weight | Field::Telling) && level > 1 {
                    // the further apart two pieces weigh, or the more the words tell, the less they are one part
                    weight[f][level] = weight[f][level].min(weight[f][level - 1]);
                }
            }
        }
    }
    let prior = (expected.max(0.5) / (count as f64 - expected).max(1.0)).ln();
    Weights {
        m,
        u,
        weight,
        trust: [1.0; FIELDS],
        offset: 0.0,
        prior,
        prior_inside: prior,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_equal_identifier_is_worth_something_however_little_was_learned_of_it() {
        for (level, least) in [(1, 3.9), (2, 2.5), (3, 3.5), (4, 3.5), (5, 0.0)] {
            assert_eq!(signed(Field::Number, level, -1.0), least, "level {level}");
            assert_eq!(signed(Field::Number, level, 6.0), 6.0, "level {level}");
        }
    }
}
