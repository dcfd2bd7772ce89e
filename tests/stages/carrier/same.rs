//! The same place by every carrier is the same graph.

use super::{cut, good};
use proptest::prelude::*;
use toeline_engine::graph::{self, TaxiGraph};
use toeline_engine::read::{self, ReadField};
use toeline_tests::carried::{Osm, Packing, from_geojson, json, pbf, xml};
use toeline_tests::{demo_field, fuzzed};

/// Everything of a graph that can be compared.
fn told(found: &ReadField) -> String {
    let (
        TaxiGraph {
            graph, stands, holds, ..
        },
        notices,
    ) = graph::build(&found.field);
    let nodes: Vec<_> = graph.node_weights().collect();
    let segments: Vec<_> = graph.edge_weights().collect();
    format!("{nodes:?}\n{segments:?}\n{stands:?}\n{holds:?}\n{notices:?}")
}

/// The data by every carrier and in every form of it; each has a name for the message of a failure.
fn carriers(osm: &Osm) -> Vec<(String, Vec<u8>)> {
    let mut list = vec![
        ("XML".to_string(), xml(osm).into_bytes()),
        ("JSON".to_string(), json(osm, false).into_bytes()),
        ("JSON with places beside".to_string(), json(osm, true).into_bytes()),
        (
            "JSON after a byte order mark".to_string(),
            format!("\u{feff}{}", json(osm, false)).into_bytes(),
        ),
    ];
    let usual = Packing::default();
    for packing in [
        usual,
        Packing { dense: false, ..usual },
        Packing { zlib: false, ..usual },
        Packing { block: 7, ..usual },
        Packing { turned: true, ..usual },
        Packing {
            granularity: 1,
            ..usual
        },
    ] {
        list.push((format!("{packing:?}"), pbf(osm, packing)));
    }
    list
}

#[test]
fn the_demo_field_is_the_same_by_every_carrier() {
    let (osm, named) = from_geojson(&demo_field());
    assert!(osm.nodes.len() > 100 && osm.ways.len() > 20);
    let expected = read::read(&named).unwrap_or_else(|e| panic!("{e}"));
    // Only what things are called by, and their order, is another than in the file itself.
    let own = read::read(&demo_field()).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(own.field.lanes.len(), expected.field.lanes.len());
    assert_eq!(own.field.obstacles.len(), expected.field.obstacles.len());
    let graph = told(&expected);
    for (name, bytes) in carriers(&osm) {
        let made = good(&bytes, None);
        assert_eq!(made.aerodrome.name.as_deref(), Some("Quillmere"), "{name}");
        let found = read::read(&made.text).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(found, expected, "{name}");
        assert_eq!(told(&found), graph, "{name}");
    }
}

#[test]
fn every_carrier_gives_the_same_text() {
    let (osm, _) = from_geojson(&demo_field());
    let all = carriers(&osm);
    let first = good(&all[0].1, None);
    assert!(first.text.contains("\"attribution\":\"© OpenStreetMap contributors"));
    for (name, bytes) in &all[1..] {
        assert_eq!(good(bytes, None).text, first.text, "{name}");
    }
}

#[test]
fn words_stay_words() {
    // What would be a tag, a member or a line of another text in a name.
    let name = "<b>&amp; \"quoted\" \\ \u{202e}\u{7}\u{1f6e9} &lol; ]]>";
    let (mut osm, _) = from_geojson(&demo_field());
    let lane = osm
        .ways
        .iter_mut()
        .find(|w| w.2.iter().any(|t| t.1 == "taxiway"))
        .unwrap_or_else(|| panic!("a taxiway"));
    lane.2.retain(|t| t.0 != "ref");
    lane.2.push(("ref".to_string(), name.to_string()));
    let id = format!("way/{}", lane.0);
    // A control character may not stand in XML.
    let texts: Vec<String> = carriers(&osm)
        .iter()
        .skip(1)
        .map(|(_, bytes)| good(bytes, None).text)
        .collect();
    for text in texts {
        let whole: serde_json::Value = serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}"));
        let features = whole["features"].as_array().unwrap_or_else(|| panic!("features"));
        let lane = features
            .iter()
            .find(|f| f["id"] == *id)
            .unwrap_or_else(|| panic!("{id}"));
        assert_eq!(lane["properties"]["ref"], name);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn any_drawn_map_is_the_same_by_every_carrier(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        // An area around it all, so that nothing of it is cut off.
        let around = r#"{"type":"Feature","id":"around","properties":{"aeroway":"aerodrome"},"geometry":{"type":"Polygon",
            "coordinates":[[[11.28,46.98],[11.32,46.98],[11.32,47.02],[11.28,47.02],[11.28,46.98]]]}}"#;
        let drawn = fuzzed::map_from(&bytes);
        let more = if drawn.contains("[]") { "" } else { "," };
        let (osm, named) = from_geojson(&drawn.replacen("[", &format!("[{around}{more}"), 1));
        let expected = read::read(&named);
        for (name, bytes) in carriers(&osm) {
            match cut(&bytes, None) {
                Ok(made) => {
                    let found = read::read(&made.text);
                    prop_assert_eq!(found.as_ref().ok().map(|f| &f.field), expected.as_ref().ok().map(|f| &f.field), "{}", name);
                }
                Err(e) => prop_assert!(false, "{}: {}", name, e),
            }
        }
    }
}
