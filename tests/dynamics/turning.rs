//! Turns at walking pace against the geometry without slip.
//!
//! Source: R = L/tan δ and the tractrix, standards D1 and B6 (any vehicle-dynamics text; derived). A real tyre needs a
//! slip angle of about force/(10·load) to give a side force, so the agreement is close, not exact: the tolerances are
//! what rolling resistance and a side acceleration of some 0.02 g account for.

use crate::help::{CALM, drive, engine_off, fleet, ground, pose};
use toeline_dynamics::tyre::STIFFNESS_PER_LOAD;
use toeline_dynamics::{Controls, Params, State, engine, step};
use toeline_model::airfield::Surface;
use toeline_model::units::G_MPS2;
use toeline_model::{math, tractrix, turning};

const WALK_MPS: f64 = 1.4;

/// Radius of the middle of the main axle from three poses a quarter of a second apart: the circle through three points.
fn measured_radius(p: &Params, state: State, controls: &Controls) -> f64 {
    let dry = ground(Surface::Paved, false);
    let axle = |s: &State| s.pose(p).axle(p.wheelbase_m);
    let (a, second) = (axle(&state), drive(p, &dry, state, controls, 60));
    let b = axle(&second);
    let c = axle(&drive(p, &dry, second, controls, 60));
    let (u, v, w) = (b - a, c - b, c - a);
    u.norm() * v.norm() * w.norm() / (2.0 * u.cross(v).abs())
}

#[test]
fn the_axle_turns_about_l_over_tan_delta() {
    let dry = ground(Surface::Paved, false);
    let mut worst: f64 = 0.0;
    for (a, p) in fleet() {
        for pedal in [-1.0, -0.5, 0.5, 1.0] {
            // A free caster is held at an angle by a linkage of its own for this test.
            let mut p = p;
            if p.pedal_limit_rad == 0.0 {
                p.pedal_limit_rad = 0.3;
                p.linkage_nm_per_rad = 300.0;
                p.linkage_limit_nm = 12.0;
            }
            // A thrust that just balances rolling resistance keeps the pace; without a slipstream it only pulls.
            let pull = dry.rolling() * p.mass_kg * G_MPS2;
            p.static_thrust_n *= pull / engine::thrust_n(&p, p.idle_rpm, WALK_MPS);
            (p.slipstream_lever_m, p.air.slipstream_per_m2) = (0.0, 0.0);
            let start = State::rolling(&p, pose(0.7), WALK_MPS);
            let controls = Controls {
                rudder: pedal,
                ..Controls::default()
            };
            let state = drive(&p, &dry, start, &controls, 480);
            let want = turning::axle_radius_m(p.wheelbase_m, state.nose_wheel_rad);
            let got = measured_radius(&p, state, &controls);
            let off = (got / want - 1.0).abs();
            worst = worst.max(off);
            assert!(state.speed_mps() > 0.5, "{}: too slow to tell", a.id);
            assert_eq!(state.yaw_radps < 0.0, pedal > 0.0, "{}: right pedal turns right", a.id);
            let now = (state.forward_mps / state.yaw_radps).abs();
            // The nose wheel's rolling resistance pulls across the body and asks for a slip angle of c/10·tan δ; front and
            // rear slip by the side acceleration are alike. 0.7 per cent for all the rest, ours.
            let c = math::cos(state.nose_wheel_rad);
            let slack = dry.rolling() / STIFFNESS_PER_LOAD / (c * c) + 0.007;
            assert!(
                (now / want - 1.0).abs() < slack,
                "{} pedal {pedal}: R {now:.4} m, L/tan δ {want:.4} m",
                a.id
            );
            assert!(off < slack, "{} pedal {pedal}: R {got:.4} m, L/tan δ {want:.4} m", a.id);
        }
    }
    println!("worst deviation from L/tan δ: {:.3} %", worst * 100.0);
}

#[test]
fn with_idling_engine_the_turn_stays_near_the_geometry() {
    // Rudder in the slipstream and the slipstream's own swing push on top; 5 % is ours.
    let dry = ground(Surface::Paved, false);
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        for pedal in [-1.0, 1.0] {
            let controls = Controls {
                rudder: pedal,
                ..Controls::default()
            };
            let state = drive(&p, &dry, State::rolling(&p, pose(0.0), WALK_MPS), &controls, 720);
            let want = turning::axle_radius_m(p.wheelbase_m, state.nose_wheel_rad);
            let got = measured_radius(&p, state, &controls);
            assert!(
                (got / want - 1.0).abs() < 0.05,
                "{} pedal {pedal}: R {got:.4}, want {want:.4}",
                a.id
            );
        }
    }
}

#[test]
fn heading_follows_the_nose_wheel_by_the_tractrix() {
    let dry = ground(Surface::Paved, false);
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        let (mut state, mut controls) = engine_off(State::rolling(&p, pose(0.2), 2.0));
        let mut heading = state.pose(&p).heading_rad;
        let (mut worst, mut way, mut widest): (f64, f64, f64) = (0.0, 0.0, 0.0);
        for tick in 0..1440 {
            // Left, right and straight by turns, two seconds each.
            controls.rudder = [-1.0, 1.0, 0.0][(tick / 480) % 3];
            let before = state.pose(&p).nose;
            state = step(&p, &dry, &CALM, &state, &controls);
            let after = state.pose(&p);
            let moved = after.nose - before;
            let length = moved.norm();
            way += length;
            // The nose wheel's way in this tick is a straight bit; the tractrix says how the heading follows.
            let beta = tractrix::beta_after(heading.to_rad(moved.direction()), 0.0, p.wheelbase_m, length);
            heading = moved.direction().turned(-beta);
            worst = worst.max(heading.to_rad(after.heading_rad).abs());
            widest = widest.max(beta.abs());
        }
        assert!(
            way > 4.0 && widest > 0.8 * p.pedal_limit_rad,
            "{}: {way} m, {widest} rad",
            a.id
        );
        assert!(
            worst < 0.01,
            "{}: heading off the tractrix by {worst:.5} rad after {way:.1} m",
            a.id
        );
        // The planner's axle is where this tractrix has it: what that comes to on the ground.
        let axle_mm = worst * p.wheelbase_m * 1000.0;
        assert!(axle_mm < 7.0, "{}: axle {axle_mm:.1} mm off", a.id);
        println!(
            "{}: at most {worst:.5} rad, axle {axle_mm:.1} mm, off the tractrix over {way:.1} m",
            a.id
        );
    }
}

#[test]
fn small_steering_at_speed_agrees_with_the_linear_bicycle_model() {
    // Standards D2: yaw rate = δ·V/(L + K·V²), K = W_front/C_front − W_rear/C_rear per g. With stiffness in proportion to
    // load K is 0 at any speed. Here the nose wheel is held at 1 degree at 4 and 8 m/s. Drag, rolling resistance and the
    // fin make the rest: 4 %.
    let dry = ground(Surface::Paved, false);
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        for speed in [4.0, 8.0] {
            let mut p = p;
            (p.air.fin_area_m2, p.air.rudder_area_m2) = (0.0, 0.0);
            let (start, mut controls) = engine_off(State::rolling(&p, pose(0.0), speed));
            controls.rudder = -1.0_f64.to_radians() / p.pedal_limit_rad;
            let state = drive(&p, &dry, start, &controls, 1200);
            let gain = state.yaw_radps / state.nose_wheel_rad;
            let want = state.forward_mps / p.wheelbase_m;
            assert!(
                (gain / want - 1.0).abs() < 0.04,
                "{} at {speed} m/s: {gain:.4} 1/s, want {want:.4}",
                a.id
            );
        }
    }
}

#[test]
fn a_wheelbase_five_per_cent_too_long_would_be_seen() {
    let dry = ground(Surface::Paved, false);
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        let off = |q: &Params| {
            let mut q = *q;
            let pull = dry.rolling() * q.mass_kg * G_MPS2;
            q.static_thrust_n *= pull / engine::thrust_n(&q, q.idle_rpm, WALK_MPS);
            (q.slipstream_lever_m, q.air.slipstream_per_m2) = (0.0, 0.0);
            let controls = Controls {
                rudder: -1.0,
                ..Controls::default()
            };
            let state = drive(&q, &dry, State::rolling(&q, pose(0.7), WALK_MPS), &controls, 480);
            let want = turning::axle_radius_m(p.wheelbase_m, state.nose_wheel_rad);
            (measured_radius(&q, state, &controls) / want - 1.0).abs()
        };
        let wrong = Params {
            wheelbase_m: 1.05 * p.wheelbase_m,
            nose_ahead_m: p.nose_ahead_m + 0.05 * p.wheelbase_m,
            ..p
        };
        // The bound of the comparison above is 0.01.
        assert!(
            off(&p) < 0.01 && off(&wrong) > 0.03,
            "{}: {} and {}",
            a.id,
            off(&p),
            off(&wrong)
        );
    }
}
