//! One tick.

use crate::airflow::{air_load, wind_on_body};
use crate::steering::{Swivel, next_linkage, tow_bar, towed};
use crate::struts::{Lift, Struts};
use crate::wheels::{Contact, Task, Velocity, solve};
use crate::{Air, Controls, End, Ground, LEFT, NOSE, Params, RIGHT, State, TICK_S, brakes, engine};
use toeline_model::air::Surfaces;
use toeline_model::units::G_MPS2;
use toeline_model::{Xy, angle, math};

/// The state one tick of [`TICK_S`] later.
pub fn step(params: &Params, ground: &Ground, air: &Air, state: &State, controls: &Controls) -> State {
    advance(params, ground, air, state, controls, TICK_S)
}

/// The state after a tick of another length, seconds: to show that the result converges as ticks get shorter. Everything
/// that is driven or stored uses [`step`].
pub fn advance(p: &Params, ground: &Ground, air: &Air, state: &State, controls: &Controls, dt_s: f64) -> State {
    if state.end != End::No {
        return State {
            tick: state.tick + 1,
            ..*state
        };
    }
    let c = controls.clamped();
    let (sin, cos) = math::sin_cos(state.yaw_rad);

    let linkage_rad = next_linkage(p, state.linkage_rad, c.rudder, dt_s);
    let brake = brakes::next_pressure(state.brake, c.brakes(), dt_s);

    // The last tick turned the body under its velocity: in the new axes the same velocity points the other way round.
    let turned = state.yaw_radps * dt_s;
    let (ct, st) = turn(turned);
    let moving = [
        state.forward_mps * ct + state.left_mps * st,
        state.left_mps * ct - state.forward_mps * st,
    ];

    let wind = wind_on_body(air, state, cos, sin, state.tick as f64 * dt_s);
    let through = [moving[0] - wind[0], moving[1] - wind[1]];
    let engine = engine::next(&p.engine, &state.engine, &c.engine(), &p.faults, through[0], dt_s);
    let rpm = engine.rpm;
    let thrust_n = engine::thrust_n(p, rpm, through[0]);
    let held = Surfaces {
        rudder: c.rudder,
        elevator: c.elevator,
        aileron: c.aileron,
    };
    let blow = air_load(p, through, state, &held, thrust_n);

    let bar = tow_bar(state, &c);
    let [tow_forward_n, tow_left_n, tow_yaw_nm, tow_pitch_nm, tow_roll_nm] = towed(p, state, bar);

    let contacts = Contact::all(p, state);
    let leaned_n = sum_on_body(&contacts, &state.tyre_n);
    let share = rpm / p.full_rpm;
    let lift = Lift {
        up_n: blow.up_n,
        pitch_nm: blow.pitch_nm - (p.thrust_height_m - p.cg_height_m) * thrust_n + tow_pitch_nm,
        roll_nm: blow.roll_nm - p.torque_nm * share * share + tow_roll_nm,
    };
    let lean = leaned_n.map(|n| n * p.cg_height_m * dt_s);
    let struts = Struts::settle(p, state, &lift, lean, dt_s);
    let load_n = struts.load_n;
    let friction = ground.friction();
    let grip_n = load_n.map(|n| n * friction);
    let rolling = ground.rolling();
    let mut hold_nm: [f64; 3] =
        core::array::from_fn(|i| rolling * p.faults.rolling_factor(i) * load_n[i] * p.wheel_radius_m[i]);
    let brake_nm = brakes::torque_nm(p, state, brake);
    hold_nm[LEFT] += brake_nm[0];
    hold_nm[RIGHT] += brake_nm[1];

    let asked_rad = p.faults.asked_after_play(linkage_rad, state.nose_wheel_rad);
    let swivel = Swivel::new(p, state.nose_wheel_rad, asked_rad, bar, dt_s);
    let downhill = [
        -(ground.rise[0] * cos + ground.rise[1] * sin) * G_MPS2,
        -(ground.rise[1] * cos - ground.rise[0] * sin) * G_MPS2,
    ];
    let push = Push {
        forward_n: thrust_n + blow.forward_n + p.mass_kg * downhill[0] + tow_forward_n,
        left_n: blow.left_n + p.mass_kg * downhill[1] + tow_left_n,
        yaw_nm: blow.yaw_nm
            + p.slipstream_lever_m * thrust_n.max(0.0)
            + engine::blade_yaw_nm(p, rpm, through[0], state.pitch_rad)
            + tow_yaw_nm,
    };
    let velocity = pushed(p, moving, state, &push, &swivel, dt_s);
    let level = [
        moving[0] + p.cg_height_m * state.pitch_radps,
        moving[1] + p.cg_height_m * state.roll_radps,
        state.yaw_radps,
        state.nose_wheel_radps,
    ];
    let task = Task {
        params: p,
        velocity,
        rates: struts.free,
        sprung: struts.answer,
        swivel,
        load_n,
        grip_n,
        hold_nm,
        spin: state.spin_radps,
        last_n: state.tyre_n,
        level,
        moving: contacts.map(|contact| contact.velocity(&level, &[0.0; 3])),
        dt_s,
    };
    let solved = solve(&task, &contacts);

    let [forward_mps, left_mps, yaw_radps, swivel_radps] = solved.velocity;
    // Along the heading half way through the tick.
    let (ch, sh) = turn(yaw_radps * dt_s / 2.0);
    let (ch, sh) = (cos * ch - sin * sh, sin * ch + cos * sh);
    let travelled = Xy {
        x: (forward_mps * ch - left_mps * sh) * dt_s,
        y: (forward_mps * sh + left_mps * ch) * dt_s,
    };
    let stop = p.caster_stop_rad;
    let [heave_mps, pitch_radps, roll_radps] = solved.rates;
    let mut next = State {
        tick: state.tick + 1,
        x_m: state.x_m + travelled.x,
        y_m: state.y_m + travelled.y,
        yaw_rad: angle::wrap(state.yaw_rad + yaw_radps * dt_s),
        forward_mps,
        left_mps,
        yaw_radps,
        heave_m: state.heave_m + heave_mps * dt_s,
        pitch_rad: state.pitch_rad + pitch_radps * dt_s,
        roll_rad: state.roll_rad + roll_radps * dt_s,
        heave_mps,
        pitch_radps,
        roll_radps,
        nose_wheel_rad: (state.nose_wheel_rad + swivel_radps * dt_s).clamp(-stop, stop),
        nose_wheel_radps: swivel_radps,
        linkage_rad,
        spin_radps: solved.spin,
        engine,
        brake,
        brake_c: brakes::next_heat(p, state, brake_nm, solved.spin, dt_s),
        end: End::No,
        load_n,
        grip_n,
        tyre_n: solved.tyre_n,
        accel_mps2: [(forward_mps - moving[0]) / dt_s, (left_mps - moving[1]) / dt_s],
    };
    next.end = End::of(p, &next, blow.up_n);
    next
}

/// Cosine and sine of the small angle of one tick's turn: the series, whose next term is below rounding, or else the library.
fn turn(angle: f64) -> (f64, f64) {
    if angle.abs() > 0.05 {
        return (math::cos(angle), math::sin(angle));
    }
    let s = angle * angle;
    let cos = 1.0 - s * (1.0 / 2.0 - s * (1.0 / 24.0 - s * (1.0 / 720.0 - s * (1.0 / 40_320.0))));
    let sin = angle * (1.0 - s * (1.0 / 6.0 - s * (1.0 / 120.0 - s * (1.0 / 5_040.0 - s * (1.0 / 362_880.0)))));
    (cos, sin)
}

/// Level forces on the body and moment in yaw, besides the wheels'.
struct Push {
    forward_n: f64,
    left_n: f64,
    yaw_nm: f64,
}

/// Velocity after thrust, slipstream, air and slope, before the wheels.
fn pushed(p: &Params, moving: [f64; 2], state: &State, push: &Push, swivel: &Swivel, dt_s: f64) -> Velocity {
    [
        moving[0] + push.forward_n * dt_s / p.mass_kg,
        moving[1] + push.left_n * dt_s / p.mass_kg,
        state.yaw_radps + push.yaw_nm * dt_s / p.yaw_inertia_kgm2,
        swivel.free_rate(p, state.nose_wheel_radps),
    ]
}

/// Sum of the tyres' forces in body axes, N.
fn sum_on_body(contacts: &[Contact; 3], tyre_n: &[[f64; 2]; 3]) -> [f64; 2] {
    let each: [Velocity; 3] = core::array::from_fn(|i| contacts[i].on_body(tyre_n[i]));
    core::array::from_fn(|k| each[NOSE][k] + (each[LEFT][k] + each[RIGHT][k]))
}
