//! Nothing closed is ever routed on: markers on lanes of the demo field, and closures with dates on a field of our own.

use super::demo::{request, way};
use proptest::prelude::*;
use serde_json::{Value, json};
use toeline_engine::planning::Outcome;
use toeline_engine::route::{NoWay, Route};
use toeline_engine::{Plan, Request, graph, plan, read, route};
use toeline_model::date::{Date, TimeOfDay};
use toeline_tests::demo_field;

fn lanes(map: &Value) -> Vec<usize> {
    let features = map["features"].as_array().unwrap();
    let is_lane = |i: &usize| {
        matches!(
            features[*i]["properties"]["aeroway"].as_str(),
            Some("taxiway" | "taxilane")
        )
    };
    (0..features.len()).filter(is_lane).collect()
}

/// The cheapest way over the demo field, whatever the wings say: with the lanes that its segments are pieces of.
fn found(text: &str, request: &Request) -> Option<(Route, Vec<String>)> {
    let (field, _) = read::in_force(read::read(text).unwrap().field, request.date, request.time_utc);
    let (taxi_graph, _) = graph::build(&field);
    let world = route::World {
        field: &field,
        graph: &taxi_graph,
        aircraft: &request.aircraft,
    };
    match route::find(world, request, -5.0, &route::Avoid::default()) {
        Ok(route::Attempted::Way(r)) => {
            let lane = |(edge, _): &(_, bool)| match taxi_graph.segment(*edge).source {
                graph::Source::Lane(i, _) => Some(field.lanes[i].id.clone()),
                _ => None,
            };
            let used = r.segments.iter().filter_map(lane).collect();
            Some((*r, used))
        }
        Ok(route::Attempted::NoWay(_)) | Err(_) => None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// A random marker in a random place on a random lane of the demo field: no way uses that lane.
    #[test]
    fn no_way_leads_over_a_marked_lane(
        which in any::<prop::sample::Index>(),
        marker in any::<prop::sample::Index>(),
        place in 0..6_usize,
        to in prop::sample::select(vec!["26", "08", "17"]),
    ) {
        let mut map: Value = serde_json::from_str(&demo_field()).unwrap();
        let lanes = lanes(&map);
        let lane = lanes[which.index(lanes.len())];
        let (word, _) = read::MARKERS[marker.index(read::MARKERS.len())];
        let (key, value) = match place {
            0 => (format!("{word}:aeroway"), json!("taxiway")),
            1 => ("status".to_string(), json!(word)),
            2 => ("aeroway".to_string(), json!(word)),
            3 if !["was", "historic"].contains(&word) => (word.to_string(), json!("yes")),
            4 => ("toeline:closed".to_string(), json!("works")),
            5 => ("toeline:closed_from".to_string(), json!("2026-07-01")),
            _ => ("operational_status".to_string(), json!(word)),
        };
        map["features"][lane]["properties"][&key] = value;
        let id = map["features"][lane]["id"].as_str().unwrap().to_string();
        let request = request("trainer-high-2", "4", &[], to, "240/12T");
        if let Some((_, used)) = found(&map.to_string(), &request) {
            prop_assert!(!used.contains(&id), "{key} on {id}, and the way has {used:?}");
        }
    }
}

#[test]
fn the_demo_way_without_any_marker_uses_lanes_that_a_marker_takes_away() {
    // So that the property above cannot pass by finding no way at all.
    let text = demo_field();
    let request = request("trainer-high-2", "4", &[], "26", "240/12T");
    let (open, used) = found(&text, &request).expect("a way");
    let mut map: Value = serde_json::from_str(&text).unwrap();
    let mut others = 0;
    for lane in lanes(&map) {
        let id = map["features"][lane]["id"].as_str().unwrap().to_string();
        if used.contains(&id) {
            let kept = map["features"][lane]["properties"].clone();
            map["features"][lane]["properties"]["disused"] = json!("yes");
            others +=
                usize::from(found(&map.to_string(), &request).is_none_or(|(other, _)| other.cost_ms != open.cost_ms));
            map["features"][lane]["properties"] = kept;
        }
    }
    assert!(others >= 2, "{others}");
}

fn sallowfen(from: &str, via: &[&str], to: &str, day: &str, time: Option<&str>) -> Plan {
    let path = toeline_tests::root().join("maps/sallowfen.geojson");
    let text = std::fs::read_to_string(path).unwrap();
    let mut asked = request("trainer-high-2", from, via, to, "260/10T");
    asked.date = Date::parse(day).unwrap();
    asked.time_utc = time.map(|t| TimeOfDay::parse(t).unwrap());
    plan(&text, &asked).unwrap_or_else(|e| panic!("{e}"))
}

fn none(plan: &Plan) -> &NoWay {
    match &plan.outcome {
        Outcome::NoWay(why) => why,
        Outcome::Way(w) => panic!(
            "a way by {:?}",
            w.route.legs.iter().map(|l| &l.name).collect::<Vec<_>>()
        ),
    }
}

fn blocked_by(plan: &Plan, words: &str) {
    let why = none(plan);
    assert!(
        why.blocks.iter().any(|b| b.text.contains(words)),
        "no \"{words}\" in {:?}",
        why.blocks
    );
}

/// Where a way ends.
fn end(plan: &Plan) -> &str {
    &way(plan).route.stops.last().expect("an end").name
}

#[test]
fn a_closed_area_closes_the_lane_in_it_on_its_days_only() {
    assert_eq!(end(&sallowfen("1", &[], "27", "2026-12-08", None)), "C1");
    let shut = sallowfen("1", &[], "C1", "2026-12-11", None);
    blocked_by(
        &shut,
        "taxiway A: closed by closed area W1 (drain works, 2026-12-10T00:00Z to 2026-12-13T00:00Z)",
    );
    // That day the runway is entered farther west, and the other end is not concerned.
    assert_eq!(end(&sallowfen("1", &[], "27", "2026-12-11", None)), "D1");
    assert_eq!(end(&sallowfen("1", &[], "09", "2026-12-11", None)), "B1");
    assert_eq!(end(&sallowfen("1", &[], "27", "2026-12-09", Some("12:00"))), "C1");
    assert_eq!(end(&sallowfen("1", &[], "27", "2026-12-13", Some("00:00"))), "C1");
}

#[test]
fn a_closed_taxiway_runway_holding_position_check_area_and_stand_are_named() {
    let plan = sallowfen("1", &[], "D1", "2026-12-02", None);
    blocked_by(
        &plan,
        "taxiway D: closed (resurfacing, 2026-12-01T06:00Z to 2026-12-05T00:00Z)",
    );
    assert_eq!(end(&sallowfen("1", &[], "D1", "2026-12-05", None)), "D1");
    let plan = sallowfen("1", &[], "27", "2027-02-01", Some("10:00"));
    blocked_by(
        &plan,
        "runway 09/27: closed (runway inspection, 2027-02-01T09:00Z to 2027-02-01T11:00Z)",
    );
    assert!(none(&plan).unreachable.contains("27"));
    assert_eq!(end(&sallowfen("1", &[], "27", "2027-02-01", Some("11:00"))), "C1");
    let plan = sallowfen("1", &[], "C1", "2027-03-01", None);
    blocked_by(&plan, "holding position C1: closed (repainting");
    assert_eq!(end(&sallowfen("1", &[], "27", "2027-03-01", None)), "D1");
    let plan = sallowfen("1", &["W"], "09", "2027-04-01", None);
    blocked_by(&plan, "engine-check area W: closed");
    assert_eq!(end(&sallowfen("1", &["W"], "09", "2027-05-01", None)), "B1");
    blocked_by(
        &sallowfen("2", &[], "09", "2027-06-01", None),
        "stand 2: closed (tail dragger show",
    );
}

#[test]
fn a_part_of_a_day_is_closed_unless_the_time_is_given() {
    let plan = sallowfen("1", &[], "27", "2027-02-01", None);
    blocked_by(&plan, "runway 09/27: closed");
    assert!(
        plan.notices
            .iter()
            .any(|n| n.text.contains("closed for a part of 2027-02-01"))
    );
}

#[test]
fn a_helipad_beside_the_way_has_its_price_and_is_told() {
    let plan = sallowfen("1", &[], "27", "2026-12-08", None);
    let route = &way(&plan).route;
    let charged: Vec<&str> = route
        .costs
        .iter()
        .map(|c| c.what.as_str())
        .filter(|w| w.contains("helipad"))
        .collect();
    assert_eq!(charged, ["pass helipad H (helipad-H)"]);
    assert!(
        route
            .doubts
            .iter()
            .any(|d| d.contains("helipad H") && d.contains("look up")),
        "{:?}",
        route.doubts
    );
    let west = sallowfen("1", &[], "09", "2026-12-08", None);
    assert!(way(&west).route.costs.iter().all(|c| !c.what.contains("helipad")));
}

#[test]
fn slope_and_the_maps_own_variation_reach_the_briefing() {
    let plan = sallowfen("1", &[], "27", "2026-12-08", None);
    assert_eq!(
        (plan.declination.deg, plan.declination.source.as_str()),
        (-2.0, "given by the map")
    );
    let brief = toeline_engine::briefing::brief(&plan);
    let text = toeline_engine::briefing::text(&brief);
    // Taxiway B has no width; its outline, which ends at the edge of the runway, is 12 m wide.
    let b = plan
        .field
        .lanes
        .iter()
        .find(|l| l.id == "taxiway-B")
        .expect("taxiway B");
    assert!(
        b.width_m.is_some_and(|w| (11.95..=12.0).contains(&w)),
        "{:?}",
        b.width_m
    );
    // Taxiway A rises eastward, as it is drawn.
    assert!(text.contains("up to 1.2 % rises"), "{text}");
    let west = sallowfen("1", &[], "09", "2026-12-08", None);
    let text = toeline_engine::briefing::text(&toeline_engine::briefing::brief(&west));
    assert!(text.contains("up to 1.2 % falls"), "{text}");
}
