//! What the engine breathes: mixture, carburettor heat and carburettor ice.

use super::{EngineControls, EngineParams, MIXTURE_CUT};
use crate::faults::Faults;

/// Mixture below which burning fades.
const LEAN: f64 = 0.3;
/// Gain of the best mixture over full rich (ours: a small rise of rpm before the engine dies is what a pilot looks for
/// when he pulls the mixture).
const LEAN_GAIN: f64 = 0.03;
/// Burning lost with full carburettor heat: warm air is thin (ours; some 60 rpm at check power).
const HEAT_LOSS: f64 = 0.08;
/// Burning lost with the throat as full of ice as it gets (ours; enough to stop the engine at idle).
const ICE_LOSS: f64 = 0.65;
/// Time constant of ice in the worst air at idle, seconds (ours: minutes, as the trade says).
const ICE_S: f64 = 180.0;
/// Time constant of its melting under full heat, seconds (ours).
const MELT_S: f64 = 10.0;
/// Ice less than which there is none.
const NO_ICE: f64 = 1e-6;

/// Share of the burning that full rich, cold and clean air would give.
pub(crate) fn charge(p: &EngineParams, c: &EngineControls, ice: f64) -> f64 {
    if !p.carburettor {
        return mixture(c.mixture);
    }
    mixture(c.mixture) * (1.0 - HEAT_LOSS * c.carburettor_heat) * (1.0 - ICE_LOSS * ice)
}

fn mixture(lever: f64) -> f64 {
    if lever < MIXTURE_CUT {
        0.0
    } else if lever < LEAN {
        (lever - MIXTURE_CUT) / (LEAN - MIXTURE_CUT)
    } else {
        // A parabola through 1 at the two ends of the useful range.
        let side = (lever - LEAN) / (1.0 - LEAN);
        1.0 + LEAN_GAIN * 4.0 * side * (1.0 - side)
    }
}

/// Ice in the throat after `dt_s`, 0 to 1. It grows while the engine draws air, most with the throttle closed, and melts
/// under heat, which only a turning engine has.
pub(crate) fn next_ice(
    p: &EngineParams,
    ice: f64,
    c: &EngineControls,
    faults: &Faults,
    running: bool,
    dt_s: f64,
) -> f64 {
    if !p.carburettor {
        return 0.0;
    }
    if !running {
        return ice;
    }
    let grow = faults.carburettor_ice * (1.0 - c.carburettor_heat) * (1.0 - 0.5 * c.throttle) / ICE_S;
    let melt = c.carburettor_heat / MELT_S;
    let next = (ice + dt_s * grow) / (1.0 + dt_s * (grow + melt));
    if next < NO_ICE && grow == 0.0 { 0.0 } else { next }
}
