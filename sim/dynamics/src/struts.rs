//! The sprung body: heave, pitch and roll on three one-sided struts, taken implicitly.
//!
//! Displacements count from the rest on level ground. A body point at (x, y) ahead and left of the centre of gravity whose
//! strut meets the ground h below it rises by d = z + x·θ + y·φ + h·(θ² + φ²)/2: second order, so that the centre of
//! gravity moves over the outer wheel as the body leans and a tipping aeroplane goes on tipping. A strut pushes with
//! N = N₀ − k·d − c·ḋ and never pulls. With the new rates in N the struts give energy to nobody at any tick: the spring's
//! energy is convex and the damper only takes.

use crate::{LEFT, NOSE, Params, RIGHT, State};
use toeline_model::units::G_MPS2;

/// Rates of heave, pitch and roll (m/s, rad/s).
pub(crate) type Rates = [f64; 3];

/// Rounds in which it is settled which struts bear. Three struts have eight states; four rounds are enough but for
/// grazing contact, where the last round's answer is as good as any.
const ROUNDS: usize = 4;

/// Upward force and moments about the centre of gravity, nose-up and to the right (N, N·m), besides struts and tyres.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lift {
    pub(crate) up_n: f64,
    pub(crate) pitch_nm: f64,
    pub(crate) roll_nm: f64,
}

/// What a tick's struts come to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Struts {
    /// Load on each wheel with the tyre forces of the last tick, N, never negative.
    pub(crate) load_n: [f64; 3],
    /// Rates after struts, weight and air, before the tyres of this tick.
    pub(crate) free: Rates,
    /// How the rates answer to impulses (1/kg, 1/(kg·m), 1/(kg·m²)); symmetric.
    pub(crate) answer: [[f64; 3]; 3],
}

/// Places of the wheels, metres ahead and left of the centre of gravity.
pub(crate) fn places(p: &Params) -> [[f64; 2]; 3] {
    let half = p.track_m / 2.0;
    let mut all = [[p.nose_ahead_m, 0.0]; 3];
    all[LEFT] = [-p.axle_behind_m, half];
    all[RIGHT] = [-p.axle_behind_m, -half];
    all
}

/// The same as the body leans: pitched nose-up it lies behind its wheels, rolled to the right to the right of them.
pub(crate) fn swayed(p: &Params, state: &State) -> [[f64; 2]; 3] {
    let (ahead, left) = (p.cg_height_m * state.pitch_rad, p.cg_height_m * state.roll_rad);
    places(p).map(|[x, y]| [x + ahead, y + left])
}

/// Force that each spring would have if nothing moved, N; negative when the wheel is clear of the ground.
pub(crate) fn spring_n(p: &Params, state: &State) -> [f64; 3] {
    let (pitch, roll) = (state.pitch_rad, state.roll_rad);
    let sag = p.cg_height_m * (pitch * pitch + roll * roll) / 2.0;
    let rest = p.static_load_n();
    let places = places(p);
    core::array::from_fn(|i| {
        let [x, y] = places[i];
        let rise = (state.heave_m + x * pitch) + (y * roll + sag);
        // A flat tyre lets its corner down.
        let flat = (1.0 - p.faults.radius_factor(i)) * p.wheel_radius_m[i];
        rest[i] - p.strut_n_per_m[i] * (rise + flat)
    })
}

fn three(f: impl Fn(usize) -> f64) -> f64 {
    f(NOSE) + (f(LEFT) + f(RIGHT))
}

fn dot(a: &Rates, b: &Rates) -> f64 {
    (a[0] * b[0] + a[1] * b[1]) + a[2] * b[2]
}

impl Struts {
    /// Settles the struts for a tick. `lean` is the impulse in pitch and roll of the last tick's tyre forces, from which
    /// the loads are foretold.
    pub(crate) fn settle(p: &Params, state: &State, lift: &Lift, lean: [f64; 2], dt_s: f64) -> Struts {
        let ways: [Rates; 3] = swayed(p, state).map(|[x, y]| [1.0, x, y]);
        let still = spring_n(p, state);
        let inertia = [p.mass_kg, p.pitch_inertia_kgm2, p.roll_inertia_kgm2];
        let pushed = [
            p.mass_kg * state.heave_mps + dt_s * (lift.up_n - p.mass_kg * G_MPS2),
            p.pitch_inertia_kgm2 * state.pitch_radps + dt_s * lift.pitch_nm,
            p.roll_inertia_kgm2 * state.roll_radps + dt_s * lift.roll_nm,
        ];
        let yields: [f64; 3] = core::array::from_fn(|i| p.strut_n_per_m[i] * dt_s + p.strut_damping_nspm[i]);
        let mut bears: [bool; 3] = core::array::from_fn(|i| still[i] > 0.0);
        let mut result = Struts {
            load_n: [0.0; 3],
            free: [0.0; 3],
            answer: [[0.0; 3]; 3],
        };
        for _ in 0..ROUNDS {
            let on = |i: usize| if bears[i] { 1.0 } else { 0.0 };
            let mass = |a: usize, b: usize| {
                let own = if a == b { inertia[a] } else { 0.0 };
                own + three(|i| on(i) * dt_s * yields[i] * ways[i][a] * ways[i][b])
            };
            let m = [mass(0, 0), mass(0, 1), mass(0, 2), mass(1, 1), mass(1, 2), mass(2, 2)];
            result.answer = inverse(m);
            let push: Rates = core::array::from_fn(|a| pushed[a] + dt_s * three(|i| on(i) * still[i] * ways[i][a]));
            result.free = core::array::from_fn(|a| dot(&result.answer[a], &push));
            let leaning = [push[0], push[1] + lean[0], push[2] + lean[1]];
            let rates: Rates = core::array::from_fn(|a| dot(&result.answer[a], &leaning));
            let rise: [f64; 3] = core::array::from_fn(|i| dot(&ways[i], &rates));
            let force: [f64; 3] = core::array::from_fn(|i| still[i] - yields[i] * rise[i]);
            let touches: [bool; 3] =
                core::array::from_fn(|i| force[i] > 0.0 && still[i] - p.strut_n_per_m[i] * dt_s * rise[i] > 0.0);
            result.load_n = core::array::from_fn(|i| if bears[i] { force[i].max(0.0) } else { 0.0 });
            if touches == bears {
                break;
            }
            bears = touches;
        }
        result
    }
}

/// Inverse of a symmetric matrix given by its upper half, row by row.
fn inverse([a, b, c, d, e, f]: [f64; 6]) -> [[f64; 3]; 3] {
    let (aa, ab, ac) = (d * f - e * e, c * e - b * f, b * e - c * d);
    let scale = 1.0 / ((a * aa + b * ab) + c * ac);
    let (bb, bc, cc) = (a * f - c * c, b * c - a * e, a * d - b * b);
    let all = [[aa, ab, ac], [ab, bb, bc], [ac, bc, cc]];
    all.map(|row| row.map(|x| x * scale))
}
