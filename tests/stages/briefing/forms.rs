//! JSON, GeoJSON and SVG checked from outside: parsed back, and reckoned again without the engine.

use super::{no_way, sample};
use geo::{Coord, Distance, Euclidean, LineString, Point, Polygon};
use serde_json::Value;
use toeline_engine::briefing;
use toeline_engine::planning::Plan;

const HOSTILE: [&str; 5] = [
    "<script>alert(1)</script>",
    "\"/><rect x='0' onload=\"x\"/> & ]]> <!-- -->",
    "bad\u{0}\u{1b}[31m\u{7f}\u{ffff}\u{85}\u{202e}name",
    "&lt;already&amp;escaped; %s {} \\u0000 \\",
    "東京 Ærø 🛩 e\u{301}",
];

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("not a number: {v}"))
}

fn json(plan: &Plan) -> Value {
    serde_json::from_str(&briefing::json(plan, &briefing::brief(plan))).expect("the JSON form parses")
}

fn no_nulls_for_numbers(v: &Value, key: &str) {
    // Only what may be absent is null: a number that is not one would be written as null too.
    const MAY_BE_ABSENT: [&str; 25] = [
        "gap_m",
        "least_gap_m",
        "tightest",
        "width_m",
        "top_m",
        "contact_m",
        "room_m",
        "of",
        "line_at_xy_m",
        "at_xy_m",
        "last_true_deg",
        "last_magnetic_deg",
        "last_compass_deg",
        "wind",
        "wind_at_end",
        "parked_heading",
        "accuracy_m",
        "name",
        "elevation_m",
        "engine_check",
        "from_nose_deg",
        "quarter",
        "off_wind_deg",
        "wind_from_true_deg",
        "suction_kpa",
    ];
    match v {
        Value::Null => assert!(MAY_BE_ABSENT.contains(&key), "null under {key}"),
        Value::Array(list) => list.iter().for_each(|v| {
            assert!(!v.is_null(), "null in {key}");
            no_nulls_for_numbers(v, key);
        }),
        Value::Object(map) => map.iter().for_each(|(k, v)| no_nulls_for_numbers(v, k)),
        _ => {}
    }
}

#[test]
fn hostile_names_stay_text_in_every_form() {
    let long = "<b>".repeat(50_000);
    for name in HOSTILE.into_iter().chain([long.as_str(), "", " \u{200b} "]) {
        let mut plan = sample::plan(name, "240/12T");
        for with_way in [true, false] {
            if !with_way {
                no_way(&mut plan);
            }
            let b = briefing::brief(&plan);
            let svg = briefing::svg(&plan, &b);
            let parsed = roxmltree::Document::parse(&svg).unwrap_or_else(|e| panic!("{name:.40?}: {e}"));
            for node in parsed.descendants().filter(roxmltree::Node::is_element) {
                let known = ["svg", "title", "clipPath", "rect", "g", "path", "circle", "text"];
                assert!(
                    known.contains(&node.tag_name().name()),
                    "{name:.40?} made <{}>",
                    node.tag_name().name()
                );
                assert!(
                    !node
                        .attributes()
                        .any(|a| a.name().starts_with("on") || a.name() == "href"),
                    "{name:.40?}"
                );
                assert!(
                    !["text", "title"].contains(&node.tag_name().name()) || !node.children().any(|c| c.is_element())
                );
            }
            assert!(!svg.contains("NaN") && !svg.contains("inf"), "{name:.40?}");
            assert!(svg.len() < 300_000, "{} bytes", svg.len());
            // Data keeps the name as the map has it, whatever it is.
            let v = json(&plan);
            assert_eq!(v["field"]["name"], name);
            let g: Value = serde_json::from_str(&briefing::geojson(&plan, &b)).expect("GeoJSON parses");
            assert_eq!(g["type"], "FeatureCollection");
        }
    }
    // And it is there to be read, as text.
    let plan = sample::plan(HOSTILE[0], "240/12T");
    let svg = briefing::svg(&plan, &briefing::brief(&plan));
    let parsed = roxmltree::Document::parse(&svg).expect("XML");
    assert!(
        parsed
            .descendants()
            .any(|n| n.text().is_some_and(|t| t.contains(HOSTILE[0])))
    );
}

#[test]
fn json_is_complete_and_adds_up() {
    let v = json(&sample::plan("4", "240/12G20M"));
    assert_eq!(v["toeline_plan"], 1);
    assert_eq!(v["frame"]["kind"], "azimuthal equidistant, WGS 84");
    assert_eq!(
        (
            number(&v["frame"]["origin_lon_deg"]),
            number(&v["frame"]["origin_lat_deg"])
        ),
        (8.5, 47.25)
    );
    no_nulls_for_numbers(&v, "");
    let way = &v["outcome"];
    let sum: u64 = way["costs"]
        .as_array()
        .expect("costs")
        .iter()
        .map(|c| c["cost_ms"].as_u64().expect("integer"))
        .sum();
    assert_eq!(Some(sum), way["cost_ms"].as_u64());
    assert!((number(&v["briefing"]["answer"]["cost_s"]) * 1000.0 - sum as f64).abs() <= 50.0);
    let declination = number(&v["declination"]["east_deg"]);
    for leg in v["briefing"]["answer"]["legs"].as_array().expect("legs") {
        let d = &leg["directions"];
        let off = (number(&d["true_deg"]) - declination - number(&d["magnetic_deg"])) / 360.0;
        // Both are rounded to 0.01 degrees.
        assert!((off - off.round()).abs() * 360.0 <= 0.0101, "{leg}");
    }
    for gap in way["gaps"].as_array().expect("gaps") {
        let point = |k: &str| (number(&gap[k][0]), number(&gap[k][1]));
        let (a, b) = (point("on_aircraft_xy_m"), point("on_obstacle_xy_m"));
        let distance = (a.0 - b.0).hypot(a.1 - b.1);
        let (gap_m, shown) = (number(&gap["gap_m"]), number(&gap["gap_shown_m"]));
        assert!((distance - gap_m).abs() < 1e-5, "{gap}");
        assert!(shown <= gap_m && gap_m < shown + 0.1, "{gap}");
    }
}

/// The heading along the track follows from the nose wheel's way alone: dβ/ds = κ − sin β / d, integrated here as the
/// axle being drawn toward the nose wheel, with nothing of the engine's (standards.md B6, derived).
#[test]
fn json_track_obeys_the_tractrix() {
    let v = json(&sample::plan("4", "240/12T"));
    assert!(check_track(&v) > 1000);
}

/// Heading after the nose wheel was led a length along a direction: classical Runge-Kutta for
/// dψ/ds = sin(direction − ψ)/d in steps of about 5 mm.
fn led(mut heading: f64, direction: impl Fn(f64) -> f64, length: f64, d: f64) -> f64 {
    let steps = (length / 0.005).ceil().max(1.0) as usize;
    let ds = length / steps as f64;
    let rate = |at: f64, psi: f64| (direction(at) - psi).sin() / d;
    for i in 0..steps {
        let at = i as f64 * ds;
        let k1 = rate(at, heading);
        let k2 = rate(at + ds / 2.0, heading + ds / 2.0 * k1);
        let k3 = rate(at + ds / 2.0, heading + ds / 2.0 * k2);
        let k4 = rate(at + ds, heading + ds * k3);
        heading += ds / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
    }
    heading
}

/// Checks the whole track of a plan's JSON and gives the number of its samples.
fn check_track(v: &Value) -> usize {
    let way = &v["outcome"];
    let d = number(&way["wheelbase_m"]);
    let rows = way["track"]["rows"].as_array().expect("rows");
    let column = |name: &str| {
        let names = way["track"]["columns"].as_array().expect("columns");
        names
            .iter()
            .position(|c| c == name)
            .unwrap_or_else(|| panic!("no column {name}"))
    };
    let (s, x, y, h) = (
        column("way_m"),
        column("nose_x_m"),
        column("nose_y_m"),
        column("heading_rad"),
    );
    let (ax, ay, piece) = (column("axle_x_m"), column("axle_y_m"), column("piece"));
    let pieces = way["pieces"].as_array().expect("pieces");
    let mut heading = number(&way["start"]["heading_rad"]);
    assert!((heading - number(&rows[0][h])).abs() < 1e-9);
    let mut last = 0.0;
    for pair in rows.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        let length = number(&b[s]) - number(&a[s]);
        assert!((0.0..=0.250_001).contains(&length), "a step of {length} m");
        if a[piece] == b[piece] {
            let p = &pieces[a[piece].as_u64().expect("integer") as usize - 1];
            let kappa = number(&p["curvature_left_per_m"]);
            let start = number(&p["direction_rad"]) + kappa * (number(&a[s]) - number(&p["from_m"]));
            let swing = number(&p["swing_left_rad"]);
            match p["motion"].as_str().expect("motion") {
                // By hand: straight back, or about the middle of the axle, where the nose wheel circles at the wheelbase.
                "push_back" => {}
                "push_swing" => heading += swing.signum() * length / d,
                _ => heading = led(heading, |at| start + kappa * at, length, d),
            }
            let kappa = if swing == 0.0 { kappa } else { 1.0 / d };
            // The nose wheel's own places must be those of the piece: chord of an arc, or the straight.
            let step = (number(&b[x]) - number(&a[x])).hypot(number(&b[y]) - number(&a[y]));
            let chord = if kappa == 0.0 {
                length
            } else {
                (2.0 / kappa * (kappa * length / 2.0).sin()).abs()
            };
            assert!((step - chord).abs() < 5e-6, "{step} and {chord}");
        } else {
            assert!(
                length < 1e-6 && a[x] == b[x] && a[h] == b[h],
                "pieces do not join: {a} {b}"
            );
        }
        let off = (number(&b[h]) - heading) / std::f64::consts::TAU;
        assert!(
            (off - off.round()).abs() * std::f64::consts::TAU < 1e-6,
            "at {}: {} and {heading}",
            b[s],
            b[h]
        );
        let (c, n) = (number(&b[h]).cos(), number(&b[h]).sin());
        assert!(
            (number(&b[x]) - c * d - number(&b[ax])).abs() < 3e-6
                && (number(&b[y]) - n * d - number(&b[ay])).abs() < 3e-6
        );
        last = number(&b[s]);
    }
    assert!((last - number(&way["length_m"])).abs() < 1e-6);
    rows.len()
}

fn polygon(ring: &Value) -> Polygon<f64> {
    let ring: LineString<f64> = ring
        .as_array()
        .expect("ring")
        .iter()
        .map(|p| Coord {
            x: number(&p[0]),
            y: number(&p[1]),
        })
        .collect();
    Polygon::new(ring, vec![])
}

#[test]
fn json_swept_outline_holds_the_wings_at_every_sample() {
    // The sample's outline is built from poses half a metre apart: on an arc of 6 m a wing tip bulges at most 2 cm
    // beyond the chord between them.
    check_swept(&json(&sample::plan("4", "240/12T")), 0.02);
}

/// Checks that both wings lie in the swept outline at every sample of the track, within a tolerance in metres.
fn check_swept(v: &Value, tolerance_m: f64) {
    let way = &v["outcome"];
    let swept: Vec<Polygon<f64>> = way["swept"]
        .as_array()
        .expect("swept")
        .iter()
        .filter(|r| r["hole"] == false)
        .map(|r| polygon(&r["ring_xy_m"]))
        .collect();
    assert!(!swept.is_empty());
    let wings: Vec<&Value> = v["parts"]
        .as_array()
        .expect("parts")
        .iter()
        .filter(|p| p["name"].as_str().is_some_and(|n| n.ends_with("wing")))
        .collect();
    assert_eq!(wings.len(), 2);
    for row in way["track"]["rows"].as_array().expect("rows") {
        let (x, y, h) = (number(&row[4]), number(&row[5]), number(&row[6]));
        for wing in &wings {
            for corner in wing["outline_xy_m"].as_array().expect("outline") {
                let (bx, by) = (number(&corner[0]), number(&corner[1]));
                let p = Point::new(x + bx * h.cos() - by * h.sin(), y + bx * h.sin() + by * h.cos());
                let off = swept
                    .iter()
                    .map(|s| Euclidean.distance(s, &p))
                    .fold(f64::INFINITY, f64::min);
                assert!(off < tolerance_m, "{off} m outside at {row}");
            }
        }
    }
}

/// Twice the signed area of a closed ring of positions, scaled; positive when it runs anticlockwise.
fn turning(ring: &[Value]) -> f64 {
    let at = |i: usize| (number(&ring[i][0]) - 8.5, number(&ring[i][1]) - 47.25);
    (1..ring.len())
        .map(|i| at(i - 1).0 * at(i).1 - at(i).0 * at(i - 1).1)
        .sum()
}

/// RFC 7946: section 3.1.6 (rings closed, outer anticlockwise, at least four positions), 3.1.4 (two positions), 4 (no crs).
#[test]
fn geojson_keeps_to_rfc_7946() {
    let plan = sample::plan("4", "240/12T");
    let text = briefing::geojson(&plan, &briefing::brief(&plan));
    let parsed: geojson::GeoJson = text.parse().expect("the geojson crate reads it");
    let geojson::GeoJson::FeatureCollection(collection) = parsed else {
        panic!("not a collection")
    };
    assert!(collection.features.len() >= 7);
    assert!(!text.contains("\"crs\""));
    let v: Value = serde_json::from_str(&text).expect("JSON");
    let mut polygons = 0;
    for f in v["features"].as_array().expect("features") {
        let coordinates = f["geometry"]["coordinates"].as_array().expect("coordinates");
        let rings: Vec<(bool, &Value)> = match f["geometry"]["type"].as_str().expect("type") {
            "Polygon" => coordinates.iter().enumerate().map(|(i, r)| (i == 0, r)).collect(),
            "LineString" => {
                assert!(coordinates.len() >= 2, "{f}");
                vec![]
            }
            "Point" => vec![],
            other => panic!("unexpected {other}"),
        };
        for (outer, ring) in rings {
            let ring = ring.as_array().expect("ring");
            polygons += 1;
            assert!(ring.len() >= 4 && ring.first() == ring.last());
            assert_eq!(turning(ring) > 0.0, outer);
        }
    }
    assert!(polygons >= 1);
    // The start stands at the field's origin; A1 lies 160 m east and about 139 m north of it.
    let stops: Vec<&Value> = v["features"]
        .as_array()
        .expect("features")
        .iter()
        .filter(|f| f["properties"]["toeline:what"] == "stop")
        .collect();
    assert_eq!(stops[0]["geometry"]["coordinates"], serde_json::json!([8.5, 47.25]));
    let end = &stops.last().expect("stops")["geometry"]["coordinates"];
    // Metres per degree at 47.25 N: meridian 111 176, parallel 75 706 (from the WGS 84 radii of curvature, derived).
    assert!(((number(&end[0]) - 8.5) * 75_706.0 - 160.0).abs() < 0.1, "{end}");
    assert!(((number(&end[1]) - 47.25) * 111_176.0 - 139.0).abs() < 0.1, "{end}");
}

#[test]
fn chart_labels_do_not_overlap() {
    let plan = sample::plan("Hangar with a longer name", "240/12T");
    let svg = briefing::svg(&plan, &briefing::brief(&plan));
    let parsed = roxmltree::Document::parse(&svg).expect("XML");
    // Boxes of the texts on the chart itself, by a type metric of our own: 0.5 of the size per character.
    let boxes: Vec<(f64, f64, f64, f64, String)> = parsed
        .descendants()
        .filter(|n| n.has_tag_name("text") && n.attribute("text-anchor") == Some("middle"))
        .filter_map(|n| {
            let at = |k: &str| n.attribute(k).and_then(|v| v.parse::<f64>().ok());
            let (x, y, size, text) = (at("x")?, at("y")?, at("font-size")?, n.text()?.to_string());
            let half = text.chars().count() as f64 * size * 0.25;
            (y > 20.0 && y < 181.0 && x < 213.0).then_some((x - half, y - size * 0.72, x + half, y, text))
        })
        .collect();
    assert!(boxes.len() >= 8, "{boxes:?}");
    for (i, a) in boxes.iter().enumerate() {
        for b in &boxes[..i] {
            let apart = a.2 <= b.0 || b.2 <= a.0 || a.3 <= b.1 || b.3 <= a.1;
            assert!(apart, "{a:?} and {b:?}");
        }
    }
}

/// The checks from outside once more on a whole plan of the demo field, pushed back by hand at its start.
#[test]
fn demo_plan_checks_out_from_outside() {
    let text = include_str!("../../../maps/quillmere.geojson");
    let mut request = sample::plan("7", "160/15T").request;
    request.via.clear();
    request.to = "08".into();
    let plan = toeline_engine::plan(text, &request).unwrap_or_else(|e| panic!("{e:?}"));
    let v = json(&plan);
    assert_eq!(v["outcome"]["outcome"], "way", "{}", v["outcome"]);
    assert!(
        v["outcome"]["pieces"]
            .as_array()
            .expect("pieces")
            .iter()
            .any(|p| p["motion"] == "push_back")
    );
    check_track(&v);
    // The engine's outline may be straightened by half a millimetre; rounding is far below that.
    check_swept(&v, 0.001);
    no_nulls_for_numbers(&v, "");
}
