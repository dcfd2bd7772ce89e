//! What the pilot sees, feels and reads; nothing else of the state is looked at.

use super::plane::Plane;
use super::task::Task;
use toeline_dynamics::State;
use toeline_model::angle::wrap;
use toeline_model::{Bearing, Xy, Yaw, math};

/// What the pilot sees and feels at a tick.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    /// Where the nose wheel is, local metres.
    pub(super) nose: Xy,
    /// Heading, radians anticlockwise from east.
    pub(super) heading_rad: f64,
    /// How fast the nose swings, rad/s, left positive.
    pub(super) turn_radps: f64,
    /// How fast that grows, rad/s².
    pub(super) turn_radps2: f64,
    /// Speed along the axis, m/s.
    pub(super) forward_mps: f64,
    /// Speed of the nose over the ground, m/s.
    pub(super) nose_mps: f64,
    /// Direction in which the nose moves, from the axis, radians, left positive.
    pub(super) nose_drift_rad: f64,
    /// Speed through the air along the axis, by the wind he was told, m/s.
    pub(super) through_mps: f64,
    /// Wind from ahead and from the right, m/s.
    pub(super) wind_mps: [f64; 2],
    /// Where his feet hold the pedals, -1 (left) to 1 (right).
    pub(super) pedals: f64,
    /// Engine speed, rpm.
    pub(super) rpm: f64,
    /// Thrust that goes with it, N.
    pub(super) thrust_n: f64,
}

impl Seen {
    /// Looks out; `before` is what was seen the last time, `dt_s` ago.
    pub(super) fn look(plane: &Plane, task: &Task, state: &State, before: Option<&Seen>, dt_s: f64) -> Seen {
        let pose = state.pose(&plane.params);
        let nose_left_mps = state.left_mps + plane.params.nose_ahead_m * state.yaw_radps;
        let turn_radps2 = before.map_or(0.0, |b| (state.yaw_radps - b.turn_radps) / dt_s);
        let wind_mps = wind_on(task.wind_from, task.wind_mps, pose.heading_rad);
        Seen {
            nose: pose.nose,
            heading_rad: pose.heading_rad.rad(),
            turn_radps: state.yaw_radps,
            turn_radps2,
            forward_mps: state.forward_mps,
            nose_mps: math::hypot(state.forward_mps, nose_left_mps),
            nose_drift_rad: if state.forward_mps > 0.05 {
                math::atan2(nose_left_mps, state.forward_mps)
            } else {
                0.0
            },
            through_mps: state.forward_mps + wind_mps[0],
            wind_mps,
            pedals: 0.0,
            rpm: state.engine.rpm,
            thrust_n: plane.thrust_n(state.engine.rpm),
        }
    }
}

/// Wind from ahead and from the right on a heading, m/s.
pub(super) fn wind_on(from: Option<Bearing>, wind_mps: f64, heading: Yaw) -> [f64; 2] {
    let Some(from) = from else { return [0.0; 2] };
    let right_rad = -wrap(from.yaw().rad() - heading.rad());
    [wind_mps * math::cos(right_rad), wind_mps * math::sin(right_rad)]
}
