//! The sweeps: each wheel in turn exactly, the swivel between, until nothing moves any more.
//!
//! A projected Gauss-Seidel scheme. The two main wheels are solved from the same velocity and each taken over in part,
//! not one after the other: so a mirrored problem has the mirrored answer to the last bit. Sweeps start from the last
//! tick's forces. Their number is bounded, and where they end depends on the numbers alone, so the result is the same
//! everywhere. Whatever the number of sweeps, no tyre passes its friction limit and the body's velocity is exactly what the
//! impulses make it.

use super::block::{WheelAnswer, WheelTask, solve_wheel};
use super::{Contact, Velocity};
use crate::steering::Swivel;
use crate::tyre::{FULL_SLIDE, STIFFNESS_PER_LOAD, softness};
use crate::{LEFT, NOSE, Params, RIGHT};

/// Most sweeps in a tick.
const MOST_SWEEPS: usize = 60;
/// Change of velocity in a sweep below which the sweeps end, m/s.
const SETTLED_MPS: f64 = 1e-12;
/// Share of a main wheel's change that is taken over. The two resist side slip along one line, so that the whole change of
/// both would be twice too much; below 1 the scheme converges.
const PAIR_SHARE: f64 = 0.7;
/// Speed below which a body whose main wheels are both held is at rest, m/s and rad/s.
const AT_REST: f64 = 1e-7;

/// The problem of one tick.
pub(crate) struct Task<'a> {
    pub(crate) params: &'a Params,
    /// Velocity with all forces but those of the wheels and the linkage taken in.
    pub(crate) velocity: Velocity,
    pub(crate) swivel: Swivel,
    pub(crate) load_n: [f64; 3],
    pub(crate) grip_n: [f64; 3],
    /// Torque that brake and rolling resistance can hold, N·m.
    pub(crate) hold_nm: [f64; 3],
    pub(crate) spin: [f64; 3],
    /// Tyre forces of the last tick, N along and across each wheel.
    pub(crate) last_n: [[f64; 2]; 3],
    /// Speed of each wheel along itself at the start of the tick, m/s.
    pub(crate) rolling_mps: [f64; 3],
    pub(crate) dt_s: f64,
}

/// Its answer.
pub(crate) struct Solution {
    pub(crate) velocity: Velocity,
    pub(crate) spin: [f64; 3],
    pub(crate) tyre_n: [[f64; 2]; 3],
}

struct Sweeper {
    contacts: [Contact; 3],
    inverse_mass: Velocity,
    velocity: Velocity,
    wheels: [WheelTask; 3],
    answers: [WheelAnswer; 3],
    /// Tyre yielding at small slip and slip per normalised slip, for each wheel.
    soft: [f64; 3],
    slip_unit: [f64; 3],
}

impl Sweeper {
    fn push(&mut self, impulse: Velocity) {
        for (k, part) in impulse.iter().enumerate() {
            self.velocity[k] += self.inverse_mass[k] * part;
        }
    }

    /// The wheel's answer to the present velocity, its own last impulse taken away.
    fn visit(&mut self, i: usize) -> WheelAnswer {
        let moving = self.contacts[i].velocity(&self.velocity);
        let task = &mut self.wheels[i];
        let old = self.answers[i];
        let slip = [moving[0] - task.radius * old.spin, moving[1]];
        let slip_size = (slip[0] * slip[0] + slip[1] * slip[1]).sqrt();
        let x = if slip_size < FULL_SLIDE * self.slip_unit[i] {
            slip_size / self.slip_unit[i]
        } else {
            FULL_SLIDE
        };
        task.softness = self.soft[i] * softness(x);
        let [xx, xy, yy] = task.answer;
        let free = [
            moving[0] - (xx * old.impulse[0] + xy * old.impulse[1]),
            moving[1] - (xy * old.impulse[0] + yy * old.impulse[1]),
        ];
        solve_wheel(task, free)
    }
}

/// Solves the contacts of one tick.
pub(crate) fn solve(task: &Task<'_>, contacts: [Contact; 3]) -> Solution {
    let p = task.params;
    let inverse_mass = [
        1.0 / p.mass_kg,
        1.0 / p.mass_kg,
        1.0 / p.yaw_inertia_kgm2,
        task.swivel.inverse_inertia,
    ];
    let mut sweeper = start(task, contacts, inverse_mass);
    let warm: [Velocity; 3] = core::array::from_fn(|i| contacts[i].on_body(sweeper.answers[i].impulse));
    sweeper.push(core::array::from_fn(|k| {
        warm[NOSE][k] + (warm[LEFT][k] + warm[RIGHT][k])
    }));

    let (mut spring, mut stop) = (0.0, 0.0);
    for _ in 0..MOST_SWEEPS {
        let before = sweeper.velocity;
        let free = sweeper.velocity[3] - inverse_mass[3] * spring;
        spring = task.swivel.spring(free);
        sweeper.velocity[3] = free + inverse_mass[3] * spring;

        let nose = sweeper.visit(NOSE);
        let old = sweeper.answers[NOSE].impulse;
        sweeper.push(contacts[NOSE].on_body([nose.impulse[0] - old[0], nose.impulse[1] - old[1]]));
        sweeper.answers[NOSE] = nose;

        let free = sweeper.velocity[3] - inverse_mass[3] * stop;
        stop = task.swivel.stop(free);
        sweeper.velocity[3] = free + inverse_mass[3] * stop;

        let pair = [sweeper.visit(LEFT), sweeper.visit(RIGHT)];
        let mut pushes = [[0.0; 4]; 2];
        for (n, i) in [LEFT, RIGHT].into_iter().enumerate() {
            let old = sweeper.answers[i];
            let change = [
                PAIR_SHARE * (pair[n].impulse[0] - old.impulse[0]),
                PAIR_SHARE * (pair[n].impulse[1] - old.impulse[1]),
            ];
            pushes[n] = contacts[i].on_body(change);
            sweeper.answers[i] = WheelAnswer {
                impulse: [old.impulse[0] + change[0], old.impulse[1] + change[1]],
                spin: pair[n].spin,
                held: pair[n].held,
            };
        }
        sweeper.push(core::array::from_fn(|k| pushes[0][k] + pushes[1][k]));

        let moved = |k: usize, arm: f64| (sweeper.velocity[k] - before[k]).abs() * arm;
        let most = moved(0, 1.0)
            .max(moved(1, 1.0))
            .max(moved(2, p.wheelbase_m))
            .max(moved(3, p.trail_m));
        if most < SETTLED_MPS {
            break;
        }
    }
    finish(task, sweeper)
}

fn start(task: &Task<'_>, contacts: [Contact; 3], inverse_mass: Velocity) -> Sweeper {
    let (p, dt) = (task.params, task.dt_s);
    let wheels = core::array::from_fn(|i| WheelTask {
        answer: contacts[i].answer(&inverse_mass),
        softness: 0.0,
        limit: task.grip_n[i] * dt,
        spin: task.spin[i],
        radius: p.wheel_radius_m[i],
        inertia: p.wheel_inertia_kgm2[i],
        hold: task.hold_nm[i] * dt,
    });
    let answers = core::array::from_fn(|i| {
        let [x, y] = task.last_n[i];
        let size = (x * x + y * y).sqrt();
        let scale = if size > task.grip_n[i] {
            task.grip_n[i] / size
        } else {
            1.0
        };
        WheelAnswer {
            impulse: [x * scale * dt, y * scale * dt],
            spin: task.spin[i],
            held: false,
        }
    });
    // Force per slip velocity at small slip is C/V: the tyre rolls out of its deflection at the speed it rolls with.
    let stiffness: [f64; 3] = core::array::from_fn(|i| STIFFNESS_PER_LOAD * task.load_n[i]);
    let per = |i: usize, x: f64| if stiffness[i] > 0.0 { x / stiffness[i] } else { 0.0 };
    Sweeper {
        contacts,
        inverse_mass,
        velocity: task.velocity,
        wheels,
        answers,
        soft: core::array::from_fn(|i| per(i, task.rolling_mps[i].abs()) / dt),
        slip_unit: core::array::from_fn(|i| per(i, task.rolling_mps[i].abs() * task.grip_n[i])),
    }
}

fn finish(task: &Task<'_>, sweeper: Sweeper) -> Solution {
    let mut velocity = sweeper.velocity;
    let mut spin: [f64; 3] = core::array::from_fn(|i| {
        let answer = &sweeper.answers[i];
        if answer.spin == 0.0 { 0.0 } else { answer.spin }
    });
    // Both main wheels held leave the body no freedom: what is left of its speed is the sweeps' remainder.
    let held = sweeper.answers[LEFT].held && sweeper.answers[RIGHT].held;
    if held && velocity[..3].iter().all(|v| v.abs() < AT_REST) {
        velocity[0] = 0.0;
        velocity[1] = 0.0;
        velocity[2] = 0.0;
        spin = [0.0; 3];
        if velocity[3].abs() < AT_REST {
            velocity[3] = 0.0;
        }
    }
    Solution {
        velocity,
        spin,
        tyre_n: core::array::from_fn(|i| sweeper.answers[i].impulse.map(|j| j / task.dt_s)),
    }
}
