//! `toeline drive --model-pilot` as a black box.

use crate::harness::{demo, toeline_in};
use std::path::Path;

fn args<'a>(field: &'a str, stand: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let mut list = vec![
        "drive",
        field,
        "--aircraft",
        "trainer-high-2",
        "--from",
        stand,
        "--via",
        "W",
        "--to",
        "08",
    ];
    list.extend(["--wind", "240/08T", "--date", "2026-07-04", "--model-pilot"]);
    list.extend(more);
    list
}

#[test]
fn it_drives_tells_and_records() {
    let (folder, field) = (tempfile::tempdir().expect("a folder"), demo());
    let ran = toeline_in(folder.path(), &args(&field, "5", &["--record", "pilot.json"]));
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    for part in [
        "arrived; 2 of 2 stops made",
        "nose wheel off the path:",
        "brake check at",
        "stop at engine check W:",
        "stop at holding position B1:",
        "all as it should be",
        "recorded in pilot.json",
    ] {
        assert!(ran.out.contains(part), "{part} in\n{}", ran.out);
    }
    assert!(!ran.out.contains("FINDING"), "{}", ran.out);
    let text = std::fs::read_to_string(folder.path().join("pilot.json")).expect("recorded");
    let attempt: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let kinds: Vec<&str> = attempt["events"]
        .as_array()
        .expect("events")
        .iter()
        .filter_map(|e| e["kind"].as_str())
        .collect();
    assert!(
        kinds.contains(&"arrived") && kinds.contains(&"reached_hold"),
        "{kinds:?}"
    );
    assert_eq!(attempt["job"]["request"]["from"], "5");

    let ran = toeline_in(folder.path(), &args(&field, "5", &["--record", "again.json", "--json"]));
    assert_eq!(ran.code, 0, "{}", ran.err);
    let report: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(report["arrived"], true);
    assert!(report["precision"]["most_m"].as_f64().expect("a number") < 0.3);
    let again = std::fs::read_to_string(folder.path().join("again.json")).expect("recorded");
    assert_eq!(text, again, "the same drive twice");
}

#[test]
fn what_is_missing_or_too_much_is_said() {
    let (folder, field) = (tempfile::tempdir().expect("a folder"), demo());
    let wrong = |list: &[&str]| toeline_in(Path::new(folder.path()), list);
    let ran = wrong(&args(&field, "5", &[]));
    assert!(ran.code == 2 && ran.err.contains("--record"), "{}", ran.err);
    let ran = wrong(&args(&field, "5", &["--record", "a.json", "--script", "b.txt"]));
    assert!(ran.code == 2 && ran.err.contains("cannot be used with"), "{}", ran.err);
    // No way: told, and nothing recorded.
    let mut wide = args(&field, "4", &["--record", "a.json"]);
    wide[3] = "motorglider-15";
    let ran = wrong(&wide);
    assert!(ran.code == 1 && ran.out.contains("NO WAY"), "{}{}", ran.out, ran.err);
    assert!(!folder.path().join("a.json").exists());
}
