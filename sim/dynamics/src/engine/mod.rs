//! The engine: speed, ignition, mixture, carburettor, oil and suction, and the propeller it turns.
//!
//! Speed is the balance of the engine's torque and the propeller's on their common inertia, not a lag toward a target: so
//! a magneto alone, carburettor heat, ice, a lean mixture and airspeed all act through one thing, torque, and the drop of
//! each depends on power as it does in the aeroplane. Figures marked "ours" have no source. With several engines one state
//! stands for all: there is one lever for all.

mod breathing;
mod controls;
mod ignition;
mod oil;
mod params;
mod propeller;
mod speed;

pub use controls::{EngineControls, MIXTURE_CUT, MagnetoSwitch};
pub use ignition::CYLINDERS;
pub use params::{EngineParams, shaft_power_w};
pub use propeller::{blade_yaw_nm, disc_velocity_mps, shaft_torque_nm, static_thrust_n, thrust_n};

use crate::faults::Faults;
use serde::{Deserialize, Serialize};

/// Everything that the engine's next tick depends on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EngineState {
    /// Speed, rpm.
    pub rpm: f64,
    /// Oil temperature, degrees Celsius.
    pub oil_c: f64,
    /// Oil pressure, kPa.
    pub oil_kpa: f64,
    /// Suction, kPa below the outside; 0 without suction-driven instruments.
    pub suction_kpa: f64,
    /// Ice in the carburettor, 0 (none) to 1.
    pub ice: f64,
    /// Cylinders that fired in the last tick, of [`CYLINDERS`]: fewer than all run rough, none is a stopped engine.
    pub firing: u8,
}

impl EngineState {
    /// Stopped and cold.
    pub fn stopped(p: &EngineParams) -> EngineState {
        EngineState {
            rpm: 0.0,
            oil_c: p.outside_c,
            oil_kpa: 0.0,
            suction_kpa: 0.0,
            ice: 0.0,
            firing: 0,
        }
    }

    /// Running at idle, with oil as warm as it gets there.
    pub fn idling(p: &EngineParams) -> EngineState {
        let share = p.idle_rpm / p.static_rpm;
        let oil_c = p.oil_c[0] + (p.oil_c[1] - p.oil_c[0]) * (oil::SETTLES[0] + oil::SETTLES[1] * share * share);
        EngineState {
            rpm: p.idle_rpm,
            oil_c,
            oil_kpa: oil::settled_oil_kpa(p, p.idle_rpm, oil_c),
            suction_kpa: oil::settled_suction_kpa(p, p.idle_rpm),
            ice: 0.0,
            firing: CYLINDERS,
        }
    }

    /// Whether any cylinder fired in the last tick.
    pub fn running(&self) -> bool {
        self.firing > 0
    }

    /// Share of the cylinders that miss while the engine runs, 0 (smooth or stopped) to 1.
    pub fn roughness(&self) -> f64 {
        if self.running() {
            f64::from(CYLINDERS - self.firing.min(CYLINDERS)) / f64::from(CYLINDERS)
        } else {
            0.0
        }
    }

    /// Name and bits of every number, for hashes and comparisons.
    pub fn fields(&self) -> [(&'static str, u64); 6] {
        let b = f64::to_bits;
        [
            ("engine.rpm", b(self.rpm)),
            ("engine.oil_c", b(self.oil_c)),
            ("engine.oil_kpa", b(self.oil_kpa)),
            ("engine.suction_kpa", b(self.suction_kpa)),
            ("engine.ice", b(self.ice)),
            ("engine.firing", u64::from(self.firing)),
        ]
    }
}

/// The engine after `dt_s`, with a speed through the air along the axis.
pub fn next(
    p: &EngineParams,
    state: &EngineState,
    controls: &EngineControls,
    faults: &Faults,
    forward_air_mps: f64,
    dt_s: f64,
) -> EngineState {
    let (c, faults) = (controls.clamped(), faults.clamped());
    let spark = ignition::spark(c.magnetos, &faults);
    let charge = breathing::charge(p, &c, state.ice);
    let fires = state.rpm >= speed::FIRES_RPM && charge > 0.0 && spark.cylinders > 0;
    let burn = if fires { charge * spark.share } else { 0.0 };
    let air = if forward_air_mps.is_finite() {
        forward_air_mps
    } else {
        0.0
    };
    let rpm = speed::next_rpm(p, state.rpm, c.throttle, burn, c.starter, air, dt_s);
    let oil_c = oil::next_oil_c(p, state.oil_c, rpm, fires, dt_s);
    EngineState {
        rpm,
        oil_c,
        oil_kpa: oil::next_oil_kpa(p, state.oil_kpa, rpm, oil_c, dt_s),
        suction_kpa: oil::next_suction_kpa(p, state.suction_kpa, rpm, dt_s),
        ice: breathing::next_ice(p, state.ice, &c, &faults, fires, dt_s),
        firing: if fires { spark.cylinders } else { 0 },
    }
}
