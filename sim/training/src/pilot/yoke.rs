//! The hands on the yoke: held for the wind.
//!
//! FAA Airplane Flying Handbook, chapter 2, nose-wheel aeroplanes: quartering headwind, aileron up on the wind's side and
//! elevator neutral; quartering tailwind, aileron down on the wind's side and elevator down. Between the quarters, ours:
//! within [`NEAR_DEG`] of abeam the yoke stays as it was held, so that it is not thrown over at every wobble of the heading;
//! exactly ahead or behind the ailerons are neutral. Both grow with the wind and are full at [`FULL_AT_MPS`].

use toeline_model::math;
use toeline_model::units::{DEG, KNOT_MPS};

/// Angle either side of abeam within which the controls stay as they are, degrees.
const NEAR_DEG: f64 = 3.0;
/// Wind at which the controls are held fully over, m/s (10 kt).
const FULL_AT_MPS: f64 = 10.0 * KNOT_MPS;
/// Wind below which the controls are left alone, m/s (1 kt).
const LEFT_ALONE_MPS: f64 = KNOT_MPS;
/// Angle off the nose or the tail at which the ailerons are fully over, radians (15 degrees).
const FULL_FROM_RAD: f64 = 15.0 * DEG;

/// How the yoke is held.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Yoke {
    /// Aileron, -1 (left) to 1 (right).
    pub aileron: f64,
    /// Elevator, -1 (pulled) to 1 (pushed).
    pub elevator: f64,
}

/// How to hold the yoke in a wind of so many m/s from ahead and from the right; `behind` says whether it was held for a
/// wind from behind so far.
pub fn held_for(ahead_mps: f64, from_right_mps: f64, behind: bool) -> (Yoke, bool) {
    let speed = math::hypot(ahead_mps, from_right_mps);
    if speed < LEFT_ALONE_MPS {
        return (Yoke::default(), false);
    }
    let near = math::sin(NEAR_DEG * DEG);
    let behind = if behind {
        ahead_mps < near * speed
    } else {
        ahead_mps < -near * speed
    };
    let share = (speed / FULL_AT_MPS).min(1.0);
    let over = (from_right_mps / speed / math::sin(FULL_FROM_RAD)).clamp(-1.0, 1.0);
    let yoke = Yoke {
        aileron: if behind { -over * share } else { over * share },
        elevator: if behind { share } else { 0.0 },
    };
    (yoke, behind)
}
