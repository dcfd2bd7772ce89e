//! The JSON Schema of the map format, judged by a general-purpose validator: it is a schema of draft 2020-12, the maps of the
//! project keep to it, and what it refuses the reader leaves out with a doubt.

use crate::python::{answer, python};
use serde_json::{Value, json};
use toeline_engine::read::{self, properties::PROPERTIES};
use toeline_tests::root;

fn map(properties: &Value) -> String {
    let feature = |id: &str, tags: Value| {
        json!({ "type": "Feature", "id": id, "properties": tags,
            "geometry": { "type": "LineString", "coordinates": [[11.0, 47.0], [11.002, 47.0]] } })
    };
    let open = feature("open", json!({ "aeroway": "taxiway" }));
    json!({ "type": "FeatureCollection", "features": [open, feature("X", properties.clone())] }).to_string()
}

#[test]
fn our_maps_keep_to_the_schema_and_it_refuses_what_the_reader_doubts() {
    let Some(python) = python() else { return };
    let schema: Value =
        serde_json::from_str(&std::fs::read_to_string(root().join("docs/map-format.schema.json")).unwrap()).unwrap();
    let mut maps: Vec<(String, String)> = Vec::new();
    for entry in std::fs::read_dir(root().join("maps")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "geojson") {
            maps.push((path.display().to_string(), std::fs::read_to_string(&path).unwrap()));
        }
    }
    maps.sort();
    let ours = maps.len();
    assert!(ours >= 2);
    // Values of a taxiway: whatever the reader doubts the schema refuses, and the other way about.
    let mut cases: Vec<(String, bool)> = Vec::new();
    for p in PROPERTIES.iter().filter(|p| p.on.contains(&read::properties::On::Lane)) {
        let Some((low, high, _)) = p.range() else { continue };
        for value in [
            json!(low),
            json!(high),
            json!(low - 0.5),
            json!(high + 0.5),
            json!("7"),
            json!("plenty"),
            json!("-"),
        ] {
            let mut tags = json!({ "aeroway": "taxiway" });
            tags[p.key] = value;
            let text = map(&tags);
            let doubted = read::read(&text).unwrap().notices.iter().any(|n| n.feature == "X");
            cases.push((tags.to_string(), doubted));
            maps.push((tags.to_string(), text));
        }
    }
    for (tags, doubted) in [
        (json!({ "aeroway": "taxiway", "surface": "cheese" }), true),
        (json!({ "aeroway": "taxiway", "surface": "concrete:plates" }), false),
        (json!({ "aeroway": "taxiway", "oneway": "sideways" }), true),
        (
            json!({ "aeroway": "taxiway", "maxspeed": "10 kt", "width": "36,0", "incline": "1.5%" }),
            false,
        ),
        (
            json!({ "aeroway": "taxiway", "toeline:closed_from": "2026-12-01T06:00Z", "toeline:closed_to": "2026-12-04" }),
            false,
        ),
        (
            json!({ "aeroway": "taxiway", "toeline:closed_from": "next week" }),
            true,
        ),
        (json!({ "toeline:area": "picnic" }), true),
    ] {
        let text = map(&tags);
        let told = read::read(&text).unwrap().notices.iter().any(|n| n.feature == "X");
        assert_eq!(told, doubted, "the reader on {tags}");
        cases.push((tags.to_string(), doubted));
        maps.push((tags.to_string(), text));
    }
    let answers = answer(&python, "schema.py", &json!({ "schema": schema, "maps": maps }));
    let answers = answers.as_array().unwrap();
    for (i, (name, _)) in maps.iter().enumerate() {
        let wrong = answers[i].as_array().unwrap();
        if i < ours {
            assert!(wrong.is_empty(), "{name}: {wrong:?}");
        } else {
            let (tags, doubted) = &cases[i - ours];
            assert_eq!(!wrong.is_empty(), *doubted, "{tags}: {wrong:?}");
        }
    }
}
