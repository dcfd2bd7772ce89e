//! The briefing as a reader wants it: units, local time, colour.

use crate::harness::*;
use serde_json::Value;

/// Every number of a text that stands before a unit word, in the order of the text.
fn figures(text: &str, unit: &str) -> Vec<f64> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let is = |w: &str| w.trim_end_matches([',', '.', ';', ':', ')']) == unit;
    let pairs = words.windows(2).filter(|w| is(w[1]));
    pairs
        .filter_map(|w| w[0].trim_start_matches('(').parse().ok())
        .collect()
}

#[test]
fn in_feet_every_length_of_the_text_is_its_metres_and_no_gap_grows() {
    let metric = run(&journey("plan", &[]));
    let feet = run(&journey("plan", &[("--units", "imperial")]));
    assert_eq!(feet.code, 0, "{}", feet.err);
    assert!(feet.out.lines().all(|l| l.chars().count() <= 100));
    let (m, ft) = (figures(&metric.out, "m"), figures(&feet.out, "ft"));
    assert!(m.len() > 40, "{m:?}");
    assert_eq!(m.len(), ft.len(), "{m:?}\n{ft:?}");
    for (m, ft) in m.iter().zip(&ft) {
        // A whole metre is told as a whole foot, a tenth as a tenth, rounded down.
        assert!((ft * 0.3048 - m).abs() <= 0.5 * 0.3048 + 0.5, "{m} m, {ft} ft");
    }
    assert!(figures(&feet.out, "m").is_empty(), "{}", feet.out);
    let gaps = |text: &str| -> Vec<String> {
        let list = text
            .split("TIGHTEST GAPS")
            .nth(1)
            .unwrap()
            .split("\n\n")
            .next()
            .unwrap();
        list.lines().skip(1).map(str::to_string).collect()
    };
    let pairs = figures(&gaps(&metric.out).join("\n"), "m");
    let shown = figures(&gaps(&feet.out).join("\n"), "ft");
    assert!(pairs.len() >= 8 && pairs.len() == shown.len());
    for (m, ft) in pairs.iter().zip(&shown) {
        assert!(ft * 0.3048 <= m + 1e-9 && m - ft * 0.3048 < 0.031, "{m} m, {ft} ft");
    }
    for word in ["psi", "inHg", " F or more"] {
        assert!(feet.out.contains(word), "{word}: {}", feet.out);
    }
}

#[test]
fn json_keeps_metres_whatever_is_read() {
    let args = |units: &str| {
        let mut args = journey("plan", &[("--units", units)]);
        args.push("--json".to_string());
        args
    };
    assert_eq!(run(&args("imperial")).out, run(&args("metric")).out);
}

#[test]
fn colour_adds_codes_and_nothing_else() {
    let plain = run(&journey("plan", &[]));
    assert!(!plain.out.contains('\u{1b}'), "a pipe is no terminal");
    let coloured = run(&journey("plan", &[("--colour", "always")]));
    let mut stripped = String::new();
    let mut rest = coloured.out.as_str();
    let mut codes = 0;
    while let Some(at) = rest.find("\u{1b}[") {
        stripped.push_str(&rest[..at]);
        let end = rest[at..].find('m').expect("the code ends");
        rest = &rest[at + end + 1..];
        codes += 1;
    }
    stripped.push_str(rest);
    assert_eq!(stripped, plain.out);
    assert!(codes > 20 && codes % 2 == 0, "{codes}");
    assert!(coloured.out.contains("\u{1b}[1;32mCLEAR"), "{}", coloured.out);
    let not_clear = run(&journey("plan", &[("--colour", "always"), ("--margin", "7.5")]));
    assert!(not_clear.out.contains("\u{1b}[1;31mNOT CLEAR"), "{}", not_clear.out);
}

#[test]
fn local_time_is_told_beside_utc_and_decides_the_same() {
    let local = run(&journey(
        "plan",
        &[
            ("--date", "2026-07-04"),
            ("--time", "16:30L"),
            ("--time-zone", "Europe/Berlin"),
        ],
    ));
    assert_eq!(local.code, 0, "{}", local.err);
    assert!(
        local.out.contains("14:30Z, 16:30 local (Europe/Berlin, UTC+02:00)"),
        "{}",
        local.out
    );
    let utc = run(&journey("plan", &[("--date", "2026-07-04"), ("--time", "14:30")]));
    assert!(utc.out.contains("2026-07-04, 14:30Z"), "{}", utc.out);
    let mut args = journey(
        "plan",
        &[
            ("--date", "2026-07-05"),
            ("--time", "00:30L"),
            ("--time-zone", "+02:00"),
        ],
    );
    args.push("--json".to_string());
    let json: Value = serde_json::from_str(&run(&args).out).unwrap();
    assert_eq!(
        json["request"]["date"], "2026-07-04",
        "the day in UTC is the day before"
    );
    assert_eq!(json["request"]["time_utc"], "22:30Z");
}

#[test]
fn times_that_are_none_are_refused_with_what_to_write() {
    for (changes, said) in [
        (vec![("--time", "16:30L")], "--time-zone"),
        (
            vec![
                ("--date", "2026-03-29"),
                ("--time", "02:30L"),
                ("--time-zone", "Europe/Berlin"),
            ],
            "does not exist",
        ),
        (
            vec![
                ("--date", "2026-10-25"),
                ("--time", "02:30L"),
                ("--time-zone", "Europe/Berlin"),
            ],
            "comes twice",
        ),
        (vec![("--time", "12:00"), ("--time-zone", "Here/There")], "IANA"),
        (vec![("--time-zone", "Europe/Berlin")], "--time"),
        (vec![("--units", "cubits")], "imperial"),
    ] {
        let ran = run(&journey("plan", &changes));
        assert_eq!(ran.code, 2, "{changes:?}: {}", ran.out);
        assert!(ran.err.contains(said), "{changes:?}: {}", ran.err);
    }
}

#[test]
fn a_name_that_looks_like_a_length_is_not_turned() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(demo()).unwrap();
    assert!(text.contains("Hangar 3"), "the demo field has no Hangar 3 any more");
    let path = write(
        folder.path(),
        "named.geojson",
        text.replace("\"Hangar 3\"", "\"Hangar 3 m\""),
    );
    let path = path.display().to_string();
    let ran = run(&journey(
        "plan",
        &[
            ("FIELD", &path),
            ("--units", "imperial"),
            ("--from", "H3"),
            ("--margin", "30"),
        ],
    ));
    assert!(ran.out.contains("Hangar 3 m"), "{}", ran.out);
    assert!(!ran.out.contains("Hangar 10 ft"), "{}", ran.out);
}
