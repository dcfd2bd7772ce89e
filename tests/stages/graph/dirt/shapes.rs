//! Findings 18, 19 and 23: doubled, bent and missing geometry.

#![allow(clippy::print_stdout)] // measured figures, shown with --nocapture

use crate::graph::field::*;
use serde_json::Value;
use toeline_model::units::DEG;

#[test]
fn dirt_18_doubled_stretches_become_one_with_both_names() {
    for (file, doubled) in [
        ("hubs/lfbo-toulouse-2021-01.geojson", 1),
        ("hubs/eddf-frankfurt-2023-08.geojson", 1),
        ("hubs/eham-schiphol-2023-08.geojson", 1),
    ] {
        let Some(b) = real(file) else { continue };
        let told: Vec<&Notice> = b
            .notices
            .iter()
            .filter(|n| n.text.contains("run over one another"))
            .collect();
        println!("{file}: {:?}", told.iter().map(|n| &n.text).collect::<Vec<_>>());
        assert!(told.len() >= doubled, "{file}");
        if file.contains("toulouse") {
            let pair = ["way/352351007", "way/352351009"];
            assert!(told.iter().any(|n| pair.iter().all(|w| n.text.contains(w))));
        }
    }
    // Own: two identical ways, one drawn backward, and a third over half of both with points of its own.
    let b = build(
        Sketch::default()
            .taxiway("a", "A", &[[0.0, 0.0], [100.0, 0.0]])
            .taxiway("b", "B", &[[100.0, 0.0], [0.0, 0.0]])
            .taxiway("c", "C", &[[50.0, 0.0], [75.0, 0.0], [150.0, 0.0]]),
    );
    let mut names: Vec<String> = b.graph.graph.edge_weights().map(|s| s.letters.join("")).collect();
    names.sort();
    assert_eq!(names, ["AB", "ABC", "C"]);
    let total_m: f64 = b.graph.graph.edge_weights().map(|s| s.length_m).sum();
    assert!((total_m - 150.0).abs() < 0.01, "{total_m}");
    let n = b.told(
        NoticeKind::Repair,
        "b",
        "taxiway A (a) and taxiway B (b) run over one another for 100.0 m",
    );
    assert!((n.size_m.unwrap() - 100.0).abs() < 0.01);
    b.told(
        NoticeKind::Repair,
        "c",
        "taxiway A (a) and taxiway C (c) run over one another for 50.0 m",
    );
}

/// Bends of more than 90 degrees inside one lane.
fn sharp(b: &Built) -> usize {
    let bend = |w: &[Xy]| {
        let (a, c) = ((w[1] - w[0]), (w[2] - w[1]));
        a.cross(c).atan2(a.dot(c)).abs() / DEG
    };
    b.field
        .lanes
        .iter()
        .map(|l| l.line.windows(3).filter(|w| bend(w) > 90.0).count())
        .sum()
}

#[test]
fn dirt_19_sharp_bends_are_kept_and_lines_that_cross_themselves_are_split() {
    for (file, bends, crossing) in [
        ("malta/malta-airfield.geojson", 19, Some("way/304919390")),
        ("hubs/lebl-barcelona-2023-08.geojson", 9, None),
        ("hubs/lfbo-toulouse-2021-01.geojson", 7, Some("way/381381635")),
        ("hubs/eddf-frankfurt-2023-08.geojson", 4, None),
    ] {
        let Some(b) = real(file) else { continue };
        assert_eq!(sharp(&b), bends, "{file}");
        // Corners are kept as mapped: every inner point of every lane is on a segment, unmoved but for the joints.
        let on: std::collections::BTreeSet<(i64, i64)> = b
            .graph
            .graph
            .edge_weights()
            .flat_map(|s| &s.line)
            .map(|p| ((p.x * 1e4).round() as i64, (p.y * 1e4).round() as i64))
            .collect();
        let all = b.field.lanes.iter().flat_map(|l| &l.line[1..l.line.len() - 1]);
        let lost: Vec<&Xy> = all
            .filter(|p| !on.contains(&((p.x * 1e4).round() as i64, (p.y * 1e4).round() as i64)))
            .collect();
        assert!(lost.len() <= 2, "{file}: {lost:?}");
        // One meets its own line at a point that it holds twice, the other without one: both are split there.
        if let Some(id) = crossing {
            let ends: Vec<_> = b.of(id).iter().flat_map(|s| [s.from, s.to]).collect();
            let own = ends
                .iter()
                .filter(|n| ends.iter().filter(|m| m == n).count() >= 3)
                .count();
            assert!(own >= 3, "{file}: {id} meets itself nowhere");
        }
    }
    let b = build(Sketch::default().taxiway(
        "a",
        "A",
        &[
            [0.0, 0.0],
            [100.0, 0.0],
            [100.0, 50.0],
            [50.0, 50.0],
            [50.0, -50.0],
            [90.0, -20.0],
        ],
    ));
    assert_eq!(b.degree([50.0, 0.0]), 4);
    let corners = b
        .graph
        .graph
        .edge_weights()
        .flat_map(|s| &s.line)
        .filter(|p| p.distance(b.place([50.0, -50.0])) < 0.01);
    assert_eq!(corners.count(), 1, "the sharp corner is where it was drawn");
}

#[test]
fn dirt_23_incomplete_input_gives_a_graph_and_a_warning() {
    // A real field with its runways cut away, and the same with every line cut short at the border of an extract.
    if let Some(path) = toeline_tests::open_data("airfields/isle-of-man/by-airfield/egns-isle-of-man-airport.geojson") {
        let mut file: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let list = file["features"].as_array_mut().unwrap();
        list.retain(|f| f["properties"]["aeroway"] != "runway");
        let b = built(read::read(&file.to_string()).unwrap().field, Sketch::default());
        assert_eq!(b.of("way/0").len(), 0);
        assert!(b.graph.graph.edge_count() > 50 && b.graph.holds.iter().all(|h| h.guards.is_none()));
        assert_eq!(
            b.free_ends
                .iter()
                .filter(|n| n.text.contains("shows no runway"))
                .count(),
            1
        );
    }
    let b = build(
        Sketch::default()
            .taxiway("a", "A", EAST)
            .taxiway("b", "B", &[[100.0, 0.0], [150.0, 0.0]]),
    );
    assert_eq!((b.graph.graph.edge_count(), b.graph.holds.len()), (2, 0));
    assert!(b.free_ends.iter().any(|n| n.text.contains("shows no runway")));
    // A line clipped at the border ends at nothing, and that is said.
    assert_eq!(
        b.free_ends.iter().filter(|n| n.text.contains("meets nothing")).count(),
        2
    );
}
