//! A file with several aerodromes: listed, one picked, cut out.

use super::{cut, good, list};
use std::io::Cursor;
use toeline_engine::carrier::{self, AROUND_M, CarrierError, OWN_M, PICK_M, Progress};
use toeline_engine::read;
use toeline_tests::carried::{AT, Osm, Packing, Tags, json, pbf, xml};

fn tags(list: &[(&str, &str)]) -> Tags {
    list.iter().map(|(k, v)| (k.to_string(), v.to_string())).collect()
}

/// Draws in metres east and north of 11 E, 47 N.
#[derive(Default)]
struct Pen(Osm, i64);

impl Pen {
    fn id(&mut self) -> i64 {
        self.1 += 1;
        self.1
    }
    fn at(x: f64, y: f64) -> (i64, i64) {
        // 111 195 m a degree, as far as the sphere goes; near enough for what is tested here.
        let lon = x / (111_195.08 * 47_f64.to_radians().cos());
        (
            ((11.0 + lon) * 1e7).round() as i64 * 100,
            ((47.0 + y / 111_195.08) * 1e7).round() as i64 * 100,
        )
    }
    fn node(&mut self, x: f64, y: f64, list: &[(&str, &str)]) -> i64 {
        let id = self.id();
        self.0.nodes.push((id, Pen::at(x, y), tags(list)));
        id
    }
    fn way(&mut self, points: &[(f64, f64)], list: &[(&str, &str)]) -> i64 {
        let refs = points.iter().map(|(x, y)| self.node(*x, *y, &[])).collect();
        let id = self.id();
        self.0.ways.push((id, refs, tags(list)));
        id
    }
    fn ring(&mut self, (x, y): (f64, f64), half: f64, list: &[(&str, &str)]) -> i64 {
        let mut refs: Vec<i64> = [(-half, -half), (half, -half), (half, half), (-half, half)]
            .into_iter()
            .map(|(a, b)| self.node(x + a, y + b, &[]))
            .collect();
        refs.push(refs[0]);
        let id = self.id();
        self.0.ways.push((id, refs, tags(list)));
        id
    }
    fn strip(&mut self, (x, y): (f64, f64)) {
        self.way(
            &[(x - 400.0, y), (x + 400.0, y)],
            &[("aeroway", "runway"), ("ref", "09/27")],
        );
        self.way(&[(x, y), (x, y + 60.0)], &[("aeroway", "taxiway"), ("ref", "A")]);
    }
}

/// North: an area with a code. East, 20 km: a point with a name, its strip 2 km off. South, 20 km: a strip in nothing. West: a
/// point with nothing to taxi on.
fn region() -> Osm {
    let mut pen = Pen::default();
    let north = [
        ("aeroway", "aerodrome"),
        ("name", "North Field"),
        ("icao", "XXNN"),
        ("iata", "NNF"),
        // The same code once more.
        ("ref", "NNF"),
        ("aerodrome:type", "public"),
    ];
    pen.ring((0.0, 0.0), 1000.0, &north);
    pen.strip((0.0, 0.0));
    pen.node(10.0, 60.0, &[("aeroway", "parking_position"), ("ref", "1")]);
    pen.way(&[(0.0, 60.0), (100.0, 60.0)], &[("aeroway", "taxilane")]);
    pen.node(
        20_000.0,
        0.0,
        &[
            ("aeroway", "aerodrome"),
            ("name", "Feld Ost"),
            ("name:en", "East Field"),
            ("local_ref", "E7"),
        ],
    );
    pen.strip((20_000.0, 2000.0));
    pen.strip((0.0, -20_000.0));
    pen.node(-20_000.0, 0.0, &[("aeroway", "aerodrome"), ("name", "West Meadow")]);
    // Around the north field: one building 300 m from its edge, one 900 m.
    pen.ring((1300.0, 0.0), 10.0, &[("building", "yes"), ("name", "near")]);
    pen.ring((1900.0, 0.0), 10.0, &[("building", "yes"), ("name", "far")]);
    // A long fence whose ends are far off passes by.
    pen.way(&[(1100.0, -2400.0), (1100.0, 2400.0)], &[("barrier", "fence")]);
    pen.0
}

#[test]
fn a_region_is_listed_by_every_carrier() {
    let osm = region();
    let found = list(&pbf(&osm, Packing::default()));
    assert_eq!(found, list(xml(&osm).as_bytes()));
    assert_eq!(found, list(json(&osm, false).as_bytes()));
    assert_eq!(found, list(json(&osm, true).as_bytes()));
    let told: Vec<_> = found
        .iter()
        .map(|a| (a.name.as_deref(), a.tagged, a.runways, a.lanes, a.stands))
        .collect();
    assert_eq!(
        told,
        [
            (Some("North Field"), true, 1, 2, 1),
            (Some("Feld Ost"), true, 1, 1, 0),
            (None, false, 1, 1, 0),
            (Some("West Meadow"), true, 0, 0, 0),
        ]
    );
    let north = &found[0];
    assert_eq!(
        (north.icao.as_deref(), north.iata.as_deref(), north.kind.as_deref()),
        (Some("XXNN"), Some("NNF"), Some("public"))
    );
    assert!((north.place.lon_deg - 11.0).abs() < 1e-6 && (north.place.lat_deg - 47.0).abs() < 1e-6);
    assert_eq!(
        (found[1].english.as_deref(), found[1].local.as_deref()),
        (Some("East Field"), Some("E7"))
    );
    let text = carrier::aerodromes_text(&found);
    assert!(
        text.starts_with("4 aerodromes\n  North Field, XXNN NNF, public\n"),
        "{text}"
    );
    let json: serde_json::Value = serde_json::from_str(&carrier::aerodromes_json(&found)).unwrap();
    assert_eq!(json["aerodromes"][0]["icao"], "XXNN");
    assert_eq!(json["aerodromes"].as_array().unwrap().len(), 4);
}

#[test]
fn one_is_picked_by_name_code_feature_or_place() {
    let osm = region();
    let bytes = pbf(&osm, Packing::default());
    let picked = |asked: &str| good(&bytes, Some(asked)).aerodrome;
    for asked in [
        "North Field",
        "north field",
        "north",
        "XXNN",
        "xxnn",
        " NNF ",
        "11.0,47.0",
        "11.005, 47.005",
    ] {
        assert_eq!(picked(asked).name.as_deref(), Some("North Field"), "{asked}");
    }
    for asked in ["Feld Ost", "East Field", "E7", "11.26,47.0"] {
        assert_eq!(picked(asked).name.as_deref(), Some("Feld Ost"), "{asked}");
    }
    let south = list(&bytes)[2].feature.clone();
    assert!(!picked(&south).tagged);
    // By a place near it: the nearest within ten kilometres.
    assert_eq!(picked("11.0,46.85").feature, south);
    assert_eq!(PICK_M, 10_000.0);
}

#[test]
fn what_is_not_clear_is_asked_back_with_the_list() {
    let bytes = pbf(&region(), Packing::default());
    let e = cut(&bytes, None).unwrap_err();
    assert!(
        matches!(&e, CarrierError::Several { list, .. } if list.len() == 4),
        "{e}"
    );
    assert!(
        e.to_string()
            .starts_with("the map file holds 4 aerodromes; say which with --aerodrome"),
        "{e}"
    );
    // A part of two names: that of the one, and the English one of the other.
    let e = cut(&bytes, Some("field")).unwrap_err();
    assert!(
        matches!(&e, CarrierError::Several { asked: Some(_), list } if list.len() == 2),
        "{e}"
    );
    assert!(
        e.to_string()
            .starts_with("2 aerodromes answer to \"field\"; say which by its feature"),
        "{e}"
    );
    let e = cut(&bytes, Some("nowhere")).unwrap_err();
    assert!(
        matches!(&e, CarrierError::NotFound { .. }) && e.to_string().contains("\"nowhere\""),
        "{e}"
    );
    let e = cut(&bytes, Some("20.0,47.0")).unwrap_err();
    assert!(e.to_string().contains("within 10 km"), "{e}");
    // One alone needs no asking, though a place without anything to taxi on lies beside it.
    let mut pen = Pen::default();
    pen.strip((0.0, 0.0));
    pen.node(-20_000.0, 0.0, &[("aeroway", "aerodrome"), ("name", "West Meadow")]);
    assert!(!good(&pbf(&pen.0, Packing::default()), None).aerodrome.tagged);
}

#[test]
fn a_long_list_is_told_in_part_with_its_count() {
    let mut pen = Pen::default();
    for i in 0..25 {
        let x = f64::from(i) * 20_000.0;
        pen.node(x, 0.0, &[("aeroway", "aerodrome"), ("name", &format!("Field {i}"))]);
        pen.strip((x, 100.0));
    }
    let e = cut(&pbf(&pen.0, Packing::default()), None).unwrap_err().to_string();
    assert_eq!(
        e.lines()
            .filter(|l| l.contains("1 runway line, 1 lane, 0 stands"))
            .count(),
        20,
        "{e}"
    );
    assert!(e.contains("holds 25 aerodromes") && e.ends_with("and 5 more"), "{e}");
}

#[test]
fn the_cut_holds_what_is_around_and_no_more() {
    assert_eq!((AROUND_M, OWN_M), (500.0, 3000.0));
    let osm = region();
    let made = good(&pbf(&osm, Packing::default()), Some("XXNN"));
    let found = read::read(&made.text).unwrap_or_else(|e| panic!("{e}"));
    let f = &found.field;
    assert_eq!((f.runways.len(), f.lanes.len(), f.stands.len()), (1, 2, 1));
    let names: Vec<_> = f.obstacles.iter().map(|o| o.name.as_deref()).collect();
    assert_eq!(
        names,
        [Some("near"), None],
        "a building at 300 m and the fence, not the one at 900 m"
    );
    assert_eq!(f.name.as_deref(), Some("North Field"));
    // A strip two kilometres from the point that names it.
    let made = good(&pbf(&osm, Packing::default()), Some("E7"));
    let f = read::read(&made.text).unwrap_or_else(|e| panic!("{e}")).field;
    assert_eq!(
        (f.runways.len(), f.lanes.len(), f.name.as_deref()),
        (1, 1, Some("Feld Ost"))
    );
    // What has no ground is cut out too, and the next stage says what it lacks.
    let e = read::read(&good(&pbf(&osm, Packing::default()), Some("West Meadow")).text).unwrap_err();
    assert!(e.to_string().contains("nothing to taxi on"), "{e}");
}

#[test]
fn a_field_on_the_180th_meridian_is_one() {
    let mut pen = Pen::default();
    pen.ring((0.0, 0.0), 1000.0, &[("aeroway", "aerodrome"), ("name", "Date Line")]);
    pen.strip((0.0, 0.0));
    pen.ring((1300.0, 0.0), 10.0, &[("building", "yes")]);
    pen.ring((-1300.0, 0.0), 10.0, &[("building", "yes")]);
    for n in &mut pen.0.nodes {
        n.1.0 += 169_000_000_000;
        if n.1.0 > 180_000_000_000 {
            n.1.0 -= 360_000_000_000;
        }
    }
    let bytes = pbf(&pen.0, Packing::default());
    let found = list(&bytes);
    assert_eq!((found.len(), found[0].lanes, found[0].runways), (1, 1, 1));
    assert!(found[0].place.lon_deg.abs() > 179.999, "{:?}", found[0].place);
    let f = read::read(&good(&bytes, None).text)
        .unwrap_or_else(|e| panic!("{e}"))
        .field;
    assert_eq!((f.lanes.len(), f.obstacles.len()), (1, 2));
}

#[test]
fn progress_is_told_by_reading() {
    let mut osm = region();
    // Two MiB and more of nodes that nothing needs.
    osm.nodes.extend((1_000_000..1_050_000).map(|i| {
        (
            i,
            ((i * 7919) % 170_000_000_000, 40_000_000_000 + i),
            tags(&[("note", "nothing")]),
        )
    }));
    let text = xml(&osm);
    let mut told: Vec<Progress> = Vec::new();
    carrier::cut_out(&mut Cursor::new(text.as_bytes()), Some("XXNN"), AT, &mut |p| {
        told.push(p)
    })
    .unwrap_or_else(|e| panic!("{e}"));
    let readings: std::collections::BTreeSet<usize> = told.iter().map(|p| p.reading).collect();
    assert!(readings.len() >= 4, "{readings:?}");
    assert!(
        told.iter()
            .all(|p| p.of_bytes == text.len() as u64 && p.done_bytes <= p.of_bytes + (1 << 17)),
        "{told:?}"
    );
}
