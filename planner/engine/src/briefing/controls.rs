//! Where the controls change along a leg that winds: the heading sweeps through several quarters of the wind there.

use super::{legs, number, wind};
use crate::planning::Plan;
use crate::route::{Leg, LegKind, Route};
use serde::{Deserialize, Serialize};
use toeline_model::Bearing;
use wind::{Elevator, Yoke};

/// Step along the way at which the heading is looked at, metres.
const STEP_M: f64 = 1.0;
/// A setting that would hold for less than this way is not told, metres (ours: about two seconds at walking pace).
const HELD_FOR_M: f64 = 4.0;

/// A change of the controls on a leg.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ControlChange {
    /// Way into the leg, metres.
    pub after_m: f64,
    /// Heading there, degrees magnetic.
    pub heading_magnetic_deg: f64,
    /// Yoke from there on.
    pub yoke: Yoke,
    /// Elevator from there on.
    pub elevator: Elevator,
    /// One line for the pilot.
    pub say: String,
}

/// The changes on a winding leg, in order; none in calm or variable wind, or while pushed by hand.
pub(crate) fn changes(plan: &Plan, route: &Route, leg: &Leg, start: Bearing) -> Vec<ControlChange> {
    let declination = plan.declination.deg;
    let on = |heading: Bearing| wind::on_heading(&plan.request.wind, declination, heading);
    let mut list = Vec::new();
    if leg.kind == LegKind::HandPush || on(start).quarter.is_none() {
        return list;
    }
    let length = (leg.to_m - leg.from_m).max(0.0);
    let heading_at = |s: f64| route.path.pose_at(leg.from_m + s).heading_rad.bearing();
    let controls_at = |s: f64| {
        let w = on(heading_at(s));
        (w.yoke, w.elevator)
    };
    let mut held = (on(start).yoke, on(start).elevator);
    let mut changed_at: Option<(f64, (Yoke, Elevator))> = None;
    for i in 0..=(length / STEP_M) as usize {
        let s = i as f64 * STEP_M;
        let now = controls_at(s);
        if now == held {
            changed_at = None;
            continue;
        }
        let (since, which) = match changed_at {
            Some(c) if c.1 == now => c,
            _ => (s, now),
        };
        changed_at = Some((since, which));
        if s - since >= HELD_FOR_M {
            held = now;
            changed_at = None;
            let heading_magnetic_deg = number::bearing(legs::magnetic(heading_at(since), declination));
            list.push(ControlChange {
                after_m: number::metres(since),
                heading_magnetic_deg,
                yoke: now.0,
                elevator: now.1,
                say: format!(
                    "from {since:.0} m on, turning through {}: {}",
                    number::three(heading_magnetic_deg),
                    wind::control_short(now.0, now.1)
                ),
            });
        }
    }
    list
}
