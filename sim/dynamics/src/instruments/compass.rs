//! The magnetic compass: where its card wants to be, and how it swings there.

use serde::{Deserialize, Serialize};
use toeline_model::{angle, math};

pub(crate) use toeline_model::compass::around;
pub use toeline_model::compass::settled_compass_rad;

/// Undamped rate of the card's swing, rad/s, and its damping over critical (ours: a swing takes some 6 s and dies after
/// one overshoot).
const SWING_RADPS: f64 = 1.2;
const DAMPING: f64 = 0.45;

/// The compass as it reads and swings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Compass {
    /// Reading, radians clockwise, 0..2π.
    pub reading_rad: f64,
    /// How far the card stands clockwise of magnetic north, radians: magnetic heading less reading.
    pub swing_rad: f64,
    /// Its rate, rad/s.
    pub swing_radps: f64,
}

impl Compass {
    /// At rest.
    pub(crate) fn settled(magnetic_rad: f64, dip_rad: f64, accel_mps2: [f64; 2], pitch_rad: f64) -> Compass {
        let reading_rad = settled_compass_rad(magnetic_rad, dip_rad, accel_mps2, pitch_rad);
        Compass {
            reading_rad,
            swing_rad: angle::wrap(magnetic_rad - reading_rad),
            swing_radps: 0.0,
        }
    }

    /// The compass after `dt_s`. The card keeps its place in space while the case turns; the field pulls it with the sine
    /// of its distance from where it wants to be. Damping is taken in implicitly: stable, first order.
    pub(crate) fn next(&self, magnetic_rad: f64, wants_rad: f64, stuck: bool, dt_s: f64) -> Compass {
        if stuck {
            return Compass {
                swing_rad: angle::wrap(magnetic_rad - self.reading_rad),
                swing_radps: 0.0,
                ..*self
            };
        }
        let wants = magnetic_rad - wants_rad;
        let pull = SWING_RADPS * SWING_RADPS * math::sin(wants - self.swing_rad);
        let rate = (self.swing_radps + dt_s * pull) / (1.0 + dt_s * 2.0 * DAMPING * SWING_RADPS);
        let swing_rad = angle::wrap(self.swing_rad + dt_s * rate);
        Compass {
            reading_rad: around(magnetic_rad - swing_rad),
            swing_rad,
            swing_radps: rate,
        }
    }
}
