//! The search: what a closure and a limit do, the fewest limits to lift, places to go by, and every stand to every runway.

mod barred;
mod limits;

use petgraph::visit::EdgeRef;
use proptest::prelude::*;
use serde_json::{Value, json};
use toeline_engine::route::{
    Attempted, Avoid, Exact, NoWay, Place, Query, Route, RouteError, SearchGraph, StopKind, World, find,
    from_all_stands,
};
use toeline_engine::{Request, graph, plan, read};
use toeline_model::aircraft::catalog;
use toeline_model::{Aircraft, Airfield};
use toeline_tests::lattice::{self, LANES};
use toeline_tests::sketch::Sketch;

fn request(from: &str, via: &[&str], to: &str, wind: &str) -> Request {
    toeline_tests::request("trainer-high-2", from, via, to, wind)
}

fn field_of(text: &str) -> Airfield {
    read::read(text).unwrap().field
}

fn tried(text: &str, request: &Request) -> Result<Attempted, RouteError> {
    let field = field_of(text);
    let (taxi_graph, _) = graph::build(&field);
    let world = World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &request.aircraft,
    };
    find(world, request, 0.0, &Avoid::default())
}

fn found(text: &str, request: &Request) -> Option<Route> {
    match tried(text, request).unwrap_or_else(|e| panic!("{e}")) {
        Attempted::Way(route) => Some(*route),
        Attempted::NoWay(_) => None,
    }
}

fn none(text: &str, request: &Request) -> NoWay {
    match tried(text, request).unwrap_or_else(|e| panic!("{e}")) {
        Attempted::NoWay(why) => why,
        Attempted::Way(r) => panic!("a way by {:?}", r.legs.iter().map(|l| &l.name).collect::<Vec<_>>()),
    }
}

fn texts(why: &NoWay) -> Vec<&str> {
    why.blocks.iter().map(|b| b.text.as_str()).collect()
}

const STRAIGHT: [(f64, f64); 9] = [(0.0, 0.0); 9];

fn lattice_of(tags: &[Option<Value>]) -> String {
    lattice::with_tags(80.0, &STRAIGHT, |k| tags[k].clone(), |s, _| s)
}

/// Tags of a lane by a number: open, closed by itself, too narrow, too small a span, one way or the other.
fn tagged(kind: u8) -> Option<Value> {
    match kind {
        0..=5 => Some(json!({})),
        6 => Some(json!({ "toeline:closed": "works" })),
        7 => Some(json!({ "width": 2 })),
        8 => Some(json!({ "maxspan": 9 })),
        9 => Some(json!({ "oneway": "yes" })),
        _ => None,
    }
}

/// Every limit lifted by editing the map.
fn lift(tags: &[Option<Value>], lanes: &[usize]) -> Vec<Option<Value>> {
    let lifted = |(k, t): (usize, &Option<Value>)| {
        t.as_ref()
            .map(|t| if lanes.contains(&k) { json!({}) } else { t.clone() })
    };
    tags.iter().enumerate().map(lifted).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_closure_never_lowers_the_price_and_a_raised_limit_never_removes_a_way(
        kinds in prop::collection::vec(0..10_u8, LANES),
        lane in 0..LANES,
        shut in 6..9_u8,
    ) {
        let tags: Vec<_> = kinds.iter().map(|k| tagged(*k)).collect();
        let asked = request("1", &[], "09", "calm");
        let before = found(&lattice_of(&tags), &asked).map(|r| r.cost_ms);
        let mut closed = tags.clone();
        closed[lane] = tagged(shut);
        let after = found(&lattice_of(&closed), &asked).map(|r| r.cost_ms);
        // A lane of the map that is narrow or of small span without being shut has another speed; only a shut one is compared.
        match (before, after) {
            (Some(b), Some(a)) => prop_assert!(a >= b, "{b} ms before, {a} ms after"),
            (None, Some(_)) => prop_assert!(tags[lane] != tagged(0), "a closure opened a way"),
            (_, None) => {}
        }
        let open = found(&lattice_of(&lift(&tags, &[lane])), &asked);
        prop_assert!(before.is_none() || open.is_some(), "a raised limit removed the way");
        if let (Some(b), Some(o)) = (before, open) {
            prop_assert!(o.cost_ms <= b);
        }
    }

    #[test]
    fn the_fewest_limits_are_those_of_every_subset_tried(kinds in prop::collection::vec(4..10_u8, LANES)) {
        let tags: Vec<_> = kinds.iter().map(|k| tagged(*k)).collect();
        let asked = request("1", &[], "09", "calm");
        let text = lattice_of(&tags);
        if found(&text, &asked).is_none() {
            let why = none(&text, &asked);
            prop_assert_eq!(why.fewest, Some(true));
            prop_assert!(!why.blocks.is_empty());
            // Each lane of the lattice has one limit, so lifting limits is opening lanes: every smaller set leaves no way.
            let limited: Vec<usize> = (0..LANES).filter(|k| kinds[*k] > 5).collect();
            let opens = |set: u32| {
                let lanes: Vec<usize> = limited.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1).map(|(_, k)| *k).collect();
                // A lattice is a graph of nine nodes: whether it is connected needs no search of ours.
                let mut reached = [false; 9];
                reached[0] = true;
                for _ in 0..9 {
                    for (k, kind) in kinds.iter().enumerate() {
                        let (a, b) = lattice::ends(k);
                        let open = *kind <= 5 || lanes.contains(&k);
                        let along = open || *kind == 9;
                        reached[b] |= along && reached[a];
                        reached[a] |= open && reached[b];
                    }
                }
                reached[8]
            };
            let fewest = (0..1_u32 << limited.len()).filter(|s| opens(*s)).map(u32::count_ones).min();
            prop_assert_eq!(Some(why.blocks.len() as u32), fewest);
            let named: Vec<usize> = why.blocks.iter().map(|b| b.feature.trim_start_matches("lane-").parse().unwrap()).collect();
            prop_assert!(found(&lattice_of(&lift(&tags, &named)), &asked).is_some(), "{:?}", texts(&why));
        }
    }

    #[test]
    fn the_way_back_has_reversed_bearings(kinds in prop::collection::vec(0..9_u8, LANES)) {
        let tags: Vec<_> = kinds.iter().map(|k| tagged(*k)).collect();
        let text = lattice_of(&tags);
        let field = field_of(&text);
        let (taxi_graph, _) = graph::build(&field);
        let out = request("1", &[], "Z1", "calm");
        if let Some(route) = found(&text, &out) {
            let bearings: Vec<f64> = route.segments.iter().map(|(e, f)| {
                toeline_engine::route::Directed { edge: *e, forward: *f }.sets_off(&taxi_graph).bearing().deg()
            }).collect();
            // The same segments the other way round, as the graph itself would drive them.
            let back: Vec<f64> = route.segments.iter().rev().map(|(e, f)| {
                toeline_engine::route::Directed { edge: *e, forward: !*f }.arrives(&taxi_graph).bearing().deg()
            }).collect();
            for (a, b) in bearings.iter().zip(back.iter().rev()) {
                prop_assert!(((a - b).rem_euclid(360.0) - 180.0).abs() < 1e-6, "{a} and {b}");
            }
            // And there is a way back to the stand, which the holding position is left for.
            let home = found(&text, &request("Z1", &[], "1", "calm"));
            prop_assert!(home.is_some());
            prop_assert_eq!(home.map(|r| r.stops.last().map(|s| s.name.clone())), Some(Some("stand 1".to_string())));
        }
    }
}

/// A stand, two ways to the runway: C, which is closed and cut into three segments, and D then E, narrow and of small span.
fn two_ways() -> Sketch {
    Sketch::default()
        .runway("runway", "09/27", &[[-300.0, 300.0], [600.0, 300.0]])
        .line(
            "stand-1",
            &[[0.0, -20.0], [0.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 0 }),
        )
        .taxiway("B", "B", &[[0.0, 0.0], [0.0, 40.0]])
        .line(
            "C",
            &[[0.0, 40.0], [0.0, 100.0], [0.0, 160.0]],
            json!({ "aeroway": "taxiway", "ref": "C", "width": 6, "toeline:closed": "works" }),
        )
        // The holding position lies on a lane that is open: a closed one has none.
        .taxiway("F", "F", &[[0.0, 160.0], [0.0, 300.0]])
        .taxiway("K", "K", &[[0.0, 100.0], [-50.0, 100.0]])
        .taxiway("N", "N", &[[0.0, 160.0], [-50.0, 160.0]])
        .line(
            "D",
            &[[0.0, 40.0], [200.0, 40.0]],
            json!({ "aeroway": "taxiway", "ref": "D", "width": 2.5 }),
        )
        .line(
            "E",
            &[[200.0, 40.0], [200.0, 300.0]],
            json!({ "aeroway": "taxiway", "ref": "E", "maxspan": 9 }),
        )
}

#[test]
fn one_closure_of_many_segments_counts_once_and_the_value_and_the_limit_are_told() {
    let asked = request("1", &[], "27", "calm");
    let why = none(&two_ways().text(), &asked);
    assert_eq!(texts(&why), ["taxiway C: closed (works)"]);
    assert_eq!((why.fewest, why.unreachable.as_str()), (Some(true), "runway \"27\""));
    // Without C both of the others have to be lifted, in the order in which they are met.
    let mut map: Value = serde_json::from_str(&two_ways().text()).unwrap();
    map["features"].as_array_mut().unwrap().retain(|f| f["id"] != "C");
    let why = none(&map.to_string(), &asked);
    assert_eq!(
        texts(&why),
        [
            "taxiway D: pavement 2.5 m wide, this gear needs 3.4 m",
            "taxiway E: spans up to 9 m only, this wing has 10.1 m"
        ]
    );
}

#[test]
fn a_segment_with_two_limits_names_both() {
    let text = two_ways().text().replace("\"works\"", "\"works\",\"maxspan\":8");
    // Two on C against two on D and E: the cheaper way of the two. By C 300 m of runway 09 are left behind and by E 500 m.
    let why = none(&text, &request("1", &[], "09", "calm"));
    assert_eq!(why.blocks.len(), 2, "{:?}", texts(&why));
    assert_eq!(
        texts(&why),
        [
            "taxiway C: closed (works)",
            "taxiway C: spans up to 8 m only, this wing has 10.1 m"
        ]
    );
}

/// An apron with fuel, a lane to the runway, and an exit beyond the landing roll.
fn home() -> Sketch {
    Sketch::default()
        .runway("runway", "09/27", &[[0.0, 300.0], [900.0, 300.0]])
        .taxiway("A", "A", &[[0.0, 0.0], [900.0, 0.0]])
        .taxiway("B", "B", &[[60.0, 0.0], [60.0, 300.0]])
        .taxiway("C", "C", &[[500.0, 0.0], [500.0, 300.0]])
        .taxiway("D", "D", &[[850.0, 0.0], [850.0, 300.0]])
        .line(
            "stand-1",
            &[[300.0, 0.0], [300.0, -25.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "in" }),
        )
        .line(
            "fuel",
            &[[400.0, 0.0], [400.0, -25.0]],
            json!({ "aeroway": "parking_position", "ref": "fuel", "toeline:nose": "in" }),
        )
        .point(
            "hold-C",
            [500.0, 200.0],
            json!({ "aeroway": "holding_position", "ref": "C1" }),
        )
        .point(
            "hold-B",
            [60.0, 200.0],
            json!({ "aeroway": "holding_position", "ref": "B1" }),
        )
        .point(
            "hold-D",
            [850.0, 200.0],
            json!({ "aeroway": "holding_position", "ref": "D1" }),
        )
        .point(
            "mid",
            [700.0, 0.0],
            json!({ "aeroway": "holding_position", "ref": "A5", "holding_position:type": "intermediate" }),
        )
}

fn stops(route: &Route) -> Vec<(StopKind, &str)> {
    route.stops.iter().map(|s| (s.kind, s.name.as_str())).collect()
}

#[test]
fn it_goes_by_fuel_and_is_pushed_back_off_it() {
    let text = home().text();
    let route = found(&text, &request("1", &["fuel"], "27", "calm")).expect("a way");
    assert_eq!(
        stops(&route),
        [
            (StopKind::Start, "stand 1"),
            (StopKind::Place, "stand fuel"),
            (StopKind::End, "D1")
        ]
    );
    let fuel = &route.stops[1];
    let mark = field_of(&text);
    let mark = mark
        .stands
        .iter()
        .find(|s| s.name.as_deref() == Some("fuel"))
        .unwrap()
        .line[1];
    assert!(
        fuel.pose.nose.distance(mark) < 0.01,
        "{} m off the mark",
        fuel.pose.nose.distance(mark)
    );
    let pushed: Vec<&str> = route
        .legs
        .iter()
        .filter(|l| l.kind == toeline_engine::route::LegKind::HandPush)
        .map(|l| l.name.as_str())
        .collect();
    assert_eq!(
        pushed,
        ["stand 1, pushed back by hand", "stand fuel, pushed back by hand"]
    );
    // Each push is 25 m less the wheelbase of 1.52 m, and its swing of a quarter turn: 23.48 m + 1.52 * pi / 2 = 25.87 m.
    let prices: Vec<u64> = route
        .costs
        .iter()
        .filter(|c| c.what.starts_with("pushed by hand"))
        .map(|c| c.cost_ms)
        .collect();
    assert_eq!(prices.len(), 2);
    for p in prices {
        assert!((p as f64 / 1000.0 - 25.87 / 0.5).abs() < 0.2, "{p} ms");
    }
    // The path is of one piece: no jump between its pieces.
    for w in route.path.pieces.windows(2) {
        let end = w[0].pose(route.path.wheelbase_m, w[0].length_m);
        assert!(end.nose.distance(w[1].start.nose) < 1e-6, "a jump at {} m", w[1].from_m);
        assert!(end.heading_rad.to_rad(w[1].start.heading_rad).abs() < 1e-6);
    }
    // The whole plan checks it too: fuel's own ground is not taken as occupied.
    let whole = plan(&text, &request("1", &["fuel"], "27", "calm")).unwrap();
    let toeline_engine::planning::Outcome::Way(way) = &whole.outcome else {
        panic!("a way")
    };
    assert_ne!(
        way.clearance.verdict,
        toeline_engine::clearance::Verdict::NotClear,
        "{:?}",
        way.given_up
    );
}

#[test]
fn it_goes_by_holding_positions_in_the_order_asked() {
    let text = home().text();
    let route = found(&text, &request("1", &["A5"], "C1", "calm")).expect("a way");
    assert_eq!(
        stops(&route),
        [
            (StopKind::Start, "stand 1"),
            (StopKind::Place, "A5"),
            (StopKind::End, "C1")
        ],
        "by A5, past C, and round by D"
    );
    let both = [
        found(&text, &request("1", &["fuel", "A5"], "27", "calm")),
        found(&text, &request("1", &["A5", "fuel"], "27", "calm")),
    ];
    let names = |r: &Option<Route>| {
        r.as_ref()
            .map(|r| r.stops.iter().map(|s| s.name.clone()).collect::<Vec<_>>())
    };
    assert_eq!(names(&both[0]).unwrap()[1..3], ["stand fuel", "A5"]);
    if let Some(list) = names(&both[1]) {
        let at = |name: &str| list.iter().position(|n| n == name);
        assert!(at("A5").is_some() && at("A5") < at("stand fuel"), "{list:?}");
    }
}

#[test]
fn after_a_landing_it_leaves_beyond_the_roll_and_ends_on_the_stand() {
    let text = home().text();
    let route = found(&text, &request("09", &[], "1", "calm")).expect("a way");
    // B lies 60 m beyond the threshold of 09, where the aeroplane is still rolling; C lies 500 m beyond.
    assert_eq!(
        route.legs.iter().flat_map(|l| l.letters.clone()).collect::<Vec<_>>(),
        ["C", "A"]
    );
    assert_eq!(
        stops(&route),
        [(StopKind::Start, "runway 09"), (StopKind::End, "stand 1")]
    );
    let field = field_of(&text);
    let mark = field
        .stands
        .iter()
        .find(|s| s.name.as_deref() == Some("1"))
        .unwrap()
        .line[1];
    assert!(route.path.end().nose.distance(mark) < 0.01);
    // By a named exit too.
    let route = found(&text, &request("D1", &[], "1", "calm")).expect("a way");
    assert_eq!(
        route.legs.iter().flat_map(|l| l.letters.clone()).collect::<Vec<_>>(),
        ["D", "A"]
    );
}

#[test]
fn unknown_and_ambiguous_places_are_told_by_name() {
    let text = home().text();
    let why = tried(&text, &request("1", &["feul"], "27", "calm"))
        .unwrap_err()
        .to_string();
    assert!(
        why.contains("no engine-check area, stand or holding position \"feul\"") && why.contains("fuel"),
        "{why}"
    );
    let twice = home()
        .point(
            "hold-fuel",
            [60.0, 120.0],
            json!({ "aeroway": "holding_position", "ref": "fuel" }),
        )
        .text();
    let why = tried(&twice, &request("1", &["fuel"], "27", "calm"))
        .unwrap_err()
        .to_string();
    assert!(why.contains("2 places answer"), "{why}");
    assert!(tried(&twice, &request("1", &["stand fuel"], "27", "calm")).is_ok());
    let why = tried(&text, &request("1", &[], "28", "calm")).unwrap_err().to_string();
    assert!(why.contains("no runway, holding position or stand \"28\""), "{why}");
}

#[test]
fn the_wind_chooses_the_runway_within_the_limits() {
    let text = home().text();
    let chosen = |wind: &str| {
        let answer = plan(&text, &request("1", &[], "into-wind", wind)).unwrap();
        (answer.request.to.clone(), answer.outcome)
    };
    // Runway 09/27 of the sketch lies east and west.
    assert_eq!(chosen("080/10T").0, "09");
    assert_eq!(chosen("250/10T").0, "27");
    // Calm: the cheapest way decides, and 27 costs the way to D or a lost runway.
    let (calm, _) = chosen("calm");
    let price = |to: &str| found(&text, &request("1", &[], to, "calm")).unwrap().cost_ms;
    assert_eq!(calm, if price("09") <= price("27") { "09" } else { "27" });
    let limit = catalog::find("trainer-high-2").unwrap().wind_limits.crosswind_kt;
    let strong = format!("360/{:02.0}T", limit + 5.0);
    let (_, outcome) = chosen(&strong);
    let toeline_engine::planning::Outcome::NoWay(why) = outcome else {
        panic!("within the limits?")
    };
    assert_eq!(why.blocks.len(), 2);
    assert!(
        why.blocks[0].text.contains(&format!(
            "{:.1} kt of wind across, this aeroplane's limit is {limit:.1} kt",
            limit + 5.0
        )),
        "{:?}",
        texts(&why)
    );
}

fn world_of<'a>(field: &'a Airfield, taxi_graph: &'a graph::TaxiGraph, aircraft: &'a Aircraft) -> World<'a> {
    World {
        field,
        graph: taxi_graph,
        aircraft,
    }
}

#[test]
fn every_stand_to_every_runway_in_one_call_is_what_single_searches_give() {
    // The last has a stand of a small span, which this aeroplane would be pushed off.
    let shut = limits::nose_in(json!({ "maxspan": 9 }));
    for text in [toeline_tests::demo_field(), home().text(), shut] {
        let field = field_of(&text);
        let (taxi_graph, _) = graph::build(&field);
        let aircraft = catalog::find("trainer-high-2").unwrap();
        let world = world_of(&field, &taxi_graph, &aircraft);
        let all = from_all_stands(world);
        let ends: usize = field
            .runways
            .iter()
            .map(|r| r.designators.iter().flatten().count())
            .sum();
        assert_eq!(all.len(), field.stands.len() * ends);
        let mut ways = 0;
        for one in &all {
            let stand = field.stands[one.stand].id.clone();
            let single = find(
                world,
                &request(&stand, &[], &one.designator, "calm"),
                0.0,
                &Avoid::default(),
            );
            let single = match single.unwrap_or_else(|e| panic!("{stand}: {e}")) {
                Attempted::Way(route) => Some(route),
                Attempted::NoWay(_) => None,
            };
            assert_eq!(
                one.way.as_ref().map(|w| w.0),
                single.as_ref().map(|r| r.cost_ms),
                "{stand} to {}",
                one.designator
            );
            if let (Some((price, segments)), Some(_)) = (&one.way, single) {
                assert!(!segments.is_empty() && *price > 0);
                ways += 1;
            }
        }
        assert!(ways > all.len() / 2, "{ways} of {}", all.len());
    }
}

#[test]
fn the_exact_prices_are_those_of_a_search_from_each_place() {
    let field = field_of(&toeline_tests::demo_field());
    let (taxi_graph, _) = graph::build(&field);
    let aircraft = catalog::find("trainer-high-2").unwrap();
    let world = world_of(&field, &taxi_graph, &aircraft);
    let usable = world.usable(&Avoid::default());
    let query = Query {
        starts: [(usable[0], 0)].into_iter().collect(),
        via: Vec::new(),
        ends: [(usable[usable.len() / 2], 0)].into_iter().collect(),
    };
    let search = SearchGraph::expand(world, &query, &Avoid::default());
    let exact: Exact = search.exact();
    for n in search
        .graph
        .node_indices()
        .filter(|n| matches!(search.graph[*n], Place::On(..)))
    {
        let theirs = pathfinding::prelude::dijkstra(
            &n,
            |n| {
                search
                    .graph
                    .edges(*n)
                    .map(|e| (e.target(), *e.weight()))
                    .collect::<Vec<_>>()
            },
            |n| *n == search.sink,
        );
        assert_eq!(exact.from(n), theirs.map(|t| t.1));
        assert!(
            exact.from(n).is_none_or(|e| search.estimate(world, &query)(n) <= e),
            "the estimate overestimates"
        );
    }
}
