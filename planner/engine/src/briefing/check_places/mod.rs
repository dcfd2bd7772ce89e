//! Where on the way the brakes and the instruments are checked, and where the compass may be trusted.
//!
//! Brakes in the first metres (Private Pilot ACS, II.D: "immediately after the airplane begins to move"). Turn and ball,
//! heading indicator and compass in the first turn each way, behind those metres, where a glance inside costs nothing; the figures of what that
//! means are ours. The compass on a straight that is long enough for its card to come to rest.

mod dip;
mod straights;

use super::{legs, number, stops};
use crate::clearance::Clearance;
use crate::magnetic;
use crate::planning::Plan;
use crate::route::{LegKind, Route, StopKind, Turn, TurnMeans};
use serde::{Deserialize, Serialize};
use straights::Straight;
use toeline_model::planar::inside_ring;
use toeline_model::units::DEG;

/// Least turn in which the instruments are watched, degrees (ours: long enough to look at four of them).
pub const CHECK_TURN_DEG: f64 = 30.0;
/// Eyes stay outside from this far before a holding line to this far behind it, metres of way (ours: two lengths).
pub const EYES_OUT_M: f64 = 15.0;
/// Eyes stay outside where something comes nearer than the wing-tip margin and this, metres (ours).
pub const EYES_OUT_BEYOND_MARGIN_M: f64 = 1.0;
/// Way from where the wheels begin to roll that belongs to the brakes, metres (ours: a length).
pub const BRAKES_FIRST_M: f64 = 8.0;
/// Step along the way at which hot spots are looked for, metres.
const STEP_M: f64 = 1.0;

/// What is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
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

/// The places in the order of the way, and in sentences what this way gives no place for.
pub(crate) struct Told {
    pub(crate) places: Vec<CheckPlace>,
    pub(crate) no_place: Vec<String>,
}

/// Whether the pilot's eyes belong outside somewhere between two ways: at a holding line or the end, on a runway, in a hot
/// spot, or where a part comes near something.
fn eyes_out(plan: &Plan, route: &Route, clearance: &Clearance, from_m: f64, to_m: f64) -> bool {
    let reaches = |a: f64, b: f64| a < to_m && b > from_m;
    let held = |kind: StopKind| matches!(kind, StopKind::HoldShort | StopKind::End);
    let near_m = clearance.margin_m + EYES_OUT_BEYOND_MARGIN_M;
    let inside = |s: f64| {
        let nose = route.path.pose_at(s).nose;
        plan.field.hot_spots.iter().any(|spot| inside_ring(nose, &spot.outer))
    };
    let steps = ((to_m - from_m) / STEP_M).ceil().max(0.0) as usize;
    let mut lines = route.stops.iter().filter(|s| held(s.kind));
    lines.any(|s| reaches(s.at_m - EYES_OUT_M, s.at_m + EYES_OUT_M))
        || route
            .legs
            .iter()
            .any(|l| l.kind == LegKind::Runway && reaches(l.from_m, l.to_m))
        || clearance
            .curve
            .iter()
            .any(|c| reaches(c.from_m, c.to_m) && c.gap_m.is_some_and(|gap| gap < near_m))
        || (0..=steps).any(|i| inside((from_m + i as f64 * STEP_M).min(to_m)))
}

/// Finds every place.
pub(crate) fn tell(plan: &Plan, route: &Route, clearance: &Clearance) -> Told {
    let mut told = Told {
        places: Vec::new(),
        no_place: Vec::new(),
    };
    let busy = |from_m: f64, to_m: f64| eyes_out(plan, route, clearance, from_m, to_m);
    // Without a model for the day nothing is said about the dip.
    let height_m = plan.field.elevation_m.unwrap_or(0.0);
    let dip_rad = magnetic::dip_deg(plan.field.origin, height_m, plan.request.date)
        .ok()
        .map(|deg| deg * DEG);

    let mut brakes_to_m = 0.0;
    if let Some(leg) = route.legs.iter().position(|l| l.kind != LegKind::HandPush) {
        brakes_to_m = route.legs[leg].from_m + BRAKES_FIRST_M;
        told.places.push(CheckPlace {
            kind: CheckedThere::Brakes,
            leg: leg + 1,
            at_m: number::metres(route.legs[leg].from_m),
            say: format!("brakes: {}", stops::brake_check(route)),
        });
    }
    for (kind, left, word) in [
        (CheckedThere::LeftTurn, true, "left"),
        (CheckedThere::RightTurn, false, "right"),
    ] {
        let wanted = |t: &&Turn| {
            (t.left_rad > 0.0) == left && t.left_rad.abs() >= CHECK_TURN_DEG * DEG && t.means != TurnMeans::NotPossible
        };
        let turns = || route.turns.iter().filter(wanted);
        match turns().find(|t| t.from_m >= brakes_to_m && !busy(t.from_m, t.to_m)) {
            Some(t) => told.places.push(in_turn(plan, route, t, kind, dip_rad)),
            None if turns().next().is_none() => told.no_place.push(format!(
                "No turn to the {word} of {CHECK_TURN_DEG:.0} deg or more on this way: the instruments are not seen in one."
            )),
            None => told.no_place.push(format!(
                "Every turn to the {word} of {CHECK_TURN_DEG:.0} deg or more is in the first {BRAKES_FIRST_M:.0} m, within \
                 {EYES_OUT_M:.0} m of a holding line, on a runway, in a hot spot or where something comes within {:.1} m: eyes \
                 outside, the instruments are not watched there.",
                clearance.margin_m + EYES_OUT_BEYOND_MARGIN_M
            )),
        }
    }
    compass(plan, route, &busy, dip_rad, &mut told);
    told.places
        .sort_by(|a, b| a.at_m.total_cmp(&b.at_m).then(a.kind.cmp(&b.kind)));
    told
}

fn in_turn(plan: &Plan, route: &Route, t: &Turn, kind: CheckedThere, dip_rad: Option<f64>) -> CheckPlace {
    let (leg, _) = legs::turn_place(route, t);
    let (word, other, change) = if kind == CheckedThere::LeftTurn {
        ("left", "right", "fall")
    } else {
        ("right", "left", "rise")
    };
    let lies = dip_rad.and_then(|dip| dip::in_turn(plan, route, t, dip));
    CheckPlace {
        kind,
        leg: leg + 1,
        at_m: number::metres(t.from_m),
        say: format!(
            "turn to the {word}, {:.0} deg: heading indicator and compass {change}, turn needle {word}, ball {other} (it swings \
             out), attitude level{}",
            number::angle_deg(t.left_rad.abs()),
            lies.map(|l| format!("; {l}")).unwrap_or_default()
        ),
    }
}

fn compass(plan: &Plan, route: &Route, busy: &dyn Fn(f64, f64) -> bool, dip_rad: Option<f64>, told: &mut Told) {
    let all = straights::of(route);
    let fit: Vec<&Straight> = all
        .iter()
        .filter(|s| {
            s.reads_s() >= straights::READS_S && !busy(s.settled_m(), s.settled_m() + straights::READS_S * s.speed_mps)
        })
        .collect();
    let Some(first) = fit.first() else {
        told.no_place.push(format!(
            "No straight on this way lets the compass come to rest ({:.0} s at a steady speed, eyes free to look): compare it \
             with the heading indicator while standing still.",
            straights::SETTLES_S + straights::READS_S
        ));
        return;
    };
    // The first of the longest.
    let longest = fit
        .iter()
        .rev()
        .max_by(|a, b| a.reads_s().total_cmp(&b.reads_s()))
        .unwrap_or(first);
    let mut list = vec![(*first, "first")];
    if longest.from_m != first.from_m {
        list.push((*longest, "longest"));
    }
    for (s, which) in list {
        let heading = route.path.pose_at(s.settled_m()).heading_rad.bearing();
        let magnetic = legs::magnetic(heading, plan.declination.deg);
        let shows = plan.request.aircraft.compass(magnetic);
        let three = |b| number::three(number::bearing(b));
        let lies = dip_rad.map(|dip| dip::on_straight(plan, heading, dip));
        told.places.push(CheckPlace {
            kind: CheckedThere::Compass,
            leg: legs::leg_at(route, s.settled_m()) + 1,
            at_m: number::metres(s.settled_m()),
            say: format!(
                "compass, {which} straight with a steady speed, from here for about {:.0} s: heading indicator {}, compass {}{}",
                s.reads_s().floor(),
                three(magnetic),
                three(shows),
                lies.map(|l| format!("; {l}")).unwrap_or_default()
            ),
        });
    }
}
