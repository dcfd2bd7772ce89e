//! OpenStreetMap data on the command line.

use crate::harness::*;
use serde_json::{Value, json};
use toeline_tests::carried::{Osm, Packing, from_geojson, json as osm_json, pbf, xml};
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
        write(folder.path(), "b.json", osm_json(&osm, true)),
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

#[test]
fn a_survey_prints_a_line_for_every_aerodrome() {
    let folder = tempfile::tempdir().unwrap();
    let mut osm = two();
    // One more with nothing to taxi on.
    osm.nodes.push((
        5_000_001,
        (-20_000_000_000, 48_500_000_000),
        vec![
            ("aeroway".to_string(), "aerodrome".to_string()),
            ("name".to_string(), "Bare".to_string()),
        ],
    ));
    let file = write(folder.path(), "three.osm.pbf", pbf(&osm, Packing::default()));
    let name = file.to_str().unwrap();
    let asked = ["--aircraft", "trainer-high-2,tourer-low-4", "--date", "2026-07-04"];
    let ran = toeline(&[&["fit", name, "--survey"], &asked[..]].concat());
    assert!(ran.err.is_empty(), "{}", ran.err);
    let lines: Vec<Value> = ran.out.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    assert_eq!(lines.len(), 3);
    let called: Vec<&str> = lines.iter().map(|l| l["aerodrome"]["name"].as_str().unwrap()).collect();
    assert_eq!(called, ["Quillmere", "Upper Quillmere", "Bare"]);
    for (i, l) in lines.iter().enumerate() {
        assert_eq!(
            (&l["number"], &l["of"], &l["file"]),
            (&json!(i + 1), &json!(3), &json!(name))
        );
        assert!(l["caution"].as_str().unwrap().contains("Not for navigation"), "{l}");
    }
    assert_eq!(lines[2]["answer"], "nothing_to_answer");
    assert!(lines[2]["asked"].is_null());
    // Each line is the summary of the whole answer for that aerodrome.
    let whole = toeline(&[&["fit", name, "--aerodrome", "Upper Quillmere", "--json"], &asked[..]].concat());
    let whole: Value = serde_json::from_str(&whole.out).unwrap();
    let line = &lines[1];
    assert_eq!(line["counts"], whole["counts"]);
    assert_eq!(line["asked"], whole["asked"]);
    assert_eq!(line["attribution"], whole["attribution"]);
    let cells = whole["cells"].as_array().unwrap();
    for (i, a) in line["aircraft"].as_array().unwrap().iter().enumerate() {
        let own = || cells.iter().filter(move |c| c["aircraft"] == i);
        let fits = own().filter(|c| c["fits"] == "fits").count();
        assert_eq!(a["counts"]["fits"], fits, "{a}");
        let stands: std::collections::BTreeSet<u64> = own()
            .filter(|c| c["fits"] == "fits")
            .map(|c| c["stand"].as_u64().unwrap())
            .collect();
        assert_eq!(a["stands"]["fits"], stands.len(), "{a}");
        let least = own().filter_map(|c| c["least_gap_m"].as_f64()).min_by(f64::total_cmp);
        assert_eq!(a["least_gap_m"].as_f64(), least, "{a}");
    }
    assert!(
        line["blocked_by"]
            .as_object()
            .unwrap()
            .values()
            .map(|v| v.as_u64().unwrap())
            .sum::<u64>()
            > 0
    );
    assert_eq!((ran.code, &line["answer"]), (1, &json!("not_known")));
}

#[test]
fn a_survey_of_one_airfield_is_one_line_and_of_what_cannot_be_read_too() {
    let ran = toeline(&["fit", &demo(), "--survey", "--aircraft", "trainer-high-2"]);
    let line: Value = serde_json::from_str(&ran.out).unwrap();
    assert!(line["aerodrome"].is_null() && line["of"] == 1, "{line}");
    assert_eq!(ran.out.lines().count(), 1);
    let folder = tempfile::tempdir().unwrap();
    let broken = write(
        folder.path(),
        "broken.geojson",
        "{\"type\":\"FeatureCollection\",\"features\":[",
    );
    let ran = toeline(&["fit", broken.to_str().unwrap(), "--survey"]);
    let line: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!((ran.code, &line["answer"]), (2, &json!("not_answered")));
    assert!(line["why"].as_str().unwrap().contains("line 1"), "{line}");
    // A figure out of range is one error and no line.
    let ran = toeline(&["fit", &demo(), "--survey", "--margin", "99"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("99"), "{}", ran.err);
    // So is a file that breaks off.
    let whole = pbf(&demo_osm(), Packing::default());
    let file = write(folder.path(), "cut.osm.pbf", &whole[..whole.len() / 2]);
    let ran = toeline(&["fit", file.to_str().unwrap(), "--survey"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("broken at block 2"), "{}", ran.err);
}

/// The example countries, with what is known of them: see the folder's own description.
#[test]
fn the_example_countries_are_surveyed_whole() {
    for (file, most_lanes) in [
        ("malta/malta-country.osm.pbf", 81),
        ("isle-of-man/isle-of-man-2018-09.osm.pbf", 57),
        // 35 taxiways and 2 taxilanes drawn as lines, one taxiway as an area: so the extract of that aerodrome too.
        ("maldives/maldives-latest.osm.pbf", 38),
    ] {
        let Some(path) = toeline_tests::open_data(&format!("airfields/{file}")) else {
            return;
        };
        let name = path.to_str().unwrap();
        let listed = toeline(&["inspect", name, "--aerodromes", "--json"]);
        let listed: Value = serde_json::from_str(&listed.out).unwrap();
        let listed = listed["aerodromes"].as_array().unwrap();
        let ran = toeline(&[
            "fit",
            name,
            "--survey",
            "--aircraft",
            "trainer-high-2",
            "--date",
            "2026-07-04",
        ]);
        assert!(ran.code <= 1 && ran.err.is_empty(), "{file}: {}", ran.err);
        let lines: Vec<Value> = ran.out.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
        assert_eq!(lines.len(), listed.len(), "{file}");
        for (line, a) in lines.iter().zip(listed) {
            assert_eq!(&line["aerodrome"], a, "{file}");
            assert_ne!(line["answer"], "not_answered", "{file}: {line}");
            let bare = a["runway_lines"] == 0 && a["lanes"] == 0;
            assert!(!bare || line["answer"] == "nothing_to_answer", "{file}: {line}");
            let of: u64 = ["fits", "not_known", "does_not"]
                .iter()
                .map(|k| line["counts"][k].as_u64().unwrap())
                .sum();
            assert_eq!(
                of,
                line["stands"].as_u64().unwrap() * line["runway_ends"].as_u64().unwrap(),
                "{file}: {line}"
            );
        }
        assert_eq!(lines[0]["aerodrome"]["lanes"], most_lanes, "{file}");
    }
}
