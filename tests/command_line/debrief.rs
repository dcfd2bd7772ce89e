//! `toeline debrief` as a black box: a drive by the model pilot and a bad one by script.

use crate::harness::{demo, toeline_in, write};
use std::path::Path;

fn drive(folder: &Path, more: &[&str]) {
    let field = demo();
    let mut list = vec![
        "drive",
        field.as_str(),
        "--aircraft",
        "trainer-high-2",
        "--from",
        "5",
        "--via",
        "W",
    ];
    list.extend(["--to", "08", "--wind", "240/08T", "--date", "2026-07-04"]);
    list.extend(more);
    let ran = toeline_in(folder, &list);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

#[test]
fn a_drive_is_debriefed_in_every_form() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    drive(at, &["--model-pilot", "--record", "pilot.json"]);
    write(
        at,
        "bad.txt",
        "at 0 throttle 0.7\nat 480 left_brake 0.15 right_brake 0.15\nat 3000 left_brake 0 right_brake 0\nend 3600\n",
    );
    drive(at, &["--script", "bad.txt", "--record", "bad.json"]);

    let ran = toeline_in(at, &["debrief", "pilot.json"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("nothing was found to work on"), "{}", ran.out);

    let ran = toeline_in(
        at,
        &[
            "debrief",
            "bad.json",
            "--against",
            "pilot.json",
            "--against",
            "model-pilot",
            "--html",
            "bad.html",
            "--csv",
            "bad.csv",
        ],
    );
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    for part in [
        "WORK ON NEXT",
        "practise:",
        "judged by:",
        "BESIDE IT",
        "pilot.json",
        "the model pilot",
        "NOT RECORDED",
    ] {
        assert!(ran.out.contains(part), "{part} in\n{}", ran.out);
    }
    assert!(ran.out.lines().all(|l| l.chars().count() <= 100), "{}", ran.out);
    assert!(at.join("bad.html").exists() && at.join("bad.csv").exists());

    let ran = toeline_in(at, &["debrief", "bad.json", "--json"]);
    let told: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(told["toeline_debrief"], 1);
    assert!(told["drive"]["work_on"].is_string());
}

#[test]
fn what_is_missing_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let ran = toeline_in(at, &["debrief", "none.json"]);
    assert!(ran.code == 2 && ran.err.contains("none.json"), "{}", ran.err);
    write(at, "not.json", "{\"toeline_attempt\": 1");
    let ran = toeline_in(at, &["debrief", "not.json"]);
    assert!(
        ran.code == 2 && ran.err.contains("not a readable attempt"),
        "{}",
        ran.err
    );
    // The map has gone: the rest is told, and what is left out; a map that is named must be there.
    write(at, "stay.txt", "at 0 throttle 0.5\nend 1200\n");
    drive(at, &["--script", "stay.txt", "--record", "stay.json"]);
    let text = std::fs::read_to_string(at.join("stay.json")).expect("recorded");
    write(at, "moved.json", text.replace("quillmere", "gone"));
    let ran = toeline_in(at, &["debrief", "moved.json"]);
    assert!(
        ran.out
            .contains("left out: everything that is held against the planned way"),
        "{}{}",
        ran.out,
        ran.err
    );
    let ran = toeline_in(at, &["debrief", "moved.json", "--field", "nowhere.geojson"]);
    assert!(ran.code == 2 && ran.err.contains("nowhere.geojson"), "{}", ran.err);
    let ran = toeline_in(at, &["debrief", "moved.json", "--against", "model-pilot"]);
    assert!(ran.code == 2 && ran.err.contains("--field"), "{}", ran.err);
}
