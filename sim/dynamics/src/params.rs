//! An aircraft file boiled down to the numbers the step needs.

use crate::engine::{EngineParams, shaft_power_w, static_thrust_n};
use crate::tyre::STIFFNESS_PER_LOAD;
use crate::{Faults, LEFT, NOSE, RIGHT};
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

/// How far the nose strut with its tyre gives way under its share of the weight, metres (ours: an oleo that still keeps
/// the propeller off the ground under full braking).
const NOSE_SINKS_M: f64 = 0.03;
/// The same for a main leg with its tyre, metres (ours: a spring leg; the body then bounces at about 2 Hz).
const MAIN_SINKS_M: f64 = 0.06;
/// Damping of a strut over the critical damping of the mass that rests on it (ours).
const STRUT_DAMPING: f64 = 0.6;
/// Radii of gyration in roll, pitch and yaw over half span, half length and half their mean: one engine and two
/// (Raymer, *Aircraft Design*, from memory). Only their ratio to yaw is used.
const GYRATION_ONE: [f64; 3] = [0.25, 0.38, 0.39];
/// The same with two engines on the wing.
const GYRATION_TWO: [f64; 3] = [0.34, 0.29, 0.44];
/// Heat capacity of one brake over the aeroplane's mass, J/K per kg (2 g of steel each kilogram, 460 J/(kg·K); ours).
const BRAKE_HEAT: f64 = 0.002 * 460.0;
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

/// Plain numbers of one aeroplane as loaded. Body points are metres from the centre of gravity, x forward, y left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Params {
    /// The engine, or each of the engines.
    pub engine: EngineParams,
    /// What is broken today.
    pub faults: Faults,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Moment of inertia in yaw, kg·m².
    pub yaw_inertia_kgm2: f64,
    /// Moment of inertia in pitch, kg·m².
    pub pitch_inertia_kgm2: f64,
    /// Moment of inertia in roll, kg·m².
    pub roll_inertia_kgm2: f64,
    /// Height of the centre of gravity at rest, metres.
    pub cg_height_m: f64,
    /// Stiffness of each strut with its tyre, N/m.
    pub strut_n_per_m: [f64; 3],
    /// Damping of each strut, N·s/m.
    pub strut_damping_nspm: [f64; 3],
    /// Roll at which a wing tip meets the ground, radians.
    pub tip_touches_rad: f64,
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
    /// Stiffness of each tyre against slip over its load, 1/rad.
    pub tyre_per_load: [f64; 3],
    /// Torque of one main wheel's brake at full pressure, N·m.
    pub full_brake_nm: f64,
    /// Heat that warms one brake by a kelvin, J/K.
    pub brake_jpk: f64,
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
    /// Torque reaction on the body at `full_rpm`, N·m, rolling it to the left (propellers turn clockwise seen from behind).
    pub torque_nm: f64,
    /// Yaw to the left by asymmetric blade loading: static thrust over the propeller's rate of turning, N·s.
    pub blade_lever_ns: f64,
    /// Yaw to the left over thrust, metres.
    pub slipstream_lever_m: f64,
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
        let (mut thrust, mut advance, mut height, mut blown, mut tail_blown) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for p in &a.propellers {
            let disc = core::f64::consts::PI * p.diameter_m * p.diameter_m / 4.0;
            thrust += static_thrust_n(shaft_power_w(a), p.diameter_m, AIR_KGPM3, STATIC_EFFICIENCY);
            advance += NO_THRUST_ADVANCE * a.engine.static_rpm / 60.0 * p.diameter_m / count;
            height += p.hub_z_m / count;
            if p.y_m == 0.0 {
                // The disc's pressure jump T/A becomes dynamic pressure behind it.
                blown += FIN_IN_SLIPSTREAM / disc / count;
                tail_blown += TAIL_IN_SLIPSTREAM / disc / count;
            }
        }

        let body_height = f.top_z_m - f.underside_z_m;
        let length = f.nose_x_m - f.tail_x_m;
        let wing_area = a.wing.span_m * (a.wing.root_chord_m + a.wing.tip_chord_m) / 2.0;
        let middle = (f.top_z_m + f.underside_z_m) / 2.0;
        let fin_area = 0.6 * (a.fin.leading_edge_x_m - a.fin.trailing_edge_x_m) * (a.fin.top_z_m - middle).max(0.0);
        let fin_x = (a.fin.leading_edge_x_m + a.fin.trailing_edge_x_m) / 2.0;
        let span = a.wing.span_m;
        let [in_roll, in_pitch, in_yaw] = {
            let [x, y, z] = if count > 1.0 { GYRATION_TWO } else { GYRATION_ONE };
            [x * span, y * length, z * (span + length) / 2.0].map(|r| r * r)
        };
        let (nose_rests, main_rests) = (
            m.taxi_kg * axle_behind_m / wheelbase_m,
            m.taxi_kg * nose_ahead_m / wheelbase_m / 2.0,
        );
        let strut = |rests: f64, sinks: f64| {
            let k = rests * G_MPS2 / sinks;
            (k, 2.0 * STRUT_DAMPING * (k * rests).sqrt())
        };
        let (nose_strut, main_strut) = (strut(nose_rests, NOSE_SINKS_M), strut(main_rests, MAIN_SINKS_M));
        let aspect = span * span / wing_area;
        let tail_area = a.tailplane.span_m * a.tailplane.chord_m;
        // Shaft power over the propeller's rate of turning.
        let turning_radps = a.engine.static_rpm * core::f64::consts::TAU / 60.0;
        Params {
            engine: EngineParams::from_aircraft(a),
            faults: Faults::default(),
            mass_kg: m.taxi_kg,
            yaw_inertia_kgm2: m.yaw_inertia_kgm2,
            pitch_inertia_kgm2: m.yaw_inertia_kgm2 * in_pitch / in_yaw,
            roll_inertia_kgm2: m.yaw_inertia_kgm2 * in_roll / in_yaw,
            strut_n_per_m: [nose_strut.0, main_strut.0, main_strut.0],
            strut_damping_nspm: [nose_strut.1, main_strut.1, main_strut.1],
            tip_touches_rad: toeline_model::math::atan(a.tip_underside_z_m() * 2.0 / span),
            brake_jpk: BRAKE_HEAT * m.taxi_kg,
            torque_nm: count * shaft_power_w(a) / turning_radps,
            blade_lever_ns: thrust / turning_radps,
            tail_blown_per_m2: tail_blown,
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
            cg_height_m: m.cg_z_m,
            nose_ahead_m,
            axle_behind_m,
            wheelbase_m,
            track_m: g.track_m,
            wheel_radius_m,
            wheel_inertia_kgm2,
            tyre_per_load: [STIFFNESS_PER_LOAD; 3],
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

    /// The aeroplane seen in a mirror along its axis: propellers turn the other way round, brakes change sides.
    #[must_use]
    pub fn mirrored(&self) -> Params {
        Params {
            torque_nm: -self.torque_nm,
            blade_lever_ns: -self.blade_lever_ns,
            slipstream_lever_m: -self.slipstream_lever_m,
            faults: self.faults.mirrored(),
            ..*self
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
