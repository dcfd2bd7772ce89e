//! What `toeline plan` writes for programs, by libraries that are not ours: the JSON obeys `docs/plan.schema.json`, the schema
//! refuses a plan spoilt in any one place, and the GeoJSON keeps to RFC 7946.

use serde_json::{Value, json};
use std::collections::BTreeSet;
use toeline_engine::briefing::{self, RUNNING_STAGES, Units};
use toeline_engine::odds::Wobble;
use toeline_engine::plan;
use toeline_engine::planning::{Outcome, Plan, alternatives};
use toeline_engine::request::{MarginRule, Request};
use toeline_model::date::TimeOfDay;
use toeline_tests::sketch::Sketch;
use toeline_tests::{demo_field, open_data, root};

/// Keys that may be absent, in the plans of this file; a name of a list stands for each of its members.
const MAY_BE_ABSENT: [&str; 50] = [
    ".briefing.answer.check_places",
    ".briefing.answer.legs[].lift",
    ".briefing.answer.legs[].lift.held_right.above_gust_kt",
    ".briefing.answer.legs[].lift.held_right.above_steady_kt",
    ".briefing.answer.legs[].lift.held_right.heading_magnetic_deg",
    ".briefing.answer.legs[].lift.held_right.lifts_at_kt",
    ".briefing.answer.legs[].lift.held_right.speed_kt",
    ".briefing.answer.legs[].lift.held_right.wheel",
    ".briefing.answer.legs[].lift.held_wrong.above_steady_kt",
    ".briefing.answer.legs[].lift.held_wrong.heading_magnetic_deg",
    ".briefing.answer.legs[].lift.held_wrong.lifts_at_kt",
    ".briefing.answer.legs[].lift.held_wrong.speed_kt",
    ".briefing.answer.legs[].lift.held_wrong.wheel",
    ".briefing.answer.legs[].slope_percent",
    ".briefing.answer.legs[].turns[].edge_room_m",
    ".briefing.answer.no_check_place",
    ".briefing.answer.odds",
    ".briefing.answer.running",
    ".briefing.answer.running[].at_m",
    ".briefing.answer.running[].items[].to_be",
    ".briefing.answer.running[].leg",
    ".briefing.answer.stops[].who_may_pass",
    ".briefing.others",
    ".briefing.radio",
    ".briefing.radio.instruction",
    ".briefing.radio.read_back",
    ".briefing.radio.runway_first",
    ".briefing.radio.spoken",
    ".briefing.time",
    ".briefing.units",
    ".outcome.compared[].class",
    ".outcome.compared[].rows[].found_m",
    ".outcome.compared[].rows[].obstacle",
    ".outcome.compared[].verdict",
    ".outcome.fewest",
    ".outcome.legs[].slope_percent",
    ".outcome.odds",
    ".outcome.turns[].edge_room_m",
    ".request.aircraft.compass_card",
    ".request.aircraft.lights",
    ".request.aircraft.take_off",
    ".request.aircraft.take_off.flaps",
    ".request.aircraft.take_off.fuel",
    ".request.aircraft.take_off.fuel_pump",
    ".request.aircraft.take_off.propeller_lever",
    ".request.aircraft.take_off.rotate_kt",
    ".request.aircraft.take_off.trim",
    ".request.odds",
    ".request.odds.wobble",
    ".request.time_utc",
];

fn asked(aircraft: &str, from: &str, via: &[&str], to: &str, wind: &str) -> Request {
    toeline_tests::request(aircraft, from, via, to, wind).without_drives()
}

fn planned(text: &str, asked: &Request) -> Plan {
    plan(text, asked).unwrap_or_else(|e| panic!("{} to {}: {e}", asked.from, asked.to))
}

/// A stand, a lane that may be closed, a runway, a fence near by; everything is called `name`.
fn little(name: &str, closed: bool) -> String {
    let mut lane = json!({ "aeroway": "taxiway", "ref": name, "name": name, "width": 10.5 });
    // The other half stays open, so that a lane in use leads to the runway.
    let other_half = lane.clone();
    if closed {
        lane["toeline:closed"] = json!(name);
    }
    let stand = json!({ "aeroway": "parking_position", "ref": "1", "name": name, "toeline:heading": 0 });
    let spot = json!({ "toeline:area": "hot_spot", "ref": name, "description": name, "note": name });
    Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 300.0], [0.0, 300.0], [450.0, 300.0]])
        .line("lane", &[[0.0, 0.0], [0.0, 150.0]], lane)
        .line("other half", &[[0.0, 150.0], [0.0, 300.0]], other_half)
        .line("stand", &[[0.0, -40.0], [0.0, 0.0]], stand)
        .line(
            "fence",
            &[[12.0, 20.0], [12.0, 120.0]],
            json!({ "barrier": "fence", "name": name }),
        )
        .area(
            "spot",
            &[&[[-20.0, 60.0], [20.0, 60.0], [20.0, 90.0], [-20.0, 90.0]]],
            spot,
        )
        .text()
}

const HOSTILE: [&str; 3] = [
    "<script>alert(1)</script>",
    "bad\u{0}\u{1b}[31m\u{7f}\u{202e}\"\\name",
    "東京 Ærø 🛩 e\u{301}",
];

/// Plans of every kind with what each is.
fn plans() -> Vec<(String, Plan)> {
    let demo = demo_field();
    let mut whole = asked("trainer-high-2", "4", &["E"], "26", "240/12T");
    whole.odds.drives = 200;
    let mut pushed = asked("twin-light-6", "7", &[], "08", "160/12G20M");
    pushed.time_utc = Some(TimeOfDay { minute: 600 });
    pushed.odds.drives = 200;
    pushed.odds.wobble = Some(Wobble::parse("0.25R/0.8/20").unwrap());
    let mut by_rows = asked("motorglider-15", "H2", &[], "17", "VRB/04G15");
    by_rows.rule = MarginRule::Icao;
    by_rows.accuracy_m = Some(0.5);
    let back = asked("caster-low-2", "26", &[], "9", "calm");
    let mut instructed = asked("trainer-high-2", "4", &[], "26", "240/12T");
    instructed.instruction =
        Some("taxi to holding point D1 runway 26 via L, A, D, hold short of runway 17/35".to_string());
    let strict = asked("tourer-high-4", "1", &["W"], "08", "075/20M");
    let sallowfen = std::fs::read_to_string(root().join("maps/sallowfen.geojson")).unwrap();
    let other_field = asked("tourer-low-4", "1", &[], "27", "240/12T");
    let mut list: Vec<(String, Plan)> = [
        ("whole", &demo, &whole),
        ("pushed", &demo, &pushed),
        ("by rows", &demo, &by_rows),
        ("back", &demo, &back),
        ("instructed", &demo, &instructed),
        ("another aeroplane", &demo, &strict),
        ("the other field", &sallowfen, &other_field),
    ]
    .into_iter()
    .map(|(name, text, asked)| (name.to_string(), planned(text, asked)))
    .collect();
    let little_way = asked("trainer-high-2", "stand", &[], "27", "240/12T");
    for closed in [false, true] {
        for name in HOSTILE {
            let plan = planned(&little(name, closed), &little_way);
            assert_eq!(matches!(plan.outcome, Outcome::NoWay(_)), closed, "{name:?}");
            list.push((format!("{name:?}, closed {closed}"), plan));
        }
    }
    for (file, from, to) in [
        ("airfields/malta/malta-airfield.geojson", "way/304191637", "31"),
        ("airfields/hubs/eddf-frankfurt-2023-08.geojson", "V 117", "25C"),
    ] {
        if let Some(path) = open_data(file) {
            let text = std::fs::read_to_string(path).unwrap();
            let real = asked("trainer-high-2", from, &[], to, "240/12T");
            list.push((file.to_string(), planned(&text, &real)));
        }
    }
    list
}

fn json_of(plan: &Plan) -> Value {
    let mut b = briefing::brief(plan);
    // Where the drives are asked for; on some plans the search for others takes minutes.
    if plan.request.odds.drives > 0 {
        b.others = briefing::others(&alternatives(plan, 2));
    }
    if plan.request.rule == MarginRule::Icao {
        b = briefing::in_units(&b, Units::Imperial, &plan.field);
    }
    serde_json::from_str(&briefing::json(plan, &b)).unwrap()
}

fn schema() -> Value {
    serde_json::from_str(&std::fs::read_to_string(root().join("docs/plan.schema.json")).unwrap()).unwrap()
}

#[test]
fn the_json_of_a_plan_obeys_its_schema() {
    let Some(python) = crate::python::python() else { return };
    let documents: Vec<(String, Value)> = plans().iter().map(|(name, p)| (name.clone(), json_of(p))).collect();
    let named: Vec<Value> = documents.iter().map(|(name, d)| json!([name, d.to_string()])).collect();
    let answer = crate::python::answer(&python, "schema.py", &json!({ "schema": schema(), "maps": named }));
    for ((name, _), errors) in documents.iter().zip(answer.as_array().unwrap()) {
        assert!(errors.as_array().unwrap().is_empty(), "{name}: {errors}");
    }
    assert_eq!(answer.as_array().unwrap().len(), documents.len());
}

#[test]
fn the_schema_refuses_a_plan_spoilt_in_any_one_place() {
    let Some(python) = crate::python::python() else { return };
    let chosen = [
        "whole",
        "pushed",
        "by rows",
        "the other field",
        "\"<script>alert(1)</script>\", closed true",
    ];
    let documents: Vec<Value> = plans()
        .iter()
        .filter(|(name, _)| chosen.contains(&name.as_str()))
        .map(|(_, p)| json_of(p))
        .collect();
    assert_eq!(documents.len(), chosen.len());
    let answer = crate::python::answer(
        &python,
        "schema_strict.py",
        &json!({ "schema": schema(), "documents": documents }),
    );
    assert_eq!(answer["bad"], json!([]));
    let tried = answer["tried"].as_u64().unwrap();
    println!("{tried} spoilt plans");
    assert!(tried > 1500, "only {tried} spoilt plans");
    // A key renamed or added, a value of another kind: never. A key left out: only those that the program leaves out.
    assert_eq!(answer["accepted"], json!([]));
    let optional: BTreeSet<&str> = answer["optional"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let known: BTreeSet<&str> = MAY_BE_ABSENT.into_iter().collect();
    let strange: Vec<_> = optional.symmetric_difference(&known).collect();
    assert!(strange.is_empty(), "{strange:?}");
}

#[test]
fn a_way_told_as_none_and_a_version_that_is_not_this_one_are_refused() {
    let Some(python) = crate::python::python() else { return };
    let way = json_of(&planned(
        &demo_field(),
        &asked("trainer-high-2", "4", &[], "26", "calm"),
    ));
    let none = json_of(&planned(
        &little("A", true),
        &asked("trainer-high-2", "stand", &[], "27", "calm"),
    ));
    let mut mixed = way.clone();
    mixed["briefing"]["answer"] = none["briefing"]["answer"].clone();
    let mut other = none.clone();
    other["briefing"]["answer"] = way["briefing"]["answer"].clone();
    let mut later = way.clone();
    later["toeline_plan"] = json!(briefing::FORMAT + 1);
    let all = [way, none, mixed, other, later];
    let named: Vec<Value> = all.iter().map(|d| json!(["plan", d.to_string()])).collect();
    let answer = crate::python::answer(&python, "schema.py", &json!({ "schema": schema(), "maps": named }));
    let right: Vec<bool> = answer.as_array().unwrap().iter().map(|e| e == &json!([])).collect();
    assert_eq!(right, [true, true, false, false, false]);
}

#[test]
fn the_schema_knows_the_version_and_the_stages_of_the_running_list() {
    let schema = schema();
    assert_eq!(
        schema["$id"],
        format!("https://toeline.invalid/plan-{}.schema.json", briefing::FORMAT)
    );
    assert_eq!(schema["properties"]["toeline_plan"]["const"], briefing::FORMAT);
    assert_eq!(
        schema["$defs"]["running_stage"]["properties"]["id"]["enum"],
        json!(RUNNING_STAGES)
    );
    // Every object is closed.
    fn open(v: &Value, at: &str, list: &mut Vec<String>) {
        if v["type"] == "object" && v["additionalProperties"] != false {
            list.push(at.to_string());
        }
        let members: Vec<(String, &Value)> = match v {
            Value::Object(map) => map.iter().map(|(k, v)| (k.clone(), v)).collect(),
            Value::Array(all) => all.iter().enumerate().map(|(i, v)| (i.to_string(), v)).collect(),
            _ => Vec::new(),
        };
        for (k, v) in members {
            open(v, &format!("{at}/{k}"), list);
        }
    }
    let mut list = Vec::new();
    open(&schema, "", &mut list);
    assert!(list.is_empty(), "{list:?}");
}

/// RFC 7946, sections 3.1.1 (longitude first), 3.1.4, 3.1.6 (rings closed, right-hand rule), 4 (WGS 84, no crs); polygons valid.
#[test]
fn the_geojson_of_a_plan_keeps_to_rfc_7946() {
    let Some(python) = crate::python::python() else { return };
    let mut all = Vec::new();
    for (name, plan) in plans() {
        let b = briefing::brief(&plan);
        let document: Value = serde_json::from_str(&briefing::json(&plan, &b)).unwrap();
        let end = document["outcome"]["track"]["rows"].as_array().and_then(|r| r.last());
        all.push(json!({
            "name": name,
            "text": briefing::geojson(&plan, &b),
            "lon": plan.field.origin.lon_deg,
            "lat": plan.field.origin.lat_deg,
            "end": end.map(|r| json!([r[2], r[3]])),
        }));
    }
    let good = all.len();
    // The check must be able to say no.
    let spoilt = |change: &dyn Fn(&mut Value)| {
        let mut one = all[0].clone();
        let mut form: Value = serde_json::from_str(one["text"].as_str().unwrap()).unwrap();
        change(&mut form);
        one["text"] = json!(form.to_string());
        one
    };
    let swept = |form: &Value| {
        let features = form["features"].as_array().unwrap();
        features.iter().position(|f| f["id"] == "swept").unwrap()
    };
    let spoiled = [
        spoilt(&|f| {
            let at = swept(f);
            f["features"][at]["geometry"]["coordinates"][0]
                .as_array_mut()
                .unwrap()
                .reverse();
        }),
        spoilt(&|f| {
            let at = swept(f);
            f["features"][at]["geometry"]["coordinates"][0]
                .as_array_mut()
                .unwrap()
                .swap(3, 30);
        }),
        spoilt(&|f| f["features"][1]["properties"] = Value::Null),
        spoilt(&|f| {
            let point = f["features"]
                .as_array_mut()
                .unwrap()
                .iter_mut()
                .find(|f| f["geometry"]["type"] == "Point");
            point.unwrap()["geometry"]["coordinates"]
                .as_array_mut()
                .unwrap()
                .reverse();
        }),
        spoilt(&|f| f["crs"] = json!({})),
        spoilt(&|f| {
            let way = f["features"]
                .as_array_mut()
                .unwrap()
                .iter_mut()
                .find(|f| f["id"] == "way");
            way.unwrap()["geometry"]["coordinates"].as_array_mut().unwrap().pop();
        }),
    ];
    all.extend(spoiled);
    let answer = crate::python::answer(&python, "geojson_form.py", &json!(all));
    let answer = answer.as_array().unwrap();
    assert_eq!(answer.len(), all.len());
    for (k, (asked, faults)) in all.iter().zip(answer).enumerate() {
        assert_eq!(faults == &json!([]), k < good, "{k}, {}: {faults}", asked["name"]);
    }
}
