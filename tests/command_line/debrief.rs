//! `toeline debrief` as a black box: a drive by the model pilot and a bad one by script.

use crate::harness::{Ran, demo, toeline_in, write};
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

    // Two files beside each other are a little progress.
    assert!(ran.out.contains("PROGRESS"), "{}", ran.out);

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

#[test]
fn a_pupils_attempts_in_the_logbook_show_how_each_measure_went() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    write(
        at,
        "bad.txt",
        "at 0 throttle 0.7\nat 480 left_brake 0.15 right_brake 0.15\nat 3000 left_brake 0 right_brake 0\nend 3600\n",
    );
    drive(at, &["--script", "bad.txt", "--record", "bad.json"]);
    drive(at, &["--model-pilot", "--record", "good.json"]);
    for (file, when) in [("bad.json", "2026-11-01T10:00Z"), ("good.json", "2026-11-02T10:00Z")] {
        let ran = toeline_in(
            at,
            &[
                "logbook",
                "--logbook",
                "book.sqlite",
                "add",
                file,
                "--pupil",
                "Ann",
                "--when",
                when,
            ],
        );
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    }
    // The drive that is debriefed is among them and comes once.
    let asked = [
        "debrief",
        "good.json",
        "--pupil",
        "Ann",
        "--logbook",
        "book.sqlite",
        "--html",
        "good.html",
    ];
    let ran = toeline_in(at, &asked);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    for part in [
        "PROGRESS",
        "2026-11-01 10:00Z",
        "2026-11-02 10:00Z",
        "No power against the brake",
    ] {
        assert!(ran.out.contains(part), "{part} in\n{}", ran.out);
    }
    assert!(!ran.out.contains("  3: "), "{}", ran.out);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 100), "{}", ran.out);
    let page = std::fs::read_to_string(at.join("good.html")).expect("written");
    assert!(page.contains("Progress over 2 drives"));
    let ran = toeline_in(
        at,
        &["logbook", "--logbook", "book.sqlite", "progress", "Ann", "--measures"],
    );
    assert!(ran.code == 0 && ran.out.contains("PROGRESS"), "{}{}", ran.out, ran.err);
    let ran = toeline_in(
        at,
        &[
            "logbook",
            "--logbook",
            "book.sqlite",
            "--json",
            "progress",
            "Ann",
            "--measures",
        ],
    );
    let told: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(told["drives"].as_array().map(Vec::len), Some(2), "{told}");
    let row = told["rows"]
        .as_array()
        .and_then(|r| r.iter().find(|r| r["key"] == "power_against_brake"));
    assert_eq!(row.expect("measured")["judged"], serde_json::json!(["work_on", "good"]));
    let ran = toeline_in(
        at,
        &["debrief", "good.json", "--pupil", "Bea", "--logbook", "book.sqlite"],
    );
    assert!(ran.code == 2 && ran.err.contains("Bea"), "{}", ran.err);
    let ran = toeline_in(
        at,
        &["debrief", "good.json", "--pupil", "Ann", "--logbook", "none.sqlite"],
    );
    assert!(ran.code == 2 && ran.err.contains("no logbook yet"), "{}", ran.err);
}

#[test]
fn a_drill_is_debriefed_without_a_map() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    // As the window writes it: a drive whose job names a drill in place of a plan.
    write(
        at,
        "bad.txt",
        "at 0 throttle 0.7\nat 1200 throttle 0 left_brake 0.5 right_brake 0.5\nend 2400\n",
    );
    drive(at, &["--script", "bad.txt", "--record", "plan.json"]);
    let text = std::fs::read_to_string(at.join("plan.json")).expect("recorded");
    let mut attempt: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    attempt["job"] = serde_json::json!({ "toeline_drill": "straight_line" });
    write(at, "drill.json", attempt.to_string());
    // It was driven elsewhere: said, not measured against a line that it was never on.
    // Lines are broken where they are full.
    let said = |ran: &Ran| ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let ran = toeline_in(at, &["debrief", "drill.json"]);
    assert!(
        said(&ran).contains("from where its way begins"),
        "{}{}",
        ran.out,
        ran.err
    );
    attempt["job"] = serde_json::json!({ "toeline_drill": "cartwheel" });
    write(at, "odd.json", attempt.to_string());
    let ran = toeline_in(at, &["debrief", "odd.json"]);
    assert!(said(&ran).contains("its drill is not known"), "{}{}", ran.out, ran.err);
}
