//! The form of our own: everything wrong is told at once, with its place, value and limit.

use serde_json::{Value, json};
use toeline_engine::notices::{self, Condition, Is, Kind, NoticesError};

fn read(file: &Value) -> Result<Vec<notices::Notam>, NoticesError> {
    notices::read(&file.to_string(), "n.json")
}

fn wrong(notice: Value) -> String {
    let file = json!({ "toeline_notices": 1, "notices": [notice] });
    read(&file).unwrap_err().to_string()
}

#[test]
fn a_whole_notice_is_read() {
    let file = json!({
        "toeline_notices": 1,
        "aerodrome": "ZZHD",
        "notices": [{
            "number": "A0012/26",
            "text": "TWY B CLSD BTN TWY A AND TWY C\nDUE WIP",
            "from": "2026-12-01T06:00Z",
            "until": "2026-12-04T18:00Z",
            "schedule": [{ "days": ["FRI", "mon"], "from": "08:00", "until": "24:00" }],
            "not_on": ["2026-12-02"],
            "closes": [{ "taxiway": "B", "between": ["A", "C"] }, { "stand": "4" }],
            "closed_to": [{ "span_above_m": 12, "kind": "aeroplane" }, { "weight_above_kg": 5700 }],
        }],
    });
    let list = read(&file).unwrap();
    let n = &list[0];
    assert_eq!(n.text, "TWY B CLSD BTN TWY A AND TWY C DUE WIP");
    assert_eq!((n.about.code.as_deref(), n.effects.len()), (Some("ZZHD"), 2));
    let e = &n.effects[0];
    assert_eq!(e.on.kind, Kind::Taxiway);
    assert_eq!(e.on.words(), "taxiway B between A and C");
    assert_eq!(e.schedule[0].words(), "Mon Fri 08:00 to 24:00 UTC");
    assert_eq!(e.schedule[1].words(), "except daily 00:00 to 24:00 UTC on 2026-12-02");
    let Some(Condition::Not(closed_to)) = &e.open_to else {
        panic!("{:?}", e.open_to)
    };
    let Condition::Any(entries) = closed_to.as_ref() else {
        panic!("{closed_to:?}")
    };
    assert_eq!(entries[1], Condition::All(vec![Condition::Mass(Is::Above, 5700.0)]));
    assert_eq!(
        closed_to.words(),
        "(a wing span above 12 m and an aeroplane) or a mass above 5700 kg"
    );
}

#[test]
fn what_is_wrong_is_told_with_notice_value_and_limit() {
    for (notice, part) in [
        (json!({ "number": " " }), "number is empty"),
        (
            json!({ "number": "A1", "from": "tomorrow" }),
            "from: \"tomorrow\" is not a moment in UTC",
        ),
        (
            json!({ "number": "A1", "until": "9999-12-31T00:00Z" }),
            "of the years 1900 to 2100",
        ),
        (
            json!({ "number": "A1", "from": "2026-02-02T00:00Z", "until": "2026-02-01T00:00Z" }),
            "from 2026-02-02T00:00Z is not before until 2026-02-01T00:00Z",
        ),
        (json!({ "number": "A1", "estimated": true }), "there is no until"),
        (
            json!({ "number": "A1", "replaces": "A2", "cancels": "A3" }),
            "replaces and cancels",
        ),
        (
            json!({ "number": "A1", "closes": [{}] }),
            "closes, entry 1: names 0 things",
        ),
        (
            json!({ "number": "A1", "closes": [{ "stand": "1", "apron": "2" }] }),
            "entry 1: names 2 things",
        ),
        (
            json!({ "number": "A1", "closes": [{ "stand": " " }] }),
            "the name of the stand is empty",
        ),
        (
            json!({ "number": "A1", "closes": [{ "stand": "1", "between": ["A", "B"] }] }),
            "between goes with taxiway",
        ),
        (
            json!({ "number": "A1", "closes": [{ "stand": "1", "name": "x" }] }),
            "name goes with area",
        ),
        (
            json!({ "number": "A1", "closes": [{ "area": [[0, 0], [1, 1], [0, 0]] }] }),
            "area of 2 places; at least 3",
        ),
        (
            json!({ "number": "A1", "closes": [{ "area": [[0, 0], [1, 1], [0, 95]] }] }),
            "[0, 95] is no place",
        ),
        (json!({ "number": "A1", "except": [] }), "except is empty"),
        (
            json!({ "number": "A1", "except": [{}] }),
            "except: an entry without any of",
        ),
        (
            json!({ "number": "A1", "except": [{ "kind": "zeppelin" }] }),
            "kind \"zeppelin\" is none of aeroplane",
        ),
        (
            json!({ "number": "A1", "except": [{ "span_up_to_m": 0 }] }),
            "span_up_to_m 0 is outside 0 to 100",
        ),
        (
            json!({ "number": "A1", "closed_to": [{ "weight_above_kg": 1e9 }] }),
            "outside 0 to 1000000",
        ),
        (
            json!({ "number": "A1", "except": [{ "kind": "jet" }], "closed_to": [{ "kind": "jet" }] }),
            "except and closed_to are both given",
        ),
        (
            json!({ "number": "A1", "schedule": [{ "days": ["funday"], "from": "08:00", "until": "09:00" }] }),
            "schedule 1: day \"funday\" is none of mon",
        ),
        (
            json!({ "number": "A1", "schedule": [{ "from": "8", "until": "24:01" }] }),
            "schedule 1: from \"8\" is not a time of day",
        ),
        (
            json!({ "number": "A1", "schedule": [{ "from": "24:00", "until": "08:00" }] }),
            "24:00 is no time to begin",
        ),
        (
            json!({ "number": "A1", "schedule": [{ "from": "08:00", "until": "08:00" }] }),
            "00:00 to 24:00 for a whole day",
        ),
        (
            json!({ "number": "A1", "not_on": ["2026-02-30"] }),
            "not_on: date \"2026-02-30\"",
        ),
    ] {
        let told = wrong(notice.clone());
        assert!(
            told.contains(part) && told.contains("notice 1 ("),
            "no \"{part}\" in {told}"
        );
    }
    // All of it at once.
    let told = wrong(json!({ "number": "", "from": "x", "closes": [{}, { "stand": "" }] }));
    assert!(told.starts_with("4 things wrong in the notices:"), "{told}");
}

#[test]
fn the_form_is_closed_and_of_one_version() {
    for (file, part) in [
        (
            json!({ "toeline_notices": 2, "notices": [] }),
            "toeline_notices is 2; this program reads 1",
        ),
        (json!({ "notices": [] }), "missing field `toeline_notices`"),
        (
            json!({ "toeline_notices": 1, "notices": [], "note": 1 }),
            "unknown field `note`",
        ),
        (
            json!({ "toeline_notices": 1, "notices": [{ "number": "A1", "txt": "" }] }),
            "unknown field `txt`",
        ),
        (
            json!({ "toeline_notices": 1, "notices": [{ "number": "A1", "closes": [{ "twy": "A" }] }] }),
            "unknown field `twy`",
        ),
        (
            json!({ "toeline_notices": 1, "notices": [{ "number": 7 }] }),
            "invalid type",
        ),
    ] {
        let told = read(&file).unwrap_err().to_string();
        assert!(told.contains(part), "no \"{part}\" in {told}");
    }
    let told = notices::read(
        "{\n \"toeline_notices\": 1,\n \"notices\": [{ \"number\": NaN }] }",
        "n.json",
    )
    .unwrap_err()
    .to_string();
    assert!(told.contains("line 3"), "{told}");
}
