//! Where each wheel touches the ground and how its two directions move with the body.

use super::Velocity;
use crate::{LEFT, Params, RIGHT};
use toeline_model::math;

/// A wheel's two rows: velocity of its contact along and across the wheel is row · (forward, left, yaw rate, swivel rate).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Contact {
    along: Velocity,
    across: Velocity,
}

fn dot(a: &Velocity, b: &Velocity) -> f64 {
    (a[0] * b[0] + a[1] * b[1]) + (a[2] * b[2] + a[3] * b[3])
}

impl Contact {
    /// A wheel at a body point, turned to the left by an angle; the tyre's force acts `trail` behind the swivel axis.
    fn new(x: f64, y: f64, angle: f64, trail: f64) -> Contact {
        let (c, s) = (math::cos(angle), math::sin(angle));
        Contact {
            along: [c, s, x * s - y * c, 0.0],
            // Only the swivel's own rate moves the contact sideways by the trail: the point itself is taken to stay
            // under the nose wheel, so that a turn at walking pace is L/tan δ exactly, as the planner says.
            across: [-s, c, x * c + y * s, -trail],
        }
    }

    /// The three contacts.
    pub(crate) fn all(p: &Params, nose_wheel_rad: f64) -> [Contact; 3] {
        let half = p.track_m / 2.0;
        let mut all = [Contact::new(p.nose_ahead_m, 0.0, nose_wheel_rad, p.trail_m); 3];
        all[LEFT] = Contact::new(-p.axle_behind_m, half, 0.0, 0.0);
        all[RIGHT] = Contact::new(-p.axle_behind_m, -half, 0.0, 0.0);
        all
    }

    /// Velocity of the contact along and across the wheel, m/s.
    pub(crate) fn velocity(&self, v: &Velocity) -> [f64; 2] {
        [dot(&self.along, v), dot(&self.across, v)]
    }

    /// How that velocity answers to impulses at this contact, for the body's inverse masses.
    pub(crate) fn answer(&self, inverse_mass: &Velocity) -> [f64; 3] {
        let weighted = |row: &Velocity| {
            [
                row[0] * inverse_mass[0],
                row[1] * inverse_mass[1],
                row[2] * inverse_mass[2],
                row[3] * inverse_mass[3],
            ]
        };
        let (along, across) = (weighted(&self.along), weighted(&self.across));
        [
            dot(&self.along, &along),
            dot(&self.along, &across),
            dot(&self.across, &across),
        ]
    }

    /// Generalised impulse on the body of an impulse at this contact.
    pub(crate) fn on_body(&self, impulse: [f64; 2]) -> Velocity {
        let mut sum = [0.0; 4];
        for (k, s) in sum.iter_mut().enumerate() {
            *s = self.along[k] * impulse[0] + self.across[k] * impulse[1];
        }
        sum
    }
}
