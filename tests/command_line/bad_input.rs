//! Every kind of bad input gets one clear message, exit code 2, and no panic; "no way" is an answer with exit code 1.

use crate::harness::*;

fn message(changes: &[(&str, &str)]) -> String {
    let ran = run(&journey("plan", changes));
    assert_eq!(ran.code, 2, "{}{}", ran.out, ran.err);
    assert!(ran.out.is_empty(), "an answer beside an error: {}", ran.out);
    assert!(ran.err.starts_with("toeline: "), "{}", ran.err);
    assert!(!ran.err.contains("panicked"));
    ran.err
}

/// With a map of its own, whose path reads as FIELD.
fn message_of_map(text: impl AsRef<[u8]>) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = write(folder.path(), "map.geojson", text).display().to_string();
    message(&[("FIELD", &path)]).replace(&path, "FIELD")
}

#[test]
fn a_missing_map() {
    insta::assert_snapshot!(message(&[("FIELD", "nowhere.geojson")]));
}

#[test]
fn a_folder_for_a_map() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().display().to_string();
    insta::assert_snapshot!(message(&[("FIELD", &path)]).replace(&path, "FIELD"));
}

#[test]
fn broken_json() {
    insta::assert_snapshot!(message_of_map("{\"type\": \"FeatureCollection\",\n  \"features\": [ }"));
}

#[test]
fn json_that_is_no_geojson() {
    insta::assert_snapshot!(message_of_map("{\"stands\": 12}"));
}

#[test]
fn an_empty_map() {
    insta::assert_snapshot!(message_of_map("{\"type\": \"FeatureCollection\", \"features\": []}"));
}

#[test]
fn bytes_that_are_no_text() {
    insta::assert_snapshot!(message_of_map([0x7b, 0xff, 0xfe, 0x7d]));
}

#[test]
fn unknown_names_suggest_near_ones() {
    insta::assert_snapshot!(message(&[("--from", "H5")]));
    insta::assert_snapshot!(message(&[("--via", "EE")]));
    insta::assert_snapshot!(message(&[("--to", "27")]));
    insta::assert_snapshot!(message(&[("--aircraft", "trainer-hig-2")]));
}

#[test]
fn an_instruction_that_cannot_be_read_or_found() {
    let told = |text: &str| message(&[("--instruction", text)]);
    insta::assert_snapshot!(told("taxi to holding point D1 runway 26 via L, H, D"));
    insta::assert_snapshot!(told("taxi to holding pint D1"));
    insta::assert_snapshot!(told("cleared to taxi"));
    insta::assert_snapshot!(told("taxi to holding point A1 runway 26 via L, A"));
    // Without --to the instruction must say where it ends.
    insta::assert_snapshot!(message(&[("--to", "ABSENT"), ("--instruction", "taxi via L, A")]));
}

#[test]
fn an_instruction_that_cannot_be_followed_is_an_answer_with_reasons() {
    let ran = run(&journey(
        "plan",
        &[("--instruction", "taxi to holding point D1 runway 26 via L, A, D")],
    ));
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    insta::assert_snapshot!(ran.out);
}

#[test]
fn a_wind_without_its_north() {
    insta::assert_snapshot!(message(&[("--wind", "240/12")]));
}

#[test]
fn winds_that_are_none() {
    insta::assert_snapshot!(message(&[("--wind", "240")]));
    insta::assert_snapshot!(message(&[("--wind", "400/12T")]));
    insta::assert_snapshot!(message(&[("--wind", "240/12G10T")]));
}

#[test]
fn figures_out_of_range() {
    insta::assert_snapshot!(message(&[("--margin", "-1")]).replace("  ", " "));
    insta::assert_snapshot!(message(&[("--margin", "NaN")]));
    insta::assert_snapshot!(message(&[("--date", "2026-02-30")]));
    insta::assert_snapshot!(message(&[("--date", "2060-01-01")]));
    insta::assert_snapshot!(message(&[("--parked-heading", "500")]));
    insta::assert_snapshot!(message(&[("--parked-heading", "75")]));
}

#[test]
fn an_absurd_aeroplane_is_told_everything_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let sound = toeline(&["aircraft", "show", "trainer-high-2"]).out;
    let absurd = sound
        .replace("\"span_m\": 10.1", "\"span_m\": 101.0")
        .replace("\"wheelbase_m\": 1.52", "\"wheelbase_m\": -1.52");
    assert_ne!(sound, absurd);
    let path = write(folder.path(), "absurd.json", absurd).display().to_string();
    insta::assert_snapshot!(message(&[("--aircraft", &path)]).replace(&path, "AIRCRAFT"));
    let path = write(folder.path(), "typo.json", sound.replace("\"track_m\"", "\"trak_m\""))
        .display()
        .to_string();
    insta::assert_snapshot!(message(&[("--aircraft", &path)]).replace(&path, "AIRCRAFT"));
}

#[test]
fn a_deviation_card_that_cannot_be_is_refused_row_by_row() {
    let folder = tempfile::tempdir().unwrap();
    let sound = toeline(&["aircraft", "show", "tourer-low-4"]).out;
    let check = |text: &str| {
        let path = write(folder.path(), "card.json", text).display().to_string();
        let ran = toeline(&["aircraft", "check", &path]);
        (ran.code, (ran.out + &ran.err).replace(&path, "AIRCRAFT"))
    };
    assert_eq!(check(&sound).0, 0);
    let bad = sound
        .replace("\"steer_deg\": 33.0", "\"steer_deg\": 53.0")
        .replace("\"for_magnetic_deg\": 90.0", "\"for_magnetic_deg\": 60.0");
    assert_ne!(sound, bad);
    let (code, told) = check(&bad);
    assert_eq!(code, 2, "{told}");
    insta::assert_snapshot!(told);
}

#[test]
fn no_way_is_an_answer_with_reasons() {
    // The 15 m wing may not use taxiway F, and from the hangars by way of M it would hit; from stand H3 only these lead out.
    let ran = run(&journey(
        "plan",
        &[
            ("--from", "H3"),
            ("--aircraft", "twin-light-6"),
            ("--to", "G1"),
            ("--via", "ABSENT"),
        ],
    ));
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("closed (resurfacing)"), "{}", ran.out);
    insta::assert_snapshot!(ran.out);
}
