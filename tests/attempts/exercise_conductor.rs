//! The conductor: it can say no to every kind of stage, says the same live and over a stored attempt, and what breaks during
//! a drive is replayed bit for bit.

use serde_json::{Value, json};
use toeline_dynamics::faults::BrakeFault;
use toeline_training::exercise::{Came, Conductor, Exercise, Lesson, StageCame, build, drive_by_script};
use toeline_training::{Attempt, EventKind, ReplayError};

/// An exercise on a drill with these stages and faults.
fn lesson(stages: Value, faults: Value) -> Lesson {
    lesson_on(json!({ "drill": "straight_line" }), stages, faults)
}

fn lesson_on(place: Value, stages: Value, faults: Value) -> Lesson {
    let value = json!({
        "toeline_exercise": 1, "id": "test", "title": "Test", "teaches": ["x"], "where": place,
        "aircraft": "trainer-high-2", "stages": stages, "faults": faults, "scored": ["touched"],
    });
    let exercise = Exercise::from_value(&value).unwrap_or_else(|e| panic!("{e:?}"));
    let aircraft = toeline_model::aircraft::catalog::find(&exercise.aircraft).expect("built in");
    build(&exercise, &aircraft, &mut |_| Err("no map".to_string())).unwrap_or_else(|e| panic!("{e}"))
}

fn stage(until: Value, limits: Value) -> Value {
    json!({ "title": "a stage", "prompt": "do it", "until": [until], "limits": limits })
}

fn drive(lesson: &Lesson, script: &str) -> (Attempt, Vec<StageCame>) {
    let drive = drive_by_script(lesson, script).unwrap_or_else(|e| panic!("{e:?}"));
    (drive.attempt, drive.came)
}

/// Drives straight on, stops, turns the controls, talks.
const BUSY: &str = "
at 0    left_brake 0.8 right_brake 0.8 aileron -1 elevator -1 rudder -1
at 120  aileron 1 elevator 1 rudder 1
at 240  aileron 0 elevator 0 rudder 0 left_brake 0 right_brake 0 throttle 0.45
at 300  looks left
at 310  says request
at 320  hears cross
at 330  judges fit
at 340  switches \"taxi light\" on
at 1200 throttle 0
at 1440 left_brake 0.15 right_brake 0.15
at 2200 left_brake 0.6 right_brake 0.6
at 2900 throttle 0.75
at 4000 magnetos left
at 5000 magnetos right
at 6000 magnetos both carburettor_heat 1
at 7000 carburettor_heat 0
at 7600 throttle 0
end 9000
";

/// Sits with the engine at idle and the brakes on.
const IDLE: &str = "at 0 left_brake 0.8 right_brake 0.8\nend 2400";

/// Each kind of stage: a drive that does it, and drives that do not.
#[test]
fn every_kind_of_stage_can_be_done_and_can_fail() {
    let none = json!({});
    for (until, wrong) in [
        (json!({ "passed_m": 5 }), IDLE),
        (json!({ "stood": { "for_s": 5 } }), "at 0 throttle 0.5\nend 3600"),
        (
            json!({ "slowed_kt": 0.8 }),
            "at 0 throttle 0.5\nat 1200 left_brake 0.3 right_brake 0.3\nend 2400",
        ),
        (json!({ "reading": "check_rpm" }), IDLE),
        (
            json!({ "reading": "left_magneto" }),
            "at 0 left_brake 0.8 right_brake 0.8\nat 10 magnetos left\nend 2400",
        ),
        (json!({ "reading": "right_magneto" }), IDLE),
        (
            json!({ "reading": "carburettor_heat" }),
            "at 0 left_brake 0.8 right_brake 0.8 carburettor_heat 1\nend 2400",
        ),
        // Idle counts only after check power.
        (json!({ "reading": "idle" }), IDLE),
        (
            json!({ "full_and_free": ["aileron", "elevator", "rudder"] }),
            "at 0 left_brake 0.8 right_brake 0.8 aileron -1 elevator -1 rudder -1\nat 120 aileron 1 elevator 1 rudder 0.5\nend 600",
        ),
        (
            json!({ "looked": "left" }),
            "at 10 left_brake 1\nat 20 looks right\nend 600",
        ),
        (
            json!({ "said": "request" }),
            "at 10 left_brake 1\nat 20 says announce\nend 600",
        ),
        (
            json!({ "told": "cross" }),
            "at 10 left_brake 1\nat 20 hears hold short\nend 600",
        ),
        (
            json!({ "judged": "fit" }),
            "at 10 left_brake 1\nat 20 judges unfit\nend 600",
        ),
        (
            json!({ "switched": { "switch": "taxi light", "to": "on" } }),
            "at 10 left_brake 1\nat 20 switches \"taxi light\" off\nend 600",
        ),
        (json!({ "power": "closed" }), "at 0 throttle 0.3\nend 600"),
        (json!({ "reached_kt": 3 }), IDLE),
        (json!({ "lift_off_share": 0.05 }), IDLE),
    ] {
        let one = lesson(json!([stage(until.clone(), none.clone())]), json!([]));
        let (_, came) = drive(&one, BUSY);
        assert_eq!(came[0].came, Came::Done, "{until}: {came:?}");
        assert!(came[0].tick.is_some() && came[0].at.is_some());
        let (_, came) = drive(&one, wrong);
        assert_eq!(came[0].came, Came::NotDone, "{until}: {came:?}");
        // A verdict cannot be taken back: that one ends the stage at once.
        let why = if until.get("judged").is_some() {
            "called \"unfit\": "
        } else {
            "the drive ended before: "
        };
        assert!(came[0].text.starts_with(why), "{came:?}");
    }
    // Full power: the same throttle, not quite as far.
    let one = lesson(json!([stage(json!({ "power": "full" }), none)]), json!([]));
    for (throttle, came) in [("0.9", Came::NotDone), ("1", Came::Done)] {
        let script = format!("at 0 throttle {throttle}\nend 600");
        assert_eq!(drive(&one, &script).1[0].came, came);
    }
}

/// Standing at a named stop, before it, past it; past a stop.
#[test]
fn a_stop_is_made_where_it_is_and_nowhere_else() {
    let stages = json!([
        stage(
            json!({ "stood": { "at": "end", "for_s": 1, "within_m": 3 } }),
            json!({})
        ),
        stage(json!({ "passed": "end" }), json!({})),
    ]);
    let lesson = lesson(stages, json!([]));
    // 180 m along the line: how far this throttle rolls is looked for, so that the test does not depend on it.
    let script = |ticks: u64| {
        format!(
            "at 0 throttle 0.45\nat {ticks} throttle 0\nat {} left_brake 0.4 right_brake 0.4\nend {}",
            ticks + 1,
            ticks + 3600
        )
    };
    let end_m = |came: &[StageCame]| came[0].way_m.expect("begun");
    let mut seen = Vec::new();
    for ticks in (4300..6000).step_by(20) {
        let (_, came) = drive(&lesson, &script(ticks));
        seen.push((came[0].came, end_m(&came)));
        if came[0].came == Came::NotDone && came[0].text.starts_with("driven past it") {
            break;
        }
    }
    let passed = |ticks: u64| drive(&lesson, &script(ticks)).1[1].came;
    assert_eq!((passed(4300), passed(9000)), (Came::NotBegun, Came::Done));
    assert_eq!(seen[0].0, Came::NotDone, "{seen:?}");
    assert!(
        seen.iter().any(|s| s.0 == Came::Done && (177.0..180.4).contains(&s.1)),
        "{seen:?}"
    );
    assert_eq!(seen.last().map(|s| s.0), Some(Came::NotDone), "{seen:?}");
}

#[test]
fn a_turn_counts_each_way() {
    let turned = |deg: f64, script: &str| {
        let one = lesson_on(
            json!({ "drill": "free_apron" }),
            json!([stage(json!({ "turned_deg": deg }), json!({}))]),
            json!([]),
        );
        drive(&one, script).1.remove(0)
    };
    let left = "at 0 throttle 0.4\nat 600 rudder -1\nend 3000";
    let both = "at 0 throttle 0.4\nat 600 rudder -1\nat 3000 rudder 1\nend 6000";
    assert_eq!(turned(30.0, both).came, Came::Done);
    let came = turned(30.0, left);
    assert_eq!(came.came, Came::NotDone);
    assert!(came.text.contains("0 to the right"), "{}", came.text);
}

/// The other verdict first cannot be taken back, in the same moment or later.
#[test]
fn a_verdict_cannot_be_taken_back() {
    let judged = |script: &str| {
        let one = lesson(json!([stage(json!({ "judged": "unfit" }), json!({}))]), json!([]));
        drive(&one, script).1.remove(0)
    };
    let plain = judged("at 10 left_brake 1\nat 20 judges unfit\nend 600");
    assert_eq!(plain.came, Came::Done, "{plain:?}");
    for later in [21, 100, 500] {
        let came = judged(&format!(
            "at 10 left_brake 1\nat 20 judges fit\nat {later} judges unfit\nend 600"
        ));
        assert_eq!(came.came, Came::NotDone, "{came:?}");
        assert!(came.text.contains("called \"fit\""), "{}", came.text);
    }
}

/// Every limit: kept by a careful drive, broken by another, with tick, place and by how much.
#[test]
fn every_limit_can_be_broken() {
    let slow = "at 0 throttle 0.35\nend 4800";
    let fast = "at 0 throttle 0.7\nend 2400";
    let astray = "at 0 throttle 0.35\nat 600 rudder -0.6\nat 900 rudder 0\nend 4800";
    for (limits, good, bad, said) in [
        (json!({ "most_kt": 8 }), slow, fast, "kt at most, limit 8 kt"),
        (
            json!({ "off_line_m": 0.9 }),
            slow,
            astray,
            "m off the line at most, limit 0.9 m",
        ),
        (
            json!({ "heading_deg": 6 }),
            slow,
            astray,
            "degrees off at most, limit 6 degrees",
        ),
    ] {
        let one = lesson(json!([stage(json!({ "passed_m": 6 }), limits.clone())]), json!([]));
        let (_, came) = drive(&one, good);
        assert_eq!(came[0].came, Came::Done, "{limits}: {came:?}");
        let (attempt, came) = drive(&one, bad);
        assert_eq!(came[0].came, Came::LimitBroken, "{limits}: {came:?}");
        let broken = &came[0].broken[0];
        assert!(broken.text.contains(said), "{broken:?}");
        // The place is that of the track at that tick.
        let point = attempt
            .track
            .iter()
            .find(|p| p.tick == broken.tick)
            .expect("a point of the track");
        assert_eq!(point.nose, broken.at);
    }
    for (limits, said) in [
        (json!({ "within_s": 2 }), "not within 2 s"),
        (json!({ "by_m": 1 }), "not before 1 m along"),
    ] {
        let stages = json!([
            stage(json!({ "looked": "left" }), limits.clone()),
            stage(json!({ "passed_m": 2 }), json!({})),
        ]);
        let (_, came) = drive(&lesson(stages, json!([])), slow);
        assert_eq!(came[0].came, Came::NotDone, "{limits}");
        assert!(came[0].text.starts_with(said), "{}", came[0].text);
        assert_eq!(came[1].came, Came::Done, "the lesson goes on: {came:?}");
    }
}

/// What was said or done before a stage began does not count in it, and what never began is told as that.
#[test]
fn each_stage_counts_by_itself() {
    let stages = json!([
        stage(json!({ "passed_m": 2 }), json!({})),
        stage(json!({ "looked": "left" }), json!({})),
        stage(json!({ "looked": "right" }), json!({})),
    ]);
    let (_, came) = drive(
        &lesson(stages, json!([])),
        "at 0 throttle 0.4\nat 5 looks left\nend 2400",
    );
    let all: Vec<Came> = came.iter().map(|c| c.came).collect();
    assert_eq!(all, [Came::Done, Came::NotDone, Came::NotBegun], "{came:?}");
}

/// Read back before anything was told is no read-back; after it, it is.
#[test]
fn a_read_back_needs_something_to_read_back() {
    let stages = json!([{ "title": "tower", "prompt": "wait", "until": [{ "said": "read back" }],
        "tower": { "tells": "hold short", "words": "hold short", "after_s": 1 } }]);
    let one = lesson(stages, json!([]));
    for (tick, came) in [(100, Came::NotDone), (300, Came::Done)] {
        let (_, told) = drive(&one, &format!("at 0 left_brake 1\nat {tick} says read back\nend 600"));
        assert_eq!(told[0].came, came, "{told:?}");
    }
}

/// A stop after a fault: too late, without the mixture, never, and as it should be. It is broken only from its moment on.
#[test]
fn something_breaks_when_it_should_and_is_answered_or_not() {
    let stages = json!([
        stage(json!({ "passed_m": 4 }), json!({})),
        stage(
            json!({ "stopped_after_fault": { "throttle_closed_within_s": 3, "mixture_off": true } }),
            json!({})
        ),
    ]);
    let faults = json!([{ "from": { "stage": 2, "kt": 3 }, "broken": { "brake": ["failed", "none"] } }]);
    let one = lesson(stages, faults);
    let until = |close: u64, more: &str| {
        let script = format!(
            "at 0 throttle 0.45\nat {close} throttle 0 {more}\nat {} right_brake 0.3 left_brake 0.3\nend {}",
            close + 1,
            close + 4800
        );
        drive(&one, &script)
    };
    let (attempt, came) = until(1, "");
    assert_eq!(
        (came[0].came, came[1].came),
        (Came::NotDone, Came::NotBegun),
        "never far enough: {came:?}"
    );
    assert!(attempt.events.iter().all(|e| e.kind != EventKind::Broke));

    // When it breaks with this throttle is asked of a drive that never closes it.
    let broke = |a: &Attempt| a.events.iter().find(|e| e.kind == EventKind::Broke).cloned();
    let (attempt, came) = drive(&one, "at 0 throttle 0.45\nend 4800");
    let event = broke(&attempt).expect("it broke");
    assert_eq!(
        event.faults.map(|f| f.brake),
        Some([BrakeFault::Failed, BrakeFault::None])
    );
    assert_eq!(came[1].came, Came::NotDone, "{came:?}");
    assert!(attempt.environment.faults.is_none(), "sound at the start");
    let at = event.tick;
    for (close, more, came) in [
        (at + 240, "mixture 0", Came::Done),
        (at + 240, "", Came::NotDone),
        (at + 1200, "mixture 0", Came::NotDone),
    ] {
        let (_, told) = until(close, more);
        assert_eq!(told[1].came, came, "{close} {more}: {told:?}");
    }
    let (_, told) = until(at + 1200, "mixture 0");
    assert!(
        told[1].text.contains("the throttle was closed 5.0 s after the fault"),
        "{}",
        told[1].text
    );
}

#[test]
fn what_breaks_during_a_drive_is_replayed_bit_for_bit_and_stored() {
    let faults = json!([{ "from": { "way_m": 3 }, "broken": { "brake": ["none", "seized"] } }]);
    let one = lesson(json!([stage(json!({ "passed_m": 60 }), json!({}))]), faults);
    let (attempt, came) = drive(&one, "at 0 throttle 0.5\nend 3600");
    let text = attempt.to_json().expect("writes");
    let back = Attempt::from_json(&text).expect("reads");
    assert_eq!(back, attempt);
    back.replay().expect("replays with what broke");
    // Without the event, or with it later, it is not what was driven.
    let mut value: Value = serde_json::from_str(&text).expect("JSON");
    let events = value["events"].as_array_mut().expect("events");
    let k = events.iter().position(|e| e["kind"] == "broke").expect("it broke");
    let mut later = Attempt::from_json(&text).expect("reads");
    events.remove(k);
    let differs = |a: &Attempt| matches!(a.replay(), Err(ReplayError::Differs { .. } | ReplayError::Track { .. }));
    assert!(differs(&Attempt::from_json(&value.to_string()).expect("reads")));
    later.events[k].tick += 60;
    assert!(differs(&later));
    // A fault that nobody can have is refused.
    later.events[k].faults = None;
    assert!(later.problems().iter().any(|p| p.contains("what broke at tick")));
    // The measures' own replay follows it too: no part is left out.
    let course = one.course();
    let series = toeline_training::measures::Series::of(&attempt, Some(&course));
    assert_eq!(series.no_replay, None);
    assert_eq!(Conductor::over(&one, &back), came);
}

/// Live, over the stored text and over an attempt of another physics version: the same answers, to the tick.
#[test]
fn live_and_stored_say_the_same() {
    let stages = json!([
        stage(json!({ "full_and_free": ["aileron", "elevator", "rudder"] }), json!({})),
        { "title": "tower", "prompt": "wait", "until": [{ "told": "hold short" }],
          "tower": { "tells": "hold short", "words": "hold short", "after_s": 0.2 } },
        stage(json!({ "slowed_kt": 0.8 }), json!({ "most_kt": 2 })),
        stage(json!({ "reading": "right_magneto" }), json!({})),
        stage(json!({ "passed_m": 170 }), json!({})),
    ]);
    let faults = json!([{ "from": { "stage": 4 }, "broken": { "fouled_plug": [true, false] } }]);
    let one = lesson(stages, faults);
    let (attempt, live) = drive(&one, BUSY);
    let done = live
        .iter()
        .filter(|c| c.came == Came::Done || c.came == Came::LimitBroken)
        .count();
    assert_eq!(done, 4, "{live:?}");
    let stored = Attempt::from_json(&attempt.to_json().expect("writes")).expect("reads");
    assert_eq!(Conductor::over(&one, &stored), live);
    let other = Attempt {
        physics_version: 1,
        ..stored
    };
    assert_eq!(Conductor::over(&one, &other), live);
    // And the lesson is found again from the attempt itself.
    let found = Lesson::of_attempt(&attempt, &mut |_| Err("no map".into()))
        .expect("an exercise")
        .expect("sound");
    assert_eq!(Conductor::over(&found, &attempt), live);
}

#[test]
fn what_a_way_does_not_have_is_said() {
    let value = json!({
        "toeline_exercise": 1, "id": "test", "title": "Test", "teaches": ["x"],
        "where": { "field": "quillmere", "from": "4", "via": ["E"], "to": "26", "date": "2026-07-04", "roll_m": 3000 },
        "aircraft": "trainer-high-2", "scored": ["path"], "start": { "before": { "stop": "Z9", "by_m": 5 } },
        "stages": [stage(json!({ "stood": { "at": "Q", "for_s": 1 } }), json!({ "by_stop": "R" })), stage(json!({ "passed_m": 19000 }), json!({}))],
    });
    let exercise = Exercise::from_value(&value).expect("sound by itself");
    let find = |id: &str| toeline_model::aircraft::catalog::find(id).expect("built in");
    let why = build(&exercise, &find("trainer-high-2"), &mut |_| Err("no map".into())).expect_err("unfit");
    let said = why.to_string();
    for part in [
        "no stop \"Z9\"",
        "no stop \"Q\"",
        "no stop \"R\"",
        "19000 m; the way is",
        "is not on a runway",
        "A1, ",
    ] {
        assert!(said.contains(part), "{part} in {said}");
    }
    let why = build(&exercise, &find("motorglider-15"), &mut |_| Err("no map".into())).expect_err("too wide");
    assert!(why.to_string().contains("there is no way for motorglider-15"), "{why}");
    let mut value = value;
    value["where"]["field"] = json!("nowhere.geojson");
    let exercise = Exercise::from_value(&value).expect("sound by itself");
    let why = build(&exercise, &find("trainer-high-2"), &mut |_| Err("no map".into())).expect_err("no map");
    assert!(
        why.to_string().contains("nowhere.geojson") && why.to_string().contains("quillmere"),
        "{why}"
    );
}
