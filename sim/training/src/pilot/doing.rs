//! What the pilot is at, and the stops made.

use super::check::CheckStep;
use serde::{Deserialize, Serialize};
use toeline_engine::route::StopKind;

/// What the pilot is at.
#[derive(Clone, Debug, PartialEq)]
pub enum Doing {
    /// Taxiing.
    Taxiing,
    /// Standing at a stop for some more seconds.
    Standing {
        /// Seconds to go.
        left_s: f64,
    },
    /// Checking the engine.
    Checking(CheckStep),
    /// Standing at the end of the way.
    Arrived,
    /// Given up, with the reason.
    GaveUp(String),
}

/// A stop as it was made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StopMade {
    /// What the place is called.
    pub name: String,
    /// Why it was made.
    pub kind: StopKind,
    /// Place asked for, metres of way.
    pub at_m: f64,
    /// Place it was made at, metres of way.
    pub made_at_m: f64,
    /// Nose wheel beside the path there, metres, left positive.
    pub offset_m: f64,
    /// Nose-wheel angle it was left at, radians.
    pub wheel_rad: f64,
    /// Tick.
    pub tick: u64,
}
