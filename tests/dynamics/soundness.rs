//! What must hold whatever is done: mirror symmetry, energy, bounds.

use crate::help::{CALM, fleet, ground, plane, pose};
use proptest::prelude::*;
use toeline_dynamics::{Air, Controls, End, State, Telemetry, advance, step};
use toeline_model::Bearing;
use toeline_model::airfield::Surface;
use toeline_model::units::{G_MPS2, KNOT_MPS};

#[test]
fn a_mirrored_drive_is_the_mirror_image_exactly() {
    // Engine off: the slipstream's swing to the left is the one thing that knows left from right.
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let mut left = State::rolling(&p, pose(0.4), 7.0);
        left.engine.rpm = 0.0;
        let mut right = left.mirrored();
        for tick in 0..2400_u32 {
            let controls = Controls {
                rudder: [0.0, -0.7, 0.4, 1.0, -1.0][(tick / 300 % 5) as usize],
                left_brake: [0.0, 0.3, 0.9][(tick / 250 % 3) as usize],
                right_brake: [0.1, 0.0][(tick / 500 % 2) as usize],
                mixture: 0.0,
                ..Controls::default()
            };
            left = step(&p, &on, &CALM, &left, &controls);
            right = step(&p, &on, &CALM, &right, &controls.mirrored());
            assert_eq!(left.mirrored(), right, "{} at tick {tick}", a.id);
        }
        assert!(left.yaw_rad != 0.4);
    }
}

#[test]
fn at_any_speed_brake_pedal_and_surface_it_stays_bounded() {
    let mut steps = 0_u64;
    for (a, p) in fleet() {
        for on in [
            ground(Surface::Paved, false),
            ground(Surface::Paved, true),
            ground(Surface::Grass, true),
            ground(Surface::Loose, false),
            ground(Surface::Water, true),
        ] {
            for knots in [0.0, 2.0, 8.0, 20.0, 40.0, 60.0] {
                for (left_brake, right_brake) in [(0.0, 0.0), (1.0, 0.0), (0.4, 1.0), (1.0, 1.0)] {
                    for rudder in [-1.0, 0.0, 1.0] {
                        let air = Air {
                            wind_from: Some(Bearing::from_deg(130.0)),
                            wind_mps: 10.0,
                            ..Air::default()
                        };
                        let controls = Controls {
                            rudder,
                            left_brake,
                            right_brake,
                            throttle: if knots < 10.0 { 1.0 } else { 0.2 },
                            ..Controls::default()
                        };
                        let mut state = State::rolling(&p, pose(0.1), knots * KNOT_MPS);
                        for tick in 0..480 {
                            state = step(&p, &on, &air, &state, &controls);
                            steps += 1;
                            let what = || format!("{} {on:?} {knots} kt {controls:?} tick {tick}: {state:?}", a.id);
                            assert!(state.is_finite(), "{}", what());
                            let t = Telemetry::of(&p, &state, &controls);
                            for w in t.wheels {
                                assert!(w.load_n >= 0.0 && w.friction_use <= 1.0 + 1e-9, "{}", what());
                            }
                            // Struts that catch a bouncing body may bear more than the weight, for moments.
                            let weight: f64 = state.load_n.iter().sum();
                            assert!(weight < 2.5 * p.mass_kg * G_MPS2, "{}", what());
                            assert!(state.nose_wheel_rad.abs() <= p.caster_stop_rad, "{}", what());
                            // Nothing here pushes harder than 0.7 g, and nothing spins like a top.
                            let most = knots * KNOT_MPS + 0.7 * G_MPS2 * f64::from(tick + 1) / 240.0;
                            assert!(t.speed_mps <= most && state.yaw_radps.abs() < 8.0, "{}", what());
                        }
                    }
                }
            }
        }
    }
    println!("{steps} steps, all bounded");
}

#[test]
fn coarser_and_finer_ticks_are_stable_too() {
    let mut worst: f64 = 0.0;
    for (a, p) in fleet() {
        for on in [ground(Surface::Paved, false), ground(Surface::Ice, false)] {
            for per_second in [60.0, 120.0, 480.0, 1920.0] {
                for knots in [0.0, 10.0, 60.0] {
                    for (left_brake, right_brake) in [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0)] {
                        let controls = Controls {
                            rudder: 0.5,
                            left_brake,
                            right_brake,
                            throttle: 0.3,
                            ..Controls::default()
                        };
                        let mut state = State::rolling(&p, pose(0.1), knots * KNOT_MPS);
                        for _ in 0..(2.0 * per_second) as u32 {
                            state = advance(&p, &on, &CALM, &state, &controls, 1.0 / per_second);
                            worst = worst.max(state.pitch_rad.abs()).max(state.roll_rad.abs());
                            assert!(
                                state.is_finite() && state.speed_mps() < 60.0,
                                "{} {per_second} Hz: {state:?}",
                                a.id
                            );
                            assert!(
                                state.heave_m.abs() < 0.5 && state.yaw_radps.abs() < 8.0,
                                "{} {per_second} Hz: {state:?}",
                                a.id
                            );
                        }
                    }
                }
            }
        }
    }
    println!("worst lean {:.1} deg", worst.to_degrees());
}

#[test]
fn hopeless_inputs_do_no_harm() {
    let p = plane("tourer-high-4");
    let wild = Controls {
        rudder: f64::NAN,
        left_brake: f64::INFINITY,
        right_brake: -3.0,
        throttle: f64::NAN,
        mixture: f64::NAN,
        ..Controls::default()
    };
    let air = Air {
        wind_from: Some(Bearing::from_deg(10.0)),
        wind_mps: f64::NAN,
        ..Air::default()
    };
    let mut state = State::parked(&p, pose(0.0));
    for _ in 0..480 {
        state = step(&p, &ground(Surface::Unknown, false), &air, &state, &wild);
    }
    assert!(state.is_finite());
    assert_eq!(state.brake[1], 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// Engine off, calm, feet off the rudder: body, wheels and linkage together never gain energy in a tick.
    #[test]
    fn energy_never_rises_from_nothing(
        which in 0_usize..6, forward in -5.0_f64..25.0, left in -4.0_f64..4.0, yaw in -1.5_f64..1.5,
        nose in -0.5_f64..0.5, spin in prop::array::uniform3(-40.0_f64..120.0), brakes in prop::array::uniform2(0.0_f64..1.0),
        wet in any::<bool>(),
    ) {
        let (_, p) = fleet().remove(which);
        let mut state = State::parked(&p, pose(0.0));
        state.engine.rpm = 0.0;
        (state.forward_mps, state.left_mps, state.yaw_radps) = (forward, left, yaw);
        state.nose_wheel_rad = nose.clamp(-p.caster_stop_rad, p.caster_stop_rad);
        state.spin_radps = spin;
        let controls = Controls {
            mixture: 0.0, left_brake: brakes[0], right_brake: brakes[1], ..Controls::default()
        };
        let mut energy = state.energy_j(&p);
        for tick in 0..720 {
            state = step(&p, &ground(Surface::Paved, wet), &CALM, &state, &controls);
            let now = state.energy_j(&p);
            prop_assert!(now <= energy * (1.0 + 1e-12) + 1e-9, "tick {}: {} J after {} J", tick, now, energy);
            energy = now;
        }
    }
}

#[test]
fn with_the_propeller_turning_the_other_way_power_has_its_mirror_image_too() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let other = p.mirrored();
        let mut left = State::parked(&p, pose(0.4));
        let mut right = left.mirrored();
        for tick in 0..2400_u32 {
            let controls = Controls {
                rudder: [0.0, -0.5, 0.4][(tick / 300 % 3) as usize],
                left_brake: [0.0, 0.3][(tick / 500 % 2) as usize],
                throttle: [0.2, 0.7, 0.1][(tick / 400 % 3) as usize],
                aileron: [0.5, -1.0][(tick / 200 % 2) as usize],
                elevator: [-1.0, 0.3][(tick / 350 % 2) as usize],
                ..Controls::default()
            };
            left = step(&p, &on, &CALM, &left, &controls);
            right = step(&other, &on, &CALM, &right, &controls.mirrored());
            assert_eq!(left.mirrored(), right, "{} at tick {tick}", a.id);
        }
        assert!(left.roll_rad != 0.0 && left.speed_mps() > 0.0);
    }
}

/// Random controls from a seed, held for a while each (xorshift, 64 bit).
fn random_drive(which: usize, seed: u64, ticks: u64) -> State {
    let (a, p) = fleet().remove(which);
    let mut bits = seed;
    let mut next = move || {
        bits ^= bits << 13;
        bits ^= bits >> 7;
        bits ^= bits << 17;
        (bits >> 11) as f64 / (1_u64 << 53) as f64
    };
    let surfaces = [Surface::Paved, Surface::Grass, Surface::Loose, Surface::Ice];
    let mut state = State::parked(&p, pose(0.0));
    let mut controls = Controls::default();
    let mut on = ground(Surface::Paved, false);
    let mut air = CALM;
    for tick in 0..ticks {
        if tick % 97 == 0 {
            controls = Controls {
                rudder: 2.0 * next() - 1.0,
                left_brake: (2.0 * next() - 1.0).max(0.0),
                right_brake: (2.0 * next() - 1.0).max(0.0),
                throttle: next() * next(),
                aileron: 2.0 * next() - 1.0,
                elevator: 2.0 * next() - 1.0,
                parking_brake: next() > 0.95,
                ..controls
            };
        }
        if tick % 1201 == 0 {
            on = ground(surfaces[(next() * 4.0) as usize], next() > 0.5);
            air.wind_from = Some(Bearing::from_deg(360.0 * next()));
            air.wind_mps = 12.0 * next();
        }
        let before = state;
        state = step(&p, &on, &air, &state, &controls);
        assert!(state.is_finite(), "{} tick {tick}: {before:?} {controls:?}", a.id);
        for i in 0..3 {
            let used = state.tyre_n[i][0].hypot(state.tyre_n[i][1]);
            assert!(
                used <= state.grip_n[i] * (1.0 + 1e-9),
                "{} tick {tick}: {state:?}",
                a.id
            );
        }
        if state.end != End::No {
            state = State {
                tick: state.tick,
                ..State::parked(&p, pose(0.0))
            };
        }
    }
    state
}

#[test]
fn random_hands_and_feet_never_make_a_number_that_is_none() {
    for which in 0..6 {
        random_drive(which, 0x9e37_79b9_7f4a_7c15 + which as u64, 100_000);
    }
}

#[test]
#[ignore = "a hundred million steps, some minutes in release: run by hand"]
fn a_hundred_million_random_steps() {
    for which in 0..6 {
        random_drive(which, 0x2545_f491_4f6c_dd1d + which as u64, 16_700_000);
    }
}
