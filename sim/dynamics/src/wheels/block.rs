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
}

/// Solves the wheel for the velocity that its contact point would have without its own impulse.
///
/// Brake and rolling resistance are Coulomb torques: first the wheel is taken as locked; when that asks for more torque
/// than there is, it turns, with the torque at its limit. Both are linear but for the friction circle.
pub(crate) fn solve_wheel(task: &WheelTask, free: [f64; 2]) -> WheelAnswer {
    // Neither brake nor tyre can stop this spin within the tick: no need to try.
    if task.inertia * task.spin.abs() > task.hold + task.radius * task.limit {
        return turning(task, free, if task.spin > 0.0 { -task.hold } else { task.hold });
    }
    let [along, both, across] = task.answer;
    let (impulse, inside) = on_circle([along, both, across], task.softness, [-free[0], -free[1]], task.limit);
    let needed = task.radius * impulse[0] - task.inertia * task.spin;
    if needed.abs() <= task.hold {
        let held = inside && needed.abs() < task.hold;
        return WheelAnswer {
            impulse,
            spin: 0.0,
            held,
        };
    }
    turning(task, free, if needed > 0.0 { task.hold } else { -task.hold })
}

/// The wheel that turns, with a known torque impulse of brake and rolling resistance on it.
fn turning(task: &WheelTask, free: [f64; 2], torque: f64) -> WheelAnswer {
    let [along, both, across] = task.answer;
    let per_spin = task.radius / task.inertia;
    let slip = free[0] - task.radius * task.spin - per_spin * torque;
    let (impulse, _) = on_circle(
        [along + per_spin * task.radius, both, across],
        task.softness,
        [-slip, -free[1]],
        task.limit,
    );
    WheelAnswer {
        impulse,
        spin: task.spin + (torque - task.radius * impulse[0]) / task.inertia,
        held: false,
    }
}

/// Impulse j with (A + softness + λ)·j = `against`, λ >= 0 and as small as |j| <= `limit` lets it be: then the slip is
/// straight against the force. Also whether the limit is not reached. Newton's method on 1/|j| closes in from one side.
fn on_circle(a: [f64; 3], softness: f64, against: [f64; 2], limit: f64) -> ([f64; 2], bool) {
    if limit <= 0.0 {
        return ([0.0, 0.0], false);
    }
    let mut more = 0.0;
    for round in 0..12 {
        let (xx, xy, yy) = (a[0] + softness + more, a[1], a[2] + softness + more);
        let inverse = 1.0 / (xx * yy - xy * xy);
        let j = [
            (yy * against[0] - xy * against[1]) * inverse,
            (xx * against[1] - xy * against[0]) * inverse,
        ];
        let size = (j[0] * j[0] + j[1] * j[1]).sqrt();
        if size < limit {
            return (j, round == 0);
        }
        if size <= limit * (1.0 + 1e-13) || round == 11 {
            let scale = limit / size;
            return ([j[0] * scale, j[1] * scale], false);
        }
        let bend = (yy * j[0] * j[0] - 2.0 * xy * j[0] * j[1] + xx * j[1] * j[1]) * inverse;
        more += size * size / bend * (size - limit) / limit;
    }
    ([0.0, 0.0], false)
}
