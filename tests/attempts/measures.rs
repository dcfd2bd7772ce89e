//! Measures on hand-made tracks with known answers, and against numpy and scipy on the same series.

use crate::help::aeroplane;
use crate::made::{self, drive, found, value};
use crate::python;
use serde_json::json;
use toeline_dynamics::Controls;
use toeline_model::frame::xy;
use toeline_model::{DrivenPath, Pose, Yaw};
use toeline_training::Attempt;
use toeline_training::measures::{Course, Judged, Measure, stats};

const LENGTH_M: f64 = 200.0;
const SPEED_MPS: f64 = 4.0;

fn straight() -> Course {
    let aircraft = aeroplane();
    let start = Pose {
        nose: xy(0.0, 0.0),
        heading_rad: Yaw::from_rad(0.0),
    };
    let mut path = DrivenPath::new(aircraft.gear.wheelbase_m, start);
    path.straight(start.heading_rad, LENGTH_M, 0);
    Course::along(path, &aircraft)
}

/// A track at a steady speed along the x axis with the nose wheel at `offset(x)`, and controls `held(x)`.
fn track(offset: impl Fn(f64) -> f64, held: impl Fn(f64) -> Controls) -> Attempt {
    let at = |t: f64| {
        let x = t * SPEED_MPS;
        (xy(x, offset(x)), Yaw::from_rad(0.0), SPEED_MPS)
    };
    drive(LENGTH_M / SPEED_MPS, at, |t| held(t * SPEED_MPS))
}

fn of(attempt: &Attempt) -> Vec<Measure> {
    made::of(attempt, &straight())
}

#[test]
fn a_sine_of_known_size_and_length_is_measured_as_such() {
    for (size, length) in [(0.4, 25.0), (0.25, 12.0)] {
        let all = of(&track(
            |x| size * (x * std::f64::consts::TAU / length).sin(),
            |_| Controls::default(),
        ));
        let weave = found(&all, "weave");
        assert_eq!(weave.judged, Judged::WorkOn, "{weave:?}");
        assert!((value(weave, "size_m") - size).abs() < 0.01, "{weave:?}");
        assert!((value(weave, "length_m") - length).abs() < 0.03 * length, "{weave:?}");
        let path = found(&all, "path");
        // The nose wheel rolls a little farther than the way: a part in a hundred.
        assert!(
            (value(path, "rms_m") - size / 2.0_f64.sqrt()).abs() < 0.02 * size,
            "{path:?}"
        );
        assert!((value(path, "most_m") - size).abs() < 0.005, "{path:?}");
    }
}

#[test]
fn a_steady_offset_is_no_wander_and_no_weave() {
    for offset in [0.5, -0.5, 0.2] {
        let all = of(&track(|_| offset, |_| Controls::default()));
        let steady = found(&all, "steady_offset");
        assert!((value(steady, "mean_m") - offset).abs() < 1e-6, "{steady:?}");
        assert!(value(steady, "wander_m") < 1e-6, "{steady:?}");
        let wanted = if offset.abs() > 0.3 {
            Judged::WorkOn
        } else {
            Judged::Good
        };
        assert_eq!(steady.judged, wanted, "{steady:?}");
        assert_eq!(found(&all, "weave").judged, Judged::Good);
        let side = if offset < 0.0 { "right" } else { "left" };
        assert!(steady.sentence.contains(side), "{steady:?}");
    }
}

#[test]
fn feet_and_hands_are_counted_to_the_second() {
    let between = |x: f64, a: f64, b: f64| (a..b).contains(&x);
    let all = of(&track(
        |x| if x > 150.0 { -0.6 } else { 0.0 },
        |x| Controls {
            // Power against both brakes for 5 s; the left brake with half a pedal for 4 s; the yoke for a wheel for 3 s.
            throttle: if between(x, 40.0, 60.0) { 0.4 } else { 0.0 },
            right_brake: if between(x, 40.0, 60.0) { 0.5 } else { 0.0 },
            left_brake: if between(x, 40.0, 60.0) || between(x, 100.0, 116.0) {
                0.5
            } else {
                0.0
            },
            rudder: if between(x, 100.0, 116.0) { -0.5 } else { 0.0 },
            aileron: if between(x, 160.0, 172.0) { -0.8 } else { 0.0 },
            ..Controls::default()
        },
    ));
    let against = found(&all, "power_against_brake");
    assert!((value(against, "against_s") - 5.0).abs() < 0.11, "{against:?}");
    assert_eq!(against.judged, Judged::WorkOn);
    let first = found(&all, "steering_first");
    assert!((value(first, "early_s") - 4.0).abs() < 0.11, "{first:?}");
    let brakes = found(&all, "brake_use");
    assert!(
        (value(brakes, "left_s") - 9.0).abs() < 0.11 && (value(brakes, "right_s") - 5.0).abs() < 0.11,
        "{brakes:?}"
    );
    assert_eq!(value(brakes, "presses"), 2.0);
    // Right of the line, the way back is to the left.
    let yoke = found(&all, "yoke_to_steer");
    assert_eq!((yoke.judged, value(yoke, "times")), (Judged::WorkOn, 1.0), "{yoke:?}");
    // What a replay alone could tell is left out, with the reason.
    let heat = found(&all, "brake_heat");
    assert!(
        heat.judged == Judged::LeftOut && heat.sentence.contains("physics version 0"),
        "{heat:?}"
    );
    assert_eq!(found(&all, "lights").judged, Judged::NotRecorded);
    assert!(all.iter().all(|m| !m.reference.is_empty()));
}

#[test]
fn statistics_agree_with_numpy_and_scipy() {
    let Some(python) = python::python() else { return };
    // Waves of no common length, with unequal weights.
    let values: Vec<f64> = (0..700)
        .map(|k| f64::from(k) * 0.1)
        .map(|x| 0.3 * (x * 0.7).sin() + 0.17 * (x * 1.9 + 1.0).sin() + 0.05 * (x * 5.3).cos() + 0.04)
        .collect();
    let weighed: Vec<(f64, f64)> = values
        .iter()
        .enumerate()
        .map(|(k, v)| (*v, 0.1 + 0.01 * (k % 7) as f64))
        .collect();
    let answer = python::answer(
        &python,
        "measures.py",
        &json!({ "weighed": weighed, "share": 0.95, "least": 0.1 }),
    );
    let (mean, spread) = stats::mean_and_spread(&weighed).unwrap();
    let sized: Vec<(f64, f64)> = weighed.iter().map(|(v, w)| (v.abs(), *w)).collect();
    for (name, own) in [
        ("mean", mean),
        ("spread", spread),
        ("rms", stats::root_mean_square(&weighed).unwrap()),
        ("within", stats::share_within(&sized, 0.95).unwrap()),
    ] {
        let theirs = answer[name].as_f64().unwrap();
        assert!((own - theirs).abs() < 1e-9, "{name}: {own}, theirs {theirs}");
    }
    let own: Vec<u64> = stats::turning_points(&values, 0.1).iter().map(|i| *i as u64).collect();
    let theirs: Vec<u64> = answer["turning"]
        .as_array()
        .unwrap()
        .iter()
        .map(|i| i.as_u64().unwrap())
        .collect();
    assert!(theirs.len() > 10, "{theirs:?}");
    assert_eq!(own, theirs);
}
