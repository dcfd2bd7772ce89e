//! Stopping distances.
//!
//! Source: standards D3: with only the main wheels braking, deceleration μ·g·a/(L + μ·h) (derived). The extended value
//! adds what the simulator has besides: the nose wheel's rolling resistance and drag.

use crate::help::{CALM, engine_off, fleet, ground, pose, stiff, without_lift};
use toeline_dynamics::{Controls, Ground, LEFT, NOSE, Params, RIGHT, State, Telemetry, step};
use toeline_model::airfield::Surface;
use toeline_model::turning;
use toeline_model::units::{AIR_KGPM3, G_MPS2, KNOT_MPS};

/// Both brakes pressed alike, pressure already there; way until standing still, and whether the main wheels were locked all the time.
fn stop(p: &Params, on: &Ground, speed: f64, toe: f64, locked: bool, lean_n: f64) -> (f64, bool) {
    let (mut state, mut controls) = engine_off(State::rolling(p, pose(0.0), speed));
    (controls.left_brake, controls.right_brake) = (toe, toe);
    state.brake = [toe, toe];
    state = state.leaning(p, [-lean_n, 0.0]);
    if locked {
        state.spin_radps[LEFT] = 0.0;
        state.spin_radps[RIGHT] = 0.0;
    }
    let from = state.pose(p).nose.x;
    let mut always = true;
    for _ in 0..24_000 {
        state = step(p, on, &CALM, &state, &controls);
        let t = Telemetry::of(p, &state, &controls);
        if state.speed_mps() > 0.2 {
            always &= t.wheels[LEFT].locked && t.wheels[RIGHT].locked && !t.wheels[NOSE].locked;
        }
        if state.forward_mps == 0.0 {
            return (state.pose(p).nose.x - from, always);
        }
    }
    panic!("did not stop");
}

/// Way to stop from a force that is constant but for drag: m/(2k)·ln(1 + k·v²/F).
fn way_m(mass: f64, force: f64, drag_per_v2: f64, speed: f64) -> f64 {
    mass / (2.0 * drag_per_v2) * (1.0 + drag_per_v2 * speed * speed / force).ln()
}

#[test]
fn locked_main_wheels_stop_as_the_formula_says() {
    let speed = 15.0 * KNOT_MPS;
    for on in [ground(Surface::Grass, false), ground(Surface::Paved, true)] {
        let (mu, roll) = (on.friction(), on.rolling());
        for (a, p) in fleet() {
            // Neither the wing's lift, 3 per cent of the weight at this speed, nor the centre of gravity's way forward over
            // its wheels as the body dips is in the formula.
            let p = stiff(&without_lift(&p));
            let weight = p.mass_kg * G_MPS2;
            // F = μ·N_main + c·N_nose with N_nose = (W·b + h·F)/L, solved for F.
            let share = roll - mu;
            let force = (mu * weight * p.wheelbase_m + share * weight * p.axle_behind_m)
                / (p.wheelbase_m - share * p.cg_height_m);
            let drag = AIR_KGPM3 / 2.0 * p.air.drag_area_m2;
            let mass = p.mass_kg + p.wheel_inertia_kgm2[NOSE] / (p.wheel_radius_m[NOSE] * p.wheel_radius_m[NOSE]);
            let (got, locked) = stop(&p, &on, speed, 1.0, true, force);
            assert!(
                locked,
                "{}: the main wheels are to be locked and the nose wheel to roll",
                a.id
            );
            let want = way_m(mass, force, drag, speed);
            assert!(
                (got / want - 1.0).abs() < 0.005,
                "{}: {got:.4} m, want {want:.4} m",
                a.id
            );
            let plain = turning::stop_main_wheels_m(speed, mu, p.wheelbase_m, p.nose_ahead_m, p.cg_height_m);
            // The plain formula leaves out that the nose wheel rolls, with what it bears under braking, and the drag, about
            // half a per cent.
            let nose = (weight * p.axle_behind_m + p.cg_height_m * force) / p.wheelbase_m;
            let slack = roll * nose / (mu * (weight - nose));
            assert!(
                got < plain && got > plain * (1.0 - slack - 0.01),
                "{}: {got:.4} m, formula {plain:.4} m",
                a.id
            );
        }
    }
}

#[test]
fn brakes_that_cannot_lock_stop_by_their_torque() {
    let (speed, on) = (15.0 * KNOT_MPS, ground(Surface::Paved, false));
    let mut rolled = 0;
    let toe = 0.6;
    for (a, p) in fleet() {
        let p = stiff(&without_lift(&p));
        let brake = 2.0 * toe * p.full_brake_nm / p.wheel_radius_m[LEFT];
        let force = brake + on.rolling() * p.mass_kg * G_MPS2;
        let nose = (p.mass_kg * G_MPS2 * p.axle_behind_m + p.cg_height_m * force) / p.wheelbase_m;
        if force > 0.95 * on.friction() * (p.mass_kg * G_MPS2 - nose) {
            continue;
        }
        rolled += 1;
        let spin: f64 = (0..3)
            .map(|i| p.wheel_inertia_kgm2[i] / (p.wheel_radius_m[i] * p.wheel_radius_m[i]))
            .sum();
        let want = way_m(p.mass_kg + spin, force, AIR_KGPM3 / 2.0 * p.air.drag_area_m2, speed);
        let (got, locked) = stop(&p, &on, speed, toe, false, force);
        assert!(!locked, "{}: the wheels are to roll", a.id);
        // Half a per cent: the wheels turn a little slower than the ground passes.
        assert!(
            (got / want - 1.0).abs() < 0.005,
            "{}: {got:.4} m, want {want:.4} m",
            a.id
        );
    }
    assert!(
        rolled >= 3,
        "too few aeroplanes with brakes below the tyres' limit: {rolled}"
    );
}

#[test]
fn a_locked_wheel_stands_still_and_drags_at_the_friction_limit() {
    let (_, p) = fleet().remove(0);
    let on = ground(Surface::Grass, true);
    let (mut state, mut controls) = engine_off(State::rolling(&p, pose(0.0), 8.0));
    controls.left_brake = 1.0;
    controls.right_brake = 1.0;
    for _ in 0..240 {
        state = step(&p, &on, &CALM, &state, &controls);
    }
    let t = Telemetry::of(&p, &state, &controls);
    for wheel in [LEFT, RIGHT] {
        assert_eq!(state.spin_radps[wheel], 0.0);
        assert!(t.wheels[wheel].locked && (t.wheels[wheel].friction_use - 1.0).abs() < 1e-9);
        assert!((t.wheels[wheel].along_n + on.friction() * t.wheels[wheel].load_n).abs() < 1e-6);
    }
    // Let go, and they turn with the ground again.
    let state = (0..240).fold(state, |s, _| {
        step(
            &p,
            &on,
            &CALM,
            &s,
            &Controls {
                mixture: 0.0,
                ..Controls::default()
            },
        )
    });
    let slip = state.forward_mps - state.spin_radps[LEFT] * p.wheel_radius_m[LEFT];
    assert!(
        state.forward_mps > 1.0 && slip.abs() < 0.02 * state.forward_mps,
        "slip {slip}"
    );
}

#[test]
fn a_brake_five_per_cent_too_strong_would_be_seen() {
    // The same comparison as above with the torque falsified by 5 per cent: ten times its bound.
    let (speed, toe, on) = (15.0 * KNOT_MPS, 0.4, ground(Surface::Paved, false));
    for (a, p) in fleet() {
        let p = stiff(&without_lift(&p));
        let force = 2.0 * toe * p.full_brake_nm / p.wheel_radius_m[LEFT] + on.rolling() * p.mass_kg * G_MPS2;
        let spin: f64 = (0..3)
            .map(|i| p.wheel_inertia_kgm2[i] / (p.wheel_radius_m[i] * p.wheel_radius_m[i]))
            .sum();
        let want = way_m(p.mass_kg + spin, force, AIR_KGPM3 / 2.0 * p.air.drag_area_m2, speed);
        let off = |p: &Params| (stop(p, &on, speed, toe, false, force).0 / want - 1.0).abs();
        let wrong = Params {
            full_brake_nm: 1.05 * p.full_brake_nm,
            ..p
        };
        assert!(
            off(&p) < 0.005 && off(&wrong) > 0.03,
            "{}: {} and {}",
            a.id,
            off(&p),
            off(&wrong)
        );
    }
}
