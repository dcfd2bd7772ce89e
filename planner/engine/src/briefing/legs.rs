//! The legs of the way as a pilot flies them off the page: bearings, speed, time, turns, wind, room.

use super::controls::{self, ControlChange};
use super::gaps::{self, GapBriefing};
use super::lift::{self, LiftBriefing};
use super::wind::{self, WindBriefing};
use super::{clean, compass, number, times};
use crate::clearance::Clearance;
use crate::planning::Plan;
use crate::route::{Leg, LegKind, Route, Turn, TurnMeans};
use serde::{Deserialize, Serialize};
use toeline_model::aircraft::SteeringKind;
use toeline_model::airfield::Surface;
use toeline_model::units::{DEG, gap_floor};
use toeline_model::{Aircraft, Bearing, Xy};

/// A line counts as straight when no piece of it is farther than this from its end-to-end direction, degrees (ours).
pub const STRAIGHT_WITHIN_DEG: f64 = 10.0;
/// Pieces of a mapped line shorter than this say nothing about its direction, metres (ours).
const SHORT_PIECE_M: f64 = 0.5;
/// A turn belongs to the end of a leg when the end lies in it or this near to it, metres (ours).
const TURN_NEAR_END_M: f64 = 0.5;

/// Which way a leg runs, degrees.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Directions {
    /// Whether it bends by more than [`STRAIGHT_WITHIN_DEG`]; then the first figures hold at its start.
    pub winding: bool,
    /// True bearing: from end to end, or at the start of a winding leg.
    pub true_deg: f64,
    /// The same from magnetic north.
    pub magnetic_deg: f64,
    /// What the heading indicator reads when it was set to the compass: the magnetic bearing.
    pub heading_indicator_deg: f64,
    /// What a steady compass reads there: the magnetic bearing with the deviation of the card.
    #[serde(default)]
    pub compass_deg: f64,
    /// True bearing at the end of a winding leg.
    pub last_true_deg: Option<f64>,
    /// The same from magnetic north.
    pub last_magnetic_deg: Option<f64>,
    /// What a steady compass reads at the end of a winding leg.
    #[serde(default)]
    pub last_compass_deg: Option<f64>,
}

/// One turn as it is told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TurnBriefing {
    /// Whether it leads from this leg to the next one; otherwise the leg bends there.
    pub at_end: bool,
    /// "left" or "right".
    pub direction: String,
    /// How far, degrees.
    pub turn_deg: f64,
    /// Radius of the nose wheel's way, metres.
    pub radius_m: f64,
    /// Greatest nose-wheel angle, degrees.
    pub nose_wheel_deg: f64,
    /// How it is made.
    pub means: TurnMeans,
    /// Farthest the nose wheel gets from the mapped line, metres.
    pub off_line_m: f64,
    /// Farthest that the middle of the main axle runs inside the nose wheel's way, metres.
    pub off_tracking_m: f64,
    /// Least room from a main tyre to the mapped pavement edge in it, metres, rounded down; absent on open ground and where
    /// no width is mapped.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edge_room_m: Option<f64>,
    /// One line for the pilot.
    pub say: String,
}

/// One leg as it is told. Lengths in metres, rounded.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LegBriefing {
    /// Number from 1.
    pub number: usize,
    /// Name.
    pub name: String,
    /// What it is.
    pub kind: LegKind,
    /// Length, metres.
    pub length_m: f64,
    /// Which way it runs.
    pub directions: Directions,
    /// Intended speed, turns apart, knots.
    pub speed_kt: f64,
    /// Time under way, turns at their own speed, seconds.
    pub time_s: f64,
    /// Turns, the one at the end last.
    pub turns: Vec<TurnBriefing>,
    /// Wind and controls at its start; absent when pushed by hand.
    pub wind: Option<WindBriefing>,
    /// Wind and controls at its end, when the leg winds.
    pub wind_at_end: Option<WindBriefing>,
    /// How much more wind it bears before a wheel lifts; absent in calm or variable wind and when pushed by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lift: Option<LiftBriefing>,
    /// Where the controls change along a winding leg.
    pub control_changes: Vec<ControlChange>,
    /// Surface.
    pub surface: Surface,
    /// Pavement width, metres, when mapped.
    pub width_m: Option<f64>,
    /// Steepest slope where mapped, percent, positive where the way rises.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slope_percent: Option<f64>,
    /// Never above the least gap on this leg, metres, rounded down; absent when nothing comes near.
    pub least_gap_m: Option<f64>,
    /// The least gap of all obstacles that are nearest on this leg.
    pub tightest: Option<GapBriefing>,
}

/// Magnetic bearing of a true one; `declination_deg` is east positive.
pub fn magnetic(true_bearing: Bearing, declination_deg: f64) -> Bearing {
    Bearing::from_deg(true_bearing.deg() - declination_deg)
}

/// Whether a line is straight within [`STRAIGHT_WITHIN_DEG`], with its first and last direction or the one from end to
/// end twice. `None` for a line without length.
pub fn line_directions(line: &[Xy]) -> Option<(bool, Bearing, Bearing)> {
    let pieces: Vec<Xy> = line
        .windows(2)
        .map(|w| w[1] - w[0])
        .filter(|d| d.norm() > 0.0)
        .collect();
    let along = |d: &Xy| d.direction().bearing();
    let (first, last) = (pieces.first()?, pieces.last()?);
    let chord = *line.last()? - *line.first()?;
    if chord.norm() > 0.0 {
        let end_to_end = along(&chord);
        let bends = |d: &&Xy| d.norm() >= SHORT_PIECE_M && end_to_end.to_deg(along(d)).abs() > STRAIGHT_WITHIN_DEG;
        if !pieces.iter().any(|d| bends(&d)) {
            return Some((false, end_to_end, end_to_end));
        }
    }
    let long = |d: &&Xy| d.norm() >= SHORT_PIECE_M;
    let first = pieces.iter().find(long).unwrap_or(first);
    let last = pieces.iter().rev().find(long).unwrap_or(last);
    Some((true, along(first), along(last)))
}

/// The way itself where no line is mapped: at its ends and every metre in between.
fn driven_line(route: &Route, leg: &Leg) -> Vec<Xy> {
    let length = (leg.to_m - leg.from_m).max(0.0);
    let steps = length.ceil().max(1.0) as usize;
    let at = |i: usize| route.path.pose_at(leg.from_m + length * i as f64 / steps as f64).nose;
    (0..=steps).map(at).collect()
}

fn bearings(route: &Route, leg: &Leg) -> (bool, Bearing, Bearing) {
    if leg.kind == LegKind::HandPush {
        // Pushed tail first: what the indicator shows is where the nose points, not where the aeroplane goes.
        let at = |s: f64| route.path.pose_at(s).heading_rad.bearing();
        let (first, last) = (at(leg.from_m), at(leg.to_m));
        return (first.to_deg(last).abs() > STRAIGHT_WITHIN_DEG, first, last);
    }
    let mapped = line_directions(&leg.mapped_line);
    mapped
        .or_else(|| line_directions(&driven_line(route, leg)))
        .unwrap_or_else(|| {
            let heading = route.path.pose_at(leg.from_m).heading_rad.bearing();
            (false, heading, heading)
        })
}

/// Index of the leg that a turn belongs to, and whether it stands at that leg's end.
pub(crate) fn turn_place(route: &Route, turn: &Turn) -> (usize, bool) {
    let (from, to) = (turn.from_m - TURN_NEAR_END_M, turn.to_m + TURN_NEAR_END_M);
    let last = route.legs.len().saturating_sub(1);
    let middle = (turn.from_m + turn.to_m) / 2.0;
    let ends = route.legs.iter().enumerate().take(last);
    let nearest = ends
        .filter(|(_, l)| (from..=to).contains(&l.to_m))
        .min_by(|(_, a), (_, b)| (a.to_m - middle).abs().total_cmp(&(b.to_m - middle).abs()));
    match nearest {
        Some((i, _)) => (i, true),
        None => (leg_at(route, middle), false),
    }
}

/// Index of the leg at a way of `s` metres; at the seam of two legs the earlier one.
pub(crate) fn leg_at(route: &Route, s: f64) -> usize {
    let found = route.legs.iter().position(|l| s <= l.to_m + 1e-6);
    found.unwrap_or(route.legs.len().saturating_sub(1))
}

/// Room rounded down to a tenth of a metre, off the pavement too.
fn room_floor(room_m: f64) -> f64 {
    if room_m < 0.0 {
        (room_m * 10.0).floor() / 10.0
    } else {
        gap_floor(room_m)
    }
}

fn turn(aircraft: &Aircraft, t: &Turn, at_end: bool) -> TurnBriefing {
    let direction = if t.left_rad < 0.0 { "right" } else { "left" }.to_string();
    let (turn_deg, radius_m) = (number::angle_deg(t.left_rad.abs()), number::metres(t.radius_m));
    let nose_wheel_deg = number::angle_deg(t.nose_wheel_rad.abs());
    let free = aircraft.steering.kind == SteeringKind::FreeCaster;
    let means = match t.means {
        TurnMeans::Steering => "steering alone",
        TurnMeans::InsideBrake if free => "inside brake, the nose wheel casters freely",
        TurnMeans::InsideBrake => "full pedal, then inside brake as needed",
        TurnMeans::NotPossible => "NOT POSSIBLE: tighter than this aeroplane turns",
    };
    let off_line_m = number::metres(t.off_line_m.abs());
    let off = if off_line_m > 0.0 {
        format!(", up to {off_line_m:.1} m off the mapped line")
    } else {
        String::new()
    };
    let (off_tracking_m, edge_room_m) = (number::metres(t.off_tracking_m), t.edge_room_m.map(room_floor));
    let edge = match edge_room_m {
        Some(room) if room < 0.0 => format!(", {:.1} m off the edge", -room),
        Some(room) => format!(", {room:.1} m left to the edge"),
        None => String::new(),
    };
    TurnBriefing {
        at_end,
        say: format!(
            "turn {direction} {turn_deg:.0} deg, radius {radius_m:.1} m: {means} (nose wheel {nose_wheel_deg:.0} deg){off}; \
             main wheels {off_tracking_m:.1} m inside{edge}"
        ),
        direction,
        turn_deg,
        radius_m,
        nose_wheel_deg,
        means: t.means,
        off_line_m,
        off_tracking_m,
        edge_room_m,
    }
}

/// Tells every leg.
pub(crate) fn tell(plan: &Plan, route: &Route, clearance: &Clearance) -> Vec<LegBriefing> {
    let (aircraft, declination) = (&plan.request.aircraft, plan.declination.deg);
    let mut turns: Vec<Vec<TurnBriefing>> = vec![Vec::new(); route.legs.len()];
    for t in &route.turns {
        let (leg, at_end) = turn_place(route, t);
        // A turn too slight to be said is left out: a tenth of the straightness limit.
        if let Some(list) = turns.get_mut(leg)
            && t.left_rad.abs() >= STRAIGHT_WITHIN_DEG * DEG / 10.0
        {
            list.push(turn(aircraft, t, at_end));
        }
    }
    let wind = |b: Bearing| wind::tell(&plan.request.wind, declination, b);
    let legs = route.legs.iter().zip(turns).enumerate();
    legs.map(|(i, (leg, turns))| {
        let (winding, first, last) = bearings(route, leg);
        let by_hand = leg.kind == LegKind::HandPush;
        let magnetic_deg = number::bearing(magnetic(first, declination));
        LegBriefing {
            number: i + 1,
            name: clean::name(&leg.name),
            kind: leg.kind,
            length_m: number::metres(leg.to_m - leg.from_m),
            directions: Directions {
                winding,
                true_deg: number::bearing(first),
                magnetic_deg,
                heading_indicator_deg: magnetic_deg,
                compass_deg: number::bearing(compass::reading(plan, first)),
                last_true_deg: winding.then(|| number::bearing(last)),
                last_magnetic_deg: winding.then(|| number::bearing(magnetic(last, declination))),
                last_compass_deg: winding.then(|| number::bearing(compass::reading(plan, last))),
            },
            speed_kt: number::speed_kt(leg.speed_mps),
            time_s: number::seconds(times::leg_s(aircraft, route, leg)),
            turns,
            wind: (!by_hand).then(|| wind(first)),
            wind_at_end: (winding && !by_hand).then(|| wind(last)),
            lift: lift::tell(plan, route, leg),
            control_changes: if winding {
                controls::changes(plan, route, leg, first)
            } else {
                Vec::new()
            },
            surface: leg.surface,
            width_m: leg.width_m.map(number::metres),
            slope_percent: leg.slope_percent.map(|s| toeline_model::units::round_to(s, 1)),
            least_gap_m: gaps::least_between(clearance, leg.from_m, leg.to_m),
            tightest: gaps::tightest_on(route, clearance, i),
        }
    })
    .collect()
}
