//! Planner and drive agree on what touches: poses of the planned path, looked at as a drive looks at its states.

use crate::demo::{planned, request, way};
use serde_json::json;
use toeline_dynamics::contacts::{Body, Look};
use toeline_dynamics::{Params, State};
use toeline_engine::clearance::Verdict;
use toeline_engine::planning::{Outcome, Way};
use toeline_engine::{Plan, plan};
use toeline_model::aircraft::catalog;
use toeline_tests::sketch::Sketch;
use toeline_training::surroundings;

/// Metres of way between two poses.
const STEP_M: f64 = 0.05;

/// What is met along the path: name of the thing and way, and for each wheel the ways at which it is off.
fn looked(plan: &Plan, way: &Way) -> (Vec<(String, f64)>, [Vec<f64>; 3]) {
    let a = &plan.request.aircraft;
    let (p, body) = (Params::from_aircraft(a), Body::of(a));
    let around = surroundings::of(plan, way);
    let mut look = Look::new(&body);
    let (mut met, mut off) = (Vec::new(), [const { Vec::new() }; 3]);
    let path = &way.route.path;
    for i in 0..=(path.length_m() / STEP_M) as usize {
        let s = i as f64 * STEP_M;
        around.look(&body, &p, &State::parked(&p, path.pose_at(s)), [0.0; 3], &mut look);
        met.extend(look.touches.iter().map(|t| (around.thing_name(t.thing).to_string(), s)));
        for (wheel, ways) in off.iter_mut().enumerate() {
            if look.off[wheel] {
                ways.push(s);
            }
        }
    }
    (met, off)
}

/// Compares every gap and every edge of a plan with what a drive along it sees.
fn agrees(plan: &Plan, way: &Way) -> (usize, usize) {
    let (met, off) = looked(plan, way);
    let c = &way.clearance;
    let (mut clear, mut touched) = (0, 0);
    for (k, considered) in c.considered.iter().enumerate().filter(|(_, c)| c.sure) {
        // Parts of a parked aeroplane bear one name.
        let named = |j: usize| c.considered[j].name == considered.name;
        let gaps = c.gaps.iter().filter(|g| named(g.obstacle)).map(|g| g.gap_m);
        let least = gaps.fold(f64::INFINITY, f64::min);
        let own: Vec<f64> = met.iter().filter(|(n, _)| *n == considered.name).map(|m| m.1).collect();
        if least > 0.05 {
            assert!(own.is_empty(), "{k} {}: gap {least}, met at {own:?}", considered.name);
            clear += 1;
        }
        for at in own {
            // The planner has a vertical margin, so it may call a contact what passes over by less; never the other way.
            let inside = c.gaps.iter().filter(|g| named(g.obstacle)).any(|g| {
                g.contact_m
                    .is_some_and(|[from, to]| (from - 0.01..=to + 0.01).contains(&at))
            });
            assert!(inside, "{}: met at {at} outside the planner's contact", considered.name);
            touched += 1;
        }
    }
    for (name, at) in &met {
        assert!(
            c.considered.iter().any(|c| c.name == *name),
            "{name} met at {at} m, and the planner does not know it"
        );
    }
    for edge in &c.edges {
        let leg = &way.route.legs[edge.leg];
        let off_here = |wheel: usize| off[wheel].iter().any(|s| (leg.from_m..=leg.to_m).contains(s));
        match edge.room_m {
            Some(room_m) if room_m > 0.01 => {
                assert!(
                    !off_here(1) && !off_here(2),
                    "{}: room {room_m}, a wheel is off",
                    leg.name
                );
            }
            Some(room_m) if room_m < -0.05 && edge.verdict == Verdict::NotClear => {
                assert!(
                    off_here(1) || off_here(2),
                    "{}: room {room_m}, no wheel is off",
                    leg.name
                );
            }
            _ => {}
        }
    }
    (clear, touched)
}

#[test]
fn on_the_demo_field_a_drive_along_the_plan_touches_what_the_plan_says_and_nothing_else() {
    let mut all = (0, 0);
    for aircraft in ["trainer-high-2", "tourer-low-4", "motorglider-15"] {
        for from in ["1", "4", "6", "9", "H1", "H3"] {
            let plan = planned(aircraft, from, "240/12T");
            if let Outcome::Way(way) = &plan.outcome {
                let (clear, touched) = agrees(&plan, way);
                all = (all.0 + clear, all.1 + touched);
            }
        }
    }
    println!("{} things clear, {} poses in contact", all.0, all.1);
    assert!(all.0 > 100, "{all:?}");
    let plan = planned("trainer-high-2", "4", "240/12T");
    assert!(looked(&plan, way(&plan)).0.is_empty(), "the way of README is clear");
}

/// A runway, one lane to it, a stand, and a fence on each side of the lane with `room_m` beside each wing tip.
fn between_fences(aircraft: &str, room_m: f64, high_m: &str) -> Plan {
    let a = catalog::find(aircraft).expect("built in");
    let beside = a.wing.span_m / 2.0 + room_m;
    let fence = |y: f64| [[-20.0, y], [70.0, y]];
    let text = Sketch::default()
        .runway("r", "18/36", &[[120.0, -400.0], [120.0, 400.0]])
        .line(
            "lane",
            &[[-60.0, 0.0], [120.0, 0.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "width": 9 }),
        )
        .point(
            "hold",
            [85.0, 0.0],
            json!({ "aeroway": "holding_position", "ref": "A1", "holding_position:type": "runway" }),
        )
        .line(
            "stand",
            &[[-60.0, 0.0], [-80.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out" }),
        )
        .line("north", &fence(beside), json!({ "barrier": "fence", "height": high_m }))
        .line(
            "south",
            &fence(-beside),
            json!({ "barrier": "fence", "height": high_m }),
        )
        .text();
    let mut asked = request(a, "1", &[], "36", "calm");
    asked.margin_m = 0.0;
    plan(&text, &asked).expect("a plan")
}

#[test]
fn a_lane_narrower_than_the_wing_is_touched_and_a_wider_one_is_not() {
    for aircraft in ["trainer-high-2", "tourer-low-4", "twin-light-6"] {
        for (room_m, touches) in [(0.5, false), (0.06, false), (-0.05, true), (-0.5, true)] {
            let plan = between_fences(aircraft, room_m, "4");
            let way = way(&plan);
            let (met, _) = looked(&plan, way);
            let least = way.clearance.gaps.iter().map(|g| g.gap_m).fold(f64::INFINITY, f64::min);
            assert!(
                (least - room_m.max(0.0)).abs() < 0.002,
                "{aircraft}: the plan says {least} m with {room_m} m of room"
            );
            assert_eq!(
                !met.is_empty(),
                touches,
                "{aircraft} with {room_m} m: {:?}",
                met.first()
            );
            agrees(&plan, way);
        }
    }
    // A fence that the high wing passes over with the vertical margin, and the low wing does not.
    let high = between_fences("trainer-high-2", -1.0, "1.4");
    assert!(looked(&high, way(&high)).0.is_empty());
    let low = between_fences("tourer-low-4", -1.0, "1.4");
    assert!(!looked(&low, way(&low)).0.is_empty());
}
