//! Where on the way the brakes and the instruments are checked, and where the compass may be trusted.

use serde::{Deserialize, Serialize};

/// What is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckedThere {
    /// The brakes, in the first metres.
    Brakes,
    /// Turn and ball, heading indicator and compass in a turn to the left.
    LeftTurn,
    /// The same to the right.
    RightTurn,
    /// The compass against the heading indicator: straight and steady for long enough.
    Compass,
}

/// One place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CheckPlace {
    /// What is checked.
    pub kind: CheckedThere,
    /// Number of the leg, from 1.
    pub leg: usize,
    /// Way of the nose wheel, metres.
    pub at_m: f64,
    /// One line for the pilot.
    pub say: String,
}
