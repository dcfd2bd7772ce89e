//! OpenStreetMap data on the command line.

use crate::harness::*;
use serde_json::Value;
use toeline_tests::carried::{Osm, Packing, from_geojson, json, pbf, xml};
use toeline_tests::demo_field;

fn demo_osm() -> Osm {
    from_geojson(&demo_field()).0
}

/// The demo field, and a copy of it 20 km to the north under another name.
fn two() -> Osm {
    let mut osm = demo_osm();
    let other = osm.clone();
    let far = |id: i64| id + 1_000_000;
    let renamed = |tags: &[(String, String)]| {
        let name = |v: &String| {
            if v == "Quillmere" {
                "Upper Quillmere".to_string()
            } else {
                v.clone()
            }
        };
        tags.iter().map(|(k, v)| (k.clone(), name(v))).collect()
    };
    osm.nodes.extend(
        other
            .nodes
            .iter()
            .map(|(id, (lon, lat), t)| (far(*id), (*lon, lat + 180_000_000), renamed(t))),
    );
    osm.ways.extend(
        other
            .ways
            .iter()
            .map(|(id, refs, t)| (far(*id), refs.iter().map(|r| far(*r)).collect(), renamed(t))),
    );
    osm.relations.extend(other.relations.iter().map(|(id, members, t)| {
        (
            far(*id),
            members.iter().map(|(k, m, r)| (*k, far(*m), *r)).collect(),
            renamed(t),
        )
    }));
    osm
}

#[test]
fn a_plan_is_the_same_by_every_carrier() {
    let folder = tempfile::tempdir().unwrap();
    let (osm, named) = from_geojson(&demo_field());
    let files = [
        write(folder.path(), "a.osm", xml(&osm)),
        write(folder.path(), "b.json", json(&osm, true)),
        // What it is is told by what is in it, not by its name.
        write(folder.path(), "c.geojson", pbf(&osm, Packing::default())),
    ];
    let named = write(folder.path(), "named.geojson", named);
    let plain = run(&journey("plan", &[("FIELD", named.to_str().unwrap())]));
    assert_eq!(plain.code, 0, "{}", plain.err);
    for file in files {
        let made = run(&journey("plan", &[("FIELD", file.to_str().unwrap())]));
        assert_eq!(made.code, 0, "{}", made.err);
        assert_eq!(made.out, plain.out, "{}", file.display());
    }
}

#[test]
fn the_job_points_to_the_aerodrome_that_was_cut_out() {
    let folder = tempfile::tempdir().unwrap();
    let file = write(folder.path(), "a.osm.pbf", pbf(&two(), Packing::default()));
    let out = folder.path().join("out");
    let changes = [
        ("FIELD", file.to_str().unwrap()),
        ("--out", out.to_str().unwrap()),
        ("--aerodrome", "Upper Quillmere"),
    ];
    let made = run(&journey("plan", &changes));
    assert_eq!(made.code, 0, "{}", made.err);
    assert!(
        made.out.contains("field.geojson the aerodrome as it was cut out"),
        "{}",
        made.out
    );
    let job: Value = serde_json::from_str(&std::fs::read_to_string(out.join("drive.json")).unwrap()).unwrap();
    let field = job["field_file"].as_str().unwrap();
    assert_eq!(
        std::path::Path::new(field),
        out.join("field.geojson").canonicalize().unwrap()
    );
    // Read again from there, the plan is the same.
    let again = run(&journey("plan", &[("FIELD", field)]));
    let before = |text: &str| text.split("\nFiles in ").next().unwrap().trim_end().to_string();
    assert_eq!(before(&made.out), before(&again.out));
    // Driven, it is kept beside the record.
    let record = folder.path().join("drive-1.json");
    let mut args = journey(
        "drive",
        &[
            ("FIELD", file.to_str().unwrap()),
            ("--aerodrome", "Upper Quillmere"),
            ("--record", record.to_str().unwrap()),
        ],
    );
    args.push("--model-pilot".to_string());
    let driven = run(&args);
    assert_eq!(driven.code, 0, "{}{}", driven.out, driven.err);
    assert!(folder.path().join("drive-1.field.geojson").is_file());
    let debrief = run(&["debrief".to_string(), record.display().to_string()]);
    assert!(debrief.code <= 1 && debrief.err.is_empty(), "{}", debrief.err);
}

#[test]
fn aerodromes_are_listed_and_one_is_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let file = write(folder.path(), "two.osm.pbf", pbf(&two(), Packing::default()));
    let name = file.to_str().unwrap();
    let listed = toeline(&["inspect", name, "--aerodromes"]);
    assert_eq!(listed.code, 0, "{}", listed.err);
    insta::assert_snapshot!("aerodromes", listed.out);
    let told = toeline(&["inspect", name, "--aerodromes", "--json"]);
    let json: Value = serde_json::from_str(&told.out).unwrap();
    assert_eq!(json["toeline_aerodromes"], 1);
    assert_eq!(json["aerodromes"][1]["name"], "Upper Quillmere");
    for command in ["inspect", "fit", "closing"] {
        let mut args = vec![command, name];
        if command == "closing" {
            args.extend(["--lane", "A"]);
        }
        let asked = toeline(&args);
        assert_eq!(asked.code, 2, "{command}: {}", asked.out);
        assert!(
            asked.err.contains("holds 2 aerodromes; say which with --aerodrome"),
            "{command}: {}",
            asked.err
        );
        args.extend(["--aerodrome", "nowhere"]);
        assert!(
            toeline(&args)
                .err
                .contains("no aerodrome of the map file answers to \"nowhere\"")
        );
    }
    let one = toeline(&["inspect", name, "--aerodrome", "upper quillmere", "--json"]);
    let plain = toeline(&["inspect", &demo(), "--json"]);
    assert_eq!(one.code, plain.code, "{}", one.err);
    let place = toeline(&["inspect", name, "--aerodrome", "-20.4,47.2", "--json"]);
    assert_ne!(place.out, one.out);
    let error = toeline(&["inspect", &demo(), "--aerodrome", "Quillmere"]);
    assert_eq!(error.code, 2);
    assert!(
        error.err.contains("is GeoJSON, which holds one airfield"),
        "{}",
        error.err
    );
}

#[test]
fn a_broken_file_is_named_with_the_place() {
    let folder = tempfile::tempdir().unwrap();
    let whole = pbf(&demo_osm(), Packing::default());
    let file = write(folder.path(), "cut.osm.pbf", &whole[..whole.len() / 2]);
    let ran = toeline(&["inspect", file.to_str().unwrap()]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err
            .contains("cut.osm.pbf: the OpenStreetMap PBF is broken at block 2"),
        "{}",
        ran.err
    );
    let file = write(folder.path(), "empty.osm", "<osm version=\"0.6\"/>");
    let ran = toeline(&["inspect", file.to_str().unwrap()]);
    assert!(ran.code == 2 && ran.err.contains("nothing to taxi on"), "{}", ran.err);
}
