//! What each wheel carries in wind, by statics.
//!
//! The aeroplane is taken as one rigid body at its rest attitude on level ground, engine giving neither thrust nor torque,
//! rolling straight on or standing; the tyres hold against the air's level forces at the ground. Left out, and how much that
//! is: the struts let the body lean (`tests/dynamics/lift.rs` compares); thrust and torque at idle, 5 to 8 per cent of those
//! at full throttle; turns, bumps and braking.

use super::{AirFlow, AirLoad, AirShape, Surfaces, air_load};
use crate::Aircraft;
use crate::units::G_MPS2;

/// Index of the nose wheel in a list of loads.
pub const NOSE: usize = 0;
/// Index of the left main wheel.
pub const LEFT: usize = 1;
/// Index of the right main wheel.
pub const RIGHT: usize = 2;

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
        let flow = AirFlow {
            through_mps,
            ..AirFlow::default()
        };
        self.loads_under_n(&air_load(&self.air, self.cg_height_m, &flow, held, 0.0))
    }

    /// The same under a load of the air that is given.
    pub fn loads_under_n(&self, air: &AirLoad) -> [f64; 3] {
        // The ground pushes back at the tyres, a centre of gravity's height below it.
        let nose_up_nm = air.pitch_nm - self.cg_height_m * air.forward_n;
        let right_down_nm = air.roll_nm - self.cg_height_m * air.left_n;
        let all = self.mass_kg * G_MPS2 - air.up_n;
        let wheelbase_m = self.nose_ahead_m + self.axle_behind_m;
        let nose = (all * self.axle_behind_m - nose_up_nm) / wheelbase_m;
        let mains = all - nose;
        // Moment to the right is met by more load on the right wheel.
        let shift = right_down_nm / self.track_m;
        [nose, mains / 2.0 - shift, mains / 2.0 + shift]
    }
}
