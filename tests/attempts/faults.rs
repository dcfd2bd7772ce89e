//! What is broken belongs to the attempt: stored with it, replayed with it, and named by the person who breaks it.

use crate::demo::{planned, way};
use crate::help::{aeroplane, driven, start};
use serde_json::{Value, json};
use toeline_dynamics::faults::BrakeFault;
use toeline_training::faults::{Faults, from_text, from_value};
use toeline_training::{Attempt, Environment, Event, ReplayError, Script, journey, run_script_among};

const BRAKING: &str = "at 0 throttle 0.6\nat 1200 throttle 0 left_brake 0.5 right_brake 0.5\nend 2400";

fn braked(faults: Faults) -> Attempt {
    let a = aeroplane();
    let environment = Environment {
        faults,
        ..Environment::default()
    };
    run_script_among(
        &a,
        environment,
        None,
        &start(&a),
        &Script::parse(BRAKING).expect("sound"),
    )
}

fn failed_right() -> Faults {
    Faults {
        brake: [BrakeFault::None, BrakeFault::Failed],
        ..Faults::default()
    }
}

#[test]
fn a_fault_shows_in_the_drive_and_the_attempt_replays_with_it() {
    let (sound, broken) = (braked(Faults::default()), braked(failed_right()));
    let turned = |a: &Attempt| {
        let [first, last] = [a.track[0], a.track[a.track.len() - 1]].map(|t| t.heading_rad);
        first.to_rad(last).to_degrees()
    };
    let more = turned(&broken) - turned(&sound);
    assert!(
        more > 10.0,
        "only the left brake holds, yet it turns {more} degrees more"
    );
    let text = broken.to_json().expect("writes");
    let back = Attempt::from_json(&text).expect("reads");
    assert_eq!(back.environment.faults, failed_right());
    back.replay().expect("replays with its fault");
    // The same file without its fault is not what was driven.
    let mut value: Value = serde_json::from_str(&text).expect("JSON");
    assert!(
        value["environment"]
            .as_object_mut()
            .expect("an object")
            .remove("faults")
            .is_some()
    );
    let mended = Attempt::from_json(&value.to_string()).expect("reads");
    assert!(matches!(
        mended.replay(),
        Err(ReplayError::Differs { .. } | ReplayError::Track { .. })
    ));
}

#[test]
fn an_attempt_from_before_faults_and_places_is_read_and_replays() {
    let attempt = driven();
    let mut value: Value = serde_json::from_str(&attempt.to_json().expect("writes")).expect("JSON");
    assert!(
        value["environment"].get("faults").is_none(),
        "a sound aeroplane needs no word"
    );
    for event in value["events"].as_array_mut().expect("events") {
        let event = event.as_object_mut().expect("an object");
        event.retain(|key, _| ["tick", "kind", "text"].contains(&key.as_str()));
    }
    let old = Attempt::from_json(&value.to_string()).expect("reads");
    old.replay().expect("replays");
    let bare = |e: &Event| Event {
        at: None,
        speed_mps: None,
        part: None,
        thing: None,
        faults: None,
        ..e.clone()
    };
    assert_eq!(old.events, attempt.events.iter().map(bare).collect::<Vec<_>>());
}

#[test]
fn a_plan_is_driven_with_what_is_broken() {
    let plan = planned("trainer-high-2", "4", "calm");
    let drive =
        |faults| journey::drive_by_script(&plan, way(&plan), BRAKING, faults, Value::Null).expect("a sound script");
    let attempt = drive(failed_right());
    assert_eq!(attempt.environment.faults, failed_right());
    attempt.replay().expect("replays");
    assert_ne!(attempt.track, drive(Faults::default()).track);
}

#[test]
fn faults_are_read_by_name() {
    let text = r#"{"brake": ["weak", "none"], "flat_tyre": [false, false, true], "carburettor_ice": 0.4}"#;
    let want = Faults {
        brake: [BrakeFault::Weak, BrakeFault::None],
        flat_tyre: [false, false, true],
        carburettor_ice: 0.4,
        ..Faults::default()
    };
    assert_eq!(from_text(text), Ok(want));
    assert_eq!(from_value(&json!({})), Ok(Faults::default()));
    // What the program writes it reads.
    assert_eq!(from_value(&serde_json::to_value(want).expect("writes")), Ok(want));
}

#[test]
fn everything_wrong_with_faults_is_said_with_name_value_and_what_can_be() {
    let problems = from_text(
        r#"{"flat_tire": [true, false, false], "brake": ["wek", "none"], "steering_play_rad": 0.9, "stuck_compass": 1,
            "dead_magneto": [true], "carburettor_ice": -1}"#,
    )
    .expect_err("wrong");
    for said in [
        "\"flat_tire\" is no fault; there are, nearest first: flat_tyre, ",
        "brake [\"wek\",\"none\"]: unknown variant `wek`, expected one of `none`, `weak`, `failed`, `seized`",
        "steering_play_rad 0.9 is out of range; the nearest that can be is 0.3",
        "stuck_compass 1: invalid type",
        "dead_magneto [true]: invalid length 1",
        "carburettor_ice -1 is out of range; the nearest that can be is 0.0",
    ] {
        assert!(problems.iter().any(|p| p.starts_with(said)), "{said} in {problems:?}");
    }
    assert_eq!(problems.len(), 6);
    for (wrong, said) in [("[]", "write an object"), ("{", "not JSON")] {
        let problems = from_text(wrong).expect_err("wrong");
        assert!(problems[0].contains(said), "{problems:?}");
    }
}
