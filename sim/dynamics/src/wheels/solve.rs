//! The problem of a tick's contacts and what its answer comes to on the body.
//!
//! Newton's method solves it, and where that does not settle the sweeps do. Whichever it was, no tyre passes its friction
//! limit and the body's velocity is exactly what the impulses make it. Where either ends depends on the numbers alone, so
//! the result is the same everywhere.

use super::block::WheelTask;
use super::newton::{Settled, newton};
use super::sweeps::sweeps;
use super::{Contact, Velocity};
use crate::steering::Swivel;
use crate::struts::Rates;
use crate::{LEFT, NOSE, Params, RIGHT};

/// Speed below which a body whose main wheels are both held is at rest, m/s and rad/s.
const AT_REST: f64 = 1e-7;

/// The problem of one tick.
pub(crate) struct Task<'a> {
    pub(crate) params: &'a Params,
    /// Velocity with all forces but those of the wheels and the linkage taken in.
    pub(crate) velocity: Velocity,
    /// The same for heave, pitch and roll.
    pub(crate) rates: Rates,
    /// How heave, pitch and roll answer to impulses.
    pub(crate) sprung: [[f64; 3]; 3],
    pub(crate) swivel: Swivel,
    pub(crate) load_n: [f64; 3],
    pub(crate) grip_n: [f64; 3],
    /// Torque that brake and rolling resistance can hold, N·m.
    pub(crate) hold_nm: [f64; 3],
    pub(crate) spin: [f64; 3],
    /// Tyre forces of the last tick, N along and across each wheel.
    pub(crate) last_n: [[f64; 2]; 3],
    /// Level velocity of the body at the ground and rates of yaw and swivel at the start of the tick.
    pub(crate) level: Velocity,
    /// Velocity of each contact along and across its wheel at the start of the tick, m/s.
    pub(crate) moving: [[f64; 2]; 3],
    pub(crate) dt_s: f64,
}

/// Its answer.
pub(crate) struct Solution {
    pub(crate) velocity: Velocity,
    pub(crate) rates: Rates,
    pub(crate) spin: [f64; 3],
    pub(crate) tyre_n: [[f64; 2]; 3],
}

/// Solves the contacts of one tick.
pub(crate) fn solve(task: &Task<'_>, contacts: &[Contact; 3]) -> Solution {
    let (wheels, soft, slip_unit) = wheels(task);
    let settled =
        newton(task, contacts, &wheels, &slip_unit).unwrap_or_else(|| sweeps(task, contacts, wheels, soft, slip_unit));
    finish(task, contacts, &settled)
}

/// The wheels without their answers, how their tyres yield at small slip, and slip per normalised slip.
fn wheels(task: &Task<'_>) -> ([WheelTask; 3], [f64; 3], [f64; 3]) {
    let (p, dt) = (task.params, task.dt_s);
    let wheels = core::array::from_fn(|i| WheelTask {
        answer: [0.0; 3],
        softness: 0.0,
        limit: task.grip_n[i] * dt,
        spin: task.spin[i],
        radius: p.wheel_radius_m[i],
        inertia: p.wheel_inertia_kgm2[i],
        hold: task.hold_nm[i] * dt,
    });
    // Force per slip velocity at small slip is C/V: the tyre rolls out of its deflection at the speed it rolls with.
    let yields: [f64; 3] = core::array::from_fn(|i| {
        let stiffness = p.tyre_per_load[i] * p.faults.stiffness_factor(i) * task.load_n[i];
        if stiffness > 0.0 {
            task.moving[i][0].abs() / stiffness
        } else {
            0.0
        }
    });
    (
        wheels,
        yields.map(|y| y / dt),
        core::array::from_fn(|i| yields[i] * task.grip_n[i]),
    )
}

fn finish(task: &Task<'_>, contacts: &[Contact; 3], settled: &Settled) -> Solution {
    let p = task.params;
    let each: [Velocity; 3] = core::array::from_fn(|i| contacts[i].on_body(settled.impulse[i]));
    let sum: Velocity = core::array::from_fn(|k| each[NOSE][k] + (each[LEFT][k] + each[RIGHT][k]));
    let mut velocity = [
        task.velocity[0] + sum[0] / p.mass_kg,
        task.velocity[1] + sum[1] / p.mass_kg,
        task.velocity[2] + sum[2] / p.yaw_inertia_kgm2,
        settled.swivel_radps,
    ];
    let (pitch, roll) = (p.cg_height_m * sum[0], p.cg_height_m * sum[1]);
    let mut rates: Rates =
        core::array::from_fn(|a| task.rates[a] + (task.sprung[a][1] * pitch + task.sprung[a][2] * roll));
    let mut spin = settled.spin.map(|s| if s == 0.0 { 0.0 } else { s });
    // Both main wheels held leave the body no freedom but to sway on its struts: what is left of its speed when that
    // has died away is the sweeps' remainder.
    let held = settled.held[LEFT] && settled.held[RIGHT];
    let slow = |v: &f64| v.abs() < AT_REST;
    if held && velocity[..3].iter().all(slow) && rates.iter().all(slow) {
        velocity[0] = 0.0;
        velocity[1] = 0.0;
        velocity[2] = 0.0;
        rates = [0.0; 3];
        spin = [0.0; 3];
        if velocity[3].abs() < AT_REST {
            velocity[3] = 0.0;
        }
    }
    Solution {
        velocity,
        rates,
        spin,
        tyre_n: settled.impulse.map(|j| j.map(|x| x / task.dt_s)),
    }
}
