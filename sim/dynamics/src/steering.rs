//! The nose wheel's swivel: linkage spring, damping and stop. The tyre's own part (its trail) is solved with the wheels.

use crate::controls::{Controls, TowBar};
use crate::{NOSE, Params, State};
use toeline_model::math;

/// Time constant of the pedals' rods and cables, seconds (ours).
const LAG_S: f64 = 0.06;

/// Where the pedals ask the nose wheel to be, radians, after the lag of the linkage.
pub(crate) fn next_linkage(p: &Params, linkage_rad: f64, rudder: f64, dt_s: f64) -> f64 {
    let target = -rudder * p.pedal_limit_rad;
    linkage_rad + (target - linkage_rad) * (dt_s / (LAG_S + dt_s))
}

/// How stiffly hands on a tow bar hold its angle, N·m/rad, and the most they turn it with, N·m (ours: an arm's length).
const BAR_NM_PER_RAD: f64 = 2000.0;
const BAR_LIMIT_NM: f64 = 150.0;

/// The tow bar, if there is one that works: its people keep away from a propeller that turns.
pub(crate) fn tow_bar(state: &State, controls: &Controls) -> Option<TowBar> {
    controls.tow_bar.filter(|_| state.engine.rpm == 0.0)
}

/// What people on a tow bar do to the body: force forward and left (N) and moments about the centre of gravity, yaw to the
/// left, pitch nose-up and roll to the right (N·m). They pull along the nose wheel at the height of its axle.
pub(crate) fn towed(p: &Params, state: &State, bar: Option<TowBar>) -> [f64; 5] {
    let Some(bar) = bar else { return [0.0; 5] };
    let (s, c) = (math::sin(state.nose_wheel_rad), math::cos(state.nose_wheel_rad));
    let (forward, left) = (bar.pull_n * c, bar.pull_n * s);
    let below = p.cg_height_m - p.wheel_radius_m[NOSE];
    [forward, left, p.nose_ahead_m * left, below * forward, below * left]
}

/// The swivel in one tick: its angle before, what it is pulled toward, and its effective inertia, in which the damping is
/// already taken in implicitly.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Swivel {
    pub(crate) angle_rad: f64,
    pub(crate) linkage_rad: f64,
    pub(crate) stiffness: f64,
    pub(crate) limit_nms: f64,
    pub(crate) stop_rad: f64,
    pub(crate) inverse_inertia: f64,
    pub(crate) dt_s: f64,
}

impl Swivel {
    /// The pedals' linkage turns it, or a tow bar in its place.
    pub(crate) fn new(p: &Params, angle_rad: f64, linkage_rad: f64, bar: Option<TowBar>, dt_s: f64) -> Swivel {
        let stop = p.caster_stop_rad;
        let (linkage_rad, stiffness, limit_nm) = match bar {
            Some(bar) => (bar.angle_rad.clamp(-stop, stop), BAR_NM_PER_RAD, BAR_LIMIT_NM),
            None => (linkage_rad, p.linkage_nm_per_rad, p.linkage_limit_nm),
        };
        Swivel {
            angle_rad,
            linkage_rad,
            stiffness,
            limit_nms: limit_nm * dt_s,
            stop_rad: p.caster_stop_rad,
            inverse_inertia: 1.0 / (p.swivel_inertia_kgm2 + p.swivel_damping_nms * dt_s),
            dt_s,
        }
    }

    /// Rate before any torque of this tick: the damping's share taken off.
    pub(crate) fn free_rate(&self, p: &Params, rate: f64) -> f64 {
        rate * p.swivel_inertia_kgm2 * self.inverse_inertia
    }

    /// Torque impulse of the linkage (N·m·s) when the rate without it would be `free`.
    pub(crate) fn spring(&self, free: f64) -> f64 {
        let dt = self.dt_s;
        let pull = self.stiffness * dt * (self.linkage_rad - self.angle_rad - dt * free);
        let impulse = pull / (1.0 + self.stiffness * dt * dt * self.inverse_inertia);
        impulse.clamp(-self.limit_nms, self.limit_nms)
    }

    /// Torque impulse of the stop when the rate without it would be `free`.
    pub(crate) fn stop(&self, free: f64) -> f64 {
        let least = (-self.stop_rad - self.angle_rad) / self.dt_s;
        let most = (self.stop_rad - self.angle_rad) / self.dt_s;
        (free.max(least).min(most) - free) / self.inverse_inertia
    }
}
