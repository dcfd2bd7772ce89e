//! Real data by two carriers, with the counts that are known of it. The GeoJSON beside was made by another program.

use super::{good, list};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use toeline_engine::graph;
use toeline_engine::read::{self, ReadField};
use toeline_model::planar::line_length;
use toeline_tests::open_data;

fn bytes(file: &str) -> Option<Vec<u8>> {
    let path = open_data(&format!("airfields/{file}"))?;
    Some(std::fs::read(path).unwrap())
}

fn text(file: &str) -> Option<String> {
    Some(String::from_utf8(bytes(file)?).unwrap())
}

fn features(text: &str) -> BTreeMap<String, Value> {
    let whole: Value = serde_json::from_str(text).unwrap();
    let list = whole["features"].as_array().unwrap();
    list.iter()
        .map(|f| (f["id"].as_str().unwrap().to_string(), f.clone()))
        .collect()
}

/// The features of one that the other has not, and those whose geometry or tags differ.
fn differences(
    ours: &BTreeMap<String, Value>,
    theirs: &BTreeMap<String, Value>,
) -> (BTreeSet<String>, BTreeSet<String>, BTreeSet<String>) {
    let only = |a: &BTreeMap<String, Value>, b: &BTreeMap<String, Value>| -> BTreeSet<String> {
        a.keys().filter(|k| !b.contains_key(*k)).cloned().collect()
    };
    let geometry = |f: &Value| (f["geometry"]["type"].clone(), rings(&f["geometry"]["coordinates"]));
    let tags = |f: &Value| {
        let mut t = f["properties"].as_object().unwrap().clone();
        t.remove("@id");
        t
    };
    let differ = ours
        .iter()
        .filter(|(k, f)| {
            theirs
                .get(*k)
                .is_some_and(|g| geometry(f) != geometry(g) || tags(f) != tags(g))
        })
        .map(|(k, _)| k.clone())
        .collect();
    (only(ours, theirs), only(theirs, ours), differ)
}

/// Coordinates with every ring as the set of its edges: where it begins and which way round says nothing.
fn rings(c: &Value) -> Vec<BTreeSet<String>> {
    let Some(first) = c.get(0) else { return Vec::new() };
    if first.is_number() {
        return vec![BTreeSet::from([c.to_string()])];
    }
    if first.get(0).is_some_and(Value::is_number) {
        let list = c.as_array().unwrap();
        let edge = |w: &[Value]| {
            let (a, b) = (w[0].to_string(), w[1].to_string());
            if a < b { format!("{a} {b}") } else { format!("{b} {a}") }
        };
        return vec![list.windows(2).map(edge).collect()];
    }
    let mut all: Vec<BTreeSet<String>> = c.as_array().unwrap().iter().flat_map(rings).collect();
    all.sort();
    all
}

struct Counted {
    lanes: usize,
    lane_km: f64,
    stands: usize,
    holds: usize,
    runways: usize,
    nodes: usize,
    segments: usize,
    metres: f64,
}

fn counted(found: &ReadField) -> Counted {
    let (g, _) = graph::build(&found.field);
    let f = &found.field;
    Counted {
        lanes: f.lanes.len(),
        lane_km: f.lanes.iter().map(|l| line_length(&l.line)).sum::<f64>() / 1000.0,
        stands: f.stands.len(),
        holds: f.holding_positions.len(),
        runways: f.runways.len(),
        nodes: g.graph.node_count(),
        segments: g.graph.edge_count(),
        metres: g.graph.edge_weights().map(|s| s.length_m).sum(),
    }
}

/// The same graph: as many nodes, segments, holding positions and stands, and metres to a millimetre.
#[track_caller]
fn same_graph(a: &Counted, b: &Counted) {
    let whole = |c: &Counted| (c.lanes, c.stands, c.holds, c.runways, c.nodes, c.segments);
    assert_eq!(whole(a), whole(b));
    assert!((a.metres - b.metres).abs() < 1e-3, "{} {}", a.metres, b.metres);
}

fn read_all(text: &str) -> ReadField {
    read::read(text).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn frankfurt_as_json_is_frankfurt_as_geojson() {
    let (Some(raw), Some(theirs)) = (
        bytes("hubs/eddf-frankfurt-2023-08.overpass.json"),
        text("hubs/eddf-frankfurt-2023-08.geojson"),
    ) else {
        return;
    };
    let listed = list(&raw);
    assert_eq!(listed.len(), 1);
    let a = &listed[0];
    assert_eq!(
        (a.feature.as_str(), a.icao.as_deref(), a.iata.as_deref()),
        ("relation/5813621", Some("EDDF"), Some("FRA"))
    );
    assert_eq!((a.lanes, a.runways, a.stands), (512, 4, 449));
    let made = good(&raw, None);
    let (ours, other) = (features(&made.text), features(&theirs));
    // Nothing differs: 5525 features, each with the same tags and the same places.
    assert_eq!(ours.len(), 5525);
    assert_eq!(differences(&ours, &other), Default::default());
    let (ours, other) = (read_all(&made.text), read_all(&theirs));
    let (a, b) = (counted(&ours), counted(&other));
    same_graph(&a, &b);
    assert_eq!((a.lanes, a.stands, a.holds), (512, 449, 348));
    assert!((a.lane_km - 109.04).abs() < 0.02, "{}", a.lane_km);
}

#[test]
fn the_isle_of_man_is_cut_out_of_its_country() {
    let (Some(raw), Some(theirs)) = (
        bytes("isle-of-man/isle-of-man-2018-09.osm.pbf"),
        text("isle-of-man/by-airfield/egns-isle-of-man-airport.geojson"),
    ) else {
        return;
    };
    let listed = list(&raw);
    let lanes: usize = listed.iter().map(|a| a.lanes).sum();
    let runways: usize = listed.iter().map(|a| a.runways).sum();
    assert_eq!(
        (lanes, runways),
        (60, 12),
        "{}",
        toeline_engine::carrier::aerodromes_text(&listed)
    );
    let egns = &listed[0];
    assert_eq!((egns.icao.as_deref(), egns.lanes, egns.runways), (Some("EGNS"), 57, 5));
    let made = good(&raw, Some("EGNS"));
    assert_eq!(made, good(&raw, Some("Isle of Man Airport")));
    assert_eq!(made.aerodrome, good(&raw, Some("-4.63,54.08")).aerodrome);
    let (a, b) = (counted(&read_all(&made.text)), counted(&read_all(&theirs)));
    same_graph(&a, &b);
    assert_eq!((a.lanes, a.holds, a.runways), (57, 27, 2));
    // What is common is the same, place by place and tag by tag.
    let (_, _, differ) = differences(&features(&made.text), &features(&theirs));
    assert_eq!(differ, BTreeSet::new());
}

#[test]
fn malta_is_the_one_aerodrome_of_its_country() {
    let (Some(raw), Some(theirs)) = (
        bytes("malta/malta-country.osm.pbf"),
        text("malta/malta-airfield.geojson"),
    ) else {
        return;
    };
    let made = good(&raw, Some("LMML"));
    let (a, b) = (counted(&read_all(&made.text)), counted(&read_all(&theirs)));
    assert_eq!((a.lanes, a.stands, a.holds), (81, 100, 0));
    assert!((a.lane_km - 17.16).abs() < 0.01, "{}", a.lane_km);
    // Theirs was cut around every runway of the country: one is a heliport's, kilometres off and without a lane. Here it is
    // listed by itself. Without it the two are the same.
    assert_eq!((b.runways, b.segments), (a.runways + 1, a.segments + 1));
    let alone = |l: &toeline_engine::carrier::Aerodrome| l.feature != made.aerodrome.feature && l.runways > 0;
    let others: Vec<_> = list(&raw).into_iter().filter(alone).collect();
    assert_eq!((others.len(), others[0].runways, others[0].lanes), (1, 1, 0));
    let mut without: Value = serde_json::from_str(&theirs).unwrap();
    let ours = features(&made.text);
    let is_far = |f: &Value| f["properties"]["aeroway"] == "runway" && !ours.contains_key(f["id"].as_str().unwrap());
    without["features"].as_array_mut().unwrap().retain(|f| !is_far(f));
    same_graph(&a, &counted(&read_all(&without.to_string())));
}

#[test]
fn the_maldives_have_eighteen_that_can_be_cut_out() {
    let Some(raw) = bytes("maldives/maldives-latest.osm.pbf") else {
        return;
    };
    let listed = list(&raw);
    let told = toeline_engine::carrier::aerodromes_text(&listed);
    assert_eq!(listed.iter().filter(|a| a.tagged).count(), 22, "{told}");
    let sum = |of: &dyn Fn(&toeline_engine::carrier::Aerodrome) -> usize| listed.iter().map(of).sum::<usize>();
    assert_eq!(
        (sum(&|a| a.lanes), sum(&|a| a.runways), sum(&|a| a.stands)),
        (92, 29, 72),
        "{told}"
    );
    // Those with a runway and a lane: the fields in the folder beside.
    assert_eq!(
        listed.iter().filter(|a| a.runways > 0 && a.lanes > 0).count(),
        18,
        "{told}"
    );
    let velana = good(&raw, Some("Velana International Airport"));
    let Some(theirs) = text("maldives/by-airfield/vrmm-velana-international-airport.geojson") else {
        return;
    };
    let (a, b) = (counted(&read_all(&velana.text)), counted(&read_all(&theirs)));
    same_graph(&a, &b);
    assert_eq!((a.lanes, a.stands, a.holds), (37, 70, 6));
    // Each of the others becomes a field with what the list says it has.
    for found in listed.iter().filter(|a| a.has_ground()) {
        let made = good(&raw, Some(&found.feature));
        match read::read(&made.text) {
            Ok(read) => assert!(read.field.lanes.len() >= found.lanes.min(1), "{}", found.feature),
            Err(e) => panic!("{}: {e}", found.feature),
        }
    }
}
