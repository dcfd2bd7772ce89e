//! The contacts solved by Newton's method in the velocities of the body: three level ones and the swivel's rate.
//!
//! What the sweeps (see `sweeps`) close in on has a gradient: the velocities that the tick ends with make the body's change
//! of momentum equal to the tyres' impulses, and each tyre's impulse falls as its slip grows. So the problem is that of
//! the least of a convex function of four numbers, whatever the number of contacts; each wheel's spin is taken out by
//! itself. Newton's method starts from the slips that the last tick ended with. It is a shortcut only: where it does not
//! settle within a few rounds it gives nothing and the sweeps do the work.
//!
//! The last round is not followed by another look at the tyres: impulses and velocities that belong together come out of
//! the same linear equations, and the tyre curve is missed by no more than the square of the last change of slip.

use super::Contact;
use super::block::WheelTask;
use super::equations::Equations;
use super::line::{Line, Tyre};
use super::solve::Task;
use crate::steering::Swivel;
use crate::{LEFT, NOSE, RIGHT};

/// Most rounds before the sweeps are called.
const ROUNDS: usize = 8;
/// Change of slip in the last round over the slip in which the tyre's curve bends. The curve is then missed by no more
/// than 3e-8 of the friction limit: three times the square, by the curve's greatest bend.
const SETTLED: f64 = 1e-4;
/// The same as a speed, m/s, below which rounding is all that is left.
const ROUNDING_MPS: f64 = 1e-13;
/// Slip of a standing wheel with which the rounds end, m/s.
const STANDS_MPS: f64 = 1e-11;

/// What the rounds come to.
pub(super) struct Settled {
    pub(super) impulse: [[f64; 2]; 3],
    pub(super) spin: [f64; 3],
    pub(super) held: [bool; 3],
    pub(super) swivel_radps: f64,
}

/// A wheel in a round: its impulse at the round's velocity with the spin taken out, and how that falls with the velocity of
/// the contact.
#[derive(Clone, Copy)]
pub(super) struct Round {
    pub(super) impulse: [f64; 2],
    pub(super) falls: [f64; 3],
    /// Slip beyond the line's own: along and across at the round's velocity, and along per change of the contact's velocity
    /// along and across.
    beyond: [f64; 4],
    bends: f64,
    sliding: bool,
    /// Torque impulse of brake and rolling resistance on a turning wheel; `None` for one that is held.
    torque: Option<f64>,
}

/// Torque impulse on a wheel that turns after an impulse along it; `None` when it is held.
#[inline(always)]
fn torque(wheel: &WheelTask, along: f64) -> Option<f64> {
    let left = wheel.inertia * wheel.spin - wheel.radius * along;
    if left.abs() <= wheel.hold {
        None
    } else {
        Some(if left > 0.0 { -wheel.hold } else { wheel.hold })
    }
}

#[inline(always)]
fn round(wheel: &WheelTask, line: &Line, last: [f64; 2], moving: [f64; 2], spin: f64) -> Round {
    let [xx, xy, yy] = line.falls;
    let (radius, inertia) = (wheel.radius, wheel.inertia);
    let off = [moving[0] - radius * spin - line.at[0], moving[1] - line.at[1]];
    let impulse = [
        line.impulse[0] - (xx * off[0] + xy * off[1]),
        line.impulse[1] - (xy * off[0] + yy * off[1]),
    ];
    let torque = torque(wheel, last[0]);
    let (slips, falls) = match torque {
        None => ([radius * spin, 1.0, 0.0], line.falls),
        Some(torque) => {
            let per = 1.0 / (inertia + radius * radius * xx);
            let share = inertia * per;
            let lacks = inertia * (spin - wheel.spin) - torque + radius * impulse[0];
            let turns = radius * radius * xy * per;
            (
                [radius * lacks * per, share, -turns],
                [xx * share, xy * share, yy - turns * xy],
            )
        }
    };
    Round {
        impulse: [impulse[0] - xx * slips[0], impulse[1] - xy * slips[0]],
        falls,
        beyond: [off[0] + slips[0], off[1], slips[1], slips[2]],
        bends: line.bends,
        sliding: line.sliding,
        torque,
    }
}

/// Torque impulse of the linkage at a rate of the swivel, and how it falls with that rate.
#[inline(always)]
fn linkage(swivel: &Swivel, rate: f64) -> (f64, f64) {
    let dt = swivel.dt_s;
    let pull = swivel.stiffness * dt * (swivel.linkage_rad - swivel.angle_rad - dt * rate);
    if pull.abs() > swivel.limit_nms {
        (swivel.limit_nms.copysign(pull), 0.0)
    } else {
        (pull, swivel.stiffness * dt * dt)
    }
}

/// Solves the contacts; `None` when the rounds do not settle.
pub(super) fn newton(
    task: &Task<'_>,
    contacts: &[Contact; 3],
    wheels: &[WheelTask; 3],
    slip_unit: &[f64; 3],
) -> Option<Settled> {
    let p = task.params;
    let h = p.cg_height_m;
    let tyres: [Tyre; 3] = core::array::from_fn(|i| Tyre::new(&wheels[i], slip_unit[i], p.mass_kg));
    // A level push at the ground: the body gives way by its mass, and by pitching and rolling.
    let per_mass = 1.0 / p.mass_kg;
    let (xx, xy, yy) = (
        per_mass + h * h * task.sprung[1][1],
        h * h * task.sprung[1][2],
        per_mass + h * h * task.sprung[2][2],
    );
    let scale = 1.0 / (xx * yy - xy * xy);
    let mass = [yy * scale, -xy * scale, xx * scale];
    let swivel_inertia = 1.0 / task.swivel.inverse_inertia;
    let free = [
        task.velocity[0] + h * task.rates[1],
        task.velocity[1] + h * task.rates[2],
        task.velocity[2],
        task.velocity[3],
    ];
    let mut z = task.level;
    let mut moving = task.moving;
    let mut spin = task.spin;
    let mut sliding = [false; 3];
    let mut last: [[f64; 2]; 3] = core::array::from_fn(|i| {
        let j = task.last_n[i].map(|n| n * task.dt_s);
        let (size, limit) = (j[0] * j[0] + j[1] * j[1], wheels[i].limit);
        if size > limit * limit {
            let scale = limit / size.sqrt();
            j.map(|j| j * scale)
        } else {
            j
        }
    });
    let least = (-task.swivel.stop_rad - task.swivel.angle_rad) / task.dt_s;
    let most = (task.swivel.stop_rad - task.swivel.angle_rad) / task.dt_s;

    for _ in 0..ROUNDS {
        let look = |i: usize| {
            let slip = [moving[i][0] - wheels[i].radius * spin[i], moving[i][1]];
            let line = tyres[i].line(slip, last[i], sliding[i]);
            round(&wheels[i], &line, last[i], moving[i], spin[i])
        };
        let rounds = [look(0), look(1), look(2)];
        let main = |i: usize| Equations::of_main(&contacts[i], &rounds[i]);
        let mut all = Equations::of(&contacts[NOSE], &rounds[NOSE]).plus(&main(LEFT).plus(&main(RIGHT)));
        let (pull, gives) = linkage(&task.swivel, z[3]);
        let lacks = [free[0] - z[0], free[1] - z[1], free[2] - z[2], free[3] - z[3]];
        all.m[0] += mass[0];
        all.m[1] += mass[1];
        all.m[4] += mass[2];
        all.m[7] += p.yaw_inertia_kgm2;
        all.m[9] += swivel_inertia + gives;
        all.right[0] += mass[0] * lacks[0] + mass[1] * lacks[1];
        all.right[1] += mass[1] * lacks[0] + mass[2] * lacks[1];
        all.right[2] += p.yaw_inertia_kgm2 * lacks[2];
        all.right[3] += swivel_inertia * lacks[3] + pull;
        let change = all.solved(least - z[3], most - z[3]);

        z = core::array::from_fn(|k| z[k] + change[k]);
        let mut settled = (linkage(&task.swivel, z[3]).1 == 0.0) == (gives == 0.0);
        let mut found = Settled {
            impulse: [[0.0; 2]; 3],
            spin: [0.0; 3],
            held: [false; 3],
            swivel_radps: z[3],
        };
        for i in 0..3 {
            let (wheel, round) = (&wheels[i], &rounds[i]);
            let [a, b] = contacts[i].rows;
            let by = if i == NOSE {
                [a, b].map(|r| (r.x * change[0] + r.y * change[1]) + (r.yaw * change[2] + r.swivel * change[3]))
            } else {
                [change[0] + a.yaw * change[2], change[1] + b.yaw * change[2]]
            };
            let [xx, xy, yy] = round.falls;
            let mut impulse = [
                round.impulse[0] - (xx * by[0] + xy * by[1]),
                round.impulse[1] - (xy * by[0] + yy * by[1]),
            ];
            let [x, y, per_along, per_across] = round.beyond;
            let (x, y) = (x + (per_along * by[0] + per_across * by[1]), y + by[1]);
            let beyond = x * x + y * y;
            let size = impulse[0] * impulse[0] + impulse[1] * impulse[1];
            let over = size > wheel.limit * wheel.limit;
            if over {
                let scale = wheel.limit / size.sqrt();
                impulse = impulse.map(|j| j * scale);
            }
            let torque = torque(wheel, impulse[0]);
            settled &= torque == round.torque;
            let near = (SETTLED * round.bends).max(ROUNDING_MPS);
            settled &= beyond <= near * near;
            if tyres[i].dry {
                // What the softness lent has yielded.
                let [x, y] = [impulse[0] - last[i][0], impulse[1] - last[i][1]];
                let still = STANDS_MPS * tyres[i].stiff;
                settled &= x * x + y * y <= still * still && over == round.sliding;
            }
            moving[i] = [moving[i][0] + by[0], moving[i][1] + by[1]];
            spin[i] = match torque {
                None => 0.0,
                Some(torque) => wheel.spin + (torque - wheel.radius * impulse[0]) / wheel.inertia,
            };
            let needed = wheel.radius * impulse[0] - wheel.inertia * wheel.spin;
            found.held[i] =
                torque.is_none() && !over && !round.sliding && wheel.limit > 0.0 && needed.abs() < wheel.hold;
            found.impulse[i] = impulse;
            last[i] = impulse;
            sliding[i] = over;
        }
        found.spin = spin;
        if settled {
            return Some(found);
        }
    }
    None
}
