//! What an observer reads off a state: figures for displays, scores and tests. Nothing here feeds back into the step.

use crate::struts::swayed;
use crate::{Controls, NOSE, Params, State, brakes, engine};
use toeline_model::math;

/// One wheel's figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelTelemetry {
    /// Load, N.
    pub load_n: f64,
    /// Force of the ground along the wheel, N, forward positive.
    pub along_n: f64,
    /// Force of the ground across the wheel, N, left positive.
    pub across_n: f64,
    /// Velocity of the contact along the wheel less the tread's own, m/s: 0 when rolling, the speed when locked.
    pub slip_along_mps: f64,
    /// Velocity of the contact across the wheel, m/s, left positive.
    pub slip_across_mps: f64,
    /// Share of the friction limit in use, 0 to 1; 0 without load.
    pub friction_use: f64,
    /// Standing still on its axle while the aeroplane moves at more than a creep (0.1 m/s).
    pub locked: bool,
}

/// Figures of the whole aeroplane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Telemetry {
    /// Speed over the ground, m/s.
    pub speed_mps: f64,
    /// Nose, left and right wheel.
    pub wheels: [WheelTelemetry; 3],
    /// Nose-wheel angle, radians, left positive.
    pub nose_wheel_rad: f64,
    /// Engine speed, rpm.
    pub rpm: f64,
    /// Thrust, N, in calm air.
    pub thrust_n: f64,
    /// Brake pressure left and right, 0 to 1, and what the feet ask for.
    pub brake: [f64; 2],
    /// Pressure that the feet or the parking brake ask for, left and right, 0 to 1.
    pub brake_asked: [f64; 2],
    /// Temperature of left and right brake, degrees Celsius.
    pub brake_c: [f64; 2],
    /// Share of its cold torque that each brake has at that temperature, 0 to 1.
    pub brake_grip: [f64; 2],
    /// Nose up from the rest, radians.
    pub pitch_rad: f64,
    /// Roll to the right from the rest, radians.
    pub roll_rad: f64,
    /// Yaw rate, rad/s, left positive.
    pub yaw_radps: f64,
    /// Acceleration to the left at the centre of gravity, m/s²: what the ball feels.
    pub lateral_mps2: f64,
    /// Acceleration forward at the centre of gravity, m/s².
    pub forward_mps2: f64,
}

impl Telemetry {
    /// Reads the figures off a state; forces and loads are those of the tick that led to it.
    pub fn of(p: &Params, state: &State, controls: &Controls) -> Telemetry {
        let speed_mps = state.speed_mps();
        let wheels = core::array::from_fn(|i| {
            let [along_n, across_n] = state.tyre_n[i];
            let slip = contact_slip(p, state, i);
            let grip = state.grip_n[i];
            WheelTelemetry {
                load_n: state.load_n[i],
                along_n,
                across_n,
                slip_along_mps: slip[0],
                slip_across_mps: slip[1],
                friction_use: if grip > 0.0 {
                    math::hypot(along_n, across_n) / grip
                } else {
                    0.0
                },
                locked: state.spin_radps[i] == 0.0 && speed_mps > 0.1 && slip[0].abs() > 0.1,
            }
        });
        Telemetry {
            speed_mps,
            wheels,
            nose_wheel_rad: state.nose_wheel_rad,
            rpm: state.engine.rpm,
            thrust_n: engine::thrust_n(p, state.engine.rpm, state.forward_mps),
            brake: state.brake,
            brake_asked: controls.clamped().brakes(),
            brake_c: state.brake_c,
            brake_grip: state.brake_c.map(brakes::fade),
            pitch_rad: state.pitch_rad,
            roll_rad: state.roll_rad,
            yaw_radps: state.yaw_radps,
            lateral_mps2: state.accel_mps2[1],
            forward_mps2: state.accel_mps2[0],
        }
    }
}

fn contact_slip(p: &Params, state: &State, i: usize) -> [f64; 2] {
    let [x, y] = swayed(p, state)[i];
    let h = p.cg_height_m;
    let (u, v) = (
        state.forward_mps - y * state.yaw_radps + h * state.pitch_radps,
        state.left_mps + x * state.yaw_radps + h * state.roll_radps,
    );
    let angle = if i == NOSE { state.nose_wheel_rad } else { 0.0 };
    let (c, s) = (math::cos(angle), math::sin(angle));
    [u * c + v * s - p.wheel_radius_m[i] * state.spin_radps[i], v * c - u * s]
}
