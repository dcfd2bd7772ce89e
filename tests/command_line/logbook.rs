//! `toeline logbook`: what it says, what it keeps, its exit codes.

use crate::harness::*;
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// Drives three short attempts by script into `folder`: one.json, two.json, three.json.
fn drive(folder: &Path) {
    for (name, throttle) in [("one", 0.3), ("two", 0.35), ("three", 0.4)] {
        write(folder, "hands.txt", format!("at 0 throttle {throttle}\nend 240\n"));
        let mut args = journey("drive", &[("--script", "hands.txt")]);
        args.extend(["--record".to_string(), format!("{name}.json")]);
        let ran = toeline_in(folder, &args.iter().map(String::as_str).collect::<Vec<_>>());
        assert_ne!(ran.code, 2, "{}", ran.err);
    }
}

fn book(folder: &Path, args: &[&str]) -> Ran {
    let mut all = vec!["logbook", "--logbook", "book.sqlite"];
    all.extend(args);
    toeline_in(folder, &all)
}

/// The text with a placeholder of the same length for every attempt's name: it is a hash of the attempt, whose job names
/// the map by its full path, and that differs from one checkout to another.
fn unnamed(said: &str, list: &Value) -> String {
    let ids = list.as_array().unwrap().iter().map(|a| a["id"].as_str().unwrap());
    ids.enumerate().fold(said.to_string(), |text, (k, id)| {
        text.replace(id, &format!("attempt-{k}-of-the-list------------"))
            .replace(&id[..12], &format!("attempt-{k}---"))
    })
}

#[test]
fn a_pupils_attempts_from_the_first_to_the_last() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let none = book(folder, &["list"]);
    assert_eq!(none.code, 2);
    assert!(
        none.err.contains("book.sqlite: no logbook yet") && none.err.contains("logbook add"),
        "{}",
        none.err
    );
    assert!(!folder.join("book.sqlite").exists(), "looking begins none");

    drive(folder);
    let add = |file: &str, pupil: &str, when: &str| {
        let ran = book(folder, &["add", file, "--pupil", pupil, "--when", when]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        ran.out
    };
    let mut said = add("one.json", "Ann", "2026-07-04T10:00Z");
    said += &add("two.json", "17", "2026-07-04T11:00Z");
    said += &add("three.json", "Ann", "2026-07-05T09:30Z");
    said += &add("one.json", "Bo", "2026-07-06");
    said += &book(folder, &["list"]).out;
    said += &book(folder, &["list", "--pupil", "Ann", "--most", "1"]).out;
    said += &book(folder, &["pupils"]).out;
    said += &book(
        folder,
        &["progress", "Ann", "--figure", "driven_m", "--figure", "duration_s"],
    )
    .out;
    said += &book(folder, &["check"]).out;
    let list: Value = serde_json::from_str(&book(folder, &["list", "--json"]).out).unwrap();
    let name = list[0]["id"].as_str().unwrap();
    said += &book(folder, &["show", &name[..8]]).out;
    assert!(said.lines().all(|l| l.chars().count() <= 100), "{said}");
    insta::assert_snapshot!(unnamed(&said, &list));

    let ran = book(folder, &["take", &name[..8], "back.json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let back = toeline_training::store::load(&folder.join("back.json")).unwrap();
    assert_eq!(back, toeline_training::store::load(&folder.join("three.json")).unwrap());
    back.replay().unwrap();
    let ran = book(folder, &["take", &name[..8], "back.json"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("back.json") && ran.err.contains("another name"),
        "{}",
        ran.err
    );
}

#[test]
fn export_import_backup_rename_and_forget() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    drive(folder);
    let ran = book(
        folder,
        &[
            "add",
            "one.json",
            "two.json",
            "three.json",
            "--pupil",
            "Ann",
            "--when",
            "2026-07-04",
        ],
    );
    assert_eq!(ran.out.lines().count(), 3, "{}{}", ran.out, ran.err);
    let mut said = String::new();
    let mut told = |args: &[&str], code: i32| {
        let ran = book(folder, args);
        assert_eq!(ran.code, code, "{args:?}: {}", ran.err);
        said += &format!("> {}\n{}{}", args.join(" "), ran.out, ran.err);
    };
    told(&["backup", "kept.sqlite"], 0);
    told(&["export", "all.json"], 0);
    told(&["export", "figures.csv"], 0);
    told(&["export", "figures.txt"], 2);
    told(&["export", "all.json"], 2);
    told(&["rename", "Ann", "Bea"], 0);
    told(&["rename", "Ann", "Bea"], 2);
    told(&["forget", "Bea"], 2);
    told(&["forget", "Bea", "--really"], 0);
    told(&["list"], 0);
    told(&["import", "figures.csv"], 0);
    told(&["import", "all.json"], 0);
    told(&["import", "all.json"], 0);
    told(&["import", "none.json"], 2);
    told(&["progress", "Ann", "--figure", "wisdom"], 2);
    told(&["show", "zz"], 2);
    told(&["add", "figures.csv", "--pupil", "Ann"], 2);
    insta::assert_snapshot!(said);
    let kept = toeline_in(folder, &["logbook", "list", "--logbook", "kept.sqlite", "--json"]);
    let list: Value = serde_json::from_str(&kept.out).unwrap();
    assert!(list.as_array().unwrap().iter().all(|e| e["pupil"] == "Ann"));
    assert_eq!(list.as_array().unwrap().len(), 3);
}

#[test]
fn what_is_no_logbook_and_what_is_damaged() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    drive(folder);
    write(
        folder,
        "book.sqlite",
        "a shopping list, of more than a hundred bytes. ".repeat(60),
    );
    for args in [&["list"][..], &["add", "one.json", "--pupil", "Ann"]] {
        let ran = book(folder, args);
        assert_eq!(ran.code, 2);
        assert!(
            ran.err.contains("book.sqlite") && ran.err.contains("no logbook"),
            "{}",
            ran.err
        );
    }
    std::fs::remove_file(folder.join("book.sqlite")).unwrap();
    let ran = book(folder, &["add", "one.json", "two.json", "--pupil", "Ann"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let mut bytes = std::fs::read(folder.join("book.sqlite")).unwrap();
    let last = bytes.len() - 300;
    bytes[last..].fill(0xa5);
    write(folder, "book.sqlite", bytes);
    let ran = book(folder, &["check"]);
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("FINDING: "), "{}", ran.out);
}

#[cfg(unix)]
#[test]
fn a_disk_that_takes_no_more_is_said_and_nothing_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    drive(folder);
    assert_eq!(book(folder, &["add", "one.json", "--pupil", "Ann"]).code, 0);
    let before = std::fs::read(folder.join("book.sqlite")).unwrap();
    // No file may grow beyond 8 blocks of 512 or 1024 bytes (the shells differ): less than the logbook has already.
    let ran = Command::new("sh")
        .args([
            "-c",
            "trap '' XFSZ; ulimit -f 8; exec \"$0\" \"$@\"",
            env!("CARGO_BIN_EXE_toeline"),
        ])
        .args([
            "logbook",
            "--logbook",
            "book.sqlite",
            "add",
            "two.json",
            "--pupil",
            "Bo",
        ])
        .current_dir(folder)
        .output()
        .unwrap();
    let err = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(ran.status.code(), Some(2), "{err}");
    assert!(err.contains("book.sqlite") && err.contains("the disk refused"), "{err}");
    let ran = book(folder, &["check"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert_eq!(std::fs::read(folder.join("book.sqlite")).unwrap(), before);
    assert_eq!(book(folder, &["add", "two.json", "--pupil", "Bo"]).code, 0);
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_name_it_lies_in_the_folder_for_data() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    drive(folder);
    let run = |args: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_toeline"))
            .args(args)
            .current_dir(folder)
            .env("XDG_DATA_HOME", folder.join("data"))
            .output()
            .unwrap()
    };
    let ran = run(&["logbook", "add", "one.json", "--pupil", "Ann"]);
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    assert!(folder.join("data/toeline/logbook.sqlite").is_file());
    assert!(String::from_utf8_lossy(&run(&["logbook", "pupils"]).stdout).contains("Ann"));
}
