//! Findings 13 and 14: holding positions and stands.

use crate::graph::field::*;
use toeline_model::airfield::HoldingKind;

#[test]
fn dirt_13_holding_positions_are_put_on_their_line_and_aimed_by_geometry() {
    if let Some(b) = real("hubs/eddf-frankfurt-2023-08.geojson") {
        // All 348 are points of a taxiway: each is a node exactly where it is mapped.
        let mapped = b.graph.holds.iter().filter_map(|h| h.position.map(|p| (p, h.node)));
        let moved = mapped
            .clone()
            .filter(|(p, n)| b.graph.at(*n).distance(b.field.holding_positions[*p].at) > 0.05);
        assert_eq!((mapped.clone().count(), moved.count()), (348, 0));
    }
    if let Some(b) = real("hubs/eham-schiphol-2023-08.geojson") {
        // Two are on a runway's line, hold short after landing; a third lies 4.4 m beside one.
        let on_runway: Vec<&Notice> = b.notices.iter().filter(|n| n.text.contains("lies on runway")).collect();
        let exactly = on_runway.iter().filter(|n| n.size_m.unwrap() < 0.05).count();
        assert_eq!((on_runway.len(), exactly), (3, 2), "{on_runway:?}");
        let beside: Vec<&Notice> = b.notices.iter().filter(|n| n.text.contains("m beside")).collect();
        assert_eq!(beside.len(), 10);
        assert!(beside.iter().any(|n| n.feature == "node/2066347376"));
        assert!(
            beside.iter().all(|n| (6.0..22.6).contains(&n.size_m.unwrap())),
            "by 6 to 22 m: {:?}",
            beside.iter().map(|n| n.size_m).collect::<Vec<_>>()
        );
        // 16 have no type at all, and most of those are aimed by following the lanes.
        let untyped = b
            .field
            .holding_positions
            .iter()
            .filter(|h| h.kind == HoldingKind::Unknown)
            .count();
        assert!(untyped >= 16, "{untyped}");
    }
    if let Some(b) = real("isle-of-man/by-airfield/egns-isle-of-man-airport.geojson") {
        // All 27 are without a type; a ref such as A2 is a taxiway and no runway.
        assert!(b.field.holding_positions.iter().all(|h| h.kind == HoldingKind::Unknown));
        // Both runways are guarded by mapped ones; a second bar without a type, behind a first, guards none.
        let mapped = b.graph.holds.iter().filter(|h| h.position.is_some());
        let guarded: std::collections::BTreeSet<usize> = mapped.filter_map(|h| h.guards).collect();
        assert_eq!(guarded.len(), 2);
    }
    for file in [
        "malta/malta-airfield.geojson",
        "bangor/bangor-airfield.geojson",
        "hubs/lfbo-toulouse-2021-01.geojson",
    ] {
        let Some(b) = real(file) else { continue };
        assert!(b.field.holding_positions.is_empty());
        assert!(
            !b.graph.holds.is_empty() && b.graph.holds.iter().all(|h| h.name.ends_with("(derived)")),
            "{file}"
        );
    }
    let b = build(hold(strip(), "B1", [9.0, -40.0], ""));
    assert_eq!(
        (b.graph.holds.len(), b.graph.holds[0].node, b.graph.holds[0].guards),
        (1, b.node([0.0, -40.0]), Some(0))
    );
    let b = build(hold(strip(), "B1", [31.0, -40.0], ""));
    assert_eq!(b.graph.holds.iter().filter(|h| h.position.is_some()).count(), 0);
    b.told(NoticeKind::LeftOut, "B1", "more than 25 m from every lane");
}

/// How the stand lines of a file meet the lanes: by a shared point, with an end within 5 m, farther.
fn stand_lines(b: &Built) -> (usize, usize, usize) {
    let place = |p: &Xy| ((p.x * 1e4).round() as i64, (p.y * 1e4).round() as i64);
    let lanes: std::collections::BTreeSet<_> = b.field.lanes.iter().flat_map(|l| l.line.iter().map(place)).collect();
    let lines = b.field.stands.iter().filter(|s| s.line.len() > 1);
    let (sharing, apart): (Vec<_>, Vec<_>) = lines.partition(|s| s.line.iter().any(|p| lanes.contains(&place(p))));
    let near = |p: &Xy| {
        let d = |l: &toeline_model::airfield::Lane| {
            toeline_model::planar::closest_on_line(*p, &l.line).map_or(f64::INFINITY, |c| c.0.distance(*p))
        };
        b.field.lanes.iter().any(|l| d(l) <= 5.0)
    };
    let close = apart
        .iter()
        .filter(|s| near(&s.line[0]) || near(&s.line[s.line.len() - 1]))
        .count();
    (sharing.len(), close, apart.len() - close)
}

#[test]
fn dirt_14_stands_as_points_as_lines_and_twice() {
    for (file, lines, points, joined) in [
        ("hubs/eddf-frankfurt-2023-08.geojson", (183, 73, 193), 0, 449),
        ("hubs/eham-schiphol-2023-08.geojson", (68, 1, 19), 157, 245),
        ("hubs/lebl-barcelona-2023-08.geojson", (110, 22, 25), 40, 197),
        ("hubs/lfbo-toulouse-2021-01.geojson", (101, 0, 2), 0, 103),
        ("malta/malta-airfield.geojson", (82, 5, 13), 0, 100),
        (
            "maldives/by-airfield/vrmm-velana-international-airport.geojson",
            (24, 0, 0),
            46,
            70,
        ),
    ] {
        let Some(b) = real(file) else { continue };
        assert_eq!(stand_lines(&b), lines, "{file}");
        assert_eq!(
            b.field.stands.iter().filter(|s| s.line.len() == 1).count(),
            points,
            "{file}"
        );
        let lost = b.count(NoticeKind::Doubt, "it cannot be reached");
        assert_eq!(b.graph.stands.len() + lost, joined, "{file}: {lost} lost and said so");
        // Of the 157 points at Schiphol 109 are more than 60 m from every taxiway; so are the points at Barcelona.
        let most = match file {
            f if f.contains("schiphol") => 110,
            f if f.contains("barcelona") => 45,
            f if f.contains("velana") => 20,
            _ => joined / 20,
        };
        assert!(lost <= most, "{file}: {lost} of {joined} lost");
    }
    // Own: one stand as a point and as a line, both with the same ref; each is joined for itself.
    let s = stand(
        Sketch::default().taxiway("a", "A", EAST),
        "4",
        &[[40.0, 0.0], [40.0, 25.0]],
    );
    let b = build(s.point("4p", [40.0, 25.0], json!({ "aeroway": "parking_position", "ref": "4" })));
    assert_eq!(b.graph.stands.len(), 2);
    assert!(
        b.graph
            .stands
            .iter()
            .all(|s| s.node == b.node([40.0, 25.0]) && s.lane_node == b.node([40.0, 0.0]))
    );
}
