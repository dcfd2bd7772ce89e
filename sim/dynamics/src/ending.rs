//! Where a run ends: off the ground, or over.

use crate::{Params, State};
use serde::{Deserialize, Serialize};
use toeline_model::units::G_MPS2;

/// Pitch either way at which something other than a wheel is on the ground, radians (ours: about 20 degrees).
const MOST_PITCH_RAD: f64 = 0.35;

/// Share of the weight that the air must carry for a body clear of the ground to be flying and not bouncing (ours).
const FLIES_SHARE: f64 = 0.7;

/// How a run has ended. A state with an end stays as it is; only its tick goes on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// Not at all: the aeroplane is on its wheels.
    #[default]
    No,
    /// All wheels are off the ground and the air carries the aeroplane.
    Airborne,
    /// A wing tip, or the nose or tail, has met the ground.
    TippedOver,
}

impl End {
    /// End of a state that a tick has led to, with the air pushing up with so much, N.
    pub(crate) fn of(p: &Params, state: &State, up_n: f64) -> End {
        if state.roll_rad.abs() >= p.tip_touches_rad || state.pitch_rad.abs() >= MOST_PITCH_RAD {
            End::TippedOver
        } else if state.load_n.iter().all(|n| *n <= 0.0) && up_n > FLIES_SHARE * p.mass_kg * G_MPS2 {
            End::Airborne
        } else {
            End::No
        }
    }
}
