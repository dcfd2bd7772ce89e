//! The running list: what to do in order along the way, from before the aeroplane moves to the take-off roll.

use serde::{Deserialize, Serialize};

/// One stage of the list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RunningStage {
    /// What it is for, in lower-case letters and underscores, for programs: "before_moving", "engine_check", ...
    pub id: String,
    /// Heading, for example "Before moving, stand 4".
    pub title: String,
    /// Way of the nose wheel where it begins, metres; absent beyond the end of the way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_m: Option<f64>,
    /// Number of the leg there, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leg: Option<usize>,
    /// What to do, in order.
    pub items: Vec<RunningItem>,
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RunningItem {
    /// What to do or look at, for example "mixture".
    pub what: String,
    /// How it should be, for example "rich" or "205 to 620 kPa"; absent when `what` says it all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_be: Option<String>,
}
