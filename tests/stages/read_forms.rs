//! Stage read, the carrier: every form of GeoJSON gives the same airfield, and what is no map is answered with a clear word.

use proptest::prelude::*;
use serde_json::{Value, json};
use toeline_engine::notice::NoticeKind;
use toeline_engine::read::{self, Progress, ReadError, ReadField};
use toeline_model::LonLat;
use toeline_tests::fuzzed;
use toeline_tests::sketch::Sketch;

fn drawn() -> Vec<Value> {
    let s = Sketch::default()
        .runway("R", "09/27", &[[-300.0, 100.0], [500.0, 100.0]])
        .taxiway("T", "A", &[[0.0, 0.0], [0.0, 100.0]])
        .point("S", [10.0, -20.0], json!({ "aeroway": "parking_position", "ref": "1" }))
        .area(
            "H",
            &[&[[30.0, 0.0], [40.0, 0.0], [40.0, 9.0], [30.0, 9.0]]],
            json!({ "building": "hangar" }),
        );
    let whole: Value = serde_json::from_str(&s.text()).unwrap();
    whole["features"].as_array().unwrap().clone()
}

fn collection(features: &[Value]) -> String {
    json!({ "type": "FeatureCollection", "features": features }).to_string()
}

fn good(text: &str) -> ReadField {
    read::read(text).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

fn error(text: &str) -> String {
    match read::read(text) {
        Err(e) => e.to_string(),
        Ok(found) => panic!("was read: {found:?}"),
    }
}

fn taxiway(id: &str, geometry: Value) -> Value {
    json!({ "type": "Feature", "id": id, "properties": { "aeroway": "taxiway" }, "geometry": geometry })
}

fn lines(features: &[Value]) -> String {
    features.iter().map(|f| format!("{f}\n")).collect()
}

/// The same features in every form that RFC 7946 and RFC 8142 allow; each has a name for the message of a failure.
fn forms(features: &[Value]) -> Vec<(&'static str, String)> {
    let edited = |edit: &dyn Fn(&mut Value)| {
        let mut list = features.to_vec();
        list.iter_mut().for_each(edit);
        list
    };
    let foreign = edited(&|f| {
        f["title"] = json!({ "deep": [[[{ "er": null }]]], "coordinates": [1, 2] });
        f["geometry"]["note"] = json!(["a", 1]);
        f["bbox"] = json!([-1, -1, 1, 1]);
        f["geometry"]["bbox"] = json!([0, 0, 0, 0]);
    });
    let third = edited(&|f| heighten(&mut f["geometry"]["coordinates"]));
    let wrapped = edited(&|f| {
        let own = f["geometry"].take();
        let nested = json!({ "type": "GeometryCollection", "geometries": [own] });
        f["geometry"] = json!({ "type": "GeometryCollection", "geometries": [nested] });
    });
    let multi = edited(&|f| {
        let kind = f["geometry"]["type"].as_str().unwrap().to_string();
        let own = f["geometry"]["coordinates"].take();
        f["geometry"] = json!({ "type": format!("Multi{kind}"), "coordinates": [own] });
    });
    let at_id = edited(&|f| {
        let id = f["id"].take();
        f["properties"]["@id"] = id;
        f.as_object_mut().unwrap().remove("id");
    });
    let turned: Vec<String> = features
        .iter()
        .map(|f| {
            format!(
                r#"{{"geometry":{},"properties":{},"id":{},"type":"Feature"}}"#,
                f["geometry"], f["properties"], f["id"]
            )
        })
        .collect();
    let pair = features.split_at(features.len() / 2);
    vec![
        ("a byte order mark", format!("\u{feff}{}", collection(features))),
        ("spread over lines", serde_json::to_string_pretty(&json!({ "type": "FeatureCollection", "features": features })).unwrap()),
        ("foreign members and bbox", json!({ "bbox": [-180, -90, 180, 90], "features": foreign, "type": "FeatureCollection", "made": { "by": "hand", "features": 7 } }).to_string()),
        ("members in another order", format!(r#"{{"features":[{}],"type":"FeatureCollection"}}"#, turned.join(","))),
        ("three numbers a position", collection(&third)),
        ("geometry collections, nested", collection(&wrapped)),
        ("multi geometries of one part", collection(&multi)),
        ("identity as a property", collection(&at_id)),
        ("a feature a line", lines(features)),
        ("a feature a line, blank lines and CR LF", format!("\n{}\r\n", lines(features).replace('\n', "\r\n\r\n"))),
        ("a feature a line after a byte order mark", format!("\u{feff}{}", lines(features))),
        ("a text sequence", features.iter().map(|f| format!("\u{1e}{f}\n")).collect()),
        ("a text sequence, spread over lines", features.iter().map(|f| format!("\u{1e}{f:#}\n")).collect()),
        ("a collection a line", format!("{}\n{}", collection(pair.0), collection(pair.1))),
    ]
}

/// A third number at every position.
fn heighten(coordinates: &mut Value) {
    match coordinates.as_array_mut() {
        Some(list) if list.first().is_some_and(Value::is_number) => list.push(json!(412.5)),
        Some(list) => list.iter_mut().for_each(heighten),
        None => {}
    }
}

#[test]
fn every_form_gives_the_airfield_of_the_collection() {
    let features = drawn();
    let expected = good(&collection(&features));
    assert_eq!(
        (
            expected.field.lanes.len(),
            expected.field.stands.len(),
            expected.field.obstacles.len()
        ),
        (1, 1, 1)
    );
    for (name, text) in forms(&features) {
        assert_eq!(good(&text), expected, "{name}");
    }
    // A feature alone is a file too.
    assert_eq!(good(&features[1].to_string()), good(&collection(&features[1..2])));
    // Without an identity only what things are called by differs.
    let mut nameless = features.clone();
    nameless.iter_mut().for_each(|f| {
        f.as_object_mut().unwrap().remove("id");
    });
    let field = good(&collection(&nameless)).field;
    assert_eq!(field.lanes[0].id, "feature 2");
    assert_eq!(field.lanes[0].line, expected.field.lanes[0].line);
    assert_eq!(good(&lines(&nameless)).field, field);
}

#[test]
fn the_demo_field_is_the_same_in_every_form() {
    let whole: Value = serde_json::from_str(&toeline_tests::demo_field()).unwrap();
    let features = whole["features"].as_array().unwrap();
    let expected = good(&toeline_tests::demo_field());
    for (name, text) in forms(features) {
        assert_eq!(good(&text), expected, "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn any_drawn_map_is_the_same_in_every_form(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let whole: Value = serde_json::from_str(&fuzzed::map_from(&bytes)).unwrap();
        let features = whole["features"].as_array().unwrap();
        // One feature alone, and none, have forms of their own above and below.
        prop_assume!(features.len() > 1);
        let expected = read::read(&collection(features));
        for (name, text) in forms(features) {
            let found = read::read(&text);
            // A Multi geometry and a collection tell of a part or a type of another name when they are broken.
            if expected.is_ok() || !(name.contains("multi") || name.contains("collection")) {
                prop_assert_eq!(&found, &expected, "{}", name);
            } else {
                prop_assert!(found.is_err(), "{}", name);
            }
        }
    }
}

#[test]
fn a_geometry_alone_is_answered_with_what_it_lacks() {
    for kind in ["Point", "LineString", "GeometryCollection"] {
        let e = error(&json!({ "type": kind, "coordinates": [11, 47], "geometries": [] }).to_string());
        assert_eq!(
            e,
            format!(
                "the map file is a bare {kind}: without properties nothing says what is a runway or a taxiway; put it in a \
                 Feature with properties such as \"aeroway\": \"taxiway\""
            )
        );
    }
    // Among features it is passed over with a word.
    let mut features = drawn();
    features.insert(0, json!({ "type": "Point", "coordinates": [11, 47] }));
    for text in [collection(&features), lines(&features)] {
        let found = good(&text);
        assert_eq!(found.notices[0].text, "is a bare Point without properties; left out");
        assert_eq!(found.notices[0].feature, "feature 1");
    }
}

#[test]
fn a_null_geometry_and_empty_collections_are_no_harm() {
    let mut features = drawn();
    features.push(taxiway("N", Value::Null));
    features.push(taxiway("E", json!({ "type": "GeometryCollection", "geometries": [] })));
    features.push(taxiway("M", json!({ "type": "MultiLineString", "coordinates": [] })));
    let found = good(&collection(&features));
    assert_eq!(found.field.lanes.len(), 1);
    for id in ["N", "E", "M"] {
        let told = found.notices.iter().find(|n| n.feature == id).unwrap();
        assert_eq!(
            (told.kind, told.text.as_str()),
            (NoticeKind::LeftOut, "has no geometry; left out")
        );
    }
    for empty in [collection(&[]), "\u{1e}".to_string()] {
        assert_eq!(read::read(&empty), Err(ReadError::NothingToTaxiOn { features: 0 }));
    }
    assert!(error("").starts_with("the map file is not JSON: line 1, column 0: EOF"));
    assert!(error(" \n ").starts_with("the map file is not JSON"));
}

#[test]
fn lines_that_are_no_json_are_told_together() {
    let mut text = lines(&drawn());
    text.insert_str(text.find('\n').unwrap() + 1, "{\"type\": \n");
    text += "NaN\n";
    assert_eq!(
        error(&text),
        "2 features of the map cannot be read:\n  line 2: is not JSON: column 9: EOF while parsing a value\n  \
         line 6: is not JSON: column 1: NaN is no number in JSON; write a number, or leave the member out"
    );
    let sequence = format!("\u{1e}{}\n\u{1e}{{\"type\"\n", drawn()[0]);
    assert!(error(&sequence).contains("record 2: is not JSON"));
    // A value with something behind it on its own line is no sequence.
    let e = error(&format!("{} x", collection(&drawn())));
    assert!(e.ends_with(": trailing characters"), "{e}");
}

#[test]
fn long_lists_of_broken_features_are_cut() {
    let broken: Vec<Value> = (0..250)
        .map(|i| taxiway(&i.to_string(), json!({ "type": "Point" })))
        .collect();
    let e = error(&collection(&broken));
    assert!(
        e.starts_with("250 features of the map cannot be read:") && e.ends_with("\n  and 150 more"),
        "{e}"
    );
}

#[test]
fn words_that_are_no_numbers_are_named() {
    for word in ["NaN", "Infinity", "-Infinity"] {
        let text = collection(&[taxiway(
            "T",
            json!({ "type": "LineString", "coordinates": [[11, 47], ["@", 47]] }),
        )]);
        let e = error(&text.replace("\"@\"", word));
        assert!(
            e.contains(&format!(
                "{word} is no number in JSON; write a number, or leave the member out"
            )),
            "{e}"
        );
    }
    let text = collection(&[taxiway(
        "T",
        json!({ "type": "LineString", "coordinates": [[11, 47], ["@", 47]] }),
    )]);
    let e = error(&text.replace("\"@\"", "1e999"));
    assert!(e.contains("number out of range"), "{e}");
}

#[test]
fn numbers_beyond_the_earth_are_refused_with_the_limit() {
    let at = |lon: f64, lat: f64| {
        error(&collection(&[taxiway(
            "T",
            json!({ "type": "LineString", "coordinates": [[11, 47], [lon, lat]] }),
        )]))
    };
    assert!(
        at(1e9, 47.0).contains("T: its line: position 2 has the longitude 1000000000, outside -180 to 180 degrees")
    );
    assert!(at(11.0, -1e9).ends_with("has the latitude -1000000000, outside -90 to 90 degrees"));
    assert!(at(11.0, 1e308).contains("outside -90 to 90 degrees"));
    assert!(
        at(47.0, 139.8).ends_with(
            "has the latitude 139.8, outside -90 to 90 degrees (longitude comes first: are the two swapped?)"
        )
    );
}

#[test]
fn what_stands_in_place_of_a_position_is_shown_harmlessly() {
    let told = |coordinates: Value| {
        error(&collection(&[taxiway(
            "T",
            json!({ "type": "LineString", "coordinates": coordinates }),
        )]))
    };
    for (coordinates, words) in [
        (
            json!([[11, 47], ["a\u{7f}\u{202e}b\n", 47]]),
            "position 2 has the longitude \"a  b\", which is not a number",
        ),
        (
            json!([[11, 47], [11, null]]),
            "position 2 has the latitude null, which is not a number",
        ),
        (
            json!([[11, 47], [true, 47]]),
            "position 2 has the longitude true, which is not a number",
        ),
        (
            json!([[11, 47], [[11, 47], [12, 47]]]),
            "position 2 has the longitude […], which is not a number",
        ),
        (
            json!([[11, 47], []]),
            "position 2 has 0 numbers; 2 are needed (longitude, latitude)",
        ),
        (json!([[11, 47], 7]), "position 2 is not a list of numbers"),
        (json!([[11, 47], {}]), "position 2 is not a list of numbers"),
        (json!([11, 47]), "position 1 is not a list of numbers"),
        (json!({ "a": 1 }), "its line: the coordinates are not a list"),
        (json!([]), "its line has 0 position; at least 2 are needed"),
    ] {
        let e = told(coordinates);
        assert!(e.ends_with(words), "\"{words}\" does not end {e}");
    }
}

#[test]
fn nesting_without_end_is_refused_and_foreign_depth_is_no_harm() {
    let deep = |n: usize| format!("{}{}", "[".repeat(n), "]".repeat(n));
    let coordinates = |inside: &str| {
        format!(r#"{{"type":"Feature","properties":{{}},"geometry":{{"type":"Point","coordinates":{inside}}}}}"#)
    };
    let e = error(&coordinates(&deep(200_000)));
    assert!(e.contains("nested more than 127 deep"), "{e}");
    let mut nested = json!({ "type": "Point", "coordinates": [11, 47] });
    for _ in 0..200 {
        nested = json!({ "type": "GeometryCollection", "geometries": [nested] });
    }
    let e = error(&collection(&[taxiway("T", nested)]));
    assert!(e.contains("nested more than 127 deep"), "{e}");
    // What is passed over costs no stack, however deep it is.
    let text = collection(&drawn()).replacen('{', &format!("{{\"foreign\":{},", deep(1_000_000)), 1);
    assert_eq!(good(&text), good(&collection(&drawn())));
}

#[test]
fn too_many_features_and_properties_are_refused() {
    let e = error(&format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{}{{}}]}}",
        "{},".repeat(read::FEATURE_LIMIT)
    ));
    assert_eq!(
        e,
        "the map file is too large for one airfield: more than 300000 features; cut out one airfield"
    );
    let e = error(&"{}\n".repeat(read::FEATURE_LIMIT + 1));
    assert!(e.ends_with("more than 300000 features; cut out one airfield"), "{e}");
    let e = error(&format!(
        "{{\"type\":\"Feature\",\"properties\":{{{}\"\":0}}}}",
        "\"\":0,".repeat(read::PROPERTY_LIMIT)
    ));
    assert!(e.ends_with("more than 3000000 properties; cut out one airfield"), "{e}");
}

#[test]
fn an_identity_that_several_features_bear_is_doubted_once() {
    let mut features = drawn();
    for (i, f) in features.iter_mut().enumerate() {
        if i != 2 {
            f["id"] = json!("same");
        }
    }
    features.push(json!({ "type": "Feature", "id": "shop", "properties": { "shop": "bakery" }, "geometry": null }));
    features.push(json!({ "type": "Feature", "id": "shop", "properties": { "shop": "books" }, "geometry": null }));
    let doubts: Vec<_> = good(&collection(&features))
        .notices
        .into_iter()
        .filter(|n| n.text.contains("identity"))
        .collect();
    assert_eq!(doubts.len(), 1, "{doubts:?}");
    assert_eq!(
        (doubts[0].kind, doubts[0].feature.as_str()),
        (NoticeKind::Doubt, "same")
    );
    assert_eq!(
        doubts[0].text,
        "3 features of the file have this identity (numbers 1, 2, 4); what is asked for by it is ambiguous"
    );
}

#[test]
fn a_property_given_twice_has_its_last_value() {
    let text = collection(&drawn()).replacen("\"ref\":\"A\"", "\"ref\":\"X\",\"ref\":\"B\"", 1);
    assert_eq!(good(&text).field.lanes[0].letters, ["B"]);
}

/// Every position with its two numbers in the other order.
fn swap(value: &mut Value) {
    match value.as_array_mut() {
        Some(list) if list.first().is_some_and(Value::is_number) => list.swap(0, 1),
        Some(list) => list.iter_mut().for_each(swap),
        None => {}
    }
}

#[test]
fn swapped_longitude_and_latitude_are_seen_by_the_designators() {
    let read_swapped = |designators: &str, along: [f64; 2]| {
        let s = Sketch::about(11.0, 47.0).runway("R", designators, &[[0.0, 0.0], along]);
        let mut whole: Value = serde_json::from_str(&s.text()).unwrap();
        let right = good(&whole.to_string());
        whole["features"]
            .as_array_mut()
            .unwrap()
            .iter_mut()
            .for_each(|f| swap(&mut f["geometry"]["coordinates"]));
        (right.notices, good(&whole.to_string()).notices)
    };
    for (designators, along) in [
        ("08/26", [985.0, 174.0]),
        ("35/17", [-174.0, 985.0]),
        ("12/30", [866.0, -500.0]),
    ] {
        let (right, wrong) = read_swapped(designators, along);
        let seen = |list: &[toeline_engine::notice::Notice]| {
            list.iter()
                .any(|n| n.text.starts_with("longitude and latitude look swapped"))
        };
        assert!(!seen(&right), "{designators}: {right:?}");
        assert!(seen(&wrong), "{designators}: {wrong:?}");
    }
    // Along the diagonal it lies the same way either way: nothing can be seen, and nothing is said.
    let (_, wrong) = read_swapped("05/23", [707.0, 707.0]);
    assert!(!wrong.iter().any(|n| n.text.contains("look swapped")), "{wrong:?}");
}

#[test]
fn wrong_designators_alone_are_not_taken_for_a_swap() {
    let text = Sketch::about(11.0, 47.0)
        .runway("R", "01/19", &[[0.0, 0.0], [985.0, 174.0]])
        .runway("Q", "08/26", &[[0.0, 300.0], [985.0, 474.0]])
        .text();
    assert!(!good(&text).notices.iter().any(|n| n.text.contains("look swapped")));
}

/// A field of 2 km drawn about a place comes back in its true size and shape.
fn has_its_shape(lon_deg: f64, lat_deg: f64) {
    let drawn = [[-1000.0, 0.0], [1000.0, 0.0], [1000.0, 600.0], [-200.0, -400.0]];
    let s = Sketch::about(lon_deg, lat_deg)
        .taxiway("A", "A", &drawn[..2])
        .taxiway("B", "B", &drawn[1..3])
        .point("S", drawn[3], json!({ "aeroway": "parking_position", "ref": "1" }));
    let field = good(&s.text()).field;
    assert!(field.origin.lon_deg.abs() <= 180.0 && field.origin.lat_deg.abs() <= 90.0);
    let corner = field.lanes[0].line[field.lanes[0].line.len() - 1];
    assert_eq!(corner, field.lanes[1].line[0], "the same position is the same place");
    let ends = [
        field.lanes[0].line[0],
        corner,
        *field.lanes[1].line.last().unwrap(),
        field.stands[0].line[0],
    ];
    for i in 0..4 {
        for j in 0..i {
            let [[ax, ay], [bx, by]] = [drawn[i], drawn[j]];
            let (ours, true_m) = (ends[i].distance(ends[j]), (ax - bx).hypot(ay - by));
            // 1e-9 of the coordinates' degrees is 0.1 mm; two planes with origins some hundred metres apart differ by less.
            assert!(
                (ours - true_m).abs() < 1e-3,
                "{lon_deg} {lat_deg}: {ours} m for {true_m} m"
            );
        }
    }
}

#[test]
fn fields_at_the_poles_and_across_the_180th_meridian_are_read() {
    for (lon_deg, lat_deg) in [
        (180.0, -16.7),
        (-179.9999, 51.9),
        (179.995, 0.0),
        (0.0, 89.9),
        (139.0, -89.995),
        (0.0, 90.0),
        (-45.0, -90.0),
        (180.0, 89.999),
    ] {
        has_its_shape(lon_deg, lat_deg);
    }
}

#[test]
fn a_line_across_the_180th_meridian_is_the_short_way_round() {
    let text = collection(&[taxiway(
        "T",
        json!({ "type": "LineString", "coordinates": [[179.999, -16.7], [-179.999, -16.7]] }),
    )]);
    let field = good(&text).field;
    let length_m = toeline_model::planar::line_length(&field.lanes[0].line);
    // 0.002 degree of the parallel of 16.7 S, its radius 6 378 137 m cos(16.7)/sqrt(1 - e² sin²(16.7)) on WGS 84.
    assert!((length_m - 213.29).abs() < 0.05, "{length_m}");
    let LonLat { lon_deg, lat_deg } = field.origin;
    assert!(
        (lon_deg.abs() - 180.0).abs() < 1e-6 && (lat_deg + 16.7).abs() < 1e-6,
        "{:?}",
        field.origin
    );
}

#[test]
fn long_reads_tell_how_far_they_are() {
    let line = |i: usize| {
        let lat = 47.0 + i as f64 * 1e-6;
        taxiway(
            &i.to_string(),
            json!({ "type": "LineString", "coordinates": [[11.0, lat], [11.001, lat]] }),
        )
    };
    let features: Vec<Value> = (0..12_000).map(line).collect();
    let text = collection(&features);
    for (form, text) in [("collection", text.clone()), ("lines", lines(&features))] {
        let mut told = Vec::new();
        let found = read::read_with(&text, &mut |p| told.push(p)).unwrap();
        assert_eq!(found, good(&text), "{form}");
        let bytes: Vec<usize> = told
            .iter()
            .filter_map(|p| match p {
                Progress::Text { done_bytes, of_bytes } => {
                    assert_eq!(*of_bytes, text.len());
                    Some(*done_bytes)
                }
                Progress::Features { .. } => None,
            })
            .collect();
        // Every MiB of the text, and forward only.
        assert_eq!(bytes.len(), text.len() >> 20, "{form}");
        assert!(bytes.is_sorted() && bytes.iter().all(|b| *b <= text.len()));
        let made: Vec<_> = told.iter().filter(|p| matches!(p, Progress::Features { .. })).collect();
        assert_eq!(
            made,
            [
                &Progress::Features { done: 5000, of: 12_000 },
                &Progress::Features {
                    done: 10_000,
                    of: 12_000
                }
            ],
            "{form}"
        );
    }
    let mut told = 0;
    read::read_with(&collection(&drawn()), &mut |_| told += 1).unwrap();
    assert_eq!(told, 0, "a small file tells nothing");
}

#[test]
fn the_kept_corpus_of_the_fuzzers_breaks_nothing() {
    let folder = toeline_tests::root().join("tests/fuzz/corpus");
    let (mut airfields, mut files) = (0, 0);
    for (target, text_of) in [
        ("reader", None),
        ("noder", Some(fuzzed::map_from as fn(&[u8]) -> String)),
    ] {
        let mut list: Vec<_> = std::fs::read_dir(folder.join(target))
            .unwrap()
            .map(|e| e.unwrap().path())
            .collect();
        list.sort();
        assert!(list.len() > 5, "{target}");
        for path in list {
            let bytes = std::fs::read(&path).unwrap();
            let airfield = match text_of {
                Some(f) => fuzzed::check(&f(&bytes)),
                None => fuzzed::check_bytes(&bytes),
            };
            airfields += usize::from(airfield);
            files += 1;
        }
    }
    assert!(
        airfields > 10,
        "only {airfields} of {files} are airfields: the corpus tests little"
    );
}
