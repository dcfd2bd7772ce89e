//! The instruments that live on air pressure: airspeed, altimeter, vertical speed.

use super::{InstrumentParams, Seen};
use serde::{Deserialize, Serialize};

/// Time constant of the airspeed needle, seconds (ours).
const AIRSPEED_S: f64 = 0.3;
/// Time constant of the leak that makes a vertical-speed indicator, seconds (ours; 6 to 9 s is the usual lag).
const LEAK_S: f64 = 6.0;

/// Airspeed, altimeter and vertical speed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirInstruments {
    /// Airspeed needle, m/s: 0 (on its peg) below the start of the scale.
    pub airspeed_mps: f64,
    /// The same before the peg, m/s.
    pub felt_mps: f64,
    /// Altimeter set to the field's pressure at sea level, metres.
    pub altitude_m: f64,
    /// Elevation that belongs to the pressure behind the leak, metres.
    pub trailing_m: f64,
    /// Vertical speed, m/s, climbing positive.
    pub vertical_mps: f64,
}

impl AirInstruments {
    /// At rest at an elevation.
    pub(crate) fn settled(p: &InstrumentParams, seen: &Seen) -> AirInstruments {
        let felt_mps = seen.airspeed_mps.max(0.0);
        AirInstruments {
            airspeed_mps: alive(p, felt_mps),
            felt_mps,
            altitude_m: seen.elevation_m,
            trailing_m: seen.elevation_m,
            vertical_mps: 0.0,
        }
    }

    pub(crate) fn next(&self, p: &InstrumentParams, seen: &Seen, blocked: bool, dt_s: f64) -> AirInstruments {
        // Wind from behind presses nothing into the tube; a blocked one keeps what is in it.
        let blown = if blocked {
            self.felt_mps
        } else {
            seen.airspeed_mps.max(0.0)
        };
        let felt_mps = self.felt_mps + (blown - self.felt_mps) * (dt_s / (AIRSPEED_S + dt_s));
        let vertical_mps = (seen.elevation_m - self.trailing_m) / (LEAK_S + dt_s);
        AirInstruments {
            airspeed_mps: alive(p, felt_mps),
            felt_mps,
            altitude_m: seen.elevation_m,
            trailing_m: self.trailing_m + vertical_mps * dt_s,
            vertical_mps,
        }
    }
}

fn alive(p: &InstrumentParams, felt_mps: f64) -> f64 {
    if felt_mps < p.airspeed_from_mps { 0.0 } else { felt_mps }
}
