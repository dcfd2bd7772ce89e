//! Stage read: the credit that a map's data must be given, from what those who write GeoJSON put beside the features.

use serde_json::{Value, json};
use toeline_engine::carrier::ATTRIBUTION;
use toeline_engine::read;
use toeline_tests::open_data;

const LANE: &str = r#"{"type":"Feature","id":"ID","properties":{"aeroway":"taxiway"},"geometry":{"type":"LineString",
    "coordinates":[[11.0,47.0],[11.001,47.0]]}}"#;

/// The credit of a map with these members beside its one feature, which is called `id`.
fn credit_of(id: &str, members: &Value) -> Option<String> {
    let mut whole = members.clone();
    let lane: Value = serde_json::from_str(&LANE.replace("ID", id)).unwrap();
    whole["type"] = json!("FeatureCollection");
    whole["features"] = json!([lane]);
    read::read(&whole.to_string())
        .unwrap_or_else(|e| panic!("{e}"))
        .field
        .attribution
}

#[test]
fn what_the_file_says_is_the_credit() {
    for (members, expected) in [
        (json!({}), None),
        (
            json!({ "name": "field", "timestamp": "2023", "generator": "our own pen" }),
            None,
        ),
        (json!({ "attribution": "© The Club" }), Some("© The Club")),
        (json!({ "attribution": "  " }), None),
        (json!({ "attribution": null, "copyright": [1], "license": {} }), None),
        (json!({ "license": "CC0-1.0" }), Some("CC0-1.0")),
        (json!({ "licence": "CC0-1.0" }), Some("CC0-1.0")),
        (
            json!({ "license": "CC BY 4.0", "attribution": "© The Club", "copyright": "© The Club" }),
            Some("© The Club; © The Club; CC BY 4.0"),
        ),
        // The open map in its own words, and otherwise.
        (
            json!({ "attribution": "© OpenStreetMap contributors" }),
            Some("© OpenStreetMap contributors"),
        ),
        (
            json!({ "attribution": "© openstreetmap CONTRIBUTORS", "license": "ODbL 1.0" }),
            Some("© openstreetmap CONTRIBUTORS; ODbL 1.0"),
        ),
        (
            json!({ "copyright": "The data included in this document is from www.openstreetmap.org.", "generator": "x" }),
            Some(ATTRIBUTION),
        ),
        (json!({ "attribution": "OSM" }), Some(ATTRIBUTION)),
        (json!({ "generator": "osmium/1.16" }), Some(ATTRIBUTION)),
        (json!({ "generator": "overpass something 0.7" }), Some(ATTRIBUTION)),
        (json!({ "generator": "Cosmos Pen" }), None),
        (json!({ "license": "ODbL" }), Some(ATTRIBUTION)),
    ] {
        assert_eq!(credit_of("lane", &members).as_deref(), expected, "{members}");
    }
    // What others want said stays beside it.
    let both = json!({ "generator": "osmium/1.16", "attribution": "heights © The Club" });
    assert_eq!(
        credit_of("lane", &both),
        Some(format!("{ATTRIBUTION}; heights © The Club"))
    );
}

#[test]
fn features_that_bear_the_open_maps_numbers_are_credited_to_it() {
    for id in ["way/1", "node/123456789012", "relation/7"] {
        assert_eq!(credit_of(id, &json!({})).as_deref(), Some(ATTRIBUTION), "{id}");
    }
    for id in ["way", "way/", "way/x", "way/-1", "taxiway/1", "Way/1", "way/1/2"] {
        assert_eq!(credit_of(id, &json!({})), None, "{id}");
    }
    // Not where the map says that it is invented, unless the file says so itself.
    let invented = |members: &str| {
        let lane = LANE.replace("ID", "way/1");
        let place =
            r#"{"type":"Feature","properties":{"aeroway":"aerodrome","toeline:invented":"yes"},"geometry":null}"#;
        let text = format!("{{\"type\":\"FeatureCollection\",{members}\"features\":[{lane},{place}]}}");
        let field = read::read(&text).unwrap_or_else(|e| panic!("{e}")).field;
        assert!(field.invented);
        field.attribution
    };
    assert_eq!(invented(""), None);
    assert_eq!(invented("\"generator\":\"osmium\",").as_deref(), Some(ATTRIBUTION));
}

#[test]
fn a_credit_is_made_safe_and_cut() {
    let nasty = json!({ "attribution": format!("a\u{1b}[31m\u{202e}b\n{}", "x".repeat(100_000)) });
    let told = credit_of("lane", &nasty).unwrap();
    assert!(told.starts_with("a [31m b x") && told.chars().count() <= 400, "{told}");
    // However much else is said, the open map's credit is whole.
    let long = json!({ "attribution": format!("{} OpenStreetMap contributors", "x ".repeat(500)) });
    assert!(credit_of("lane", &long).unwrap().starts_with(ATTRIBUTION));
    // Only beside the features: a member of a feature is none, a property is its own affair.
    let lane = LANE.replace("ID", "lane").replace(
        "\"properties\":{",
        "\"attribution\":\"no\",\"properties\":{\"attribution\":\"no\",",
    );
    let text = format!("{{\"type\":\"FeatureCollection\",\"features\":[{lane}]}}");
    assert_eq!(
        read::read(&text).unwrap_or_else(|e| panic!("{e}")).field.attribution,
        None
    );
}

#[test]
fn a_sequence_of_texts_is_credited_by_what_each_says() {
    let one = |id: &str, credit: &str| {
        let lane = LANE.replace("ID", id).replace('\n', "");
        format!("{{\"type\":\"FeatureCollection\",\"attribution\":\"{credit}\",\"features\":[{lane}]}}\n")
    };
    let text =
        one("a", "© One") + &one("b", "© Two").replace("47.0", "47.001") + &one("c", "© One").replace("47.0", "47.002");
    let read = read::read(&text).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(read.field.attribution.as_deref(), Some("© One; © Two"));
}

#[test]
fn real_files_are_credited_to_the_open_map() {
    let files = [
        "hubs/eddf-frankfurt-2023-08.geojson",
        "hubs/lfbo-toulouse-2021-01.geojson",
        "isle-of-man/by-airfield/jurby.geojson",
        "puerto-montt/scpf-la-paloma-2017-09.geojson",
        // These two say nothing of where they are from: their features' numbers do.
        "malta/malta-airfield.geojson",
        "bangor/bangor-airfield.geojson",
    ];
    for file in files {
        let Some(path) = open_data(&format!("airfields/{file}")) else {
            return;
        };
        let text = std::fs::read_to_string(path).unwrap();
        let read = read::read(&text).unwrap_or_else(|e| panic!("{file}: {e}"));
        assert_eq!(read.field.attribution.as_deref(), Some(ATTRIBUTION), "{file}");
    }
}
