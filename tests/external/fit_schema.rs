//! What `toeline fit --json` prints obeys `docs/fit.schema.json`, by a JSON Schema library that is not ours.

use serde_json::{Value, json};
use std::io::Cursor;
use toeline_engine::carrier;
use toeline_engine::fit::{self, Answered, FitAsked};
use toeline_model::aircraft::catalog;
use toeline_model::date::Date;
use toeline_tests::carried::{AT, Packing, from_geojson, pbf};
use toeline_tests::sketch::Sketch;

/// Stands without a heading, out of reach and closed; two runways, one without a designator.
fn odd() -> String {
    let stand = |name: &str| json!({ "aeroway": "parking_position", "ref": name });
    Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .line(
            "lone",
            &[[-900.0, -500.0], [-900.0, 500.0]],
            json!({ "aeroway": "runway" }),
        )
        .taxiway("a", "A", &[[0.0, 0.0], [0.0, -150.0]])
        .line(
            "b",
            &[[0.0, -150.0], [150.0, -150.0]],
            json!({ "aeroway": "taxiway", "toeline:closed": "works" }),
        )
        .point("s1", [20.0, -130.0], stand("1"))
        .point("s1b", [-20.0, -130.0], stand("1"))
        .point("s3", [600.0, -700.0], stand("3"))
        .text()
}

#[test]
fn the_json_of_a_fit_obeys_its_schema() {
    let Some(python) = crate::python::python() else { return };
    let path = toeline_tests::root().join("docs/fit.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let asked = FitAsked::new(
        vec![catalog::find("tourer-low-4").unwrap()],
        Date::parse("2026-07-04").unwrap(),
    );
    let mut documents: Vec<Value> = [toeline_tests::demo_field(), odd()]
        .iter()
        .map(|t| serde_json::from_str(&fit::json(&fit::fit(t, &asked, &|_| {}).unwrap())).unwrap())
        .collect();
    let good = documents.len();
    // The schema must be able to say no.
    for (pointer, wrong) in [
        ("/toeline_fit", json!(2)),
        ("/cells/0/fits", json!("clear")),
        ("/cells/0/more", json!(1)),
        ("/cells/0/stand", json!(-1)),
        ("/spans/0/segments/0/largest/fits_m", json!("wide")),
    ] {
        let mut document = documents[0].clone();
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        document.pointer_mut(parent).unwrap()[key] = wrong;
        documents.push(document);
    }
    obeys(&python, &schema, &documents, good);
}

#[test]
fn the_lines_of_a_survey_obey_their_schema() {
    let Some(python) = crate::python::python() else { return };
    let path = toeline_tests::root().join("docs/survey.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let asked = FitAsked {
        spans: false,
        ..FitAsked::new(
            vec![catalog::find("tourer-low-4").unwrap()],
            Date::parse("2026-07-04").unwrap(),
        )
    };
    let answered = |text: &str| Answered::Fit(Box::new(fit::fit(text, &asked, &|_| {}).unwrap()));
    let (osm, _) = from_geojson(&toeline_tests::demo_field());
    let listed = carrier::aerodromes(&mut Cursor::new(pbf(&osm, Packing::default())), AT, &mut |_| {}).unwrap();
    let one = listed.first();
    let mut documents: Vec<Value> = [
        (one, answered(&toeline_tests::demo_field())),
        (None, answered(&odd())),
        (one, Answered::NothingToTaxiOn),
        (one, Answered::Not("it holds\u{7} too much".to_string())),
        (
            None,
            answered(&Sketch::default().taxiway("a", "A", &[[0.0, 0.0], [9.0, 9.0]]).text()),
        ),
    ]
    .iter()
    .map(|(a, answered)| serde_json::from_str(&fit::survey_line("some.osm", (1, 9), *a, answered)).unwrap())
    .collect();
    let good = documents.len();
    for (pointer, wrong) in [
        ("/toeline_survey", json!(2)),
        ("/answer", json!("clear")),
        ("/number", json!(0)),
        ("/counts/fits", json!(-1)),
        ("/aircraft/0/more", json!(1)),
        ("/aerodrome/feature", json!(7)),
        ("/blocked_by/weather", json!(1)),
    ] {
        let mut document = documents[0].clone();
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        document.pointer_mut(parent).unwrap()[key] = wrong;
        documents.push(document);
    }
    obeys(&python, &schema, &documents, good);
}

/// The first so many documents obey the schema and the others do not.
fn obeys(python: &std::ffi::OsString, schema: &Value, documents: &[Value], good: usize) {
    let named: Vec<Value> = documents
        .iter()
        .enumerate()
        .map(|(k, d)| json!([format!("document {k}"), d.to_string()]))
        .collect();
    let answer = crate::python::answer(python, "schema.py", &json!({ "schema": schema, "maps": named }));
    for (k, errors) in answer.as_array().unwrap().iter().enumerate() {
        let errors = errors.as_array().unwrap();
        assert_eq!(errors.is_empty(), k < good, "document {k}: {errors:?}");
    }
}
