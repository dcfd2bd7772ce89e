//! What must hold whatever is done: mirror symmetry, energy, bounds.

use crate::help::{CALM, fleet, ground, plane, pose};
use proptest::prelude::*;
use toeline_dynamics::{Air, Controls, State, Telemetry, step};
use toeline_model::Bearing;
use toeline_model::airfield::Surface;
use toeline_model::units::{G_MPS2, KNOT_MPS};

#[test]
fn a_mirrored_drive_is_the_mirror_image_exactly() {
    // Engine off: the slipstream's swing to the left is the one thing that knows left from right.
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let mut left = State::rolling(&p, pose(0.4), 7.0);
        left.rpm = 0.0;
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
                            let weight: f64 = state.load_n.iter().sum();
                            assert!((weight - p.mass_kg * G_MPS2).abs() < 1e-6, "{}", what());
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
        state.rpm = 0.0;
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
