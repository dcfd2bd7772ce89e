//! Closed ways, relations that draw areas, and what is missing of either.

use super::good;
use serde_json::Value;
use toeline_engine::notice::NoticeKind;
use toeline_engine::read::{self, ReadField};
use toeline_tests::carried::{Osm, Packing, Tags, json, pbf};

fn tags(list: &[(&str, &str)]) -> Tags {
    list.iter().map(|(k, v)| (k.to_string(), v.to_string())).collect()
}

/// A taxiway, and nodes 11 to 18 on the corners of a square of 200 m in one of 20 m less on every side.
fn base() -> Osm {
    // 1e-4 degrees: 11 m of latitude.
    let at = |x: i64, y: i64| (11_000_000_000 + x * 100_000, 47_000_000_000 + y * 100_000);
    let corners = [(0, 0), (20, 0), (20, 20), (0, 20)];
    let mut nodes = vec![(1, at(-10, -10), Vec::new()), (2, at(-10, 30), Vec::new())];
    for (i, (x, y)) in corners.into_iter().enumerate() {
        nodes.push((11 + i as i64, at(x, y), Vec::new()));
        let inward = |c: i64| if c == 0 { 3 } else { 17 };
        nodes.push((21 + i as i64, at(inward(x), inward(y)), Vec::new()));
    }
    Osm {
        nodes,
        ways: vec![(1, vec![1, 2], tags(&[("aeroway", "taxiway")]))],
        relations: Vec::new(),
    }
}

fn feature(osm: &Osm, id: &str) -> (Value, ReadField) {
    let by_pbf = good(&pbf(osm, Packing::default()), None).text;
    assert_eq!(
        by_pbf,
        good(json(osm, true).as_bytes(), None).text,
        "the two carriers agree"
    );
    let whole: Value = serde_json::from_str(&by_pbf).unwrap();
    let list = whole["features"].as_array().unwrap();
    let one = list.iter().find(|f| f["id"] == id).cloned().unwrap_or(Value::Null);
    (one, read::read(&by_pbf).unwrap_or_else(|e| panic!("{e}")))
}

#[test]
fn closed_ways_are_areas_or_lines_by_the_published_rule() {
    for (keys, area) in [
        (&[("building", "yes")][..], true),
        (&[("building", "yes"), ("area", "no")], false),
        (&[("aeroway", "apron")], true),
        (&[("aeroway", "hangar")], true),
        (&[("aeroway", "taxiway")], false),
        (&[("aeroway", "taxiway"), ("area", "yes")], true),
        (&[("aeroway", "taxilane")], false),
        (&[("disused:aeroway", "taxiway")], false),
        (&[("disused:aeroway", "apron")], true),
        (&[("barrier", "fence")], false),
        (&[("barrier", "hedge")], false),
        (&[("barrier", "hedge"), ("area", "yes")], true),
        (&[("man_made", "tower")], true),
        (&[("power", "tower")], false),
        (&[("toeline:area", "engine_check")], true),
    ] {
        let mut osm = base();
        osm.ways.push((2, vec![11, 12, 13, 14, 11], tags(keys)));
        let (f, _) = feature(&osm, "way/2");
        let kind = if area { "Polygon" } else { "LineString" };
        assert_eq!(f["geometry"]["type"], kind, "{keys:?}");
        // Not closed, it is a line whatever it is.
        osm.ways[1].1.pop();
        assert_eq!(feature(&osm, "way/2").0["geometry"]["type"], "LineString", "{keys:?}");
    }
}

#[test]
fn a_relation_of_pieces_is_one_ring_with_its_hole() {
    let mut osm = base();
    // The outer ring in three ways, one of them against the others.
    osm.ways.push((2, vec![11, 12, 13], Vec::new()));
    osm.ways.push((3, vec![14, 13], Vec::new()));
    osm.ways.push((4, vec![14, 11], Vec::new()));
    osm.ways.push((5, vec![21, 22, 23, 24, 21], Vec::new()));
    let members = vec![
        ("way", 5, "inner"),
        ("way", 2, "outer"),
        ("way", 4, ""),
        ("node", 1, "label"),
        ("way", 3, "outer"),
    ];
    osm.relations
        .push((9, members, tags(&[("type", "multipolygon"), ("building", "yes")])));
    let (f, read) = feature(&osm, "relation/9");
    assert_eq!(f["geometry"]["type"], "Polygon");
    let rings = f["geometry"]["coordinates"].as_array().unwrap();
    assert_eq!(
        (
            rings.len(),
            rings[0].as_array().unwrap().len(),
            rings[1].as_array().unwrap().len()
        ),
        (2, 5, 5)
    );
    assert_eq!(read.notices, []);
    assert_eq!(read.field.obstacles.len(), 1);
    // In two parts it is a MultiPolygon.
    osm.relations[0].1[0].2 = "outer";
    assert_eq!(feature(&osm, "relation/9").0["geometry"]["type"], "MultiPolygon");
}

#[test]
fn what_is_missing_is_told_and_not_drawn_over() {
    // A node in the middle of a lane: two lanes, not one through where nothing is known.
    let mut osm = base();
    osm.ways
        .push((2, vec![11, 12, 99, 13, 14], tags(&[("aeroway", "taxiway")])));
    let (f, read) = feature_of_pbf(&osm, "way/2");
    assert_eq!(f["geometry"]["type"], "MultiLineString");
    assert_eq!(
        f["properties"]["toeline:doubt"],
        "1 of its 5 nodes are not in the file; drawn in pieces"
    );
    assert_eq!(read.field.lanes.len(), 3);
    let doubts: Vec<_> = read.notices.iter().filter(|n| n.kind == NoticeKind::Doubt).collect();
    assert_eq!((doubts.len(), doubts[0].feature.as_str()), (1, "way/2"), "{doubts:?}");
    assert!(doubts[0].text.contains("1 of its 5 nodes"), "{doubts:?}");
    // A corner of a building: the others still stand.
    osm.ways[1] = (2, vec![11, 12, 99, 13, 14, 11], tags(&[("building", "yes")]));
    let (f, read) = feature_of_pbf(&osm, "way/2");
    assert_eq!(f["geometry"]["coordinates"][0].as_array().unwrap().len(), 5);
    assert!(
        read.notices[0].text.contains("drawn through the others"),
        "{:?}",
        read.notices
    );
    // A way of a relation, and a ring that does not close.
    osm.ways[1] = (2, vec![11, 12, 13], Vec::new());
    osm.relations.push((
        9,
        vec![("way", 2, "outer"), ("way", 98, "outer")],
        tags(&[("type", "multipolygon"), ("building", "yes")]),
    ));
    let (f, read) = feature_of_pbf(&osm, "relation/9");
    assert_eq!(
        f["properties"]["toeline:doubt"],
        "1 of its 2 ways are not whole in the file; 1 of its lines do not close"
    );
    assert!(
        read.notices.iter().any(|n| n.kind == NoticeKind::LeftOut),
        "{:?}",
        read.notices
    );
    assert_eq!(read.field.obstacles.len(), 0);
}

fn feature_of_pbf(osm: &Osm, id: &str) -> (Value, ReadField) {
    let text = good(&pbf(osm, Packing::default()), None).text;
    let whole: Value = serde_json::from_str(&text).unwrap();
    let list = whole["features"].as_array().unwrap();
    let one = list.iter().find(|f| f["id"] == id).cloned().unwrap_or(Value::Null);
    (one, read::read(&text).unwrap_or_else(|e| panic!("{e}")))
}

#[test]
fn a_relation_that_holds_itself_is_no_loop() {
    let mut osm = base();
    osm.ways.push((2, vec![11, 12, 13, 14, 11], Vec::new()));
    let members = vec![
        ("relation", 9, "outer"),
        ("way", 2, "outer"),
        ("way", 2, "outer"),
        ("relation", 10, "inner"),
    ];
    osm.relations
        .push((9, members, tags(&[("type", "multipolygon"), ("building", "yes")])));
    osm.relations.push((
        10,
        vec![("relation", 9, "outer")],
        tags(&[("type", "multipolygon"), ("building", "yes")]),
    ));
    let (f, _) = feature(&osm, "relation/9");
    // The way twice is the ring twice.
    assert_eq!(f["geometry"]["type"], "MultiPolygon");
    assert_eq!(feature(&osm, "relation/10").0, Value::Null, "nothing of it is near");
}

#[test]
fn what_is_there_twice_is_harmless_when_the_same_and_doubted_when_not() {
    let doubts = |osm: &Osm| -> Vec<(String, String)> {
        let text = good(&pbf(osm, Packing::default()), None).text;
        // Whatever the carrier: JSON without places beside, since those would be another truth.
        assert_eq!(text, good(json(osm, false).as_bytes(), None).text);
        let read = read::read(&text).unwrap_or_else(|e| panic!("{e}"));
        let list = read.notices.into_iter().filter(|n| n.kind == NoticeKind::Doubt);
        list.map(|n| (n.feature, n.text)).collect()
    };
    let doubt = |feature: &str, what: &str| {
        let text =
            format!("{what} in the file more than once and not the same each time; the first that is used counts");
        vec![(feature.to_string(), text)]
    };
    let lane = tags(&[("aeroway", "taxiway")]);
    let mut base = base();
    base.ways.push((2, vec![11, 12, 13], lane.clone()));
    assert_eq!(doubts(&base), []);
    let whole = |osm: &Osm| good(&pbf(osm, Packing::default()), None).text;
    // All of it twice, as where two extracts are put one after the other.
    let mut twice = base.clone();
    twice.nodes.extend(base.nodes.clone());
    twice.ways.extend(base.ways.clone());
    assert_eq!(whole(&twice), whole(&base));
    // A node elsewhere: the first place counts.
    let mut moved = base.clone();
    moved.nodes.push((12, (11_000_000_000, 47_001_000_000), Vec::new()));
    assert_eq!(doubts(&moved), doubt("way/2", "1 of its nodes is"));
    let places = |osm: &Osm| feature_of_pbf(osm, "way/2").0["geometry"].clone();
    assert_eq!(places(&moved), places(&base));
    // A way through other nodes, or with other tags.
    for other in [
        (2, vec![11, 13], lane.clone()),
        (2, vec![11, 12, 13], tags(&[("aeroway", "taxilane")])),
    ] {
        let mut osm = base.clone();
        osm.ways.push(other);
        assert_eq!(doubts(&osm), doubt("way/2", "it is"));
        assert_eq!(places(&osm), places(&base));
    }
    // Bare at first: the one that is used is told too.
    let mut osm = base.clone();
    osm.ways[1].2.clear();
    osm.ways.push((2, vec![11, 12, 13], lane));
    assert_eq!(doubts(&osm), doubt("way/2", "it is"));
    // A way of a relation.
    let mut osm = base.clone();
    osm.ways.push((3, vec![11, 12, 13, 14, 11], Vec::new()));
    osm.relations.push((
        9,
        vec![("way", 3, "outer")],
        tags(&[("type", "multipolygon"), ("building", "yes")]),
    ));
    osm.ways.push((3, vec![11, 12, 13, 11], Vec::new()));
    assert_eq!(doubts(&osm), doubt("relation/9", "1 of its ways is"));
    // A relation.
    osm.ways.pop();
    osm.relations.push((
        9,
        vec![("way", 3, "outer")],
        tags(&[("type", "multipolygon"), ("building", "hangar")]),
    ));
    assert_eq!(doubts(&osm), doubt("relation/9", "it is"));
}
