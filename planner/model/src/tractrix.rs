//! How the main axle follows when the nose wheel is led along a line: the tractrix, in closed form.
//!
//! β is the angle from the aeroplane's axis to the tangent of the guide line at the nose wheel, left positive. It equals
//! the nose-wheel angle. d is the wheelbase and κ the curvature of the guide line (left positive), s the way of the
//! nose wheel. Then dβ/ds = κ − sin β / d, which has a closed solution for κ = 0, |κ|d < 1, = 1 and > 1. (Derived;
//! compared with numerical integration in the tests.)

use crate::angle::wrap;
use crate::math;

/// β after `s` metres of guide line with curvature `kappa` (1/m, left positive), from `beta0` radians at its start, for
/// the wheelbase `d` metres.
///
/// ```
/// use toeline_model::tractrix::beta_after;
/// let beta = beta_after(90_f64.to_radians(), 0.0, 1.65, 1.65);
/// assert!((beta.to_degrees() - 40.3951).abs() < 1e-4);
/// ```
pub fn beta_after(beta0: f64, kappa: f64, d: f64, s: f64) -> f64 {
    // With t = tan(β/2) the equation is dt/ds = κ/2 (t² − 2kt + 1), k = 1/(κd): a Riccati equation. Writing t as a
    // quotient num/den of two linear solutions keeps β near ±π in reach, where t is infinite.
    let (t0n, t0d) = (math::sin(beta0 / 2.0), math::cos(beta0 / 2.0));
    if kappa == 0.0 {
        return wrap(2.0 * math::atan2(t0n * math::exp(-s / d), t0d));
    }
    let k = 1.0 / (kappa * d);
    let discriminant = (k - 1.0) * (k + 1.0);
    let (num, den) = if discriminant > 1e-12 {
        // Guide radius above the wheelbase: β tends to the steady value, root t1 of the quadratic.
        let q = discriminant.sqrt();
        // The root of smaller size, computed without cancellation: t1 · t2 = 1.
        let t2 = if k > 0.0 { k + q } else { k - q };
        let t1 = 1.0 / t2;
        // (t − t1)/(t − t2) decays as exp(−κ(t2 − t1)s/2), and κ(t2 − t1) is positive on both sides.
        let e = math::exp(-(kappa * (t2 - t1)) * s / 2.0);
        let (a, b) = (t0n - t1 * t0d, t0n - t2 * t0d);
        // (t − t1)/(t − t2) = e a/b  =>  t = (t1 b − t2 e a)/(b − e a).
        (t1 * b - t2 * e * a, b - e * a)
    } else if discriminant < -1e-12 {
        // Guide radius below the wheelbase: no steady state; the axle is drawn inward and round.
        let q = (-discriminant).sqrt();
        let phi = q * kappa * s / 2.0;
        let (c, sn) = (math::cos(phi), math::sin(phi));
        // t = k + q tan(φ0 + φ) with tan φ0 = (t0 − k)/q.
        let (a, b) = (t0n - k * t0d, q * t0d);
        let (tan_n, tan_d) = (a * c + b * sn, b * c - a * sn);
        (k * tan_d + q * tan_n, tan_d)
    } else {
        // Equal: a double root at t = k (= ±1).
        let u = t0n - k * t0d;
        let denominator = t0d - u * kappa * s / 2.0;
        (k * denominator + u, denominator)
    };
    // num/den = tan(β/2) up to a common sign; take the branch that is continuous at s = 0 by keeping β in -π..π.
    wrap(2.0 * math::atan2(num, den))
}

/// Steady β on a circle of curvature `kappa` (1/m, left positive); `None` when the radius is below the wheelbase.
pub fn beta_steady(kappa: f64, d: f64) -> Option<f64> {
    let s = kappa * d;
    (s.abs() <= 1.0).then(|| math::asin(s))
}

/// Radius of the middle of the main axle about the turn centre, for the nose wheel on a circle of radius `r` (m) with
/// β toward the turn.
pub fn axle_radius(r: f64, d: f64, beta: f64) -> f64 {
    (r * r + d * d - 2.0 * r * d * math::sin(beta)).max(0.0).sqrt()
}
