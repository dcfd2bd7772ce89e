//! What the instruments feel.

use crate::airflow::wind_on_body;
use crate::{Air, Params, State, TICK_S};
use serde::{Deserialize, Serialize};
use toeline_model::units::DEG;
use toeline_model::{Yaw, math};

/// Everything that acts on the instruments in one tick. Turns are positive to the left, as in the whole crate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// True heading.
    pub heading: Yaw,
    /// Yaw rate, rad/s, left positive.
    pub yaw_radps: f64,
    /// Pitch, radians, nose up positive.
    pub pitch_rad: f64,
    /// Roll, radians, right wing down positive.
    pub roll_rad: f64,
    /// Speed over the ground along the axis, m/s.
    pub forward_mps: f64,
    /// Speed through the air along the axis, m/s.
    pub airspeed_mps: f64,
    /// Acceleration over the ground, m/s², forward and left in the level plane; gravity is not part of it.
    pub accel_mps2: [f64; 2],
    /// Latitude, radians, north positive.
    pub latitude_rad: f64,
    /// Dip of the earth's field, radians, north end down positive.
    pub dip_rad: f64,
    /// Declination, radians, east positive.
    pub declination_rad: f64,
    /// Elevation, metres above mean sea level.
    pub elevation_m: f64,
    /// Random drift of the heading indicator in this tick, rad/s, positive reading ever higher; see
    /// [`random_drift_radps`](super::random_drift_radps).
    pub drift_radps: f64,
    /// Engine speed, rpm.
    pub rpm: f64,
    /// Oil temperature, degrees Celsius.
    pub oil_c: f64,
    /// Oil pressure, kPa.
    pub oil_kpa: f64,
    /// Suction, kPa.
    pub suction_kpa: f64,
}

/// Where the aerodrome is, as far as its instruments feel it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Latitude, radians, north positive.
    pub latitude_rad: f64,
    /// Dip of the earth's field, radians, north end down positive.
    pub dip_rad: f64,
    /// Declination, radians, east positive.
    pub declination_rad: f64,
    /// Elevation, metres above mean sea level.
    pub elevation_m: f64,
}

impl Default for Seen {
    /// Standing still at the equator, nose east, engine stopped; no dip, no declination.
    fn default() -> Seen {
        Seen {
            heading: Yaw::from_rad(0.0),
            yaw_radps: 0.0,
            pitch_rad: 0.0,
            roll_rad: 0.0,
            forward_mps: 0.0,
            airspeed_mps: 0.0,
            accel_mps2: [0.0; 2],
            latitude_rad: 0.0,
            dip_rad: 0.0,
            declination_rad: 0.0,
            elevation_m: 0.0,
            drift_radps: 0.0,
            rpm: 0.0,
            oil_c: 15.0,
            oil_kpa: 0.0,
            suction_kpa: 0.0,
        }
    }
}

impl Seen {
    /// What the instruments feel of a state, in the air it stands in, at a place, with a random drift of the heading
    /// indicator.
    pub fn of(p: &Params, air: &Air, state: &State, place: &Place, drift_radps: f64) -> Seen {
        let (cos, sin) = (math::cos(state.yaw_rad), math::sin(state.yaw_rad));
        let wind = wind_on_body(air, state, cos, sin, state.tick as f64 * TICK_S);
        Seen {
            heading: Yaw::from_rad(state.yaw_rad),
            yaw_radps: state.yaw_radps,
            pitch_rad: state.pitch_rad,
            roll_rad: state.roll_rad,
            forward_mps: state.forward_mps,
            airspeed_mps: state.forward_mps - wind[0],
            accel_mps2: state.accel_mps2,
            latitude_rad: place.latitude_rad,
            dip_rad: place.dip_rad,
            declination_rad: place.declination_rad,
            elevation_m: place.elevation_m + p.cg_height_m + state.heave_m,
            drift_radps,
            rpm: state.engine.rpm,
            oil_c: state.engine.oil_c,
            oil_kpa: state.engine.oil_kpa,
            suction_kpa: state.engine.suction_kpa,
        }
    }

    /// True heading clockwise from north, radians.
    pub fn true_heading_rad(&self) -> f64 {
        self.heading.bearing().deg() * DEG
    }

    /// Magnetic heading clockwise from north, radians.
    pub fn magnetic_heading_rad(&self) -> f64 {
        self.true_heading_rad() - self.declination_rad
    }

    /// Whether every figure is a number.
    pub fn is_finite(&self) -> bool {
        [
            self.heading.rad(),
            self.yaw_radps,
            self.pitch_rad,
            self.roll_rad,
            self.forward_mps,
            self.airspeed_mps,
            self.accel_mps2[0],
            self.accel_mps2[1],
            self.latitude_rad,
            self.dip_rad,
            self.declination_rad,
            self.elevation_m,
            self.drift_radps,
            self.rpm,
            self.oil_c,
            self.oil_kpa,
            self.suction_kpa,
        ]
        .iter()
        .all(|x| x.is_finite())
    }
}
