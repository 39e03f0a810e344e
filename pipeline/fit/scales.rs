//! The fields of fit evidence and the bins their values fall into.
//!
//! Every attribute is laid out in bins so that one model serves all: numbers on a fine scale that
//! is smoothed by a kernel as wide as listings are rough, the rest as categories. Fields of the part
//! itself (circle, holes, thread, depth, weight, price) have separate bins per part kind, because a
//! starter's holes say nothing of a shroud's.
//!
//! | field | bins | kernel (standard deviation) |
//! |---|---|---|
//! | displacement | 1 % steps from 20 cc | 2.6 %: 200 for 196, 390 for 389 |
//! | power | 2 % steps from 0.2 kW | 4 %: hp, PS and rounding |
//! | circle | 0.5 mm steps to 400 mm, per kind | 0.8 mm: rulers and 1/16 inch |
//! | depth | 1 mm steps to 250 mm, per kind | 1.2 mm |
//! | weight | 4 % steps from 20 g, per kind | 10 %: packing, rounding to 50 g |
//! | price | 10 % steps about the list's own median, per kind | 20 %: margins |
//! | holes, thread, pawls, cue, brand of the part | categories | none |
//! | code, number | open vocabulary | none |

/// Part kinds that have an interface of their own.
pub const KINDS: usize = 3;

/// A field of evidence.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
#[repr(usize)]
pub enum Field {
    /// engine codes served
    Code,
    /// numbers the part replaces
    Number,
    /// displacement served
    Displacement,
    /// power of the engines served
    Power,
    /// bolt circle
    Circle,
    /// number of mounting holes
    Holes,
    /// thread of the mounting screws
    Thread,
    /// words that tell the engine family, shaft orientation among them
    Cue,
    /// number of pawls
    Pawls,
    /// depth or height of the part
    Depth,
    /// weight of one piece: larger engines have larger parts
    Weight,
    /// price of one piece beside its list's median
    Price,
    /// brand of the part: a maker's own parts serve its own engines
    Brand,
}

/// Number of fields.
pub const FIELDS: usize = 13;
/// Fields in order.
pub const ALL: [Field; FIELDS] = [
    Field::Code,
    Field::Number,
    Field::Displacement,
    Field::Power,
    Field::Circle,
    Field::Holes,
    Field::Thread,
    Field::Cue,
    Field::Pawls,
    Field::Depth,
    Field::Weight,
    Field::Price,
    Field::Brand,
];
/// Fields that say which engines are served; classes are found by these alone. Depth, weight, price and brand
/// differ inside a class as well, and would split it.
pub const CLAIMS: [Field; 9] = [
    Field::Code,
    Field::Number,
    Field::Displacement,
    Field::Power,
    Field::Circle,
    Field::Holes,
    Field::Thread,
    Field::Cue,
    Field::Pawls,
];
/// Fields with a closed set of bins, in order.
pub const DENSE: [Field; 11] = [
    Field::Displacement,
    Field::Power,
    Field::Circle,
    Field::Holes,
    Field::Thread,
    Field::Cue,
    Field::Pawls,
    Field::Depth,
    Field::Weight,
    Field::Price,
    Field::Brand,
];

const CIRCLE_BINS: usize = 800;
const HOLE_BINS: usize = 10;
const THREAD_BINS: usize = 64;
const PAWL_BINS: usize = 8;
const DEPTH_BINS: usize = 250;
const WEIGHT_BINS: usize = 175;
const PRICE_BINS: usize = 50;
/// Brands told apart, the commonest first; the rest say nothing.
pub const BRANDS: usize = 256;

impl Field {
    /// Bins of a dense field; 0 for an open vocabulary.
    pub const fn bins(self) -> usize {
        match self {
            Field::Code | Field::Number => 0,
            Field::Displacement => 470,
            Field::Power => 260,
            Field::Circle => CIRCLE_BINS * KINDS,
            Field::Holes => HOLE_BINS * KINDS,
            Field::Thread => THREAD_BINS * KINDS,
            Field::Cue => 16,
            Field::Pawls => PAWL_BINS,
            Field::Depth => DEPTH_BINS * KINDS,
            Field::Weight => WEIGHT_BINS * KINDS,
            Field::Price => PRICE_BINS * KINDS,
            Field::Brand => BRANDS,
        }
    }

    /// Bins per part kind of a field of the part itself, all bins of any other.
    pub const fn bins_per_kind(self) -> usize {
        match self {
            Field::Circle => CIRCLE_BINS,
            Field::Holes => HOLE_BINS,
            Field::Thread => THREAD_BINS,
            Field::Depth => DEPTH_BINS,
            Field::Weight => WEIGHT_BINS,
            Field::Price => PRICE_BINS,
            other => other.bins(),
        }
    }

    /// Standard deviation of the smoothing kernel in bins, 0 for categories.
    pub const fn kernel(self) -> f32 {
        match self {
            Field::Displacement => 2.6,
            Field::Power => 2.0,
            Field::Circle => 1.6,
            Field::Depth => 1.2,
            Field::Weight => 2.5,
            Field::Price => 2.0,
            _ => 0.0,
        }
    }

    /// Name for people.
    pub const fn name(self) -> &'static str {
        match self {
            Field::Code => "engine code",
            Field::Number => "replaced number",
            Field::Displacement => "displacement",
            Field::Power => "power",
            Field::Circle => "bolt circle",
            Field::Holes => "holes",
            Field::Thread => "thread",
            Field::Cue => "engine words",
            Field::Pawls => "pawls",
            Field::Depth => "depth",
            Field::Weight => "weight",
            Field::Price => "price",
            Field::Brand => "brand",
        }
    }
}

/// Bin of a displacement in cc.
pub fn displacement_bin(cc: f64) -> Option<u32> {
    logarithmic(cc, 20.0, 0.01, Field::Displacement.bins())
}

/// Displacement in cc at the middle of a bin.
pub fn displacement_of(bin: usize) -> f64 {
    20.0 * ((bin as f64 + 0.5) * 0.01).exp()
}

/// Bin of a power in kW.
pub fn power_bin(kw: f64) -> Option<u32> {
    logarithmic(kw, 0.2, 0.02, Field::Power.bins())
}

fn logarithmic(value: f64, from: f64, step: f64, bins: usize) -> Option<u32> {
    let bin = (value / from).ln() / step;
    (bin >= 0.0 && bin < bins as f64).then_some(bin as u32)
}

/// Bin of a bolt circle in mm for a part kind.
pub fn circle_bin(mm: f64, kind: usize) -> Option<u32> {
    let bin = mm / 0.5;
    (bin >= 0.0 && bin < CIRCLE_BINS as f64).then_some((kind * CIRCLE_BINS) as u32 + bin as u32)
}

/// Bolt circle in mm at the middle of a bin inside its kind.
pub fn circle_of(bin: usize) -> f64 {
    ((bin % CIRCLE_BINS) as f64 + 0.5) * 0.5
}

/// Bin of a hole count for a part kind.
pub fn hole_bin(holes: u8, kind: usize) -> u32 {
    (kind * HOLE_BINS) as u32 + u32::from(holes).min(HOLE_BINS as u32 - 1)
}

/// Bin of a thread, by its index in the table of threads, for a part kind.
pub fn thread_bin(index: u8, kind: usize) -> u32 {
    (kind * THREAD_BINS) as u32 + u32::from(index).min(THREAD_BINS as u32 - 1)
}

/// Bin of a number of pawls.
pub fn pawl_bin(pawls: u8) -> u32 {
    u32::from(pawls).min(PAWL_BINS as u32 - 1)
}

/// Bin of a depth in mm for a part kind.
pub fn depth_bin(mm: f64, kind: usize) -> Option<u32> {
    (mm >= 0.0 && mm < DEPTH_BINS as f64).then(|| (kind * DEPTH_BINS) as u32 + mm as u32)
}

/// Bin of a weight in grams for a part kind.
pub fn weight_bin(grams: f64, kind: usize) -> Option<u32> {
    logarithmic(grams, 20.0, 0.04, WEIGHT_BINS).map(|bin| (kind * WEIGHT_BINS) as u32 + bin)
}

/// Bin of a price, as ln of its ratio to the list's median, for a part kind.
pub fn price_bin(ratio: f64, kind: usize) -> Option<u32> {
    let bin = ratio / 0.1 + PRICE_BINS as f64 / 2.0;
    (bin >= 0.0 && bin < PRICE_BINS as f64).then(|| (kind * PRICE_BINS) as u32 + bin as u32)
}

/// The smoothing kernel of a field: weights at 0, 1, 2 ... bins away; they sum to 1 over both sides.
pub fn kernel_of(field: Field) -> Vec<f32> {
    let deviation = field.kernel();
    if deviation == 0.0 {
        return vec![1.0];
    }
    let reach = (deviation * 3.0).ceil() as usize;
    let raw: Vec<f32> = (0..=reach)
        .map(|d| (-0.5 * (d as f32 / deviation).powi(2)).exp())
        .collect();
    let total: f32 = raw[0] + 2.0 * raw[1..].iter().sum::<f32>();
    raw.iter().map(|w| w / total).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nominal_and_swept_displacement_fall_within_a_kernel() {
        // 196 cc engines are sold as 200 cc: swept volume 196.11 cc of 68 x 54 mm, a water pump's specification sheet
        let (a, b) = (displacement_bin(196.11), displacement_bin(200.0));
        assert!(a.zip(b).is_some_and(|(a, b)| b - a <= 3));
    }

    #[test]
    fn kernels_sum_to_one() {
        for field in ALL {
            let k = kernel_of(field);
            let sum = k[0] + 2.0 * k[1..].iter().sum::<f32>();
            assert!((sum - 1.0).abs() < 1e-5, "{field:?}");
        }
    }

    #[test]
    fn a_bin_gives_back_its_value() {
        let bin = circle_bin(118.2, 2).unwrap_or(0) as usize;
        assert!((circle_of(bin) - 118.25).abs() < 0.3);
        let bin = displacement_bin(389.0).unwrap_or(0) as usize;
        assert!((displacement_of(bin) / 389.0 - 1.0).abs() < 0.011);
    }

    #[test]
    fn a_price_at_the_median_of_its_list_is_in_the_middle_bin() {
        assert_eq!(price_bin(0.01, 0), Some(PRICE_BINS as u32 / 2));
        assert_eq!(price_bin(0.21, 0), Some(PRICE_BINS as u32 / 2 + 2));
        assert_eq!(price_bin(-0.19, 1), Some(PRICE_BINS as u32 + PRICE_BINS as u32 / 2 - 2));
        assert_eq!(price_bin(f64::NAN, 0), None);
    }

    #[test]
    fn a_kernel_reaches_three_deviations_and_falls_all_the_way() {
        for field in ALL.into_iter().filter(|f| f.kernel() > 0.0) {
            let k = kernel_of(field);
            assert_eq!(k.len(), (field.kernel() * 3.0).ceil() as usize + 1, "{field:?}");
            assert!(k.windows(2).all(|w| w[0] > w[1]), "{field:?}: {k:?}");
        }
    }
}
