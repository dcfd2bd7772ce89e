//! The sweeps: each wheel in turn exactly, the swivel between, until nothing moves any more.
//!
//! A projected Gauss-Seidel scheme in the contacts' own velocities: how each of them answers to an impulse at each other
//! (seven numbers, seven times) is worked out once a tick, so that a sweep costs the same however many ways the body can
//! move. The two main wheels are solved from the same velocity and taken over together, not one after the other: so a
//! mirrored problem has the mirrored answer to the last bit. Sweeps start from the last tick's forces. Their number is
//! bounded, and where they end depends on the numbers alone, so the result is the same everywhere. Whatever the number of
//! sweeps, no tyre passes its friction limit and the body's velocity is exactly what the impulses make it.

use super::Contact;
use super::block::{WheelAnswer, WheelTask, solve_wheel};
use super::newton::Settled;
use super::solve::Task;
use crate::tyre::{FULL_SLIDE, softness};
use crate::{LEFT, NOSE, RIGHT};

/// Most sweeps in a tick.
const MOST_SWEEPS: usize = 60;
/// Change of a contact's velocity in a sweep below which the sweeps end, m/s.
const SETTLED_MPS: f64 = 1e-10;
/// Most of the difference between the two main wheels' changes that is taken over.
const MOST_DIFFERENCE: f64 = 1.5;
/// Place of the swivel's rate behind the six contact velocities.
const SWIVEL: usize = 6;

struct Sweeper {
    /// Velocities along and across nose, left and right wheel, and the swivel's rate.
    moving: [f64; 7],
    /// How they answer to impulses along and across each wheel.
    answer: [[f64; 7]; 6],
    wheels: [WheelTask; 3],
    answers: [WheelAnswer; 3],
    /// Tyre yielding at small slip and slip per normalised slip, for each wheel.
    soft: [f64; 3],
    slip_unit: [f64; 3],
}

impl Sweeper {
    /// What an impulse at a wheel does to the velocities.
    fn effect(&self, i: usize, [along, across]: [f64; 2]) -> [f64; 7] {
        let (a, b) = (&self.answer[2 * i], &self.answer[2 * i + 1]);
        core::array::from_fn(|k| a[k] * along + b[k] * across)
    }

    fn add(&mut self, change: &[f64; 7]) {
        for (v, c) in self.moving.iter_mut().zip(change) {
            *v += c;
        }
    }

    /// A torque impulse on the swivel: on its own rate and, through the trail, on the nose wheel's side.
    fn twist(&mut self, task: &Task<'_>, impulse: f64) {
        let rate = task.swivel.inverse_inertia * impulse;
        self.moving[SWIVEL] += rate;
        self.moving[2 * NOSE + 1] -= task.params.trail_m * rate;
    }

    /// The wheel's answer to the present velocity, its own last impulse taken away.
    fn visit(&mut self, i: usize) -> WheelAnswer {
        let moving = [self.moving[2 * i], self.moving[2 * i + 1]];
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
        solve_wheel(task, free, old.beyond)
    }

    /// Takes over the main wheels' answers, both found from the same velocities. What both do alike works against itself
    /// through the body, what they do differently for itself: each direction's sum and difference is taken over in the
    /// share that would be exact for two springs. Gives what it does to the velocities.
    fn take_over(&mut self, pair: &[WheelAnswer; 2]) -> [[f64; 7]; 2] {
        let old = [self.answers[LEFT].impulse, self.answers[RIGHT].impulse];
        // Along and across: half the sum and half the difference of what is taken over.
        let parts: [[f64; 2]; 2] = core::array::from_fn(|k| {
            let (l, r) = (2 * LEFT + k, 2 * RIGHT + k);
            let spin = |w: &WheelTask| if k == 0 { w.radius * w.radius / w.inertia } else { 0.0 };
            let (left, right) = (&self.wheels[LEFT], &self.wheels[RIGHT]);
            let own =
                (self.answer[l][l] + self.answer[r][r]) + (left.softness + right.softness) + (spin(left) + spin(right));
            let felt = 2.0 * self.answer[l][r] / own;
            let (alike, apart) = (1.0 / (1.0 + felt), 1.0 / (1.0 - felt).max(1.0 / MOST_DIFFERENCE));
            let change = [pair[0].impulse[k] - old[0][k], pair[1].impulse[k] - old[1][k]];
            [
                alike * (change[0] + change[1]) / 2.0,
                apart * (change[0] - change[1]) / 2.0,
            ]
        });
        let mut impulses = [
            core::array::from_fn(|k| old[0][k] + (parts[k][0] + parts[k][1])),
            core::array::from_fn(|k| old[1][k] + (parts[k][0] - parts[k][1])),
        ];
        let mut changes = [[0.0; 7]; 2];
        for (n, i) in [LEFT, RIGHT].into_iter().enumerate() {
            let (limit, old) = (self.wheels[i].limit, self.answers[i].impulse);
            let square = impulses[n][0] * impulses[n][0] + impulses[n][1] * impulses[n][1];
            if square > limit * limit {
                let scale = limit / square.sqrt();
                impulses[n] = impulses[n].map(|j| j * scale);
            }
            changes[n] = self.effect(i, [impulses[n][0] - old[0], impulses[n][1] - old[1]]);
            self.answers[i] = WheelAnswer {
                impulse: impulses[n],
                spin: pair[n].spin,
                held: pair[n].held,
                beyond: pair[n].beyond,
            };
        }
        changes
    }
}

/// Solves the contacts from the last tick's forces, for wheels whose answers are not filled in yet.
pub(super) fn sweeps(
    task: &Task<'_>,
    contacts: &[Contact; 3],
    wheels: [WheelTask; 3],
    soft: [f64; 3],
    slip_unit: [f64; 3],
) -> Settled {
    let mut sweeper = start(task, contacts, wheels, soft, slip_unit);
    let warm: [[f64; 7]; 3] = core::array::from_fn(|i| sweeper.effect(i, sweeper.answers[i].impulse));
    sweeper.add(&core::array::from_fn(|k| {
        warm[NOSE][k] + (warm[LEFT][k] + warm[RIGHT][k])
    }));

    let (mut spring, mut stop) = (0.0, 0.0);
    for _ in 0..MOST_SWEEPS {
        let before = sweeper.moving;
        let next = task
            .swivel
            .spring(sweeper.moving[SWIVEL] - task.swivel.inverse_inertia * spring);
        sweeper.twist(task, next - spring);
        spring = next;

        let nose = sweeper.visit(NOSE);
        let old = sweeper.answers[NOSE].impulse;
        let change = sweeper.effect(NOSE, [nose.impulse[0] - old[0], nose.impulse[1] - old[1]]);
        sweeper.add(&change);
        sweeper.answers[NOSE] = nose;

        let next = task
            .swivel
            .stop(sweeper.moving[SWIVEL] - task.swivel.inverse_inertia * stop);
        sweeper.twist(task, next - stop);
        stop = next;

        let pair = [sweeper.visit(LEFT), sweeper.visit(RIGHT)];
        let changes = sweeper.take_over(&pair);
        sweeper.add(&core::array::from_fn(|k| changes[0][k] + changes[1][k]));

        let moved = |k: usize| (sweeper.moving[k] - before[k]).abs();
        let wheels = (0..SWIVEL).map(moved).fold(0.0, f64::max);
        if wheels.max(moved(SWIVEL) * task.params.trail_m) < SETTLED_MPS {
            break;
        }
    }
    let trail: f64 = sweeper.answers[NOSE].impulse[1] * -task.params.trail_m;
    Settled {
        impulse: sweeper.answers.map(|a| a.impulse),
        spin: sweeper.answers.map(|a| a.spin),
        held: sweeper.answers.map(|a| a.held),
        swivel_radps: task.velocity[3] + (trail + (spring + stop)) * task.swivel.inverse_inertia,
    }
}

fn start(
    task: &Task<'_>,
    contacts: &[Contact; 3],
    mut wheels: [WheelTask; 3],
    soft: [f64; 3],
    slip_unit: [f64; 3],
) -> Sweeper {
    let dt = task.dt_s;
    let answer = answers(task, contacts);
    for (i, wheel) in wheels.iter_mut().enumerate() {
        let (x, y) = (2 * i, 2 * i + 1);
        wheel.answer = [answer[x][x], answer[x][y], answer[y][y]];
    }
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
            beyond: [0.0; 2],
        }
    });
    let mut moving = [0.0; 7];
    for (i, contact) in contacts.iter().enumerate() {
        [moving[2 * i], moving[2 * i + 1]] = contact.velocity(&task.velocity, &task.rates);
    }
    moving[SWIVEL] = task.velocity[3];
    Sweeper {
        moving,
        answer,
        wheels,
        answers,
        soft,
        slip_unit,
    }
}

/// How each contact velocity and the swivel's rate answer to an impulse in each contact direction.
fn answers(task: &Task<'_>, contacts: &[Contact; 3]) -> [[f64; 7]; 6] {
    let p = task.params;
    let hh = p.cg_height_m * p.cg_height_m;
    let (per_mass, per_yaw) = (1.0 / p.mass_kg, 1.0 / p.yaw_inertia_kgm2);
    // Level push at the ground: the body gives way by its mass, and by pitching and rolling.
    let (xx, xy, yy) = (
        per_mass + hh * task.sprung[1][1],
        hh * task.sprung[1][2],
        per_mass + hh * task.sprung[2][2],
    );
    let per_swivel = task.swivel.inverse_inertia;
    let mut all = [[0.0; 7]; 6];
    for j in 0..6 {
        let from = contacts[j / 2].rows[j % 2];
        let (x, y) = (xx * from.x + xy * from.y, xy * from.x + yy * from.y);
        for k in j..6 {
            let to = contacts[k / 2].rows[k % 2];
            let value = (to.x * x + to.y * y) + (to.yaw * from.yaw * per_yaw + to.swivel * from.swivel * per_swivel);
            all[j][k] = value;
            all[k][j] = value;
        }
        all[j][SWIVEL] = from.swivel * per_swivel;
    }
    all
}
