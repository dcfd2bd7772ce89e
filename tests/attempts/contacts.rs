//! Drives into things and off the pavement: each told once, at the tick and the place where it began.

use crate::demo::{planned, way};
use geo::{Coord, Distance, Euclidean, Geometry, LineString, Point, Polygon};
use std::sync::Arc;
use toeline_dynamics::contacts::{Pavement, Solid, Surroundings, Thing};
use toeline_dynamics::{Params, State, step};
use toeline_engine::clearance::Considered;
use toeline_model::aircraft::{catalog, parts::parts};
use toeline_model::frame::xy;
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, Pose, Xy, Yaw};
use toeline_training::{Attempt, Environment, Event, EventKind, Recorder, Script, run_script_among, surroundings};

fn ring(points: &[Xy]) -> LineString {
    LineString(points.iter().map(|p| Coord { x: p.x, y: p.y }).collect())
}

fn polygon(points: &[Xy]) -> Geometry {
    Polygon::new(ring(points), vec![]).into()
}

/// Least distance between a part of a state's aeroplane and something that stands there, all far higher than the part
/// can rise or fall. A body leans back as it pitches up and to the right as it rolls, by the height of what leans.
fn gap(a: &Aircraft, p: &Params, state: &State, part: usize, c: &Considered) -> f64 {
    let part = &parts(a)[part];
    if part.low_m > c.top_m.unwrap_or(f64::INFINITY) || part.high_m < c.bottom_m {
        return f64::INFINITY;
    }
    let pose = state.pose(p);
    let (low, high) = c.shape.bounds();
    let away = |at: f64, low: f64, high: f64| (low - at).max(at - high);
    if away(pose.nose.x, low.x, high.x).max(away(pose.nose.y, low.y, high.y)) > 2.0 * a.reach_m() {
        return f64::INFINITY;
    }
    let wheel = part.name.ends_with("wheel");
    let z = if wheel { 0.0 } else { (part.low_m + part.high_m) / 2.0 };
    let lean = xy(-z * state.pitch_rad, -z * state.roll_rad);
    let place = |q: &Xy| pose.place(a.gear.wheelbase_m, *q + lean);
    let outline: Vec<Xy> = part.outline.iter().map(place).collect();
    match &c.shape {
        Shape::Disc { at, radius_m } => {
            let middle = Geometry::from(Point::new(at.x, at.y));
            (Euclidean.distance(&polygon(&outline), &middle) - radius_m).max(0.0)
        }
        Shape::Line { points } => Euclidean.distance(&polygon(&outline), &Geometry::from(ring(points))),
        Shape::Area { outer, .. } => Euclidean.distance(&polygon(&outline), &polygon(outer)),
    }
}

/// Every state of an attempt, the start first, driven again by the physics alone.
fn states(attempt: &Attempt) -> Vec<State> {
    let Environment { ground, air, .. } = attempt.environment;
    let p = attempt.environment.params(&attempt.aircraft);
    let mut list = vec![attempt.start.read().expect("a state")];
    for controls in attempt.inputs.iter() {
        list.push(step(&p, &ground, &air, list.last().expect("a state"), &controls));
    }
    list
}

fn of_kind(attempt: &Attempt, kind: EventKind) -> Vec<&Event> {
    attempt.events.iter().filter(|e| e.kind == kind).collect()
}

/// Toward the middle of the third wall of a building of the demo field, from so far away.
fn facing(outer: &[Xy], away_m: f64) -> Pose {
    let (a, b) = (outer[2], outer[3]);
    let mut out = Xy::unit((b - a).direction().turned(-std::f64::consts::FRAC_PI_2));
    if toeline_model::planar::signed_area(outer) < 0.0 {
        out = out * -1.0;
    }
    Pose {
        nose: a.lerp(b, 0.5) + out * away_m,
        heading_rad: (out * -1.0).direction(),
    }
}

#[test]
fn a_drive_into_a_hangar_is_told_once_with_part_place_and_tick() {
    let plan = planned("trainer-high-2", "4", "calm");
    let (a, way) = (&plan.request.aircraft, way(&plan));
    let p = Params::from_aircraft(a);
    let standing = surroundings::standing(&plan, way);
    let hangar = standing
        .iter()
        .find(|c| c.name.contains("Hangar 4"))
        .expect("on the map");
    let Shape::Area { outer, .. } = &hangar.shape else {
        panic!("{:?}", hangar.shape)
    };
    let start = State::parked(&p, facing(outer, 12.0));
    let drive = |end: u64, around: Option<Arc<Surroundings>>| {
        let script = Script::parse(&format!("at 0 throttle 0.5\nat 600 throttle 0.2\nend {end}")).expect("sound");
        run_script_among(a, Environment::default(), around, &start, &script)
    };
    // All parts against all that stands there, at all ticks, without the physics knowing of it: which touch first when.
    let blind = drive(2400, None);
    let mut firsts: Vec<(u64, &str, &str)> = Vec::new();
    let list = parts(a);
    let driven = states(&blind);
    for (tick, state) in driven.iter().enumerate() {
        for (k, part) in list.iter().enumerate() {
            for c in standing.iter().filter(|c| gap(a, &p, state, k, c) == 0.0) {
                if !firsts
                    .iter()
                    .any(|(_, part_was, was)| *part_was == part.name && *was == c.name)
                {
                    firsts.push((tick as u64, &part.name, &c.name));
                }
            }
        }
    }
    let (tick, part, thing) = firsts[0];
    let state = driven[tick as usize];
    assert_eq!((part, thing), ("propeller", "Hangar 4 (hangar-4)"));

    let attempt = drive(tick + 6, Some(Arc::new(surroundings::of(&plan, way))));
    let told = of_kind(&attempt, EventKind::TouchedObstacle);
    assert_eq!(told.len(), 1, "{told:?}");
    let event = told[0];
    assert_eq!(
        (event.tick, event.part.as_deref(), event.thing.as_deref()),
        (tick, Some("propeller"), Some("Hangar 4 (hangar-4)"))
    );
    let speed = event.speed_mps.expect("a speed");
    assert!((speed - state.speed_mps()).abs() <= 0.0005, "{speed}");
    assert!(speed > 1.0, "it moved at {speed} m/s");
    let at = event.at.expect("a place");
    let off = Euclidean.distance(&Geometry::from(Point::new(at.x, at.y)), &Geometry::from(ring(outer)));
    // Between the corner that was in first and the wall: no farther than it moves in a tick.
    assert!(off < speed / 240.0 + 0.001, "{off} m off the wall");
    assert!(
        of_kind(
            &drive(tick - 1, Some(Arc::new(surroundings::of(&plan, way)))),
            EventKind::TouchedObstacle
        )
        .is_empty()
    );
    println!("{}: tick {tick}, x {:.3} y {:.3}", event.text, at.x, at.y);
}

fn along_x(nose: Xy) -> Pose {
    Pose {
        nose,
        heading_rad: Yaw::from_rad(0.0),
    }
}

fn fence(name: &str, points: &[Xy]) -> Thing {
    Thing {
        name: name.into(),
        solids: vec![Solid {
            shape: Shape::Line {
                points: points.to_vec(),
            },
            bottom_m: 0.0,
            top_m: None,
        }],
    }
}

/// Rolls the trainer along a line by its states alone: straight east at 4 m/s, `side(t)` metres to the left at second t.
fn rolled(around: Surroundings, seconds: u64, side: impl Fn(f64) -> f64) -> Attempt {
    let a = catalog::find("trainer-high-2").expect("built in");
    let p = Params::from_aircraft(&a);
    let at = |tick: u64| {
        let t = tick as f64 / 240.0;
        State {
            tick,
            ..State::parked(&p, along_x(xy(4.0 * t, side(t))))
        }
    };
    let mut recorder = Recorder::new(&a, Environment::default(), &at(0), None).among(Arc::new(around));
    for tick in 1..=seconds * 240 {
        recorder.push(&Default::default(), &at(tick)).expect("in order");
    }
    recorder.finish()
}

#[test]
fn a_contact_that_lasts_is_told_once_and_told_again_only_after_a_whole_second_clear() {
    // The left wing tip is 5.05 m to the left.
    let line = [xy(-100.0, 5.5), xy(500.0, 5.5)];
    let around = || Surroundings::new(&[fence("the fence", &line)], &[]);
    let ticks = |side: &dyn Fn(f64) -> f64| -> Vec<u64> {
        let attempt = rolled(around(), 12, side);
        let told = of_kind(&attempt, EventKind::TouchedObstacle);
        for event in &told {
            assert_eq!(
                (event.part.as_deref(), event.thing.as_deref()),
                (Some("left wing"), Some("the fence"))
            );
        }
        told.iter().map(|e| e.tick).collect()
    };
    assert_eq!(ticks(&|_| 0.4), Vec::<u64>::new());
    // It rubs along and rocks: on and off ten times a second.
    assert_eq!(
        ticks(&|t| if t < 2.0 { 0.4 } else { 0.46 + 0.05 * (63.0 * t).sin() }).len(),
        1
    );
    // Clear for 0.9 s, then for 1.1 s.
    assert_eq!(ticks(&|t| if (3.0..3.9).contains(&t) { 0.4 } else { 0.5 }), [1]);
    assert_eq!(ticks(&|t| if (3.0..4.1).contains(&t) { 0.4 } else { 0.5 }), [1, 984]);
}

#[test]
fn each_wheel_is_told_when_it_leaves_the_pavement_and_when_it_is_back() {
    let strip = Pavement::Strip {
        line: vec![xy(-100.0, 0.0), xy(500.0, 0.0)],
        width_m: 8.0,
    };
    // To 6 m left of the middle and back, half a metre a second.
    let attempt = rolled(Surroundings::new(&[], &[strip]), 24, |t| 6.0 - (t - 12.0).abs() / 2.0);
    let got: Vec<(EventKind, &str, f64)> = attempt
        .events
        .iter()
        .map(|e| (e.kind, e.part.as_deref().unwrap_or(""), e.tick as f64 / 240.0))
        .collect();
    let half = (attempt.aircraft.gear.track_m + attempt.aircraft.gear.main_tyre_width_m) / 2.0;
    // Off with the outside of the tyre at 4 m; back when it is 0.1 m inside.
    let (off, back) = (|out: f64| 2.0 * (4.0 - out), |out: f64| 24.0 - 2.0 * (3.9 - out));
    let want = [
        (EventKind::LeftPavement, "left main wheel", off(half)),
        (EventKind::LeftPavement, "nose wheel", off(0.0)),
        (EventKind::LeftPavement, "right main wheel", off(-half)),
        (EventKind::BackOnPavement, "right main wheel", back(-half)),
        (EventKind::BackOnPavement, "nose wheel", back(0.0)),
        (EventKind::BackOnPavement, "left main wheel", back(half)),
    ];
    assert_eq!(got.len(), want.len(), "{got:?}");
    for (got, want) in got.iter().zip(want) {
        assert_eq!((got.0, got.1), (want.0, want.1));
        assert!((got.2 - want.2).abs() < 0.01, "{got:?} instead of {want:?}");
    }
    // The place is the wheel's own.
    let first = attempt.events[0].at.expect("a place");
    assert!((first.y - 4.0).abs() < 0.005, "{first:?}");
    // Along the very edge it is told once, not at every sway.
    let strip = Pavement::Strip {
        line: vec![xy(-100.0, 0.0), xy(500.0, 0.0)],
        width_m: 8.0,
    };
    let edge = 4.0 - half;
    let sway = rolled(Surroundings::new(&[], &[strip]), 10, |t| edge + 0.04 * (9.0 * t).sin());
    assert_eq!(of_kind(&sway, EventKind::LeftPavement).len(), 1, "{:?}", sway.events);
}

#[test]
fn a_real_drive_off_the_pavement_is_told_by_the_wheel_that_is_first() {
    let a = catalog::find("trainer-high-2").expect("built in");
    let p = Params::from_aircraft(&a);
    let strip = |width_m| Pavement::Strip {
        line: vec![xy(-20.0, 0.0), xy(200.0, 0.0)],
        width_m,
    };
    let script = Script::parse("at 0 throttle 0.7\nat 900 rudder 0.5\nend 1800").expect("sound");
    let around = Arc::new(Surroundings::new(&[], &[strip(7.5)]));
    let start = State::parked(&p, along_x(xy(0.0, 0.0)));
    let attempt = run_script_among(&a, Environment::default(), Some(around), &start, &script);
    let told = of_kind(&attempt, EventKind::LeftPavement);
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(of_kind(&attempt, EventKind::BackOnPavement).is_empty());
    let half = (a.gear.track_m + a.gear.main_tyre_width_m) / 2.0;
    for (name, own) in [
        ("nose wheel", xy(a.gear.wheelbase_m, 0.0)),
        ("left main wheel", xy(0.0, half)),
        ("right main wheel", xy(0.0, -half)),
    ] {
        let first = states(&attempt)
            .iter()
            .position(|s| s.pose(&p).place(a.gear.wheelbase_m, own).y.abs() > 3.75);
        let event = told.iter().find(|e| e.part.as_deref() == Some(name)).expect(name);
        assert_eq!(Some(event.tick), first.map(|t| t as u64), "{name}");
    }
}

#[test]
fn the_same_inputs_give_the_same_events_again() {
    let plan = planned("trainer-high-2", "4", "240/12G20T");
    let way = way(&plan);
    let script = "at 0 throttle 0.7\nat 900 rudder -0.8\nend 3600";
    let drive = || {
        toeline_training::journey::drive_by_script(&plan, way, script, Default::default(), serde_json::Value::Null)
            .expect("sound")
    };
    let attempt = drive();
    attempt.replay().expect("replays");
    assert!(
        !of_kind(&attempt, EventKind::LeftPavement).is_empty(),
        "{:?}",
        attempt.events
    );
    assert!(
        !of_kind(&attempt, EventKind::TouchedObstacle).is_empty(),
        "{:?}",
        attempt.events
    );
    let environment = attempt.environment;
    let p = environment.params(&attempt.aircraft);
    let mut state = attempt.start.read().expect("a state");
    let mut again =
        Recorder::new(&attempt.aircraft, environment, &state, None).among(Arc::new(surroundings::of(&plan, way)));
    for controls in attempt.inputs.iter() {
        state = step(&p, &environment.ground, &environment.air, &state, &controls);
        again.push(&controls, &state).expect("in order");
    }
    assert_eq!(again.finish().events, attempt.events);
    let back = Attempt::from_json(&attempt.to_json().expect("writes")).expect("reads");
    assert_eq!(back.events, attempt.events);
}
