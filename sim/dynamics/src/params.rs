//! An aircraft file boiled down to the numbers the step needs.

use crate::{LEFT, NOSE, RIGHT};
use toeline_model::Aircraft;
use toeline_model::aircraft::SteeringKind;
use toeline_model::units::{AIR_KGPM3, DEG, G_MPS2};

/// Efficiency of a propeller standing still in the actuator-disc formula (0.7 to 0.8 in textbooks).
const STATIC_EFFICIENCY: f64 = 0.75;
/// Advance ratio V/(nD) at which the thrust of a fixed-pitch propeller has gone (typical of a climb propeller; ours).
const NO_THRUST_ADVANCE: f64 = 0.9;
/// Mass of a wheel with its tyre over diameter² times width, kg/m³ (about 7 kg for a 0.43 m by 0.15 m main wheel; ours).
const WHEEL_DENSITY: f64 = 250.0;
/// Trail of the nose wheel over its diameter (about 5 cm on a light aeroplane; ours).
const TRAIL_SHARE: f64 = 0.15;
/// Side force on the nose tyre, over its static load, at which the steering linkage gives way (ours: above any
/// ordinary turn, low enough for the inside brake to swing the wheel on).
const LINKAGE_GIVES_WAY: f64 = 0.3;
/// Deflection of the linkage at which it gives way, radians (2.5 degrees; ours).
const LINKAGE_PLAY_RAD: f64 = 2.5 * DEG;
/// Yaw to the left by slipstream and propeller, as a lever on the thrust, metres (ours, small).
const SLIPSTREAM_LEVER_M: f64 = 0.05;
/// Share of the fin that a propeller on the axis blows at (ours).
const FIN_IN_SLIPSTREAM: f64 = 0.4;
/// Lift slope of the fin, per radian (low aspect ratio; ours).
const FIN_LIFT_SLOPE: f64 = 3.0;
/// Lift coefficient of the fin for full rudder: slope 3 per radian, effectiveness 0.5, travel 25 degrees (ours).
const FULL_RUDDER_LIFT: f64 = 3.0 * 0.5 * 25.0 * DEG;

/// Plain numbers of one aeroplane as loaded. Body points are metres from the centre of gravity, x forward, y left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Params {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Moment of inertia in yaw, kg·m².
    pub yaw_inertia_kgm2: f64,
    /// Height of the centre of gravity, metres.
    pub cg_height_m: f64,
    /// Centre of gravity to nose wheel, metres.
    pub nose_ahead_m: f64,
    /// Centre of gravity to main axle, metres.
    pub axle_behind_m: f64,
    /// Nose wheel to main axle, metres.
    pub wheelbase_m: f64,
    /// Between the main wheels, metres.
    pub track_m: f64,
    /// Rolling radius of each wheel, metres.
    pub wheel_radius_m: [f64; 3],
    /// Moment of inertia of each wheel about its axle, kg·m².
    pub wheel_inertia_kgm2: [f64; 3],
    /// Torque of one main wheel's brake at full pressure, N·m.
    pub full_brake_nm: f64,
    /// Greatest nose-wheel angle that the pedals ask for, radians; 0 for a free caster.
    pub pedal_limit_rad: f64,
    /// Nose-wheel angle at its stop, radians.
    pub caster_stop_rad: f64,
    /// Stiffness of the steering linkage, N·m/rad; 0 for a free caster.
    pub linkage_nm_per_rad: f64,
    /// Torque at which the linkage gives way, N·m; 0 for a free caster.
    pub linkage_limit_nm: f64,
    /// Damping of the swivel, N·m·s/rad.
    pub swivel_damping_nms: f64,
    /// Moment of inertia of the swivelling part, kg·m².
    pub swivel_inertia_kgm2: f64,
    /// How far the nose tyre's force acts behind the swivel axis, metres.
    pub trail_m: f64,
    /// Idle, rpm.
    pub idle_rpm: f64,
    /// Full throttle, rpm.
    pub full_rpm: f64,
    /// Thrust of all propellers together at full throttle standing still, N.
    pub static_thrust_n: f64,
    /// Speed through the air at which thrust at `full_rpm` has gone, m/s.
    pub no_thrust_mps: f64,
    /// Height of the thrust line, metres.
    pub thrust_height_m: f64,
    /// Yaw to the left over thrust, metres.
    pub slipstream_lever_m: f64,
    /// Dynamic pressure of the slipstream at the fin over thrust, 1/m² (0 with propellers off the axis).
    pub slipstream_per_m2: f64,
    /// Drag area, m².
    pub drag_area_m2: f64,
    /// Side area of the fuselage times its drag coefficient across, m².
    pub side_area_m2: f64,
    /// Where the side force on the fuselage acts, metres ahead of the centre of gravity (negative: behind).
    pub side_ahead_m: f64,
    /// Height at which side forces of the air act, metres.
    pub side_height_m: f64,
    /// Fin area times its lift slope, m².
    pub fin_area_m2: f64,
    /// Fin area times its lift coefficient for full rudder, m².
    pub rudder_area_m2: f64,
    /// Fin behind the centre of gravity, metres.
    pub fin_behind_m: f64,
}

impl Params {
    /// The numbers of an aeroplane as taxied. Where a file has no figure the estimate is stated in this module.
    pub fn from_aircraft(a: &Aircraft) -> Params {
        let (g, m, f) = (&a.gear, &a.mass, &a.fuselage);
        let (nose_ahead_m, wheelbase_m) = (m.cg_aft_of_nose_wheel_m, g.wheelbase_m);
        let axle_behind_m = wheelbase_m - nose_ahead_m;
        let wheel_mass = |diameter: f64, width: f64| WHEEL_DENSITY * diameter * diameter * width;
        let nose_mass = wheel_mass(g.nose_tyre_diameter_m, g.nose_tyre_width_m);
        let main_mass = wheel_mass(g.main_tyre_diameter_m, g.main_tyre_width_m);
        let (nose_r, main_r) = (g.nose_tyre_diameter_m / 2.0, g.main_tyre_diameter_m / 2.0);
        let mut wheel_radius_m = [main_r; 3];
        wheel_radius_m[NOSE] = nose_r;
        let mut wheel_inertia_kgm2 = [0.0; 3];
        wheel_inertia_kgm2[NOSE] = nose_mass * nose_r * nose_r / 2.0;
        wheel_inertia_kgm2[LEFT] = main_mass * main_r * main_r / 2.0;
        wheel_inertia_kgm2[RIGHT] = wheel_inertia_kgm2[LEFT];

        let trail_m = TRAIL_SHARE * g.nose_tyre_diameter_m;
        let nose_load = m.taxi_kg * G_MPS2 * axle_behind_m / wheelbase_m;
        let gives_way = LINKAGE_GIVES_WAY * nose_load * trail_m;
        let linked = a.steering.kind == SteeringKind::Linked;
        // Fork, wheel and, when linked, the pedals: a few times the wheel's own figure.
        let swivel_inertia_kgm2 = 2.0 * nose_mass * nose_r * nose_r;

        let count = a.propellers.len().max(1) as f64;
        let (mut thrust, mut advance, mut height, mut blown) = (0.0, 0.0, 0.0, 0.0);
        for p in &a.propellers {
            let disc = core::f64::consts::PI * p.diameter_m * p.diameter_m / 4.0;
            let useful = STATIC_EFFICIENCY * a.engine.power_kw * 1000.0;
            // Actuator disc standing still: T³ = 2 ρ A (η P)².
            thrust += toeline_model::math::pow(2.0 * AIR_KGPM3 * disc * useful * useful, 1.0 / 3.0);
            advance += NO_THRUST_ADVANCE * a.engine.static_rpm / 60.0 * p.diameter_m / count;
            height += p.hub_z_m / count;
            if p.y_m == 0.0 {
                // The disc's pressure jump T/A becomes dynamic pressure behind it.
                blown += FIN_IN_SLIPSTREAM / disc / count;
            }
        }

        let body_height = f.top_z_m - f.underside_z_m;
        let length = f.nose_x_m - f.tail_x_m;
        let wing_area = a.wing.span_m * (a.wing.root_chord_m + a.wing.tip_chord_m) / 2.0;
        let middle = (f.top_z_m + f.underside_z_m) / 2.0;
        let fin_area = 0.6 * (a.fin.leading_edge_x_m - a.fin.trailing_edge_x_m) * (a.fin.top_z_m - middle).max(0.0);
        let fin_x = (a.fin.leading_edge_x_m + a.fin.trailing_edge_x_m) / 2.0;
        Params {
            mass_kg: m.taxi_kg,
            yaw_inertia_kgm2: m.yaw_inertia_kgm2,
            cg_height_m: m.cg_z_m,
            nose_ahead_m,
            axle_behind_m,
            wheelbase_m,
            track_m: g.track_m,
            wheel_radius_m,
            wheel_inertia_kgm2,
            full_brake_nm: a.brakes.full_torque_nm,
            pedal_limit_rad: if linked { a.steering.pedal_limit_deg * DEG } else { 0.0 },
            caster_stop_rad: a.steering.caster_stop_deg * DEG,
            linkage_nm_per_rad: if linked { gives_way / LINKAGE_PLAY_RAD } else { 0.0 },
            linkage_limit_nm: if linked { gives_way } else { 0.0 },
            // About half of critical against the linkage, as friction and a shimmy damper give (ours).
            swivel_damping_nms: (gives_way / LINKAGE_PLAY_RAD * swivel_inertia_kgm2).sqrt(),
            swivel_inertia_kgm2,
            trail_m,
            idle_rpm: a.engine.idle_rpm,
            full_rpm: a.engine.static_rpm,
            static_thrust_n: thrust,
            no_thrust_mps: advance,
            thrust_height_m: height,
            slipstream_lever_m: SLIPSTREAM_LEVER_M,
            slipstream_per_m2: blown,
            // A third of the frontal rectangle and a fortieth of the wing (propeller, wheels and all; ours).
            drag_area_m2: 0.35 * f.width_m * body_height + 0.025 * wing_area,
            // Three quarters of the side rectangle, drag coefficient 0.8 across (ours).
            side_area_m2: 0.8 * 0.75 * length * body_height,
            side_ahead_m: f.nose_x_m - 0.4 * length - axle_behind_m,
            side_height_m: middle,
            fin_area_m2: FIN_LIFT_SLOPE * fin_area,
            rudder_area_m2: FULL_RUDDER_LIFT * fin_area,
            fin_behind_m: axle_behind_m - fin_x,
        }
    }

    /// Load on each wheel standing still in calm air, N.
    pub fn static_load_n(&self) -> [f64; 3] {
        let weight = self.mass_kg * G_MPS2;
        let nose = weight * self.axle_behind_m / self.wheelbase_m;
        let main = (weight - nose) / 2.0;
        [nose, main, main]
    }
}
