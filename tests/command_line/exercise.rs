//! `toeline exercise` as a black box.

use crate::harness::{toeline, toeline_in, write};

#[test]
fn the_course_is_listed_and_shown() {
    let ran = toeline(&["exercise", "list"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    insta::assert_snapshot!("exercise-list", ran.out);
    let ran = toeline(&["exercise", "show", "failed-brake"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    insta::assert_snapshot!("exercise-show", ran.out);
    let ran = toeline(&["exercise", "show", "strait-line"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("no exercise \"strait-line\"") && ran.err.contains("nearest first: straight-line"),
        "{}",
        ran.err
    );
}

#[test]
fn a_file_of_ones_own_is_checked_and_everything_wrong_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    // What is shown can be started from.
    let ran = toeline_in(at, &["exercise", "show", "cross-the-runway", "--json"]);
    write(at, "mine.json", ran.out.replace("\"cross-the-runway\"", "\"mine\""));
    let ran = toeline_in(at, &["exercise", "check", "mine.json"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.contains("mine.json: sound: ") && ran.out.contains("(mine), 5 stages"),
        "{}",
        ran.out
    );
    let bad = r#"{"toeline_exercise": 1, "id": "Bad", "title": "", "teaches": ["x"], "where": {"drill": "waltz"},
        "aircraft": "trainer-high-2", "stages": [{"title": "a", "prompt": "b", "until": {"passed_m": -1}}], "scored": ["beauty"]}"#;
    write(at, "bad.json", bad);
    let ran = toeline_in(at, &["exercise", "check", "bad.json"]);
    assert_eq!(ran.code, 2);
    insta::assert_snapshot!("exercise-check-bad", ran.err);
    // Sound by itself, and not to be driven: a stop that is not there.
    let text = std::fs::read_to_string(at.join("mine.json")).expect("written");
    write(at, "lost.json", text.replace("\"A1\"", "\"Z9\""));
    let ran = toeline_in(at, &["exercise", "check", "lost.json"]);
    assert!(
        ran.code == 2 && ran.err.contains("there is no stop \"Z9\""),
        "{}",
        ran.err
    );
}

#[test]
fn it_is_driven_recorded_and_debriefed() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    let ran = toeline_in(
        at,
        &[
            "exercise",
            "drive",
            "first-roll",
            "--model-pilot",
            "--record",
            "good.json",
        ],
    );
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains(" 3. Brake check: done at "), "{}", ran.out);
    let ran = toeline_in(at, &["debrief", "good.json"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(
        ran.out.starts_with("STAGES of \"First roll and brake check\"") && ran.out.contains("DEBRIEF"),
        "{}",
        ran.out
    );

    // Off without a look, far too fast: told, and debriefed as such.
    write(
        at,
        "bad.txt",
        "at 0 throttle 0.8\nat 240 looks left\nat 2000 throttle 0\nend 6000\n",
    );
    let ran = toeline_in(
        at,
        &[
            "exercise",
            "drive",
            "first-roll",
            "--script",
            "bad.txt",
            "--record",
            "bad.json",
        ],
    );
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    insta::assert_snapshot!("exercise-drive-bad", ran.out);
    let ran = toeline_in(at, &["debrief", "bad.json", "--json"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    let told: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(told["exercise"]["stages"][2]["came"], "not_done");
    // What the exercise does not score is told, not judged.
    let measures = told["drive"]["measures"].as_array().expect("measures");
    let judged = |key: &str| measures.iter().find(|m| m["key"] == key).expect("there")["judged"].clone();
    assert_eq!(judged("path"), "told");
    assert_eq!(judged("brake_check"), "work_on");

    let ran = toeline_in(at, &["debrief", "bad.json", "--html", "bad.html"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    let page = std::fs::read_to_string(at.join("bad.html")).expect("the page");
    assert!(
        page.contains("Stages of the exercise") && page.contains("<b>Brake check</b>: not done"),
        "the page tells the stages"
    );

    write(at, "wrong.txt", "at 0 looks inside\nat 5 wings 1\nend 100\n");
    let ran = toeline_in(at, &["exercise", "drive", "first-roll", "--script", "wrong.txt"]);
    assert!(
        ran.code == 2 && ran.err.contains("line 1: looks \"inside\": there are left") && ran.err.contains("line 2: "),
        "{}",
        ran.err
    );
}
