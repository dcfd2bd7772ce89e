//! Noding and free aprons against shapely (GEOS) in Python, on every real field and on random line sets.
//!
//! Both sides get the same lines in local metres: runways and lanes, without stands and holding positions. The rules that
//! the script does over again, by other code:
//!
//! 1. A loose end of a lane moves to the nearest line of its level within `graph::SNAP_M`.
//! 2. Lines of one level are split by `unary_union` wherever they meet, and doubles fall together.
//! 3. Places nearer than 5 cm are one, and a line goes through a place that it passes so near.
//! 4. Lines of different levels meet only at a shared point where one of them ends.
//! 5. A node is where not exactly two pieces meet, or where a line as drawn ends.
//!
//! Not done over: the half metre for ends of runways and for lines that nearly meet themselves; no line here has either.

use super::python::{answer, python};
use petgraph::unionfind::UnionFind;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::PathBuf;
use toeline_engine::graph::{self, LINE_HALF_WIDTH_M, ROUND_CORNERS, TaxiGraph};
use toeline_engine::read;
use toeline_model::airfield::{Lane, LaneKind, Surface, Way};
use toeline_model::planar::Shape;
use toeline_model::{Airfield, LonLat, Xy};

/// Places nearer than this are one, metres: as in the graph stage.
pub(crate) const SAME_M: f64 = 0.05;

fn ask(python: &std::ffi::OsString, fields: Vec<Value>) -> Vec<Value> {
    let asked = json!({
        "fields": fields,
        "same_m": SAME_M,
        "snap_m": graph::SNAP_M,
        "half_width_m": LINE_HALF_WIDTH_M,
        "corners": ROUND_CORNERS,
    });
    answer(python, "noding.py", &asked).as_array().unwrap().clone()
}

pub(crate) fn points(line: &[Xy]) -> Value {
    json!(line.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>())
}

/// The field as the script is asked about it.
fn question(field: &Airfield) -> Value {
    let runways = field.runways.iter().map(|r| (&r.line, r.level, false));
    let lanes = field.lanes.iter().map(|l| (&l.line, l.level, true));
    let lines: Vec<Value> = runways
        .chain(lanes)
        .map(|(line, level, lane)| json!({ "points": points(line), "level": level, "lane": lane }))
        .collect();
    let obstacles = field.obstacles.iter().map(|o| match &o.shape {
        Shape::Area { outer, holes } => {
            json!({ "kind": "area", "outer": points(outer), "holes": holes.iter().map(|h| points(h)).collect::<Vec<_>>() })
        }
        Shape::Line { points: line } => json!({ "kind": "line", "points": points(line) }),
        Shape::Disc { at, radius_m } => json!({ "kind": "disc", "at": [at.x, at.y], "radius_m": radius_m }),
    });
    json!({
        "lines": lines,
        "aprons": field.aprons.iter().map(|a| points(&a.outer)).collect::<Vec<_>>(),
        "obstacles": obstacles.collect::<Vec<_>>(),
    })
}

/// Nodes where a line ends or not exactly two segments meet, total length, connected parts.
fn ours(field: &Airfield, g: &TaxiGraph) -> (usize, f64, usize) {
    let ends: Vec<Xy> = field
        .lanes
        .iter()
        .map(|l| &l.line)
        .chain(field.runways.iter().map(|r| &r.line))
        .flat_map(|l| [l[0], l[l.len() - 1]])
        .collect();
    let tree = rstar::RTree::bulk_load(ends.iter().map(|p| [p.x, p.y]).collect());
    // An end may have moved by the snap; one that did is a joint of three, which counts by itself.
    let is_end = |p: Xy| {
        tree.locate_within_distance([p.x, p.y], SAME_M * SAME_M)
            .next()
            .is_some()
    };
    let nodes = g
        .graph
        .node_indices()
        .filter(|n| g.graph.edges(*n).count() != 2 || is_end(g.at(*n)))
        .count();
    let mut sets = UnionFind::new(g.graph.node_count());
    for s in g.graph.edge_weights() {
        sets.union(s.from.index(), s.to.index());
    }
    let heads: BTreeSet<usize> = g.graph.node_indices().map(|n| sets.find(n.index())).collect();
    (nodes, g.graph.edge_weights().map(|s| s.length_m).sum(), heads.len())
}

fn real_fields() -> Vec<(String, Airfield)> {
    let Some(folder) = toeline_tests::open_data("airfields") else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = Vec::new();
    for part in [
        "hubs",
        "malta",
        "bangor",
        "puerto-montt",
        "isle-of-man/by-airfield",
        "maldives/by-airfield",
    ] {
        let list = std::fs::read_dir(folder.join(part)).unwrap().map(|e| e.unwrap().path());
        files.extend(list.filter(|p| p.extension().is_some_and(|e| e == "geojson")));
    }
    files.sort();
    assert!(files.len() >= 27, "{} files", files.len());
    files
        .into_iter()
        .map(|f| {
            let field = read::read(&std::fs::read_to_string(&f).unwrap()).unwrap().field;
            (f.file_stem().unwrap().to_string_lossy().into_owned(), field)
        })
        .collect()
}

fn compare(name: &str, field: &Airfield, theirs: &Value) -> Option<String> {
    let (g, _) = graph::build(field);
    let (nodes, length_m, parts) = ours(field, &g);
    let (their_nodes, their_parts) = (
        theirs["nodes"].as_u64().unwrap() as usize,
        theirs["parts"].as_u64().unwrap() as usize,
    );
    let their_m = theirs["length_m"].as_f64().unwrap();
    println!(
        "{name}: {nodes} nodes, {length_m:.3} m, {parts} parts; GEOS {their_nodes}, {their_m:.3} m, {their_parts}; {} ends snapped",
        theirs["snapped"]
    );
    let same = nodes == their_nodes && parts == their_parts && (length_m - their_m).abs() <= 1e-6 * their_m.max(1000.0);
    (!same).then(|| format!("{name}: {nodes} {their_nodes}, {length_m} {their_m}, {parts} {their_parts}"))
}

#[test]
fn every_real_field_has_the_nodes_length_and_parts_of_geos() {
    let Some(python) = python() else { return };
    let mut fields = real_fields();
    for (_, f) in &mut fields {
        f.stands.clear();
        f.holding_positions.clear();
    }
    let theirs = ask(&python, fields.iter().map(|(_, f)| question(f)).collect());
    let wrong: Vec<String> = fields
        .iter()
        .zip(&theirs)
        .filter_map(|((n, f), t)| compare(n, f, t))
        .collect();
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn every_real_field_has_the_free_apron_area_of_geos() {
    let Some(python) = python() else { return };
    let fields = real_fields();
    let theirs = ask(&python, fields.iter().map(|(_, f)| question(f)).collect());
    let mut wrong = Vec::new();
    for ((name, field), t) in fields.iter().zip(&theirs) {
        let (g, _) = graph::build(field);
        let ours_m2: f64 = g.free.iter().map(|a| a.area_m2()).sum();
        let their_m2 = t["free_m2"].as_f64().unwrap();
        println!(
            "{name}: {ours_m2:.3} m2 in {} areas, GEOS {their_m2:.3} m2",
            g.free.len()
        );
        if (ours_m2 - their_m2).abs() > 1e-6 * their_m2 {
            wrong.push(format!("{name}: {ours_m2} {their_m2}"));
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
}

/// A linear congruential generator (Knuth's constants): numbers from 0 to 1.
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn below(&mut self, n: u64) -> u64 {
        (self.next() * n as f64) as u64
    }
}

pub(crate) fn lane(i: usize, line: Vec<Xy>, level: i32) -> Lane {
    Lane {
        id: format!("l{i}"),
        kind: LaneKind::Taxiway,
        letters: Vec::new(),
        line,
        width_m: None,
        surface: Surface::Unknown,
        way: Way::Both,
        closed: None,
        span_limit_m: None,
        speed_limit_mps: None,
        slope_percent: None,
        level,
    }
}

/// Lines of 2 to 6 points: on a coarse grid, where many points, crossings and stretches are shared, or anywhere. Those
/// are few enough that hardly ever three places come within 5 cm: which two of them are one first is nobody's rule.
fn random_field(seed: u64, count: usize, on_grid: bool) -> Airfield {
    let mut n = Numbers(seed);
    let mut field = Airfield::bare(
        LonLat {
            lon_deg: 11.0,
            lat_deg: 47.0,
        },
        2.0,
    );
    for i in 0..count {
        let points = 2 + n.below(5) as usize;
        let mut line: Vec<Xy> = Vec::new();
        while line.len() < points {
            let (x, y) = if on_grid {
                (n.below(20) as f64 * 50.0, n.below(20) as f64 * 50.0)
            } else {
                (n.next() * 4000.0, n.next() * 4000.0)
            };
            if line.last().is_none_or(|p: &Xy| p.distance(Xy { x, y }) > 1.0) {
                line.push(Xy { x, y });
            }
        }
        let level = i32::from(n.below(10) == 0);
        field.lanes.push(lane(i, line, level));
    }
    field
}

#[test]
fn random_lines_have_the_nodes_length_and_parts_of_geos() {
    let Some(python) = python() else { return };
    let mut fields = Vec::new();
    for seed in 1..=12 {
        fields.push((format!("anywhere {seed}"), random_field(seed, 20, false)));
        fields.push((format!("on a grid {seed}"), random_field(seed, 40, true)));
    }
    let theirs = ask(&python, fields.iter().map(|(_, f)| question(f)).collect());
    let wrong: Vec<String> = fields
        .iter()
        .zip(&theirs)
        .filter_map(|((n, f), t)| compare(n, f, t))
        .collect();
    assert_eq!(wrong, Vec::<String>::new());
}
