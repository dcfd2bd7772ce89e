//! Turning without slip: radii from the nose-wheel angle. These are the truth at walking pace that the planner builds
//! its ways from and the simulator must agree with.

use crate::math;

/// Radius of the middle of the main axle for a nose-wheel angle: R = L / tan δ, metres. Infinite straight ahead.
pub fn axle_radius_m(wheelbase_m: f64, nose_wheel_rad: f64) -> f64 {
    wheelbase_m / math::tan(nose_wheel_rad).abs()
}

/// Radius of the nose wheel for a nose-wheel angle: L / sin δ, metres. Infinite straight ahead.
pub fn nose_radius_m(wheelbase_m: f64, nose_wheel_rad: f64) -> f64 {
    wheelbase_m / math::sin(nose_wheel_rad).abs()
}

/// Radius of a point of the aeroplane about the turn centre, metres; `forward_m` from the main axle, `outward_m` from
/// the axis, away from the turn centre.
pub fn point_radius_m(axle_radius_m: f64, forward_m: f64, outward_m: f64) -> f64 {
    math::hypot(axle_radius_m + outward_m, forward_m)
}

/// Nose-wheel angle at which the aeroplane pivots on its inner main wheel: atan(2L/T), radians.
pub fn pivot_angle_rad(wheelbase_m: f64, track_m: f64) -> f64 {
    math::atan(2.0 * wheelbase_m / track_m)
}

/// Static tipping: the lateral acceleration at which the aeroplane goes over its nose-and-main-wheel line, m/s².
/// `cg_aft_of_nose_m` and `cg_height_m` place the centre of gravity.
pub fn tip_over_mps2(wheelbase_m: f64, track_m: f64, cg_aft_of_nose_m: f64, cg_height_m: f64) -> f64 {
    let arm = cg_aft_of_nose_m * math::sin(math::atan(track_m / (2.0 * wheelbase_m)));
    crate::units::G_MPS2 * arm / cg_height_m
}

/// Distance to stop from a speed with a constant friction use on all the weight: v²/(2μg), metres.
pub fn stop_all_wheels_m(speed_mps: f64, mu: f64) -> f64 {
    speed_mps * speed_mps / (2.0 * mu * crate::units::G_MPS2)
}

/// Distance to stop when only the main wheels brake, with the load that braking moves to the nose:
/// deceleration μ·g·a/(L + μ·h), metres.
pub fn stop_main_wheels_m(speed_mps: f64, mu: f64, wheelbase_m: f64, cg_aft_of_nose_m: f64, cg_height_m: f64) -> f64 {
    let deceleration = mu * crate::units::G_MPS2 * cg_aft_of_nose_m / (wheelbase_m + mu * cg_height_m);
    speed_mps * speed_mps / (2.0 * deceleration)
}
