//! What the pilot does with eyes and voice, without a window: looks, calls on the radio, the answer, and the word on the
//! engine check, each in the attempt at its tick.

mod demo;
#[allow(dead_code)] // the panel is not asked for here
mod panel_help;
mod practice;

use bevy::prelude::*;
use panel_help::*;
use toeline_sandbox::radio::{ANSWER_S, Radio, reply};
use toeline_sandbox::recorder::Recording;
use toeline_sandbox::scene::Scene;
use toeline_training::attempt::{ANSWERS, CALLS, LOOKS};
use toeline_training::faults::Faults;
use toeline_training::{Event, EventKind};

/// A drive on the demo field that stands `before_m` before a stop, 24 ticks a frame.
fn at_stop(stop: &str, before_m: f64) -> App {
    let scene = Scene::from_plan(demo::plan(), Faults::default(), serde_json::Value::Null).expect("a way");
    let at = scene.stops.iter().find(|s| s.name.contains(stop)).expect("a stop").at_m;
    let mut app = start(24, |app| {
        app.insert_resource(scene.clone());
        app.insert_resource(toeline_sandbox::drive::Span {
            from_m: at - before_m,
            ticks: None,
        });
    });
    frames(&mut app, 10);
    app
}

fn of_kind(app: &App, kind: EventKind) -> Vec<Event> {
    let attempt = app.world().resource::<Recording>().attempt();
    attempt.events.iter().filter(|e| e.kind == kind).cloned().collect()
}

fn things(app: &App, kind: EventKind) -> Vec<String> {
    of_kind(app, kind).into_iter().filter_map(|e| e.thing).collect()
}

#[test]
fn a_look_counts_once_when_it_is_held_long_enough() {
    let mut app = start(24, |_| {});
    frames(&mut app, 10);
    // Three tenths of a second: nothing is seen in that.
    hold(&mut app, KeyCode::Digit3, 3);
    frames(&mut app, 2);
    assert!(things(&app, EventKind::Looked).is_empty());
    for key in [
        KeyCode::Digit3,
        KeyCode::Digit8,
        KeyCode::Digit2,
        KeyCode::Digit9,
        KeyCode::Digit0,
    ] {
        hold(&mut app, key, 12);
        frames(&mut app, 1);
    }
    let seen = things(&app, EventKind::Looked);
    assert_eq!(seen, LOOKS, "each once, though held for more than a second");
    let first = &of_kind(&app, EventKind::Looked)[0];
    // Fifteen frames before it, and the four tenths.
    assert!((15 * 24 + 94..=15 * 24 + 98).contains(&first.tick), "{}", first.tick);
    assert_eq!(first.text, "looked left");
}

#[test]
fn at_the_holding_position_the_voice_lets_him_enter_and_before_it_not() {
    let mut app = at_stop("(runway 26)", 3.0);
    hold(&mut app, KeyCode::KeyT, 1);
    hold(&mut app, KeyCode::Slash, 1);
    assert_eq!(things(&app, EventKind::Said), ["read back", "request"]);
    assert!(things(&app, EventKind::Told).is_empty(), "an answer takes its time");
    frames(&mut app, (ANSWER_S * 10.0) as u32 + 1);
    assert_eq!(things(&app, EventKind::Told), ["enter"]);
    assert_eq!(
        app.world().resource::<Radio>().words,
        "Radio: runway 26, cleared for take-off"
    );
    hold(&mut app, KeyCode::KeyT, 1);
    let said = of_kind(&app, EventKind::Said);
    let heard: Vec<Option<&str>> = said.iter().map(|e| e.part.as_deref()).collect();
    assert_eq!(heard, [Some("nothing"), None, Some("enter")]);
    // Words go away again.
    frames(&mut app, 110);
    assert_eq!(app.world().resource::<Radio>().words, "");

    let mut app = at_stop("(runway 26)", 60.0);
    hold(&mut app, KeyCode::Slash, 1);
    frames(&mut app, 45);
    assert_eq!(things(&app, EventKind::Told), ["hold short"]);
}

#[test]
fn before_a_runway_that_is_only_crossed_he_may_cross_and_every_call_has_its_key() {
    let mut app = at_stop("(runway 17/35)", 3.0);
    hold(&mut app, KeyCode::Backslash, 1);
    frames(&mut app, 45);
    assert_eq!(things(&app, EventKind::Told), ["cross"]);
    for key in [KeyCode::KeyT, KeyCode::Slash, KeyCode::Period] {
        hold(&mut app, key, 1);
    }
    let said = things(&app, EventKind::Said);
    assert_eq!(said, ["ready", "read back", "request", "announce"]);
    assert!(said.iter().all(|s| CALLS.contains(&s.as_str())) && said.len() == CALLS.len());
}

#[test]
fn announcing_and_the_word_on_the_engine_are_kept_and_a_restart_forgets_what_was_said() {
    let mut app = at_stop("(runway 26)", 3.0);
    hold(&mut app, KeyCode::Period, 1);
    hold(&mut app, KeyCode::Digit7, 1);
    hold(&mut app, KeyCode::Digit4, 1);
    assert_eq!(things(&app, EventKind::Said), ["announce"]);
    assert_eq!(things(&app, EventKind::Judged), ["unfit", "fit"]);
    hold(&mut app, KeyCode::Slash, 1);
    frames(&mut app, 3);
    hold(&mut app, KeyCode::Backspace, 1);
    frames(&mut app, 60);
    assert!(
        things(&app, EventKind::Told).is_empty(),
        "it was asked in another drive"
    );
    let attempt = app.world().resource::<Recording>().attempt().clone();
    assert!(
        attempt.events.iter().any(|e| e.kind == EventKind::Switched),
        "handed over anew"
    );
}

#[test]
fn every_answer_and_call_is_one_that_an_attempt_knows() {
    let scene = Scene::from_plan(demo::plan(), Faults::default(), serde_json::Value::Null).expect("a way");
    let mut ways: Vec<f64> = scene
        .stops
        .iter()
        .flat_map(|s| [s.at_m - 100.0, s.at_m - 1.0])
        .collect();
    ways.push(scene.path.length_m());
    for way in ways {
        let (kind, words) = reply(&scene, way);
        assert!(ANSWERS.contains(&kind), "{kind}");
        assert!(!words.is_empty());
    }
}
