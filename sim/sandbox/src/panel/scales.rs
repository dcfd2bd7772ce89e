//! What each needle points to: angles in radians clockwise from the top of the dial, for figures as the dynamics give them.
//! The scales are ours, except for the limits, which are the aircraft file's.

use core::f64::consts::{FRAC_PI_2, TAU};
use toeline_model::Aircraft;
use toeline_model::units::{DEG, knots};

/// Metres in a foot.
const FOOT_M: f64 = 0.3048;
/// First and last figure of the airspeed scale, knots, and where they stand, degrees.
const AIRSPEED_KT: [f64; 2] = [40.0, 160.0];
const AIRSPEED_DEG: [f64; 2] = [30.0, 330.0];
/// End of the vertical-speed scale, feet per minute, and how far from level it stands, degrees.
pub const CLIMB_FPM: f64 = 2000.0;
const CLIMB_DEG: f64 = 170.0;
/// Rate of turn that the turn indicator's side marks stand for, degrees a second, and where they stand, degrees.
pub const STANDARD_DEGPS: f64 = 3.0;
/// Where the mark of a standard-rate turn stands, radians from the middle.
pub const STANDARD_MARK_RAD: f64 = 24.0 * DEG;
/// How far the rpm scale reaches each way from the top, radians.
pub const RPM_REACH_RAD: f64 = 130.0 * DEG;

fn share(value: f64, low: f64, high: f64) -> f64 {
    ((value - low) / (high - low)).clamp(0.0, 1.0)
}

/// Airspeed needle. Below the first figure it goes down to its peg at the top.
pub fn airspeed_rad(mps: f64) -> f64 {
    let kt = knots(mps).max(0.0);
    let deg = if kt < AIRSPEED_KT[0] {
        kt / AIRSPEED_KT[0] * AIRSPEED_DEG[0]
    } else {
        AIRSPEED_DEG[0] + share(kt, AIRSPEED_KT[0], AIRSPEED_KT[1]) * (AIRSPEED_DEG[1] - AIRSPEED_DEG[0])
    };
    deg * DEG
}

/// Feet of an altitude in metres.
pub fn feet(metres: f64) -> f64 {
    metres / FOOT_M
}

/// The altimeter's long needle (a turn for a thousand feet) and short needle (a turn for ten thousand).
pub fn altitude_rad(metres: f64) -> [f64; 2] {
    [1000.0, 10_000.0].map(|turn| (feet(metres) / turn).rem_euclid(1.0) * TAU)
}

/// Vertical-speed needle: level at the left, climbing upward, to the end of the scale.
pub fn climb_rad(mps: f64) -> f64 {
    let fpm = feet(mps) * 60.0;
    -FRAC_PI_2 + (fpm / CLIMB_FPM).clamp(-1.0, 1.0) * CLIMB_DEG * DEG
}

/// Turn needle: upright when not turning, to the right in a right turn, on its mark at the standard rate, to its stop at
/// twice that.
pub fn turn_rad(right_radps: f64) -> f64 {
    (right_radps / (STANDARD_DEGPS * DEG)).clamp(-2.0, 2.0) * STANDARD_MARK_RAD
}

/// Ball in its tube: -1 at the left end, 1 at the right.
pub fn ball_share(ball_rad: f64) -> f64 {
    (ball_rad / (15.0 * DEG)).clamp(-1.0, 1.0)
}

/// Where a mark of the heading indicator's card stands: its own bearing at the top when that is the heading.
pub fn heading_mark_rad(mark_rad: f64, heading_rad: f64) -> f64 {
    toeline_model::angle::wrap(mark_rad - heading_rad)
}

/// Where a mark of the compass card stands in its window: sine and cosine of its place about the card's axis, positive
/// sine to the right, positive cosine in front. The pilot looks at the near side of the card, so figures grow to the left.
pub fn compass_mark(mark_rad: f64, reading_rad: f64) -> [f64; 2] {
    let by = reading_rad - mark_rad;
    [by.sin(), by.cos()]
}

/// The last figure of an aeroplane's rpm scale: the red line and a little more, in whole five hundreds.
pub fn rpm_most(a: &Aircraft) -> f64 {
    ((a.engine.red_line_rpm * 1.1) / 500.0).ceil() * 500.0
}

/// Rpm needle.
pub fn rpm_rad(rpm: f64, most: f64) -> f64 {
    (share(rpm, 0.0, most) * 2.0 - 1.0) * RPM_REACH_RAD
}

/// One of the small straight gauges: scale and marked range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Straight {
    /// Ends of the scale.
    pub scale: [f64; 2],
    /// The range of the aircraft file.
    pub range: [f64; 2],
}

impl Straight {
    /// Oil temperature, degrees Celsius.
    pub fn oil_c(a: &Aircraft) -> Straight {
        let range = [a.engine_check.oil_least_c, a.engine_check.oil_most_c];
        Straight {
            scale: [range[0].min(0.0), range[1] + (range[1] - range[0]) / 4.0],
            range,
        }
    }

    /// Oil pressure, kilopascals.
    pub fn oil_kpa(a: &Aircraft) -> Straight {
        let range = a.engine_check.oil_pressure_kpa;
        Straight {
            scale: [0.0, 1.25 * range[1]],
            range,
        }
    }

    /// Suction, kilopascals; `None` where the gyroscopes are electric.
    pub fn suction_kpa(a: &Aircraft) -> Option<Straight> {
        let range = a.engine_check.suction_kpa?;
        Some(Straight {
            scale: [0.0, 1.25 * range[1]],
            range,
        })
    }

    /// Place of a figure along the scale, 0 at the left end to 1 at the right.
    pub fn place(&self, value: f64) -> f64 {
        share(value, self.scale[0], self.scale[1])
    }

    /// Below, inside or above the range.
    pub fn holds(&self, value: f64) -> core::cmp::Ordering {
        if value < self.range[0] {
            core::cmp::Ordering::Less
        } else if value > self.range[1] {
            core::cmp::Ordering::Greater
        } else {
            core::cmp::Ordering::Equal
        }
    }
}

/// An angle as a heading in three figures: 001 to 360.
pub fn three_figures(rad: f64) -> String {
    let deg = (rad / DEG).round().rem_euclid(360.0);
    format!("{:03.0}", if deg < 0.5 { 360.0 } else { deg })
}
