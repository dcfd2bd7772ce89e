//! What each wheel carries in wind, by statics.
//!
//! The aeroplane is one rigid body on three sprung wheels on level ground, engine giving neither thrust nor torque, rolling
//! straight on or standing; the tyres hold against the air's level forces at the ground. The springs let it pitch and roll,
//! which moves the centre of gravity over its wheels and turns the wing in the wind. Left out: thrust and torque at idle, 8 to
//! 12 per cent of those at full throttle; turns, bumps and braking. `tests/dynamics/lift.rs` compares with the simulator.

use super::{AirFlow, AirLoad, AirShape, Surfaces, air_load};
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

/// Rounds in which the attitude settles. Each takes what is left down to a third or less (a tenth in calm air), so these
/// leave a ten-thousandth of the lean; where the body would go over they run away, and a wheel counts as lifted.
const ROUNDS: usize = 8;

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
        let (mut flow, mut roll_rad) = (
            AirFlow {
                through_mps,
                ..AirFlow::default()
            },
            0.0,
        );
        let mut load_n = [rest_nose_n, rest_main_n, rest_main_n];
        for _ in 0..ROUNDS {
            let air = air_load(&self.air, self.cg_height_m, &flow, held, 0.0);
            load_n = self.loads_leaning_n(&air, flow.pitch_rad, roll_rad);
            let main_rises_m = |i: usize| main_sinks_m * (1.0 - load_n[i] / rest_main_n);
            let (left_m, right_m) = (main_rises_m(LEFT), main_rises_m(RIGHT));
            let nose_m = nose_sinks_m * (1.0 - load_n[NOSE] / rest_nose_n);
            flow.pitch_rad = (nose_m - (left_m + right_m) / 2.0) / wheelbase_m;
            roll_rad = (left_m - right_m) / self.track_m;
        }
        load_n
    }

    /// The same under a load of the air, pitched nose-up and rolled to the right.
    fn loads_leaning_n(&self, air: &AirLoad, pitch_rad: f64, roll_rad: f64) -> [f64; 3] {
        let all = self.mass_kg * G_MPS2 - air.up_n;
        // The ground pushes back at the tyres, a centre of gravity's height below it; leaning moves it over its wheels.
        let nose_up_nm = air.pitch_nm - self.cg_height_m * (air.forward_n - all * pitch_rad);
        let right_down_nm = air.roll_nm - self.cg_height_m * (air.left_n - all * roll_rad);
        let wheelbase_m = self.nose_ahead_m + self.axle_behind_m;
        let nose = (all * self.axle_behind_m - nose_up_nm) / wheelbase_m;
        let mains = all - nose;
        // Moment to the right is met by more load on the right wheel.
        let shift = right_down_nm / self.track_m;
        [nose, mains / 2.0 - shift, mains / 2.0 + shift]
    }
}
