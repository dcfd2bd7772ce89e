//! The credit of the map's data: on every form that is made from a map that asks for one, over nothing else, and on none that
//! is made from another.

use super::demo::{request, way};
use super::{drawn, page};
use serde_json::Value;
use toeline_engine::briefing::{self, Briefing};
use toeline_engine::carrier::ATTRIBUTION;
use toeline_engine::planning::Outcome;
use toeline_engine::{Plan, inspection, plan, read};
use toeline_tests::demo_field;

/// The demo field as a file that asks for a credit.
fn asking(credit: &str) -> String {
    let member = format!("{{\"attribution\":{},", Value::from(credit));
    demo_field().replacen('{', &member, 1)
}

fn planned(field: &str, to: &str) -> Plan {
    let mut asked = request("trainer-high-2", "4", &["E"], to, "240/12T");
    asked.odds.drives = 0;
    plan(field, &asked).unwrap_or_else(|e| panic!("{e}"))
}

/// A plan with a way and one without: the way to every runway is closed.
fn both(field: &str) -> [Plan; 2] {
    let shut = field.replace(
        "\"aeroway\": \"taxilane\"",
        "\"aeroway\": \"taxilane\", \"toeline:closed\": \"yes\"",
    );
    let [open, closed] = [planned(field, "26"), planned(&shut, "26")];
    way(&open);
    assert!(
        matches!(closed.outcome, Outcome::NoWay(_)),
        "the lanes of the apron are shut"
    );
    [open, closed]
}

/// Every form by its name.
fn forms(plan: &Plan, b: &Briefing) -> Vec<(String, String)> {
    let mut list = vec![
        ("text".to_string(), briefing::text(b)),
        ("coloured text".to_string(), briefing::text_in_colour(b)),
        ("JSON".to_string(), briefing::json(plan, b)),
        ("GeoJSON".to_string(), briefing::geojson(plan, b)),
        ("chart".to_string(), briefing::svg(plan, b)),
        ("page".to_string(), briefing::page(plan, b)),
    ];
    list.push(("knee sheet".to_string(), briefing::knee_sheet(plan, b).remove(0)));
    list
}

#[test]
fn every_form_bears_the_credit_and_over_nothing_else() {
    for plan in both(&asking(ATTRIBUTION)) {
        let b = briefing::brief(&plan);
        for (name, form) in forms(&plan, &b) {
            assert!(form.contains(ATTRIBUTION), "{name}");
        }
        let line = format!("  map data: {ATTRIBUTION}");
        assert_eq!(briefing::text(&b).lines().filter(|l| *l == line).count(), 1);
        let json: Value = serde_json::from_str(&briefing::json(&plan, &b)).unwrap();
        assert_eq!(
            (json["attribution"].as_str(), json["briefing"]["attribution"].as_str()),
            (Some(ATTRIBUTION), Some(ATTRIBUTION))
        );
        let map: Value = serde_json::from_str(&briefing::geojson(&plan, &b)).unwrap();
        assert_eq!(map["attribution"], ATTRIBUTION);
        assert!(
            page::taken(&briefing::page(&plan, &b))
                .text
                .contains(&format!("Map data: {ATTRIBUTION}"))
        );
        let credit = format!("Map data: {ATTRIBUTION}");
        for (name, svg, width) in [
            ("chart", briefing::svg(&plan, &b), "0.85"),
            ("knee sheet", briefing::knee_sheet(&plan, &b).remove(0), "1.00"),
        ] {
            let drawn = drawn::page(&svg, width);
            assert_eq!(drawn.faults(), Vec::<String>::new(), "{name}");
            let told: Vec<_> = drawn.texts.iter().filter(|t| t.text == credit).collect();
            let picture = drawn.picture.expect("a picture");
            assert!(
                told.len() == 1 && told[0].on.y0 >= picture.y1,
                "{name}: {told:?} under {picture:?}"
            );
        }
    }
}

#[test]
fn a_map_that_asks_for_none_has_none() {
    for plan in both(&demo_field()) {
        let b = briefing::brief(&plan);
        for (name, form) in forms(&plan, &b) {
            for word in ["attribution", "Map data", "map data", "OpenStreetMap contributors"] {
                assert!(!form.contains(word), "{name}: {word}");
            }
        }
    }
}

#[test]
fn a_long_or_hostile_credit_stays_in_its_place() {
    for credit in [
        "W".repeat(3000),
        "many words of a long credit ".repeat(100),
        "<script>alert(1)</script>&\"'".to_string(),
        "東京 Ærø".to_string(),
    ] {
        for plan in both(&asking(&credit)) {
            let b = briefing::brief(&plan);
            let begin: String = credit.chars().take(5).collect();
            for (svg, width) in [
                (briefing::svg(&plan, &b), "0.85"),
                (briefing::knee_sheet(&plan, &b).remove(0), "1.00"),
            ] {
                let drawn = drawn::page(&svg, width);
                assert_eq!(drawn.faults(), Vec::<String>::new(), "{begin}");
                assert_eq!(
                    drawn.texts.iter().filter(|t| t.text.starts_with("Map data:")).count(),
                    1,
                    "{begin}"
                );
            }
            let page = briefing::page(&plan, &b);
            page::taken(&page).is_sound();
            assert!(!page.contains("<script>alert"));
            assert!(briefing::text(&b).lines().all(|l| l.chars().count() <= 100));
            for pages in briefing::knee_sheet(&plan, &b) {
                assert_eq!(drawn::page(&pages, "1.00").faults(), Vec::<String>::new(), "{begin}");
            }
        }
    }
}

#[test]
fn what_else_is_told_of_a_map_bears_the_credit() {
    let text = asking(ATTRIBUTION);
    let found = inspection::inspect(&text).unwrap_or_else(|e| panic!("{e}"));
    assert!(inspection::text(&found).contains(&format!("map data: {ATTRIBUTION}")));
    let json: Value = serde_json::from_str(&inspection::json(&found)).unwrap();
    assert_eq!(json["attribution"], ATTRIBUTION);
    let picture = drawn::page(&inspection::picture(&found), "0.85");
    let credit = picture
        .texts
        .iter()
        .find(|t| t.text.starts_with("Map data: ©"))
        .expect("a credit");
    let over = picture
        .texts
        .iter()
        .filter(|t| t.text != credit.text && t.on.meets(&credit.on))
        .count();
    assert!(over == 0 && credit.on.y0 > picture.picture.expect("a picture").y1);
    let none = inspection::inspect(&demo_field()).unwrap_or_else(|e| panic!("{e}"));
    assert!(!inspection::json(&none).contains("attribution") && !inspection::picture(&none).contains("Map data"));
}

#[test]
fn the_way_on_a_map_keeps_the_credit_when_it_is_read_again() {
    // The GeoJSON form is a map too: a lane is added, so that there is something to taxi on.
    let plan = planned(&asking(ATTRIBUTION), "26");
    let mut map: Value = serde_json::from_str(&briefing::geojson(&plan, &briefing::brief(&plan))).unwrap();
    let way = map["features"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["id"] == "way")
        .cloned();
    let mut lane = way.expect("the way");
    lane["properties"] = serde_json::json!({ "aeroway": "taxiway" });
    lane["id"] = Value::from("lane");
    map["features"].as_array_mut().unwrap().push(lane);
    let again = read::read(&map.to_string()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(again.field.attribution.as_deref(), Some(ATTRIBUTION));
}
