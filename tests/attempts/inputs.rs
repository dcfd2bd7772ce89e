//! The run-length code keeps every bit and stays small.

use crate::help::{aeroplane, air, dry, start};
use proptest::prelude::*;
use toeline_dynamics::{Controls, Params, step};
use toeline_training::{Environment, Inputs, Recorder};

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_comes_out_is_what_went_in(course in prop::collection::vec(
        (1_usize..5, -1.0_f64..=1.0, 0.0_f64..=1.0, 0.0_f64..=1.0, any::<bool>()), 0..40))
    {
        let mut inputs = Inputs::default();
        let mut all = Vec::new();
        for (ticks, rudder, left_brake, throttle, parking_brake) in course {
            for _ in 0..ticks {
                let controls = Controls { rudder, left_brake, throttle, parking_brake, ..Controls::default() };
                inputs.push(&controls);
                all.push(controls);
            }
        }
        let text = serde_json::to_string(&inputs).expect("writes");
        let back: Inputs = serde_json::from_str(&text).expect("reads");
        prop_assert!(back.problems().is_empty());
        let out: Vec<Controls> = back.iter().collect();
        prop_assert_eq!(out.len(), all.len());
        for (a, b) in out.iter().zip(&all) {
            prop_assert_eq!(a, b);
            prop_assert_eq!(a.rudder.to_bits(), b.rudder.to_bits());
            prop_assert_eq!(a.left_brake.to_bits(), b.left_brake.to_bits());
        }
    }
}

#[test]
fn positions_out_of_range_are_recorded_as_they_act() {
    let mut inputs = Inputs::default();
    inputs.push(&Controls {
        rudder: f64::NAN,
        throttle: 9.0,
        left_brake: -0.0,
        ..Controls::default()
    });
    let out: Vec<Controls> = inputs.iter().collect();
    assert_eq!(
        out,
        [Controls {
            throttle: 1.0,
            ..Controls::default()
        }]
    );
    assert_eq!(out[0].left_brake.to_bits(), 0);
}

#[test]
fn ten_minutes_with_restless_feet_stay_small_and_replay() {
    // An axis read at 60 Hz with 1024 positions, moving all the time; brakes dabbed now and then.
    let aircraft = aeroplane();
    let params = Params::from_aircraft(&aircraft);
    let environment = Environment {
        ground: dry(),
        air: air(),
        ..Environment::default()
    };
    let mut state = start(&aircraft);
    let mut recorder = Recorder::new(
        &aircraft,
        environment,
        &state,
        Some(serde_json::json!({ "plan": "round the field" })),
    );
    let mut noise: u32 = 1;
    let mut controls = Controls {
        throttle: 0.2,
        ..Controls::default()
    };
    for tick in 0..144_000_u32 {
        if tick % 4 == 0 {
            noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            controls.rudder = f64::from(noise >> 22) / 512.0 - 1.0;
            controls.left_brake = if tick % 3000 < 200 {
                f64::from(noise >> 23) / 512.0
            } else {
                0.0
            };
        }
        state = step(&params, &environment.ground, &environment.air, &state, &controls);
        recorder.push(&controls, &state).expect("in order");
    }
    let attempt = recorder.finish();
    let text = attempt.to_json().expect("writes");
    println!("ten minutes: {} bytes, {} runs", text.len(), attempt.inputs.runs());
    assert!(text.len() < 2_000_000, "{} bytes", text.len());
    assert!((attempt.duration_s() - 600.0).abs() < 1e-9);
    let replay = attempt.replay().expect("replays");
    assert_eq!(replay.states_compared, 121);
    assert_eq!(replay.final_state.first_difference(&state), None);
    assert_eq!(attempt.job.expect("kept")["plan"], "round the field");
}
