//! The only door to transcendental functions: one pinned portable library, so that results have the same bits on every
//! machine. `f64::sqrt` is correctly rounded by the IEEE 754 standard and needs no door.

/// Sine of an angle in radians.
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Sine and cosine of an angle in radians, in less time than one after the other.
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Tangent of an angle in radians.
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Arc sine in radians; the argument is clamped to -1..1 so that rounding cannot make a NaN.
pub fn asin(x: f64) -> f64 {
    libm::asin(x.clamp(-1.0, 1.0))
}

/// Arc cosine in radians; the argument is clamped to -1..1 so that rounding cannot make a NaN.
pub fn acos(x: f64) -> f64 {
    libm::acos(x.clamp(-1.0, 1.0))
}

/// Arc tangent in radians.
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Angle of the point (x, y) in radians, -π..π.
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// e to the power x.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// x to the power y.
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Complementary error function.
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

/// Natural logarithm of the gamma function, for positive arguments.
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}

/// Hyperbolic tangent.
pub fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}

/// Length of the vector (x, y).
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}
