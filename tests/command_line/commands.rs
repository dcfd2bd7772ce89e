//! The commands themselves.

use crate::harness::*;
use serde_json::Value;

#[test]
fn the_demo_plan_is_clear_and_its_text_is_as_read() {
    let ran = run(&journey("plan", &[]));
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.lines().all(|l| l.chars().count() <= 100));
    insta::assert_snapshot!(ran.out);
}

#[test]
fn a_margin_that_is_not_kept_is_a_finding() {
    // The tightest place of this way is 6.9 m.
    let ran = run(&journey("plan", &[("--margin", "7.5")]));
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("NOT CLEAR"), "{}", ran.out);
    assert_eq!(run(&journey("plan", &[("--margin", "6.5")])).code, 0);
    // Within the map's accuracy of the margin the map cannot say.
    let ran = run(&journey("plan", &[("--margin", "6.5"), ("--accuracy", "1")]));
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("NOT KNOWN"), "{}", ran.out);
}

#[test]
fn published_design_rows_stand_beside_the_margin_and_decide_when_asked() {
    // Taxiway F is 6 m wide: the wheels come to 0.9 m from its edge, where ICAO asks 1.5 m and FAA 5 ft.
    let pilot = run(&journey("plan", &[("--from", "H4")]));
    assert_eq!(pilot.code, 0);
    assert!(
        pilot.out.contains("PUBLISHED DESIGN ROWS") && !pilot.out.contains("(decides)"),
        "{}",
        pilot.out
    );
    for (whose, said) in [("icao", "ICAO Annex 14"), ("faa", "FAA AC 150/5300-13B")] {
        let ran = run(&journey("plan", &[("--from", "H4"), ("--margin-by", whose)]));
        assert_eq!(ran.code, 1);
        // On lanes of 10.5 m and more the corners are taken so that every row is met.
        let wide = run(&journey("plan", &[("--margin-by", whose)]));
        assert_eq!(wide.code, 0, "{}", wide.out);
        let answer = ran
            .out
            .split("ANSWER")
            .nth(1)
            .and_then(|t| t.split("LEGS").next())
            .unwrap_or_default();
        assert!(
            answer.contains("NOT CLEAR by the rows of") && answer.contains(said),
            "{answer}"
        );
        assert!(
            ran.out.contains("(decides)") && ran.out.contains("from memory"),
            "{}",
            ran.out
        );
    }
    assert_eq!(run(&journey("plan", &[("--margin-by", "nobody")])).code, 2);
}

#[test]
fn files_are_written_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let mut args = journey("plan", &[]);
    args.extend(["--out".to_string(), "briefing/today".to_string()]);
    let ran = toeline_in(folder.path(), &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.code, 0, "{}", ran.err);
    for name in [
        "briefing.txt",
        "briefing.html",
        "plan.json",
        "plan.geojson",
        "chart.svg",
        "drive.json",
    ] {
        let path = folder.path().join("briefing/today").join(name);
        let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        assert!(!text.is_empty());
        assert!(ran.out.contains(name), "{name} is not named: {}", ran.out);
        if name.ends_with("json") {
            let _: Value = serde_json::from_str(&text).unwrap();
        }
    }
    assert!(
        ran.out
            .contains("cargo run -p toeline-sandbox -- briefing/today/drive.json")
    );
    let leftovers = std::fs::read_dir(folder.path().join("briefing/today")).unwrap().count();
    assert_eq!(leftovers, 5, "nothing half written stays");
}

#[test]
fn json_on_the_terminal_is_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let mut args = journey("plan", &[]);
    args.extend(["--out", "o", "--json"].map(str::to_string));
    let ran = toeline_in(folder.path(), &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(
        ran.out.trim_end(),
        std::fs::read_to_string(folder.path().join("o/plan.json"))
            .unwrap()
            .trim_end()
    );
}

#[test]
fn the_same_question_gets_the_same_bytes() {
    let mut args = journey("plan", &[]);
    args.push("--json".to_string());
    assert_eq!(run(&args).out, run(&args).out);
}

#[test]
fn a_user_s_own_aircraft_file_is_used_like_a_built_in_one() {
    let folder = tempfile::tempdir().unwrap();
    let text = toeline(&["aircraft", "show", "trainer-high-2"]).out;
    let path = write(folder.path(), "mine.json", text).display().to_string();
    let own = run(&journey("plan", &[("--aircraft", &path)]));
    let built_in = run(&journey("plan", &[]));
    assert_eq!(own.out, built_in.out);
    let check = toeline(&["aircraft", "check", &path]);
    assert_eq!(check.code, 0, "{}", check.err);
}

#[test]
fn inspect_tells_what_the_demo_field_holds() {
    let ran = toeline(&["inspect", &demo()]);
    assert!(ran.code == 0 || ran.code == 1, "{}", ran.err);
    insta::assert_snapshot!(ran.out);
    let json = toeline(&["inspect", &demo(), "--json"]);
    let value: Value = serde_json::from_str(&json.out).unwrap();
    let stands = value["content"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["what"] == "stands");
    assert_eq!(stands.unwrap()["count"], 13);
}

#[test]
fn the_built_in_aeroplanes_are_listed() {
    let ran = toeline(&["aircraft"]);
    assert_eq!(ran.code, 0);
    insta::assert_snapshot!(ran.out);
}

#[test]
fn a_drive_by_script_is_recorded_and_replays_to_the_same_bits() {
    let folder = tempfile::tempdir().unwrap();
    write(
        folder.path(),
        "straight.txt",
        "# brakes off, a little power, then stop\nat 0 throttle 0.35\nat 1200 throttle 0\nat 1440 left_brake 0.6 right_brake 0.6\nend 2400\n",
    );
    let mut args = journey("drive", &[]);
    args.extend(["--script", "straight.txt", "--record", "attempt.json"].map(str::to_string));
    let ran = toeline_in(folder.path(), &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.starts_with("drove 2400 ticks, 10.0 s"), "{}", ran.out);
    let attempt = toeline_training::store::load(&folder.path().join("attempt.json")).unwrap();
    assert_eq!(attempt.inputs.ticks(), 2400);
    assert!(attempt.replay().is_ok());
    let first = attempt.track.first().unwrap().nose;
    let last = attempt.track.last().unwrap();
    assert!(last.nose.distance(first) > 1.0, "it did not move");
    assert!(last.speed_mps < 0.05, "it did not stop: {} m/s", last.speed_mps);
}

#[test]
fn a_broken_script_is_refused_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "bad.txt", "at 0 thrust 1\nend 10\n");
    let mut args = journey("drive", &[]);
    args.extend(["--script", "bad.txt", "--record", "attempt.json"].map(str::to_string));
    let ran = toeline_in(folder.path(), &args.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("line 1") && ran.err.contains("thrust"), "{}", ran.err);
    assert!(!folder.path().join("attempt.json").exists());
}

#[test]
fn usage_errors_exit_with_two_and_help_with_zero() {
    assert_eq!(toeline(&["plan"]).code, 2);
    let help = toeline(&["plan", "--help"]);
    assert_eq!(help.code, 0);
    for option in [
        "--aircraft",
        "--from",
        "--via",
        "--to",
        "--wind",
        "--date",
        "--margin",
        "--out",
        "--json",
    ] {
        assert!(help.out.contains(option), "{option} is not in the help");
    }
    let help = toeline(&["--help"]);
    assert!(help.out.contains("not for navigation"));
}

#[test]
fn the_chart_in_readme_is_the_one_the_program_draws() {
    let folder = tempfile::tempdir().unwrap();
    let mut args = journey("plan", &[]);
    args.extend(["--out", "o"].map(str::to_string));
    toeline_in(folder.path(), &args.iter().map(String::as_str).collect::<Vec<_>>());
    let drawn = std::fs::read_to_string(folder.path().join("o/chart.svg")).unwrap();
    let kept = toeline_tests::root().join("docs/pictures/quillmere-chart.svg");
    // To renew it on purpose: TOELINE_RENEW_PICTURE=1, then look at it.
    if std::env::var_os("TOELINE_RENEW_PICTURE").is_some() {
        std::fs::write(&kept, &drawn).unwrap();
    }
    assert!(
        std::fs::read_to_string(&kept).unwrap() == drawn,
        "docs/pictures/quillmere-chart.svg is not what the program draws"
    );
}

/// A copy of the program in a folder of its own, so that what lies beside it is the test's choice.
#[cfg(unix)]
fn drive_with_neighbours(folder: &std::path::Path, extra: &[&str]) -> (i32, String) {
    let program = folder.join("toeline");
    std::fs::copy(env!("CARGO_BIN_EXE_toeline"), &program).unwrap();
    let mut args = journey("drive", &[]);
    args.extend(extra.iter().map(|a| a.to_string()));
    let output = std::process::Command::new(&program)
        .args(&args)
        .env("PATH", "")
        .current_dir(folder)
        .output()
        .unwrap();
    (output.status.code().unwrap(), String::from_utf8(output.stderr).unwrap())
}

#[test]
#[cfg(unix)]
fn drive_says_how_to_build_the_sandbox_when_there_is_none() {
    let folder = tempfile::tempdir().unwrap();
    let (code, said) = drive_with_neighbours(folder.path(), &[]);
    assert_eq!(code, 2);
    insta::assert_snapshot!(said);
}

#[test]
#[cfg(unix)]
fn drive_starts_the_sandbox_with_a_job_that_can_be_planned_again() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    // Stands in for the window: keeps its arguments and the job, and ends with a code of its own.
    let stand_in = write(
        folder.path(),
        "toeline-sandbox",
        "#!/bin/sh\necho \"$2 $3\" > arguments\nwhile IFS= read -r line; do echo \"$line\"; done < \"$1\" > job\nexit 7\n",
    );
    std::fs::set_permissions(&stand_in, std::fs::Permissions::from_mode(0o755)).unwrap();
    let (code, said) = drive_with_neighbours(folder.path(), &["--record", "mine.json"]);
    assert_eq!(code, 7, "{said}");
    assert_eq!(
        std::fs::read_to_string(folder.path().join("arguments")).unwrap(),
        "--record mine.json\n"
    );
    let job =
        toeline_engine::job::Job::from_json(&std::fs::read_to_string(folder.path().join("job")).unwrap()).unwrap();
    let field = std::fs::read_to_string(&job.field_file).unwrap();
    assert!(toeline_engine::plan(&field, &job.request).is_ok());
}

#[test]
fn a_broken_brake_is_driven_with_kept_in_the_job_and_refused_when_it_is_none() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "go.txt", "at 0 throttle 0.6\nend 2400\n");
    write(folder.path(), "faults.json", "{\"brake\": [\"seized\", \"none\"]}");
    write(folder.path(), "wrong.json", "{\"breaks\": [\"seized\", \"none\"]}");
    let drive = |faults: &str| {
        let mut args = journey("drive", &[]);
        let more = ["--script", "go.txt", "--record", "attempt.json", "--faults", faults];
        args.extend(more.map(str::to_string));
        toeline_in(folder.path(), &args.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let ran = drive("wrong.json");
    assert_eq!(ran.code, 2);
    let said = "faults wrong.json cannot be used:\n  \"breaks\" is no fault; there are, nearest first: brake, ";
    assert!(ran.err.contains(said), "{}", ran.err);
    assert!(!folder.path().join("attempt.json").exists());

    let ran = drive("faults.json");
    assert_eq!(ran.code, 0, "{}", ran.err);
    let attempt = toeline_training::store::load(&folder.path().join("attempt.json")).unwrap();
    assert_eq!(attempt.job.as_ref().unwrap()["faults"]["brake"][0], "seized");
    assert!(!attempt.environment.faults.is_none());
    attempt.replay().unwrap();
    // The left brake drags it round into the neighbour's place: told with time, speed and place.
    let told = ran.out.lines().find(|l| l.contains(" against ")).unwrap();
    assert!(
        told.contains("s: left wing against aeroplane on stand 5 (stand-5), at "),
        "{told}"
    );
    assert!(told.contains(" m/s, x -"), "{told}");
}

#[test]
fn an_instruction_is_followed_and_read_back() {
    let text = "Taxi to holding point Delta one, runway two six, via Lima, Alfa; hold short of runway one seven, give way to the tractor";
    let ran = run(&journey("plan", &[("--to", "ABSENT"), ("--instruction", text)]));
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    let radio = ran.out.split("\nRADIO").nth(1).expect("what is said on the radio");
    insta::assert_snapshot!(radio);
    // To be asked about: it says no more of the way after holding short.
    let less = run(&journey(
        "plan",
        &[
            ("--via", "W"),
            ("--instruction", "runway 26, taxi via A, hold short of runway 17"),
        ],
    ));
    assert_eq!(less.code, 1, "{}{}", less.out, less.err);
}
