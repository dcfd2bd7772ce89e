//! `toeline fit`: what is printed and written for the demo field, exit codes, what is refused.

use crate::harness::*;
use serde_json::{Value, json};
use toeline_tests::sketch::Sketch;

/// One stand, one straight lane, everything mapped: a trainer fits.
fn easy() -> String {
    Sketch::default()
        .point(
            "field",
            [0.0, -300.0],
            json!({ "aeroway": "aerodrome", "name": "Plainacre", "toeline:invented": "yes", "toeline:accuracy_m": "0.1" }),
        )
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .line(
            "a",
            &[[0.0, 0.0], [0.0, -150.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "width": 15, "surface": "asphalt" }),
        )
        .line(
            "s1",
            &[[0.0, -150.0], [0.0, -175.0]],
            json!({ "aeroway": "parking_position", "ref": "1", "toeline:nose": "out", "width": 15 }),
        )
        .text()
}

fn fit(args: &[&str]) -> Ran {
    let mut all = vec!["fit"];
    all.extend(args);
    all.extend(["--date", "2026-07-04"]);
    toeline(&all)
}

#[test]
fn the_demo_field_is_told_as_read() {
    let ran = fit(&[&demo(), "--aircraft", "trainer-high-2,motorglider-15"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert_eq!(ran.err, "", "no progress where standard error is no terminal");
    for line in [
        "Of 104 of stand, runway and aeroplane: 43 fit, 29 not known, 32 do not fit.",
        "stand 5: spans up to 12 m only, this wing has 15 m",
        "taxiway G: closed (resurfacing)",
        "at least 40 m",
    ] {
        assert!(ran.out.contains(line), "{line}: {}", ran.out);
    }
    // The narrow place between the hangars is found and named.
    let narrow = ran.out.lines().find(|l| l.contains("taxilane M, 6 pieces")).unwrap();
    assert!(narrow.contains("8.71 m, not known to 8.91 m"), "{narrow}");
    assert!(ran.out.contains("Hangar 5"));
}

#[test]
fn exit_codes_are_all_fit_some_do_not_and_could_not() {
    let folder = tempfile::tempdir().unwrap();
    let run = |field: &str, more: &[&str]| {
        write(folder.path(), "field.geojson", field);
        let mut args = vec!["fit", "field.geojson", "--date", "2026-07-04"];
        args.extend(more);
        toeline_in(folder.path(), &args)
    };
    let ran = run(&easy(), &["--aircraft", "trainer-high-2"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("ALL FIT"), "{}", ran.out);
    let ran = run(&easy(), &["--aircraft", "trainer-high-2", "--margin", "50"]);
    assert_eq!(ran.code, 0, "nothing stands there, whatever the margin: {}", ran.out);
    let unknown = easy().replace("\"width\":15", "\"note\":15");
    let ran = run(&unknown, &["--aircraft", "trainer-high-2"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.out.contains("its width is not on the map"), "{}", ran.out);
    let ran = run("{}", &[]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("field.geojson"), "{}", ran.err);
    let ran = run(&easy(), &["--aircraft", "trainer-high-2", "--margin", "-2"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("margin of -2 m is outside 0 to 50 m"), "{}", ran.err);
    let ran = run(&easy(), &["--aircraft", "trainer-high-2,trainer-high-2"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("twice"), "{}", ran.err);
    let ran = run(&easy(), &["--aircraft", "trainer-hihg-2"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("trainer-high-2"), "{}", ran.err);
}

#[test]
fn every_file_is_written_and_tells_the_same() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "field.geojson", easy());
    let base = ["fit", "field.geojson", "--date", "2026-07-04"];
    let run = |more: &[&str]| toeline_in(folder.path(), &[&base[..], more].concat());
    let ran = run(&["--out", "here"]);
    assert!(ran.code < 2, "{}", ran.err);
    let read = |name: &str| std::fs::read_to_string(folder.path().join("here").join(name)).unwrap();
    assert!(ran.out.starts_with(&read("fit.txt")));
    assert_eq!(run(&["--json"]).out, read("fit.json"));
    assert_eq!(run(&["--csv"]).out, read("fit.csv"));
    assert!(read("fit.html").starts_with("<!DOCTYPE html>"));
    let value: Value = serde_json::from_str(&read("fit.json")).unwrap();
    // All built-in aeroplanes when none is named, each with its picture.
    let aircraft = value["aircraft"].as_array().unwrap();
    assert_eq!(aircraft.len(), 6);
    for a in aircraft {
        let svg = read(&format!("spans-{}.svg", a["id"].as_str().unwrap()));
        assert!(svg.starts_with("<svg") && svg.contains("pattern id=\"span-"));
    }
    assert!(read("spans.csv").starts_with("aircraft,what,segment"));
    let ran = run(&["--json", "--csv"]);
    assert_eq!(ran.code, 2);
    write(folder.path(), "file", "");
    let ran = run(&["--out", "file/in"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
}

#[test]
fn the_picture_in_the_documents_is_the_one_the_program_draws() {
    let folder = tempfile::tempdir().unwrap();
    let ran = toeline_in(
        folder.path(),
        &[
            "fit",
            &demo(),
            "--aircraft",
            "tourer-low-4",
            "--date",
            "2026-07-04",
            "--out",
            "here",
        ],
    );
    assert!(ran.code < 2, "{}", ran.err);
    let drawn = std::fs::read_to_string(folder.path().join("here/spans-tourer-low-4.svg")).unwrap();
    let kept = toeline_tests::root().join("docs/pictures/quillmere-spans.svg");
    // To renew it on purpose: TOELINE_RENEW_PICTURE=1, then look at it.
    if std::env::var_os("TOELINE_RENEW_PICTURE").is_some() {
        std::fs::write(&kept, &drawn).unwrap();
    }
    assert!(
        std::fs::read_to_string(&kept).unwrap() == drawn,
        "docs/pictures/quillmere-spans.svg is not what the program draws"
    );
}
