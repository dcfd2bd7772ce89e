//! What is told of each turn, against closed forms and the plain differential equation of a towed axle.

use super::apron::request;
use serde_json::json;
use std::f64::consts::FRAC_PI_2;
use toeline_engine::planning::{Outcome, Plan};
use toeline_engine::route::{Turn, TurnMeans};
use toeline_engine::{briefing, plan};
use toeline_model::Aircraft;
use toeline_tests::sketch::Sketch;

/// A lane west and, after a right angle to the left, south to the runway; a stand beside it, nose to the lane.
fn corner(width_m: Option<f64>) -> String {
    let lane = |letter: &str| {
        let mut p = json!({ "aeroway": "taxiway", "ref": letter, "surface": "asphalt" });
        if let Some(w) = width_m {
            p["width"] = json!(w);
        }
        p
    };
    Sketch::default()
        .runway("runway", "09/27", &[[-300.0, -200.0], [700.0, -200.0]])
        .line("A", &[[-40.0, 0.0], [300.0, 0.0]], lane("A"))
        .line("B", &[[-40.0, 0.0], [-40.0, -200.0]], lane("B"))
        .point(
            "stand",
            [250.0, 30.0],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 180 }),
        )
        .text()
}

/// A text without its line breaks.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn planned(aircraft: &str, width_m: Option<f64>) -> (Plan, Turn, Aircraft) {
    let mut asked = request("1", None);
    asked.aircraft = toeline_tests::lanes::built_in(aircraft);
    let plan = plan(&corner(width_m), &asked).unwrap();
    let Outcome::Way(way) = &plan.outcome else {
        panic!("{:?}", plan.outcome)
    };
    let lefts: Vec<&Turn> = way.route.turns.iter().filter(|t| t.left_rad > 1.0).collect();
    assert_eq!(lefts.len(), 1);
    let turn = lefts[0].clone();
    (plan, turn, asked.aircraft)
}

/// Angle between the nose wheel's way and the heading after an arc begun straight: b' = 1/R - sin(b)/d, by Runge and Kutta.
fn beta_after(length_m: f64, radius_m: f64, d: f64) -> f64 {
    let n = 20_000;
    let h = length_m / f64::from(n);
    let slope = |b: f64| 1.0 / radius_m - b.sin() / d;
    let mut b = 0.0;
    for _ in 0..n {
        let k1 = slope(b);
        let k2 = slope(b + h / 2.0 * k1);
        let k3 = slope(b + h / 2.0 * k2);
        let k4 = slope(b + h * k3);
        b += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
    }
    b
}

/// Least room from the inner main tyre to the edges of two lanes of a width that meet at a right angle: the axle is towed
/// through the arc and 10 m beyond, by small steps of the midpoint rule.
fn least_room(turn: &Turn, aircraft: &Aircraft, width_m: f64) -> f64 {
    let (r, d, half_m) = (turn.radius_m, aircraft.gear.wheelbase_m, aircraft.outer_gear_m() / 2.0);
    let (arc_m, h) = (r * FRAC_PI_2, 1e-3);
    // The arc begins at the origin toward x; the lines are y = 0 and x = r.
    let (mut x, mut y, mut heading, mut way, mut least) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64, f64::INFINITY);
    while way < arc_m + 10.0 {
        let axle = (x - d * heading.cos(), y - d * heading.sin());
        let tyre = (axle.0 - half_m * heading.sin(), axle.1 + half_m * heading.cos());
        least = least.min(width_m / 2.0 - (tyre.1.abs()).min((r - tyre.0).abs()));
        let direction = |way: f64| (way / r).min(FRAC_PI_2);
        let half_way = heading + h / 2.0 * (direction(way) - heading).sin() / d;
        heading += h * (direction(way + h / 2.0) - half_way).sin() / d;
        let toward = direction(way + h / 2.0);
        (x, y, way) = (x + h * toward.cos(), y + h * toward.sin(), way + h);
    }
    least
}

/// Angle, nose wheel, distance from the line and off-tracking of a turn of 90 degrees with a radius.
fn check(turn: &Turn, aircraft: &Aircraft) {
    let (r, d) = (turn.radius_m, aircraft.gear.wheelbase_m);
    assert!((turn.left_rad - FRAC_PI_2).abs() < 1e-3, "{turn:?}");
    assert!((turn.to_m - turn.from_m - r * turn.left_rad).abs() < 1e-6);
    let beta = beta_after(r * turn.left_rad, r, d);
    assert!((turn.nose_wheel_rad - beta).abs() < 1e-5, "{turn:?} {beta}");
    // The arc leaves the corner's lines farthest in its middle.
    let apex_m = r * (1.0 - (turn.left_rad / 2.0).cos());
    assert!((turn.off_line_m - apex_m).abs() < 1e-3, "{turn:?} {apex_m}");
    // R - sqrt(R² - d²) in the end; on the arc never more, and near it after so long an arc.
    let steady = r - (r * r - d * d).sqrt();
    let at_end = r - (r * r + d * d - 2.0 * r * d * beta.sin()).sqrt();
    assert!(
        turn.off_tracking_m <= steady + 1e-6 && turn.off_tracking_m >= at_end - 0.01,
        "{turn:?} {at_end} {steady}"
    );
}

#[test]
fn where_there_is_room_a_corner_is_taken_easily_by_steering_alone() {
    let (plan, turn, aircraft) = planned("trainer-high-2", None);
    check(&turn, &aircraft);
    // A third more than full steering asks: d / sin of the pedals' limit.
    let full = aircraft.gear.wheelbase_m / aircraft.steering.pedal_limit_deg.to_radians().sin();
    assert!((turn.radius_m - (1.3 * full).max(8.0)).abs() < 1e-6, "{turn:?}");
    assert_eq!(turn.means, TurnMeans::Steering);
    assert!(turn.nose_wheel_rad.to_degrees() < aircraft.steering.pedal_limit_deg);
    // Without a width there is no edge to be near.
    assert_eq!(turn.edge_room_m, None);
    let told = one_line(&briefing::text(&briefing::brief(&plan)));
    assert!(
        told.contains(&format!("radius {:.1} m: steering alone", turn.radius_m)),
        "{told}"
    );
    let line = |m: f64| format!("main wheels {m:.1} m inside");
    assert!(told.contains(&line(turn.off_tracking_m)), "{told}");
}

#[test]
fn the_room_to_the_edge_is_told_and_a_narrow_lane_asks_for_the_inside_brake() {
    let mut last = f64::INFINITY;
    for (width_m, means) in [
        (14.0, TurnMeans::Steering),
        (10.5, TurnMeans::Steering),
        (6.0, TurnMeans::InsideBrake),
    ] {
        let (plan, turn, aircraft) = planned("trainer-high-2", Some(width_m));
        check(&turn, &aircraft);
        assert_eq!(turn.means, means, "{width_m}");
        let steering = turn.nose_wheel_rad.to_degrees() <= aircraft.steering.pedal_limit_deg + 1e-3;
        assert_eq!(steering, means == TurnMeans::Steering);
        let (told, known) = (turn.edge_room_m.unwrap(), least_room(&turn, &aircraft, width_m));
        // Both are sampled: to half a centimetre and finer.
        assert!((told - known).abs() < 0.003, "{width_m}: {told} {known}");
        assert!(turn.radius_m <= last + 1e-9);
        last = turn.radius_m;
        // In JSON by its name, unrounded to a tenth; in text rounded down.
        let brief = briefing::brief(&plan);
        let out: serde_json::Value = serde_json::from_str(&briefing::json(&plan, &brief)).unwrap();
        let turns = out["outcome"]["turns"].as_array().unwrap();
        let same = |t: &&serde_json::Value| (t["edge_room_m"].as_f64().unwrap_or(-1e9) - told).abs() < 1e-3;
        assert!(turns.iter().any(|t| same(&t)), "{turns:?}");
        let text = one_line(&briefing::text(&brief));
        let down = (told * 10.0).floor() / 10.0;
        assert!(
            text.contains(&format!("{down:.1} m left to the edge")) || told < 0.0,
            "{text}"
        );
        if means == TurnMeans::InsideBrake {
            assert!(text.contains("inside brake"), "{text}");
        }
    }
}

#[test]
fn a_freely_castering_nose_wheel_needs_the_inside_brake_everywhere() {
    let (_, turn, aircraft) = planned("caster-low-2", None);
    check(&turn, &aircraft);
    assert_eq!(turn.means, TurnMeans::InsideBrake);
}
