//! Exercises as files: read, refused with everything wrong at once, and written back.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use serde_json::{Value, json};
use toeline_dynamics::Faults;
use toeline_model::Wind;
use toeline_model::airfield::Surface;
use toeline_training::DrillKind;
use toeline_training::attempt::{ANSWERS, CALLS, LOOKS};
use toeline_training::exercise::{
    Breakdown, Control, Exercise, FORMAT, GroundAs, Hour, Journey, Limits, Moment, Place, Power, Reading, Stage, Start,
    Stood, StoppedAfterFault, Switched, Tower, Until, all, find, measure_keys, texts,
};

#[test]
fn the_course_is_read_and_each_comes_after_what_it_builds_on() {
    let course = all();
    assert_eq!(course.len(), texts().len());
    assert!(course.len() >= 14, "{} exercises", course.len());
    for (k, text) in texts().iter().enumerate() {
        let exercise = Exercise::from_json(text).unwrap_or_else(|e| panic!("file {k}: {e:?}"));
        assert_eq!(find(&exercise.id), Some(exercise.clone()));
        for before in &exercise.after {
            let earlier = course[..k].iter().any(|e| e.id == *before);
            assert!(earlier, "{} comes after {before}, which is not before it", exercise.id);
        }
        let file = format!("sim/training/exercises/{}.json", exercise.id);
        let there =
            std::fs::read_to_string(toeline_tests::root().join(&file)).unwrap_or_else(|e| panic!("{file}: {e}"));
        assert_eq!(there, *text, "{file} is not the one that is built in");
    }
}

/// Every field wrong, or as many as can be in one file: each is said, with its place, its value and the limit.
#[test]
fn everything_wrong_is_said_at_once() {
    let text = json!({
        "toeline_exercise": 7,
        "id": "Straight Line",
        "title": "",
        "teaches": [],
        "after": ["straight-line", 5],
        "where": { "field": "quillmere", "from": "", "via": "E", "parked_heading_deg": 400, "date": "2026-13-40", "roll_m": 9e9 },
        "aircraft": "jumbo",
        "wind": "240/12",
        "ground": { "surface": "lava" },
        "hour": "noon",
        "start": { "at_m": -3 },
        "colour": "red",
        "stages": [
            { "title": 3, "prompt": "x".repeat(500), "until": [], "tower": { "tells": "go", "words": "", "after_s": 99, "upon": "hello" },
              "limits": { "most_kt": 900, "off_line_m": 0, "heading_deg": 400, "within_s": -1, "by_m": 1e9, "by_stop": "", "most_mph": 3 } },
            { "title": "b", "prompt": "c", "until": [
                { "passed_m": -5 }, { "passed": "" }, { "stood": { "at": "", "for_s": 0, "within_m": 1000 } }, { "turned_deg": 999 },
                { "slowed_kt": 0 }, { "reading": "tea_leaves" }, { "full_and_free": [] }, { "looked": "inside" }, { "said": "hi" },
                { "told": "fly" }, { "judged": "so so" }
            ] },
            { "title": "d", "prompt": "e", "until": [
                { "switched": { "switch": "", "to": "" } }, { "power": "half" }, { "reached_kt": 500 }, { "lift_off_share": 3 },
                { "stopped_after_fault": { "throttle_closed_within_s": 0 } }, { "danced": true }, 4
            ] },
            "stage"
        ],
        "faults": [{ "from": { "stage": 9, "way_m": -1, "kt": 0 }, "broken": { "wing": true } }, { "broken": {} }, {}],
        "scored": ["beauty", "path", "path"],
    });
    let problems = Exercise::from_value(&text).expect_err("all wrong");
    let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
    for part in [
        "toeline_exercise: format 7 is not known; this program reads format 1",
        "id: \"Straight Line\": write 1 to 60 small letters",
        "title: \"\" says nothing",
        "teaches: 0 of them; there can be 1 to 12",
        "after[1]: 5: invalid type",
        "where.from: \"\" says nothing",
        "where.to: is missing",
        "where.via: \"E\": invalid type",
        "where.parked_heading_deg: 400 degrees is outside 0 to 360 degrees",
        "where.date: ",
        "where.roll_m: 9000000000 m is outside 10 to 4000 m",
        "aircraft: \"jumbo\" is no built-in aeroplane; there are trainer-high-2",
        "wind: \"240/12\": wind \"240/12\" does not say which north",
        "ground: {\"surface\":\"lava\"}: unknown variant `lava`",
        "hour: \"noon\": unknown variant `noon`, expected one of `day`, `dusk`, `night`",
        "start.at_m: -3 m is outside 0 to 20000 m",
        "colour: \"red\" has no place here; there are toeline_exercise, id",
        "stages[0].title: 3: invalid type",
        "stages[0].prompt: 500 characters; at most 400",
        "stages[0].until: 0 of them; there can be 1 to 12",
        "stages[0].tower.tells: \"go\": there are enter, cross, hold short",
        "stages[0].tower.words: \"\" says nothing",
        "stages[0].tower.after_s: 99 s is outside 0 to 60 s",
        "stages[0].tower.upon: \"hello\": there are ready, read back, request, announce",
        "stages[0].limits.most_kt: 900 kt is outside 0.5 to 120 kt",
        "stages[0].limits.off_line_m: 0 m is outside 0.05 to 50 m",
        "stages[0].limits.heading_deg: 400 degrees",
        "stages[0].limits.within_s: -1 s",
        "stages[0].limits.by_m: 1000000000 m",
        "stages[0].limits.by_stop: \"\" says nothing",
        "stages[0].limits.most_mph: 3 has no place here",
        "stages[1].until[0].passed_m: -5 m",
        "stages[1].until[1].passed: \"\" says nothing",
        "stages[1].until[2].stood.at: \"\" says nothing",
        "stages[1].until[2].stood.for_s: 0 s",
        "stages[1].until[2].stood.within_m: 1000 m",
        "stages[1].until[3].turned_deg: 999 degrees",
        "stages[1].until[4].slowed_kt: 0 kt",
        "stages[1].until[5]: {\"reading\":\"tea_leaves\"}: unknown variant `tea_leaves`",
        "stages[1].until[6].full_and_free: 0 of them",
        "stages[1].until[7].looked: \"inside\": there are left, right",
        "stages[1].until[8].said: \"hi\": there are ready",
        "stages[1].until[9].told: \"fly\"",
        "stages[1].until[10].judged: \"so so\": there are fit, unfit",
        "stages[2].until[0].switched.switch: \"\" says nothing",
        "stages[2].until[0].switched.to: \"\" says nothing",
        "stages[2].until[1]: {\"power\":\"half\"}: unknown variant `half`",
        "stages[2].until[2].reached_kt: 500 kt",
        "stages[2].until[3].lift_off_share: 3",
        "stages[2].until[4].stopped_after_fault.throttle_closed_within_s: 0 s",
        "stages[2].until[5]: {\"danced\":true}: unknown variant `danced`",
        "stages[2].until[6]: 4: ",
        "stages[3]: \"stage\" is no object",
        "faults[0].from.stage: stage 9; there are stages 1 to 4",
        "faults[0].from.way_m: -1 m",
        "faults[0].from.kt: 0 kt",
        "faults[0].broken: \"wing\" is no fault",
        "faults[1].broken: {}: breaks nothing",
        "faults[2].broken: is missing",
        "scored[0]: \"beauty\": there are touched",
        "scored[2]: \"path\" is there twice",
    ] {
        assert!(said.iter().any(|s| s.starts_with(part)), "{part}\nin {said:#?}");
    }
    assert_eq!(said.len(), 61, "{said:#?}");
}

#[test]
fn what_is_missing_no_json_or_absurdly_long_is_said() {
    let said = |text: &str| -> Vec<String> {
        let problems = Exercise::from_json(text).expect_err("wrong");
        problems.iter().map(ToString::to_string).collect()
    };
    let missing = said("{}");
    for key in [
        "toeline_exercise",
        "id",
        "title",
        "teaches",
        "where",
        "aircraft",
        "stages",
        "scored",
    ] {
        let once = missing.iter().filter(|s| **s == format!("{key}: is missing")).count();
        assert_eq!(once, 1, "{key} in {missing:?}");
    }
    assert_eq!(missing.len(), 8, "{missing:?}");
    assert!(said("{")[0].starts_with("file: not JSON"));
    assert!(said("[]")[0].starts_with("file: [] is no object"));
    assert!(said(&" ".repeat(300_000))[0].contains("at most 262144 are read"));
    let mut long: Value = serde_json::from_str(texts()[0]).expect("JSON");
    let stage = long["stages"][0].clone();
    long["stages"] = Value::Array(vec![stage; 41]);
    assert_eq!(said(&long.to_string()), ["stages: 41 of them; there can be 1 to 40"]);
    // No line on the free apron.
    let mut apron: Value = serde_json::from_str(texts()[0]).expect("JSON");
    apron["where"] = json!({ "drill": "free_apron" });
    apron["scored"] = json!(["touched", "path", "steady_offset", "weave"]);
    let apron = said(&apron.to_string());
    assert_eq!(apron.len(), 3, "{apron:?}");
    assert_eq!(
        apron[0],
        "scored[1]: \"path\" needs a line; on free_apron there is none"
    );
    // A stage that waits for a stop after a fault, and nothing that breaks.
    long["stages"] = json!([{ "title": "a", "prompt": "b", "until": [{ "stopped_after_fault": {} }] }]);
    assert!(said(&long.to_string())[0].starts_with("faults: []"));
}

fn text() -> impl Strategy<Value = String> {
    "[a-zA-Z0-9 ,.äß\"]{0,20}[a-z]"
}

fn id() -> impl Strategy<Value = String> {
    "[a-z0-9-]{1,20}"
}

fn one_of(all: &'static [&'static str]) -> impl Strategy<Value = String> {
    prop::sample::select(all).prop_map(str::to_string)
}

fn number(low: f64, high: f64) -> impl Strategy<Value = f64> {
    low..high
}

fn until() -> impl Strategy<Value = Until> {
    prop_oneof![
        number(0.0, 20_000.0).prop_map(Until::PassedM),
        text().prop_map(Until::Passed),
        (option::of(text()), number(0.1, 3600.0), number(0.1, 100.0))
            .prop_map(|(at, for_s, within_m)| Until::Stood(Stood { at, for_s, within_m })),
        number(1.0, 360.0).prop_map(Until::TurnedDeg),
        number(0.1, 120.0).prop_map(Until::SlowedKt),
        prop::sample::select(&[
            Reading::CheckRpm,
            Reading::LeftMagneto,
            Reading::RightMagneto,
            Reading::CarburettorHeat,
            Reading::Idle
        ])
        .prop_map(Until::Reading),
        vec(
            prop::sample::select(&[Control::Aileron, Control::Elevator, Control::Rudder]),
            1..4
        )
        .prop_map(Until::FullAndFree),
        one_of(&LOOKS).prop_map(Until::Looked),
        one_of(&CALLS).prop_map(Until::Said),
        one_of(&ANSWERS).prop_map(Until::Told),
        one_of(&["fit", "unfit"]).prop_map(Until::Judged),
        (text(), text()).prop_map(|(switch, to)| Until::Switched(Switched { switch, to })),
        prop::sample::select(&[Power::Full, Power::Closed]).prop_map(Until::Power),
        number(0.1, 120.0).prop_map(Until::ReachedKt),
        number(0.05, 1.2).prop_map(Until::LiftOffShare),
        (option::of(number(0.1, 3600.0)), any::<bool>()).prop_map(|(throttle_closed_within_s, mixture_off)| {
            Until::StoppedAfterFault(StoppedAfterFault {
                throttle_closed_within_s,
                mixture_off,
            })
        }),
    ]
}

fn limits() -> impl Strategy<Value = Limits> {
    (
        option::of(number(0.5, 120.0)),
        option::of(number(0.05, 50.0)),
        option::of(number(0.5, 180.0)),
        option::of(number(0.5, 3600.0)),
        option::of(number(0.5, 20_000.0)),
        option::of(text()),
    )
        .prop_map(|(most_kt, off_line_m, heading_deg, within_s, by_m, by_stop)| Limits {
            most_kt,
            off_line_m,
            heading_deg,
            within_s,
            by_m,
            by_stop,
        })
}

fn tower() -> impl Strategy<Value = Tower> {
    (one_of(&ANSWERS), text(), number(0.0, 60.0), option::of(one_of(&CALLS))).prop_map(
        |(tells, words, after_s, upon)| Tower {
            tells,
            words,
            after_s,
            upon,
        },
    )
}

fn stage() -> impl Strategy<Value = Stage> {
    (text(), text(), vec(until(), 1..5), option::of(tower()), limits()).prop_map(
        |(title, prompt, until, tower, limits)| Stage {
            title,
            prompt,
            until,
            tower,
            limits,
        },
    )
}

fn place() -> impl Strategy<Value = Place> {
    let journey = (
        text(),
        text(),
        vec(text(), 0..3),
        text(),
        option::of(text()),
        option::of(number(0.0, 360.0)),
        option::of(number(10.0, 4000.0)),
    );
    prop_oneof![
        prop::sample::select(&DrillKind::ALL[..]).prop_map(|drill| Place::Drill { drill }),
        journey.prop_map(|(field, from, via, to, instruction, parked_heading_deg, roll_m)| {
            Place::Journey(Journey {
                field,
                from,
                via,
                to,
                instruction,
                parked_heading_deg,
                date: "2026-07-04".into(),
                roll_m,
            })
        }),
    ]
}

fn faults() -> impl Strategy<Value = Breakdown> {
    (
        option::of(number(0.0, 20_000.0)),
        option::of(number(0.1, 120.0)),
        number(0.01, 1.0),
        any::<bool>(),
    )
        .prop_map(|(way_m, kt, carburettor_ice, dead_airspeed)| Breakdown {
            from: Moment {
                stage: Some(1),
                way_m,
                kt,
            },
            broken: Faults {
                carburettor_ice,
                dead_airspeed,
                ..Faults::default()
            },
        })
}

fn start() -> impl Strategy<Value = Start> {
    prop_oneof![
        number(0.0, 20_000.0).prop_map(Start::AtM),
        (text(), number(0.0, 20_000.0)).prop_map(|(stop, by_m)| Start::Before { stop, by_m }),
    ]
}

prop_compose! {
    fn exercise()(
        (id, title) in (id(), text()),
        teaches in vec(text(), 1..4),
        after in vec("[A-Z]{0}x[a-z0-9-]{21,25}", 0..3),
        place in place(),
        wind in prop::sample::select(&["calm", "240/12T", "VRB/03", "030/10G18M"][..]),
        ground in option::of((option::of(prop::sample::select(&[Surface::Grass, Surface::Paved][..])), any::<bool>())),
        hour in prop::sample::select(&[Hour::Day, Hour::Dusk, Hour::Night][..]),
        start in option::of(start()),
        stages in vec(stage(), 1..6),
        breakdown in faults(),
        scored in prop::sample::subsequence(measure_keys().to_vec(), 1..5),
    ) -> Exercise {
        // Without a line nothing can be held against it.
        let lineless = matches!(place, Place::Drill { drill: DrillKind::FreeApron });
        let scored = if lineless { vec!["touched"] } else { scored };
        Exercise {
            toeline_exercise: FORMAT,
            id,
            title,
            teaches,
            after,
            place,
            aircraft: "tourer-low-4".into(),
            wind: Wind::parse(wind).expect("a wind"),
            ground: ground.map(|(surface, wet)| GroundAs { surface, wet }),
            hour,
            start,
            stages,
            faults: vec![breakdown],
            scored: scored.into_iter().map(str::to_string).collect(),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read_back(exercise in exercise()) {
        let text = exercise.to_json();
        let back = Exercise::from_json(&text);
        prop_assert_eq!(back.as_ref(), Ok(&exercise), "{}", text);
        prop_assert_eq!(back.expect("read").to_json(), text);
    }
}
