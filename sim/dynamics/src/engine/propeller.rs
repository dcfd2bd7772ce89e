//! Thrust and torque of a fixed-pitch propeller.

use super::params::{EngineParams, RPM_RADPS};
use crate::Params;
use toeline_model::math;

/// Advance ratio V/(nD) at which the thrust of a fixed-pitch propeller has gone (typical of a climb propeller; ours).
pub(crate) const NO_THRUST_ADVANCE: f64 = 0.9;
/// Share of its torque at rest that a propeller has lost where its thrust has gone (ours: rpm at full throttle then rises
/// from the static figure by some 5 % at lift-off and 12 % at the speed of level flight).
const TORQUE_FALL: f64 = 0.25;

/// Thrust of all propellers, N, at an engine speed and a speed through the air along the axis. Thrust at rest goes with
/// rpm²; it falls in a straight line with the advance ratio and is a drag beyond, at most half of what it was.
pub fn thrust_n(p: &Params, rpm: f64, forward_air_mps: f64) -> f64 {
    let share = rpm / p.full_rpm;
    let fall = forward_air_mps / p.no_thrust_mps;
    let thrust = p.static_thrust_n * share * (share - fall);
    let rest = p.static_thrust_n * share * share;
    thrust.clamp(-0.5 * rest, 1.2 * rest)
}

/// Moment in yaw to the left, N·m, of a propeller that meets the air from below because the nose is up: the blade going
/// down then meets it at more of an angle than the one going up (asymmetric blade loading).
///
/// Blade elements of a screw of constant pitch (derived here): with the thrust T0 at rest, the rate of turning Ω, the
/// speed V along the axis, V0 where the thrust has gone, and the part w of the flow across the disc, the moment over w is
/// T0/Ω·(1 - V/(2·V0)). Wind from behind counts as none.
pub fn blade_yaw_nm(p: &Params, rpm: f64, forward_air_mps: f64, pitch_rad: f64) -> f64 {
    let along = forward_air_mps.max(0.0);
    p.blade_lever_ns * along * pitch_rad * (rpm / p.full_rpm - along / (2.0 * p.no_thrust_mps)).max(0.0)
}

/// Thrust of a propeller standing still, N, by the actuator disc: T³ = 2ρA(ηP)², for a shaft power (W), a diameter (m), a
/// density of the air (kg/m³) and an efficiency, 1 at most.
///
/// ```
/// use toeline_dynamics::engine::static_thrust_n;
/// assert!((static_thrust_n(119_312.0, 1.905, 1.225, 1.0) - 4632.39).abs() < 0.05);
/// ```
pub fn static_thrust_n(power_w: f64, diameter_m: f64, density_kgpm3: f64, efficiency: f64) -> f64 {
    let useful = efficiency * power_w;
    math::pow(2.0 * density_kgpm3 * disc_m2(diameter_m) * useful * useful, 1.0 / 3.0)
}

/// Velocity of the air at the disc of a propeller standing still, m/s; the far wake moves twice as fast.
pub fn disc_velocity_mps(thrust_n: f64, diameter_m: f64, density_kgpm3: f64) -> f64 {
    (thrust_n.max(0.0) / (2.0 * density_kgpm3 * disc_m2(diameter_m))).sqrt()
}

fn disc_m2(diameter_m: f64) -> f64 {
    core::f64::consts::PI * diameter_m * diameter_m / 4.0
}

/// Torque that turns one propeller, N·m, at an engine speed and a speed through the air along the axis: what its reaction
/// leans on the left wheel with when it turns clockwise seen from behind. Wind from behind counts as none.
pub fn shaft_torque_nm(p: &EngineParams, rpm: f64, forward_air_mps: f64) -> f64 {
    load(p, rpm * RPM_RADPS, forward_air_mps).0
}

/// The same at a speed in rad/s, and its slope against that speed, N·m·s; neither is negative.
pub(crate) fn load(p: &EngineParams, speed: f64, forward_air_mps: f64) -> (f64, f64) {
    let full = p.static_rpm * RPM_RADPS;
    let share = speed / full;
    let fall = TORQUE_FALL * forward_air_mps.max(0.0) / p.no_thrust_mps;
    if share <= fall {
        return (0.0, 0.0);
    }
    (
        p.full_torque_nm * share * (share - fall),
        p.full_torque_nm * (2.0 * share - fall) / full,
    )
}
