//! OpenStreetMap carriers against pyosmium (libosmium, the general library for such data): counts, places and areas.

use crate::python::{answer, python};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::PathBuf;
use toeline_engine::carrier;
use toeline_tests::carried::{AT, Packing, from_geojson, pbf, xml};
use toeline_tests::{demo_field, open_data};

/// How many nodes and ways have one of these values of aeroway, by the library.
fn number(counts: &Value, words: &[&str]) -> usize {
    let of = |kind: &str, word: &str| counts[kind][word].as_u64().unwrap_or(0) as usize;
    words.iter().map(|w| of("node", w) + of("way", w)).sum()
}

fn whole(p: &Value) -> (i64, i64) {
    let axis = |i: usize| (p[i].as_f64().unwrap() * 1e7).round() as i64;
    (axis(0), axis(1))
}

/// Twice the area that a ring encloses, square degrees.
fn size(ring: &Value) -> f64 {
    let list: Vec<(f64, f64)> = ring
        .as_array()
        .unwrap()
        .iter()
        .map(|p| (p[0].as_f64().unwrap(), p[1].as_f64().unwrap()))
        .collect();
    let sum: f64 = list.windows(2).map(|w| w[0].0 * w[1].1 - w[1].0 * w[0].1).sum();
    sum.abs() / 2.0
}

/// The features of every aerodrome of a file that has anything to taxi on, each once.
fn all_cut(bytes: &[u8]) -> BTreeMap<String, Value> {
    let mut features = BTreeMap::new();
    let list = carrier::aerodromes(&mut Cursor::new(bytes), AT, &mut |_| {}).unwrap();
    for a in list.iter().filter(|a| a.has_ground()) {
        let made = carrier::cut_out(&mut Cursor::new(bytes), Some(&a.feature), AT, &mut |_| {}).unwrap();
        let text: Value = serde_json::from_str(&made.text).unwrap();
        for f in text["features"].as_array().unwrap() {
            features.insert(f["id"].as_str().unwrap().to_string(), f.clone());
        }
    }
    features
}

/// Checks one file; how many ways and areas were compared.
fn check(name: &str, bytes: &[u8], theirs: &Value) -> (usize, usize) {
    let list = carrier::aerodromes(&mut Cursor::new(bytes), AT, &mut |_| {}).unwrap();
    let sum = |of: &dyn Fn(&carrier::Aerodrome) -> usize| list.iter().map(of).sum::<usize>();
    let counts = &theirs["counts"];
    let aerodromes = number(counts, &["aerodrome"]) + counts["relation"]["aerodrome"].as_u64().unwrap_or(0) as usize;
    assert_eq!(list.iter().filter(|a| a.tagged).count(), aerodromes, "{name}");
    assert_eq!(sum(&|a| a.lanes), number(counts, &["taxiway", "taxilane"]), "{name}");
    assert_eq!(sum(&|a| a.runways), number(counts, &["runway"]), "{name}");
    assert_eq!(sum(&|a| a.stands), number(counts, &["parking_position"]), "{name}");
    let features = all_cut(bytes);
    let (mut ways, mut areas) = (0, 0);
    for (id, f) in &features {
        let (kind, c) = (
            f["geometry"]["type"].as_str().unwrap_or("none"),
            &f["geometry"]["coordinates"],
        );
        if let Some(way) = id.strip_prefix("way/").and_then(|n| theirs["ways"][n].as_array()) {
            let line = if kind == "Polygon" { &c[0] } else { c };
            let ours: Vec<(i64, i64)> = line.as_array().unwrap().iter().map(whole).collect();
            let theirs: Vec<(i64, i64)> = way
                .iter()
                .map(|p| (p[0].as_i64().unwrap(), p[1].as_i64().unwrap()))
                .collect();
            assert_eq!(ours, theirs, "{name} {id}");
            ways += 1;
        }
        let polygons: Vec<&Value> = match kind {
            "Polygon" => vec![c],
            "MultiPolygon" => c.as_array().unwrap().iter().collect(),
            _ => continue,
        };
        let Some(area) = theirs["areas"].get(id) else {
            // The library assembles no area that crosses itself.
            assert!(id.starts_with("way/"), "{name} {id} is no area to the library");
            continue;
        };
        let holes: usize = polygons.iter().map(|p| p.as_array().unwrap().len() - 1).sum();
        let enclosed: f64 = polygons
            .iter()
            .flat_map(|p| p.as_array().unwrap().iter().enumerate())
            .map(|(i, r)| if i == 0 { size(r) } else { -size(r) })
            .sum();
        assert_eq!(area[0], polygons.len(), "{name} {id}: outer rings");
        assert_eq!(area[1], holes, "{name} {id}: holes");
        let theirs = area[2].as_f64().unwrap();
        assert!(
            (enclosed - theirs).abs() <= 1e-6 * theirs,
            "{name} {id}: {enclosed} {theirs}"
        );
        areas += 1;
    }
    (ways, areas)
}

#[test]
fn counts_places_and_areas_are_those_of_a_general_library() {
    let Some(python) = python() else { return };
    let files = [
        "malta/malta-country.osm.pbf",
        "isle-of-man/isle-of-man-2018-09.osm.pbf",
        "maldives/maldives-latest.osm.pbf",
        "bangor/bangor-region.osm.pbf",
    ];
    let Some(paths): Option<Vec<PathBuf>> = files.iter().map(|f| open_data(&format!("airfields/{f}"))).collect() else {
        return;
    };
    let found = answer(&python, "carried.py", &json!({ "files": paths }));
    for ((name, path), theirs) in files.iter().zip(&paths).zip(found.as_array().unwrap()) {
        let (ways, areas) = check(name, &std::fs::read(path).unwrap(), theirs);
        println!("{name}: {ways} ways place by place, {areas} areas by rings, holes and size");
        assert!(ways > 20 && areas > 20, "{name}: {ways} {areas}");
    }
}

#[test]
fn what_the_harness_writes_is_read_by_a_general_library() {
    let Some(python) = python() else { return };
    let (osm, _) = from_geojson(&demo_field());
    let folder = tempfile::tempdir().unwrap();
    let usual = Packing::default();
    let all: Vec<(String, Vec<u8>)> = vec![
        ("xml.osm".to_string(), xml(&osm).into_bytes()),
        ("dense.osm.pbf".to_string(), pbf(&osm, usual)),
        (
            "single.osm.pbf".to_string(),
            pbf(
                &osm,
                Packing {
                    dense: false,
                    zlib: false,
                    block: 50,
                    ..usual
                },
            ),
        ),
    ];
    let paths: Vec<PathBuf> = all.iter().map(|(name, _)| folder.path().join(name)).collect();
    for (path, (_, bytes)) in paths.iter().zip(&all) {
        std::fs::write(path, bytes).unwrap();
    }
    let found = answer(&python, "carried.py", &json!({ "files": paths }));
    for ((name, bytes), theirs) in all.iter().zip(found.as_array().unwrap()) {
        let (ways, areas) = check(name, bytes, theirs);
        assert!(ways > 20 && areas > 5, "{name}: {ways} {areas}");
    }
}
