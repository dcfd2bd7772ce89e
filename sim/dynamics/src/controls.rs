//! What the pilot's hands and feet do, as plain numbers.

use crate::engine::{EngineControls, MagnetoSwitch};
use serde::{Deserialize, Serialize};

/// Most that people push or pull with, N (two people; ours).
pub const MOST_PUSH_N: f64 = 600.0;

/// A tow bar on the nose wheel, in the hands of someone outside. It works only while the propeller stands still: nobody
/// holds a bar in front of one that turns.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TowBar {
    /// Force along the nose wheel, N: forward when pulled, backward (negative) when pushed; at most [`MOST_PUSH_N`].
    pub pull_n: f64,
    /// Angle that the bar turns the nose wheel to, radians, left positive; the wheel's stop is its limit.
    pub angle_rad: f64,
}

/// Positions of all controls at one tick.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Controls {
    /// Rudder pedals, -1 (full left) to 1 (full right).
    pub rudder: f64,
    /// Left toe brake, 0 (free) to 1 (full).
    pub left_brake: f64,
    /// Right toe brake, 0 (free) to 1 (full).
    pub right_brake: f64,
    /// Throttle, 0 (idle) to 1 (full). One lever for all engines.
    pub throttle: f64,
    /// Aileron, -1 (left) to 1 (right).
    pub aileron: f64,
    /// Elevator, -1 (pulled, up) to 1 (pushed, down).
    pub elevator: f64,
    /// Mixture, 0 (cut) to 1 (rich).
    pub mixture: f64,
    /// Carburettor heat, 0 (cold) to 1 (hot).
    pub carburettor_heat: f64,
    /// Parking brake set: full pressure on both sides.
    pub parking_brake: bool,
    /// Magneto switch. Both where a record does not say.
    #[serde(default)]
    pub magnetos: MagnetoSwitch,
    /// Starter engaged. Not where a record does not say.
    #[serde(default)]
    pub starter: bool,
    /// A tow bar; none where a record does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tow_bar: Option<TowBar>,
}

impl Default for Controls {
    /// Engine at idle, mixture rich, nothing pressed.
    fn default() -> Controls {
        Controls {
            rudder: 0.0,
            left_brake: 0.0,
            right_brake: 0.0,
            throttle: 0.0,
            aileron: 0.0,
            elevator: 0.0,
            mixture: 1.0,
            carburettor_heat: 0.0,
            parking_brake: false,
            magnetos: MagnetoSwitch::Both,
            starter: false,
            tow_bar: None,
        }
    }
}

/// A number inside its range; `neutral` in place of a NaN. A negative zero becomes a plain one, so that two positions
/// that compare equal also have equal bits.
fn within(value: f64, low: f64, high: f64, neutral: f64) -> f64 {
    if value.is_nan() {
        neutral
    } else {
        value.clamp(low, high) + 0.0
    }
}

impl Controls {
    /// Every control inside its range; a NaN becomes that control's position in [`Controls::default`].
    ///
    /// ```
    /// use toeline_dynamics::Controls;
    /// let wild = Controls { rudder: f64::NAN, throttle: 7.0, ..Controls::default() };
    /// assert_eq!(wild.clamped(), Controls { throttle: 1.0, ..Controls::default() });
    /// ```
    pub fn clamped(self) -> Controls {
        let neutral = Controls::default();
        Controls {
            rudder: within(self.rudder, -1.0, 1.0, neutral.rudder),
            left_brake: within(self.left_brake, 0.0, 1.0, neutral.left_brake),
            right_brake: within(self.right_brake, 0.0, 1.0, neutral.right_brake),
            throttle: within(self.throttle, 0.0, 1.0, neutral.throttle),
            aileron: within(self.aileron, -1.0, 1.0, neutral.aileron),
            elevator: within(self.elevator, -1.0, 1.0, neutral.elevator),
            mixture: within(self.mixture, 0.0, 1.0, neutral.mixture),
            carburettor_heat: within(self.carburettor_heat, 0.0, 1.0, neutral.carburettor_heat),
            parking_brake: self.parking_brake,
            magnetos: self.magnetos,
            starter: self.starter,
            tow_bar: self.tow_bar.map(|bar| TowBar {
                pull_n: within(bar.pull_n, -MOST_PUSH_N, MOST_PUSH_N, 0.0),
                angle_rad: within(bar.angle_rad, -core::f64::consts::PI, core::f64::consts::PI, 0.0),
            }),
        }
    }

    /// The same position seen in a mirror: left and right exchanged.
    pub fn mirrored(self) -> Controls {
        Controls {
            rudder: -self.rudder,
            left_brake: self.right_brake,
            right_brake: self.left_brake,
            aileron: -self.aileron,
            tow_bar: self.tow_bar.map(|bar| TowBar {
                angle_rad: -bar.angle_rad,
                ..bar
            }),
            ..self
        }
    }

    /// What of it goes to the engine.
    pub fn engine(&self) -> EngineControls {
        EngineControls {
            throttle: self.throttle,
            mixture: self.mixture,
            carburettor_heat: self.carburettor_heat,
            magnetos: self.magnetos,
            starter: self.starter,
        }
    }

    /// Commanded brake pressure of the left and the right wheel, 0 to 1.
    pub fn brakes(&self) -> [f64; 2] {
        if self.parking_brake {
            [1.0, 1.0]
        } else {
            [self.left_brake, self.right_brake]
        }
    }
}
