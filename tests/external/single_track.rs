//! The shipped `step()` against the single-track models of a published package, run as they are.
//!
//! Source: commonroad-vehicle-models from PyPI (`python/requirements.txt` pins it; Althoff, Koschi, Manzinger 2017; see
//! `python/single_track.py`): a bicycle on linear tyres, its slip angle counted, and one without slip. The step is brought to
//! their assumptions by the values of its parameters alone: no air, no thrust, the centre of gravity on the ground (they
//! know no roll), a track of a centimetre (they have one wheel an axle), no trail (their wheel turns without pushing the
//! ground), and wheels so heavy that rolling resistance takes nothing off the speed (they have none). They get the angle
//! that the step's nose wheel had.
//!
//! What is left: they are linear in the angles where the brush tyre softens, by a third of side acceleration over friction
//! (0.8 per cent of the slip at 3 m/s, 1.6 at 10); and the tick, which is of first order: the step reckons with the nose
//! wheel where it stood at the tick's beginning. Bounds are one and a half times what was measured.

use serde_json::{Value, json};
use toeline_dynamics::{Air, Controls, Ground, NOSE, Params, State, TICK_S, advance, step};
use toeline_model::aircraft::catalog;
use toeline_model::units::G_MPS2;
use toeline_model::{Pose, Xy, Yaw};

use crate::python::{answer, python};

const SECONDS: u32 = 3;
/// Ticks between two comparisons: 20 a second.
const PER_SAMPLE: usize = 12;

/// Speed, pedal, and how far yaw rate (rad/s), slip angle, heading (rad) and place (m) may be off.
struct Run {
    speed_mps: f64,
    pedal: f64,
    bound: [f64; 4],
}

const RUNS: [Run; 4] = [
    Run {
        speed_mps: 0.0,
        pedal: -0.5,
        bound: [1e-12; 4],
    },
    Run {
        speed_mps: 0.5,
        pedal: -0.3,
        bound: [1.0e-3, 5e-4, 1.1e-4, 4e-4],
    },
    Run {
        speed_mps: 3.0,
        pedal: -0.15,
        bound: [2.2e-3, 2.5e-4, 7e-4, 4.7e-3],
    },
    Run {
        speed_mps: 10.0,
        pedal: -0.03,
        bound: [5.5e-4, 8.5e-5, 6.5e-4, 1.2e-2],
    },
];
/// The same for the model without slip at 0.5 m/s, heading and place: there the tyre's slip angle is 0.0002 rad.
const WITHOUT_SLIP: [f64; 2] = [8e-4, 1.1e-3];

/// A light aeroplane as the package's models see it.
fn as_single_track() -> Params {
    let mut p = Params::from_aircraft(&catalog::find("trainer-high-2").expect("in the catalogue"));
    (
        p.air.drag_area_m2,
        p.air.side_area_m2,
        p.air.fin_area_m2,
        p.air.rudder_area_m2,
    ) = (0.0, 0.0, 0.0, 0.0);
    (p.air.wing_area_m2, p.air.tail_area_m2, p.air.elevator_area_m2) = (0.0, 0.0, 0.0);
    (p.air.aileron_volume_m3, p.air.dihedral_volume_m3, p.air.roll_damping_m4) = (0.0, 0.0, 0.0);
    (p.static_thrust_n, p.torque_nm, p.blade_lever_ns) = (0.0, 0.0, 0.0);
    (p.cg_height_m, p.track_m, p.trail_m) = (0.0, 0.01, 0.0);
    let loads = p.static_load_n();
    for (i, load) in loads.into_iter().enumerate() {
        // A million times the mass that rests on the wheel, at its rim.
        p.wheel_inertia_kgm2[i] = 1e6 * load / G_MPS2 * p.wheel_radius_m[i] * p.wheel_radius_m[i];
    }
    p
}

/// States at every full tick, driven in so many parts of a tick.
fn drive(p: &Params, run: &Run, parts: u32) -> Vec<State> {
    let pose = Pose {
        nose: Xy {
            x: p.nose_ahead_m,
            y: 0.0,
        },
        heading_rad: Yaw::from_rad(0.0),
    };
    let (ground, air) = (Ground::default(), Air::default());
    let mut state = State::rolling(p, pose, run.speed_mps);
    let mut states = vec![state];
    for tick in 0..240 * SECONDS {
        let controls = Controls {
            rudder: if tick < 60 { 0.0 } else { run.pedal },
            ..Controls::default()
        };
        for _ in 0..parts {
            state = if parts == 1 {
                step(p, &ground, &air, &state, &controls)
            } else {
                advance(p, &ground, &air, &state, &controls, TICK_S / f64::from(parts))
            };
        }
        states.push(state);
    }
    states
}

fn question(model: &str, p: &Params, run: &Run, states: &[State]) -> Value {
    json!({
        "model": model,
        "nose_ahead_m": p.nose_ahead_m,
        "axle_behind_m": p.axle_behind_m,
        "mass_kg": p.mass_kg,
        "yaw_inertia_kgm2": p.yaw_inertia_kgm2,
        "cg_height_m": p.cg_height_m,
        "tyre_per_load": p.tyre_per_load[NOSE],
        "tick_s": TICK_S,
        "ticks_per_sample": PER_SAMPLE,
        "nose_wheel_rad": states.iter().map(|s| s.nose_wheel_rad).collect::<Vec<_>>(),
        "speed_mps": run.speed_mps,
    })
}

/// Greatest differences in yaw rate, slip angle, heading and place; the model's states are x, y, steering, speed, heading,
/// yaw rate, slip angle.
fn with_slip(states: &[State], theirs: &Value) -> [f64; 4] {
    worst(states, theirs, |s, n| {
        // Without speed there is no slip angle.
        let slip = if s.forward_mps == 0.0 {
            n(6)
        } else {
            s.left_mps.atan2(s.forward_mps)
        };
        let place = (s.x_m - n(0)).hypot(s.y_m - n(1));
        [s.yaw_radps - n(5), slip - n(6), s.yaw_rad - n(4), place]
    })
}

/// Greatest differences in heading and in the place of the main axle.
fn without_slip(p: &Params, states: &[State], theirs: &Value) -> [f64; 2] {
    worst(states, theirs, |s, n| {
        let axle = s.pose(p).axle(p.wheelbase_m);
        [s.yaw_rad - n(4), (axle.x - n(0)).hypot(axle.y - n(1))]
    })
}

fn worst<const N: usize>(
    states: &[State],
    theirs: &Value,
    off: impl Fn(&State, &dyn Fn(usize) -> f64) -> [f64; N],
) -> [f64; N] {
    let rows = theirs.as_array().expect("a row a sample");
    assert_eq!(rows.len(), (states.len() - 1) / PER_SAMPLE + 1);
    let mut worst = [0.0_f64; N];
    for (state, row) in states.iter().step_by(PER_SAMPLE).zip(rows) {
        let number = |i: usize| row[i].as_f64().expect("a number");
        for (w, d) in worst.iter_mut().zip(off(state, &number)) {
            *w = w.max(d.abs());
        }
    }
    worst
}

fn within<const N: usize>(off: &[f64; N], bound: &[f64; N]) -> bool {
    off.iter().zip(bound).all(|(d, b)| d <= b)
}

#[test]
fn the_step_agrees_with_a_published_single_track_model() {
    let Some(python) = python() else { return };
    let p = as_single_track();
    let longer = Params {
        nose_ahead_m: p.nose_ahead_m + 0.05 * p.wheelbase_m,
        wheelbase_m: 1.05 * p.wheelbase_m,
        ..p
    };
    let stiffer = Params {
        tyre_per_load: p.tyre_per_load.map(|c| 1.05 * c),
        ..p
    };
    let driven: Vec<Vec<State>> = RUNS.iter().map(|run| drive(&p, run, 1)).collect();
    let gentle = Run {
        pedal: RUNS[3].pedal / 10.0,
        ..RUNS[3]
    };
    let finer = drive(&p, &gentle, 8);
    let slip = |p: &Params, i: usize| question("with slip", p, &RUNS[i], &driven[i]);
    let plain = |i: usize| question("without slip", &p, &RUNS[i], &driven[i]);
    let asked: Vec<Value> = (0..RUNS.len())
        .map(|i| slip(&p, i))
        .chain([
            plain(0),
            plain(1),
            slip(&longer, 1),
            slip(&longer, 2),
            slip(&stiffer, 3),
            question("with slip", &p, &gentle, &finer),
        ])
        .collect();
    let answers = answer(&python, "single_track.py", &Value::Array(asked));

    for (i, run) in RUNS.iter().enumerate() {
        let off = with_slip(&driven[i], &answers[i]);
        println!(
            "{:>4} m/s: yaw rate, slip angle, heading, place off by {off:.6?}",
            run.speed_mps
        );
        assert!(
            within(&off, &run.bound),
            "at {} m/s: {off:?}, bound {:?}",
            run.speed_mps,
            run.bound
        );
        // The comparison is of something: the wheel turned, and at speed the heading with it.
        let end = driven[i].last().expect("driven");
        assert!(end.nose_wheel_rad > 0.9 * -run.pedal * p.pedal_limit_rad);
        assert!(run.speed_mps == 0.0 || end.yaw_rad > 0.04, "{}", end.yaw_rad);
    }
    let still = without_slip(&p, &driven[0], &answers[4]);
    let walking = without_slip(&p, &driven[1], &answers[5]);
    println!("without slip, 0 and 0.5 m/s: heading and place off by {still:.6?}, {walking:.6?}");
    assert!(
        within(&still, &[1e-12; 2]) && within(&walking, &WITHOUT_SLIP),
        "{still:?}, {walking:?}"
    );

    // 5 per cent on one of the model's own figures, and the very bounds above are passed.
    for (what, i, k) in [("wheelbase", 1, 6), ("wheelbase", 2, 7), ("tyre stiffness", 3, 8)] {
        let off = with_slip(&driven[i], &answers[k]);
        println!("{what} 5 % off at {} m/s: {off:.6?}", RUNS[i].speed_mps);
        assert!(
            !within(&off, &RUNS[i].bound),
            "{what} 5 % off would not be seen: {off:?}"
        );
    }
    // What is left goes as it must: with a tenth of the angle and an eighth of the tick it is a small part of it, relative to
    // the angle.
    let rest = with_slip(&finer, &answers[9]).map(|d| 10.0 * d);
    let whole = with_slip(&driven[3], &answers[3]);
    println!("a tenth of the pedal, an eighth of the tick, times ten: {rest:.6?}");
    assert!(
        rest.iter().zip(&whole).all(|(r, w)| *r < 0.25 * w),
        "{rest:?} against {whole:?}"
    );
}
