//! Stub.
/// A build.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualBuild {
    /// Stroke, mm.
    pub stroke_mm: f64,
    /// Swept volume, cc.
    pub cc: f64,
    /// Displacements it is sold as, cc.
    pub sold_as: &'static [f64],
    /// Usual gross rating, hp, lowest and highest.
    pub hp: (f64, f64),
}

/// Swept volume, cc, of `cylinders` of this bore and stroke, mm.
pub fn swept_cc(bore_mm: f64, stroke_mm: f64, cylinders: u8) -> f64 {
    std::f64::consts::FRAC_PI_4 * bore_mm * bore_mm * stroke_mm * f64::from(cylinders) / 1000.0
}

/// The usual builds of a code's stem.
pub fn usual_volumes(_stem: &str) -> &'static [UsualBuild] {
    &[]
}
