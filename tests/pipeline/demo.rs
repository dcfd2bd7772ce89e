//! The demo airfield, whole: what the way is, and what the tight, closed and narrow places do.

use serde_json::Value;
use toeline_engine::clearance::Verdict;
use toeline_engine::planning::{Outcome, Way};
use toeline_engine::route::BlastHarm;
use toeline_engine::{Plan, PlanError, Request, briefing, plan};
use toeline_model::Bearing;
use toeline_model::aircraft::catalog;

pub(crate) fn request(aircraft: &str, from: &str, via: &[&str], to: &str, wind: &str) -> Request {
    toeline_tests::request(aircraft, from, via, to, wind)
}

pub(crate) fn planned(aircraft: &str, from: &str, via: &[&str], to: &str, wind: &str) -> Plan {
    plan_of(&toeline_tests::demo_field(), &request(aircraft, from, via, to, wind))
}

fn plan_of(field: &str, request: &Request) -> Plan {
    plan(field, request).unwrap()
}

pub(crate) fn json(aircraft: &str, from: &str, via: &[&str], to: &str) -> Value {
    let plan = planned(aircraft, from, via, to, "240/12T");
    serde_json::from_str(&briefing::json(&plan, &briefing::brief(&plan))).unwrap()
}

pub(crate) fn way(plan: &Plan) -> &Way {
    match &plan.outcome {
        Outcome::Way(way) => way,
        Outcome::NoWay(why) => panic!("no way: {why:?}"),
    }
}

fn letters(plan: &Plan) -> Vec<String> {
    way(plan).route.legs.iter().flat_map(|l| l.letters.clone()).collect()
}

#[test]
fn the_way_of_readme() {
    let plan = planned("trainer-high-2", "4", &["E"], "26", "240/12T");
    let way = way(&plan);
    assert_eq!(letters(&plan), ["L", "A", "A", "D"]);
    assert_eq!(way.clearance.verdict, Verdict::Clear);
    let stops: Vec<&str> = way.route.stops.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(stops, ["stand 4", "A1", "E", "D1"]);
    assert_eq!(way.route.stops[1].of.as_deref(), Some("runway 17/35"));
    // The foremost part stops a metre behind the line: the propeller is 0.78 m + 0.1 m ahead of the nose wheel.
    for stop in way.route.stops.iter().filter(|s| s.line_at.is_some()) {
        let ahead = stop.line_at.unwrap() - stop.pose.nose;
        let along = ahead.dot(toeline_model::Xy::unit(stop.pose.heading_rad));
        assert!(
            (along - (2.3 + 0.1 - 1.52 + 1.0)).abs() < 0.02,
            "{}: {along} m from nose wheel to line",
            stop.name
        );
    }
}

#[test]
fn it_stands_into_wind_for_the_engine_check_from_every_side() {
    let mut cautions = 0;
    for from in ["000", "045", "090", "135", "180", "225", "270", "315"] {
        let plan = planned("trainer-high-2", "4", &["E"], "26", &format!("{from}/12T"));
        let check = way(&plan).route.check.clone().unwrap();
        let off = check.off_wind_deg.unwrap();
        // There is room for every heading: blast on a lane is told, and turns nobody off the wind.
        assert!(off < 1.0, "wind {from}: {off:.1}, {}", check.why);
        let lanes_only = check.blast_on.iter().all(|b| b.harm != BlastHarm::KeepOff);
        assert!(lanes_only, "wind {from}: {:?}", check.blast_on);
        cautions += check.blast_on.len();
        let area = &plan
            .field
            .check_areas
            .iter()
            .find(|a| a.name.as_deref() == Some("E"))
            .unwrap()
            .outer;
        let stop = way(&plan).route.stops.iter().find(|s| s.name == "E").unwrap();
        assert!(toeline_model::planar::inside_ring(stop.pose.nose, area));
        assert!(toeline_model::planar::inside_ring(stop.pose.axle(1.52), area));
    }
    assert!(
        cautions > 0,
        "taxiway A is beside it: on some heading the blast reaches it"
    );
}

#[test]
fn in_area_w_no_wind_is_taken_from_behind() {
    // A wind from 030 at 10 kt once gave a place 105 degrees off it.
    for from in [30, 120, 210, 300] {
        let plan = planned("trainer-high-2", "H1", &["W"], "08", &format!("{from:03}/10T"));
        let check = way(&plan).route.check.clone().unwrap();
        let off = check.off_wind_deg.unwrap();
        assert!(off <= 90.0, "wind {from}: {off} degrees off, {}", check.why);
    }
}

#[test]
fn in_light_or_variable_wind_it_stands_clear_of_the_lane_on_any_heading() {
    for wind in ["240/02T", "VRB/08", "calm"] {
        for (from, area_name, to) in [("4", "E", "26"), ("H1", "W", "08")] {
            let plan = planned("trainer-high-2", from, &[area_name], to, wind);
            let route = &way(&plan).route;
            assert_eq!(route.check.as_ref().unwrap().off_wind_deg, None);
            let stop = route.stops.iter().find(|s| s.name == area_name).unwrap();
            let area = plan
                .field
                .check_areas
                .iter()
                .find(|a| a.name.as_deref() == Some(area_name))
                .unwrap();
            assert!(toeline_model::planar::inside_ring(stop.pose.nose, &area.outer));
            let on_a = plan.field.lanes.iter().filter(|l| l.letters == ["A"]);
            for lane in on_a {
                let (q, _, _) = toeline_model::planar::closest_on_line(stop.pose.nose, &lane.line).unwrap();
                assert!(
                    q.distance(stop.pose.nose) > 8.0,
                    "{wind}, area {area_name}: it blocks taxiway A"
                );
            }
        }
    }
}

#[test]
fn a_nose_in_stand_begins_with_a_push() {
    let plan = planned("trainer-high-2", "7", &["E"], "26", "240/12T");
    let route = &way(&plan).route;
    assert_eq!(route.legs[0].kind, toeline_engine::route::LegKind::HandPush);
    assert!(route.costs.iter().any(|c| c.what.starts_with("pushed by hand")));
    // The same stand, parked nose out, needs none.
    let mut out = request("trainer-high-2", "7", &["E"], "26", "240/12T");
    let start = route.path.start.heading_rad;
    out.parked_heading = Some(start.turned(std::f64::consts::PI).bearing());
    let plan = plan_of(&toeline_tests::demo_field(), &out);
    assert_ne!(way(&plan).route.legs[0].kind, toeline_engine::route::LegKind::HandPush);
}

#[test]
fn the_tight_lane_stops_the_wide_and_lets_the_narrow_pass_with_a_finding() {
    // Worked out from the map: lane centre to hangar 7.45 m at the pinch, half spans 5.05, 5.95 and 7.5 m.
    for (aircraft, least) in [("trainer-high-2", 2.40), ("twin-light-6", 1.50)] {
        let plan = planned(aircraft, "H4", &[], "26", "240/12T");
        let way = way(&plan);
        let tight = way
            .clearance
            .gaps
            .iter()
            .find(|g| way.clearance.considered[g.obstacle].name.contains("Hangar 5"));
        if let Some(gap) = tight {
            assert!(
                (gap.gap_m - least).abs() < 0.15,
                "{aircraft}: {} m to hangar 5, wanted about {least}",
                gap.gap_m
            );
        } else {
            // It went the other way round, by F.
            assert!(letters(&plan).contains(&"F".to_string()), "{:?}", letters(&plan));
        }
    }
}

#[test]
fn the_wide_wing_is_refused_by_the_stand_limit_and_hits_the_hangar_without_it() {
    let plan = planned("motorglider-15", "H3", &[], "26", "240/12T");
    match &plan.outcome {
        Outcome::NoWay(why) => {
            let told = "stand H3: spans up to 12 m only, this wing has 15 m";
            assert!(why.blocks.iter().any(|b| b.text == told), "{why:?}");
        }
        Outcome::Way(_) => panic!("H3 admits 12 m"),
    }
    // With the limit lifted, taxiway F (12 m) leaves only lane M, past hangar 5: 7.45 m beside a half span of 7.5 m.
    let mut field: Value = serde_json::from_str(&toeline_tests::demo_field()).unwrap();
    for f in field["features"].as_array_mut().unwrap() {
        if f["properties"]["ref"] == "H3" {
            f["properties"]["maxspan"] = "15".into();
        }
    }
    let plan = plan_of(
        &field.to_string(),
        &request("motorglider-15", "H3", &[], "26", "240/12T"),
    );
    let way = way(&plan);
    assert_eq!(letters(&plan)[0], "M");
    assert_eq!(way.clearance.verdict, Verdict::NotClear);
    let hangar = |g: &&toeline_engine::clearance::Gap| way.clearance.considered[g.obstacle].name.contains("Hangar 5");
    let gap = way.clearance.gaps.iter().find(hangar).unwrap();
    assert_eq!(gap.gap_m, 0.0, "the 15 m wing hits");
    // Westbound on M, hangar 5 stands on its south side.
    assert_eq!(gap.part, "left wing");
    assert!(gap.contact_m.is_some());
}

#[test]
fn a_closed_taxiway_is_never_used_and_named_when_it_is_the_only_one() {
    let plan = planned("trainer-high-2", "4", &[], "G1", "240/12T");
    match &plan.outcome {
        Outcome::NoWay(why) => {
            assert!(
                why.blocks.iter().any(|b| b.text == "taxiway G: closed (resurfacing)"),
                "{why:?}"
            );
        }
        Outcome::Way(_) => panic!("G1 lies on closed taxiway G: {:?}", letters(&plan)),
    }
}

#[test]
fn a_stand_point_without_a_heading_is_asked_about() {
    let mut text: Value = serde_json::from_str(&toeline_tests::demo_field()).unwrap();
    for f in text["features"].as_array_mut().unwrap() {
        if f["properties"]["ref"] == "H1" {
            f["properties"].as_object_mut().unwrap().remove("direction");
        }
    }
    let mut asked = request("trainer-high-2", "H1", &[], "26", "240/12T");
    let why = plan(&text.to_string(), &asked).unwrap_err();
    assert!(
        matches!(
            why,
            PlanError::Route(toeline_engine::route::RouteError::NeedsHeading { .. })
        ),
        "{why}"
    );
    asked.parked_heading = Some(Bearing::from_deg(165.0));
    assert!(plan(&text.to_string(), &asked).is_ok());
}

#[test]
fn magnetic_and_true_winds_differ_by_the_declination() {
    let a = planned("trainer-high-2", "4", &["E"], "26", "246/12M");
    let deg = a.declination.deg;
    assert!((-6.5..-4.5).contains(&deg), "about 5.7 west there: {deg}");
    let check = way(&a).route.check.clone().unwrap();
    assert!((check.wind_from.unwrap().deg() - (246.0 + deg)).abs() < 1e-9);
}

#[test]
fn corners_of_a_narrow_lane_are_taken_so_that_the_wheels_stay_on_it() {
    // Taxilane M is 8 m wide with mapped corners of 90 degrees: an easy radius would put the inner wheel on the grass.
    for aircraft in catalog::all() {
        let plan = planned(&aircraft.id, "H1", &[], "08", "240/12T");
        let way = way(&plan);
        let on_m = way
            .route
            .legs
            .iter()
            .position(|l| l.letters == ["M"])
            .expect("it leaves by M");
        let edge = way
            .clearance
            .edges
            .iter()
            .find(|e| e.leg == on_m)
            .expect("M has a width");
        assert!(edge.room_m.unwrap() >= 0.0, "{}: {:?} m", aircraft.id, edge.room_m);
        assert_eq!(edge.verdict, Verdict::Clear);
    }
}

#[test]
fn when_the_wings_do_not_clear_the_next_way_is_taken_and_the_reason_told() {
    // A pole 6 m beside the last piece of taxilane L leaves the 10.1 m wing 0.95 m: L is given up for the link without a
    // letter, whose width is not mapped.
    let clear = planned("trainer-high-2", "4", &["E"], "26", "240/12T");
    let leg = way(&clear).route.legs.iter().find(|l| l.letters == ["L"]).unwrap();
    let [.., a, b] = leg.mapped_line.as_slice() else {
        panic!("L has two points")
    };
    let beside = a.lerp(*b, 0.5) + (*b - *a).left() * (6.0 / a.distance(*b));
    let place = toeline_engine::plane::LocalPlane::new(clear.field.origin).to_lonlat(beside);
    let mut field: Value = serde_json::from_str(&toeline_tests::demo_field()).unwrap();
    field["features"].as_array_mut().unwrap().push(serde_json::json!({
        "type": "Feature", "id": "pole-x", "properties": { "power": "pole", "height": "4", "diameter": "0.3" },
        "geometry": { "type": "Point", "coordinates": [place.lon_deg, place.lat_deg] }
    }));
    let plan = plan_of(
        &field.to_string(),
        &request("trainer-high-2", "4", &["E"], "26", "240/12T"),
    );
    let way = way(&plan);
    assert_eq!(way.given_up.len(), 1, "{:?}", way.given_up);
    assert!(
        way.given_up[0].starts_with("by taxilane L: left wing comes within 0."),
        "{:?}",
        way.given_up
    );
    assert!(way.given_up[0].contains("pole-x"), "{:?}", way.given_up);
    assert!(way.route.legs.iter().any(|l| l.name == "unnamed taxiway"));
    assert_eq!(way.clearance.verdict, Verdict::NotKnown);
}

#[test]
fn when_no_way_clears_the_least_bad_is_told_and_the_others_are_named() {
    // No lane keeps 9 m beside the parked aeroplanes; both ways off stand 4 are tried.
    let mut asked = request("trainer-high-2", "4", &["E"], "26", "240/12T");
    asked.margin_m = 9.0;
    let plan = plan_of(&toeline_tests::demo_field(), &asked);
    let way = way(&plan);
    assert_eq!(way.clearance.verdict, Verdict::NotClear);
    let own = &way.clearance.considered[way.clearance.gaps[0].obstacle].name;
    assert!(!way.given_up.is_empty(), "only one way was tried");
    assert!(way.clearance.gaps[0].gap_m < 9.0, "{own}");
}

#[test]
fn a_stand_named_in_small_letters_is_the_same_stand() {
    let (a, b) = (
        planned("trainer-high-2", "H1", &[], "08", "240/12T"),
        planned("trainer-high-2", "h1", &[], "08", "240/12T"),
    );
    assert_eq!(way(&a), way(&b));
}
