//! Tyre curve, statics, thrust and wind.

use crate::help::{drive, engine_off, fleet, ground, plane, pose};
use toeline_dynamics::{Air, Controls, LEFT, NOSE, Params, RIGHT, State, Telemetry, engine, step, tyre};
use toeline_model::Bearing;
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Surface;
use toeline_model::units::KNOT_MPS;

#[test]
fn the_tyre_curve_has_the_shape_of_the_brush_model() {
    // Odd, slope C at 0, rising without a break to the friction limit, reached at tan α = 3·μ/c (brush model, from memory).
    let (load, mu) = (3000.0, 0.7);
    let slope = tyre::side_force_n(load, mu, 1e-6) / 1e-6;
    assert!((slope / (-tyre::STIFFNESS_PER_LOAD * load) - 1.0).abs() < 1e-4);
    assert!(
        (5.0..=10.0).contains(&tyre::STIFFNESS_PER_LOAD),
        "standards D4, an engineering rule"
    );
    let slides = tyre::FULL_SLIDE * mu / tyre::STIFFNESS_PER_LOAD;
    let mut last = 0.0;
    for i in 1..=100 {
        let slip = slides * f64::from(i) / 100.0;
        let force = tyre::side_force_n(load, mu, slip);
        assert!(force < last, "rising at slip {slip}");
        assert_eq!(force, -tyre::side_force_n(load, mu, -slip));
        last = force;
    }
    assert!((last + mu * load).abs() < 1e-9);
    assert_eq!(tyre::side_force_n(load, mu, 10.0), -mu * load);
    assert_eq!(tyre::side_force_n(0.0, mu, 0.1), 0.0);
    for i in 1..=30 {
        let x = f64::from(i) / 10.0;
        assert!((tyre::softness(x) * tyre::grip_share(x) - x).abs() < 1e-12);
    }
}

#[test]
fn in_a_steady_turn_the_tyres_follow_that_curve() {
    // The step solves the tyres implicitly; what it settles on is the curve, wheel by wheel, for loads and slips it reports.
    let p = plane("tourer-high-4");
    let (start, mut controls) = engine_off(State::rolling(&p, pose(0.0), 7.0));
    controls.rudder = -0.6;
    let state = drive(&p, &ground(Surface::Paved, false), start, &controls, 240);
    let t = Telemetry::of(&p, &state, &controls);
    assert!(t.lateral_mps2 > 1.2, "a brisk turn: {}", t.lateral_mps2);
    for wheel in [LEFT, RIGHT] {
        let w = t.wheels[wheel];
        let want = tyre::side_force_n(w.load_n, 0.7, w.slip_across_mps / (state.forward_mps));
        assert!(
            (w.across_n / want - 1.0).abs() < 0.06,
            "wheel {wheel}: {} N, curve {want} N",
            w.across_n
        );
    }
    // Newton: the tyres' side forces together carry the mass round the turn.
    let side: f64 =
        t.wheels[LEFT].across_n + t.wheels[RIGHT].across_n + t.wheels[NOSE].across_n * state.nose_wheel_rad.cos();
    let want = p.mass_kg * state.forward_mps * state.yaw_radps;
    assert!((side / want - 1.0).abs() < 0.06, "{side} N, m·v·r {want} N");
}

#[test]
fn static_thrust_is_that_of_the_actuator_disc() {
    // Standards D6: P = 119 312 W, D = 1.905 m gives 4632.39 N at efficiency 1; thrust goes with efficiency to the 2/3.
    let mut a = catalog::find("tourer-high-4").expect("built in");
    a.engine.power_kw = 119.312;
    a.engine.red_line_rpm = a.engine.static_rpm;
    a.propellers[0].diameter_m = 1.905;
    let p = Params::from_aircraft(&a);
    assert!(
        (p.static_thrust_n - 4632.39 * 0.75_f64.powf(2.0 / 3.0)).abs() < 0.05,
        "{}",
        p.static_thrust_n
    );
    assert!((engine::thrust_n(&p, p.full_rpm, 0.0) - p.static_thrust_n).abs() < 1e-9);
    let idle = engine::thrust_n(&p, p.idle_rpm, 0.0) / p.static_thrust_n;
    assert!((idle - (p.idle_rpm / p.full_rpm) * (p.idle_rpm / p.full_rpm)).abs() < 1e-12);
    assert!(engine::thrust_n(&p, p.full_rpm, 20.0) < p.static_thrust_n);
    assert_eq!(engine::thrust_n(&p, 0.0, 10.0), 0.0);
}

#[test]
fn the_engine_follows_the_throttle_and_stops_without_mixture() {
    let p = plane("trainer-high-2");
    // Held still, with less than full power: a propeller that moves turns faster than at rest.
    let on = ground(Surface::Paved, false);
    let brakes = Controls {
        parking_brake: true,
        throttle: 0.8,
        ..Controls::default()
    };
    let full = drive(&p, &on, State::parked(&p, pose(0.0)), &brakes, 1200);
    assert!(
        (full.engine.rpm - (p.idle_rpm + 0.8 * (p.full_rpm - p.idle_rpm))).abs() < 2.0,
        "{} rpm",
        full.engine.rpm
    );
    let cut = drive(&p, &on, full, &Controls { mixture: 0.0, ..brakes }, 2400);
    assert_eq!(cut.engine.rpm, 0.0);
}

#[test]
fn power_swings_the_nose_to_the_left_and_wind_swings_it_into_the_wind() {
    for (a, p) in fleet() {
        // Power: published direction, standards D6 (PHAK ch. 5).
        let state = drive(
            &p,
            &ground(Surface::Paved, false),
            State::rolling(&p, pose(0.0), 5.0),
            &Controls {
                throttle: 1.0,
                ..Controls::default()
            },
            240,
        );
        assert!(state.yaw_rad > 0.0, "{}: {}", a.id, state.yaw_rad);
        // A wind from the left, rolling east with a free nose wheel.
        let mut free = p;
        (free.linkage_nm_per_rad, free.linkage_limit_nm) = (0.0, 0.0);
        let (mut state, off) = engine_off(State::rolling(&free, pose(0.0), 6.0));
        let air = Air {
            wind_from: Some(Bearing::from_deg(0.0)),
            wind_mps: 20.0 * KNOT_MPS,
            ..Air::default()
        };
        for _ in 0..240 {
            state = step(&free, &ground(Surface::Paved, false), &air, &state, &off);
        }
        assert!(
            state.yaw_rad > 0.002,
            "{}: turned {} rad toward the wind",
            a.id,
            state.yaw_rad
        );
    }
}
