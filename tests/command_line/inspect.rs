//! `toeline inspect` and `--strict`: what is printed for a field with one of every doubt, exit codes, the picture.

use crate::harness::*;
use serde_json::{Value, json};
use std::path::Path;
use toeline_tests::sketch::Sketch;

/// A field with every doubt that an inspection has of its own, a repair, a closure and nonsense.
fn dirty() -> String {
    let stand = |name: &str| json!({ "aeroway": "parking_position", "ref": name });
    let way = |letter: &str, more: Value| {
        let mut tags = json!({ "aeroway": "taxiway", "ref": letter });
        tags.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        tags
    };
    Sketch::default()
        .point(
            "field",
            [0.0, -400.0],
            json!({ "aeroway": "aerodrome", "name": "Mire End", "toeline:invented": "yes" }),
        )
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .taxiway("a", "A", &[[0.0, -0.3], [0.0, -150.0]])
        .line("b", &[[0.0, -150.0], [200.0, -150.0]], way("B", json!({ "width": 30 })))
        .line(
            "c",
            &[[40.0, -150.0], [52.0, -162.0], [180.0, -162.0]],
            way("C", json!({ "width": 2 })),
        )
        .line(
            "d",
            &[[0.0, -150.0], [-150.0, -150.0]],
            way("D", json!({ "width": 60 })),
        )
        .line(
            "e",
            &[[-100.0, -150.0], [-100.0, -220.0]],
            way("E", json!({ "oneway": "yes" })),
        )
        .taxiway("apart", "A", &[[7.0, -80.0], [120.0, -80.0]])
        .line(
            "closed",
            &[[120.0, -80.0], [120.0, -40.0]],
            way("K", json!({ "toeline:closed": "works" })),
        )
        .taxiway("behind", "L", &[[120.0, -40.0], [220.0, -40.0]])
        .line(
            "vague",
            &[[200.0, -150.0], [300.0, -150.0]],
            way("F", json!({ "width": "wide", "surface": "cheese" })),
        )
        .taxiway("far", "G", &[[300.0, -150.0], [900.0, -150.0]])
        .point(
            "bar",
            [890.0, -150.0],
            json!({ "aeroway": "holding_position", "ref": "G1" }),
        )
        .point("s1", [20.0, -140.0], stand("1"))
        .point("s1b", [30.0, -140.0], stand("1"))
        .point("s2", [-100.0, -240.0], stand("2"))
        .point("s3", [100.0, -95.0], stand("3"))
        .point("s4", [0.0, -350.0], stand("4"))
        .area(
            "barn",
            &[&[[240.0, -160.0], [260.0, -160.0], [260.0, -140.0], [240.0, -140.0]]],
            json!({ "building": "yes", "name": "Barn" }),
        )
        .text()
}

/// The same without a doubt.
fn clean() -> Sketch {
    Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .taxiway("a", "A", &[[0.0, 0.0], [0.0, -60.0], [0.0, -150.0]])
        .point(
            "a1",
            [0.0, -60.0],
            json!({ "aeroway": "holding_position", "ref": "A1", "holding_position:type": "runway" }),
        )
        .point(
            "s1",
            [20.0, -150.0],
            json!({ "aeroway": "parking_position", "ref": "1", "direction": 270 }),
        )
}

fn inspect_in(folder: &Path, field: &str, more: &[&str]) -> Ran {
    write(folder, "field.geojson", field);
    let mut args = vec!["inspect", "field.geojson"];
    args.extend(more);
    toeline_in(folder, &args)
}

#[test]
fn a_dirty_field_is_told_as_text_and_as_json() {
    let folder = tempfile::tempdir().unwrap();
    let ran = inspect_in(folder.path(), &dirty(), &[]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    insta::assert_snapshot!(ran.out);
    let json = inspect_in(folder.path(), &dirty(), &["--json"]);
    assert_eq!(json.code, 1);
    let value: Value = serde_json::from_str(&json.out).unwrap();
    let topics: std::collections::BTreeSet<&str> = value["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["topic"].as_str().unwrap())
        .collect();
    // One of every topic, so that the snapshot has every message.
    assert_eq!(topics.len(), 10, "{topics:?}");
    insta::assert_snapshot!(json.out);
}

#[test]
fn rarer_messages_are_as_read() {
    let folder = tempfile::tempdir().unwrap();
    let lane = |more: Value| {
        let mut tags = json!({ "aeroway": "taxiway" });
        tags.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        tags
    };
    let stand = |name: &str| json!({ "aeroway": "parking_position", "ref": name });
    let field = clean()
        // A runway that no lane meets, without a designator; a lane behind a closed one; stands behind one-way lanes.
        .line(
            "lone",
            &[[-900.0, -500.0], [-900.0, 500.0]],
            json!({ "aeroway": "runway" }),
        )
        .line(
            "shut",
            &[[0.0, -100.0], [50.0, -100.0]],
            lane(json!({ "ref": "S", "toeline:closed": "works" })),
        )
        .line("behind", &[[50.0, -100.0], [150.0, -100.0]], lane(json!({})))
        .line(
            "out",
            &[[0.0, -150.0], [-100.0, -150.0]],
            lane(json!({ "ref": "O", "oneway": "-1" })),
        )
        .point("s2", [-110.0, -150.0], stand("2"))
        .line(
            "loop-in",
            &[[0.0, -150.0], [0.0, -250.0]],
            lane(json!({ "ref": "P", "oneway": "-1" })),
        )
        .line(
            "loop-out",
            &[[0.0, -250.0], [0.0, -350.0]],
            lane(json!({ "ref": "Q", "oneway": "yes" })),
        )
        .point("s3", [10.0, -350.0], stand("3"))
        .point("s3b", [80.0, -130.0], stand("3"))
        .area(
            "gate",
            &[&[[-60.0, -160.0], [-50.0, -160.0], [-50.0, -140.0], [-60.0, -140.0]]],
            json!({ "aeroway": "terminal" }),
        )
        .area(
            "shed",
            &[&[[-5.0, -310.0], [5.0, -310.0], [5.0, -300.0], [-5.0, -300.0]]],
            json!({ "aeroway": "hangar", "name": "Old shed", "height": 6 }),
        )
        .point("pole", [300.0, 300.0], json!({ "power": "pole" }))
        .text();
    insta::assert_snapshot!(inspect_in(folder.path(), &field, &[]).out);
    // Next to nothing: what is lacking then.
    let bare = Sketch::default()
        .line("only", &[[0.0, 0.0], [200.0, 0.0]], lane(json!({})))
        .text();
    let ran = inspect_in(folder.path(), &bare, &[]);
    assert_eq!(ran.code, 1, "two free ends and no runway are doubts: {}", ran.out);
    insta::assert_snapshot!(ran.out);
}

#[test]
fn exit_codes_are_nothing_doubtful_findings_and_could_not() {
    let folder = tempfile::tempdir().unwrap();
    let clean_text = clean().text();
    assert_eq!(inspect_in(folder.path(), &clean_text, &[]).code, 0);
    assert_eq!(inspect_in(folder.path(), &clean_text, &["--strict"]).code, 0);
    // One repair: a finding only when strict.
    let repaired = clean()
        .taxiway("b", "B", &[[0.3, -150.0], [-100.0, -150.0]])
        .area(
            "apron",
            &[&[[-120.0, -170.0], [-90.0, -170.0], [-90.0, -130.0], [-120.0, -130.0]]],
            json!({ "aeroway": "apron" }),
        )
        .text();
    assert_eq!(inspect_in(folder.path(), &repaired, &[]).code, 0);
    assert_eq!(inspect_in(folder.path(), &repaired, &["--strict"]).code, 1);
    assert_eq!(inspect_in(folder.path(), &dirty(), &[]).code, 1);
    let ran = inspect_in(folder.path(), "{}", &[]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("field.geojson"), "{}", ran.err);
}

#[test]
fn the_picture_is_written_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let ran = inspect_in(folder.path(), &dirty(), &["--picture", "look.svg"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.out.contains("look.svg"), "{}", ran.out);
    let svg = std::fs::read_to_string(folder.path().join("look.svg")).unwrap();
    assert!(svg.starts_with("<svg") && svg.contains("id=\"mark-1\""));
    let again = inspect_in(folder.path(), &dirty(), &["--picture", "again.svg", "--json"]);
    assert!(
        serde_json::from_str::<Value>(&again.out).is_ok(),
        "only JSON on the terminal"
    );
    assert_eq!(std::fs::read_to_string(folder.path().join("again.svg")).unwrap(), svg);
    let ran = inspect_in(folder.path(), &dirty(), &["--picture", "no/such/folder/look.svg"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("look.svg"), "{}", ran.err);
}

#[test]
fn the_picture_in_the_documents_is_the_one_the_program_draws() {
    let folder = tempfile::tempdir().unwrap();
    let ran = toeline_in(folder.path(), &["inspect", &demo(), "--picture", "look.svg"]);
    assert!(ran.code < 2, "{}", ran.err);
    let drawn = std::fs::read_to_string(folder.path().join("look.svg")).unwrap();
    let kept = toeline_tests::root().join("docs/pictures/quillmere-inspection.svg");
    // To renew it on purpose: TOELINE_RENEW_PICTURE=1, then look at it.
    if std::env::var_os("TOELINE_RENEW_PICTURE").is_some() {
        std::fs::write(&kept, &drawn).unwrap();
    }
    assert!(
        std::fs::read_to_string(&kept).unwrap() == drawn,
        "docs/pictures/quillmere-inspection.svg is not what the program draws"
    );
}

#[test]
fn a_strict_plan_refuses_what_it_would_have_to_mend() {
    let folder = tempfile::tempdir().unwrap();
    let plan = |field: &str, strict: bool| {
        write(folder.path(), "field.geojson", field);
        let mut args = vec![
            "plan",
            "field.geojson",
            "--aircraft",
            "trainer-high-2",
            "--from",
            "1",
            "--to",
            "27",
        ];
        args.extend(["--wind", "calm", "--date", "2026-07-04"]);
        args.extend(strict.then_some("--strict"));
        toeline_in(folder.path(), &args)
    };
    let good = clean().text();
    let ran = plan(&good, true);
    assert!(ran.code < 2, "{}", ran.err);
    assert_eq!(ran.out, plan(&good, false).out, "strict changes no answer");
    let bad = clean()
        .taxiway("b", "B", &[[0.3, -150.0], [-100.0, -150.0]])
        .line(
            "c",
            &[[-100.0, -150.0], [-200.0, -150.0]],
            json!({ "aeroway": "taxiway", "width": "wide" }),
        )
        .text();
    assert!(plan(&bad, false).code < 2);
    let ran = plan(&bad, true);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    insta::assert_snapshot!(ran.err);
    // A map that cannot be read is told in the words of the reading.
    let ran = plan("{}", true);
    assert_eq!(ran.code, 2);
    assert!(!ran.err.contains("strict"), "{}", ran.err);
}
