//! A size as written, in millimetres.

use crate::trade::interval::Interval;
use crate::trade::numerals::Written;
use crate::trade::units::LengthUnit;
use crate::trade::wording::Measure;

/// The size itself, mm.
pub(super) fn size_in_mm(measure: Measure) -> f64 {
    measure.number.value * unit_mm(measure)
}

/// Millimetres of the unit a size is in: inches for a bare fraction, millimetres for another bare number.
fn unit_mm(measure: Measure) -> f64 {
    match (measure.unit, measure.written) {
        (Some(unit), _) => unit.mm(),
        (None, Written::Fraction) => LengthUnit::Inch.mm(),
        (None, _) => 1.0,
    }
}

/// Whether a size is in inches.
pub(super) fn is_inch(measure: Measure) -> bool {
    measure.unit == Some(LengthUnit::Inch) || measure.written == Written::Fraction
}

/// What the size may be, by its rounding, mm.
pub(super) fn rounding(measure: Measure) -> Interval {
    // A head or a hole stated in inches is a nominal size of a standard, not a ruler's reading.
    let half_width = if is_inch(measure) { 0.0 } else { measure.number.half_ulp };
    Interval::around(measure.number.value, half_width).times(unit_mm(measure))
}
