//! What each wheel carries in wind, by statics.
//!
//! The aeroplane is one rigid body on three sprung wheels on level ground, engine giving neither thrust nor torque, rolling
//! straight on or standing; the tyres hold against the air's level forces at the ground. The springs let it pitch and roll,
//! which moves the centre of gravity over its wheels and turns the wing in the wind. Left out: thrust and torque at idle, 8 to
//! 12 per cent of those at full throttle; turns, bumps and braking. `tests/dynamics/lift.rs` compares with the simulator.

use super::{AirFlow, AirShape, Surfaces, air_load};
use crate::Aircraft;
use crate::units::G_MPS2;

/// Index of the nose wheel in a list of loads.
pub const NOSE: usize = 0;
/// Index of the left main wheel.
pub const LEFT: usize = 1;
/// Index of the right main wheel.
pub const RIGHT: usize = 2;

/// How far the nose strut with its tyre gives way under its share of the weight, metres (ours: an oleo that still keeps
/// the propeller off the ground under full braking).
pub const NOSE_SINKS_M: f64 = 0.03;
/// The same for a main leg with its tyre, metres (ours: a spring leg; the body then bounces at about 2 Hz).
pub const MAIN_SINKS_M: f64 = 0.06;

/// Rounds in which the pitch settles: one on level legs, one to see how the pitch feeds on itself, and two by the slope of
/// that (it is a straight line but for the drag that comes with lift, so the last changes nothing that counts).
const ROUNDS: usize = 4;
/// Least stiffness that is left to the pitch, as a share of the springs': below it the body goes over.
const LEAST_STIFF: f64 = 0.02;

/// An aeroplane as statics sees it: its weight, its wheels and its shape in the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnWheels {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Height of the centre of gravity, metres.
    pub cg_height_m: f64,
    /// Centre of gravity to nose wheel, metres.
    pub nose_ahead_m: f64,
    /// Centre of gravity to main axle, metres.
    pub axle_behind_m: f64,
    /// Between the main wheels, metres.
    pub track_m: f64,
    /// How far nose strut and main legs give way under their shares of the weight, metres; 0 for a stiff one.
    pub sinks_m: [f64; 2],
    /// Shape in the air.
    pub air: AirShape,
}

impl OnWheels {
    /// An aeroplane as taxied.
    pub fn of(a: &Aircraft) -> OnWheels {
        OnWheels {
            mass_kg: a.mass.taxi_kg,
            cg_height_m: a.mass.cg_z_m,
            nose_ahead_m: a.mass.cg_aft_of_nose_wheel_m,
            axle_behind_m: a.gear.wheelbase_m - a.mass.cg_aft_of_nose_wheel_m,
            track_m: a.gear.track_m,
            sinks_m: [NOSE_SINKS_M, MAIN_SINKS_M],
            air: AirShape::of(a),
        }
    }

    /// Load on nose, left and right wheel, N, for a velocity through the air forward and to the left (m/s) with the surfaces
    /// held; negative where a wheel would have to be pulled at to stay down.
    ///
    /// ```
    /// use toeline_model::air::{OnWheels, Surfaces};
    /// let trainer = toeline_model::aircraft::catalog::find("trainer-high-2").unwrap();
    /// let still = OnWheels::of(&trainer).loads_n([0.0, 0.0], &Surfaces::default());
    /// assert!((still.iter().sum::<f64>() - 690.0 * 9.80665).abs() < 1e-9);
    /// assert_eq!(still[1], still[2]);
    /// ```
    pub fn loads_n(&self, through_mps: [f64; 2], held: &Surfaces) -> [f64; 3] {
        let wheelbase_m = self.nose_ahead_m + self.axle_behind_m;
        let weight_n = self.mass_kg * G_MPS2;
        let rest_nose_n = weight_n * self.axle_behind_m / wheelbase_m;
        let rest_main_n = (weight_n - rest_nose_n) / 2.0;
        let [nose_sinks_m, main_sinks_m] = self.sinks_m;
        let mut flow = AirFlow {
            through_mps,
            ..AirFlow::default()
        };
        let mut load_n = [0.0; 3];
        let mut last: Option<[f64; 2]> = None;
        for _ in 0..ROUNDS {
            let air = air_load(&self.air, self.cg_height_m, &flow, held, 0.0);
            let all = weight_n - air.up_n;
            // The ground pushes back at the tyres, a centre of gravity's height below it; leaning moves it over its wheels.
            let nose_up_nm = air.pitch_nm - self.cg_height_m * (air.forward_n - all * flow.pitch_rad);
            let nose_n = (all * self.axle_behind_m - nose_up_nm) / wheelbase_m;
            let main_n = (all - nose_n) / 2.0;
            let right_down_nm = air.roll_nm - self.cg_height_m * air.left_n;
            // Roll to the right for a moment, springs alone; by leaning the weight adds to the moment.
            let soft = 2.0 * main_sinks_m / (rest_main_n * self.track_m * self.track_m);
            let leant_nm = right_down_nm / (1.0 - soft * all * self.cg_height_m).max(LEAST_STIFF);
            let shift_n = leant_nm / self.track_m;
            load_n = [nose_n, main_n - shift_n, main_n + shift_n];

            let (nose_m, main_m) = (
                nose_sinks_m * (1.0 - nose_n / rest_nose_n),
                main_sinks_m * (1.0 - main_n / rest_main_n),
            );
            let settles_rad = (nose_m - main_m) / wheelbase_m;
            let slope = match last {
                Some([pitch, settled]) if pitch != flow.pitch_rad => (settles_rad - settled) / (flow.pitch_rad - pitch),
                _ => 0.0,
            };
            last = Some([flow.pitch_rad, settles_rad]);
            flow.pitch_rad += (settles_rad - flow.pitch_rad) / (1.0 - slope).max(LEAST_STIFF);
        }
        load_n
    }
}
