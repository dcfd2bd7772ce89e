//! Drives that once passed for good, or for bad, and were neither: what a careful reader found, each held fast.

use crate::help::aeroplane;
use crate::made::{Moment, drive, east, found, note, of, value};
use crate::measures_noted::{across_a_runway, checked, crossing, line, strip};
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::{Controls, Faults};
use toeline_engine::route::StopKind;
use toeline_model::frame::xy;
use toeline_model::{Bearing, DrivenPath, Pose, Yaw};
use toeline_training::EventKind::{BrakeLocked, Broke, EngineStopped, Judged as Verdict, Looked, Reset, Said, Told};
use toeline_training::exercise::ids;
use toeline_training::measures::{Course, Judged, Measure, PlannedCheck, Strip};
use toeline_training::pilot::TaskStop;
use toeline_training::{Attempt, DrillKind, Environment, EventKind, drills};

fn one(attempt: &Attempt, course: &Course, key: &str) -> Measure {
    found(&of(attempt, course), key).clone()
}

#[test]
fn leave_for_one_runway_opens_no_line_of_another() {
    let mut two = across_a_runway();
    two.runways.insert(0, strip(60.0));
    two.lines.insert(0, line(40.0, false));
    let over = |events: &[(f64, EventKind, &str)]| one(&crossing(events), &two, "hold_lines");
    let once = over(&[(5.0, Told, "cross")]);
    assert_eq!(
        (once.judged, value(&once, "lines_crossed")),
        (Judged::WorkOn, 1.0),
        "{once:?}"
    );
    assert!((once.spots[0].way_m - 130.0).abs() < 5.0, "{once:?}");
    let twice = over(&[(5.0, Told, "cross"), (25.0, Told, "cross")]);
    assert_eq!(twice.judged, Judged::Good, "{twice:?}");
}

/// A runway along the way from 100 m on, with its line at 80 m.
fn along_a_runway(to_m: f64) -> Course {
    let mut course = across_a_runway();
    course.runways = vec![Strip {
        line: vec![xy(100.0, 0.0), xy(to_m, 0.0)],
        ..strip(0.0)
    }];
    course.lines = vec![line(80.0, false)];
    course
}

#[test]
fn leave_to_cross_is_none_to_take_off() {
    // Ended on it, lined up.
    let lined_up = |told: &str| crossing(&[(10.0, Told, told)]);
    // Rolled along it at 39 kt and left it at its end.
    let rolled = |told: &str| {
        let full = |_| Controls {
            throttle: 1.0,
            ..Controls::default()
        };
        let mut attempt = drive(9.8, east(20.0), full);
        note(&mut attempt, 1.0, Told, None, told);
        attempt
    };
    for key in ["permission", "hold_lines"] {
        for (told, judged) in [("cross", Judged::WorkOn), ("enter", Judged::Good)] {
            let m = one(&lined_up(told), &along_a_runway(600.0), key);
            assert_eq!(m.judged, judged, "{told}: {m:?}");
            let m = one(&rolled(told), &along_a_runway(180.0), key);
            assert_eq!(m.judged, judged, "{told}: {m:?}");
        }
    }
}

#[test]
fn a_sick_engine_once_called_fit_stays_called_fit() {
    let sick = |a: &mut Attempt| {
        a.environment.faults = Faults {
            dead_magneto: [false, true],
            ..Faults::default()
        };
    };
    let m = checked(Some("unfit"), "", |a| {
        sick(a);
        note(a, 45.0, Verdict, None, "fit");
    });
    assert_eq!(m.judged, Judged::WorkOn, "{m:?}");
    assert_eq!(checked(Some("unfit"), "", sick).judged, Judged::Good);
}

#[test]
fn an_engine_that_stops_on_the_way_is_to_work_on_unless_something_broke() {
    let course = across_a_runway();
    let stopped = |events: &[(f64, EventKind, &str)]| one(&crossing(events), &course, "stayed_on_wheels").judged;
    assert_eq!(stopped(&[]), Judged::Good);
    assert_eq!(stopped(&[(20.0, EngineStopped, "")]), Judged::WorkOn);
    assert_eq!(stopped(&[(10.0, Broke, ""), (20.0, EngineStopped, "")]), Judged::Good);
    assert_eq!(stopped(&[(10.0, EngineStopped, ""), (20.0, Broke, "")]), Judged::WorkOn);
    // Shut down where it stands.
    let at = |t: f64| -> Moment {
        (
            xy(4.0 * t.min(10.0), 0.0),
            Yaw::from_rad(0.0),
            if t < 10.0 { 4.0 } else { 0.0 },
        )
    };
    let mut parked = drive(20.0, at, |_| Controls::default());
    note(&mut parked, 15.0, EngineStopped, None, "");
    assert_eq!(one(&parked, &course, "stayed_on_wheels").judged, Judged::Good);
}

#[test]
fn a_read_back_answers_one_telling_and_none_that_came_too_late() {
    let course = across_a_runway();
    let told = |events: &[(f64, EventKind, &str)]| one(&crossing(events), &course, "read_back");
    assert_eq!(told(&[(40.0, Told, "cross")]).judged, Judged::LeftOut);
    let (first, second) = ((10.0, Told, "hold short"), (12.0, Told, "cross"));
    let m = told(&[first, second, (14.0, Said, "read back")]);
    assert_eq!((m.judged, value(&m, "missed")), (Judged::WorkOn, 1.0), "{m:?}");
    let both = [first, second, (14.0, Said, "read back"), (16.0, Said, "read back")];
    assert_eq!(told(&both).judged, Judged::Good);
}

#[test]
fn who_stands_is_not_praised_for_rolling_well() {
    let course = across_a_runway();
    let standing = drive(
        10.0,
        |_| (xy(0.0, 0.0), Yaw::from_rad(0.0), 0.0),
        |_| Controls::default(),
    );
    for seconds in [standing, drive(0.0, east(0.0), |_| Controls::default())] {
        for key in [
            "locked_wheel",
            "power_against_brake",
            "stayed_on_wheels",
            "weave",
            "path",
        ] {
            assert_eq!(one(&seconds, &course, key).judged, Judged::LeftOut, "{key}");
        }
    }
    let apron = drills::build(DrillKind::FreeApron, &aeroplane(), None, 0.0);
    let apron = Course::of_drill(&apron, &aeroplane(), &Environment::default());
    for key in ["path", "steady_offset", "weave"] {
        let m = one(&crossing(&[]), &apron, key);
        assert_eq!(m.judged, Judged::LeftOut, "{m:?}");
    }
}

#[test]
fn ready_is_called_after_the_controls_have_been_moved() {
    let course = across_a_runway();
    let freed = |events: &[(f64, EventKind, &str)]| one(&crossing(events), &course, "controls_free");
    assert_eq!(freed(&[(20.0, Looked, "left")]).judged, Judged::Told);
    let m = freed(&[(20.0, Said, "ready")]);
    assert!(
        m.judged == Judged::WorkOn && m.sentence.contains("called ready"),
        "{m:?}"
    );
}

#[test]
fn one_brake_against_power_counts_unless_it_steers() {
    let course = across_a_runway();
    let against = |rudder: f64, left_brake: f64, right_brake: f64| {
        let held = |t: f64| Controls {
            throttle: 0.4,
            rudder,
            left_brake: if t < 5.0 { left_brake } else { 0.0 },
            right_brake: if t < 5.0 { right_brake } else { 0.0 },
            ..Controls::default()
        };
        one(&drive(20.0, east(4.0), held), &course, "power_against_brake").judged
    };
    assert_eq!(against(0.0, 0.0, 0.3), Judged::WorkOn);
    assert_eq!(against(0.0, 0.3, 0.0), Judged::WorkOn);
    assert_eq!(against(1.0, 0.0, 0.3), Judged::Good);
    assert_eq!(against(-1.0, 0.3, 0.0), Judged::Good);
    assert_eq!(against(-1.0, 0.0, 0.3), Judged::WorkOn);
    assert_eq!(against(1.0, 0.3, 0.3), Judged::WorkOn);
}

#[test]
fn what_comes_after_a_reset_is_another_drive() {
    let course = across_a_runway();
    let locked = |events: &[(f64, EventKind, &str)]| one(&crossing(events), &course, "locked_wheel").judged;
    assert_eq!(locked(&[(20.0, BrakeLocked, "")]), Judged::WorkOn);
    assert_eq!(locked(&[(10.0, Reset, ""), (20.0, BrakeLocked, "")]), Judged::Good);
}

#[test]
fn a_line_that_the_drive_began_beyond_is_not_its_fault() {
    let mut course = across_a_runway();
    for (line_m, judged) in [(-0.5, Judged::LeftOut), (30.0, Judged::WorkOn)] {
        course.lines = vec![line(line_m, false)];
        let m = one(&crossing(&[(1.0, Looked, "left")]), &course, "hold_lines");
        assert_eq!(m.judged, judged, "{m:?}");
    }
}

/// Power across the wind for 20 s, then a check with the nose at `heading_rad`; wind from the east.
fn check_at(heading_rad: f64, magnetos: bool, planned_deg: f64) -> Measure {
    let mut course = across_a_runway();
    course.check = Some(PlannedCheck {
        at_m: 0.0,
        wind_from: Bearing::from_deg(90.0),
        off_wind_deg: planned_deg,
    });
    let heading = |t: f64| {
        if t < 22.0 {
            std::f64::consts::FRAC_PI_2
        } else {
            heading_rad
        }
    };
    let held = |t: f64| Controls {
        throttle: match t {
            t if t < 20.0 => 0.3,
            t if t < 25.0 => 0.0,
            _ => 0.6,
        },
        magnetos: if magnetos && (27.0..30.0).contains(&t) {
            MagnetoSwitch::Left
        } else {
            MagnetoSwitch::Both
        },
        ..Controls::default()
    };
    one(
        &drive(35.0, |t| (xy(0.0, 0.0), Yaw::from_rad(heading(t)), 0.0), held),
        &course,
        "into_wind",
    )
}

#[test]
fn the_engine_check_is_where_the_magnetos_are_read() {
    let m = check_at(0.0, true, 0.0);
    assert!(m.judged == Judged::Good && value(&m, "off_wind_deg") < 1.0, "{m:?}");
    // Without them, where it stood longest.
    let m = check_at(0.0, false, 0.0);
    assert!(m.judged == Judged::WorkOn && value(&m, "off_wind_deg") > 89.0, "{m:?}");
    // A plan with the wind behind is no check into wind, however well it is followed.
    let m = check_at(std::f64::consts::PI, true, 162.0);
    assert!(
        m.judged == Judged::Told && m.sentence.contains("the plan itself is 162 degrees off"),
        "{m:?}"
    );
    assert_eq!(check_at(std::f64::consts::PI, true, 0.0).judged, Judged::WorkOn);
}

/// The nose wheel at `offset(x)` along so many metres of a line 1000 m long.
fn weaving(to_m: f64, offset: impl Fn(f64) -> f64) -> Measure {
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: Yaw::from_rad(0.0),
    };
    let mut path = DrivenPath::new(aeroplane().gear.wheelbase_m, start);
    path.straight(start.heading_rad, 1000.0, 0);
    let at = |t: f64| -> Moment { (xy(4.0 * t, offset(4.0 * t)), Yaw::from_rad(0.0), 4.0) };
    let attempt = drive(to_m / 4.0, at, |_| Controls::default());
    one(&attempt, &Course::along(path, &aeroplane()), "weave")
}

#[test]
fn swings_make_a_weave_by_the_hundred_metres() {
    let wave = |x: f64, length_m: f64| 0.4 * (x * std::f64::consts::TAU / length_m).sin();
    // One swing in 75 m is none, were it 13 of them in a kilometre.
    let m = weaving(990.0, |x| wave(x, 150.0));
    assert!(m.judged == Judged::Good && value(&m, "swings") > 10.0, "{m:?}");
    // A short weave is one, were the other 900 m straight, or wavering by a little.
    let burst = |x: f64| {
        if (400.0..480.0).contains(&x) {
            wave(x - 400.0, 20.0)
        } else {
            0.0
        }
    };
    let m = weaving(990.0, burst);
    assert_eq!(m.judged, Judged::WorkOn, "{m:?}");
    assert!(m.spots.iter().all(|s| (400.0..480.0).contains(&s.way_m)), "{m:?}");
    let m = weaving(990.0, |x| burst(x) + 0.06 * (x * std::f64::consts::TAU / 12.0).sin());
    assert_eq!(m.judged, Judged::WorkOn, "{m:?}");
    // Beyond the end of the line nothing is off it: no swing to a line that is not there.
    let m = weaving(1040.0, |x| if x > 1000.6 { 0.4 } else { wave(x, 150.0) });
    assert!(m.spots.is_empty() && m.judged == Judged::Good, "{m:?}");
    let before = weaving(1000.0, |x| wave(x, 150.0));
    assert_eq!(value(&m, "swings"), value(&before, "swings"), "{m:?}");
}

#[test]
fn brakes_are_tried_with_the_toes_and_hold() {
    let course = across_a_runway();
    let tried = |toes: f64, parking_brake: bool, slows: bool| {
        let slow = move |t: f64| if slows && t > 2.0 { 3.0 } else { 4.0 };
        let held = move |t: f64| Controls {
            left_brake: if (1.5..2.5).contains(&t) { toes } else { 0.0 },
            right_brake: if (1.5..2.5).contains(&t) { toes } else { 0.0 },
            parking_brake: parking_brake && (1.5..2.5).contains(&t),
            ..Controls::default()
        };
        let at = move |t: f64| (xy(4.0 * t, 0.0), Yaw::from_rad(0.0), slow(t));
        one(&drive(20.0, at, held), &course, "brake_check").judged
    };
    assert_eq!(tried(0.4, false, true), Judged::Good);
    assert_eq!(tried(0.4, false, false), Judged::WorkOn);
    assert_eq!(tried(0.0, true, true), Judged::WorkOn);
    assert_eq!(tried(0.0, false, true), Judged::WorkOn);
}

#[test]
fn a_stop_is_counted_once_however_often_it_was_too_fast() {
    let mut course = across_a_runway();
    course.task.stops = vec![TaskStop {
        kind: StopKind::HoldShort,
        name: "A1".to_string(),
        at_m: 100.0,
    }];
    course.runways.clear();
    // 12 m/s twice, 73 m short of rest by a tenth of gravity.
    let speed = |x: f64| {
        if (60.0..70.0).contains(&x) || (80.0..90.0).contains(&x) {
            12.0
        } else {
            1.0
        }
    };
    let at = |t: f64| (xy(4.0 * t, 0.0), Yaw::from_rad(0.0), speed(4.0 * t));
    let m = one(&drive(24.0, at, |_| Controls::default()), &course, "can_stop");
    assert_eq!(
        (m.judged, value(&m, "too_late"), m.spots.len()),
        (Judged::WorkOn, 1.0, 2),
        "{m:?}"
    );
    assert!(m.sentence.contains("before one stop"), "{m:?}");
}

#[test]
fn a_place_beyond_every_field_is_refused_with_its_figure() {
    for change in [
        (|a: &mut Attempt| a.track[3].nose.x = 1e308) as fn(&mut Attempt),
        |a| a.track[3].nose.y = -1e7,
        |a| a.track[3].speed_mps = f64::INFINITY,
    ] {
        let mut attempt = crossing(&[]);
        let sound = attempt.problems();
        assert!(sound.iter().all(|p| !p.contains("is outside -")), "{sound:?}");
        change(&mut attempt);
        let said = attempt.problems();
        let told = |p: &String| p.starts_with("track: ") && p.contains("of tick 36") && p.contains("is outside -");
        assert!(said.iter().any(told), "{said:?}");
    }
}

#[test]
fn what_is_to_be_practised_is_an_exercise_of_the_course() {
    let (ids, all) = (ids(), of(&crossing(&[]), &across_a_runway()));
    let without: Vec<&str> = all.iter().filter(|m| m.exercise.is_none()).map(|m| m.key).collect();
    assert_eq!(without, ["touched", "least_gap"], "the course has none for these");
    for m in all {
        assert!(
            m.exercise.is_none_or(|id| ids.iter().any(|i| i == id)),
            "{}: {:?}",
            m.key,
            m.exercise
        );
    }
}
