//! The gyroscopes: heading indicator, attitude indicator, turn indicator; and the ball, which has none.

use super::compass::around;
use super::{InstrumentParams, Seen};
use serde::{Deserialize, Serialize};
use toeline_model::units::{DEG, G_MPS2};
use toeline_model::{angle, math};

/// Turn of the earth as the trade reckons it: 15 degrees an hour.
const EARTH_RADPS: f64 = 15.0 * DEG / 3600.0;
/// Metres for which an eastward way of one radian of longitude is counted: drift in degrees per hour is knots east times
/// tan(latitude) over 60, so 1852 m · 60 a degree.
const EARTH_M: f64 = 1852.0 * 60.0 / DEG;
/// Latitude beyond which the transport drift is taken as it is there, radians: its tangent has no bound at the pole.
const MOST_LATITUDE_RAD: f64 = 89.0 * DEG;
/// Time constants of the rotors spinning up and running down, seconds (ours).
const SPIN_UP_S: f64 = 30.0;
const RUN_DOWN_S: f64 = 150.0;
/// Where the attitude indicator lies with its rotor stopped: pitch and roll, radians (ours).
const TOPPLED_RAD: [f64; 2] = [-8.0 * DEG, 20.0 * DEG];
/// Time constants of the turn indicator and the ball, seconds (ours).
const TURN_S: f64 = 0.3;
const BALL_S: f64 = 0.25;
/// Where the ball meets the end of its tube, radians (ours).
const TUBE_RAD: f64 = 15.0 * DEG;

/// Drift of a heading indicator from the turning earth and from its own way over it, rad/s, positive reading ever higher.
/// In the northern hemisphere it reads ever lower: 15 degrees an hour times the sine of the latitude.
///
/// ```
/// use toeline_dynamics::instruments::apparent_drift_radps;
/// let drift = apparent_drift_radps(45_f64.to_radians(), 0.0).to_degrees() * 3600.0;
/// assert!((drift + 10.6066).abs() < 1e-4);
/// ```
pub fn apparent_drift_radps(latitude_rad: f64, east_mps: f64) -> f64 {
    let bounded = latitude_rad.clamp(-MOST_LATITUDE_RAD, MOST_LATITUDE_RAD);
    -(EARTH_RADPS * math::sin(latitude_rad) + east_mps * math::tan(bounded) / EARTH_M)
}

/// Greatest random drift of a sound heading indicator: 3 degrees in 15 minutes, rad/s (common practice, no FAA source).
pub const MOST_DRIFT_RADPS: f64 = 3.0 * DEG / 900.0;
/// Time between the drift's random values, seconds; in between it moves in a straight line (ours).
const DRIFT_EVERY_S: f64 = 60.0;

/// Random drift of a sound heading indicator at a time, rad/s, out of a seed: the same for the same seed and time, on
/// every machine. Never beyond [`MOST_DRIFT_RADPS`].
pub fn random_drift_radps(seed: u64, time_s: f64) -> f64 {
    let place = (time_s / DRIFT_EVERY_S).max(0.0);
    let place = if place.is_finite() { place.min(1e12) } else { 0.0 };
    let (node, between) = (place.floor(), place - place.floor());
    let value = |n: f64| {
        // Splitmix64 (Steele, Lea and Flood 2014): well mixed from a counter, no state to keep.
        let mut z = seed.wrapping_add((n as u64).wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15));
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        (z >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    };
    MOST_DRIFT_RADPS * (value(node) * (1.0 - between) + value(node + 1.0) * between)
}

/// The gyroscopic instruments and the ball.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gyros {
    /// Speed of the suction-driven rotors over their full one, 0 to 1.
    pub spin: f64,
    /// Heading indicator, radians clockwise, 0..2π.
    pub heading_rad: f64,
    /// Heading indicator less true heading, radians.
    pub heading_error_rad: f64,
    /// Attitude indicator, nose up positive, radians.
    pub pitch_rad: f64,
    /// Attitude indicator, right wing down positive, radians.
    pub roll_rad: f64,
    /// Turn indicator, rad/s, right positive.
    pub turn_radps: f64,
    /// Ball, radians of its tube, right positive.
    pub ball_rad: f64,
}

fn lag(value: f64, target: f64, constant_s: f64, dt_s: f64) -> f64 {
    value + (target - value) * (dt_s / (constant_s + dt_s))
}

/// How little a slow rotor holds: 0 at full speed, 1 when stopped.
fn slackness(spin: f64) -> f64 {
    (1.0 - spin) * (1.0 - spin)
}

/// Where the ball comes to rest: along apparent gravity across the body. A ground turn to the right throws it left.
fn ball_rests_rad(seen: &Seen) -> f64 {
    (seen.roll_rad + math::atan(seen.accel_mps2[1] / G_MPS2)).clamp(-TUBE_RAD, TUBE_RAD)
}

fn spin_wanted(p: &InstrumentParams, seen: &Seen) -> f64 {
    match p.suction_enough_kpa {
        Some(enough) => (seen.suction_kpa / enough).clamp(0.0, 1.0),
        // Driven by electricity, which this model never loses.
        None => 1.0,
    }
}

impl Gyros {
    /// Rotors at a speed, the heading indicator set to a figure, the rest at rest.
    pub(crate) fn settled(seen: &Seen, spin: f64, heading_rad: f64) -> Gyros {
        let slack = slackness(spin);
        Gyros {
            spin,
            heading_rad: around(heading_rad),
            heading_error_rad: angle::wrap(heading_rad - seen.true_heading_rad()),
            pitch_rad: seen.pitch_rad + slack * (TOPPLED_RAD[0] - seen.pitch_rad),
            roll_rad: seen.roll_rad + slack * (TOPPLED_RAD[1] - seen.roll_rad),
            turn_radps: -seen.yaw_radps,
            ball_rad: ball_rests_rad(seen),
        }
    }

    pub(crate) fn next(&self, p: &InstrumentParams, seen: &Seen, fault_radps: f64, dt_s: f64) -> Gyros {
        let wanted = spin_wanted(p, seen);
        let constant_s = if wanted > self.spin { SPIN_UP_S } else { RUN_DOWN_S };
        let spin = lag(self.spin, wanted, constant_s, dt_s);
        let slack = slackness(spin);
        let true_rad = seen.true_heading_rad();
        let east_mps = seen.forward_mps * math::sin(true_rad);
        // A rotor that does not hold is carried round by its case: the figure then stays while the aeroplane turns.
        let drift =
            apparent_drift_radps(seen.latitude_rad, east_mps) + seen.drift_radps + fault_radps + slack * seen.yaw_radps;
        let heading_error_rad = angle::wrap(self.heading_error_rad + drift * dt_s);
        Gyros {
            spin,
            heading_rad: around(true_rad + heading_error_rad),
            heading_error_rad,
            pitch_rad: seen.pitch_rad + slack * (TOPPLED_RAD[0] - seen.pitch_rad),
            roll_rad: seen.roll_rad + slack * (TOPPLED_RAD[1] - seen.roll_rad),
            turn_radps: lag(self.turn_radps, -seen.yaw_radps, TURN_S, dt_s),
            ball_rad: lag(self.ball_rad, ball_rests_rad(seen), BALL_S, dt_s),
        }
    }
}
