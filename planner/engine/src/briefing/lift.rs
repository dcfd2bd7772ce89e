//! How much more wind a leg bears before a wheel lifts, with the controls held right and held wrong.

use serde::{Deserialize, Serialize};

/// The margin on one leg, for its heading, its wind and its intended speed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LiftBriefing {
    /// Controls held as the rule says.
    pub held_right: LiftMargin,
    /// Controls held the other way round.
    pub held_wrong: LiftMargin,
    /// One line for the pilot.
    pub say: String,
}

/// What the wind must grow to, from the same direction, before a wheel carries nothing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LiftMargin {
    /// Wheel that lifts first: "nose wheel", "left main wheel", "right main wheel"; absent when none does below the limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wheel: Option<String>,
    /// Wind at which it lifts, knots, rounded down; absent when none lifts below the limit that was looked at.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lifts_at_kt: Option<f64>,
    /// That less the steady wind, knots; negative when it lifts already.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above_steady_kt: Option<f64>,
    /// That less the gust, knots; absent without gusts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above_gust_kt: Option<f64>,
}
