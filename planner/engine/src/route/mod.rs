//! Stage 3: the way through the graph, and the one driven path that follows it.

mod along;
pub mod apron;
mod assemble;
mod barred;
mod build;
mod by;
mod check;
mod corner;
mod cost;
mod dense;
mod departure;
pub mod dubins;
mod engine_check;
mod error;
mod everywhere;
mod gear;
mod guide;
mod limits;
mod no_way;
mod origin;
mod over_apron;
mod reached;
mod resolve;
mod rounding;
mod search;
mod stops;

pub use along::along;
pub use barred::{Barred, GaveUp};
pub use build::{Attempted, Driven, Found, Searching, find, find_priced, searching};
pub(crate) use build::{finish, prepare, searching_priced};
pub use check::blast::{
    BLAST_ENDS_MPS, BLAST_HALF_ANGLE_DEG, BlastHarm, BlastOn, blast_behind_m, blast_outlines, blast_reach_m,
};
pub use cost::{segment_cost, turn_cost};
pub use dense::Exact;
pub use error::RouteError;
pub use everywhere::{StandWay, from_all_stands};
pub use limits::{all_limits, blocked};
pub(crate) use limits::{closures_on, feature_of, name_of, runway_name, stand_name};
pub use reached::{Reached, reached_from_stands};
pub use resolve::stand;
pub(crate) use resolve::{Destination, at_holds, closed_end, destination, near, same};
pub use search::{Avoid, Directed, Place, Priced, Query, SearchGraph, Via, World};
pub(crate) use stops::HOLD_MARGIN_M;

use petgraph::graph::EdgeIndex;
use serde::{Deserialize, Serialize};
use toeline_model::airfield::{FeatureId, Surface};
use toeline_model::path::{DrivenPath, Pose};
use toeline_model::{Bearing, Xy};

/// What a leg of the way is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LegKind {
    /// By hand with a tow bar.
    HandPush,
    /// Over apron where nothing is painted, by a way that a search found.
    Apron,
    /// Off the stand, or onto one.
    Stand,
    /// Along a taxiway.
    Taxiway,
    /// Along a taxilane.
    Taxilane,
    /// Along or across a runway.
    Runway,
    /// Inside the engine-check area, off the lane.
    CheckArea,
}

/// A stretch of the way under one name.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Leg {
    /// What it is.
    pub kind: LegKind,
    /// What it is called: "taxiway B", "taxilane L", "stand 4", "unnamed taxiway", "runway 17/35".
    pub name: String,
    /// Letters alone, as said on the radio; empty when it has none.
    pub letters: Vec<String>,
    /// Feature it lies on.
    pub feature: FeatureId,
    /// Way of the nose wheel from the start of the path, metres.
    pub from_m: f64,
    /// Its end, metres.
    pub to_m: f64,
    /// Pavement width, metres, when mapped.
    pub width_m: Option<f64>,
    /// Surface.
    pub surface: Surface,
    /// Centreline as mapped, in the direction of travel, local metres.
    pub mapped_line: Vec<Xy>,
    /// Speed intended on it, metres per second, turns apart.
    pub speed_mps: f64,
    /// Steepest slope on it where mapped, percent, positive where it rises in the direction of travel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slope_percent: Option<f64>,
}

/// How a turn is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TurnMeans {
    /// Nose-wheel steering alone.
    Steering,
    /// Steering with inside brake.
    InsideBrake,
    /// Tighter than this aeroplane can turn.
    NotPossible,
}

/// One rounded corner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Turn {
    /// Way at which the turn begins, metres.
    pub from_m: f64,
    /// Way at which it ends, metres.
    pub to_m: f64,
    /// Angle turned, radians, left positive.
    pub left_rad: f64,
    /// Radius of the nose wheel's way, metres; on average where several bends make one turn.
    pub radius_m: f64,
    /// Greatest nose-wheel angle in it, radians.
    pub nose_wheel_rad: f64,
    /// How it is made.
    pub means: TurnMeans,
    /// Farthest the nose wheel gets from the mapped line, metres.
    pub off_line_m: f64,
    /// Farthest that the middle of the main axle runs inside the nose wheel's way, in the turn and behind it, metres.
    #[serde(default)]
    pub off_tracking_m: f64,
    /// Least distance from the outside of a main tyre to the pavement edge of the legs that meet in the turn, metres,
    /// sampled; negative off them; `None` on open ground and where a width is not mapped.
    #[serde(default)]
    pub edge_room_m: Option<f64>,
}

/// Why the way stops somewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StopKind {
    /// The start.
    Start,
    /// Engine check.
    EngineCheck,
    /// A holding position on the way: hold short until told to cross or enter.
    HoldShort,
    /// A stand or another place asked for.
    Place,
    /// The holding position at the end.
    End,
}

/// A place where the aeroplane stops.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stop {
    /// Why.
    pub kind: StopKind,
    /// What the place is called.
    pub name: String,
    /// What it guards or is for, for example "runway 17/35".
    pub of: Option<String>,
    /// Way of the nose wheel, metres.
    pub at_m: f64,
    /// Pose there.
    pub pose: Pose,
    /// Place of the holding line itself, local metres, where there is one.
    pub line_at: Option<Xy>,
    /// Whether the holding position was derived at the published distance because the map has none.
    pub derived: bool,
}

/// One term of the price of the way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CostTerm {
    /// What costs, for example "taxiway B, 120 m at 12 kt" or "turn left 88 deg".
    pub what: String,
    /// Where, local metres.
    pub at: Xy,
    /// Price, milliseconds: integers, so that equal ways tie the same everywhere.
    pub cost_ms: u64,
}

/// How the aeroplane stands for the engine check.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CheckStand {
    /// Area.
    pub area: String,
    /// Heading it stands on.
    pub heading: Bearing,
    /// Direction of the wind from true north; `None` when calm, variable or below [`FREE_HEADING_BELOW_MPS`].
    pub wind_from: Option<Bearing>,
    /// Angle between the nose and the wind, degrees, 0..180; `None` when the heading is free.
    pub off_wind_deg: Option<f64>,
    /// Why it stands so, in a sentence.
    pub why: String,
    /// How far the blast reaches behind the propeller at the rpm of the check, metres.
    #[serde(default)]
    pub blast_m: f64,
    /// What the blast falls on all the same, worst first.
    #[serde(default)]
    pub blast_on: Vec<BlastOn>,
    /// The next best ways to stand that were found, best first.
    #[serde(default)]
    pub others: Vec<CheckOther>,
}

/// A way to stand for the engine check that was not chosen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CheckOther {
    /// Contact point of the nose wheel, local metres.
    pub nose: Xy,
    /// Heading.
    pub heading: Bearing,
    /// Angle between the nose and the wind, degrees, 0..180; `None` when the heading is free.
    pub off_wind_deg: Option<f64>,
    /// What is worse than at the chosen place: "9 m more to drive".
    pub why: String,
}

/// Below this wind speed (3 kt, ours) the heading for the engine check is free, metres per second.
pub const FREE_HEADING_BELOW_MPS: f64 = 3.0 * toeline_model::units::KNOT_MPS;

/// A way, found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Route {
    /// The one driven path.
    pub path: DrivenPath,
    /// Stretches under one name, in order.
    pub legs: Vec<Leg>,
    /// Rounded corners, in order.
    pub turns: Vec<Turn>,
    /// Stops, in order; the first is the start and the last the end.
    pub stops: Vec<Stop>,
    /// Every term of the price.
    pub costs: Vec<CostTerm>,
    /// Sum of the terms, milliseconds.
    pub cost_ms: u64,
    /// How it stands for the engine check.
    pub check: Option<CheckStand>,
    /// Segments used, in order, with the sense (true: along the segment's line).
    #[serde(skip)]
    pub segments: Vec<(EdgeIndex, bool)>,
    /// Doubts about the way itself, for example a stand without a heading.
    pub doubts: Vec<String>,
}

/// One limit that stands in the way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Block {
    /// Feature.
    pub feature: FeatureId,
    /// Sentence with value, unit and limit: "taxiway C: closed (resurfacing)".
    pub text: String,
    /// Where, local metres.
    pub at: Xy,
}

/// Why there is no way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NoWay {
    /// The stop that cannot be reached.
    pub unreachable: String,
    /// From where.
    pub from: String,
    /// The fewest limits that, lifted together, open a way, in the order in which it meets them; of equally few those of the
    /// cheapest way. Empty when no lane leads there at all.
    pub blocks: Vec<Block>,
    /// Whether no fewer would do: false when the search for them met its limit; `None` where they were not searched for,
    /// because an instruction was to be followed or a place asked for is itself closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fewest: Option<bool>,
}
