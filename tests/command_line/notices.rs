//! `--notice`: what is laid over a field, told by every command, with its exit code.

use crate::harness::*;
use serde_json::{Value, json};

/// Notices on the demo field: one closes a lane that the way of README.md needs, one a stand, one cannot be placed.
fn file(folder: &std::path::Path, name: &str, notices: Value) -> String {
    let text = json!({ "toeline_notices": 1, "notices": notices }).to_string();
    write(folder, name, text).display().to_string()
}

fn planned(notices: &[&str], time: &str) -> Ran {
    let mut args = journey("plan", &[("--time", time), ("--drives", "0")]);
    for n in notices {
        args.extend(["--notice".to_string(), (*n).to_string()]);
    }
    run(&args)
}

fn notices(text: &str) -> String {
    let begin = text.find("NOTICES (").expect("a section of notices");
    let rest = &text[begin..];
    let end = rest.find("\n\n").unwrap_or(rest.len());
    rest[..end].to_string()
}

fn all(folder: &std::path::Path) -> [String; 3] {
    let closed = json!([{
        "number": "A0012/26", "text": "TWY L CLSD BTN STAND 3 AND TWY A DUE WIP", "from": "2026-07-04T08:00Z", "until": "2026-07-04T12:00Z",
        "closes": [{ "taxiway": "L" }],
    }]);
    let others = json!([
        { "number": "A0013/26", "text": "STAND 2 AVBL FOR ACFT UP TO 9M WINGSPAN", "until": "2026-08-01T00:00Z",
          "closes": [{ "stand": "2" }], "except": [{ "span_up_to_m": 9 }] },
        { "number": "A0014/26", "text": "RWY 08/26 CLSD EXC EMERG", "from": "2026-07-01T00:00Z", "until": "2026-07-31T00:00Z",
          "schedule": [{ "days": ["sun"], "from": "06:00", "until": "08:00" }], "closes": [{ "runway": "26" }],
          "except": [{ "words": "emergency flights" }] },
    ]);
    let lost = json!([{ "number": "A0015/26", "text": "TWY Q CLSD", "closes": [{ "taxiway": "Q" }] }]);
    [
        file(folder, "closed.json", closed),
        file(folder, "others.json", others),
        file(folder, "lost.json", lost),
    ]
}

#[test]
fn a_plan_tells_each_notice_and_its_exit_code_follows() {
    let folder = tempfile::tempdir().unwrap();
    let [closed, others, lost] = all(folder.path());
    // In force: the way of README.md is not there any more.
    let shut = planned(&[&closed], "10:00");
    assert_eq!(shut.code, 1, "{}{}", shut.out, shut.err);
    assert!(shut.out.contains("NO WAY"), "{}", shut.out);
    insta::assert_snapshot!("notice_closes_the_way", shut.out);
    // Over: as without it.
    let open = planned(&[&closed], "12:00");
    assert_eq!(open.code, 0, "{}{}", open.out, open.err);
    assert!(
        notices(&open.out).contains("placed, over at the time of this plan"),
        "{}",
        open.out
    );
    // Others concern this way not at all, or not now, or not here.
    let clear = planned(&[&others], "10:00");
    assert_eq!(clear.code, 0, "{}{}", clear.out, clear.err);
    insta::assert_snapshot!("notices_that_do_not_concern_the_way", notices(&clear.out));
    // One of another aerodrome, where the map has a code of its own to hold it against.
    let coded = std::fs::read_to_string(demo()).unwrap().replacen(
        "\"name\": \"Quillmere\"",
        "\"name\": \"Quillmere\", \"icao\": \"ZZQM\"",
        1,
    );
    let coded = write(folder.path(), "coded.geojson", coded).display().to_string();
    let other =
        json!([{ "number": "A0007/26", "text": "TWY D CLSD", "aerodrome": "ZZAB", "closes": [{ "taxiway": "D" }] }]);
    let other = file(folder.path(), "other.json", other);
    let mut args = journey("plan", &[("FIELD", &coded), ("--time", "10:00"), ("--drives", "0")]);
    args.extend(["--notice".to_string(), other]);
    let elsewhere = run(&args);
    assert_eq!(elsewhere.code, 0, "{}{}", elsewhere.out, elsewhere.err);
    assert!(
        elsewhere.out.contains("about another aerodrome")
            && elsewhere.out.contains("it is about ZZAB, and this is ZZQM"),
        "{}",
        elsewhere.out
    );
    // One that cannot be placed.
    let unknown = planned(&[&others, &lost], "10:00");
    assert_eq!(unknown.code, 1, "{}{}", unknown.out, unknown.err);
    let flat = unknown.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("NOT KNOWN: a notice in force could not be laid on this map"),
        "{flat}"
    );
    insta::assert_snapshot!("a_notice_not_placed", notices(&unknown.out));
}

#[test]
fn every_command_takes_notices() {
    let folder = tempfile::tempdir().unwrap();
    let [closed, others, lost] = all(folder.path());
    let field = demo();
    let when = ["--date", "2026-07-04", "--time", "10:00"];
    let told = |command: &str, more: &[&str], notice: &str| {
        let mut args = vec![command, field.as_str()];
        args.extend(more);
        args.extend(when);
        args.extend(["--notice", notice]);
        toeline(&args)
    };
    // Inspect: nothing doubtful by itself, and one that cannot be placed is a finding.
    let seen = told("inspect", &[], &others);
    let plain = toeline(&["inspect", &field]);
    assert_eq!(seen.code, plain.code, "{}", seen.out);
    insta::assert_snapshot!("inspect_notices", notices(&seen.out));
    assert_eq!(told("inspect", &[], &lost).code, 1);
    let json: Value = serde_json::from_str(&told("inspect", &["--json"], &lost).out).unwrap();
    assert_eq!(json["notams"][0]["status"], "not_placed");
    // Fit: no stand has a way where taxilane L is closed, and none is sure where a notice is not placed.
    let one = ["--aircraft", "trainer-high-2", "--json"];
    let fits: Value = serde_json::from_str(&told("fit", &one, &closed).out).unwrap();
    let because = fits["cells"].to_string();
    assert!(because.contains("taxilane L: closed (NOTAM A0012/26"), "{because}");
    let unsure = told("fit", &one, &lost);
    let fits: Value = serde_json::from_str(&unsure.out).unwrap();
    assert_eq!((unsure.code, fits["counts"]["fits"].as_u64()), (1, Some(0)));
    assert!(fits["cells"].to_string().contains("NOTAM A0015/26 is not placed"));
    // Closing: before and after.
    let lane = ["--lane", "C", "--aircraft", "trainer-high-2"];
    assert_eq!(
        told("closing", &lane, &others).code,
        toeline(&["closing", &field, "--lane", "C", "--aircraft", "trainer-high-2"]).code
    );
    let lost = told("closing", &lane, &lost);
    assert_eq!(lost.code, 1, "{}", lost.out);
    assert!(
        lost.out
            .contains("NOT KNOWN: a notice in force could not be laid on this map"),
        "{}",
        lost.out
    );
}

#[test]
fn a_drive_and_its_job_have_the_notices() {
    let folder = tempfile::tempdir().unwrap();
    let [closed, others, _] = all(folder.path());
    let out = folder.path().join("out");
    let mut args = journey(
        "plan",
        &[("--time", "10:00"), ("--drives", "0"), ("--out", out.to_str().unwrap())],
    );
    args.extend(["--notice".to_string(), others.clone()]);
    assert_eq!(run(&args).code, 0);
    let job: Value = serde_json::from_str(&std::fs::read_to_string(out.join("drive.json")).unwrap()).unwrap();
    assert_eq!(job["request"]["notams"].as_array().map(Vec::len), Some(2));
    for name in ["briefing.txt", "plan.json", "plan.geojson", "briefing.html"] {
        let text = std::fs::read_to_string(out.join(name)).unwrap();
        assert!(
            text.contains("A0013/26") && text.contains("STAND 2 AVBL FOR ACFT UP TO 9M WINGSPAN"),
            "{name}"
        );
    }
    // Driven with the only lane closed there is nothing to drive; with the others there is, and the debrief plans it again.
    let drive = |notice: &str| {
        let record = folder.path().join("attempt.json");
        let mut args = journey(
            "drive",
            &[
                ("--time", "10:00"),
                ("--record", record.to_str().unwrap()),
                ("--notice", notice),
            ],
        );
        args.push("--model-pilot".to_string());
        run(&args)
    };
    let shut = drive(&closed);
    assert_eq!(shut.code, 1, "{}{}", shut.out, shut.err);
    assert!(shut.out.contains("NOTAM A0012/26"), "{}", shut.out);
    let driven = drive(&others);
    assert_eq!(driven.code, 0, "{}{}", driven.out, driven.err);
    let record = folder.path().join("attempt.json");
    let told = run(&["debrief".to_string(), record.display().to_string()]);
    assert!(told.code <= 1 && told.err.is_empty(), "{}", told.err);
}

#[test]
fn a_file_that_cannot_be_read_is_told_with_its_name() {
    let folder = tempfile::tempdir().unwrap();
    for (name, text, part) in [
        (
            "a.json",
            "{\"toeline_notices\": 1, \"notices\": [{\"number\": \"A1\", \"closes\": [{\"twy\": \"B\"}]}]}",
            "unknown field `twy`",
        ),
        (
            "b.txt",
            "A0012/26 NOTAMN TWY B CLSD",
            "neither JSON that begins with { nor XML",
        ),
        ("c.xml", "<?xml version=\"1.0\"?><osm/>", "AIXMBasicMessage"),
        (
            "d.json",
            "{\"toeline_notices\": 1, \"notices\": [{\"number\": \"A1\", \"from\": \"2026-07-04\"}]}",
            "notice 1 (A1): from:",
        ),
    ] {
        let path = write(folder.path(), name, text);
        let told = planned(&[path.to_str().unwrap()], "10:00");
        assert_eq!(told.code, 2, "{name}: {}", told.out);
        assert!(
            told.err.contains(name) && told.err.contains(part),
            "{name}: {}",
            told.err
        );
    }
    let told = planned(&["nowhere.json"], "10:00");
    assert!(told.code == 2 && told.err.contains("no such file"), "{}", told.err);
}
