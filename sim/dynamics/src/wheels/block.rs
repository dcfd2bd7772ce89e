//! One wheel solved exactly while everything else stands still: tyre force in both directions, wheel spin and lock.

/// What is known of one wheel within a sweep. Impulses in N·s, velocities in m/s.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WheelTask {
    /// How the contact's velocity answers to impulses: along-along, along-across, across-across, 1/kg.
    pub(crate) answer: [f64; 3],
    /// Slip velocity per impulse that the tyre itself yields, 1/kg.
    pub(crate) softness: f64,
    /// Friction limit as an impulse.
    pub(crate) limit: f64,
    /// Wheel spin before the tick, rad/s.
    pub(crate) spin: f64,
    /// Rolling radius, metres.
    pub(crate) radius: f64,
    /// Moment of inertia about the axle, kg·m².
    pub(crate) inertia: f64,
    /// Torque impulse that brake and rolling resistance can hold, N·m·s.
    pub(crate) hold: f64,
}

/// The answer for one wheel.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WheelAnswer {
    /// Impulse of the ground on the tyre, along and across the wheel.
    pub(crate) impulse: [f64; 2],
    /// Wheel spin after the tick, rad/s.
    pub(crate) spin: f64,
    /// The wheel stands still and what holds it has something left; the tyre is inside its limit.
    pub(crate) held: bool,
    /// Softness by which the friction limit adds to the tyre's own, 1/kg, with the wheel taken as locked and as turning; 0
    /// inside the limit. The next visit starts there.
    pub(crate) beyond: [f64; 2],
}

/// Solves the wheel for the velocity that its contact point would have without its own impulse.
///
/// Brake and rolling resistance are Coulomb torques: first the wheel is taken as locked; when that asks for more torque
/// than there is, it turns, with the torque at its limit. Both are linear but for the friction circle.
pub(crate) fn solve_wheel(task: &WheelTask, free: [f64; 2], beyond: [f64; 2]) -> WheelAnswer {
    // Neither brake nor tyre can stop this spin within the tick: no need to try.
    if task.inertia * task.spin.abs() > task.hold + task.radius * task.limit {
        return turning(task, free, if task.spin > 0.0 { -task.hold } else { task.hold }, beyond);
    }
    let [along, both, across] = task.answer;
    let a = [along, both, across];
    let (impulse, more) = on_circle(a, task.softness, [-free[0], -free[1]], task.limit, beyond[0]);
    let needed = task.radius * impulse[0] - task.inertia * task.spin;
    if needed.abs() <= task.hold {
        let held = more == 0.0 && task.limit > 0.0 && needed.abs() < task.hold;
        return WheelAnswer {
            impulse,
            spin: 0.0,
            held,
            beyond: [more, beyond[1]],
        };
    }
    let torque = if needed > 0.0 { task.hold } else { -task.hold };
    turning(task, free, torque, [more, beyond[1]])
}

/// The wheel that turns, with a known torque impulse of brake and rolling resistance on it.
fn turning(task: &WheelTask, free: [f64; 2], torque: f64, beyond: [f64; 2]) -> WheelAnswer {
    let [along, both, across] = task.answer;
    let per_spin = task.radius / task.inertia;
    let slip = free[0] - task.radius * task.spin - per_spin * torque;
    let (impulse, more) = on_circle(
        [along + per_spin * task.radius, both, across],
        task.softness,
        [-slip, -free[1]],
        task.limit,
        beyond[1],
    );
    WheelAnswer {
        impulse,
        spin: task.spin + (torque - task.radius * impulse[0]) / task.inertia,
        held: false,
        beyond: [beyond[0], more],
    }
}

/// How near to the friction limit Newton's method ends, relative; the rest is scaled away.
const NEAR: f64 = 1e-12;
/// Most rounds of Newton's method; starting from the last visit's answer two or three are the rule.
const ROUNDS: usize = 12;

/// Impulse j with (A + softness + λ)·j = `against`, λ >= 0 and as small as |j| <= `limit` lets it be: then the slip is
/// straight against the force. Also λ, 0 inside the limit. Newton's method on 1/|j| from any `start` is on one side after
/// a round and closes in from there.
fn on_circle(a: [f64; 3], softness: f64, against: [f64; 2], limit: f64, start: f64) -> ([f64; 2], f64) {
    if limit <= 0.0 {
        return ([0.0, 0.0], 0.0);
    }
    let mut more = start;
    let mut j = [0.0; 2];
    for _ in 0..ROUNDS {
        let (xx, xy, yy) = (a[0] + softness + more, a[1], a[2] + softness + more);
        let inverse = 1.0 / (xx * yy - xy * xy);
        j = [
            (yy * against[0] - xy * against[1]) * inverse,
            (xx * against[1] - xy * against[0]) * inverse,
        ];
        let size = (j[0] * j[0] + j[1] * j[1]).sqrt();
        if more == 0.0 && size < limit {
            return (j, 0.0);
        }
        if (size - limit).abs() <= limit * NEAR {
            break;
        }
        let bend = (yy * j[0] * j[0] - 2.0 * xy * j[0] * j[1] + xx * j[1] * j[1]) * inverse;
        // No force at all: the limit is far away.
        let step = if bend > 0.0 {
            size * size / bend * (size - limit) / limit
        } else {
            -more
        };
        more = (more + step).max(0.0);
    }
    // Within rounding of the circle, or on it after the last round.
    let size = (j[0] * j[0] + j[1] * j[1]).sqrt();
    if size <= 0.0 {
        return (j, more);
    }
    let scale = limit / size;
    (j.map(|x| x * scale), more)
}
