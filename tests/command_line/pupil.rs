//! `toeline plan --pupil` as a black box.

use crate::harness::{journey, run, toeline_in, write};
use std::path::Path;

/// Records the model pilot's drive of the demo journey into a file.
fn record(folder: &Path, name: &str) {
    let mut args = journey(
        "drive",
        &[("--from", "5"), ("--via", "W"), ("--to", "08"), ("--record", name)],
    );
    args.push("--model-pilot".to_string());
    let ran = toeline_in(folder, &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
}

#[test]
fn a_plan_takes_the_wobble_of_recorded_attempts_and_says_how_the_odds_change() {
    let folder = tempfile::tempdir().expect("a folder");
    record(folder.path(), "one.json");
    write(folder.path(), "other.json", "{}");
    let place = folder.path().display().to_string();
    let file = folder.path().join("one.json").display().to_string();
    for pupil in [place.as_str(), file.as_str()] {
        let ran = run(&journey("plan", &[("--pupil", pupil)]));
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
        let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [
            "(measured)",
            "Measured from 1 attempt of this pupil",
            "straights and turns together",
            "of the line on the whole (95 %:",
            "It wanders about that by 0.0",
            "with the default wobble:",
            "; with his: below what this model can say",
        ] {
            assert!(text.contains(part), "{part} in\n{}", ran.out);
        }
        assert_eq!(text.contains("Left out:"), pupil == place, "{}", ran.out);
    }
    let ran = run(&[journey("plan", &[("--pupil", &file)]), vec!["--json".to_string()]].concat());
    let json: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    let text = json.to_string();
    assert!(text.contains("\"from\":\"measured\""), "{text}");
}

#[test]
fn what_holds_no_attempt_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().display().to_string();
    let refused = |pupil: &str, words: &str| {
        let ran = run(&journey("plan", &[("--pupil", pupil)]));
        assert!(
            ran.code == 2 && ran.err.contains(words),
            "{pupil}: {}{}",
            ran.out,
            ran.err
        );
    };
    refused(&place, "holds no attempt (*.json)");
    refused(&format!("{place}/none.json"), "no such file");
    let other = write(folder.path(), "other.json", "{}").display().to_string();
    refused(&other, "other.json");
    refused(&place, "holds no attempt that a wobble can be measured from");
    let ran = run(&journey("plan", &[("--pupil", &place), ("--wobble", "0.2R/0.3/20")]));
    assert!(ran.code == 2 && ran.err.contains("cannot be used with"), "{}", ran.err);
}
