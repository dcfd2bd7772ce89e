//! One tick.

use crate::airflow::{AirLoad, air_load};
use crate::loads::{Lean, wheel_loads};
use crate::steering::{Swivel, next_linkage};
use crate::wheels::{Contact, Solution, Task, Velocity, solve};
use crate::{Air, Controls, Ground, LEFT, NOSE, Params, RIGHT, State, TICK_S, engine};
use toeline_model::{Xy, angle, math};

/// Time constant with which pressure follows the toe, seconds (ours).
const BRAKE_LAG_S: f64 = 0.12;
/// Pressure below which the pads let go.
const PADS_OFF: f64 = 1e-9;
/// Time in which the struts take up a change of the ground's force, seconds (ours; stands for pitch and roll).
const LEAN_LAG_S: f64 = 0.1;

/// The state one tick of [`TICK_S`] later.
pub fn step(params: &Params, ground: &Ground, air: &Air, state: &State, controls: &Controls) -> State {
    advance(params, ground, air, state, controls, TICK_S)
}

/// The state after a tick of another length, seconds: to show that the result converges as ticks get shorter. Everything
/// that is driven or stored uses [`step`].
pub fn advance(p: &Params, ground: &Ground, air: &Air, state: &State, controls: &Controls, dt_s: f64) -> State {
    let c = controls.clamped();
    let (cos, sin) = (math::cos(state.yaw_rad), math::sin(state.yaw_rad));

    let rpm = engine::next_rpm(p, state.rpm, c.throttle, c.mixture, dt_s);
    let linkage_rad = next_linkage(p, state.linkage_rad, c.rudder, dt_s);
    let brake = next_brake(state.brake, c.brakes(), dt_s);

    // The last tick turned the body under its velocity: in the new axes the same velocity points the other way round.
    let turned = state.yaw_radps * dt_s;
    let (ct, st) = (math::cos(turned), math::sin(turned));
    let moving = [
        state.forward_mps * ct + state.left_mps * st,
        state.left_mps * ct - state.forward_mps * st,
    ];

    let wind = air.velocity_mps();
    let wind = [wind.x * cos + wind.y * sin, wind.y * cos - wind.x * sin];
    let through = [moving[0] - wind[0], moving[1] - wind[1]];
    let thrust_n = engine::thrust_n(p, rpm, through[0]);
    let blow = air_load(p, through, state.yaw_radps, c.rudder, thrust_n);

    let load_n = wheel_loads(
        p,
        &Lean {
            ground_n: state.leaned_n,
            thrust_n,
            air_left_n: blow.left_n,
        },
    );
    let friction = ground.friction();
    let grip_n = load_n.map(|n| n * friction);
    let rolling = ground.rolling();
    let mut hold_nm: [f64; 3] = core::array::from_fn(|i| rolling * load_n[i] * p.wheel_radius_m[i]);
    hold_nm[LEFT] += brake[0] * p.full_brake_nm;
    hold_nm[RIGHT] += brake[1] * p.full_brake_nm;

    let swivel = Swivel::new(p, state.nose_wheel_rad, linkage_rad, dt_s);
    let velocity = pushed(p, moving, state, &blow, thrust_n, &swivel, dt_s);
    let contacts = Contact::all(p, state.nose_wheel_rad);
    let now = [moving[0], moving[1], state.yaw_radps, 0.0];
    let rolling_mps = contacts.map(|contact| contact.velocity(&now)[0]);
    let task = Task {
        params: p,
        velocity,
        swivel,
        load_n,
        grip_n,
        hold_nm,
        spin: state.spin_radps,
        last_n: state.tyre_n,
        rolling_mps,
        dt_s,
    };
    let solved = solve(&task, contacts);
    let ground_n = sum_on_body(&contacts, &solved);
    let lean = dt_s / (LEAN_LAG_S + dt_s);

    let [forward_mps, left_mps, yaw_radps, swivel_radps] = solved.velocity;
    let half_turned = state.yaw_rad + yaw_radps * dt_s / 2.0;
    let travelled = Xy {
        x: forward_mps * dt_s,
        y: left_mps * dt_s,
    }
    .rotated(half_turned);
    let stop = p.caster_stop_rad;
    State {
        tick: state.tick + 1,
        x_m: state.x_m + travelled.x,
        y_m: state.y_m + travelled.y,
        yaw_rad: angle::wrap(state.yaw_rad + yaw_radps * dt_s),
        forward_mps,
        left_mps,
        yaw_radps,
        nose_wheel_rad: (state.nose_wheel_rad + swivel_radps * dt_s).clamp(-stop, stop),
        nose_wheel_radps: swivel_radps,
        linkage_rad,
        spin_radps: solved.spin,
        rpm,
        brake,
        leaned_n: [
            state.leaned_n[0] + lean * (ground_n[0] - state.leaned_n[0]),
            state.leaned_n[1] + lean * (ground_n[1] - state.leaned_n[1]),
        ],
        load_n,
        grip_n,
        tyre_n: solved.tyre_n,
        accel_mps2: [(forward_mps - moving[0]) / dt_s, (left_mps - moving[1]) / dt_s],
    }
}

fn next_brake(pressure: [f64; 2], toe: [f64; 2], dt_s: f64) -> [f64; 2] {
    let share = dt_s / (BRAKE_LAG_S + dt_s);
    core::array::from_fn(|i| {
        let next = pressure[i] + (toe[i] - pressure[i]) * share;
        if next < PADS_OFF { 0.0 } else { next }
    })
}

/// Velocity after thrust, slipstream and air, before the wheels.
fn pushed(
    p: &Params,
    moving: [f64; 2],
    state: &State,
    blow: &AirLoad,
    thrust_n: f64,
    swivel: &Swivel,
    dt_s: f64,
) -> Velocity {
    let yaw_nm = blow.yaw_nm + p.slipstream_lever_m * thrust_n.max(0.0);
    [
        moving[0] + (thrust_n + blow.forward_n) * dt_s / p.mass_kg,
        moving[1] + blow.left_n * dt_s / p.mass_kg,
        state.yaw_radps + yaw_nm * dt_s / p.yaw_inertia_kgm2,
        swivel.free_rate(p, state.nose_wheel_radps),
    ]
}

/// Sum of the tyres' forces in body axes, N.
fn sum_on_body(contacts: &[Contact; 3], solved: &Solution) -> [f64; 2] {
    let each: [Velocity; 3] = core::array::from_fn(|i| contacts[i].on_body(solved.tyre_n[i]));
    core::array::from_fn(|k| each[NOSE][k] + (each[LEFT][k] + each[RIGHT][k]))
}
