//! Stub.
use compact_str::CompactString;
use std::ops::Range;

pub use super::model_code::{CodeToken, Spelled, read_code_tokens};

/// Arrangement of the cylinders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Layout {
    /// Single or in-line, upright: horizontal shaft.
    Inline,
    /// V-twin.
    V,
    /// Flat; a single flat cylinder has a vertical shaft.
    Flat,
    /// H or X arrangement.
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

/// Fuel named by the code itself.
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
    /// Letters after the F, upper case, perhaps empty.
    pub suffix: CompactString,
    /// What follows the hyphen.
    pub variant: Option<CompactString>,
    /// Fuel, where the code names it.
    pub fuel: Option<Fuel>,
    /// Letters glued in front, upper case.
    pub maker_prefix: Option<CompactString>,
    /// `168F-2`, `168FB`, `1P70F`
    pub canonical: CompactString,
    /// `168F`, `1P70F`
    pub stem: CompactString,
}

/// Finds engine designations.
pub fn read_codes(_folded: &str) -> Vec<EngineCode> {
    Vec::new()
}
