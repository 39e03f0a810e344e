//! What a designation says of its engine.

use compact_str::CompactString;
use std::ops::Range;

/// Arrangement of the cylinders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Layout {
    /// Single or in-line, upright: horizontal shaft.
    Inline,
    /// V-twin.
    V,
    /// Lying cylinder; a single one has a vertical shaft.
    Flat,
    /// H or X arrangement (values from memory).
    Other,
}

/// Stroke cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StrokeCycle {
    /// Four-stroke.
    Four,
    /// Two-stroke.
    Two,
}

/// Fuel named by the code itself. Without `/P` the same code may be a diesel's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fuel {
    /// `/P`
    Petrol,
}

/// A bore-based engine designation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EngineCode {
    /// Byte span in the folded text.
    pub span: Range<usize>,
    /// Number of cylinders.
    pub cylinders: u8,
    /// Arrangement.
    pub layout: Layout,
    /// Stroke cycle.
    pub stroke_cycle: StrokeCycle,
    /// Bore, whole mm.
    pub bore_mm: u8,
    /// Always true for the codes read here: F means air-cooled.
    pub air_cooled: bool,
    /// Letters after the F, upper case, perhaps empty: `B` of `168FB`, `E` of `188F(E)`.
    pub suffix: CompactString,
    /// What follows the hyphen: `2` of `168F-2`.
    pub variant: Option<CompactString>,
    /// Fuel, where the code names it.
    pub fuel: Option<Fuel>,
    /// Letters glued in front, upper case.
    pub maker_prefix: Option<CompactString>,
    /// `168F-2`, `168FB`, `1P70F`: without prefix and fuel.
    pub canonical: CompactString,
    /// `168F`, `1P70F`: without suffix and variant too.
    pub stem: CompactString,
}

impl EngineCode {
    /// Whether the crankshaft stands upright, as under a mower: one lying cylinder.
    pub fn has_vertical_shaft(&self) -> bool {
        self.layout == Layout::Flat && self.cylinders == 1
    }
}
