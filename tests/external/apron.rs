//! Ways over an empty apron against the shortest ways of bounded curvature (L. E. Dubins, On curves of minimal length with a
//! constraint on average curvature, American Journal of Mathematics 79, 1957), derived here from circles and their common
//! tangents and not from the formulas that the planner uses, and against the crate `dubins_paths`.

use dubins_paths::f64::{DubinsPath, PosRot};
use serde_json::json;
use std::f64::consts::{FRAC_PI_2, TAU};
use toeline_engine::route::World;
use toeline_engine::route::apron::{Goal, Ground, Room, search};
use toeline_engine::{graph, read};
use toeline_model::path::Pose;
use toeline_model::{Xy, Yaw};
use toeline_tests::lanes::built_in;
use toeline_tests::sketch::Sketch;

const RADIUS_M: f64 = 8.0;

fn turn(from: f64, to: f64, left: bool) -> f64 {
    let by = if left { to - from } else { from - to }.rem_euclid(TAU);
    // A hair below a whole turn is rounding.
    if TAU - by < 1e-9 { 0.0 } else { by }
}

/// Length of the shortest way from one place and direction to another with a least radius: along a circle beside the start,
/// a common tangent or a third circle, and a circle beside the end.
fn shortest(from: (f64, f64, f64), to: (f64, f64, f64), r: f64) -> f64 {
    let centre = |(x, y, a): (f64, f64, f64), left: bool| {
        let n = if left { a + FRAC_PI_2 } else { a - FRAC_PI_2 };
        (x + r * n.cos(), y + r * n.sin())
    };
    let mut best = f64::INFINITY;
    for first in [true, false] {
        for last in [true, false] {
            let (c, e) = (centre(from, first), centre(to, last));
            let (dx, dy) = (e.0 - c.0, e.1 - c.1);
            let (apart, along) = (dx.hypot(dy), dy.atan2(dx));
            if first == last {
                // Outer tangent: parallel to the line of centres.
                best = best.min(apart + r * (turn(from.2, along, first) + turn(along, to.2, last)));
                // Three circles that touch.
                if apart < 4.0 * r {
                    let half = (apart / (4.0 * r)).acos();
                    for side in [1.0, -1.0] {
                        let m = (
                            c.0 + 2.0 * r * (along + side * half).cos(),
                            c.1 + 2.0 * r * (along + side * half).sin(),
                        );
                        // Directions of travel where they touch, as the first and the last circle are run.
                        let at = |o: (f64, f64), l: bool| {
                            (m.1 - o.1).atan2(m.0 - o.0) + if l { FRAC_PI_2 } else { -FRAC_PI_2 }
                        };
                        let (p, q) = (at(c, first), at(e, last));
                        best = best.min(r * (turn(from.2, p, first) + turn(p, q, !first) + turn(q, to.2, last)));
                    }
                }
            } else if apart >= 2.0 * r {
                // Inner tangent: leans toward the other circle by asin(2r / apart).
                let lean = (2.0 * r / apart).asin();
                let way = if first { along + lean } else { along - lean };
                let straight = (apart * apart - 4.0 * r * r).sqrt();
                best = best.min(straight + r * (turn(from.2, way, first) + turn(way, to.2, last)));
            }
        }
    }
    best
}

#[test]
fn shortest_ways_known_by_heart() {
    let r = 8.0;
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
    near(shortest((0.0, 0.0, 0.0), (30.0, 0.0, 0.0), r), 30.0);
    near(shortest((0.0, 0.0, 0.0), (0.0, 16.0, TAU / 2.0), r), r * TAU / 2.0);
    near(shortest((0.0, 0.0, 0.0), (8.0, 8.0, FRAC_PI_2), r), r * FRAC_PI_2);
    // Turning about on the spot: arcs of 60, 300 and 60 degrees.
    near(
        shortest((0.0, 0.0, 0.0), (0.0, 0.0, TAU / 2.0), r),
        r * TAU * 420.0 / 360.0,
    );
}

#[test]
fn over_an_empty_apron_the_way_is_the_shortest_there_is() {
    let text = Sketch::default()
        .runway("runway", "09/27", &[[-300.0, -600.0], [700.0, -600.0]])
        .area(
            "apron",
            &[&[[-200.0, -200.0], [200.0, -200.0], [200.0, 200.0], [-200.0, 200.0]]],
            json!({ "aeroway": "apron" }),
        )
        .text();
    let field = read::read(&text).unwrap().field;
    let (taxi_graph, _) = graph::build(&field);
    let aircraft = built_in("trainer-high-2");
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &aircraft,
    };
    let middle = toeline_model::planar::centroid(&field.aprons[0].outer);
    let room = Room {
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        parked: true,
    };
    let mut worst: f64 = 0.0;
    let cases = 60;
    for i in 0..cases {
        let f = f64::from(i);
        let (x, y) = (70.0 * (1.3 * f).sin(), 70.0 * (2.1 * f).cos());
        let (a, b) = (0.7 * f, 2.9 * f);
        let start = Pose {
            nose: middle,
            heading_rad: Yaw::from_rad(a),
        };
        let goal = Goal {
            at: middle + Xy { x, y },
            direction: Yaw::from_rad(b),
            key: 0,
            extra_m: 0.0,
        };
        let ground = Ground::new(world, room, &start, None);
        let found = search(&ground, &start, &[goal], RADIUS_M, 150.0);
        let length_m = found[0].path.length_m();
        let known_m = shortest((0.0, 0.0, a), (x, y, b), RADIUS_M);
        let [p, q] = [[0.0, 0.0, a], [x, y, b]].map(|[x, y, a]| PosRot::from_floats(x, y, a));
        let library_m = DubinsPath::shortest_from(p, q, RADIUS_M).unwrap().length();
        assert!(
            (known_m - library_m).abs() < 1e-6,
            "case {i}: {known_m}, the library {library_m}"
        );
        assert!(
            length_m > known_m - 1e-6,
            "case {i}: {length_m} is shorter than the shortest, {known_m}"
        );
        worst = worst.max(length_m / known_m);
        // It arrives where and as it should.
        let end = found[0].path.end();
        let last = found[0].path.pieces.last().unwrap();
        assert!(end.nose.distance(goal.at) < 1e-5);
        assert!(last.direction(last.length_m).to_rad(goal.direction).abs() < 1e-6);
    }
    println!("{cases} ways over an empty apron: at most {:.6} of the shortest", worst);
    assert!(worst < 1.01, "{worst}");
}

#[test]
fn round_the_end_of_a_wall_the_way_is_near_the_shortest() {
    // A wall between start and goal; they look along it. Shortest for a point that stays a distance c from the wall's end:
    // straight, round the circle of radius c about the end, straight. The aeroplane cannot do better than with c the
    // distance that its nose wheel keeps, half the fuselage's width and the margin, and needs no more than its half span.
    let text = Sketch::default()
        .runway("runway", "09/27", &[[-300.0, -600.0], [700.0, -600.0]])
        .area(
            "apron",
            &[&[[-200.0, -200.0], [200.0, -200.0], [200.0, 200.0], [-200.0, 200.0]]],
            json!({ "aeroway": "apron" }),
        )
        .line(
            "wall",
            &[[0.0, -250.0], [0.0, 0.0]],
            json!({ "barrier": "wall", "height": 6.0 }),
        )
        .text();
    let field = read::read(&text).unwrap().field;
    let (taxi_graph, _) = graph::build(&field);
    let aircraft = built_in("trainer-high-2");
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &aircraft,
    };
    let toeline_model::planar::Shape::Line { points } = &field.obstacles[0].shape else {
        panic!()
    };
    let end = points[1];
    let start = Pose {
        nose: end + Xy { x: -40.0, y: -60.0 },
        heading_rad: Yaw::from_rad(FRAC_PI_2),
    };
    let goal = Goal {
        at: end + Xy { x: 40.0, y: -60.0 },
        direction: Yaw::from_rad(-FRAC_PI_2),
        key: 0,
        extra_m: 0.0,
    };
    let margin_m = 3.0;
    let room = Room {
        margin_m,
        vertical_margin_m: 0.5,
        parked: true,
    };
    let ground = Ground::new(world, room, &start, None);
    let found = search(&ground, &start, &[goal], RADIUS_M, 200.0);
    let path = &found[0].path;
    assert!(ground.path_fits(path, 0.0));
    let round = |c: f64| {
        // From (-40, -60) tangent to the circle of radius c about (0, 0), by symmetry twice.
        let d = 40.0_f64.hypot(60.0);
        let tangent = (d * d - c * c).sqrt();
        let seen = (c / d).acos();
        // Angle at the end from start to goal over the top, less both tangents' angles.
        let over_top = TAU - (std::f64::consts::PI - 2.0 * (60.0_f64).atan2(40.0));
        2.0 * tangent + c * (over_top - 2.0 * seen)
    };
    let (least_m, enough_m) = (
        round(0.0),
        round(aircraft.wing.span_m / 2.0 + margin_m + aircraft.gear.wheelbase_m),
    );
    println!(
        "round a wall: {:.2} m, a point would go {least_m:.2} m, a disc {enough_m:.2} m",
        path.length_m()
    );
    assert!(path.length_m() > least_m);
    // Turning from the first direction and into the last costs less than a quarter turn each way more.
    assert!(path.length_m() < enough_m + RADIUS_M * FRAC_PI_2, "{}", path.length_m());
}
