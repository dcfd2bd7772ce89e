//! Engine speed and propeller thrust.

use crate::Params;

/// Mixture below which the engine stops.
pub const MIXTURE_CUT: f64 = 0.05;

/// Time constant with which engine speed follows the throttle, seconds (ours).
const LAG_S: f64 = 0.5;

/// Engine speed after `dt_s`, rpm: a first-order lag toward the speed that throttle and mixture ask for.
pub(crate) fn next_rpm(p: &Params, rpm: f64, throttle: f64, mixture: f64, dt_s: f64) -> f64 {
    let target = if mixture < MIXTURE_CUT {
        0.0
    } else {
        p.idle_rpm + (p.full_rpm - p.idle_rpm) * throttle
    };
    let next = rpm + (target - rpm) * (dt_s / (LAG_S + dt_s));
    // A propeller this slow has stopped against compression.
    if target == 0.0 && next < 1.0 { 0.0 } else { next }
}

/// Thrust of all propellers, N, at an engine speed and a speed through the air along the axis. Thrust at rest goes with
/// rpm²; it falls in a straight line with the advance ratio and is a drag beyond, at most half of what it was.
pub fn thrust_n(p: &Params, rpm: f64, forward_air_mps: f64) -> f64 {
    let share = rpm / p.full_rpm;
    let fall = forward_air_mps / p.no_thrust_mps;
    let thrust = p.static_thrust_n * share * (share - fall);
    let rest = p.static_thrust_n * share * share;
    thrust.clamp(-0.5 * rest, 1.2 * rest)
}
