//! Documents of the exercises kept true: schema and reader, the page, and the table of published task elements.

use serde_json::{Value, json};
use std::collections::BTreeSet;
use toeline_training::exercise::{Exercise, build, drive_by_script, find, measure_keys, texts};

fn doc(name: &str) -> String {
    let path = toeline_tests::root().join("docs").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn schema() -> Value {
    serde_json::from_str(&doc("exercise.schema.json")).expect("JSON")
}

/// Every name of a property in a schema.
fn names(schema: &Value, into: &mut BTreeSet<String>) {
    match schema {
        Value::Object(map) => {
            if let Some(Value::Object(properties)) = map.get("properties") {
                into.extend(properties.keys().cloned());
            }
            map.values().for_each(|v| names(v, into));
        }
        Value::Array(all) => all.iter().for_each(|v| names(v, into)),
        _ => {}
    }
}

/// Every name that a file of the exercises holds as a key.
fn keys(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            into.extend(map.keys().cloned());
            map.values().for_each(|v| keys(v, into));
        }
        Value::Array(all) => all.iter().for_each(|v| keys(v, into)),
        _ => {}
    }
}

/// A file that uses everything there is.
fn everything() -> Value {
    json!({
        "toeline_exercise": 1, "id": "all", "title": "All", "teaches": ["x"], "after": ["before"],
        "where": { "field": "quillmere", "from": "4", "via": ["E"], "to": "26", "instruction": "taxi", "parked_heading_deg": 75,
                   "date": "2026-07-04", "roll_m": 100 },
        "aircraft": "trainer-high-2", "wind": "240/12G18T", "ground": { "surface": "grass", "wet": true }, "hour": "dusk",
        "start": { "before": { "stop": "A1", "by_m": 5 } },
        "stages": [{
            "title": "a", "prompt": "b",
            "until": [
                { "passed_m": 5 }, { "passed": "A1" }, { "stood": { "at": "end", "for_s": 1, "within_m": 3 } }, { "turned_deg": 5 },
                { "slowed_kt": 1 }, { "reading": "idle" }, { "full_and_free": ["rudder"] }, { "looked": "left" }, { "said": "ready" }
            ],
            "tower": { "tells": "cross", "words": "c", "after_s": 1, "upon": "ready" },
            "limits": { "most_kt": 5, "off_line_m": 1, "heading_deg": 5, "within_s": 5, "by_m": 5, "by_stop": "A1" }
        }, {
            "title": "a", "prompt": "b",
            "until": [
                { "told": "cross" }, { "judged": "fit" }, { "switched": { "switch": "s", "to": "on" } }, { "power": "full" },
                { "reached_kt": 5 }, { "lift_off_share": 1 },
                { "stopped_after_fault": { "throttle_closed_within_s": 5, "mixture_off": true } }
            ]
        }],
        "faults": [{ "from": { "stage": 1, "way_m": 5, "kt": 5 }, "broken": {
            "brake": ["weak", "none"], "flat_tyre": [true, false, false], "steering_play_rad": 0.1, "fouled_plug": [true, false],
            "dead_magneto": [true, false], "live_magneto": [true, false], "carburettor_ice": 0.5, "heading_drift_radps": 0.05,
            "stuck_compass": true, "dead_airspeed": true
        } }],
        "scored": ["path"],
    })
}

/// Schema, reader and page name the same things: what the reader takes is what the schema takes is what the page tells.
#[test]
fn schema_reader_and_page_name_the_same() {
    let all = everything();
    let exercise = Exercise::from_value(&all).unwrap_or_else(|e| panic!("{e:?}"));
    // Nothing is read and forgotten.
    let mut written = BTreeSet::new();
    keys(&serde_json::to_value(&exercise).expect("writes"), &mut written);
    let (mut of_file, mut of_schema) = (BTreeSet::new(), BTreeSet::new());
    keys(&all, &mut of_file);
    assert_eq!(of_file, written);
    names(&schema(), &mut of_schema);
    // Two ways of one thing of which a file can only use one.
    of_file.extend(["drill".to_string(), "at_m".to_string()]);
    assert_eq!(of_file, of_schema);
    let (page, faults) = (doc("exercises.md"), doc("attempts.md"));
    for name in &of_schema {
        let told = [format!("`{name}`"), format!("\"{name}\"")];
        let there = told.iter().any(|t| page.contains(t) || faults.contains(t));
        assert!(there, "docs/exercises.md does not tell of {name}");
    }
}

#[test]
fn the_example_of_the_page_can_be_read() {
    let page = doc("exercises.md");
    let example = page
        .split("```json\n")
        .nth(1)
        .and_then(|t| t.split("```").next())
        .expect("an example");
    let exercise = Exercise::from_json(example).unwrap_or_else(|e| panic!("{e:?}"));
    assert_eq!(exercise.stages.len(), 2);
}

#[test]
fn the_schema_takes_what_the_reader_takes_and_refuses_what_it_refuses() {
    let Some(python) = crate::python::python() else { return };
    let mut documents: Vec<Value> = texts().iter().map(|t| serde_json::from_str(t).expect("JSON")).collect();
    documents.push(everything());
    let good = documents.len();
    for (pointer, wrong) in [
        ("/toeline_exercise", json!(2)),
        ("/id", json!("Big Letters")),
        ("/colour", json!("red")),
        ("/hour", json!("noon")),
        ("/where/drill", json!("waltz")),
        ("/start", json!({ "at_m": -1 })),
        ("/stages/0/until/0", json!({ "danced": 1 })),
        ("/stages/0/until/0/passed_m", json!(-4)),
        ("/stages/0/until/0", json!({ "looked": "inside" })),
        ("/stages/0/limits/most_kt", json!(500)),
        ("/stages/0/tower/tells", json!("fly")),
        ("/stages/0/more", json!(1)),
        ("/faults/0/broken", json!({})),
        ("/faults/0/broken/brake", json!(["bad", "none"])),
        ("/faults/0/from/stage", json!(0)),
        ("/scored", json!(["path", "path"])),
    ] {
        let mut document = everything();
        let (parent, key) = pointer.rsplit_once('/').expect("a pointer");
        match document.pointer_mut(parent).expect("a place") {
            Value::Array(list) => list[key.parse::<usize>().expect("a number")] = wrong,
            object => object[key] = wrong,
        }
        assert!(Exercise::from_value(&document).is_err(), "the reader takes {pointer}");
        documents.push(document);
    }
    let named: Vec<Value> = documents
        .iter()
        .enumerate()
        .map(|(k, d)| json!([format!("document {k}"), d.to_string()]))
        .collect();
    let answer = crate::python::answer(&python, "schema.py", &json!({ "schema": schema(), "maps": named }));
    for (k, errors) in answer.as_array().expect("a list").iter().enumerate() {
        let errors = errors.as_array().expect("a list");
        assert_eq!(errors.is_empty(), k < good, "document {k}: {errors:?}");
    }
}

/// What a debrief's JSON tells of the stages: of every kind there is, one of a limit broken among them.
#[test]
fn the_stages_of_a_debrief_obey_its_schema() {
    let Some(python) = crate::python::python() else { return };
    let exercise = find("first-roll").expect("of the course");
    let aircraft = toeline_model::aircraft::catalog::find(&exercise.aircraft).expect("built in");
    let lesson = build(&exercise, &aircraft, &mut |_| Err("no map".into())).expect("ready");
    let mut documents = Vec::new();
    for script in [
        "at 0 throttle 0.8\nat 2000 throttle 0\nend 6000\n",
        "at 0 throttle 0.3\nend 600\n",
    ] {
        let came = drive_by_script(&lesson, script).expect("sound").came;
        documents.push(json!({ "id": exercise.id, "title": exercise.title, "stages": came }));
    }
    let kinds: BTreeSet<&str> = documents
        .iter()
        .flat_map(|d| d["stages"].as_array().expect("stages"))
        .filter_map(|s| s["came"].as_str())
        .collect();
    assert_eq!(
        kinds.into_iter().collect::<Vec<_>>(),
        ["limit_broken", "not_begun", "not_done"]
    );
    let good = documents.len();
    let mut wrong = documents[0].clone();
    wrong["stages"][0]["came"] = json!("so so");
    documents.push(wrong);
    let whole: Value = serde_json::from_str(&doc("debrief.schema.json")).expect("JSON");
    let schema = json!({ "$ref": "#/$defs/exercise", "$defs": whole["$defs"] });
    let named: Vec<Value> = documents.iter().map(|d| json!(["stages", d.to_string()])).collect();
    let answer = crate::python::answer(&python, "schema.py", &json!({ "schema": schema, "maps": named }));
    for (k, errors) in answer.as_array().expect("a list").iter().enumerate() {
        let errors = errors.as_array().expect("a list");
        assert_eq!(errors.is_empty(), k < good, "document {k}: {errors:?}");
    }
}

struct Row {
    code: String,
    element: String,
    exercises: Vec<String>,
    measures: Vec<String>,
}

fn quoted(cell: &str) -> Vec<String> {
    cell.split('`').skip(1).step_by(2).map(str::to_string).collect()
}

fn table() -> Vec<Row> {
    let text = doc("task-elements.md");
    let rows = text.lines().filter(|l| l.starts_with("| II."));
    rows.map(|line| {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        Row {
            code: cells[0].to_string(),
            element: cells[1].to_string(),
            exercises: quoted(cells[2]),
            measures: quoted(cells[3]),
        }
    })
    .collect()
}

/// Codes like "K1–K5", "K6a–e" and "S1–S8", one by one.
fn expanded(range: &str) -> Vec<String> {
    let (from, to) = range.split_once('–').unwrap_or((range, range));
    let last = |t: &str| t.chars().last().expect("a code");
    let stem = &from[..from.len() - 1];
    (last(from)..=last(to)).map(|c| format!("{stem}{c}")).collect()
}

#[test]
fn every_element_has_an_exercise_that_judges_its_measures() {
    let rows = table();
    assert!(rows.len() >= 27, "{} rows", rows.len());
    for row in &rows {
        let told = format!("{} {}", row.code, row.element);
        assert!(!row.exercises.is_empty() && !row.measures.is_empty(), "{told}: nothing");
        for id in &row.exercises {
            let exercise = find(id).unwrap_or_else(|| panic!("{told}: there is no exercise {id}"));
            for key in &row.measures {
                assert!(
                    measure_keys().contains(&key.as_str()),
                    "{told}: there is no measure {key}"
                );
                assert!(exercise.scored.contains(key), "{told}: {id} does not score {key}");
            }
        }
    }
}

#[test]
fn no_published_element_is_missing() {
    let Some(file) = toeline_tests::open_data("standards.md") else {
        return;
    };
    let text = std::fs::read_to_string(&file).expect("readable");
    let section = text
        .split("### C2.")
        .nth(1)
        .and_then(|t| t.split("\n### ").next())
        .expect("section C2");
    let codes: Vec<String> = table().into_iter().map(|r| r.code).collect();
    let mut looked_at = 0;
    for line in section.lines().filter(|l| l.starts_with("| ")) {
        let cell = line.trim_matches('|').split('|').next().expect("a cell").trim();
        let wanted = match cell {
            "element" | "tolerances" => continue,
            _ if cell.starts_with("II.F") => vec!["II.F".to_string()],
            _ => {
                let range = cell.split_whitespace().last().expect("a code");
                expanded(range).into_iter().map(|c| format!("II.D.{c}")).collect()
            }
        };
        for code in wanted {
            assert!(codes.contains(&code), "docs/task-elements.md lacks {code} ({cell})");
            looked_at += 1;
        }
        if cell.starts_with("II.F") {
            // Its elements bear no numbers: each part of the sentence has a row.
            let parts = line.split('|').nth(2).expect("content").split([',', ';']).count();
            let rows = codes.iter().filter(|c| *c == "II.F").count();
            assert!(rows >= 6 && parts >= 6, "{rows} rows for {parts} parts");
        }
    }
    assert_eq!(looked_at, 5 + 5 + 3 + 8 + 1);
}
