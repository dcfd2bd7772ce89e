//! The running list: what to do in order along the way, from before the aeroplane moves to the take-off roll, or from the
//! runway to the stand. `docs/briefing.md` names the source of each line.
//!
//! | file | what it holds |
//! |---|---|
//! | `list` | the list being made: the plan, the way, the stages so far |
//! | `moving` | before moving, pushed by hand, the first metres |
//! | `stretch` | the stretches between stops, hot spots |
//! | `holding` | holding short, crossing, along a runway, other stops |
//! | `check` | engine check, before take-off |
//! | `departure` | at the holding position, line-up, take-off roll |
//! | `arrival` | off the runway, after landing, onto the stand, shutting down |
//! | `text` | the list for a terminal |

mod arrival;
mod check;
mod departure;
mod holding;
mod list;
mod moving;
mod stretch;
mod text;

pub(crate) use text::text;

use super::WayBriefing;
use crate::planning::Plan;
use crate::route::{Route, StopKind};
use list::{List, holds_short};
use serde::{Deserialize, Serialize};

/// One stage of the list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RunningStage {
    /// What it is for, one of [`RUNNING_STAGES`].
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

/// What [`RunningStage::id`] can be, in the order in which a way meets them first.
pub const RUNNING_STAGES: [&str; 18] = [
    "hand_push",
    "before_moving",
    "vacated",
    "after_landing",
    "first_metres",
    "taxiing",
    "hot_spot",
    "stop",
    "hold_short",
    "crossing",
    "along_runway",
    "engine_check",
    "before_take_off",
    "at_holding_position",
    "line_up",
    "take_off_roll",
    "parking",
    "shutdown",
];

/// The full preparation: what [`RunningItem::what`] says of everything that has to be done before an aeroplane enters the
/// runway from which it takes off. Each is on a list for a departure exactly once, before `line_up`. "carburettor heat" is
/// there where the aeroplane has any, "fuel pump" and "propeller lever" likewise.
pub const FULL_PREPARATION: [&str; 16] = [
    "flight controls",
    "trim",
    "flaps",
    "mixture",
    "carburettor heat",
    "propeller lever",
    "fuel",
    "fuel pump",
    "magneto switch",
    "flight instruments",
    "engine instruments",
    "doors and harness",
    "engine fails before lift-off",
    "engine fails after lift-off",
    "lights for take-off",
    "transponder",
];

/// Makes the list of a way; `told` is what has been told of it so far.
pub(crate) fn tell(plan: &Plan, route: &Route, told: &WayBriefing) -> Vec<RunningStage> {
    let mut list = List::new(plan, route, told);
    let (Some(first), Some(last)) = (route.stops.first(), route.stops.last()) else {
        return Vec::new();
    };
    if list.off_runway() {
        arrival::vacated(&mut list, first);
    }
    let enters = list.enters_at();
    for (i, stop) in route.stops.iter().enumerate() {
        let next_m = route.stops.get(i + 1).map_or(route.path.length_m(), |s| s.at_m);
        match stop.kind {
            StopKind::Start => {}
            StopKind::EngineCheck => check::engine(&mut list, stop),
            _ if holds_short(stop) => holding::short(&mut list, stop),
            StopKind::End if list.departs() => {}
            StopKind::End if list.ends_on_stand() => arrival::parking(&mut list, stop),
            _ => holding::place(&mut list, stop),
        }
        if list.departs() && !list.prepared && (stop.kind == StopKind::EngineCheck || enters == Some(i)) {
            check::before_take_off(&mut list, stop);
        }
        if enters == Some(i) {
            departure::at_holding_position(&mut list, stop);
        }
        if holds_short(stop) {
            holding::across(&mut list, i);
        }
        let pushed_to_m = list.pushed_to_m(stop.at_m, next_m);
        if pushed_to_m.is_some() || stop.kind == StopKind::Start && !list.off_runway() {
            moving::before(&mut list, stop, pushed_to_m);
        }
        stretch::stretch(&mut list, pushed_to_m.unwrap_or(stop.at_m), next_m);
    }
    if list.departs() {
        departure::line_up(&mut list, last);
        departure::roll(&mut list);
    }
    list.stages
}
