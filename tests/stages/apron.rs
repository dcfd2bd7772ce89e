//! Over unpainted apron: from stands and bare points that no line leads to, and why not.

use serde_json::json;
use toeline_engine::clearance::Verdict;
use toeline_engine::planning::{Outcome, Way};
use toeline_engine::route::apron::{self, Ground, Room};
use toeline_engine::route::{Avoid, LegKind, NoWay, Place, TurnMeans, World};
use toeline_engine::{Request, briefing, graph, plan, read, route};
use toeline_model::Bearing;
use toeline_tests::lanes::built_in;
use toeline_tests::sketch::Sketch;

/// An apron of 300 m by 160 m north of taxiway A, which leads west and south to runway 09/27.
pub(crate) fn field() -> Sketch {
    Sketch::default()
        .runway("runway", "09/27", &[[-300.0, -200.0], [700.0, -200.0]])
        .line(
            "A",
            &[[-40.0, 0.0], [300.0, 0.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "surface": "asphalt", "width": 10.5 }),
        )
        .line(
            "B",
            &[[-40.0, 0.0], [-40.0, -200.0]],
            json!({ "aeroway": "taxiway", "ref": "B", "surface": "asphalt", "width": 10.5 }),
        )
        .area(
            "apron",
            &[&[[0.0, -6.0], [300.0, -6.0], [300.0, 160.0], [0.0, 160.0]]],
            json!({ "aeroway": "apron", "name": "North", "surface": "asphalt" }),
        )
}

fn stand(sketch: Sketch, at: [f64; 2], heading: Option<f64>) -> Sketch {
    let mut properties = json!({ "aeroway": "parking_position", "ref": "7" });
    if let Some(h) = heading {
        properties["direction"] = json!(h);
    }
    sketch.point("stand7", at, properties)
}

pub(crate) fn request(from: &str, heading: Option<f64>) -> Request {
    Request {
        parked_heading: heading.map(Bearing::from_deg),
        accuracy_m: Some(0.0),
        ..toeline_tests::request("trainer-high-2", from, &[], "27", "calm")
    }
}

fn way(text: &str, request: &Request) -> Box<Way> {
    match plan(text, request).unwrap().outcome {
        Outcome::Way(way) => way,
        Outcome::NoWay(why) => panic!("no way: {why:?}"),
    }
}

fn none(text: &str, request: &Request) -> NoWay {
    match plan(text, request).unwrap().outcome {
        Outcome::NoWay(why) => why,
        Outcome::Way(way) => panic!("a way: {:?}", way.route.legs),
    }
}

fn fence(sketch: Sketch, id: &str, points: &[[f64; 2]]) -> Sketch {
    sketch.line(id, points, json!({ "barrier": "fence", "name": id, "height": 2.5 }))
}

#[test]
fn a_stand_far_from_every_lane_is_left_over_the_apron() {
    let text = stand(field(), [150.0, 120.0], Some(90.0)).text();
    // The graph alone does not reach it.
    let (taxi_graph, _) = graph::build(&read::read(&text).unwrap().field);
    assert!(taxi_graph.stands.is_empty());
    let way = way(&text, &request("7", None));
    let route = &way.route;
    assert_eq!(route.legs[0].kind, LegKind::Apron);
    assert_eq!(route.legs[0].name, "unpainted apron North");
    assert_eq!(route.legs[1].name, "taxiway A");
    assert!(
        route.doubts.iter().any(|d| d.contains("not proven the shortest")),
        "{:?}",
        route.doubts
    );
    assert_ne!(way.clearance.verdict, Verdict::NotClear);
    // The wheels are on the apron, by the certified figure of clearance.
    assert_eq!(way.clearance.edges[0].verdict, Verdict::Clear);
    let start = route.path.start;
    assert_eq!(route.stops[0].name, "stand 7");
    assert!((start.heading_rad.bearing().deg() - 90.0).abs() < 1e-9);
    assert!(route.turns.iter().all(|t| t.means == TurnMeans::Steering));
    // The path is in one piece: every piece begins where the one before ends, in its direction.
    for w in route.path.pieces.windows(2) {
        let end = w[0].pose(route.path.wheelbase_m, w[0].length_m);
        assert!(end.nose.distance(w[1].start.nose) < 1e-6);
        assert!(
            w[0].direction(w[0].length_m).to_rad(w[1].direction_rad).abs() < 0.01,
            "{w:?}"
        );
    }
    // Nose east on a stand north of a lane that leads west: half a turn and the way down, no whole loops.
    let apron_m = route.legs[0].to_m;
    assert!((110.0..200.0).contains(&apron_m), "{apron_m}");
    assert_eq!(route.cost_ms, route.costs.iter().map(|c| c.cost_ms).sum::<u64>());
    assert!(route.costs[0].what.starts_with("unpainted apron North"));
}

#[test]
fn a_bare_point_needs_a_heading_and_then_is_started_from() {
    let sketch = field();
    let [lon, lat] = sketch.position([200.0, 100.0]);
    let from = format!("{lon},{lat}");
    let text = sketch.text();
    let error = plan(&text, &request(&from, None)).unwrap_err().to_string();
    assert!(error.contains("--parked-heading") && error.contains(&from), "{error}");
    let asked = request(&from, Some(180.0));
    let plan = plan(&text, &asked).unwrap();
    let Outcome::Way(way) = &plan.outcome else { panic!() };
    assert_eq!(way.route.stops[0].name, format!("point {from}"));
    assert_eq!(way.route.legs[0].kind, LegKind::Apron);
    // The turns are told in text and JSON with the cut of the main wheels.
    let brief = briefing::brief(&plan);
    let out: serde_json::Value = serde_json::from_str(&briefing::json(&plan, &brief)).unwrap();
    assert_eq!(out["outcome"]["legs"][0]["kind"], "apron");
    let turns = out["outcome"]["turns"].as_array().unwrap();
    assert!(!turns.is_empty() && turns.iter().all(|t| t["off_tracking_m"].as_f64().unwrap() > 0.0));
    assert!(briefing::text(&brief).contains("main wheels"));
}

#[test]
fn a_point_off_the_apron_is_an_answer_with_its_reason_and_a_bad_one_an_error() {
    let sketch = field();
    let [lon, lat] = sketch.position([150.0, 200.0]);
    let text = sketch.text();
    let why = none(&text, &request(&format!("{lon},{lat}"), Some(180.0)));
    assert!(why.blocks[0].text.contains("does not stand on an apron"), "{why:?}");
    let error = plan(&text, &request("190,47", Some(180.0))).unwrap_err().to_string();
    assert!(error.contains("longitude within -180 to 180"), "{error}");
    // What is no pair of numbers is still a stand's name.
    let error = plan(&text, &request("north,west", Some(180.0)))
        .unwrap_err()
        .to_string();
    assert!(error.contains("no stand"), "{error}");
}

/// Two fences across the apron with a gap of a width between them, 60 m north of the lane.
fn gap(width_m: f64) -> String {
    let sketch = stand(field(), [150.0, 120.0], Some(180.0));
    let sketch = fence(sketch, "west fence", &[[-20.0, 60.0], [150.0 - width_m / 2.0, 60.0]]);
    fence(sketch, "east fence", &[[150.0 + width_m / 2.0, 60.0], [320.0, 60.0]]).text()
}

#[test]
fn a_gap_too_narrow_is_named_with_both_sides_its_width_and_what_is_needed() {
    let asked = request("7", None);
    let span_m = asked.aircraft.wing.span_m;
    let why = none(&gap(9.05), &asked);
    let told = &why.blocks[0].text;
    // Wing and fence meet in height or not: the wing of this aeroplane is lower than 2.5 m and half a metre.
    let needed_m = ((span_m + 6.0) * 10.0).ceil() / 10.0;
    assert!(told.contains("west fence") && told.contains("east fence"), "{told}");
    assert!(told.contains("is 9.0 m wide"), "{told}");
    assert!(told.contains(&format!("needs {needed_m:.1} m")), "{told} {needed_m}");
    assert!(why.blocks[0].at.x.is_finite());
    // Wide enough, with a metre to spare: through the gap, and clearance agrees.
    let way = way(&gap(needed_m + 1.0), &asked);
    assert_eq!(way.route.legs[0].kind, LegKind::Apron);
    assert_ne!(way.clearance.verdict, Verdict::NotClear);
    let least = way.clearance.gaps.first().unwrap();
    assert!(least.gap_m >= 3.0, "{least:?}");
}

#[test]
fn a_wider_gap_never_loses_the_way_and_a_way_found_is_never_not_clear() {
    let asked = request("7", None);
    let needed_m = asked.aircraft.wing.span_m + 6.0;
    let mut found_before = false;
    for width_m in [
        needed_m - 2.0,
        needed_m - 0.5,
        needed_m + 0.5,
        needed_m + 2.0,
        needed_m + 20.0,
    ] {
        let outcome = plan(&gap(width_m), &asked).unwrap().outcome;
        let found = match outcome {
            Outcome::Way(way) => {
                assert_ne!(way.clearance.verdict, Verdict::NotClear, "{width_m}");
                true
            }
            Outcome::NoWay(_) => false,
        };
        assert!(found || !found_before, "{width_m}");
        assert_eq!(found, width_m > needed_m, "{width_m}");
        found_before = found;
    }
}

#[test]
fn nose_to_a_wall_asks_for_hands_and_an_apron_without_a_lane_says_so() {
    // A dead end: walls on three sides nearer than a turn needs, the nose to the closed one.
    let sketch = stand(field(), [150.0, 120.0], Some(0.0));
    let walls = [[141.0, 100.0], [141.0, 128.0], [159.0, 128.0], [159.0, 100.0]];
    let text = fence(sketch, "box", &walls).text();
    let why = none(&text, &request("7", None));
    assert!(why.blocks[0].text.starts_with("stand 7: "), "{why:?}");
    // An apron of its own, apart from the lane's.
    let text = stand(
        field().area(
            "far",
            &[&[[100.0, 200.0], [200.0, 200.0], [200.0, 300.0], [100.0, 300.0]]],
            json!({ "aeroway": "apron" }),
        ),
        [150.0, 250.0],
        Some(180.0),
    )
    .text();
    let why = none(&text, &request("7", None));
    let told = &why.blocks[0].text;
    assert!(told.contains("does not lead to a lane"), "{told}");
    // Its edge lies at y = 200 and the lane's line at y = 0; cells are a metre wide and lanes are joined every three metres.
    let about: f64 = told
        .split_once("lies about ")
        .unwrap()
        .1
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    assert!((199.0..203.0).contains(&about), "{told}");
    assert!(told.contains("line of taxiway A"), "{told}");
}

#[test]
fn a_high_wing_passes_over_what_a_low_wing_does_not() {
    // Posts of half a metre beside a lane of 6 m: under the high wing, not under the low one.
    let mut sketch = stand(field(), [150.0, 120.0], Some(180.0));
    for (i, x) in [147.0, 153.0].into_iter().enumerate() {
        let ends = if i == 0 { [-20.0, x] } else { [x, 320.0] };
        let points = [[ends[0], 60.0], [ends[1], 60.0]];
        sketch = sketch.line(
            &format!("kerb {i}"),
            &points,
            json!({ "barrier": "wall", "name": format!("kerb {i}"), "height": 0.3 }),
        );
    }
    let text = sketch.text();
    let mut asked = request("7", None);
    asked.margin_m = 0.5;
    let high = way(&text, &asked);
    assert_eq!(high.route.legs[0].kind, LegKind::Apron);
    assert_ne!(high.clearance.verdict, Verdict::NotClear);
    asked.aircraft = built_in("caster-low-2");
    let why = none(&text, &asked);
    assert!(why.blocks[0].text.contains("kerb 0"), "{why:?}");
}

#[test]
fn the_same_request_gives_the_same_way() {
    let text = stand(gap_sketch(), [150.0, 120.0], Some(270.0)).text();
    let asked = request("7", None);
    let (a, b) = (way(&text, &asked), way(&text, &asked));
    assert_eq!(a.route, b.route);
}

fn gap_sketch() -> Sketch {
    fence(field(), "fence", &[[-20.0, 60.0], [130.0, 60.0]])
}

#[test]
fn what_is_nearer_than_the_margin_already_may_be_left() {
    // A pole 2 m off the wing tip: nearer than the margin where it stands.
    let asked = request("7", None);
    let x = 150.0 + asked.aircraft.wing.span_m / 2.0 + 2.0;
    let text = stand(field(), [150.0, 120.0], Some(180.0))
        .point(
            "pole",
            [x, 121.65],
            json!({ "man_made": "mast", "height": 9.0, "diameter": 0.2 }),
        )
        .text();
    let field = read::read(&text).unwrap().field;
    let (taxi_graph, _) = graph::build(&field);
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &asked.aircraft,
    };
    let off = apron::place(world, &asked).unwrap().unwrap();
    let joins = apron::join_lanes(world, &asked, &off).unwrap();
    let room = Room {
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        parked: true,
    };
    let ground = Ground::new(world, room, &off.pose, off.stand);
    assert!(ground.things[0].margin_m < 3.0, "{:?}", ground.things);
    assert!(joins.iter().all(|j| ground.path_fits(&j.path, 0.0)));
}

#[test]
fn the_lane_joined_is_the_one_that_makes_the_whole_way_cheapest() {
    // Two lanes to the runway, one nearer to the stand, the other nearer to the threshold.
    for (x, heading) in [(60.0, 180.0), (150.0, 90.0), (230.0, 270.0)] {
        let sketch = field().line(
            "C",
            &[[300.0, 0.0], [300.0, -200.0]],
            json!({ "aeroway": "taxiway", "ref": "C", "surface": "asphalt", "width": 10.5 }),
        );
        let text = stand(sketch, [x, 120.0], Some(heading)).text();
        let field = read::read(&text).unwrap().field;
        let (taxi_graph, _) = graph::build(&field);
        let asked = request("7", None);
        let world = World {
            field: &field,
            graph: &taxi_graph,
            aircraft: &asked.aircraft,
        };
        let ready = route::searching(world, &asked, 0.0, &Avoid::default())
            .unwrap()
            .unwrap();
        let found = ready.first().unwrap();
        let driven = ready.drive(&found, 0);
        // The price of the search is that of the way, term by term.
        assert_eq!(found.price_ms, driven.route.cost_ms);
        // Each join by itself: the way over the apron, and from there on the cheapest by a search of its own.
        let off = apron::place(world, &asked).unwrap().unwrap();
        let joins = apron::join_lanes(world, &asked, &off).unwrap();
        assert!(joins.len() >= 2, "{}", joins.len());
        let least = joins.iter().filter_map(|j| {
            let place = |p: &Place| matches!(p, Place::On(_, d) if *d == j.onto);
            let start = ready
                .search
                .graph
                .node_indices()
                .find(|n| place(&ready.search.graph[*n]))?;
            let onward = ready.search.exact().from(start)?;
            let terms = world.segment_terms(j.onto);
            let whole: u64 = terms.iter().map(|t| t.1).sum();
            let length_m = taxi_graph.segment(j.onto.edge).length_m;
            let skipped = (terms[0].1 as f64 * j.at_m / length_m).floor() as u64;
            Some(j.cost_ms + whole - skipped + onward)
        });
        assert_eq!(found.price_ms, least.min().unwrap());
        // What fails on the apron is a fact about beginning so: the source's stretch is the way over it.
        assert_eq!(driven.spans[0], (0.0, driven.route.legs[0].to_m));
    }
}
