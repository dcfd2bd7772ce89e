//! Forces of the air on the body: lift, drag, side force with weathervaning, and what rudder, elevator and aileron do.
//!
//! A surface's effect goes with u·|u|: in a tailwind it works the other way round, which is why the yoke is held away from
//! a wind from behind.

use super::AirShape;
use crate::units::AIR_KGPM3;

/// Most lift of the wing, as a coefficient; beyond it the wing has stalled (ours).
const MOST_LIFT: f64 = 1.4;
/// Lift of a wing blown at from behind over that of the same wing blown at from ahead: its sharp edge leads (ours).
const REVERSED_WING: f64 = -0.5;
/// Share of a pitch that the tailplane feels behind the wing's downwash (ours).
const TAIL_FEELS: f64 = 0.6;
/// Share of the cross flow that adds to the dihedral's working when there is little flow along the body (ours).
const CROSS_ON_WING: f64 = 0.3;

/// Force in body axes (N) and moments about the centre of gravity (N·m): yaw to the left, pitch nose-up, roll to the right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirLoad {
    /// Forward, N.
    pub forward_n: f64,
    /// To the left, N.
    pub left_n: f64,
    /// Upward, N.
    pub up_n: f64,
    /// Yaw to the left, N·m.
    pub yaw_nm: f64,
    /// Pitch nose-up, N·m.
    pub pitch_nm: f64,
    /// Roll to the right, N·m.
    pub roll_nm: f64,
}

/// Positions of the three control surfaces, -1 to 1 of their travel.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Surfaces {
    /// Right pedal positive.
    pub rudder: f64,
    /// Down (yoke forward) positive.
    pub elevator: f64,
    /// Yoke to the right positive.
    pub aileron: f64,
}

/// How the body moves through the air, and how it stands.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirFlow {
    /// Velocity of the body through the air forward and to the left, m/s.
    pub through_mps: [f64; 2],
    /// Nose up from the rest on the wheels, radians.
    pub pitch_rad: f64,
    /// Yaw rate to the left, rad/s.
    pub yaw_radps: f64,
    /// Pitch rate nose-up, rad/s.
    pub pitch_radps: f64,
    /// Roll rate to the right, rad/s.
    pub roll_radps: f64,
}

/// Loads for a flow, the surfaces held and the thrust (N), on a body whose centre of gravity is `cg_height_m` above the
/// ground.
pub fn air_load(s: &AirShape, cg_height_m: f64, flow: &AirFlow, held: &Surfaces, thrust_n: f64) -> AirLoad {
    let half = AIR_KGPM3 / 2.0;
    let [u, v] = flow.through_mps;
    let speed = (u * u + v * v).sqrt();
    let signed = half * u * u.abs();
    let blown = thrust_n.max(0.0);

    let (lift_n, lift_drag_n) = wing(s, u, flow.pitch_rad);
    let forward_n = -half * s.drag_area_m2 * speed * u - lift_drag_n;

    let body = -half * s.side_area_m2 * (v.abs() + 0.1 * u.abs()) * v;
    // The fin sees the body's yaw as side flow of its own: that is what damps a swing.
    let at_fin = v - s.fin_behind_m * flow.yaw_radps;
    // Lift at small angles, drag of a plate across at large ones: 1.2 over the lift slope of 3.
    let vane = -half * s.fin_area_m2 * (u.abs() + 0.4 * at_fin.abs()) * at_fin;
    // Pedal right: the tail is pushed left.
    let fin = vane + s.rudder_area_m2 * (signed + s.slipstream_per_m2 * blown) * held.rudder;
    let left_n = body + fin;

    // Elevator up (pulled, negative): the tail is pushed down. The tail resists pitching and being pitched up.
    let by_elevator = s.elevator_area_m2 * (signed + s.tail_blown_per_m2 * blown) * held.elevator;
    let by_attitude =
        s.tail_area_m2 * (signed * TAIL_FEELS * flow.pitch_rad + half * u.abs() * s.tail_behind_m * flow.pitch_radps);
    let tail_n = by_elevator + by_attitude;

    // Aileron right: the right wing goes down. Dihedral: the wing that the wind comes from goes up.
    let by_aileron = s.aileron_volume_m3 * signed * held.aileron;
    let by_dihedral = s.dihedral_volume_m3 * half * (u.abs() + CROSS_ON_WING * v.abs()) * v;
    let damping = -s.roll_damping_m4 * half * u.abs() * flow.roll_radps;
    AirLoad {
        forward_n,
        left_n,
        up_n: lift_n + tail_n,
        yaw_nm: s.side_ahead_m * body - s.fin_behind_m * fin,
        pitch_nm: -s.tail_behind_m * tail_n,
        roll_nm: by_aileron + by_dihedral + damping - (s.side_height_m - cg_height_m) * left_n,
    }
}

/// Lift of the wing and the drag that comes with it (positive backward), N.
fn wing(s: &AirShape, u: f64, pitch_rad: f64) -> (f64, f64) {
    let coefficient = (s.rest_lift + s.lift_slope * pitch_rad).clamp(-MOST_LIFT, MOST_LIFT);
    let pressure = AIR_KGPM3 / 2.0 * u * u * s.wing_area_m2;
    let share = if u < 0.0 { REVERSED_WING } else { 1.0 };
    let drag = pressure * coefficient * coefficient * s.lift_drag;
    (pressure * share * coefficient, if u < 0.0 { -drag } else { drag })
}
