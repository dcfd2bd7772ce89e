//! Measures of what the program noted (looks, switches, the radio, the engine's verdict), of turns each way and of the
//! take-off roll: each on drives that do it, that do not, and that do not tell.

use crate::help::aeroplane;
use crate::made::{Moment, drive, east, found, note, of, value};
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::{Controls, Faults};
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::frame::{LonLat, xy};
use toeline_model::{DrivenPath, Pose, Yaw};
use toeline_training::EventKind::{Judged as Verdict, LiftedOff, Looked, Said, Switched, Told};
use toeline_training::measures::{Course, Judged, Line, Strip, sun};
use toeline_training::{Attempt, EventKind};

const SPEED_MPS: f64 = 4.0;

/// 200 m east; at 150 m a runway of 20 m lies across it, with its holding line at 130 m.
pub(crate) fn across_a_runway() -> Course {
    let aircraft = aeroplane();
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: Yaw::from_rad(0.0),
    };
    let mut path = DrivenPath::new(aircraft.gear.wheelbase_m, start);
    path.straight(start.heading_rad, 200.0, 0);
    let mut course = Course::along(path, &aircraft);
    course.runways = vec![strip(150.0)];
    course.lines = vec![line(130.0, false)];
    course
}

pub(crate) fn strip(x_m: f64) -> Strip {
    Strip {
        name: "runway 18/36".to_string(),
        line: vec![xy(x_m, -300.0), xy(x_m, 300.0)],
        half_m: 10.0,
    }
}

pub(crate) fn line(x_m: f64, is_end: bool) -> Line {
    Line {
        name: "A1".to_string(),
        at: xy(x_m, 0.0),
        ahead: xy(1.0, 0.0),
        stop_at_m: x_m - 2.0,
        is_end,
        guards_runway: true,
    }
}

/// Over the runway at a steady speed: past the line at 32.5 s.
pub(crate) fn crossing(events: &[(f64, EventKind, &str)]) -> Attempt {
    let mut attempt = drive(49.0, east(SPEED_MPS), |_| Controls::default());
    for (t, kind, thing) in events {
        note(&mut attempt, *t, *kind, None, thing);
    }
    attempt
}

const LOOKS: [(f64, EventKind, &str); 5] = [
    (0.0, Looked, "left"),
    (0.0, Looked, "right shoulder"),
    (25.0, Looked, "left"),
    (26.0, Looked, "right"),
    (27.0, Looked, "approach"),
];

#[test]
fn looks_are_asked_for_before_moving_and_before_a_runway() {
    let course = across_a_runway();
    let all = of(&crossing(&LOOKS), &course);
    assert_eq!(found(&all, "looked_both_ways").judged, Judged::Good);
    assert_eq!(value(found(&all, "looked_both_ways"), "due"), 2.0);
    assert_eq!(found(&all, "looked_at_approach").judged, Judged::Good);
    // Each look that is taken away is missed.
    for (k, key) in [
        (0, "looked_both_ways"),
        (1, "looked_both_ways"),
        (2, "looked_both_ways"),
        (3, "looked_both_ways"),
        (4, "looked_at_approach"),
    ] {
        let mut fewer = LOOKS.to_vec();
        fewer.remove(k);
        let all = of(&crossing(&fewer), &course);
        let m = found(&all, key);
        assert_eq!(
            (m.judged, value(m, "missed")),
            (Judged::WorkOn, 1.0),
            "without look {k}: {m:?}"
        );
        assert_eq!(m.spots.len(), 1, "{m:?}");
    }
    // Too early is not before the runway.
    let mut early = LOOKS.to_vec();
    early[4].0 = 5.0;
    assert_eq!(
        found(&of(&crossing(&early), &course), "looked_at_approach").judged,
        Judged::WorkOn
    );
    // Without any such event nothing is said; with others of them, no look is no look.
    let all = of(&crossing(&[]), &course);
    for key in [
        "looked_both_ways",
        "looked_at_approach",
        "permission",
        "read_back",
        "readings_judged",
        "lights",
    ] {
        assert_eq!(found(&all, key).judged, Judged::NotRecorded, "{key}");
    }
    let all = of(&crossing(&[(1.0, Said, "ready")]), &course);
    assert_eq!(found(&all, "looked_both_ways").judged, Judged::WorkOn);
    assert_eq!(found(&all, "looked_at_approach").judged, Judged::WorkOn);
}

#[test]
fn a_turn_asks_for_a_look_to_its_inside() {
    let (course, path) = bends();
    for (left, right, missed) in [("left", "right", 0.0), ("right", "right", 1.0), ("left", "left", 1.0)] {
        let mut attempt = along(&path, 3.0);
        note(&mut attempt, 0.0, Looked, None, "left");
        note(&mut attempt, 0.0, Looked, None, "right");
        // Into the first turn, to the left, 60 m along, and into the second, to the right.
        let second_s = course.turns[1].from_m / 3.0;
        note(&mut attempt, 60.0 / 3.0 - 1.0, Looked, None, left);
        note(&mut attempt, second_s - 1.0, Looked, None, right);
        let all = of(&attempt, &course);
        let m = found(&all, "looked_both_ways");
        assert_eq!(value(m, "missed"), missed, "{left} {right}: {m:?}");
    }
}

#[test]
fn onto_a_runway_only_permitted_or_announced_and_each_time_anew() {
    let course = across_a_runway();
    let judged = |events: &[(f64, EventKind, &str)]| {
        let all = of(&crossing(events), &course);
        (found(&all, "permission").judged, found(&all, "hold_lines").judged)
    };
    let (good, bad) = ((Judged::Good, Judged::Good), (Judged::WorkOn, Judged::WorkOn));
    assert_eq!(judged(&[(20.0, Told, "cross")]), good);
    assert_eq!(judged(&[(20.0, Told, "enter")]), good);
    assert_eq!(judged(&[(20.0, Said, "announce")]), good);
    assert_eq!(judged(&[(20.0, Said, "ready")]), bad);
    assert_eq!(judged(&[(20.0, Told, "cross"), (25.0, Told, "hold short")]), bad);
    assert_eq!(judged(&[(40.0, Told, "cross")]), bad);
    // Where somebody permits, announcing is no permission.
    assert_eq!(judged(&[(20.0, Said, "announce"), (5.0, Told, "hold short")]), bad);
    // Held, and told so.
    let mut held = drive(40.0, |t| east(SPEED_MPS)(t.min(30.0)), |_| Controls::default());
    note(&mut held, 5.0, Told, None, "hold short");
    let all = of(&held, &course);
    assert_eq!(found(&all, "permission").judged, Judged::Good);
    // The second runway needs its own permission.
    let mut two = across_a_runway();
    two.runways.insert(0, strip(60.0));
    let all = of(&crossing(&[(5.0, Told, "cross")]), &two);
    let m = found(&all, "permission");
    assert_eq!(
        (m.judged, value(m, "without"), value(m, "entered")),
        (Judged::WorkOn, 1.0, 2.0),
        "{m:?}"
    );
    let all = of(&crossing(&[(5.0, Told, "cross"), (25.0, Told, "cross")]), &two);
    assert_eq!(found(&all, "permission").judged, Judged::Good);
}

#[test]
fn what_was_told_is_read_back_in_time() {
    let course = across_a_runway();
    let judged = |events: &[(f64, EventKind, &str)]| found(&of(&crossing(events), &course), "read_back").judged;
    assert_eq!(
        judged(&[(10.0, Told, "hold short"), (12.0, Said, "read back")]),
        Judged::Good
    );
    assert_eq!(
        judged(&[(10.0, Told, "hold short"), (12.0, Said, "ready")]),
        Judged::WorkOn
    );
    assert_eq!(
        judged(&[(10.0, Told, "hold short"), (9.0, Said, "read back")]),
        Judged::WorkOn
    );
    assert_eq!(
        judged(&[(10.0, Told, "hold short"), (45.0, Said, "read back")]),
        Judged::WorkOn
    );
    assert_eq!(judged(&[(10.0, Said, "ready")]), Judged::LeftOut);
}

#[test]
fn lights_go_with_the_hour_and_with_the_runway() {
    let lights = |sun_deg: Option<f64>, on: &[(f64, &str, &str)]| {
        let mut course = across_a_runway();
        course.sun_deg = sun_deg;
        let mut attempt = crossing(&[]);
        for (t, part, thing) in on {
            note(&mut attempt, *t, Switched, Some(part), thing);
        }
        found(&of(&attempt, &course), "lights").clone()
    };
    let night = [(0.0, "navigation lights", "on"), (0.0, "taxi light", "on")];
    assert_eq!(lights(Some(-10.0), &night).judged, Judged::Good);
    assert_eq!(lights(Some(-10.0), &night[..1]).judged, Judged::WorkOn);
    assert_eq!(lights(Some(-10.0), &night[1..]).judged, Judged::WorkOn);
    // By day the runway asks for one in front, and the beacon is due always.
    assert_eq!(
        lights(Some(40.0), &[(20.0, "landing light", "on")]).judged,
        Judged::Good
    );
    assert_eq!(
        lights(Some(40.0), &[(20.0, "navigation lights", "on")]).judged,
        Judged::WorkOn
    );
    assert_eq!(
        lights(None, &[(20.0, "landing light", "on"), (30.0, "landing light", "off")]).judged,
        Judged::WorkOn
    );
    let off = lights(Some(40.0), &[(10.0, "beacon", "off"), (20.0, "taxi light", "on")]);
    assert!(
        off.judged == Judged::WorkOn && off.sentence.contains("beacon"),
        "{off:?}"
    );
    // The hour as the window notes it goes before that of the plan.
    let mut attempt = crossing(&[]);
    note(&mut attempt, 0.0, EventKind::Note, Some("time of day"), "dusk");
    note(&mut attempt, 0.0, Switched, Some("taxi light"), "on");
    let mut course = across_a_runway();
    course.sun_deg = Some(40.0);
    let dusk = found(&of(&attempt, &course), "lights").clone();
    assert!(
        dusk.judged == Judged::WorkOn && dusk.sentence.contains("navigation lights"),
        "{dusk:?}"
    );
    // Flaps are no lights.
    assert_eq!(
        lights(Some(40.0), &[(20.0, "flaps", "full")]).judged,
        Judged::NotRecorded
    );
}

#[test]
fn the_sun_stands_as_high_as_its_declination_says() {
    // At midday of the solstices 90 degrees less the latitude, and 23.44 more or less (the obliquity of the ecliptic).
    let at = |lat_deg: f64, day: &str, time: &str| {
        let place = LonLat { lon_deg: 0.0, lat_deg };
        sun::height_deg(place, Date::parse(day).unwrap(), TimeOfDay::parse(time).unwrap())
    };
    for (lat, day, height) in [
        (51.5, "2026-06-21", 38.5 + 23.44),
        (51.5, "2026-12-21", 38.5 - 23.44),
        (-33.9, "2026-12-21", 56.1 + 23.44),
        (0.0, "2026-03-20", 90.0),
    ] {
        let highest = (700..=745)
            .map(|m| at(lat, day, &format!("{:02}:{:02}", m / 60, m % 60)))
            .fold(f64::MIN, f64::max);
        assert!(
            (highest - height).abs() < 0.5,
            "{lat} {day}: {highest}, by declination {height}"
        );
    }
    // At the equinox it rises and sets at six, by the sun's own time.
    assert!(at(51.5, "2026-03-20", "05:45") < -2.0 && at(51.5, "2026-03-20", "06:30") > 2.0);
    assert!(at(51.5, "2026-06-21", "23:59") < -10.0);
}

/// Standing: magnetos, heat and idle one after the other, then away at 60 s, judged at 50 s.
pub(crate) fn checked(
    verdict: Option<&str>,
    skip: &str,
    break_it: impl Fn(&mut Attempt),
) -> toeline_training::measures::Measure {
    let mut course = across_a_runway();
    course.engine_check_m = Some(0.0);
    let between = |t: f64, a: f64, b: f64| (a..b).contains(&t);
    let at = |t: f64| -> Moment {
        let x = (t - 60.0).max(0.0) * SPEED_MPS;
        (xy(x, 0.0), Yaw::from_rad(0.0), if t > 60.0 { SPEED_MPS } else { 0.0 })
    };
    let held = |t: f64| Controls {
        throttle: match t {
            // 950 rpm and some: far from the check rpm.
            t if between(t, 5.0, 40.0) && skip == "power" => 0.25,
            t if between(t, 5.0, 40.0) || (skip == "idle" && t >= 40.0) => 0.6,
            _ => 0.0,
        },
        magnetos: match t {
            t if between(t, 10.0, 14.0) && skip != "left" => MagnetoSwitch::Left,
            t if between(t, 18.0, 22.0) && skip != "right" => MagnetoSwitch::Right,
            _ => MagnetoSwitch::Both,
        },
        carburettor_heat: if between(t, 26.0, 30.0) && skip != "heat" {
            1.0
        } else {
            0.0
        },
        ..Controls::default()
    };
    let mut attempt = drive(75.0, at, held);
    note(&mut attempt, 1.0, Looked, None, "left");
    if let Some(v) = verdict {
        note(&mut attempt, 50.0, Verdict, None, v);
    }
    break_it(&mut attempt);
    found(&of(&attempt, &course), "readings_judged").clone()
}

#[test]
fn a_faulty_engine_is_to_be_refused_and_a_sound_one_accepted() {
    let sound = |_: &mut Attempt| {};
    assert_eq!(checked(Some("fit"), "", sound).judged, Judged::Good);
    assert_eq!(checked(Some("unfit"), "", sound).judged, Judged::WorkOn);
    assert_eq!(checked(None, "", sound).judged, Judged::WorkOn);
    for (skip, word) in [
        ("power", "left magneto, right magneto, carburettor heat"),
        ("left", "left magneto"),
        ("right", "right magneto"),
        ("heat", "carburettor heat"),
        ("idle", "idle"),
    ] {
        let m = checked(Some("fit"), skip, sound);
        assert!(m.judged == Judged::WorkOn && m.sentence.contains(word), "{m:?}");
    }
    let faults: [fn(&mut Attempt); 3] = [
        |a| a.environment.faults.fouled_plug = [true, false],
        |a| a.environment.faults.dead_magneto = [false, true],
        |a| a.environment.faults.live_magneto = [false, true],
    ];
    // What breaks before the verdict counts; what breaks afterwards does not.
    for (time_s, judged) in [(8.0, Judged::WorkOn), (55.0, Judged::Good)] {
        let m = checked(Some("fit"), "", |a| {
            note(a, time_s, EventKind::Broke, None, "");
            let broke = a.events.iter_mut().find(|e| e.kind == EventKind::Broke).expect("noted");
            broke.faults = Some(Faults {
                dead_magneto: [true, false],
                ..Faults::default()
            });
        });
        assert_eq!(m.judged, judged, "{m:?}");
    }
    for fault in faults {
        assert_eq!(checked(Some("unfit"), "", fault).judged, Judged::Good);
        // Broken off at the first bad reading.
        assert_eq!(checked(Some("unfit"), "right", fault).judged, Judged::Good);
        let m = checked(Some("fit"), "", fault);
        assert!(m.judged == Judged::WorkOn && m.sentence.contains("magneto"), "{m:?}");
    }
}

/// 60 m on, a quarter turn to the left, 40 m, one to the right, 40 m to a holding line.
fn bends() -> (Course, DrivenPath) {
    let aircraft = aeroplane();
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: Yaw::from_rad(0.0),
    };
    let (east, north) = (start.heading_rad, start.heading_rad.turned(std::f64::consts::FRAC_PI_2));
    let mut path = DrivenPath::new(aircraft.gear.wheelbase_m, start);
    path.straight(east, 60.0, 0);
    path.arc(east, 12.0, std::f64::consts::FRAC_PI_2, 0);
    path.straight(north, 40.0, 0);
    path.arc(north, 12.0, -std::f64::consts::FRAC_PI_2, 0);
    path.straight(east, 40.0, 0);
    let mut course = Course::along(path.clone(), &aircraft);
    let end = path.end().nose;
    course.lines = vec![Line {
        at: end + xy(3.0, 0.0),
        stop_at_m: path.length_m(),
        ..line(0.0, true)
    }];
    (course, path)
}

fn along(path: &DrivenPath, speed_mps: f64) -> Attempt {
    let at = |t: f64| -> Moment {
        let pose = path.pose_at((t * speed_mps).min(path.length_m()));
        (pose.nose, pose.heading_rad, speed_mps)
    };
    drive(path.length_m() / speed_mps, at, |_| Controls::default())
}

#[test]
fn a_turn_each_way_at_taxi_speed_lets_the_heading_instruments_be_checked() {
    let (course, path) = bends();
    assert_eq!(course.turns.len(), 2, "{:?}", course.turns);
    let all = of(&along(&path, 3.0), &course);
    let m = found(&all, "headings_in_turns");
    assert_eq!(m.judged, Judged::Good, "{m:?}");
    assert!(
        (value(m, "left_deg") - 90.0).abs() < 10.0 && (value(m, "right_deg") - 90.0).abs() < 10.0,
        "{m:?}"
    );
    // At a crawl nothing can be seen on them.
    let all = of(&along(&path, 0.6), &course);
    assert_eq!(found(&all, "headings_in_turns").judged, Judged::WorkOn);
    // A way without turns cannot ask for them; a drive that makes them all the same has them.
    let straight = across_a_runway();
    let all = of(&crossing(&[]), &straight);
    assert_eq!(found(&all, "headings_in_turns").judged, Judged::LeftOut);
}

/// From standing on a runway that runs east, 2 m/s² to 25 m/s, with the nose wheel so far left of the centreline.
fn roll(off: impl Fn(f64) -> f64, throttle: f64) -> toeline_training::measures::Measure {
    let mut course = across_a_runway();
    course.lines.clear();
    course.runways = vec![Strip {
        name: "runway 09/27".to_string(),
        line: vec![xy(-20.0, 0.0), xy(600.0, 0.0)],
        half_m: 10.0,
    }];
    let at = |t: f64| -> Moment { (xy(t * t, off(t)), Yaw::from_rad(0.0), 2.0 * t) };
    let held = |_| Controls {
        throttle,
        ..Controls::default()
    };
    let mut attempt = drive(12.5, at, held);
    note(&mut attempt, 12.5, LiftedOff, None, "");
    let all = of(&attempt, &course);
    if throttle > 0.9 {
        // Lifting off at the end of a roll is no mishap.
        assert_eq!(found(&all, "stayed_on_wheels").judged, Judged::Good);
        assert_eq!(found(&all, "speed").judged, Judged::Good);
    } else {
        assert_eq!(found(&all, "stayed_on_wheels").judged, Judged::WorkOn);
    }
    found(&all, "take_off_roll").clone()
}

#[test]
fn a_take_off_roll_is_held_against_the_centreline() {
    let m = roll(|_| 0.4, 1.0);
    assert_eq!(m.judged, Judged::Good, "{m:?}");
    assert!(
        (value(&m, "mean_m") - 0.4).abs() < 1e-6 && value(&m, "wander_m") < 1e-6,
        "{m:?}"
    );
    assert!((value(&m, "fastest_mps") - 25.0).abs() < 0.2, "{m:?}");
    let m = roll(|t| -0.25 * t, 1.0);
    assert!(m.judged == Judged::WorkOn && m.sentence.contains("right"), "{m:?}");
    // Without power it is no take-off.
    assert_eq!(roll(|_| 0.4, 0.2).judged, Judged::LeftOut);
}
