//! Findings 1 to 7 and 12: how the lines make a network.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

use crate::graph::field::*;
use petgraph::unionfind::UnionFind;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::airfield::Surface;

/// Connected pieces of lanes, or of lanes and the runways that wheels use, in the graph.
pub(super) fn pieces(b: &Built, runways: bool) -> usize {
    parts(b, |s| match s.source {
        Source::Lane(..) => true,
        Source::Runway(r) => runways && b.field.runways[r].surface != Surface::Water,
        Source::Stand(_) => false,
    })
}

/// Connected parts of the segments that pass a test.
pub(super) fn parts(b: &Built, test: impl Fn(&Segment) -> bool) -> usize {
    let g = &b.graph.graph;
    let mut sets = UnionFind::new(g.node_count());
    let mut used = BTreeSet::new();
    for s in g.edge_weights().filter(|s| test(s)) {
        sets.union(s.from.index(), s.to.index());
        used.extend([s.from.index(), s.to.index()]);
    }
    used.iter().map(|n| sets.find(*n)).collect::<BTreeSet<_>>().len()
}

/// Frankfurt once more with the node ids that the raw answer keeps: ways that share an id share a coordinate and the other
/// way round.
#[test]
fn dirt_01_equal_coordinates_join_as_node_ids_do() {
    if let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.overpass.json") {
        let raw: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let mut by_id: BTreeMap<u64, BTreeSet<u64>> = BTreeMap::new();
        let mut by_place: BTreeMap<(i64, i64), BTreeSet<u64>> = BTreeMap::new();
        for way in raw["elements"].as_array().unwrap() {
            let kind = way["tags"]["aeroway"].as_str().unwrap_or_default();
            let line = ["taxiway", "taxilane", "runway", "stopway", "parking_position"].contains(&kind);
            if way["type"] != "way" || !line {
                continue;
            }
            let id = way["id"].as_u64().unwrap();
            for (node, at) in way["nodes"]
                .as_array()
                .unwrap()
                .iter()
                .zip(way["geometry"].as_array().unwrap())
            {
                let seven = |v: &Value| (v.as_f64().unwrap() * 1e7).round() as i64;
                by_id.entry(node.as_u64().unwrap()).or_default().insert(id);
                by_place
                    .entry((seven(&at["lon"]), seven(&at["lat"])))
                    .or_default()
                    .insert(id);
            }
        }
        let shared = |n: usize| n > 1;
        let ids = by_id.values().filter(|w| shared(w.len())).count();
        let places = by_place.values().filter(|w| shared(w.len())).count();
        assert_eq!(ids, places);
        assert!(ids > 844, "{ids}: the shared taxi nodes alone are 844");
    }
    // Own: equal numbers join without a word; the last decimal apart (11 mm) joins and says so.
    let s = Sketch::default()
        .taxiway("a", "A", EAST)
        .taxiway("b", "B", &[[100.0, 0.0], [150.0, 0.0]]);
    let b = build(s);
    assert_eq!(b.pieces(), 1);
    b.silent();
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[100.0, 0.011], [150.0, 0.0]]),
    );
    assert_eq!(b.pieces(), 1);
    b.told(NoticeKind::Repair, "a", "0.01 m");
}

#[test]
fn dirt_02_an_end_on_the_inside_of_another_line_is_a_junction() {
    for (file, wanted) in [
        ("hubs/eham-schiphol-2023-08.geojson", 493),
        ("hubs/eddf-frankfurt-2023-08.geojson", 677),
    ] {
        let Some(b) = real(file) else { continue };
        let place = |p: &Xy| ((p.x * 1e4).round() as i64, (p.y * 1e4).round() as i64);
        let nodes: BTreeMap<_, _> = b
            .graph
            .graph
            .node_indices()
            .map(|n| (place(&b.graph.at(n)), n))
            .collect();
        let mut inner: BTreeMap<_, BTreeSet<usize>> = BTreeMap::new();
        for (i, l) in b.field.lanes.iter().enumerate() {
            for p in &l.line[1..l.line.len() - 1] {
                inner.entry(place(p)).or_default().insert(i);
            }
        }
        let (mut found, mut straight_on) = (0, 0);
        for (i, l) in b.field.lanes.iter().enumerate() {
            for end in [l.line[0], l.line[l.line.len() - 1]] {
                if inner.get(&place(&end)).is_some_and(|s| s.iter().any(|o| *o != i)) {
                    found += 1;
                    let node = nodes[&place(&end)];
                    let degree = b.graph.graph.edges(node).count();
                    assert!(degree > 1, "{file}: {} at {end:?}", l.id);
                    straight_on += usize::from(degree == 2);
                }
            }
        }
        assert_eq!(found, wanted, "{file}");
        // Where two ways run over one another one may end on the other and nothing branches off.
        assert!(straight_on <= 2, "{file}: {straight_on}");
    }
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [40.0, 0.0], [100.0, 0.0]])
            .taxiway("b", "B", &[[40.0, 0.0], [40.0, 50.0]]),
    );
    assert_eq!((b.of("a").len(), b.degree([40.0, 0.0])), (2, 3));
}

/// Lanes by the features in the notice of a crossing.
fn crossing_told(b: &Built, one: &str, two: &str) -> bool {
    b.notices
        .iter()
        .any(|n| n.text.contains("cross without") && n.text.contains(one) && n.text.contains(two))
}

#[test]
fn dirt_03_crossings_without_a_node_are_split_and_bridges_are_not() {
    if let Some(b) = real("hubs/eddf-frankfurt-2023-08.geojson") {
        assert!(crossing_told(&b, "way/34764170", "way/1081861957"));
    }
    if let Some(b) = real("hubs/eham-schiphol-2023-08.geojson") {
        assert!(crossing_told(&b, "way/8586331", "way/922254724"));
        for bridge in ["way/96793641", "way/23326262"] {
            let lane = b.field.lanes.iter().find(|l| l.id == bridge).unwrap();
            assert_ne!(lane.level, 0, "{bridge}");
            assert!(!crossing_told(&b, bridge, "cross"), "{bridge}");
        }
        // With the switch off the lanes stay apart and the four entries onto runways do not: three cross, and one ends
        // 0.4 m beyond the centreline, where it is joined as an end.
        let rules = graph::Rules { split_crossings: false };
        let (_, notices) = graph::build_by(&b.field, rules);
        let crossings: Vec<&Notice> = notices.iter().filter(|n| n.text.contains("cross without")).collect();
        assert_eq!(crossings.len(), 3);
        assert!(crossings.iter().all(|n| n.text.contains("runway")));
    }
    let s = Sketch::default()
        .runway("r", "09/27", &[[-500.0, 60.0], [500.0, 60.0]])
        .taxiway("a", "A", EAST)
        .taxiway("b", "B", &[[40.0, -50.0], [40.0, 100.0]]);
    let field = read::read(&s.text()).unwrap().field;
    for (split_crossings, degree_on_lane) in [(true, 4), (false, 0)] {
        let (g, _) = graph::build_by(&field, graph::Rules { split_crossings });
        let degree = |at| {
            let p = s.in_field(field.origin, at);
            let node = g.graph.node_indices().find(|n| g.at(*n).distance(p) < 0.05);
            node.map_or(0, |n| g.graph.edges(n).count())
        };
        assert_eq!((degree([40.0, 0.0]), degree([40.0, 60.0])), (degree_on_lane, 4));
    }
}

#[test]
fn dirt_04_near_misses_are_joined_to_half_a_metre_and_told_to_five() {
    if let Some(b) = real("hubs/lebl-barcelona-2023-08.geojson") {
        for (end, other, said) in [
            ("way/886161809", "way/308551862", "0.02 m"),
            ("way/19785435", "way/205052540", "0.34 m"),
        ] {
            let told = b.notices.iter().any(|n| {
                n.kind == NoticeKind::Repair
                    && [end, other].contains(&n.feature.as_str())
                    && [end, other, said].iter().all(|w| n.text.contains(w))
            });
            assert!(told, "{end} and {other}, {said}");
        }
        assert_eq!(
            pieces(&b, false),
            1,
            "seven pieces by coordinates, one when ends within 0.5 m are joined"
        );
    }
    if let Some(b) = real("hubs/eham-schiphol-2023-08.geojson") {
        assert_eq!(b.count(NoticeKind::Doubt, "without touching it; not joined"), 5);
    }
    // Own: to the line and not to its points, which are 40 m off.
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[40.0, 50.0], [40.0, 0.4]]),
    );
    assert_eq!((b.degree([40.0, 0.0]), b.pieces()), (3, 1));
}

#[test]
fn dirt_05_an_end_on_an_apron_is_no_matter_and_a_free_one_is_told() {
    // Loose ends of each, those on an apron, and the free ones: 5 to 19 at each of the large fields.
    for (file, most) in [
        ("bangor/bangor-airfield.geojson", 2),
        ("hubs/eham-schiphol-2023-08.geojson", 19),
        ("hubs/eddf-frankfurt-2023-08.geojson", 19),
        ("hubs/lebl-barcelona-2023-08.geojson", 19),
    ] {
        let Some(b) = real(file) else { continue };
        let free = b.count(NoticeKind::Doubt, "meets nothing");
        assert!(free <= most, "{file}: {free} free ends");
    }
    let with = |apron: bool| {
        let s = Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[0.0, 0.0], [0.0, 90.0]]);
        let ring: &[[f64; 2]] = &[[80.0, -30.0], [140.0, -30.0], [140.0, 30.0], [80.0, 30.0]];
        let s = if apron {
            s.area("p", &[ring], json!({ "aeroway": "apron" }))
        } else {
            s
        };
        let b = build(s);
        let ends: Vec<String> = b
            .free_ends
            .iter()
            .filter(|n| n.at.is_some())
            .map(|n| n.feature.clone())
            .collect();
        ends
    };
    assert_eq!(with(false), ["a", "b"]);
    assert_eq!(with(true), ["b"], "the end of A lies on the apron");
}

#[test]
fn dirt_06_runways_are_part_of_the_network() {
    for (name, alone, whole) in [
        ("vrmm-velana-international-airport", 3, 1),
        ("vrmg-gan-international-airport", 6, 2),
        ("vrda-maafaru-international-airport", 4, 1),
        ("vrmk-kadhdhoo-airport", 3, 1),
    ] {
        let Some(b) = real(&format!("maldives/by-airfield/{name}.geojson")) else {
            break;
        };
        assert_eq!((pieces(&b, false), pieces(&b, true)), (alone, whole), "{name}");
    }
    let b = build(
        Sketch::default()
            .runway("r", "09/27", &[[-500.0, 0.0], [500.0, 0.0]])
            .taxiway("a", "A", &[[-100.0, 0.0], [-100.0, 80.0]])
            .taxiway("b", "B", &[[200.0, 0.0], [200.0, 80.0]]),
    );
    assert_eq!((pieces(&b, false), pieces(&b, true)), (2, 1));
    assert_eq!(b.of("r").len(), 3, "the runway is cut where the stubs meet it");
}

#[test]
fn dirt_07_a_runway_drawn_in_pieces_is_one() {
    for (file, lines, runways) in [
        ("hubs/eham-schiphol-2023-08.geojson", 11, 6),
        ("isle-of-man/by-airfield/egns-isle-of-man-airport.geojson", 5, 2),
    ] {
        let Some(b) = real(file) else { continue };
        assert_eq!(b.field.runways.len(), runways, "{file}: {lines} lines");
        for (i, r) in b.field.runways.iter().enumerate() {
            let on = |s: &Segment| s.source == Source::Runway(i);
            assert_eq!(parts(&b, on), 1, "{file}: {}", r.id);
        }
    }
    // The pieces called blast pads at Toulouse are not to be rolled on.
    if let Some(path) = toeline_tests::open_data("airfields/hubs/lfbo-toulouse-2021-01.geojson") {
        let text = std::fs::read_to_string(path).unwrap();
        let r = read::read(&text).unwrap();
        assert!(r.notices.iter().any(|n| n.text.contains("a blast pad")));
    }
    let displaced = json!({ "aeroway": "runway", "runway": "displaced_threshold" });
    let b = build(
        Sketch::default()
            .line("d", &[[-560.0, 0.0], [-500.0, 0.0]], displaced)
            .runway("r", "09/27", &[[-500.0, 0.0], [0.0, 0.0]])
            .runway("q", "27/09", &[[500.0, 0.0], [0.0, 0.0]])
            .taxiway("a", "A", &[[0.0, 0.0], [0.0, 80.0]]),
    );
    assert_eq!(
        (b.field.runways.len(), b.field.runways[0].designators.clone()),
        (1, [Some("09".to_string()), Some("27".to_string())])
    );
    let length_m: f64 = b
        .graph
        .graph
        .edge_weights()
        .filter(|s| s.source == Source::Runway(0))
        .map(|s| s.length_m)
        .sum();
    assert!((length_m - 1060.0).abs() < 0.05, "{length_m}");
}

#[test]
fn dirt_12_a_name_is_a_set_of_segments_and_not_a_path() {
    for (file, names, split) in [
        ("hubs/eddf-frankfurt-2023-08.geojson", 118, 10),
        ("hubs/eham-schiphol-2023-08.geojson", 83, 8),
    ] {
        let Some(b) = real(file) else { continue };
        let found: BTreeSet<String> = b.field.lanes.iter().flat_map(|l| l.letters.clone()).collect();
        assert!(found.len() >= names, "{file}: {} names, {names} refs", found.len());
        let apart: Vec<&String> = found
            .iter()
            .filter(|n| parts(&b, |s| s.letters.contains(n)) > 1)
            .collect();
        // By coordinates alone ten and eight; a joined crossing may close a gap and a name in place of a ref open one.
        println!(
            "{file}: {} of {} names in several parts, {split} refs measured",
            apart.len(),
            found.len()
        );
        assert!(apart.len() + 3 >= split, "{file}: {apart:?}");
        for n in apart {
            let edges = b.graph.named(&format!(" {} ", n.to_lowercase()));
            let nodes: BTreeSet<_> = edges
                .iter()
                .flat_map(|e| [b.graph.segment(*e).from, b.graph.segment(*e).to])
                .collect();
            assert!(
                nodes.len() > edges.len(),
                "{file}: {n} in parts is a forest with more nodes than edges, or has loops"
            );
        }
    }
    let b = build(
        Sketch::default()
            .taxiway("b1", "B", &[[0.0, 0.0], [100.0, 0.0]])
            .taxiway("a", "A", &[[100.0, 0.0], [200.0, 0.0]])
            .taxiway("b2", "b ", &[[200.0, 0.0], [300.0, 0.0]]),
    );
    assert_eq!(b.graph.named("b").len(), 2);
    assert_eq!(b.graph.named("C"), []);
}
