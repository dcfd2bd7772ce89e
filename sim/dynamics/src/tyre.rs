//! How much a tyre resists slip: the brush curve, one law for both directions.
//!
//! With slip σ (side speed over rolling speed, the tangent of the slip angle; along the wheel the slip ratio) and
//! stiffness C = [`STIFFNESS_PER_LOAD`]·load the force is μ·load·[`grip_share`] of x, x = C·σ/(μ·load), against the slip.
//! The brush model of any vehicle-dynamics text (from memory); its stiffness along the wheel is taken equal to that
//! across, so that the friction ellipse is a circle.

/// Side force per load and radian of slip at small slip. An engineering rule says 5 to 10 for light bias-ply tyres;
/// weak authority. The upper end is taken, so that at walking pace a turn is close to the one without slip.
pub const STIFFNESS_PER_LOAD: f64 = 10.0;

/// Normalised slip at which the whole contact slides.
pub const FULL_SLIDE: f64 = 3.0;

/// Share of the friction limit used at a normalised slip `x` >= 0: slope 1 at 0, reaching 1 at [`FULL_SLIDE`] without a
/// corner and staying there.
pub fn grip_share(x: f64) -> f64 {
    let rest = 1.0 - x.clamp(0.0, FULL_SLIDE) / FULL_SLIDE;
    1.0 - rest * rest * rest
}

/// x / [`grip_share`] of x up to the full slide, where it stays: how much softer the tyre is than at small slip, 1 to 3.
pub fn softness(x: f64) -> f64 {
    let x = x.clamp(0.0, FULL_SLIDE);
    1.0 / (1.0 - x / 3.0 + x * x / 27.0)
}

/// Steady side force for a load (N), friction and slip-angle tangent, N, against the slip.
pub fn side_force_n(load_n: f64, friction: f64, slip: f64) -> f64 {
    let limit = load_n.max(0.0) * friction;
    if limit <= 0.0 {
        return 0.0;
    }
    let share = grip_share(STIFFNESS_PER_LOAD * load_n * slip.abs() / limit);
    if slip > 0.0 { -limit * share } else { limit * share }
}
