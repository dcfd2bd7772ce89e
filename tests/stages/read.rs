//! Stage read: what a map file may hold, what is said about what is wrong, and what is left out with which words.

use serde_json::{Value, json};
use toeline_engine::notice::{Notice, NoticeKind};
use toeline_engine::plane::LocalPlane;
use toeline_engine::read::{self, ReadError, ReadField};
use toeline_model::airfield::{HoldingKind, LaneKind, Nose, ObstacleKind, Surface, Way};
use toeline_model::planar::{Shape, closest_on_line, line_length, signed_area};
use toeline_model::{Airfield, LonLat};
use toeline_tests::sketch::Sketch;

fn base() -> Sketch {
    Sketch::default().taxiway("T", "A", &[[0.0, 0.0], [100.0, 0.0]])
}

fn good(sketch: &Sketch) -> ReadField {
    read::read(&sketch.text()).unwrap_or_else(|e| panic!("{e}"))
}

fn field(sketch: &Sketch) -> Airfield {
    good(sketch).field
}

fn lane(properties: Value) -> ReadField {
    good(&Sketch::default().line("L", &[[0.0, 0.0], [50.0, 0.0]], properties))
}

fn told(notices: &[Notice], kind: NoticeKind, feature: &str, words: &str) {
    assert!(
        notices
            .iter()
            .any(|n| n.kind == kind && n.feature == feature && n.text.contains(words)),
        "no {kind:?} about {feature} with \"{words}\" in {notices:#?}"
    );
}

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not within {tolerance} of {b}");
}

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
}

#[test]
fn too_much_text_is_refused_before_it_is_parsed() {
    let text = " ".repeat(read::TEXT_LIMIT_BYTES + 1);
    let Err(ReadError::TooLarge { found }) = read::read(&text) else {
        panic!()
    };
    assert_eq!(found, "67108865 bytes of text; the limit is 67108864 bytes (64 MiB)");
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
    assert_eq!(found, "more than 1000000 positions; cut out one airfield");
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
fn numbers_with_units_are_read() {
    for (text, metres) in [
        (json!("23 m"), 23.0),
        (json!("23"), 23.0),
        (json!(23), 23.0),
        (json!("75 ft"), 75.0 * 0.3048),
        (json!("75'"), 75.0 * 0.3048),
        (json!("5'6\""), 5.5 * 0.3048),
        (json!("36,0"), 36.0),
        (json!("18 meters"), 18.0),
        (json!("10 metre"), 10.0),
        (json!("98m"), 98.0),
        (json!(" 7.5 m "), 7.5),
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "width": text }));
        near(
            r.field.lanes[0].width_m.unwrap_or_else(|| panic!("{text}")),
            metres,
            1e-9,
        );
        assert_eq!(r.notices, []);
    }
}

#[test]
fn nonsense_is_a_doubt_with_the_value_and_the_value_is_left_out() {
    for text in [
        "Narrow",
        "default",
        "1,200",
        "20-25",
        "~20",
        "inf",
        "NaN",
        "1e3",
        "-",
        "12 parsecs",
        "5'13\"",
        "",
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "width": text }));
        assert_eq!(r.field.lanes[0].width_m, None, "{text}");
        if !text.is_empty() {
            told(
                &r.notices,
                NoticeKind::Doubt,
                "L",
                &format!("width=\"{text}\" is not a length"),
            );
        }
    }
}

#[test]
fn absurd_values_are_doubted_with_the_range() {
    let r = lane(json!({ "aeroway": "taxiway", "maxspan": "650", "width": "0", "maxspeed": "900" }));
    told(
        &r.notices,
        NoticeKind::Doubt,
        "L",
        "maxspan=\"650\" is outside 2 to 120 m; left out",
    );
    told(
        &r.notices,
        NoticeKind::Doubt,
        "L",
        "width=\"0\" is outside 1 to 200 m; left out",
    );
    told(
        &r.notices,
        NoticeKind::Doubt,
        "L",
        "maxspeed=\"900\" is outside 0.28 to 41.67 m/s; left out",
    );
    let l = &r.field.lanes[0];
    assert_eq!((l.span_limit_m, l.width_m, l.speed_limit_mps), (None, None, None));
    assert!(r.notices.iter().all(|n| n.at.is_some()));
}

#[test]
fn speeds_are_kilometres_an_hour_unless_said_otherwise() {
    for (text, mps) in [
        ("36", 10.0),
        ("36 km/h", 10.0),
        ("10 kt", 10.0 * 1852.0 / 3600.0),
        ("10 mph", 4.4704),
        ("5 m/s", 5.0),
    ] {
        near(
            lane(json!({ "aeroway": "taxiway", "maxspeed": text })).field.lanes[0]
                .speed_limit_mps
                .unwrap(),
            mps,
            1e-9,
        );
    }
}

#[test]
fn letters_come_from_ref_then_from_a_short_name() {
    let letters = |tags: Value| {
        let mut all = json!({ "aeroway": "taxiway" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        lane(all).field.lanes[0].letters.clone()
    };
    assert_eq!(letters(json!({ "ref": "E6, E5;e6 " })), ["E6", "E5"]);
    assert_eq!(letters(json!({ "ref": "N Orange", "name": "B" })), ["N Orange"]);
    assert_eq!(letters(json!({ "name": "A20" })), ["A20"]);
    assert_eq!(letters(json!({ "name": "Taxiway B" })), ["B"]);
    assert_eq!(letters(json!({ "name": "Taxiway Foxtrot" })), [""; 0]);
    assert_eq!(letters(json!({ "name": "Northern perimeter way" })), [""; 0]);
    assert_eq!(letters(json!({})), [""; 0]);
}

#[test]
fn names_are_clean_trimmed_and_short() {
    let r = lane(json!({ "aeroway": "taxiway", "ref": " B\u{1b}[31m\u{7}\u{202e} " }));
    assert_eq!(r.field.lanes[0].letters, ["B [31m"]);
    let stand = base().point(
        "S",
        [5.0, 5.0],
        json!({ "aeroway": "parking_position", "ref": "x".repeat(500) }),
    );
    assert_eq!(field(&stand).stands[0].name.as_deref().map(str::len), Some(80));
}

#[test]
fn lanes_marked_out_of_use_are_kept_closed_with_the_reason() {
    for (tags, reason) in [
        (json!({ "toeline:closed": "resurfacing" }), "resurfacing"),
        (json!({ "toeline:closed": true }), "closed"),
        (json!({ "disused": "yes" }), "disused"),
        (json!({ "disused:aeroway": "taxiway" }), "disused"),
        (json!({ "abandoned": "yes" }), "abandoned"),
        (json!({ "construction": "yes" }), "under construction"),
        (json!({ "proposed:aeroway": "taxiway" }), "proposed"),
        (json!({ "razed": "yes" }), "razed"),
        (json!({ "demolished": "yes" }), "demolished"),
        (json!({ "closed": "yes" }), "closed"),
    ] {
        let mut all = json!({ "aeroway": "taxiway" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        let s = base().line("C", &[[0.0, 0.0], [0.0, 50.0]], all);
        assert_eq!(field(&s).lanes[1].closed.as_deref(), Some(reason), "{tags}");
    }
    let open = lane(json!({ "aeroway": "taxiway", "disused": "no", "toeline:closed": "no" }));
    assert_eq!(open.field.lanes[0].closed, None);
}

#[test]
fn pure_lifecycle_features_are_left_out_with_a_notice() {
    let r = good(
        &base()
            .line(
                "a",
                &[[0.0, 0.0], [0.0, 9.0]],
                json!({ "abandoned:aeroway": "taxiway" }),
            )
            .line(
                "b",
                &[[0.0, 0.0], [0.0, 9.0]],
                json!({ "aeroway": "construction", "construction": "runway" }),
            ),
    );
    assert_eq!((r.field.lanes.len(), r.field.runways.len()), (1, 0));
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "a",
        "a taxiway marked abandoned; left out",
    );
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "b",
        "a runway marked construction; left out",
    );
}

#[test]
fn ways_levels_surfaces_and_kinds_are_read() {
    for (value, way) in [
        ("yes", Way::Forward),
        ("-1", Way::Backward),
        ("no", Way::Both),
        ("reversible", Way::Both),
    ] {
        let r = lane(json!({ "aeroway": "taxiway", "oneway": value }));
        assert_eq!(r.field.lanes[0].way, way);
        assert_eq!(r.notices.len(), usize::from(value == "reversible"));
    }
    let level = |tags: Value| {
        let mut all = json!({ "aeroway": "taxiway" });
        all.as_object_mut().unwrap().extend(tags.as_object().unwrap().clone());
        lane(all).field.lanes[0].level
    };
    assert_eq!(level(json!({})), 0);
    assert_eq!(level(json!({ "bridge": "yes" })), 1);
    assert_eq!(level(json!({ "tunnel": "yes" })), -1);
    assert_eq!(level(json!({ "layer": "2", "bridge": "yes" })), 2);
    for (value, surface) in [
        ("asphalt", Surface::Paved),
        ("concrete:plates", Surface::Paved),
        ("grass", Surface::Grass),
        ("gravel", Surface::Loose),
        ("ice", Surface::Ice),
        ("water", Surface::Water),
        ("cheese", Surface::Unknown),
    ] {
        let r = lane(json!({ "aeroway": "taxilane", "surface": value }));
        assert_eq!(
            (r.field.lanes[0].surface, r.field.lanes[0].kind),
            (surface, LaneKind::Taxilane)
        );
        assert_eq!(r.notices.len(), usize::from(value == "cheese"));
    }
}

#[test]
fn runway_designators_follow_the_direction_of_the_line() {
    let designators = |text: &str, points: [[f64; 2]; 2]| {
        let r = good(&base().runway("R", text, &points));
        (r.field.runways[0].designators.clone(), r.notices)
    };
    let east = [[-400.0, 50.0], [400.0, 150.0]];
    let west = [[400.0, 150.0], [-400.0, 50.0]];
    let pair = |a: &str, b: &str| [Some(a.to_string()), Some(b.to_string())];
    for text in ["08/26", "26/08", "08-26", " 26 / 08 "] {
        assert_eq!(designators(text, east).0, pair("08", "26"));
        assert_eq!(designators(text, west).0, pair("26", "08"));
    }
    assert_eq!(designators("08L/26R", west).0, pair("26R", "08L"));
    assert_eq!(designators("26", east).0, [None, Some("26".to_string())]);
    let (kept, notices) = designators("17/35", east);
    assert_eq!(kept, pair("17", "35"));
    told(
        &notices,
        NoticeKind::Doubt,
        "R",
        "87 deg off the line, which runs 083/263 deg true",
    );
    let (kept, notices) = designators("NR/SL", east);
    assert_eq!(kept, pair("NR", "SL"));
    told(&notices, NoticeKind::Doubt, "R", "no pair of runway designators");
    assert_eq!(designators("", east).0, [None, None]);
}

#[test]
fn pieces_of_one_runway_are_put_together_and_pads_left_out() {
    let s = base()
        .line(
            "d",
            &[[-400.0, 50.0], [-300.0, 50.0]],
            json!({ "aeroway": "runway", "runway": "displaced_threshold" }),
        )
        .runway("m", "09/27", &[[500.0, 50.0], [-300.0, 50.0]])
        .line(
            "p",
            &[[500.0, 50.0], [560.0, 50.0]],
            json!({ "aeroway": "runway", "runway": "blast_pad", "ref": "09/27" }),
        )
        .line("s", &[[-400.0, 50.0], [-450.0, 50.0]], json!({ "aeroway": "stopway" }))
        .runway("x", "18/36", &[[500.0, 50.0], [500.0, -700.0]]);
    let r = good(&s);
    assert_eq!(r.field.runways.len(), 2);
    let main = &r.field.runways[0];
    assert_eq!(main.id, "m");
    near(line_length(&main.line), 900.0, 0.01);
    let along = (*main.line.last().unwrap() - main.line[0]).x;
    let names: Vec<&str> = main.designators.iter().flatten().map(String::as_str).collect();
    assert_eq!(names, if along > 0.0 { ["09", "27"] } else { ["27", "09"] });
    told(&r.notices, NoticeKind::Repair, "d", "drawn in 2 pieces");
    told(&r.notices, NoticeKind::LeftOut, "p", "blast pad");
    told(&r.notices, NoticeKind::LeftOut, "s", "stopway");
}

#[test]
fn outlines_of_runways_and_taxiways_are_no_centrelines() {
    let square: &[[f64; 2]] = &[[0.0, 0.0], [90.0, 0.0], [90.0, 20.0], [0.0, 20.0]];
    let closed: Vec<[f64; 2]> = square.iter().chain(&square[..1]).copied().collect();
    let r = good(
        &base()
            .area("a", &[square], json!({ "aeroway": "runway" }))
            .area("b", &[square], json!({ "aeroway": "taxiway" }))
            .line("c", &closed, json!({ "aeroway": "taxiway", "area": "yes" }))
            .line("loop", &closed, json!({ "aeroway": "taxiway" })),
    );
    assert_eq!(
        r.field.lanes.iter().map(|l| l.id.as_str()).collect::<Vec<_>>(),
        ["T", "loop"]
    );
    told(&r.notices, NoticeKind::LeftOut, "a", "runway drawn as an area");
    told(&r.notices, NoticeKind::LeftOut, "b", "taxiway drawn as an area");
    told(&r.notices, NoticeKind::LeftOut, "c", "taxiway drawn as an area");
}

#[test]
fn several_lines_in_one_feature_are_several_lanes() {
    let s = Sketch::default().lines(
        "M",
        &[&[[0.0, 0.0], [9.0, 0.0]], &[[20.0, 0.0], [29.0, 0.0]]],
        json!({ "aeroway": "taxiway" }),
    );
    assert_eq!(
        field(&s).lanes.iter().map(|l| l.id.as_str()).collect::<Vec<_>>(),
        ["M", "M (part 2)"]
    );
}

#[test]
fn stands_and_holding_positions_are_read_with_their_tags() {
    let s = base()
        .point(
            "s",
            [5.0, 20.0],
            json!({ "aeroway": "parking_position", "ref": "4", "direction": "270", "maxspan": "36,0",
            "toeline:nose": "out", "width": "12 m" }),
        )
        .line(
            "l",
            &[[8.0, 0.0], [8.0, 20.0]],
            json!({ "aeroway": "parking_position", "direction": "NW", "toeline:nose": "sideways" }),
        )
        .area(
            "a",
            &[&[[40.0, 10.0], [50.0, 10.0], [50.0, 20.0], [40.0, 20.0]]],
            json!({ "aeroway": "parking_position" }),
        )
        .point(
            "h",
            [30.0, 0.0],
            json!({ "aeroway": "holding_position", "ref": "A1", "holding_position:type": "ILS" }),
        )
        .point(
            "i",
            [40.0, 0.0],
            json!({ "aeroway": "holding_position", "holding_position:type": "intermediate" }),
        )
        .line(
            "bar",
            &[[50.0, -4.0], [50.0, 4.0]],
            json!({ "aeroway": "holding_position", "holding_position:type": "moat" }),
        );
    let r = good(&s);
    let stand = &r.field.stands[0];
    assert_eq!(
        (stand.name.as_deref(), stand.span_limit_m, stand.width_m, stand.nose),
        (Some("4"), Some(36.0), Some(12.0), Some(Nose::Out))
    );
    assert_eq!(stand.heading.map(|h| h.deg()), Some(270.0));
    assert_eq!(r.field.stands[1].heading.map(|h| h.deg()), Some(315.0));
    told(&r.notices, NoticeKind::Doubt, "l", "toeline:nose=\"sideways\"");
    assert_eq!(r.field.stands[2].line.len(), 1);
    near(
        r.field.stands[2].line[0].distance(s.in_field(r.field.origin, [45.0, 15.0])),
        0.0,
        1e-3,
    );
    told(&r.notices, NoticeKind::Doubt, "a", "drawn as an area");
    let kinds: Vec<HoldingKind> = r.field.holding_positions.iter().map(|h| h.kind).collect();
    assert_eq!(
        kinds,
        [HoldingKind::Runway, HoldingKind::Intermediate, HoldingKind::Unknown]
    );
    near(
        r.field.holding_positions[2]
            .at
            .distance(s.in_field(r.field.origin, [50.0, 0.0])),
        0.0,
        1e-3,
    );
    told(&r.notices, NoticeKind::Doubt, "bar", "\"moat\"");
}

#[test]
fn areas_are_read_and_other_shapes_of_them_left_out() {
    let ring: &[[f64; 2]] = &[[0.0, 0.0], [30.0, 0.0], [30.0, 20.0], [0.0, 20.0]];
    let r = good(
        &base()
            .area(
                "p",
                &[ring],
                json!({ "aeroway": "apron", "name": "Main", "surface": "grass" }),
            )
            .area("e", &[ring], json!({ "toeline:area": "engine_check", "ref": "E" }))
            .area(
                "h",
                &[ring],
                json!({ "toeline:area": "hot_spot", "ref": "HS1", "description": "look both ways" }),
            )
            .area("u", &[ring], json!({ "toeline:area": "picnic" }))
            .point("n", [0.0, 0.0], json!({ "aeroway": "apron" })),
    );
    assert_eq!(r.field.aprons[0].surface, Surface::Grass);
    near(signed_area(&r.field.aprons[0].outer).abs(), 600.0, 0.01);
    assert_eq!(r.field.check_areas[0].name.as_deref(), Some("E"));
    assert_eq!(r.field.hot_spots[0].note.as_deref(), Some("look both ways"));
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "u",
        "toeline:area=\"picnic\" is not known",
    );
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "n",
        "an apron must be drawn as an area",
    );
}

#[test]
fn obstacles_of_every_kind_are_read() {
    let ring: &[[f64; 2]] = &[[0.0, 30.0], [30.0, 30.0], [30.0, 60.0], [0.0, 60.0]];
    let hole: &[[f64; 2]] = &[[10.0, 40.0], [20.0, 40.0], [20.0, 50.0], [10.0, 50.0]];
    let closed: Vec<[f64; 2]> = ring.iter().chain(&ring[..1]).copied().collect();
    let r = good(
        &base()
            .areas(
                "b",
                &[&[ring, hole], &[hole]],
                json!({ "building": "yes", "height": "12 m", "min_height": 3, "name": "Shed" }),
            )
            .area("h", &[ring], json!({ "aeroway": "hangar" }))
            .area(
                "t",
                &[ring],
                json!({ "building": "terminal", "height": 5, "min_height": 9 }),
            )
            .line(
                "f",
                &[[0.0, 70.0], [90.0, 70.0]],
                json!({ "barrier": "fence", "height": "2.4" }),
            )
            .line("round", &closed, json!({ "barrier": "wall" }))
            .area("ring", &[ring], json!({ "barrier": "fence" }))
            .area("hedge", &[ring], json!({ "barrier": "hedge" }))
            .point(
                "tree",
                [50.0, 50.0],
                json!({ "natural": "tree", "diameter_crown": "8" }),
            )
            .point("tree2", [60.0, 50.0], json!({ "natural": "tree" }))
            .line("row", &[[0.0, 80.0], [9.0, 80.0]], json!({ "natural": "tree_row" }))
            .point("pole", [0.0, 90.0], json!({ "power": "pole" }))
            .point("lamp", [0.0, 91.0], json!({ "highway": "street_lamp", "height": 6 }))
            .point("mast", [0.0, 92.0], json!({ "man_made": "mast" }))
            .point("sock", [0.0, 93.0], json!({ "aeroway": "windsock" }))
            .area(
                "parked",
                &[ring],
                json!({ "toeline:obstacle": "parked_aeroplane", "height": 2.5 }),
            )
            .point("kiosk", [0.0, 94.0], json!({ "building": "kiosk" }))
            .area("gone", &[ring], json!({ "building": "yes", "razed": "yes" })),
    );
    use ObstacleKind as K;
    let kinds: Vec<(&str, K)> = r.field.obstacles.iter().map(|o| (o.id.as_str(), o.kind)).collect();
    assert_eq!(
        kinds,
        [
            ("b", K::Building),
            ("b (part 2)", K::Building),
            ("h", K::Hangar),
            ("t", K::Terminal),
            ("f", K::Fence),
            ("round", K::Wall),
            ("ring", K::Fence),
            ("hedge", K::Hedge),
            ("tree", K::Tree),
            ("tree2", K::Tree),
            ("row", K::TreeRow),
            ("pole", K::Pole),
            ("lamp", K::Pole),
            ("mast", K::Mast),
            ("sock", K::Windsock),
            ("parked", K::ParkedAeroplane),
        ]
    );
    let o = |id: &str| r.field.obstacles.iter().find(|o| o.id == id).unwrap();
    assert_eq!(
        (o("b").top_m, o("b").bottom_m, o("b").name.as_deref()),
        (Some(12.0), 3.0, Some("Shed"))
    );
    let Shape::Area { outer, holes } = &o("b").shape else {
        panic!()
    };
    assert_eq!((outer.len(), holes.len()), (4, 1));
    assert_eq!(o("t").bottom_m, 0.0);
    told(
        &r.notices,
        NoticeKind::Doubt,
        "t",
        "min_height 9 m is not below height 5 m",
    );
    assert!(matches!(&o("round").shape, Shape::Line { points } if points.first() == points.last()));
    assert!(matches!(&o("ring").shape, Shape::Line { points } if points.len() == 5 && points.first() == points.last()));
    assert!(matches!(o("hedge").shape, Shape::Area { .. }));
    let radius = |id: &str| match o(id).shape {
        Shape::Disc { radius_m, .. } => (radius_m, o(id).radius_assumed),
        _ => panic!("{id}"),
    };
    assert_eq!(radius("tree"), (4.0, false));
    assert_eq!(radius("tree2"), (read::CROWN_DIAMETER_M / 2.0, true));
    assert_eq!(radius("pole"), (read::POLE_RADIUS_M, true));
    assert_eq!(radius("mast"), (read::MAST_RADIUS_M, true));
    assert_eq!(radius("sock"), (read::WINDSOCK_RADIUS_M, true));
    told(
        &r.notices,
        NoticeKind::LeftOut,
        "kiosk",
        "a building cannot be drawn as a point",
    );
    told(&r.notices, NoticeKind::LeftOut, "gone", "marked as gone");
}

#[test]
fn the_aerodrome_gives_name_elevation_accuracy_and_declination() {
    let tags = json!({ "aeroway": "aerodrome", "name": "Nowhere", "ele": "180 ft", "toeline:accuracy_m": 0.5,
        "toeline:invented": "yes", "toeline:declination_deg": -4.5 });
    let f = field(&base().point("ad", [0.0, 0.0], tags));
    assert_eq!(
        (f.name.as_deref(), f.accuracy_m, f.accuracy_stated, f.invented),
        (Some("Nowhere"), 0.5, true, true)
    );
    near(f.elevation_m.unwrap(), 54.864, 1e-9);
    assert_eq!(f.declination_deg, Some(-4.5));
    let plain = field(&base());
    assert_eq!(
        (plain.accuracy_m, plain.accuracy_stated, plain.invented),
        (read::DEFAULT_ACCURACY_M, false, false)
    );
}

#[test]
fn of_two_aerodromes_the_one_around_the_taxiways_counts() {
    let r = good(
        &base()
            .point(
                "heliport",
                [300.0, 0.0],
                json!({ "aeroway": "aerodrome", "name": "Wrong" }),
            )
            .area(
                "ad",
                &[&[[-500.0, -500.0], [500.0, -500.0], [500.0, 500.0], [-500.0, 500.0]]],
                json!({ "aeroway": "aerodrome", "name": "Right" }),
            ),
    );
    assert_eq!(r.field.name.as_deref(), Some("Right"));
    told(&r.notices, NoticeKind::LeftOut, "heliport", "another aerodrome");
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
