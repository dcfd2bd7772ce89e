//! The wind at which the first wheel carries nothing.

use super::{OnWheels, Surfaces};
use crate::math;

/// Step at which the wind is looked through, m/s (ours, about a knot). The load of a wheel is made of terms that go with the
/// square of the flow and need not fall steadily, so the first zero is looked for from calm upward. A dip below nothing that
/// is narrower than a step goes unseen: where the weight is lifted at 25 m/s it is a ten-thousandth of the weight deep.
const STEP_MPS: f64 = 0.5;
/// Rounds of halving within a step: to less than a millionth of a metre a second.
const HALVINGS: usize = 20;

/// A wheel that lifts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lifted {
    /// Which: [`super::NOSE`], [`super::LEFT`], [`super::RIGHT`].
    pub wheel: usize,
    /// Wind at which it carries nothing, m/s; it still carries something at this figure, and nothing a millionth beyond.
    pub wind_mps: f64,
}

/// The least wind from `from_right_rad` (0 from straight ahead, positive from the right) at which a wheel carries nothing,
/// rolling at `speed_mps` with the surfaces held; `None` when none lifts up to `most_mps`.
pub fn first_lift(
    on: &OnWheels,
    from_right_rad: f64,
    speed_mps: f64,
    held: &Surfaces,
    most_mps: f64,
) -> Option<Lifted> {
    let (sin, cos) = math::sin_cos(from_right_rad);
    // Wind from the right blows to the left: the body moves through it to the right.
    let least = |wind_mps: f64| {
        let load_n = on.loads_n([speed_mps + wind_mps * cos, -wind_mps * sin], held);
        (0..3).map(|i| (load_n[i], i)).fold(
            (f64::INFINITY, 0),
            |best, next| {
                if next.0 < best.0 { next } else { best }
            },
        )
    };
    let steps = (most_mps / STEP_MPS).ceil().max(0.0) as usize;
    let found = (0..=steps).find(|k| least(*k as f64 * STEP_MPS).0 <= 0.0)?;
    let mut high = found as f64 * STEP_MPS;
    let mut low = (high - STEP_MPS).max(0.0);
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if least(middle).0 <= 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    (low <= most_mps).then(|| Lifted {
        wheel: least(high).1,
        wind_mps: low,
    })
}
