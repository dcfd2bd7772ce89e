//! What must hold for whatever a map file holds. The fuzz targets (`tests/fuzz`) call it with what they invent, an ordinary
//! test with the kept corpus.

use crate::carried::AT;
use crate::meetings;
use toeline_engine::carrier;
use toeline_engine::graph::{self, TaxiGraph};
use toeline_engine::notice::Notice;
use toeline_engine::read::{self, ReadField, WIDTH_LIMIT_M};
use toeline_model::Xy;
use toeline_model::planar::line_length;

/// Reads a text, builds the graph of what was read and checks both. The answer says whether it was an airfield.
///
/// # Panics
/// When a promise of the reader or of the noder is broken.
pub fn check(text: &str) -> bool {
    match read::read(text) {
        Err(e) => {
            let told = e.to_string();
            assert!(!told.is_empty());
            assert!(harmless(&told), "an error with control characters: {told:?}");
            false
        }
        Ok(found) => {
            check_field(&found);
            let (taxi_graph, notices) = graph::build(&found.field);
            check_notices(&notices);
            check_graph(&found, &taxi_graph);
            true
        }
    }
}

/// The same for bytes that need not be text.
pub fn check_bytes(bytes: &[u8]) -> bool {
    core::str::from_utf8(bytes).is_ok_and(check)
}

fn harmless(text: &str) -> bool {
    !text.chars().any(|c| c.is_control() && c != '\n')
}

fn inside(p: Xy) -> bool {
    // Twice the limit: the origin is the middle of a box of that width, and things beside the field may be farther out.
    p.x.is_finite() && p.y.is_finite() && p.norm() < 2.0 * WIDTH_LIMIT_M
}

fn check_notices(notices: &[Notice]) {
    for n in notices {
        assert!(harmless(&n.text) && harmless(&n.feature), "{n:?}");
        assert!(n.at.is_none_or(|p| p.x.is_finite() && p.y.is_finite()), "{n:?}");
        assert!(n.size_m.is_none_or(|s| s.is_finite() && s >= 0.0), "{n:?}");
    }
}

fn check_field(found: &ReadField) {
    let field = &found.field;
    check_notices(&found.notices);
    assert!(field.origin.lon_deg.abs() <= 180.0 && field.origin.lat_deg.abs() <= 90.0);
    let runways = field.runways.iter().map(|r| &r.line);
    for line in runways.chain(field.lanes.iter().map(|l| &l.line)) {
        assert!(line.len() >= 2 && line.iter().all(|p| inside(*p)), "{line:?}");
    }
    assert!(field.holding_positions.iter().all(|h| inside(h.at)));
    for o in &field.obstacles {
        let (low, high) = o.shape.bounds();
        assert!(inside(low) && inside(high), "{o:?}");
    }
}

fn check_graph(found: &ReadField, taxi_graph: &TaxiGraph) {
    let graph = &taxi_graph.graph;
    assert!(graph.node_weights().all(|n| inside(n.at)));
    for s in graph.edge_weights() {
        assert!(s.line.len() >= 2 && s.line.iter().all(|p| inside(*p)), "{s:?}");
        assert!(s.length_m.is_finite() && s.length_m > 0.0, "{s:?}");
        assert!((s.length_m - line_length(&s.line)).abs() < 1e-6, "{s:?}");
        for (end, node) in [(s.line.first(), s.from), (s.line.last(), s.to)] {
            assert!(end.is_some_and(|p| p.distance(taxi_graph.at(node)) < 1e-6), "{s:?}");
        }
        assert!(s.nearest_obstacle_m.is_none_or(|m| m.is_finite() && m >= 0.0));
    }
    assert_eq!(meetings::unjoined(&found.field, taxi_graph), Vec::<String>::new());
    let known = |n| graph.node_weight(n).is_some();
    for s in &taxi_graph.stands {
        assert!(s.stand < found.field.stands.len() && known(s.node) && known(s.lane_node));
    }
    for h in &taxi_graph.holds {
        assert!(known(h.node) && h.runway_node.is_none_or(known));
        assert!(h.guards.is_none_or(|r| r < found.field.runways.len()));
    }
}

/// A map drawn from bytes, so that a fuzzer plays with lines and not with brackets: places on a grid that is coarse in one
/// feature and a centimetre fine in the next, so that points coincide, nearly meet, overlap and cross all the time.
pub fn map_from(bytes: &[u8]) -> String {
    let mut bytes = bytes.iter().copied();
    let mut next = move || bytes.next();
    let mut features = Vec::new();
    while let (Some(sort), Some(how)) = (next(), next()) {
        let (tags, shape) = SORTS[usize::from(sort) % SORTS.len()];
        let more = MORE[usize::from(how >> 4) % MORE.len()];
        // 1e-7 degree is a centimetre of latitude: steps of 1 cm, 10 cm, 1 m and 10 m.
        let step = [1_i64, 10, 100, 1000][usize::from(how & 3)];
        let count = 2 + usize::from((how >> 2) & 3) * if sort >= 128 { 4 } else { 1 };
        let (count, least) = match shape {
            "Point" => (1, 1),
            "Polygon" => (count + 1, 3),
            _ => (count, 2),
        };
        let mut places = Vec::new();
        for _ in 0..count {
            let mut axis = |base: i64| next().map(|b| base + i64::from(b as i8) * step);
            let (Some(x), Some(y)) = (axis(113_000_000), axis(470_000_000)) else {
                break;
            };
            places.push(format!(
                "[{}.{:07},{}.{:07}]",
                x / 10_000_000,
                x % 10_000_000,
                y / 10_000_000,
                y % 10_000_000
            ));
        }
        if places.len() < least {
            break; // the bytes are used up; a broken feature would hide all the others
        }
        let coordinates = match shape {
            "Point" => places.pop().unwrap_or_else(|| "[]".to_string()),
            "Polygon" => {
                places.extend(places.first().cloned());
                format!("[[{}]]", places.join(","))
            }
            _ => format!("[{}]", places.join(",")),
        };
        features.push(format!(
            "{{\"type\":\"Feature\",\"id\":{},\"properties\":{{{tags}{more}}},\"geometry\":{{\"type\":\"{shape}\",\"coordinates\":{coordinates}}}}}",
            features.len()
        ));
    }
    format!(
        "{{\"type\":\"FeatureCollection\",\"features\":[{}]}}",
        features.join(",")
    )
}

const SORTS: [(&str, &str); 16] = [
    (r#""aeroway":"taxiway","ref":"A""#, "LineString"),
    (r#""aeroway":"taxiway","ref":"B""#, "LineString"),
    (r#""aeroway":"taxilane""#, "LineString"),
    (r#""aeroway":"runway","ref":"09/27""#, "LineString"),
    (r#""aeroway":"runway","ref":"18/36""#, "LineString"),
    (r#""aeroway":"parking_position","ref":"1""#, "LineString"),
    (r#""aeroway":"parking_position","ref":"2""#, "Point"),
    (
        r#""aeroway":"holding_position","holding_position:type":"runway""#,
        "Point",
    ),
    (r#""aeroway":"holding_position""#, "Point"),
    (r#""aeroway":"holding_position""#, "LineString"),
    (r#""aeroway":"apron""#, "Polygon"),
    (r#""aeroway":"taxiway","area":"yes""#, "Polygon"),
    (r#""aeroway":"runway","area":"yes""#, "Polygon"),
    (r#""building":"hangar""#, "Polygon"),
    (r#""barrier":"fence""#, "LineString"),
    (r#""aeroway":"parking_position","ref":"1""#, "Polygon"),
];

const MORE: [&str; 8] = [
    "",
    r#","layer":"1""#,
    r#","bridge":"yes""#,
    r#","oneway":"yes""#,
    r#","oneway":"-1""#,
    r#","width":"23""#,
    r#","disused":"yes""#,
    r#","tunnel":"yes""#,
];

/// The same for bytes of any carrier: listed, the first aerodrome cut out, and what came out read. The answer says whether
/// an aerodrome came out.
///
/// # Panics
/// When a promise of a carrier's reader is broken.
pub fn check_carried(bytes: &[u8]) -> bool {
    let mut source = std::io::Cursor::new(bytes);
    let first = match carrier::aerodromes(&mut source, AT, &mut |_| {}) {
        Err(e) => {
            let told = e.to_string();
            assert!(!told.is_empty() && harmless(&told), "{told:?}");
            return false;
        }
        Ok(list) => list[0].feature.clone(),
    };
    match carrier::cut_out(&mut source, Some(&first), AT, &mut |_| {}) {
        Err(e) => {
            // More than one limit may be met, and a feature of AIXM be read, only when it is cut out.
            assert!(harmless(&e.to_string()), "{e:?}");
            let known = matches!(
                e,
                carrier::CarrierError::TooLarge { .. } | carrier::CarrierError::Features { .. }
            );
            assert!(known, "{e}");
            false
        }
        Ok(made) => {
            assert_eq!(made.aerodrome.feature, first);
            cut_with_the_others(&mut source, &made);
            if let Err(e) = read::read(&made.text) {
                let known = matches!(
                    e,
                    read::ReadError::NothingToTaxiOn { .. } | read::ReadError::TooLarge { .. }
                );
                assert!(known, "{e}\n{}", made.text);
            }
            check(&made.text);
            true
        }
    }
}

/// Asserts that an aerodrome that is cut out in the same readings as all others is the same.
fn cut_with_the_others(source: &mut std::io::Cursor<&[u8]>, alone: &carrier::Cut) {
    let mut same = false;
    let mut take = |_: usize, _: usize, a: &carrier::Aerodrome, cut: Option<Result<carrier::Cut, _>>| {
        let wanted = a.feature == alone.aerodrome.feature;
        if wanted {
            same = match cut {
                Some(cut) => cut.as_ref() == Ok(alone),
                None => !a.has_ground(),
            };
        }
        !wanted
    };
    carrier::cut_each(source, AT, &mut |_| {}, &mut take).unwrap_or_else(|e| panic!("{e}"));
    assert!(same, "{}", alone.aerodrome.feature);
}

/// The same for bytes that are the content of a block of PBF behind a sound header; after an even first byte, a whole file.
pub fn check_carried_block(bytes: &[u8]) -> bool {
    let Some((first, rest)) = bytes.split_first() else {
        return false;
    };
    if first % 2 == 0 {
        return check_carried(rest);
    }
    let mut header = Vec::new();
    crate::carried::text_field(4, "OsmSchema-V0.6", &mut header);
    let mut file = crate::carried::packed_block("OSMHeader", &header, false);
    file.extend(crate::carried::packed_block("OSMData", rest, false));
    check_carried(&file)
}
