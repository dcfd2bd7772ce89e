//! Replay agrees with what was driven, and with nothing else.

use crate::help::{driven, start};
use serde_json::{Value, json};
use toeline_training::{Attempt, ReplayError};

fn changed(change: impl FnOnce(&mut Value)) -> Attempt {
    let mut value: Value = serde_json::from_str(&driven().to_json().expect("writes")).expect("reads");
    change(&mut value);
    Attempt::from_json(&value.to_string()).expect("still an attempt")
}

#[test]
fn it_replays_to_the_last_bit_before_and_after_the_trip_through_json() {
    let attempt = driven();
    let text = attempt.to_json().expect("writes");
    let back = Attempt::from_json(&text).expect("reads");
    assert_eq!(back, attempt);
    assert_eq!(back.to_json().expect("writes"), text);
    let first = attempt.replay().expect("replays");
    let second = back.replay().expect("replays");
    assert_eq!(first, second);
    assert_eq!(first.final_state.first_difference(&second.final_state), None);
    // The start, 5 s, 10 s and the end; 20 points a second, the start and the end among them.
    assert_eq!((first.states_compared, first.track_compared), (4, 218));
    assert_eq!(first.final_state.tick, 2600);
    let moved = first
        .final_state
        .pose(&toeline_dynamics::Params::from_aircraft(&attempt.aircraft))
        .nose;
    assert!(moved.distance(attempt.track[0].nose) > 5.0, "it went somewhere");
}

#[test]
fn a_changed_input_is_refused() {
    for (control, at) in [("rudder", 1), ("throttle", 0), ("right_brake", 1)] {
        let attempt = changed(|v| {
            let run = &mut v["inputs"][control][at][1];
            let old = run.as_f64().expect("a number");
            // A billionth. (A unit in the last place can vanish in a lag before it reaches a stored state; it then does no harm.)
            *run = json!(old * (1.0 - 1e-9));
            assert_ne!(run.as_f64(), Some(old));
        });
        let error = attempt.replay().expect_err(control);
        assert!(
            matches!(error, ReplayError::Differs { .. } | ReplayError::Track { .. }),
            "{control}: {error}"
        );
    }
}

#[test]
fn a_changed_length_of_a_run_is_refused() {
    let attempt = changed(|v| {
        let runs = v["inputs"]["rudder"].as_array_mut().expect("runs");
        runs[1][0] = json!(runs[1][0].as_u64().expect("ticks") + 1);
        runs[2][0] = json!(runs[2][0].as_u64().expect("ticks") - 1);
    });
    assert!(matches!(
        attempt.replay(),
        Err(ReplayError::Differs { .. } | ReplayError::Track { .. })
    ));
}

#[test]
fn a_changed_state_hash_track_aeroplane_or_wind_is_refused() {
    let state = changed(|v| v["checkpoints"][1]["state"]["x_m"] = json!(1.0));
    assert!(matches!(state.replay(), Err(ReplayError::Hash { tick: 2400, .. })));
    let hash = changed(|v| v["start"]["hash"] = json!("0000000000000000"));
    assert!(matches!(hash.replay(), Err(ReplayError::Hash { tick: 0, .. })));
    let track = changed(|v| v["track"][10][1] = json!(v["track"][10][1].as_f64().expect("x") + 0.0001));
    assert_eq!(track.replay(), Err(ReplayError::Track { tick: 120 }));
    // Standing at the end, its neighbour's place is true of this tick too.
    let moved = changed(|v| v["track"][215][0] = json!(v["track"][215][0].as_u64().expect("tick") - 1));
    assert!(matches!(moved.replay(), Err(ReplayError::Track { .. })));
    let mass = changed(|v| v["aircraft"]["mass"]["taxi_kg"] = json!(1021.0));
    assert!(matches!(
        mass.replay(),
        Err(ReplayError::Differs { .. } | ReplayError::Track { .. })
    ));
    let wind = changed(|v| v["environment"]["air"]["wind_mps"] = json!(4.2));
    assert!(matches!(
        wind.replay(),
        Err(ReplayError::Differs { .. } | ReplayError::Track { .. })
    ));
}

#[test]
fn a_state_and_its_hash_changed_together_are_still_refused() {
    let other = {
        let mut state = start(&crate::help::aeroplane());
        state.tick = 1200;
        toeline_training::Checkpoint::of(&state)
    };
    let attempt = changed(|v| v["checkpoints"][0] = serde_json::to_value(&other).expect("writes"));
    let error = attempt.replay().expect_err("differs");
    assert_eq!(
        error,
        ReplayError::Differs {
            tick: 1200,
            field: "x_m"
        }
    );
    assert!(error.to_string().contains("tick 1200") && error.to_string().contains("x_m"));
}

#[test]
fn another_physics_version_can_be_read_but_not_replayed() {
    let attempt = changed(|v| {
        v["physics_version"] = json!(999);
        // Another physics may well have other states.
        v["checkpoints"][0]["state"] = json!({ "heave_m": 0.1 });
    });
    assert_eq!(attempt.track.len(), 218);
    let error = attempt.replay().expect_err("refused");
    assert_eq!(
        error,
        ReplayError::Physics {
            attempt: 999,
            program: toeline_dynamics::PHYSICS_VERSION
        }
    );
    assert!(error.to_string().contains("999"));
    attempt.to_json().expect("and it can be written again");
}

#[test]
fn another_tick_is_refused() {
    let attempt = changed(|v| v["tick_s"] = json!(0.005));
    assert_eq!(attempt.replay(), Err(ReplayError::Tick { attempt_s: 0.005 }));
}
