//! An aeroplane's shape as the air sees it: the only place where the air's coefficients are made.
//!
//! All are rough figures for a light aeroplane near the ground, flaps up (ours unless a source is named).

use crate::Aircraft;
use crate::units::DEG;

/// Share of the fin that a propeller on the axis blows at (ours).
const FIN_IN_SLIPSTREAM: f64 = 0.4;
/// Lift slope of the fin, per radian (low aspect ratio; ours).
const FIN_LIFT_SLOPE: f64 = 3.0;
/// Lift coefficient of the fin for full rudder: slope 3 per radian, effectiveness 0.5, travel 25 degrees (ours).
const FULL_RUDDER_LIFT: f64 = 3.0 * 0.5 * 25.0 * DEG;
/// Lift coefficient standing on the wheels, flaps up (ours).
const REST_LIFT: f64 = 0.35;
/// Efficiency factor of the wing's drag with lift (textbook, 0.75 to 0.85).
const SPAN_EFFICIENCY: f64 = 0.8;
/// Lift slope of the tailplane, per radian (ours).
const TAIL_LIFT_SLOPE: f64 = 3.5;
/// Lift coefficient of the tailplane for full elevator: slope 3.5 per radian, effectiveness 0.5, travel 24 degrees (ours).
const FULL_ELEVATOR_LIFT: f64 = 3.5 * 0.5 * 24.0 * DEG;
/// Share of the tailplane that a propeller on the axis blows at (ours: less than of the fin, which stands in its middle).
const TAIL_IN_SLIPSTREAM: f64 = 0.25;
/// Rolling-moment coefficient of full aileron (0.17 per radian, 20 degrees; textbook range, ours).
const FULL_AILERON_ROLL: f64 = 0.06;
/// Rolling-moment coefficient per radian of side-slip (0.06 to 0.12 with dihedral or a high wing; ours).
const DIHEDRAL_ROLL: f64 = 0.09;
/// Damping-in-roll coefficient (0.4 to 0.5; textbook).
const ROLL_DAMPING: f64 = 0.45;

/// Plain numbers of one aeroplane's shape. Places are counted from the centre of gravity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirShape {
    /// Dynamic pressure of the slipstream at the fin over thrust, 1/m² (0 with propellers off the axis).
    pub slipstream_per_m2: f64,
    /// The same at the tailplane, over the share of it that is blown at, 1/m².
    pub tail_blown_per_m2: f64,
    /// Drag area without lift, m².
    pub drag_area_m2: f64,
    /// Wing area, m².
    pub wing_area_m2: f64,
    /// Lift coefficient of the wing at rest on its wheels.
    pub rest_lift: f64,
    /// Growth of the lift coefficient with pitch, per radian.
    pub lift_slope: f64,
    /// Drag coefficient over the lift coefficient squared.
    pub lift_drag: f64,
    /// Tailplane area times its lift slope, m².
    pub tail_area_m2: f64,
    /// Tailplane area times its lift coefficient for full elevator, m².
    pub elevator_area_m2: f64,
    /// Tailplane behind the centre of gravity, metres.
    pub tail_behind_m: f64,
    /// Rolling moment of full aileron over dynamic pressure, m³.
    pub aileron_volume_m3: f64,
    /// Rolling moment of dihedral over dynamic pressure and the tangent of the side-slip, m³.
    pub dihedral_volume_m3: f64,
    /// Damping in roll: moment over dynamic pressure and roll rate over speed, m⁴.
    pub roll_damping_m4: f64,
    /// Side area of the fuselage times its drag coefficient across, m².
    pub side_area_m2: f64,
    /// Where the side force on the fuselage acts, metres ahead of the centre of gravity (negative: behind).
    pub side_ahead_m: f64,
    /// Height at which side forces of the air act, metres above the ground.
    pub side_height_m: f64,
    /// Fin area times its lift slope, m².
    pub fin_area_m2: f64,
    /// Fin area times its lift coefficient for full rudder, m².
    pub rudder_area_m2: f64,
    /// Fin behind the centre of gravity, metres.
    pub fin_behind_m: f64,
}

impl AirShape {
    /// The shape of an aeroplane as loaded. Where a file has no figure the estimate is stated in this module.
    pub fn of(a: &Aircraft) -> AirShape {
        let f = &a.fuselage;
        let axle_behind_m = a.gear.wheelbase_m - a.mass.cg_aft_of_nose_wheel_m;
        let count = a.propellers.len().max(1) as f64;
        let (mut blown, mut tail_blown) = (0.0, 0.0);
        for p in a.propellers.iter().filter(|p| p.y_m == 0.0) {
            // The disc's pressure jump T/A becomes dynamic pressure behind it.
            let disc = core::f64::consts::PI * p.diameter_m * p.diameter_m / 4.0;
            blown += FIN_IN_SLIPSTREAM / disc / count;
            tail_blown += TAIL_IN_SLIPSTREAM / disc / count;
        }
        let body_height = f.top_z_m - f.underside_z_m;
        let length = f.nose_x_m - f.tail_x_m;
        let span = a.wing.span_m;
        let wing_area = span * (a.wing.root_chord_m + a.wing.tip_chord_m) / 2.0;
        let middle = (f.top_z_m + f.underside_z_m) / 2.0;
        let fin_area = 0.6 * (a.fin.leading_edge_x_m - a.fin.trailing_edge_x_m) * (a.fin.top_z_m - middle).max(0.0);
        let fin_x = (a.fin.leading_edge_x_m + a.fin.trailing_edge_x_m) / 2.0;
        let aspect = span * span / wing_area;
        let tail_area = a.tailplane.span_m * a.tailplane.chord_m;
        AirShape {
            slipstream_per_m2: blown,
            tail_blown_per_m2: tail_blown,
            // A third of the frontal rectangle and a fortieth of the wing (propeller, wheels and all; ours).
            drag_area_m2: 0.35 * f.width_m * body_height + 0.025 * wing_area,
            wing_area_m2: wing_area,
            rest_lift: REST_LIFT,
            // Finite wing: 2π·A/(A + 2) (textbook).
            lift_slope: core::f64::consts::TAU * aspect / (aspect + 2.0),
            lift_drag: 1.0 / (core::f64::consts::PI * SPAN_EFFICIENCY * aspect),
            tail_area_m2: TAIL_LIFT_SLOPE * tail_area,
            elevator_area_m2: FULL_ELEVATOR_LIFT * tail_area,
            tail_behind_m: axle_behind_m - (a.tailplane.leading_edge_x_m - a.tailplane.chord_m / 4.0),
            aileron_volume_m3: FULL_AILERON_ROLL * wing_area * span,
            dihedral_volume_m3: DIHEDRAL_ROLL * wing_area * span,
            roll_damping_m4: ROLL_DAMPING * wing_area * span * span / 2.0,
            // Three quarters of the side rectangle, drag coefficient 0.8 across (ours).
            side_area_m2: 0.8 * 0.75 * length * body_height,
            side_ahead_m: f.nose_x_m - 0.4 * length - axle_behind_m,
            side_height_m: middle,
            fin_area_m2: FIN_LIFT_SLOPE * fin_area,
            rudder_area_m2: FULL_RUDDER_LIFT * fin_area,
            fin_behind_m: axle_behind_m - fin_x,
        }
    }
}
