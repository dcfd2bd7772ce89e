//! What `toeline inspect --json` prints obeys `docs/inspect.schema.json`, by a JSON Schema library that is not ours.

use serde_json::{Value, json};
use toeline_engine::inspection;
use toeline_tests::sketch::Sketch;

/// Every kind of finding, with and without a place, names that are no names, several parts.
fn dirty() -> String {
    Sketch::default()
        .runway("rwy", "09/27", &[[-450.0, 0.0], [0.0, 0.0], [450.0, 0.0]])
        .taxiway("a", "A", &[[0.0, -0.3], [0.0, -150.0]])
        .line(
            "b",
            &[[0.0, -153.0], [150.0, -153.0]],
            json!({ "aeroway": "taxiway", "ref": "B", "width": 90 }),
        )
        .line(
            "c",
            &[[150.0, -153.0], [150.0, -250.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "toeline:closed": "works" }),
        )
        .line(
            "d",
            &[[300.0, -153.0], [300.0, -250.0]],
            json!({ "aeroway": "taxiway", "ref": "A", "width": "wide" }),
        )
        .point(
            "s1",
            [20.0, -130.0],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        )
        .point(
            "s2",
            [100.0, -170.0],
            json!({ "aeroway": "parking_position", "ref": "1" }),
        )
        .raw(json!({ "type": "Feature", "id": 7, "properties": { "aeroway": "apron" }, "geometry": null }))
        .text()
}

#[test]
fn the_json_of_an_inspection_obeys_its_schema() {
    let Some(python) = crate::python::python() else { return };
    let path = toeline_tests::root().join("docs/inspect.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let mut texts = vec![toeline_tests::demo_field(), dirty()];
    for file in ["hubs/eham-schiphol-2023-08.geojson", "bangor/bangor-airfield.geojson"] {
        texts.extend(toeline_tests::open_data(file).map(|p| std::fs::read_to_string(p).unwrap()));
    }
    let mut documents: Vec<Value> = texts
        .iter()
        .map(|t| serde_json::from_str(&inspection::json(&inspection::inspect(t).unwrap())).unwrap())
        .collect();
    let good = documents.len();
    // The schema must be able to say no.
    for (pointer, wrong) in [
        ("/toeline_inspect", json!(1)),
        ("/findings/0/kind", json!("error")),
        ("/findings/0/number", json!(0)),
        ("/findings/0/more", json!(1)),
        ("/lacks/0/number", json!("1")),
    ] {
        let mut document = documents[1].clone();
        match document.pointer_mut(pointer) {
            Some(value) => *value = wrong,
            None => {
                let (parent, key) = pointer.rsplit_once('/').unwrap();
                document.pointer_mut(parent).unwrap()[key] = wrong;
            }
        }
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
