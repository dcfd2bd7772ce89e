//! AIXM messages on the command line: one file, or a folder with one file per kind.

use crate::harness::*;
use serde_json::Value;
use std::path::Path;
use toeline_tests::carried::aixm::{field, members, message, number, parts, slice, uuid};

/// A folder with one message per kind, a notice that is no AIXM message and a text.
fn folder(at: &Path) -> std::path::PathBuf {
    let folder = at.join("field");
    std::fs::create_dir(&folder).unwrap();
    let list = parts();
    let mut kinds: Vec<&str> = list.iter().map(|p| p.0).collect();
    kinds.sort_unstable();
    kinds.dedup();
    for kind in kinds {
        let own: Vec<_> = list.iter().filter(|p| p.0 == kind).cloned().collect();
        write(&folder, &format!("{kind}.xml"), message(&members(&own)));
    }
    write(&folder, "a-plan.xml", "<kml/>");
    write(&folder, "README.txt", "not looked at");
    folder
}

fn asked<'a>(field: &'a str, changes: &[(&'a str, &'a str)]) -> Vec<String> {
    let mut all = vec![
        ("FIELD", field),
        ("--from", "1"),
        ("--to", "B CAT I 08/26"),
        ("--wind", "calm"),
        ("--parked-heading", "270"),
        ("--date", "2026-03-01"),
    ];
    all.extend_from_slice(changes);
    let mut args = journey("plan", &all);
    // The demo journey goes by an engine-check area, which this field lacks.
    let via = args.iter().position(|a| a == "--via").unwrap();
    args.drain(via..via + 2);
    args
}

#[test]
fn a_folder_is_the_same_as_one_file_and_says_what_it_passed_over() {
    let home = tempfile::tempdir().unwrap();
    let several = folder(home.path());
    let one = write(home.path(), "one.xml", field());
    let inspect = |path: &Path| {
        let path = path.to_str().unwrap().to_string();
        run(&[
            "inspect".to_string(),
            path,
            "--date".to_string(),
            "2026-03-01".to_string(),
        ])
    };
    let (whole, parted) = (inspect(&one), inspect(&several));
    assert_eq!(whole.out, parted.out);
    assert!(whole.err.is_empty(), "{}", whole.err);
    assert!(
        parted.err.contains("passed over") && parted.err.contains("a-plan.xml") && parted.err.contains("<kml>"),
        "{}",
        parted.err
    );
    assert!(!parted.err.contains("README.txt"), "{}", parted.err);
    assert!(
        whole.out.contains("map data: AIXM data: no credit stated in the file"),
        "{}",
        whole.out
    );
    assert!(
        whole.out.contains("RunwayElement of the type SHOULDER"),
        "what is not used is said: {}",
        whole.out
    );
}

#[test]
fn a_folder_without_a_message_is_an_error() {
    let home = tempfile::tempdir().unwrap();
    write(home.path(), "a.xml", "<kml/>");
    let ran = run(&["inspect".to_string(), home.path().to_str().unwrap().to_string()]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("is a folder with no AIXM message"), "{}", ran.err);
}

#[test]
fn the_aerodromes_of_a_folder_are_listed() {
    let home = tempfile::tempdir().unwrap();
    let several = folder(home.path()).to_str().unwrap().to_string();
    let ran = run(&[
        "inspect".to_string(),
        several,
        "--aerodromes".to_string(),
        "--json".to_string(),
        "--date".to_string(),
        "2026-03-01".to_string(),
    ]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let list: Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(list["attribution"], "AIXM data: no credit stated in the file");
    let one = &list["aerodromes"][0];
    assert_eq!(
        (&one["icao"], &one["lanes"], &one["stands"]),
        (&Value::from("ZZZZ"), &Value::from(2), &Value::from(1))
    );
    assert_eq!(
        one["feature"],
        format!("AirportHeliport/{}", uuid(number::AIRPORT)).as_str()
    );
}

#[test]
fn the_date_decides_which_time_slices_count_and_the_job_points_to_the_cut_out() {
    let home = tempfile::tempdir().unwrap();
    // The lead-in line is for both directions here, so that there is a way out.
    let closed = "<availability><ManoeuvringAreaAvailability><operationalStatus>CLOSED</operationalStatus></ManoeuvringAreaAvailability>\
                  </availability>";
    let mut list = parts();
    for p in list.iter_mut().filter(|p| p.1 == number::LEAD_IN) {
        p.2 = p.2.replace("FORWARD", "BOTH");
    }
    let mut all = members(&list);
    all.push(toeline_tests::carried::aixm::feature_of(
        "Taxiway",
        number::TAXIWAY,
        &[slice(
            "TEMPDELTA",
            2,
            "2026-03-02T06:00:00Z",
            "2026-03-02T09:00:00Z",
            closed,
        )],
    ));
    let file = write(home.path(), "one.xml", message(&all))
        .to_str()
        .unwrap()
        .to_string();
    let out = home.path().join("out");
    let open = run(&asked(&file, &[("--out", out.to_str().unwrap())]));
    assert!(open.code < 2, "{}", open.err);
    assert!(open.out.contains("taxiway B"), "{}", open.out);
    let job: Value = serde_json::from_str(&std::fs::read_to_string(out.join("drive.json")).unwrap()).unwrap();
    let cut = out.join("field.geojson").canonicalize().unwrap();
    assert_eq!(Path::new(job["field_file"].as_str().unwrap()), cut);
    let again = run(&asked(cut.to_str().unwrap(), &[]));
    let before = |text: &str| text.split("\nFiles in ").next().unwrap().trim_end().to_string();
    assert_eq!(
        before(&open.out),
        before(&again.out),
        "read again from there, the plan is the same"
    );
    let shut = run(&asked(&file, &[("--date", "2026-03-02"), ("--time", "07:00Z")]));
    assert_eq!(shut.code, 1, "{}", shut.err);
    assert!(shut.out.contains("operationalStatus CLOSED"), "{}", shut.out);
    let later = run(&asked(&file, &[("--date", "2026-03-02"), ("--time", "09:00Z")]));
    assert!(!later.out.contains("operationalStatus CLOSED"), "{}", later.out);
    let early = run(&asked(&file, &[("--date", "2025-03-02")]));
    assert_eq!(early.code, 2, "{}", early.out);
    assert!(
        early.err.contains("no time slice of it is valid on 2025-03-02"),
        "{}",
        early.err
    );
}

#[test]
fn every_command_that_takes_a_field_takes_messages() {
    let home = tempfile::tempdir().unwrap();
    let several = folder(home.path()).to_str().unwrap().to_string();
    let words = |list: &[&str]| list.iter().map(|w| w.to_string()).collect::<Vec<_>>();
    let fit = run(&words(&[
        "fit",
        &several,
        "--aircraft",
        "trainer-high-2",
        "--date",
        "2026-03-01",
        "--csv",
    ]));
    assert!(fit.code < 2 && fit.out.contains("1,"), "{} {}", fit.out, fit.err);
    let closing = run(&words(&[
        "closing",
        &several,
        "--aircraft",
        "trainer-high-2",
        "--lane",
        "B",
        "--date",
        "2026-03-01",
    ]));
    assert!(
        closing.code < 2 && closing.out.contains("QUILLMERE"),
        "{} {}",
        closing.out,
        closing.err
    );
    let survey = run(&words(&[
        "fit",
        &several,
        "--aircraft",
        "trainer-high-2",
        "--date",
        "2026-03-01",
        "--survey",
    ]));
    assert!(
        survey.code < 2 && survey.out.lines().count() == 1,
        "{} {}",
        survey.out,
        survey.err
    );
}
