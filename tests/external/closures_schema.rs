//! What `toeline closing --json` prints obeys `docs/closures.schema.json`, by a JSON Schema library that is not ours.

use serde_json::{Value, json};
use toeline_engine::closures::{self, Asked, Question, What};
use toeline_model::aircraft::catalog;
use toeline_model::date::{Date, TimeOfDay};

fn answer(what: What, name: &str, time: Option<&str>) -> Value {
    let question = Question {
        close: vec![Asked {
            what,
            name: name.to_string(),
        }],
        aircraft: catalog::all(),
        date: Date::parse("2026-07-04").unwrap(),
        time_utc: time.map(|t| TimeOfDay::parse(t).unwrap()),
        notams: Vec::new(),
    };
    let broken = closures::broken(&toeline_tests::demo_field(), &question, &mut |_, _| {}).unwrap();
    serde_json::from_str(&closures::json(&broken)).unwrap()
}

#[test]
fn the_json_of_a_closure_obeys_its_schema() {
    let Some(python) = crate::python::python() else { return };
    let path = toeline_tests::root().join("docs/closures.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let mut documents = vec![
        answer(What::Runway, "08/26", None),
        answer(What::Lane, "G", Some("06:00")),
        answer(What::Area, "Main apron", None),
    ];
    let good = documents.len();
    // The schema must be able to say no.
    for (pointer, wrong) in [
        ("/toeline_closing", json!(2)),
        ("/ways/0/change", json!("gone")),
        ("/ways/0/before", json!(3)),
        ("/counts/lost", json!(-1)),
        ("/closed", json!([])),
        ("/time_utc", json!("6")),
    ] {
        let mut document = documents[0].clone();
        *document.pointer_mut(pointer).expect("it is there") = wrong;
        documents.push(document);
    }
    let named: Vec<Value> = documents
        .iter()
        .enumerate()
        .map(|(k, d)| json!([format!("document {k}"), d.to_string()]))
        .collect();
    let answer = crate::python::answer(&python, "schema.py", &json!({ "schema": schema, "maps": named }));
    for (k, errors) in answer.as_array().unwrap().iter().enumerate() {
        let errors = errors.as_array().unwrap();
        assert_eq!(errors.is_empty(), k < good, "document {k}: {errors:?}");
    }
}
