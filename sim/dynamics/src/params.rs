//! An aircraft file boiled down to the numbers the step needs.

use crate::engine::{EngineParams, shaft_power_w, static_thrust_n};
use crate::tyre::STIFFNESS_PER_LOAD;
use crate::{Faults, LEFT, NOSE, RIGHT};
use toeline_model::Aircraft;
use toeline_model::air::{AirShape, MAIN_SINKS_M, NOSE_SINKS_M};
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

/// Damping of a strut over the critical damping of the mass that rests on it (ours).
const STRUT_DAMPING: f64 = 0.6;
/// Radii of gyration in roll, pitch and yaw over half span, half length and half their mean: one engine and two
/// (Raymer, *Aircraft Design*, from memory). Only their ratio to yaw is used.
const GYRATION_ONE: [f64; 3] = [0.25, 0.38, 0.39];
/// The same with two engines on the wing.
const GYRATION_TWO: [f64; 3] = [0.34, 0.29, 0.44];
/// Heat capacity of one brake over the aeroplane's mass, J/K per kg (2 g of steel each kilogram, 460 J/(kg·K); ours).
const BRAKE_HEAT: f64 = 0.002 * 460.0;

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
    /// Shape in the air.
    pub air: AirShape,
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
        let (mut thrust, mut advance, mut height) = (0.0, 0.0, 0.0);
        for p in &a.propellers {
            thrust += static_thrust_n(shaft_power_w(a), p.diameter_m, AIR_KGPM3, STATIC_EFFICIENCY);
            advance += NO_THRUST_ADVANCE * a.engine.static_rpm / 60.0 * p.diameter_m / count;
            height += p.hub_z_m / count;
        }

        let length = f.nose_x_m - f.tail_x_m;
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
            air: AirShape::of(a),
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
