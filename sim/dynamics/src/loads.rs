//! Wheel loads by statics: three wheels make them determinate.

use crate::{LEFT, NOSE, Params, RIGHT};
use toeline_model::units::G_MPS2;

/// What leans on the wheels besides the weight, N in body axes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lean {
    /// Sum of the ground's forces on the tyres: forward, left.
    pub(crate) ground_n: [f64; 2],
    /// Thrust.
    pub(crate) thrust_n: f64,
    /// Side force of the air.
    pub(crate) air_left_n: f64,
}

/// Loads on nose, left and right wheel, N, never negative; together always the weight.
///
/// Moments about the centre of gravity: in pitch N_nose·a − N_main·b + h·Fx − thrust·(z − h) = 0, in roll
/// (N_left − N_right)·T/2 + h·Fy − (z_air − h)·Fy_air = 0.
pub(crate) fn wheel_loads(p: &Params, lean: &Lean) -> [f64; 3] {
    let weight = p.mass_kg * G_MPS2;
    let pitch = p.thrust_height_m - p.cg_height_m;
    let nose = (weight * p.axle_behind_m - p.cg_height_m * lean.ground_n[0] + pitch * lean.thrust_n) / p.wheelbase_m;
    let nose = nose.clamp(0.0, weight);
    let half = (weight - nose) / 2.0;
    let roll = p.cg_height_m * lean.ground_n[1] - (p.side_height_m - p.cg_height_m) * lean.air_left_n;
    let shift = (roll / p.track_m).clamp(-half, half);
    let mut loads = [nose; 3];
    loads[NOSE] = nose;
    loads[LEFT] = half - shift;
    loads[RIGHT] = half + shift;
    loads
}
