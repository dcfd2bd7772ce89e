//! `toeline plan --pupil` as a black box.

use crate::harness::{journey, run, toeline_in, write};
use std::path::Path;

/// Records the model pilot's drive of the demo journey into a file: long enough to be measured.
fn record(folder: &Path, name: &str) {
    let mut args = journey("drive", &[("--record", name)]);
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
        let ran = run(&journey("plan", &[("--pupil", pupil), ("--drives", "2000")]));
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
        let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [
            "(measured)",
            "Measured from 1 attempt of this pupil",
            "straights and turns together",
            "His nose wheel runs on the line on the whole (95 %:",
            "It wanders about that by 0.0",
            "with the default wobble:",
            "; with his: below what this model can say",
        ] {
            assert!(text.contains(part), "{part} in\n{}", ran.out);
        }
        assert_eq!(text.contains("Left out:"), pupil == place, "{}", ran.out);
    }
    let ran = run(&[
        journey("plan", &[("--pupil", &file), ("--drives", "500")]),
        vec!["--json".to_string()],
    ]
    .concat());
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

#[test]
fn a_name_is_looked_up_in_the_logbook_unless_there_is_such_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    record(folder, "one.json");
    write(folder, "hands.txt", "at 0 throttle 0.3\nend 240\n");
    let mut short = journey("drive", &[("--script", "hands.txt"), ("--record", "short.json")]);
    short.push("--json".to_string());
    assert_ne!(
        toeline_in(folder, &short.iter().map(String::as_str).collect::<Vec<_>>()).code,
        2
    );
    for (file, pupil, when) in [
        ("one.json", "Ann", "2026-07-04"),
        ("short.json", "Ann", "2026-07-05"),
        ("short.json", "Bo", "2026-07-05"),
    ] {
        let ran = toeline_in(
            folder,
            &[
                "logbook",
                "--logbook",
                "book.sqlite",
                "add",
                file,
                "--pupil",
                pupil,
                "--when",
                when,
            ],
        );
        assert_eq!(ran.code, 0, "{}", ran.err);
    }
    let plan = |pupil: &str, book: &str| {
        let args = journey("plan", &[("--pupil", pupil), ("--logbook", book), ("--drives", "500")]);
        toeline_in(folder, &args.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let by_name = plan("Ann", "book.sqlite");
    assert_eq!(by_name.code, 0, "{}", by_name.err);
    let text = by_name.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("Measured from 1 attempt of this pupil") && text.contains("of 2026-07-05 12:00Z: it goes"),
        "{}",
        by_name.out
    );
    // The drive is the one of the file, and so are the figures: all but what was left out.
    let by_file = plan("one.json", "book.sqlite");
    let kept = |out: &str| -> Vec<String> {
        let all = out.lines().filter(|l| !l.contains("Left out:"));
        all.map(str::to_string).collect()
    };
    let of_file = kept(&by_file.out);
    let figures = of_file.iter().filter(|l| l.contains("95 %"));
    assert!(figures.clone().count() >= 3, "{}", by_file.out);
    assert!(
        figures.clone().all(|l| by_name.out.contains(l.as_str())),
        "{}",
        by_name.out
    );
    // A file of that name wins.
    std::fs::copy(folder.join("one.json"), folder.join("Bo")).expect("copied");
    assert_eq!(plan("Bo", "book.sqlite").code, 0);

    for (pupil, book, words) in [
        ("Anne", "book.sqlite", "no pupil \"Anne\"; the nearest names are: Ann"),
        ("Ann", "none.sqlite", "there is no logbook none.sqlite"),
    ] {
        let ran = plan(pupil, book);
        assert_eq!(ran.code, 2, "{}", ran.out);
        assert!(
            ran.err.contains(words) && ran.err.contains("no such file or folder"),
            "{}",
            ran.err
        );
    }
    let bare = journey("plan", &[("--logbook", "book.sqlite")]);
    let ran = toeline_in(folder, &bare.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(ran.code == 2 && ran.err.contains("--pupil"), "{}", ran.err);
    std::fs::remove_file(folder.join("Bo")).expect("removed");
}

#[test]
fn a_pupil_without_a_drive_that_counts_gets_the_default_wobble_and_the_reasons() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    write(folder, "hands.txt", "at 0 throttle 0.3\nend 240\n");
    let args = journey("drive", &[("--script", "hands.txt"), ("--record", "short.json")]);
    assert_ne!(
        toeline_in(folder, &args.iter().map(String::as_str).collect::<Vec<_>>()).code,
        2
    );
    let book = [
        "logbook",
        "--logbook",
        "book.sqlite",
        "add",
        "short.json",
        "--pupil",
        "17",
    ];
    assert_eq!(toeline_in(folder, &book).code, 0);
    let args = journey("plan", &[("--pupil", "17"), ("--logbook", "book.sqlite")]);
    let ran = toeline_in(folder, &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.code, 0, "{}", ran.err);
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("0 attempts of this pupil show 0 m of way; below 150 m (ours) the default wobble is used")
            && text.contains("what counts begins after 40 m"),
        "{}",
        ran.out
    );
    // The odds are those of a plan without a pupil.
    let odds = |out: &str| {
        out.lines()
            .filter(|l| l.contains("drives"))
            .map(str::to_string)
            .collect::<Vec<_>>()
    };
    let args = journey("plan", &[]);
    let plain = toeline_in(folder, &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(!odds(&plain.out).is_empty());
    assert!(
        odds(&plain.out).iter().all(|l| odds(&ran.out).contains(l)),
        "{}{}",
        plain.out,
        ran.out
    );
}
