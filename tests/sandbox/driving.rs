//! Driven by raw key events alone: scripts of keys going down and up at exact ticks, produced by scripted feet and then played
//! to the window's core on the keyboard it reads, prove what can be driven with the keys as they are bound and felt.
//!
//! The keys are produced by scripted feet, see `key_script.rs`. What is measured is measured at every tick in the app that
//! plays the script, where no pilot is.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

mod key_script;

use bevy::prelude::*;
use key_script::{KeyScript, Moment, Played, play, scripted_feet};
use std::f64::consts::{FRAC_PI_2, PI};
use toeline_dynamics::TICK_S;
use toeline_model::aircraft::catalog;
use toeline_model::frame::xy;
use toeline_model::{Aircraft, Bearing, DrivenPath, Pose, Wind, Xy};
use toeline_sandbox::scene::{NamedStop, Scene};
use toeline_training::DrillKind;

/// Farthest that the nose wheel may be off in a turn, metres (the figure).
const TURN_OFF_M: f64 = 0.5;
/// Farthest that it may be off a straight line in a crosswind, metres (ours).
const STRAIGHT_OFF_M: f64 = 0.3;
/// Way after which that counts, metres: the start of the roll.
const STRAIGHT_FROM_M: f64 = 10.0;

/// The left toe brake's key.
const LEFT_TOE: KeyCode = KeyCode::KeyR;

impl Played {
    /// Farthest and root mean square distance of the nose wheel off the path, metres, between two ways.
    fn off_m(&self, from_m: f64, to_m: f64) -> (f64, f64) {
        let there = |m: &&Moment| (from_m..=to_m).contains(&m.way_m);
        let (mut most, mut squares, mut whole) = (0.0_f64, 0.0, 0.0);
        let mut before: Option<Xy> = None;
        for m in self.moments.iter().filter(there) {
            // Each place weighs the metres rolled to it, so that standing still does not count.
            let rolled = before.replace(m.nose).map_or(0.0, |b| b.distance(m.nose));
            most = most.max(m.off_m.abs());
            squares += m.off_m * m.off_m * rolled;
            whole += rolled;
        }
        (most, (squares / whole).sqrt())
    }

    /// What was seen between two ways.
    fn between(&self, from_m: f64, to_m: f64) -> impl Iterator<Item = &Moment> {
        self.moments.iter().filter(move |m| (from_m..=to_m).contains(&m.way_m))
    }

    /// Most that the left brake was pressed beyond the right one between two ways, and the right one beyond the left.
    fn one_sided(&self, from_m: f64, to_m: f64) -> [f64; 2] {
        self.between(from_m, to_m).fold([0.0; 2], |[l, r], m| {
            let more = m.controls.left_brake - m.controls.right_brake;
            [l.max(more), r.max(-more)]
        })
    }

    /// Radius of the circle through three places of a bend, a sixth, a half and five sixths along, metres.
    fn radius_m(&self, from_m: f64, length_m: f64) -> f64 {
        let at = |share: f64| {
            let seen = self.moments.iter().find(|m| m.way_m >= from_m + share * length_m);
            seen.expect("driven to there").nose
        };
        let (a, b, c) = (at(1.0 / 6.0), at(0.5), at(5.0 / 6.0));
        let (u, v) = (b - a, c - a);
        a.distance(b) * b.distance(c) * c.distance(a) / (2.0 * (u.x * v.y - u.y * v.x).abs())
    }
}

fn aeroplane(id: &str) -> Aircraft {
    catalog::find(id).expect("a built-in aeroplane")
}

/// A straight, a quarter turn to the left of a radius and a straight on the practice apron, in calm air.
fn quarter_turn(aircraft: Aircraft, radius_m: f64) -> Scene {
    let east = Bearing::from_deg(90.0).yaw();
    let start = Pose {
        nose: xy(-25.0, -10.0),
        heading_rad: east,
    };
    let mut path = DrivenPath::new(aircraft.gear.wheelbase_m, start);
    path.straight(east, 25.0, 0);
    path.arc(east, radius_m, FRAC_PI_2, 0);
    path.straight(east.turned(FRAC_PI_2), 20.0, 0);
    let mut scene = Scene::from_drill(DrillKind::StraightLine, aircraft, &Wind::Calm);
    scene.stops = vec![NamedStop {
        at_m: path.length_m(),
        name: "end".into(),
    }];
    scene.path = path;
    scene.title = format!("quarter turn of {radius_m:.2} m");
    scene
}

/// Scripted feet drive a scene; the keys played to the core have to lead to the very same state.
fn drive(scene: &Scene) -> (KeyScript, Played) {
    let script = scripted_feet(scene);
    let played = play(scene, &script.events, script.ticks);
    let last = played.last.expect("driven");
    assert_eq!(last.first_difference(&script.last), None);
    assert_eq!(last.hash(), script.last.hash());
    let end = scene.path.length_m();
    let short = end - played.moments.last().expect("driven").way_m;
    assert!(short.abs() < 0.5, "{short:.2} m short of the end");
    println!(
        "{}, {}: {:.1} m in {:.1} s, {} key events",
        scene.aircraft.id,
        scene.title,
        end,
        script.ticks as f64 * TICK_S,
        script.events.len()
    );
    (script, played)
}

fn quarter_turn_by_keys(id: &str, radius_share: f64) {
    let a = aeroplane(id);
    let radius_m = radius_share * a.tightest_radius_m();
    assert!(radius_m < a.steering_radius_m(), "pedals alone would do");
    let scene = quarter_turn(a, radius_m);
    let (script, played) = drive(&scene);
    let (most_m, rms_m) = played.off_m(0.0, scene.path.length_m());
    let (turn, on) = (&scene.path.pieces[1], &scene.path.pieces[2]);
    let [left, right] = played.one_sided(turn.from_m, on.from_m);
    println!(
        "  radius {radius_m:.2} m, tightest {:.2} m: largest {most_m:.3} m, RMS {rms_m:.3} m off; inside brake up to \
         {left:.2} more than outside, outside {right:.2} more",
        scene.aircraft.tightest_radius_m()
    );
    assert!(most_m < TURN_OFF_M, "{most_m:.3} m off");
    assert!(left > 0.1 && right < left, "left {left:.2}, right {right:.2}");
    // The same keys without the left toe in the turn do not make it.
    let begins = played.moments.iter().position(|m| m.way_m > turn.from_m - 2.0);
    let begins = begins.expect("came to the turn") as u64;
    let mut without = script.events.clone();
    without.retain(|e| !(e.key == LEFT_TOE && e.down && e.tick >= begins));
    assert!(without.len() < script.events.len());
    let wide = play(&scene, &without, script.ticks);
    let (wide_m, _) = wide.off_m(0.0, scene.path.length_m());
    println!("  without the inside brake: {wide_m:.1} m off");
    assert!(wide_m > 2.0 * TURN_OFF_M, "{wide_m:.3} m off without the inside brake");
}

fn pivot_by_keys(id: &str) {
    let scene = Scene::from_drill(DrillKind::RollingPivot, aeroplane(id), &Wind::Calm);
    let (_, played) = drive(&scene);
    let (most_m, rms_m) = played.off_m(0.0, scene.path.length_m());
    println!("  largest {most_m:.3} m, RMS {rms_m:.3} m off");
    // Half a turn each.
    let want_m = scene.path.pieces[1].length_m / PI;
    for (bend, inside) in [(&scene.path.pieces[1], 0), (&scene.path.pieces[3], 1)] {
        let (from_m, to_m) = (bend.from_m, bend.from_m + bend.length_m);
        let brakes = played.one_sided(from_m, to_m);
        let driven_m = played.radius_m(from_m, bend.length_m);
        println!(
            "  radius {driven_m:.2} m, the path's {want_m:.2} m; left brake up to {:.2} more than right, right {:.2} more than left",
            brakes[0], brakes[1]
        );
        assert!(brakes[inside] > 0.1, "no inside brake: {brakes:?}");
        assert!((driven_m - want_m).abs() < TURN_OFF_M, "radius {driven_m:.2} m");
    }
    assert!(most_m < TURN_OFF_M, "{most_m:.3} m off");
    for m in &played.moments {
        let locked = m.telemetry.wheels.map(|w| w.locked);
        assert_eq!(locked, [false; 3], "a wheel locks at {:.1} m", m.way_m);
    }
}

fn crosswind_by_keys(id: &str) {
    // The line leads east: 10 kt from the left.
    let wind = Wind::parse("360/10T").expect("a wind");
    let scene = Scene::from_drill(DrillKind::StraightLine, aeroplane(id), &wind);
    let (script, played) = drive(&scene);
    let to_m = STRAIGHT_FROM_M + 150.0;
    assert!(scene.path.length_m() > to_m);
    let (most_m, rms_m) = played.off_m(STRAIGHT_FROM_M, to_m);
    let aileron = played.between(STRAIGHT_FROM_M, to_m).map(|m| m.controls.aileron);
    let least_into = aileron.fold(f64::NEG_INFINITY, f64::max);
    println!("  largest {most_m:.3} m, RMS {rms_m:.3} m off; aileron {least_into:.2} at most (left is negative)");
    assert!(most_m < STRAIGHT_OFF_M, "{most_m:.3} m off");
    // The feet work against that wind: in calm air the same keys lead elsewhere.
    let calm = Scene::from_drill(DrillKind::StraightLine, aeroplane(id), &Wind::Calm);
    let (calm_m, _) = play(&calm, &script.events, script.ticks).off_m(0.0, to_m);
    println!("  the same keys in calm air: {calm_m:.1} m off");
    assert!(calm_m > 3.0 * STRAIGHT_OFF_M, "{calm_m:.3} m off in calm air");
    assert!(least_into < -0.95, "aileron {least_into:.2}: not held into the wind");
    assert!(script.events.iter().any(|e| e.key == KeyCode::KeyZ && e.down));
}

#[test]
fn a_quarter_turn_with_inside_brake_stays_within_half_a_metre_of_the_path() {
    quarter_turn_by_keys("trainer-high-2", 1.15);
}

#[test]
fn so_does_one_of_an_aeroplane_that_steers_by_brakes_alone() {
    quarter_turn_by_keys("caster-low-2", 1.15);
}

#[test]
fn a_rolling_pivot_keeps_its_radius_and_no_wheel_locks() {
    pivot_by_keys("trainer-high-2");
}

#[test]
fn so_it_does_with_a_free_caster() {
    pivot_by_keys("caster-low-2");
}

#[test]
fn a_straight_line_is_held_in_a_crosswind_of_ten_knots() {
    crosswind_by_keys("trainer-high-2");
}

#[test]
fn so_it_is_with_a_free_caster() {
    crosswind_by_keys("caster-low-2");
}
