//! Engine speed as the balance of the engine's torque and the propeller's.

use super::params::{EngineParams, RPM_RADPS};
use super::propeller::load;

/// Slowest speed at which a charge burns, rpm (ours; a starter cranks faster).
pub(crate) const FIRES_RPM: f64 = 80.0;
/// How much torque falls, relative to itself, with the relative rise of speed when the throttle is closed; with full
/// throttle it does not fall at all (ours: a closed throttle lets through the same air at any speed).
const DROOP: f64 = 2.0;
/// Starter: stall torque over the engine's friction, and speed at which it gives none, rpm (ours: cranks at some 130 rpm).
const STARTER_PULL: f64 = 2.5;
const STARTER_FREE_RPM: f64 = 220.0;

/// Engine speed after `dt_s`, rpm.
///
/// Standing still in calm air, both magnetos, rich and clean (`burn` 1) the speed settles at idle + throttle · (static −
/// idle), the lever being rigged so (ours); everything else is a change of that balance. The indicated torque (net plus
/// friction) goes with `burn`, so that a weak charge costs most where there is least to spare. One linearly implicit step:
/// stable for any step, first order.
pub(crate) fn next_rpm(
    p: &EngineParams,
    rpm: f64,
    throttle: f64,
    burn: f64,
    starter: bool,
    forward_air_mps: f64,
    dt_s: f64,
) -> f64 {
    let speed = rpm * RPM_RADPS;
    let (taken, mut slope) = load(p, speed, forward_air_mps);
    let mut torque = -taken - p.friction_nm;
    if burn > 0.0 {
        let rigged = (p.idle_rpm + (p.static_rpm - p.idle_rpm) * throttle) * RPM_RADPS;
        let rest = load(p, rigged, 0.0).0;
        let droop = DROOP * (1.0 - throttle) * rest;
        let indicated = rest + droop * (1.0 - speed / rigged) + p.friction_nm;
        let most = p.full_torque_nm + p.friction_nm;
        torque += burn * indicated.clamp(0.0, most);
        if indicated > 0.0 && indicated < most {
            slope += burn * droop / rigged;
        }
    }
    if starter && rpm < STARTER_FREE_RPM {
        let stall = STARTER_PULL * p.friction_nm;
        torque += stall * (1.0 - rpm / STARTER_FREE_RPM);
        slope += stall / (STARTER_FREE_RPM * RPM_RADPS);
    }
    // Friction holds what it has stopped: a speed never turns negative.
    let next = speed + dt_s * torque / (p.inertia_kgm2 + dt_s * slope);
    if next > 0.0 { next / RPM_RADPS } else { 0.0 }
}
