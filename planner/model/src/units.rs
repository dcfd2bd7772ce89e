//! Exact factors between the units that people read and SI, and the two roundings used for every printed number.

/// Metres in one international foot (exact by definition).
pub const FOOT_M: f64 = 0.3048;
/// A pound, kilograms (exact since 1959).
pub const POUND_KG: f64 = 0.453_592_37;
/// Metres per second in one knot: a nautical mile of 1852 m an hour (exact by definition).
pub const KNOT_MPS: f64 = 1852.0 / 3600.0;
/// Standard acceleration of free fall, m/s² (exact by definition, ISO 80000-3).
pub const G_MPS2: f64 = 9.806_65;
/// Density of air at sea level in the ICAO standard atmosphere, kg/m³.
pub const AIR_KGPM3: f64 = 1.225;
/// Radians in one degree.
pub const DEG: f64 = core::f64::consts::PI / 180.0;

const POWERS_OF_TEN: [f64; 10] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];

/// Knots from metres per second.
pub fn knots(mps: f64) -> f64 {
    mps / KNOT_MPS
}

/// Rounds to at most nine decimals, half away from zero, and never returns -0. Used before every tie-break and print.
pub fn round_to(value: f64, decimals: usize) -> f64 {
    let scale = POWERS_OF_TEN[decimals.min(9)];
    let rounded = (value * scale).round() / scale;
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// Rounds a gap in metres down to a tenth of a metre, the only way a gap is ever printed.
pub fn gap_floor(gap_m: f64) -> f64 {
    // A hair above the step, so that a gap of exactly 3.2 does not print as 3.1.
    let tenths = (gap_m * 10.0 + 1e-9).floor();
    if tenths <= 0.0 { 0.0 } else { tenths / 10.0 }
}
