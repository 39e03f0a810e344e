//! A claim: one statement of an offer about one attribute of the part or of the engine it serves.
//!
//! A claim carries its value as an interval or a set, how it came about, the field it was read from and the words it
//! was read from, so that every later judgement can be traced to a cell. Claims are never merged or corrected here:
//! when a column and a title disagree, both stand, and the fit stage weighs them.

use compact_str::CompactString;
use serde::{Deserialize, Serialize};

use crate::intake::field::Field;
use crate::trade::interval::Interval;
use crate::trade::threads::ThreadSet;

/// What a claim is about. The unit of the values is fixed per attribute.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Attribute {
    /// Swept volume of an engine served, in cc.
    Displacement,
    /// Power of an engine served, in kW.
    Power,
    /// Designation of an engine served: `168F-2` by the national standard, `KR200` or `kestrel:KR200` by a maker (the
    /// brand folded, the code in upper case).
    EngineCode,
    /// Maker of an engine served, folded. Not the brand of the part.
    Brand,
    /// A word that tells the engine family, see [`cue`].
    FamilyCue,
    /// Number of mounting holes.
    BoltHoles,
    /// Diameter of the circle through the mounting holes, in mm.
    BoltCircle,
    /// Sides of a rectangle of four holes, in mm, shorter side first, as [`Value::Served`] of two.
    Rectangle,
    /// Thread of the mounting screws.
    Thread,
    /// Width across flats of the mounting screws' heads, in mm.
    HeadAf,
    /// Diameter of the mounting holes, in mm.
    HoleDiameter,
    /// Depth or height of the part, in mm.
    Depth,
    /// Number of pawls; the material is a separate [`Value::Word`] claim.
    Pawls,
    /// Side on which the rope leaves the housing: `left`, `right`, `up`, `down`.
    PullSide,
    /// `vertical` or `horizontal` crankshaft.
    ShaftOrientation,
    /// Colour of the part. Never decides a fit.
    Colour,
    /// `cut-out` when the shroud leaves room for an electric starter motor, `none` when the line says it does not.
    ElectricStart,
}

impl Attribute {
    /// Every attribute, in the order in which ledgers list them.
    pub const ALL: [Self; 17] = [
        Self::Displacement,
        Self::Power,
        Self::EngineCode,
        Self::Brand,
        Self::FamilyCue,
        Self::BoltHoles,
        Self::BoltCircle,
        Self::Rectangle,
        Self::Thread,
        Self::HeadAf,
        Self::HoleDiameter,
        Self::Depth,
        Self::Pawls,
        Self::PullSide,
        Self::ShaftOrientation,
        Self::Colour,
        Self::ElectricStart,
    ];

    /// The name used in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Displacement => "displacement",
            Self::Power => "power",
            Self::EngineCode => "engine-code",
            Self::Brand => "engine-brand",
            Self::FamilyCue => "family-cue",
            Self::BoltHoles => "bolt-holes",
            Self::BoltCircle => "bolt-circle",
            Self::Rectangle => "rectangle",
            Self::Thread => "thread",
            Self::HeadAf => "head-af",
            Self::HoleDiameter => "hole-diameter",
            Self::Depth => "depth",
            Self::Pawls => "pawls",
            Self::PullSide => "pull-side",
            Self::ShaftOrientation => "shaft-orientation",
            Self::Colour => "colour",
            Self::ElectricStart => "electric-start",
        }
    }
}

/// How a claim came about, the most direct first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Provenance {
    /// Written on the line.
    Stated,
    /// Follows from a code on the line by a published rule or table.
    Decoded,
    /// Follows from another claim by a rule of thumb.
    Inferred,
    /// Learned from what other lines say (made by the fit stage only).
    Learned,
}

impl Provenance {
    /// The name used in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Decoded => "decoded",
            Self::Inferred => "inferred",
            Self::Learned => "learned",
        }
    }
}

/// The value of a claim: always a set or an interval, in the unit its attribute fixes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Value {
    /// Every one of these is served ("163/196/212cc"); a range is one wide interval.
    Served(Vec<Interval>),
    /// Exactly one of these readings is meant ("hole distance 102": chord or circle).
    OneOf(Vec<Interval>),
    /// One of these threads is meant.
    Threads(ThreadSet),
    /// A count.
    Count(u8),
    /// A code in canonical form.
    Code(CompactString),
    /// A word out of a closed list of the vocabulary, or a folded brand.
    Word(CompactString),
}

/// One statement of a line about one attribute.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Claim {
    /// What it is about.
    pub attribute: Attribute,
    /// What it says.
    pub value: Value,
    /// How it came about.
    pub provenance: Provenance,
    /// The field it was read from.
    pub field: Field,
    /// The words it was read from, folded.
    pub text: CompactString,
}

/// Words of [`Attribute::FamilyCue`] claims. They are also the `cue` names in `schemas/words/families.toml`.
pub mod cue {
    /// Engine with a vertical crankshaft.
    pub const VERTICAL_SHAFT: &str = "vertical-shaft";
    /// Engine with a horizontal crankshaft. Read as a [`super::Attribute::ShaftOrientation`] claim here, because most
    /// families have one; later stages use the word beside the others.
    pub const HORIZONTAL_SHAFT: &str = "horizontal-shaft";
    /// Lawn mower.
    pub const MOWER: &str = "mower";
    /// Overhead cam.
    pub const OVERHEAD_CAM: &str = "overhead-cam";
    /// Side valves (flathead).
    pub const SIDE_VALVE: &str = "side-valve";
    /// Two cylinders.
    pub const TWIN: &str = "v-twin";
    /// Diesel.
    pub const DIESEL: &str = "diesel";
    /// Two-stroke, hand-held.
    pub const TWO_STROKE: &str = "two-stroke";
    /// Inverter generator.
    pub const INVERTER: &str = "inverter";
    /// Snow engine.
    pub const SNOW: &str = "snow";
    /// The title embraces several size classes ("168F-190F universal", "8 9 11 13 HP") or calls itself universal.
    pub const UNIVERSAL: &str = "universal";
}
