//! Where each wheel touches the ground and how its two directions move with the body.

use super::Velocity;
use crate::struts::{Rates, swayed};
use crate::{NOSE, Params, State};
use toeline_model::math;

/// One direction at a contact: a unit vector in the plane, its arm in yaw, and the swivel's arm, metres.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) yaw: f64,
    pub(crate) swivel: f64,
}

/// A wheel's two rows, along and across, and how far below the centre of gravity they lie.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Contact {
    pub(crate) rows: [Row; 2],
    below: f64,
}

impl Contact {
    /// A wheel at a body point, turned to the left by an angle; the tyre's force acts `trail` behind the swivel axis.
    fn new([x, y]: [f64; 2], angle: f64, trail: f64, below: f64) -> Contact {
        let (s, c) = if angle == 0.0 { (0.0, 1.0) } else { math::sin_cos(angle) };
        let along = Row {
            x: c,
            y: s,
            yaw: x * s - y * c,
            swivel: 0.0,
        };
        let across = Row {
            x: -s,
            y: c,
            yaw: x * c + y * s,
            // Only the swivel's own rate moves the contact sideways by the trail: the point itself is taken to stay
            // under the nose wheel, so that a turn at walking pace is L/tan δ exactly, as the planner says.
            swivel: -trail,
        };
        Contact {
            rows: [along, across],
            below,
        }
    }

    /// The three contacts as the body of a state leans over them.
    pub(crate) fn all(p: &Params, state: &State) -> [Contact; 3] {
        let places = swayed(p, state);
        core::array::from_fn(|i| {
            let (angle, trail) = if i == NOSE {
                (state.nose_wheel_rad, p.trail_m)
            } else {
                (0.0, 0.0)
            };
            Contact::new(places[i], angle, trail, p.cg_height_m)
        })
    }

    /// Velocity of the contact along and across the wheel, m/s. A body that pitches or rolls about its centre of gravity
    /// carries the contact along.
    pub(crate) fn velocity(&self, v: &Velocity, rates: &Rates) -> [f64; 2] {
        let (u, w) = (v[0] + self.below * rates[1], v[1] + self.below * rates[2]);
        self.rows
            .map(|r| (r.x * u + r.y * w) + (r.yaw * v[2] + r.swivel * v[3]))
    }

    /// Impulse on the plane motion and the swivel of an impulse at this contact.
    pub(crate) fn on_body(&self, impulse: [f64; 2]) -> Velocity {
        let [a, b] = self.rows;
        [
            a.x * impulse[0] + b.x * impulse[1],
            a.y * impulse[0] + b.y * impulse[1],
            a.yaw * impulse[0] + b.yaw * impulse[1],
            a.swivel * impulse[0] + b.swivel * impulse[1],
        ]
    }
}
