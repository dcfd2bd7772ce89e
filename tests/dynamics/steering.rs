//! Steering by pedals, by brakes, and by both.

use crate::help::{CALM, drive, fleet, ground, plane, pose};
use toeline_dynamics::{Controls, LEFT, NOSE, Params, State, Telemetry, step};
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
    // Ten seconds: the push of the pedals makes the body sway on its struts for a while.
    let state = drive(&p, &ground(Surface::Paved, false), start, &controls, 2400);
    assert_eq!(state.speed_mps(), 0.0);
    assert!(
        (state.linkage_rad + p.pedal_limit_rad).abs() < 1e-3 && state.nose_wheel_rad.abs() < 0.2 * p.pedal_limit_rad
    );
}

#[test]
fn the_inside_wheel_still_rolls_while_inside_brake_tightens_the_turn_to_the_stop() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.pedal_limit_rad > 0.0) {
        // How firm the brake must be depends on the aeroplane; some pressure has to do it with the wheel still turning.
        let tightest = |left_brake: f64| {
            let controls = Controls {
                rudder: -1.0,
                left_brake,
                throttle: 0.25,
                ..Controls::default()
            };
            let mut state = State::rolling(&p, pose(0.0), 2.0);
            let (mut at_stop, mut rolls) = (0, true);
            for tick in 0..1440 {
                state = step(&p, &on, &CALM, &state, &controls);
                if tick >= 960 {
                    at_stop += i32::from(state.nose_wheel_rad > 0.97 * p.caster_stop_rad);
                    rolls &= state.spin_radps[LEFT] > 0.1 && state.speed_mps() > 0.1;
                }
            }
            (at_stop > 240 && rolls, state)
        };
        let found = (4..20).map(|n| f64::from(n) * 0.05).find_map(|toe| {
            let (yes, state) = tightest(toe);
            yes.then_some((toe, state))
        });
        let (toe, state) = found.unwrap_or_else(|| panic!("{}: no pressure reaches the stop on a rolling wheel", a.id));
        println!(
            "{}: with {toe:.2} of the left brake at its stop of {:.0} deg, {:.2} m/s, inside wheel {:.2} rad/s",
            a.id,
            p.caster_stop_rad.to_degrees(),
            state.speed_mps(),
            state.spin_radps[LEFT]
        );
    }
}

/// Radius of the middle of the axle, and friction use of the nose tyre, in the last two of eight seconds of full left
/// brake under power.
fn round_a_locked_wheel(p: &Params, throttle: f64) -> (f64, f64) {
    let controls = Controls {
        rudder: -1.0,
        left_brake: 1.0,
        throttle,
        ..Controls::default()
    };
    let mut state = State::rolling(p, pose(0.0), 1.0);
    let (mut radius, mut scrub, mut samples) = (0.0, 0.0, 0);
    for tick in 0..1920 {
        state = step(p, &ground(Surface::Paved, false), &CALM, &state, &controls);
        if tick >= 1440 {
            let axle_left = state.left_mps - p.axle_behind_m * state.yaw_radps;
            radius += (state.forward_mps / state.yaw_radps).hypot(axle_left / state.yaw_radps);
            scrub += Telemetry::of(p, &state, &controls).wheels[NOSE].friction_use;
            samples += 1;
        }
    }
    (radius / f64::from(samples), scrub / f64::from(samples))
}

#[test]
fn a_clean_pivot_about_a_locked_wheel_exists_only_where_the_stop_allows_it() {
    // Standards D1: the pivot needs atan(2L/T) at the nose wheel (derived); the radius of the axle's middle is then T/2.
    // Short of that angle something is dragged: the nose tyre sideways, or the locked wheel along.
    let mut seen = [0, 0];
    for (a, p) in fleet() {
        let pivot = turning::pivot_angle_rad(p.wheelbase_m, p.track_m);
        let allowed = pivot < p.caster_stop_rad;
        seen[usize::from(allowed)] += 1;
        // A free turn needs little power, and more of it drags even a locked wheel along; a scrubbing nose tyre needs some.
        let (radius, scrub) = round_a_locked_wheel(&p, if allowed { 0.05 } else { 0.3 });
        println!(
            "{}: pivot needs {:.1}, stop {:.1} deg; radius {radius:.3} m, half track {:.3} m, nose tyre {scrub:.2}",
            a.id,
            pivot.to_degrees(),
            p.caster_stop_rad.to_degrees(),
            p.track_m / 2.0
        );
        let clean = (radius / (p.track_m / 2.0) - 1.0).abs() < 0.05 && scrub < 0.5;
        assert_eq!(clean, allowed, "{}: {radius} m, {scrub}", a.id);
    }
    assert!(seen[0] > 0 && seen[1] > 0, "both kinds in the fleet: {seen:?}");
}
