//! Forces of the air on the body: drag, side force with weathervaning, and the rudder.

use crate::Params;
use toeline_model::units::AIR_KGPM3;

/// Force in body axes (N) and yaw moment about the centre of gravity (N·m, left positive).
#[derive(Clone, Copy, Debug)]
pub(crate) struct AirLoad {
    pub(crate) forward_n: f64,
    pub(crate) left_n: f64,
    pub(crate) yaw_nm: f64,
}

/// Loads for the body's velocity through the air (m/s, body axes), yaw rate, rudder and thrust.
pub(crate) fn air_load(p: &Params, through: [f64; 2], yaw_rate: f64, rudder: f64, thrust_n: f64) -> AirLoad {
    let half = AIR_KGPM3 / 2.0;
    let [u, v] = through;
    let speed = (u * u + v * v).sqrt();
    let forward_n = -half * p.drag_area_m2 * speed * u;
    let body = -half * p.side_area_m2 * (v.abs() + 0.1 * u.abs()) * v;
    // The fin sees the body's yaw as side flow of its own: that is what damps a swing.
    let at_fin = v - p.fin_behind_m * yaw_rate;
    // Lift at small angles, drag of a plate across at large ones: 1.2 over the lift slope of 3.
    let vane = -half * p.fin_area_m2 * (u.abs() + 0.4 * at_fin.abs()) * at_fin;
    // Pedal right: the tail is pushed left. From behind, the wind works the rudder the other way round.
    let pressure = half * u * u.abs() + p.slipstream_per_m2 * thrust_n.max(0.0);
    let fin = vane + p.rudder_area_m2 * pressure * rudder;
    AirLoad {
        forward_n,
        left_n: body + fin,
        yaw_nm: p.side_ahead_m * body - p.fin_behind_m * fin,
    }
}
