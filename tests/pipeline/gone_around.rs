//! Closures in time: what a plan goes around, and what it costs, for the time of the plan.

use super::demo::{request, way};
use serde_json::{Value, json};
use toeline_engine::{Plan, Request, briefing, plan};
use toeline_model::date::TimeOfDay;
use toeline_tests::sketch::Sketch;

/// Two ways from the stand to the runway: C straight on, and D with E around it. `marked` is what C bears.
fn two_ways(marked: Value) -> String {
    let mut c = json!({ "aeroway": "taxiway", "ref": "C", "width": 12 });
    c.as_object_mut().unwrap().extend(marked.as_object().unwrap().clone());
    let wide = |letter: &str| json!({ "aeroway": "taxiway", "ref": letter, "width": 12 });
    Sketch::default()
        .runway("runway", "09/27", &[[-300.0, 300.0], [600.0, 300.0]])
        .line(
            "stand-1",
            &[[0.0, -20.0], [0.0, 0.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 0 }),
        )
        .line("B", &[[0.0, 0.0], [0.0, 40.0]], wide("B"))
        .line("C", &[[0.0, 40.0], [0.0, 160.0]], c)
        .line(
            "D",
            &[[0.0, 40.0], [90.0, 40.0], [90.0, 160.0], [0.0, 160.0]],
            wide("D"),
        )
        .line("F", &[[0.0, 160.0], [0.0, 300.0]], wide("F"))
        .text()
}

fn at(time: &str) -> Request {
    let mut asked = request("trainer-high-2", "1", &[], "27", "calm");
    asked.time_utc = Some(TimeOfDay::parse(time).unwrap());
    asked
}

fn letters(plan: &Plan) -> Vec<String> {
    way(plan).route.legs.iter().flat_map(|l| l.letters.clone()).collect()
}

#[test]
fn a_closure_in_force_is_gone_around_and_told_with_its_price() {
    let text = two_ways(json!({
        "toeline:closed": "works",
        "toeline:closed_from": "2026-07-04T08:00Z",
        "toeline:closed_to": "2026-07-04T12:00Z",
    }));
    let closed = plan(&text, &at("09:00")).unwrap();
    assert!(letters(&closed).contains(&"D".to_string()), "{:?}", letters(&closed));
    let open = plan(&text, &at("13:00")).unwrap();
    assert!(letters(&open).contains(&"C".to_string()), "{:?}", letters(&open));
    assert!(way(&open).gone_around.is_empty());

    let told = &way(&closed).gone_around;
    assert_eq!(told.len(), 1, "{told:?}");
    // What it costs is the difference of two whole plans.
    let more_s = (way(&closed).route.cost_ms - way(&open).route.cost_ms) as f64 / 1000.0;
    assert!(more_s > 1.0);
    assert!(told[0].starts_with("taxiway C: closed (works, "), "{told:?}");
    assert!(
        told[0].ends_with(&format!("costs {more_s:.0} s more")),
        "{told:?} {more_s}"
    );

    let brief = briefing::brief(&closed);
    assert!(briefing::text(&brief).contains("CLOSURES GONE AROUND"));
    let value: Value = serde_json::from_str(&briefing::json(&closed, &brief)).unwrap();
    assert_eq!(value["outcome"]["gone_around"], json!(told));
}

#[test]
fn what_is_closed_for_good_counts_and_what_is_out_of_use_does_not() {
    let shut = plan(&two_ways(json!({ "toeline:closed": "resurfacing" })), &at("09:00")).unwrap();
    assert!(
        way(&shut).gone_around[0].starts_with("taxiway C: closed (resurfacing): "),
        "{:?}",
        way(&shut).gone_around
    );
    let disused = plan(&two_ways(json!({ "disused": "yes" })), &at("09:00")).unwrap();
    assert!(letters(&disused).contains(&"D".to_string()));
    assert!(way(&disused).gone_around.is_empty(), "{:?}", way(&disused).gone_around);
}

#[test]
fn a_closure_that_no_cheaper_way_meets_is_not_told() {
    // D is closed, and nobody would have taken it.
    let text = two_ways(json!({})).replace("\"ref\":\"D\"", "\"ref\":\"D\",\"toeline:closed\":\"works\"");
    assert!(text.contains("works"));
    let plan = plan(&text, &at("09:00")).unwrap();
    assert!(letters(&plan).contains(&"C".to_string()) && way(&plan).gone_around.is_empty());
}
