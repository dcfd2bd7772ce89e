//! The instruments as a pilot sees them. They feel a [`Seen`] and change nothing in the aeroplane; all angles shown are
//! clockwise, as on their dials, and what is right is positive.

mod air;
mod compass;
mod gyros;
mod seen;

pub use air::AirInstruments;
pub use compass::{Compass, settled_compass_rad};
pub use gyros::{Gyros, MOST_DRIFT_RADPS, apparent_drift_radps, random_drift_radps};
pub use seen::{Place, Seen};

use crate::faults::Faults;
use serde::{Deserialize, Serialize};
use toeline_model::Aircraft;
use toeline_model::angle;
use toeline_model::units::KNOT_MPS;

/// Time constant of the rpm needle, seconds (ours).
const RPM_S: f64 = 0.15;
/// Start of the airspeed scale, knots (ours).
const AIRSPEED_FROM_KT: f64 = 35.0;
/// Suction, over the bottom of its range, that still holds the rotors at full speed (ours: they lose nothing at idle).
const ENOUGH_SUCTION: f64 = 0.5;

/// Plain numbers of one aeroplane's instruments.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InstrumentParams {
    /// Airspeed at which the needle leaves its peg, m/s.
    pub airspeed_from_mps: f64,
    /// Suction that holds the rotors at full speed, kPa; `None` when they run on electricity.
    pub suction_enough_kpa: Option<f64>,
}

impl InstrumentParams {
    /// The numbers of an aeroplane.
    pub fn from_aircraft(a: &Aircraft) -> InstrumentParams {
        InstrumentParams {
            airspeed_from_mps: AIRSPEED_FROM_KT * KNOT_MPS,
            suction_enough_kpa: a.engine_check.suction_kpa.map(|[low, _]| ENOUGH_SUCTION * low),
        }
    }
}

/// What the panel shows, and what it needs to go on from there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instruments {
    /// Magnetic compass.
    pub compass: Compass,
    /// Heading indicator, attitude indicator, turn indicator and ball.
    pub gyros: Gyros,
    /// Airspeed, altimeter, vertical speed.
    pub air: AirInstruments,
    /// Engine speed, rpm.
    pub rpm: f64,
    /// Oil temperature, degrees Celsius.
    pub oil_c: f64,
    /// Oil pressure, kPa.
    pub oil_kpa: f64,
    /// Suction, kPa.
    pub suction_kpa: f64,
}

impl Instruments {
    /// All at rest and in step with what is seen: rotors at full speed, heading indicator set to the compass.
    pub fn set(p: &InstrumentParams, seen: &Seen) -> Instruments {
        Instruments::at_rest(p, seen, 1.0)
    }

    /// After a night in the hangar: rotors stopped, so the attitude indicator lies over and the heading indicator holds
    /// nothing (unless both run on electricity).
    pub fn cold(p: &InstrumentParams, seen: &Seen) -> Instruments {
        let spin = if p.suction_enough_kpa.is_some() { 0.0 } else { 1.0 };
        Instruments::at_rest(p, seen, spin)
    }

    fn at_rest(p: &InstrumentParams, seen: &Seen, spin: f64) -> Instruments {
        let compass = Compass::settled(
            seen.magnetic_heading_rad(),
            seen.dip_rad,
            seen.accel_mps2,
            seen.pitch_rad,
        );
        Instruments {
            compass,
            gyros: Gyros::settled(seen, spin, compass.reading_rad),
            air: AirInstruments::settled(p, seen),
            rpm: seen.rpm,
            oil_c: seen.oil_c,
            oil_kpa: seen.oil_kpa,
            suction_kpa: seen.suction_kpa,
        }
    }

    /// The same with the heading indicator's knob turned until it shows a figure, radians clockwise. A figure that is no
    /// number leaves it as it is.
    pub fn with_heading(&self, shown_rad: f64) -> Instruments {
        if !shown_rad.is_finite() {
            return *self;
        }
        let by = shown_rad - self.gyros.heading_rad;
        Instruments {
            gyros: Gyros {
                heading_rad: compass::around(shown_rad),
                heading_error_rad: angle::wrap(self.gyros.heading_error_rad + by),
                ..self.gyros
            },
            ..*self
        }
    }

    /// The same with the heading indicator set to the compass, as before take-off and every quarter of an hour.
    pub fn with_heading_from_compass(&self) -> Instruments {
        self.with_heading(self.compass.reading_rad)
    }
}

/// The panel after `dt_s`. Something seen that is no number leaves the needles where they were.
pub fn next(p: &InstrumentParams, shown: &Instruments, seen: &Seen, faults: &Faults, dt_s: f64) -> Instruments {
    if !seen.is_finite() {
        return *shown;
    }
    let faults = faults.clamped();
    let magnetic = seen.magnetic_heading_rad();
    let wants = settled_compass_rad(magnetic, seen.dip_rad, seen.accel_mps2, seen.pitch_rad);
    Instruments {
        compass: shown.compass.next(magnetic, wants, faults.stuck_compass, dt_s),
        gyros: shown.gyros.next(p, seen, faults.heading_drift_radps, dt_s),
        air: shown.air.next(p, seen, faults.dead_airspeed, dt_s),
        rpm: shown.rpm + (seen.rpm - shown.rpm) * (dt_s / (RPM_S + dt_s)),
        oil_c: seen.oil_c,
        oil_kpa: seen.oil_kpa,
        suction_kpa: seen.suction_kpa,
    }
}
