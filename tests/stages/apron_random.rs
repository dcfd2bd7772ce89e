//! Properties of ways over the apron among things put there at random, by a fixed seed.
//!
//! What is checked is worked out here from the outline of the aeroplane, at poses a twentieth of a metre apart, and not by the
//! search's own ground.

use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_json::json;
use toeline_engine::clearance::Verdict;
use toeline_engine::planning::Outcome;
use toeline_engine::route::apron::{Goal, Ground, Room, search};
use toeline_engine::route::{LegKind, World, dubins};
use toeline_engine::{graph, plan, read};
use toeline_model::aircraft::parts::parts;
use toeline_model::path::Pose;
use toeline_model::planar::{self, Shape};
use toeline_model::{Xy, Yaw};
use toeline_tests::lanes::built_in;
use toeline_tests::sketch::Sketch;

const RADIUS_M: f64 = 8.0;
const MARGIN_M: f64 = 2.0;

/// A runner that draws the same cases every time.
fn runner(cases: u32) -> TestRunner {
    let config = Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

fn apron(posts: &[(f64, f64)]) -> String {
    let mut sketch = Sketch::default()
        .runway("runway", "09/27", &[[-300.0, -600.0], [700.0, -600.0]])
        .area(
            "apron",
            &[&[[-90.0, -90.0], [90.0, -90.0], [90.0, 90.0], [-90.0, 90.0]]],
            json!({ "aeroway": "apron" }),
        );
    for (i, (x, y)) in posts.iter().enumerate() {
        sketch = sketch.point(
            &format!("post {i}"),
            [*x, *y],
            json!({ "man_made": "mast", "height": 9.0, "diameter": 0.6 }),
        );
    }
    sketch.text()
}

#[test]
#[allow(clippy::print_stdout)]
fn among_posts_a_way_found_keeps_its_margin_and_is_no_shorter_than_without_them() {
    let aircraft = built_in("trainer-high-2");
    let d = aircraft.gear.wheelbase_m;
    let places = proptest::collection::vec((-60.0..60.0_f64, -60.0..60.0_f64), 3..12);
    let cases = (places, 0.0..core::f64::consts::TAU, -1.0..1.0_f64);
    let found_in = std::cell::Cell::new(0);
    let result = runner(24).run(&cases, |(posts, goal_rad, start_rad)| {
        let start_at = (-75.0, 0.0);
        // Nothing stands on the aeroplane or on the goal.
        let away = |(x, y): &&(f64, f64)| (x - start_at.0).hypot(y - start_at.1) > 12.0 && (x - 70.0).hypot(*y) > 12.0;
        let posts: Vec<(f64, f64)> = posts.iter().filter(away).copied().collect();
        let sketch = Sketch::default();
        let field = read::read(&apron(&posts)).unwrap().field;
        let (taxi_graph, _) = graph::build(&field);
        let world = World {
            field: &field,
            graph: &taxi_graph,
            aircraft: &aircraft,
        };
        let start = Pose {
            nose: sketch.in_field(field.origin, [start_at.0, start_at.1]),
            heading_rad: Yaw::from_rad(start_rad),
        };
        let goal = Goal {
            at: sketch.in_field(field.origin, [70.0, 0.0]),
            direction: Yaw::from_rad(goal_rad),
            key: 0,
            extra_m: 0.0,
        };
        let room = Room {
            margin_m: MARGIN_M,
            vertical_margin_m: 0.5,
            parked: true,
        };
        let ground = Ground::new(world, room, &start, None);
        let found = search(&ground, &start, &[goal], RADIUS_M, 200.0);
        let Some(found) = found.first() else { return Ok(()) };
        found_in.set(found_in.get() + 1);
        let path = &found.path;
        // Whole: every piece begins where and as the one before ends; it starts and arrives as asked.
        prop_assert!(path.start == start);
        for w in path.pieces.windows(2) {
            prop_assert!(w[0].pose(d, w[0].length_m).nose.distance(w[1].start.nose) < 1e-6);
            prop_assert!(w[0].direction(w[0].length_m).to_rad(w[1].direction_rad).abs() < 1e-6);
        }
        let last = path.pieces.last().unwrap();
        prop_assert!(path.end().nose.distance(goal.at) < 1e-5);
        prop_assert!(last.direction(last.length_m).to_rad(goal.direction).abs() < 1e-6);
        // No shorter than the shortest with nothing in the way.
        let free = dubins::words(start.nose, start.heading_rad, goal.at, goal.direction, RADIUS_M);
        prop_assert!(path.length_m() >= free[0].length_m() - 1e-6);
        // Every part off every post. Between poses 0.3 m apart little can be lost.
        let steps = (path.length_m() / 0.05).ceil() as usize;
        for k in 0..=steps {
            let pose = path.pose_at(path.length_m() * k as f64 / steps as f64);
            for part in parts(&aircraft) {
                let ring: Vec<Xy> = part.outline.iter().map(|p| pose.place(d, *p)).collect();
                for o in &field.obstacles {
                    let Shape::Disc { at, radius_m } = &o.shape else {
                        unreachable!()
                    };
                    prop_assert!(!planar::inside_ring(*at, &ring));
                    let gap = planar::ring_edges(&ring)
                        .map(|(a, b)| planar::closest_on_segment(*at, a, b).0.distance(*at))
                        .fold(f64::INFINITY, f64::min)
                        - radius_m;
                    prop_assert!(gap >= MARGIN_M - 0.1, "{gap} m");
                }
            }
        }
        Ok(())
    });
    println!("a way was found in {} of 24 scenes", found_in.get());
    result.unwrap();
    // Most such scenes have room.
    assert!(found_in.get() >= 12, "{}", found_in.get());
}

#[test]
#[allow(clippy::print_stdout)]
fn a_plan_over_an_apron_with_posts_is_never_not_clear() {
    let places = proptest::collection::vec((30.0..270.0_f64, 15.0..150.0_f64), 2..7);
    let ways = std::cell::Cell::new(0);
    let result = runner(10).run(&(places, 0.0..360.0_f64), |(posts, heading)| {
        let mut sketch = super::apron::field();
        for (i, (x, y)) in posts.iter().enumerate() {
            if (x - 150.0).hypot(y - 100.0) > 14.0 {
                let mast = json!({ "man_made": "mast", "height": 9.0, "diameter": 0.6 });
                sketch = sketch.point(&format!("post {i}"), [*x, *y], mast);
            }
        }
        let [lon, lat] = sketch.position([150.0, 100.0]);
        let asked = super::apron::request(&format!("{lon},{lat}"), Some(heading));
        match plan(&sketch.text(), &asked).unwrap().outcome {
            Outcome::Way(way) => {
                ways.set(ways.get() + 1);
                prop_assert!(way.clearance.verdict != Verdict::NotClear, "{:?}", way.given_up);
                prop_assert!(way.route.legs[0].kind == LegKind::Apron);
                prop_assert!(way.route.cost_ms == way.route.costs.iter().map(|c| c.cost_ms).sum::<u64>());
            }
            Outcome::NoWay(why) => prop_assert!(why.blocks[0].text.starts_with("point "), "{why:?}"),
        }
        Ok(())
    });
    println!("a way was found in {} of 10 scenes", ways.get());
    result.unwrap();
    assert!(ways.get() >= 5, "{}", ways.get());
}
