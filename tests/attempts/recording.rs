//! What a recording holds.

use crate::help::{aeroplane, air, driven, dry, start};
use toeline_dynamics::{Controls, Params, State, step};
use toeline_training::{Attempt, Environment, EventKind, RecordError, Recorder, Script, run_script};

#[test]
fn the_track_has_twenty_points_a_second_and_states_come_every_five_seconds() {
    let attempt = driven();
    let apart: Vec<u64> = attempt.track.windows(2).map(|w| w[1].tick - w[0].tick).collect();
    assert!(apart.iter().all(|ticks| *ticks <= 12));
    assert_eq!(
        attempt.checkpoints.iter().map(|c| c.tick).collect::<Vec<_>>(),
        [1200, 2400, 2600]
    );
    assert_eq!(attempt.time_s(240), 1.0);
    // Points lie where the speed says.
    for w in attempt.track.windows(2) {
        let moved = w[0].nose.distance(w[1].nose);
        assert!(moved < (w[0].speed_mps + 0.5) * 2.0 / 20.0 + 0.01, "{w:?}");
    }
}

#[test]
fn starting_stopping_and_the_engine_are_noticed_in_order() {
    let kinds: Vec<EventKind> = driven().events.iter().map(|e| e.kind).collect();
    let locked = EventKind::BrakeLocked;
    // Full brakes unload the main wheels until both lock: N_main·0.7 falls below torque over radius.
    assert_eq!(kinds, [EventKind::Started, locked, locked, EventKind::Stopped]);
    let script = Script::parse("at 0 throttle 1\nat 1500 mixture 0 throttle 0 left_brake 1 right_brake 1\nend 7200")
        .expect("sound");
    let aircraft = aeroplane();
    let wet_grass = toeline_dynamics::Ground {
        surface: toeline_model::airfield::Surface::Grass,
        wet: true,
        ..toeline_dynamics::Ground::default()
    };
    let attempt = run_script(&aircraft, wet_grass, air(), &start(&aircraft), &script);
    let kinds: Vec<EventKind> = attempt.events.iter().map(|e| e.kind).collect();
    for kind in [
        EventKind::Started,
        EventKind::BrakeLocked,
        EventKind::Stopped,
        EventKind::EngineStopped,
    ] {
        assert!(kinds.contains(&kind), "{kind:?} in {:?}", attempt.events);
    }
    assert_eq!(kinds[0], EventKind::Started);
}

#[test]
fn a_tick_left_out_or_told_twice_is_refused() {
    let aircraft = aeroplane();
    let params = Params::from_aircraft(&aircraft);
    let begin = start(&aircraft);
    let mut recorder = Recorder::new(
        &aircraft,
        Environment {
            ground: dry(),
            air: air(),
            ..Environment::default()
        },
        &begin,
        None,
    );
    let controls = Controls::default();
    let next = |s: &State| step(&params, &dry(), &air(), s, &controls);
    let first = next(&begin);
    recorder.push(&controls, &first).expect("in order");
    assert_eq!(
        recorder.push(&controls, &first),
        Err(RecordError::NotNext { due: 2, came: 1 })
    );
    assert_eq!(
        recorder.push(&controls, &next(&next(&first))),
        Err(RecordError::NotNext { due: 2, came: 3 })
    );
    recorder.event(EventKind::TouchedObstacle, "left wing, hangar 2");
    let attempt = recorder.finish();
    assert_eq!((attempt.inputs.ticks(), attempt.events[0].tick), (1, 1));
    attempt.replay().expect("replays");
}

#[test]
fn an_empty_attempt_is_one_too() {
    let aircraft = aeroplane();
    let attempt = Recorder::new(&aircraft, Environment::default(), &start(&aircraft), None).finish();
    let back = Attempt::from_json(&attempt.to_json().expect("writes")).expect("reads");
    let replay = back.replay().expect("replays");
    assert_eq!((replay.states_compared, replay.final_state.tick), (2, 0));
}

#[test]
fn an_event_of_a_later_version_is_read_as_other() {
    let mut value: serde_json::Value = serde_json::from_str(&driven().to_json().expect("writes")).expect("reads");
    value["events"][0]["kind"] = serde_json::json!("met_a_hare");
    let attempt = Attempt::from_json(&value.to_string()).expect("reads");
    assert_eq!(attempt.events[0].kind, EventKind::Other);
}
