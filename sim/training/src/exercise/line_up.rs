//! From the holding position onto the runway, lined up, and straight on: what a plan leaves to the pilot and an exercise asks
//! for.

use super::lift_off_mps;
use crate::drills::easy_radius_m;
use crate::pilot::{Task, TaskStop};
use toeline_engine::route::{Stop, StopKind};
use toeline_model::units::{DEG, KNOT_MPS};
use toeline_model::{Aircraft, Airfield, Xy, Yaw};

/// Name of the stop on the runway, and of the one at the end of the roll.
pub const LINED_UP: &str = "lined up";
/// See [`LINED_UP`].
pub const END_OF_ROLL: &str = "end of the roll";

/// Way along the runway in which the aeroplane comes straight before it stands lined up, metres (ours).
const STRAIGHTENS_M: f64 = 15.0;
/// Least straight way from the holding position to the turn, metres (ours).
const LEAST_STRAIGHT_M: f64 = 2.0;

/// Lets a task go on from its last stop, a runway's holding position, onto that runway and along it. Gives the way at which
/// it is lined up.
///
/// # Errors
/// Why it cannot.
pub(super) fn go_on(
    task: &mut Task,
    last: &Stop,
    field: &Airfield,
    aircraft: &Aircraft,
    roll_m: f64,
) -> Result<f64, String> {
    let runway = last.of.as_deref().and_then(|of| of.strip_prefix("runway "));
    let found = runway.and_then(|designator| direction_of(field, designator));
    let Some((along, on_it)) = found.filter(|_| last.kind == StopKind::End) else {
        return Err(format!(
            "the way ends at {}, which is no holding position of one direction of a runway; write a designator for \"to\"",
            last.name
        ));
    };
    let end_m = task.path.length_m();
    let (direction, nose) = (task.path.direction_at(end_m), task.path.end().nose);
    let turn = direction.to_rad(along);
    let (ahead, runway_ahead) = (Xy::unit(direction), Xy::unit(along));
    let cross = ahead.cross(runway_ahead);
    if cross.abs() < (20.0 * DEG).sin() {
        return Err(format!(
            "the way to {} runs along the runway: there is no turn to line up",
            last.name
        ));
    }
    // Where the way, straight on, meets the middle of the runway.
    let to_middle_m = (on_it - nose).cross(runway_ahead) / cross;
    let radius_m = easy_radius_m(aircraft);
    let straight_m = to_middle_m - radius_m * (turn.abs() / 2.0).tan();
    if straight_m < LEAST_STRAIGHT_M {
        return Err(format!(
            "{} is {to_middle_m:.0} m before the middle of the runway, too near to turn onto it on {radius_m:.0} m",
            last.name
        ));
    }
    let leg = task.path.pieces.last().map_or(0, |p| p.leg);
    task.path.straight(direction, straight_m, leg);
    task.path.arc(direction, radius_m, turn, leg);
    task.path.straight(along, STRAIGHTENS_M, leg);
    let lined_up_m = task.path.length_m();
    task.path.straight(along, roll_m, leg);
    // What was the end is a stop on the way now.
    if let Some(hold) = task.stops.last_mut() {
        hold.kind = StopKind::HoldShort;
    }
    for (name, at_m) in [(LINED_UP, lined_up_m), (END_OF_ROLL, task.path.length_m())] {
        task.stops.push(TaskStop {
            kind: StopKind::Place,
            name: name.to_string(),
            at_m,
        });
    }
    task.speeds.push((end_m, aircraft.taxi.apron_kt * KNOT_MPS));
    task.speeds.push((lined_up_m, 2.0 * lift_off_mps(aircraft)));
    Ok(lined_up_m)
}

/// Direction of a runway by its designator, and a place on its middle.
fn direction_of(field: &Airfield, designator: &str) -> Option<(Yaw, Xy)> {
    let mut ends = field.runways.iter().flat_map(|r| (0..2).map(move |k| (r, k)));
    let (runway, k) = ends.find(|(r, k)| r.designators[*k].as_deref() == Some(designator))?;
    let (first, last) = (*runway.line.first()?, *runway.line.last()?);
    let (from, to) = if k == 0 { (first, last) } else { (last, first) };
    Some(((to - from).direction(), from))
}
