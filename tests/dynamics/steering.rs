//! Steering by pedals, by brakes, and by both.

use crate::help::{CALM, drive, fleet, ground, plane, pose};
use toeline_dynamics::{Controls, Params, State, step};
use toeline_model::airfield::Surface;
use toeline_model::turning;

fn walk(p: &Params, rudder: f64, left_brake: f64, throttle: f64, seconds: usize) -> State {
    let controls = Controls {
        rudder,
        left_brake,
        throttle,
        ..Controls::default()
    };
    drive(
        p,
        &ground(Surface::Paved, false),
        State::rolling(p, pose(0.0), 2.0),
        &controls,
        240 * seconds,
    )
}

#[test]
fn a_free_caster_turns_by_one_brake_alone() {
    let p = plane("caster-low-2");
    let controls = Controls {
        left_brake: 0.25,
        throttle: 0.15,
        ..Controls::default()
    };
    let mut state = State::rolling(&p, pose(0.0), 2.0);
    let mut turned = 0.0;
    for _ in 0..1200 {
        state = step(&p, &ground(Surface::Paved, false), &CALM, &state, &controls);
        turned += state.yaw_radps / 240.0;
    }
    assert!(turned > 1.5, "turned {turned:.3} rad to the left in 5 s");
    assert!(state.nose_wheel_rad > 0.1, "the nose wheel casters into the turn");
    // Both feet off again: it runs straight after a while, for the caster trails.
    let state = drive(
        &p,
        &ground(Surface::Paved, false),
        state,
        &Controls {
            throttle: 0.15,
            ..Controls::default()
        },
        1920,
    );
    assert!(
        state.nose_wheel_rad.abs() < 0.03 && state.yaw_radps.abs() < 0.1,
        "{state:?}"
    );
}

#[test]
fn pedals_alone_turn_a_linked_nose_wheel_to_their_limit_and_not_far_beyond() {
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        let state = walk(&p, -1.0, 0.0, 0.0, 3);
        let off = state.nose_wheel_rad - p.pedal_limit_rad;
        assert!(
            off.abs() < 2.0_f64.to_radians(),
            "{}: {:.2} deg off the limit",
            a.id,
            off.to_degrees()
        );
    }
}

#[test]
fn inside_brake_tightens_the_turn_of_a_linked_nose_wheel_up_to_its_stop() {
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        let radius = |s: &State| s.forward_mps / s.yaw_radps;
        let alone = walk(&p, -1.0, 0.0, 0.0, 4);
        let braked = walk(&p, -1.0, 0.6, 0.35, 5);
        assert!(braked.speed_mps() > 0.3, "{}: still moving", a.id);
        assert!(
            braked.nose_wheel_rad > p.pedal_limit_rad + 0.05,
            "{}: {}",
            a.id,
            braked.nose_wheel_rad
        );
        assert!(braked.nose_wheel_rad <= p.caster_stop_rad, "{}", a.id);
        assert!(
            radius(&braked) < 0.8 * radius(&alone),
            "{}: {} and {}",
            a.id,
            radius(&braked),
            radius(&alone)
        );
        let stop = turning::axle_radius_m(p.wheelbase_m, p.caster_stop_rad);
        assert!(
            radius(&braked) > 0.6 * stop,
            "{}: not tighter than the tyres can scrub",
            a.id
        );
    }
}

#[test]
fn the_nose_wheel_lags_the_pedals_and_does_not_overshoot_its_stop() {
    let p = plane("tourer-low-4");
    let mut state = State::rolling(&p, pose(0.0), 3.0);
    let controls = Controls {
        rudder: 1.0,
        ..Controls::default()
    };
    let mut half_way = None;
    for tick in 0..720 {
        state = step(&p, &ground(Surface::Paved, false), &CALM, &state, &controls);
        if half_way.is_none() && state.nose_wheel_rad < -p.pedal_limit_rad / 2.0 {
            half_way = Some(tick);
        }
    }
    let ticks = half_way.expect("the nose wheel follows");
    assert!((12..240).contains(&ticks), "half way after {ticks} ticks");
}

#[test]
fn standing_still_the_tyre_holds_the_nose_wheel_and_the_linkage_bends() {
    let p = plane("trainer-high-2");
    let controls = Controls {
        rudder: 1.0,
        parking_brake: true,
        ..Controls::default()
    };
    let start = State {
        brake: [1.0, 1.0],
        ..State::parked(&p, pose(0.0))
    };
    let state = drive(&p, &ground(Surface::Paved, false), start, &controls, 480);
    assert_eq!(state.speed_mps(), 0.0);
    assert!(
        (state.linkage_rad + p.pedal_limit_rad).abs() < 1e-3 && state.nose_wheel_rad.abs() < 0.2 * p.pedal_limit_rad
    );
}
