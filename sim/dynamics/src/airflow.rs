//! Forces of the air on the body: lift, drag, side force with weathervaning, and what rudder, elevator and aileron do.
//!
//! All coefficients are rough figures for a light aeroplane near the ground, flaps up (ours unless a source is named). A
//! surface's effect goes with u·|u|: in a tailwind it works the other way round, which is why the yoke is held away from a
//! wind from behind.

use crate::{Air, Params, State};
use toeline_model::units::AIR_KGPM3;

/// Most lift of the wing, as a coefficient; beyond it the wing has stalled.
const MOST_LIFT: f64 = 1.4;
/// Lift of a wing blown at from behind over that of the same wing blown at from ahead: its sharp edge leads.
const REVERSED_WING: f64 = -0.5;
/// Share of a pitch that the tailplane feels behind the wing's downwash.
const TAIL_FEELS: f64 = 0.6;
/// Share of the cross flow that adds to the dihedral's working when there is little flow along the body.
const CROSS_ON_WING: f64 = 0.3;

/// Force in body axes (N) and moments about the centre of gravity (N·m): yaw to the left, pitch nose-up, roll to the right.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AirLoad {
    pub(crate) forward_n: f64,
    pub(crate) left_n: f64,
    pub(crate) up_n: f64,
    pub(crate) yaw_nm: f64,
    pub(crate) pitch_nm: f64,
    pub(crate) roll_nm: f64,
}

/// Positions of the three control surfaces: rudder pedals, elevator and aileron as in `Controls`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Surfaces {
    pub(crate) rudder: f64,
    pub(crate) elevator: f64,
    pub(crate) aileron: f64,
}

/// Velocity of the air over the ground at the aeroplane, in body axes, m/s: wind with its gust, and another's blast.
pub(crate) fn wind_on_body(air: &Air, state: &State, cos: f64, sin: f64, time_s: f64) -> [f64; 2] {
    let wind = air.velocity_at(state.x_m, state.y_m, time_s);
    [wind.x * cos + wind.y * sin, wind.y * cos - wind.x * sin]
}

/// Loads for the body's velocity through the air (m/s, body axes), its attitude and rates, the surfaces and the thrust.
pub(crate) fn air_load(p: &Params, through: [f64; 2], state: &State, held: &Surfaces, thrust_n: f64) -> AirLoad {
    let half = AIR_KGPM3 / 2.0;
    let [u, v] = through;
    let speed = (u * u + v * v).sqrt();
    let signed = half * u * u.abs();
    let blown = thrust_n.max(0.0);

    let (lift_n, lift_drag_n) = wing(p, u, state.pitch_rad);
    let forward_n = -half * p.drag_area_m2 * speed * u - lift_drag_n;

    let body = -half * p.side_area_m2 * (v.abs() + 0.1 * u.abs()) * v;
    // The fin sees the body's yaw as side flow of its own: that is what damps a swing.
    let at_fin = v - p.fin_behind_m * state.yaw_radps;
    // Lift at small angles, drag of a plate across at large ones: 1.2 over the lift slope of 3.
    let vane = -half * p.fin_area_m2 * (u.abs() + 0.4 * at_fin.abs()) * at_fin;
    // Pedal right: the tail is pushed left.
    let fin = vane + p.rudder_area_m2 * (signed + p.slipstream_per_m2 * blown) * held.rudder;
    let left_n = body + fin;

    // Elevator up (pulled, negative): the tail is pushed down. The tail resists pitching and being pitched up.
    let by_elevator = p.elevator_area_m2 * (signed + p.tail_blown_per_m2 * blown) * held.elevator;
    let by_attitude =
        p.tail_area_m2 * (signed * TAIL_FEELS * state.pitch_rad + half * u.abs() * p.tail_behind_m * state.pitch_radps);
    let tail_n = by_elevator + by_attitude;

    // Aileron right: the right wing goes down. Dihedral: the wing that the wind comes from goes up.
    let by_aileron = p.aileron_volume_m3 * signed * held.aileron;
    let by_dihedral = p.dihedral_volume_m3 * half * (u.abs() + CROSS_ON_WING * v.abs()) * v;
    let damping = -p.roll_damping_m4 * half * u.abs() * state.roll_radps;
    AirLoad {
        forward_n,
        left_n,
        up_n: lift_n + tail_n,
        yaw_nm: p.side_ahead_m * body - p.fin_behind_m * fin,
        pitch_nm: -p.tail_behind_m * tail_n,
        roll_nm: by_aileron + by_dihedral + damping - (p.side_height_m - p.cg_height_m) * left_n,
    }
}

/// Lift of the wing and the drag that comes with it (positive backward), N.
fn wing(p: &Params, u: f64, pitch_rad: f64) -> (f64, f64) {
    let coefficient = (p.rest_lift + p.lift_slope * pitch_rad).clamp(-MOST_LIFT, MOST_LIFT);
    let pressure = AIR_KGPM3 / 2.0 * u * u * p.wing_area_m2;
    let share = if u < 0.0 { REVERSED_WING } else { 1.0 };
    let drag = pressure * coefficient * coefficient * p.lift_drag;
    (pressure * share * coefficient, if u < 0.0 { -drag } else { drag })
}
