//! The text, its features and their places.

use super::*;

#[test]
fn broken_json_is_told_with_line_and_column() {
    let e = read::read("{\n  \"type\": \"FeatureCollection\",\n  oops }").unwrap_err();
    let ReadError::NotJson {
        line,
        column,
        ref found,
    } = e
    else {
        panic!("{e:?}")
    };
    assert_eq!((line, column), (3, 3));
    assert_eq!(found, "key must be a string");
    assert_eq!(
        e.to_string(),
        "the map file is not JSON: line 3, column 3: key must be a string"
    );
}

#[test]
fn json_that_is_no_geojson_says_what_it_is() {
    let found = |text: &str| match read::read(text) {
        Err(ReadError::NotGeoJson { found }) => found,
        other => panic!("{other:?}"),
    };
    assert!(found("[1, 2]").contains("not an object"));
    assert!(found("{}").contains("no \"type\""));
    assert!(found("{\"type\": \"Topology\"}").contains("\"Topology\""));
    assert!(found("{\"type\": \"FeatureCollection\"}").contains("no \"features\""));
    assert!(found("{\"type\": \"FeatureCollection\", \"features\": 3}").contains("not a list"));
    let crs = json!({ "type": "FeatureCollection", "features": [], "crs": { "properties": { "name": "EPSG:25832" } } });
    assert!(found(&crs.to_string()).contains("EPSG:25832"));
}

#[test]
fn one_feature_alone_and_a_byte_order_mark_are_read() {
    let whole: Value = serde_json::from_str(&base().text()).unwrap();
    let one = format!("\u{feff}{}", whole["features"][0]);
    assert_eq!(read::read(&one).unwrap().field.lanes.len(), 1);
}

#[test]
fn a_file_without_pavement_has_nothing_to_taxi_on() {
    let tree = Sketch::default().point("T", [0.0, 0.0], json!({ "natural": "tree" }));
    assert_eq!(
        read::read(&tree.text()),
        Err(ReadError::NothingToTaxiOn { features: 1 })
    );
    let closed = json!({ "aeroway": "taxiway", "toeline:closed": "flooded" });
    let closed = Sketch::default().line("L", &[[0.0, 0.0], [9.0, 0.0]], closed);
    assert_eq!(
        read::read(&closed.text()),
        Err(ReadError::NothingToTaxiOn { features: 1 })
    );
    let bare = json!({ "type": "Point", "coordinates": [1, 2] });
    assert_eq!(
        read::read(&bare.to_string()),
        Err(ReadError::NothingToTaxiOn { features: 0 })
    );
}

#[test]
fn too_much_text_is_refused_before_it_is_parsed() {
    let text = " ".repeat(read::TEXT_LIMIT_BYTES + 1);
    let Err(ReadError::TooLarge { found }) = read::read(&text) else {
        panic!()
    };
    assert_eq!(found, "268435457 bytes of text; the limit is 268435456 bytes (256 MiB)");
}

#[test]
fn too_many_positions_are_counted_in_every_feature() {
    let one = "[1,2],";
    let line = format!("[{}[1,2]]", one.repeat(read::POSITION_LIMIT));
    let text = format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{{\"type\":\"Feature\",\"properties\":{{}},\"geometry\":{{\"type\":\"LineString\",\"coordinates\":{line}}}}}]}}"
    );
    let Err(ReadError::TooLarge { found }) = read::read(&text) else {
        panic!()
    };
    assert_eq!(found, "1000001 positions; the limit is 1000000 positions");
}

#[test]
fn a_field_wider_than_the_limit_is_refused_and_a_narrower_one_is_not() {
    let wide = |m: f64| read::read(&Sketch::default().taxiway("L", "A", &[[0.0, 0.0], [0.0, m]]).text());
    let Err(ReadError::TooLarge { found }) = wide(30_100.0) else {
        panic!()
    };
    assert!(
        found.contains("30.1 km from north to south") && found.contains("30 km"),
        "{found}"
    );
    assert!(wide(29_900.0).is_ok());
    let Err(ReadError::TooLarge { found }) = read::read(
        &base()
            .line("F", &[[0.0, 0.0], [40_000.0, 0.0]], json!({ "aeroway": "runway" }))
            .text(),
    ) else {
        panic!()
    };
    assert!(found.contains("east to west"), "{found}");
}

#[test]
fn everything_broken_in_used_features_is_reported_at_once() {
    let feature = |id: &str, tags: Value, kind: &str, coordinates: Value| json!({ "type": "Feature", "id": id, "properties": tags, "geometry": { "type": kind, "coordinates": coordinates } });
    let way = json!({ "aeroway": "taxiway" });
    let s = base()
        .raw(feature("a", way.clone(), "LineString", json!([[11, 47], [192.5, 47]])))
        .raw(feature("b", way.clone(), "LineString", json!([[11, 95.5], [11, 47]])))
        .raw(feature("c", way.clone(), "LineString", json!([[11, 47]])))
        .raw(feature("d", way.clone(), "LineString", json!([[11], [11, 47]])))
        .raw(feature("e", way.clone(), "LineString", json!([["x", 47], [11, 47]])))
        .raw(feature(
            "f",
            json!({ "building": "yes" }),
            "Polygon",
            json!([[[11, 47], [11.1, 47], [11.1, 47.1], [11, 47.1]]]),
        ))
        .raw(feature(
            "g",
            json!({ "building": "yes" }),
            "Polygon",
            json!([[[11, 47], [11.1, 47], [11, 47]]]),
        ))
        .raw(feature("h", way, "Ellipse", json!([])))
        .raw(feature("i", json!({ "shop": "bakery" }), "Point", json!([999, 0])));
    let e = read::read(&s.text()).unwrap_err();
    let text = e.to_string();
    let ReadError::Features(list) = e else { panic!("{text}") };
    let ids: Vec<&str> = list.iter().map(|p| p.feature.as_str()).collect();
    assert_eq!(ids, ["a", "b", "c", "d", "e", "f", "g", "h"]);
    for words in [
        "a: its line: position 2 has the longitude 192.5, outside -180 to 180 degrees",
        "b: its line: position 1 has the latitude 95.5, outside -90 to 90 degrees",
        "c: its line has 1 position; at least 2 are needed",
        "d: its line: position 1 has 1 numbers; 2 are needed",
        "e: its line: position 1 has the longitude \"x\", which is not a number",
        "f: the outer ring is not closed",
        "g: the outer ring has 3 positions; at least 4 are needed",
        "h: its geometry type \"Ellipse\"",
    ] {
        assert!(text.contains(words), "\"{words}\" is not in {text}");
    }
}

#[test]
fn a_broken_feature_that_is_not_used_is_only_a_notice() {
    let bakery = json!({ "type": "Feature", "id": "i", "properties": { "shop": "bakery" },
        "geometry": { "type": "Point", "coordinates": [999, 0] } });
    let r = good(
        &base()
            .raw(bakery)
            .raw(json!(7))
            .raw(json!({ "type": "Feature", "id": "n", "properties":
        { "aeroway": "taxiway" }, "geometry": null })),
    );
    told(&r.notices, NoticeKind::LeftOut, "i", "longitude 999");
    told(&r.notices, NoticeKind::LeftOut, "feature 3", "is not an object");
    told(&r.notices, NoticeKind::LeftOut, "n", "has no geometry");
}

#[test]
fn identity_is_the_id_then_the_at_id_then_the_place() {
    let line =
        |s: &Sketch| json!({ "type": "LineString", "coordinates": [s.position([0.0, 0.0]), s.position([9.0, 0.0])] });
    let s = base();
    let g = line(&s);
    let s = s
        .raw(json!({ "type": "Feature", "id": 12, "properties": { "aeroway": "taxiway" }, "geometry": g.clone() }))
        .raw(
            json!({ "type": "Feature", "properties": { "aeroway": "taxiway", "@id": "way/5" }, "geometry": g.clone() }),
        )
        .raw(json!({ "type": "Feature", "properties": { "aeroway": "taxiway" }, "geometry": g }));
    let ids: Vec<String> = field(&s).lanes.into_iter().map(|l| l.id).collect();
    assert_eq!(ids, ["T", "12", "way/5", "feature 4"]);
}

#[test]
fn the_origin_is_the_middle_of_the_pavement_rounded() {
    let s = Sketch::default()
        .taxiway("L", "A", &[[-400.0, -100.0], [600.0, 300.0]])
        .point("far tree", [5000.0, 5000.0], json!({ "natural": "tree" }));
    let f = field(&s);
    let [a, b] = [s.position([-400.0, -100.0]), s.position([600.0, 300.0])];
    let expected = [(a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0];
    let round = |v: f64| (v * 1e6).round() / 1e6;
    assert_eq!([f.origin.lon_deg, f.origin.lat_deg], expected.map(round));
    near(
        f.lanes[0].line[0].distance(*f.lanes[0].line.last().unwrap()),
        1_077.033,
        0.002,
    );
}

/// The densified line against many points of the line that RFC 7946 section 3.1.1 means (straight in longitude and
/// latitude), each projected on its own by the geodesic.
#[test]
fn densified_lines_stay_within_a_tenth_of_a_millimetre() {
    for lat_deg in [0.0, 47.0, 68.0] {
        let s = Sketch::about(11.0, lat_deg).taxiway("L", "A", &[[-2000.0, 300.0], [1900.0, 420.0], [1900.0, -800.0]]);
        let f = field(&s);
        let plane = LocalPlane::new(f.origin);
        let corners = [[-2000.0, 300.0], [1900.0, 420.0], [1900.0, -800.0]].map(|p| s.position(p));
        let mut worst_m = 0.0_f64;
        for w in corners.windows(2) {
            for i in 0..=1000 {
                let t = f64::from(i) / 1000.0;
                let p = LonLat {
                    lon_deg: w[0][0] + (w[1][0] - w[0][0]) * t,
                    lat_deg: w[0][1] + (w[1][1] - w[0][1]) * t,
                };
                let p = plane.to_xy(p);
                worst_m = worst_m.max(closest_on_line(p, &f.lanes[0].line).unwrap().0.distance(p));
            }
        }
        assert!(worst_m <= read::SAGITTA_M + 1e-6, "{worst_m} m at latitude {lat_deg}");
        // Undensified, the first piece alone would be off by L² tan(lat) / 8R, 0.3 m at 47 degrees.
        assert_eq!(
            f.lanes[0].line.len() > 20,
            lat_deg > 1.0,
            "{} points",
            f.lanes[0].line.len()
        );
    }
}

#[test]
fn short_pieces_get_no_points() {
    assert_eq!(
        field(&Sketch::default().taxiway("L", "A", &[[0.0, 0.0], [20.0, 0.0], [20.0, 20.0]])).lanes[0]
            .line
            .len(),
        3
    );
}

#[test]
fn a_field_on_the_180th_meridian_is_one_field() {
    let s = Sketch::about(180.0, -17.0).taxiway("L", "A", &[[-300.0, 0.0], [300.0, 0.0]]);
    assert!(s.position([-300.0, 0.0])[0] > 179.0 && s.position([300.0, 0.0])[0] < -179.0);
    let f = field(&s);
    near(line_length(&f.lanes[0].line), 600.0, 0.01);
    assert!((-180.0..=180.0).contains(&f.origin.lon_deg));
}

#[test]
fn things_at_the_other_end_of_the_world_are_left_out() {
    let r = good(
        &base()
            .line("long", &[[0.0, 0.0], [9_000_000.0, 0.0]], json!({ "barrier": "fence" }))
            .point("far", [0.0, 31_000.0], json!({ "natural": "tree" }))
            .point("near", [0.0, 29_000.0], json!({ "natural": "tree" })),
    );
    assert_eq!(
        r.field.obstacles.iter().map(|o| o.id.as_str()).collect::<Vec<_>>(),
        ["near"]
    );
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "far",
        "reaches 31 km from the middle of the field; the limit is 30 km",
    );
    told(&r.notices, NoticeKind::LeftOut, "long", "the limit is 30 km");
}

#[test]
fn notices_come_in_file_order() {
    let s = base()
        .line(
            "z",
            &[[0.0, 0.0], [9.0, 0.0]],
            json!({ "aeroway": "taxiway", "width": "wide" }),
        )
        .point("y", [0.0, 0.0], json!({ "aeroway": "apron" }))
        .line(
            "x",
            &[[0.0, 0.0], [9.0, 0.0]],
            json!({ "abandoned:aeroway": "taxiway" }),
        );
    assert_eq!(
        good(&s).notices.iter().map(|n| n.feature.as_str()).collect::<Vec<_>>(),
        ["z", "y", "x"]
    );
}
